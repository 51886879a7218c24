"""Parts as a script writes them, and what they are once built."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from turnmodel.catalog import bars, finishes, materials, refills
from turnmodel.design.alike import alike
from turnmodel.design.face import End, Face
from turnmodel.design.ledger import Ledger, Measure, check_fields, named, positive, short
from turnmodel.design.names import NAMED, is_name
from turnmodel.design.script import script_place
from turnmodel.design.strip import Bend, Straight, StripScript, stripped
from turnmodel.design.turned import Turned, TurnedScript, turned
from turnmodel.errors import DesignFaults, Fault, TurnmodelError, Where
from turnmodel.geometry.body import Body
from turnmodel.geometry.region import polygon
from turnmodel.geometry.strip import Strip

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from turnmodel.design.features.across import Across
    from turnmodel.design.features.inside import Inside
    from turnmodel.design.features.outside import Outside, Shoulder
    from turnmodel.design.measured import Measured

__all__ = [
    "BoughtPart",
    "Built",
    "Part",
    "ShapedPart",
    "Stock",
    "StripPart",
    "TurnedPart",
    "bar",
    "bought",
    "built",
    "named_well",
    "part_faults",
]

Built = Turned | Strip
"""What a part is once built: a turned body or a strip."""


@dataclass(frozen=True, slots=True)
class Stock:
    """The bar a part is turned from.

    Parameters
    ----------
    size : str
        Diameter with its unit, such as "12 mm" or "1/2 in"

    Examples
    --------
    >>> bar("12 mm").diameter
    12.0
    """

    size: str = named(bars.bar_size, like="12 mm")
    where: Where | None = field(default_factory=script_place, kw_only=True, repr=False, compare=False)

    @property
    def diameter(self) -> float:
        """Diameter of the bar, [mm]."""
        return bars.bar_size(self.size).diameter


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Part:
    """A part of an object: turned, strip or bought.

    Parameters
    ----------
    name : str
        Its name, one of a kind in the object
    material : str
        Name of its material in the catalog
    """

    name: str
    material: str = named(materials.material, like="CW614N")
    measured: tuple[Measured, ...] = ()
    """What was measured on it once it was cut; it is then as it is."""
    where: Where | None = field(default_factory=script_place, repr=False)

    def face(self, name: str, end: End | None = None) -> Face:
        """Name one of its faces.

        Parameters
        ----------
        name : str
            "front", "back", or the mark of a feature
        end : str, optional
            "front" or "back" of a feature outside that has length; "floor" of a hole is its own face

        Returns
        -------
        Face
            The name, which a joint resolves
        """
        return Face(self.name, name, end)

    @property
    def length(self) -> float:
        """Length along its axis, or along a strip before it is bent, [mm]."""
        made = built(self)
        return made.length

    @staticmethod
    def turned(
        name: str,
        *,
        material: str,
        stock: Stock | str,
        outside: Sequence[Outside | Shoulder],
        from_front: Sequence[Inside] = (),
        from_back: Sequence[Inside] = (),
        across: Sequence[Across] = (),
        finish: str | None = None,
    ) -> TurnedPart:
        """Describe a part turned from bar.

        Parameters
        ----------
        name : str
            Its name
        material : str
            Material, by its name in the catalog
        stock : Stock or str
            The bar it is turned from
        outside : sequence of features
            From the front face to the back
        from_front, from_back : sequence of features
            Holes in the order they are cut, their depths from that face
        across : sequence of features
            What is not round
        finish : str, optional
            How its surface is left, by its name in the catalog, for pictures and the cut sheet

        Returns
        -------
        TurnedPart
            The description; what is wrong with it is told when the design is built
        """
        return alike(
            TurnedPart(
                name=name,
                material=material,
                stock=Stock(stock) if isinstance(stock, str) else stock,
                outside=_listed(outside),
                from_front=_listed(from_front),
                from_back=_listed(from_back),
                across=_listed(across),
                finish=finish,
            )
        )

    @staticmethod
    def strip(
        name: str,
        *,
        material: str,
        thickness: Measure,
        widths: Sequence[tuple[Measure, Measure]],
        corner: Measure = 0.0,
        holes: Mapping[str, tuple[Measure, Measure]] | None = None,
        side: Sequence[Straight | Bend] = (),
        finish: str | None = None,
    ) -> StripPart:
        """Describe a part cut from strip and bent.

        Parameters
        ----------
        name : str
            Its name
        material : str
            Material, by its name in the catalog
        thickness : float or str
            Thickness, [mm]
        widths : sequence of pairs
            (distance along, width) of the flat outline from its start, straight in between, [mm]
        corner : float or str, optional
            Radius of the corners at both ends, [mm]
        holes : mapping, optional
            Name to (distance along, diameter) on the centre line, [mm]
        side : sequence of straight and bend, optional
            Side view from the start; what is left is straight
        finish : str, optional
            How its surface is left, by its name in the catalog

        Returns
        -------
        StripPart
            The description; what is wrong with it is told when the design is built
        """
        return alike(
            StripPart(
                name=name,
                material=material,
                thickness=thickness,
                widths=tuple(widths) if isinstance(widths, list) else widths,
                corner=corner,
                holes={} if holes is None else holes,
                side=tuple(side) if isinstance(side, list) else side,
                finish=finish,
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TurnedPart(Part):
    """A part turned from bar, as the script lists it."""

    stock: Stock
    outside: tuple[Outside | Shoulder, ...]
    from_front: tuple[Inside, ...] = ()
    from_back: tuple[Inside, ...] = ()
    across: tuple[Across, ...] = ()
    finish: str | None = named(finishes.finish, None, like="polished")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StripPart(Part):
    """A part cut from strip and bent, as the script lists it."""

    thickness: Measure
    widths: Sequence[tuple[Measure, Measure]]
    corner: Measure
    holes: Mapping[str, tuple[Measure, Measure]]
    side: Sequence[Straight | Bend]
    finish: str | None = named(finishes.finish, None, like="blued 290")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ShapedPart(Part):
    """A part whose shape is given as it stands, such as that of a mock-up, and not by a script's features."""

    shape: Turned


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BoughtPart(Part):
    """A part that is bought: a refill of the catalog, or an envelope and a mass [g] of the script's own."""

    material: str = ""
    refill: str | None = named(refills.refill, None, like="D")
    outside: tuple[Outside | Shoulder, ...] = ()
    mass: float | None = positive(None, unit="g")

    @property
    def grams(self) -> float:
        """Mass, [g]."""
        if self.mass is not None:
            return self.mass
        assert self.refill is not None
        return refills.refill(self.refill).mass_g


def _listed(features: Any) -> tuple[Any, ...]:
    """Take a list of features; what is none is told by the part's own faults."""
    if isinstance(features, Iterable) and not isinstance(features, str):
        return tuple(features)
    return (features,)


def bought(
    name: str,
    *,
    refill: str | None = None,
    outside: Sequence[Outside | Shoulder] = (),
    mass: float | None = None,
) -> BoughtPart:
    """Describe a part that is bought.

    Parameters
    ----------
    name : str
        Its name; where nothing else is given, also the refill's name in the catalog
    refill : str, optional
        The refill's name in the catalog
    outside : sequence of features, optional
        Its envelope from the front to the back, where it is no refill of the catalog
    mass : float, optional
        What it was weighed at, [g]; left out, the catalog's figure

    Returns
    -------
    BoughtPart
        The description; what is wrong with it is told when the design is built
    """
    if refill is None and not outside:
        refill = name
    return alike(BoughtPart(name=name, refill=refill, outside=_listed(outside), mass=mass))


@lru_cache(maxsize=512)
def _build(part: Part) -> tuple[Built | None, tuple[Fault, ...]]:
    """Build a part once; parts are compared by identity."""
    if isinstance(part, ShapedPart):
        return part.shape, ()
    if isinstance(part, StripPart):
        script = StripScript(
            part.name, part.thickness, part.widths, part.corner, part.holes, part.side, part.where
        )
        return stripped(script)
    if isinstance(part, TurnedPart):
        stock_d = None
        with suppress(TurnmodelError, TypeError, AttributeError):  # told by part_faults
            stock_d = part.stock.diameter if isinstance(part.stock, Stock) else None
        return turned(
            TurnedScript(part.name, part.outside, part.from_front, part.from_back, part.across, stock_d)
        )
    assert isinstance(part, BoughtPart)
    if part.outside:
        return turned(TurnedScript(part.name, part.outside, (), (), (), None))
    try:
        refill = refills.refill(part.refill or "")
    except (TurnmodelError, TypeError, AttributeError):
        return None, ()  # the refill's own fault is told by part_faults
    return _envelope(refill), ()


def _envelope(refill: Any) -> Turned:
    """Stack a refill's steps from its tip."""
    points, z = [(0.0, 0.0)], 0.0
    for step in refill.envelope:
        points.append((z, step.start_d / 2))
        z += step.length
        points.append((z, step.end_d / 2))
    points.append((z, 0.0))
    loop = [p for k, p in enumerate(points) if p != points[k - 1]]
    body = Body(plain=polygon(list(reversed(loop))))
    return Turned(body=body, outside=(), inside=(), across=(), length=z, defaults=())


def named_well(part: Part) -> bool:
    """Whether a part's name can be one."""
    return is_name(part.name)


@lru_cache(maxsize=512)
def part_faults(part: Part) -> tuple[Fault, ...]:
    """Everything wrong with a part on its own."""
    ledger = Ledger(part=part.name if named_well(part) else "part")
    if not named_well(part):
        ledger.fault(None, f"name {short(part.name)}", NAMED, None, part.where)
    if check_fields(part, ledger, None) and isinstance(part, TurnedPart | StripPart):
        _hold_finish(part, ledger)
    if isinstance(part, BoughtPart) and part.refill is None and part.mass is None:
        ledger.fault(None, "no mass", "a bought part needs the mass it was weighed at", "give mass=... in g")
    if isinstance(part, TurnedPart) and isinstance(part.stock, Stock):
        check_fields(part.stock, ledger, "stock")
    elif isinstance(part, TurnedPart):
        ledger.fault("stock", short(part.stock), 'must be a bar, such as bar("12 mm")', None, part.where)
    _, faults = _build(part)
    return tuple(_located(fault, part) for fault in (*ledger.faults, *faults))


def _hold_finish(part: TurnedPart | StripPart, ledger: Ledger) -> None:
    """Hold a finish to materials that take it."""
    if part.finish is None:
        return
    wanted, family = finishes.finish(part.finish), materials.material(part.material).family
    if wanted.families and family not in wanted.families:
        rule = f"{family} is not {wanted.kind}: that is for {' and '.join(wanted.families)}"
        ledger.fault(None, f"finish {short(part.finish)}", rule, "try 'turned' or 'polished'", part.where)


def _located(fault: Fault, part: Part) -> Fault:
    """Give a fault the part's own name and line where it has none."""
    name = part.name if named_well(part) else "part"
    return replace(fault, part=name, where=fault.where or part.where)


@lru_cache(maxsize=512)
def built(part: Part) -> Built:
    """Give what a part is once built.

    Raises
    ------
    DesignFaults
        If it cannot be built
    """
    faults = part_faults(part)
    made, _ = _build(part)
    if faults or made is None:
        raise DesignFaults(faults)
    return made


bar = Stock
