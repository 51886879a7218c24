"""Named gaps: distances along the axis whose spread over all tolerances a script wants to know."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from turnmodel.design.face import Face
from turnmodel.design.ledger import Ledger, Measure, check_fields, mm, number, short
from turnmodel.design.script import script_place
from turnmodel.design.surface import surface
from turnmodel.errors import Fault, TurnmodelError, UnknownName

if TYPE_CHECKING:
    from turnmodel.design.part import Part
    from turnmodel.errors import Where

__all__ = ["Gap", "gap", "kept_gaps"]


@dataclass(frozen=True, slots=True)
class Gap:
    """The distance along the axis from one face to another, above zero where the first looks at the second.

    Parameters
    ----------
    first, second : Face
        The two faces
    least, most : float or str, optional
        What the distance must stay between over every tolerance, [mm]

    Examples
    --------
    >>> from turnmodel import Part, bar, cylinder
    >>> pin = Part.turned("pin", material="brass", stock=bar("8 mm"), outside=[cylinder(8, 20)])
    >>> str(gap(pin.face("back"), pin.face("front"), least=0.1))
    'gap from pin, face "back" to pin, face "front"'
    """

    first: Face
    second: Face
    least: Measure | None = number(None)
    most: Measure | None = number(None)
    where: Where | None = field(default_factory=script_place, kw_only=True, repr=False, compare=False)

    def __str__(self) -> str:
        return f"gap from {self.first} to {self.second}"


def kept_gaps(
    gaps: object, parts: tuple[Part, ...], where: Where | None, faults: list[Fault]
) -> dict[str, Gap]:
    """Keep the gaps whose faces are there, and tell of what is wrong with the others."""
    if not isinstance(gaps, Mapping):
        mend = 'write gaps={"play": gap(a.face("back"), b.face("front"))}'
        faults.append(
            Fault(given=f"gaps {short(gaps)}", rule="must be names and gaps", mend=mend, where=where)
        )
        return {}
    by_name = {part.name: part for part in parts}
    kept = {}
    for name, given in gaps.items():
        feature = f"gap {short(name)}"
        given = Gap(*given, where=where) if isinstance(given, tuple) and len(given) == 2 else given
        if not isinstance(given, Gap) or not isinstance(name, str):
            faults.append(
                Fault(given=feature, rule="must be two faces", mend="write gap(face, face)", where=where)
            )
            continue
        ledger = Ledger(part=given.first.part if isinstance(given.first, Face) else "gap")
        check_fields(given, ledger, feature)
        for face in (given.first, given.second):
            if not isinstance(face, Face):
                ledger.fault(feature, short(face), "must be a face", 'write part.face("back")', given.where)
            elif face.part not in by_name:
                unknown = UnknownName("part", face.part, by_name)
                ledger.fault(feature, str(face), "there is no such part", unknown.hint, given.where)
            else:
                try:
                    surface(by_name[face.part], face)
                except TurnmodelError as error:
                    ledger.refuse(feature, "face", face.name, error, given.where)
        if not ledger.faults and _crossed(given):
            least, most = mm(given.least or 0.0), mm(given.most or 0.0)
            rule = f"is more than the most, {most:g} mm"
            ledger.fault(feature, f"least {least:g} mm", rule, "change them round", given.where)
        faults += ledger.faults
        if not ledger.faults:
            kept[name] = given
    return kept


def _crossed(given: Gap) -> bool:
    return given.least is not None and given.most is not None and mm(given.least) > mm(given.most)


gap = Gap
