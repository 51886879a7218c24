"""The dimensions of a turned part as its drawing gives them, and the same part with some of them changed."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING, Any, Final

from turnmodel.design.features.across import CrossHole
from turnmodel.design.features.inside import Drill
from turnmodel.design.features.outside import Cone
from turnmodel.design.ledger import Rule, mm
from turnmodel.design.listed import titles
from turnmodel.design.part import TurnedPart, built
from turnmodel.design.turned import Turned

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from turnmodel.design.outline import Place

__all__ = ["Dimension", "Station", "changed", "dimensions", "stations"]

_SIDES: Final = {
    "outside": "outside",
    "from_front": "from front",
    "from_back": "from back",
    "across": "across",
}
"""The lists of a part by the words its features are named with."""

_OUTSIDE_LENGTHS: Final = ("length", "width")


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """One dimension of a feature.

    Parameters
    ----------
    part : str
        Name of the part
    feature : str
        Title of the feature, as findings call it
    name : str
        Name of the dimension, such as "length" or "diameter"
    value : float
        What the drawing gives, [mm]
    side : str
        List of the part that the feature is in
    index : int
        Place in that list, from 0, [-]
    field : str
        Field of the feature that holds it
    """

    part: str
    feature: str
    name: str
    value: float
    side: str
    index: int
    field: str

    @property
    def across(self) -> bool:
        """Whether it is measured across the axis, as a diameter."""
        return self.name.endswith(("diameter", "_d", "across"))

    def __str__(self) -> str:
        return f"{self.part}, {self.feature}, {self.name.replace('_', ' ')}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """Where a shoulder or the back face stands, its station [mm], and the length before it that sets it."""

    feature: str
    value: float
    sets: Dimension


def dimensions(part: TurnedPart) -> tuple[Dimension, ...]:
    """List the dimensions of a part that can be turned, drilled or measured.

    Parameters
    ----------
    part : TurnedPart
        A part that can be built

    Returns
    -------
    tuple of Dimension
        From the front to the back outside, then inside, then across; what the script leaves out outside, with
        the value taken for it

    Examples
    --------
    >>> from turnmodel import Part, cylinder, drill
    >>> pin = Part.turned(
    ...     "pin",
    ...     material="brass",
    ...     stock="6 mm",
    ...     outside=[cylinder(5, 20)],
    ...     from_front=[drill("2 mm", depth=9)],
    ... )
    >>> [f"{d.name} {d.value:g}" for d in dimensions(pin)]
    ['diameter 5', 'length 20', 'diameter 2', 'depth 9']
    """
    return tuple(found for side in _SIDES for found in _listed(part, side))


def _listed(part: TurnedPart, side: str) -> Iterator[Dimension]:
    features = getattr(part, side)
    made = built(part)
    assert isinstance(made, Turned)
    for index, (title, feature) in enumerate(zip(titles(features, _SIDES[side]), features, strict=True)):
        place = made.outside[index] if side == "outside" else None
        for name, field, value in _measures(feature, place):
            yield Dimension(
                part=part.name, feature=title, name=name, value=value, side=side, index=index, field=field
            )


def _measures(feature: Any, place: Place | None) -> Iterator[tuple[str, str, float]]:
    """Name, field and value of every length and diameter of a feature, [mm]."""
    for entry in fields(feature):
        value, rule = getattr(feature, entry.name), entry.metadata.get("rule")
        if isinstance(feature, Drill | CrossHole) and entry.name == "size":
            yield "diameter", "size", feature.diameter
        elif isinstance(rule, Rule) and rule.unit == "mm":
            if value is None and place is not None and not isinstance(feature, Cone):
                value = _as_placed(entry.name, place)
            if value is not None:
                yield entry.name, entry.name, mm(value)


def _as_placed(name: str, place: Place) -> float | None:
    """What was taken for a dimension left out, read off where the feature came to lie, [mm]."""
    if name in _OUTSIDE_LENGTHS:
        return place.end - place.start
    if name == "diameter" and place.curves:
        return 2 * max(max(c.start[1], c.end[1]) for c in place.curves)
    return None


def stations(part: TurnedPart) -> tuple[Station, ...]:
    """List where the shoulders and the back face stand, each with the length before it that sets it.

    Examples
    --------
    >>> from turnmodel import Part, cylinder, shoulder
    >>> pin = Part.turned(
    ...     "pin", material="brass", stock="9 mm", outside=[cylinder(5, 20), shoulder("stop"), cylinder(8, 3)]
    ... )
    >>> [(s.feature, s.value) for s in stations(pin)]
    [('shoulder "stop"', 20.0), ('back', 23.0)]
    """
    made = built(part)
    assert isinstance(made, Turned)
    lengths = {d.index: d for d in _listed(part, "outside") if d.name in _OUTSIDE_LENGTHS}
    found = []
    for index, place in enumerate(made.outside):
        before = [d for k, d in lengths.items() if k < index]
        if not place.curves and before:
            found.append(Station(feature=place.title, value=place.start, sets=before[-1]))
    if lengths:
        found.append(Station(feature="back", value=made.length, sets=lengths[max(lengths)]))
    return tuple(found)


def changed(part: TurnedPart, values: Mapping[Dimension, float]) -> TurnedPart:
    """Give the part with some dimensions changed.

    Parameters
    ----------
    part : TurnedPart
        The part
    values : mapping
        Dimension to its new value, [mm]

    Returns
    -------
    TurnedPart
        The description; whether it can still be built is told when it is

    Examples
    --------
    >>> from turnmodel import Part, cylinder
    >>> pin = Part.turned("pin", material="brass", stock="6 mm", outside=[cylinder(5, 20)])
    >>> changed(pin, {dimensions(pin)[1]: 19.5}).length
    19.5
    """
    sides = {side: list(getattr(part, side)) for side in _SIDES}
    for dimension, value in values.items():
        feature = sides[dimension.side][dimension.index]
        given: dict[str, Any] = {dimension.field: value}
        if isinstance(feature, Cone) and dimension.field == "length" and feature.end_d is not None:
            given["half_angle"] = None
        sides[dimension.side][dimension.index] = replace(feature, **given)
    return replace(
        part,
        outside=tuple(sides["outside"]),
        from_front=tuple(sides["from_front"]),
        from_back=tuple(sides["from_back"]),
        across=tuple(sides["across"]),
    )
