"""What a part that came out different changes: sizes, places, figures, findings, and how to mend them."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any, Final

from turnmodel.analysis.mass_range import GRADE
from turnmodel.analysis.mending import Mend, caused, mended
from turnmodel.analysis.reading import reading_words
from turnmodel.analysis.report import examined, judged
from turnmodel.analysis.rules import boring, crib, drilling, handling, setup
from turnmodel.analysis.spot import face_spot
from turnmodel.analysis.stack import stack
from turnmodel.analysis.weight import part_weight, state_weight
from turnmodel.catalog import fits
from turnmodel.design.dimensions import changed, dimensions
from turnmodel.design.part import TurnedPart
from turnmodel.errors import BadValue, DesignFaults
from turnmodel.geometry.tolerance import CONTACT_MM, CONTACT_MM3

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from turnmodel.analysis.finding import Finding
    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.design import Design
    from turnmodel.design.dimensions import Dimension
    from turnmodel.design.measured import Measured

__all__ = ["Answer", "AsCut", "Moved", "Scales", "as_json", "compared"]

_LEAST_G: Final = 5e-4
"""Change of mass [g] that is not told: under what jeweller's scales show."""

_SUSPECTS: Final = 3
"""Sizes that are named as what a mass may be off by, the likeliest first; house choice."""

_LIKELY: Final = 3.0
"""Tolerances [-] that a size may be off by and still be named; house choice."""


_MAKING: Final = frozenset(
    rule.name for family in (boring, crib, drilling, handling, setup) for rule in family.RULES
) - {"drill point seat", "drilled press fit"}
"""Rules of how a part is made, not of what it is: they have no say once it is cut."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """A figure that moved: what it is, before and after in its unit [mm], [g] or [mm3]."""

    what: str
    before: float
    after: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Scales:
    """A part on the scales: mass measured and computed [g], sizes that may explain the difference [mm]."""

    part: str
    measured: float
    computed: float
    uncertainty: float
    suspects: tuple[tuple[Dimension, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A finding that the cut caused, and the change that mends it; None where the part must be made again."""

    finding: Finding
    mend: Mend | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AsCut:
    """What the measured parts change, and ``words`` for each reading of a part."""

    design: str
    measured: Mapping[str, tuple[Measured, ...]]
    words: Mapping[str, tuple[str, ...]]
    moved: tuple[Moved, ...]
    scales: tuple[Scales, ...]
    answers: tuple[Answer, ...]
    sound: bool


def compared(drawn: Design, cut: Design, tools: Toolbox | None = None) -> AsCut:
    """Hold a design with parts as they were cut against the drawing.

    Parameters
    ----------
    drawn, cut : Design
        The design as drawn, and with what was measured
    tools : Toolbox, optional
        The tools that the rules hold both to

    Returns
    -------
    AsCut
        What changed, what moved, what was found that was not before, and how to mend it
    """
    before = judged(examined(drawn, tools))[0]
    after = judged(examined(cut, tools))[0]
    measured = {part.name: part.measured for part in cut.parts if part.measured}
    answers = []
    current, new = cut, {k: f for k, f in caused(after, before).items() if not _made(f, measured)}
    while new:
        key, finding = next(iter(new.items()))
        del new[key]
        found = mended(current, finding, before, tools)
        answers.append(Answer(finding=finding, mend=found[0] if found else None))
        if found:
            current = found[1]
            still = caused(judged(examined(current, tools))[0], before)
            new = {k: f for k, f in still.items() if k in new}
    return AsCut(
        design=cut.name,
        measured=measured,
        words={
            name: tuple(reading_words(cut.part(name), reading) for reading in readings)
            for name, readings in measured.items()
        },
        moved=tuple(_moved(drawn, cut, tools)),
        scales=tuple(_scales(cut)),
        answers=tuple(answers),
        sound=all(answer.mend is not None for answer in answers),
    )


def _made(finding: Finding, measured: Iterable[str]) -> bool:
    """Tell whether a finding is only of how to make what is made already."""
    return finding.rule in _MAKING and set(finding.parts) <= set(measured)


def _moved(drawn: Design, cut: Design, tools: Toolbox | None) -> Iterator[Moved]:
    """List the places of parts, gaps, clearances, masses and balances that are not what they were."""
    for state, pose in drawn.poses.items():
        for name in pose.parts:
            here, there = pose.parts[name][2][3], cut.poses[state].parts[name][2][3]
            if abs(here - there) > CONTACT_MM:
                yield Moved(what=f"{state}: {name} stands at", before=here, after=there, unit="mm")
    yield from _gaps(drawn, cut)
    for state in drawn.states:
        met = [examined(design, tools).meetings[state] for design in (drawn, cut)]
        for a, b in zip(*met, strict=True):
            who = f"{state}: {a.parts[0]} to {a.parts[1]}"
            if a.least is not None and b.least is not None and abs(a.least - b.least) > CONTACT_MM:
                yield Moved(what=f"{who}, clearance", before=a.least, after=b.least, unit="mm")
            if abs(a.overlap - b.overlap) > CONTACT_MM3:
                yield Moved(what=f"{who}, overlap", before=a.overlap, after=b.overlap, unit="mm3")
        one, other = state_weight(drawn, state), state_weight(cut, state)
        if abs(one.mass - other.mass) > _LEAST_G:
            yield Moved(what=f"{state}: mass", before=one.mass, after=other.mass, unit="g")
        if abs(one.balance - other.balance) > CONTACT_MM:
            yield Moved(what=f"{state}: balance", before=one.balance, after=other.balance, unit="mm")


def _gaps(drawn: Design, cut: Design) -> Iterator[Moved]:
    """List the named gaps that are not what they were."""
    for name, gap in drawn.gaps.items():
        for state in drawn.states:
            sizes = []
            for design in (drawn, cut):
                spots = (face_spot(design.part(face.part), face) for face in (gap.first, gap.second))
                found = stack(design, state, *spots)
                sizes += [found.nominal] if found else []
            if len(sizes) == 2 and abs(sizes[0] - sizes[1]) > CONTACT_MM:
                yield Moved(what=f'{state}: gap "{name}"', before=sizes[0], after=sizes[1], unit="mm")


def _scales(cut: Design) -> Iterator[Scales]:
    """Hold each mass that was measured to the one computed from the sizes."""
    for part in cut.parts:
        for reading in part.measured:
            if reading.name != "mass" or not isinstance(part, TurnedPart):
                continue
            computed = part_weight(part, of=part.material).mass
            off = reading.value - computed
            suspects = () if abs(off) <= reading.uncertainty else tuple(_suspects(part, off))
            yield Scales(
                part=part.name,
                measured=reading.value,
                computed=computed,
                uncertainty=reading.uncertainty,
                suspects=suspects,
            )


def _suspects(part: TurnedPart, off: float) -> Iterator[tuple[Dimension, float]]:
    """List the sizes not measured that could make up a difference of mass [g], with what they would be."""
    known = {(reading.feature, reading.name) for reading in part.measured}
    found = []
    mass = part_weight(part, of=part.material).mass
    for dimension in dimensions(part):
        if (dimension.feature, dimension.name) in known:
            continue
        try:
            tolerance = fits.general_tolerance(dimension.value, GRADE)
        except BadValue:
            continue
        step = min(tolerance, 0.1 * dimension.value)
        for way in (step, -step):
            try:
                other = changed(part, {dimension: dimension.value + way})
                slope = (part_weight(other, of=part.material).mass - mass) / way
            except DesignFaults:
                continue
            if slope and abs(off / slope) <= _LIKELY * tolerance:
                found.append((abs(off / slope) / tolerance, dimension, dimension.value + off / slope))
            break
    found.sort(key=lambda entry: entry[0])
    yield from ((dimension, value) for _, dimension, value in found[:_SUSPECTS])


def as_json(found: AsCut) -> dict[str, Any]:
    """Lay out what changed as the one object that ``--json`` prints, numbers not rounded."""
    return {
        "design": found.design,
        "measured": {
            part: [asdict(reading) for reading in readings] for part, readings in found.measured.items()
        },
        "moved": [
            {"what": m.what, "before": m.before, "after": m.after, "unit": m.unit} for m in found.moved
        ],
        "scales": [
            {
                "part": s.part,
                "measured_g": s.measured,
                "computed_g": s.computed,
                "uncertainty_g": s.uncertainty,
                "suspects": [
                    {"dimension": str(d), "drawn_mm": d.value, "would_be_mm": v} for d, v in s.suspects
                ],
            }
            for s in found.scales
        ],
        "answers": [
            {
                "rule": a.finding.rule,
                "severity": str(a.finding.severity),
                "parts": list(a.finding.parts),
                "state": a.finding.state,
                "message": a.finding.message,
                "mend": None
                if a.mend is None
                else {
                    "part": a.mend.dimension.part,
                    "feature": a.mend.dimension.feature,
                    "dimension": a.mend.dimension.name,
                    "drawn_mm": a.mend.dimension.value,
                    "value_mm": a.mend.value,
                    "drill": a.mend.drill,
                },
            }
            for a in found.answers
        ],
        "sound": found.sound,
    }
