"""How a part is held when it is turned round, without marking what is finished."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.cautions import CAUTIONS
from turnmodel.analysis.plan.job import CLOSE, at_hand
from turnmodel.analysis.plan.side import hole_radius
from turnmodel.analysis.plan.steps import Grip, Step, Verb
from turnmodel.analysis.practice import CLEAR, FACING
from turnmodel.catalog import threads
from turnmodel.design.features.outside import Cylinder, raised
from turnmodel.geometry.boolean import difference, intersection
from turnmodel.geometry.moments import area
from turnmodel.geometry.pieces import pieces
from turnmodel.geometry.region import ring
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from turnmodel.analysis.plan.cautions import Caution
    from turnmodel.analysis.plan.job import Job
    from turnmodel.analysis.plan.side import Band, Side
    from turnmodel.analysis.plan.steps import End
    from turnmodel.geometry.body import ThreadSpan
    from turnmodel.geometry.region import Region

__all__ = ["RANKS", "Held", "hold_bar", "hold_step", "regrip", "slips"]

RANKS: Final = ("cylinder", "thread", "tapped hole", "bore", "short cylinder", "face")
"""Ways of holding a part again, the best first; house choice."""

_LONG: Final = 5.0
"""Cylinder [mm] that a collet holds true; house choice."""

_SHORT: Final = 1.0
"""Cylinder [mm] that soft jaws with a step behind it still hold; house choice."""

_MOST: Final = 25.0
"""Length [mm] of a collet's or a soft jaw's bore; house choice."""

_STUB: Final = 4.0
"""Length [mm] of a bore that holds on a mandrel; house choice."""

_BACK: Final = (0.0, 1.0, 2.0, 4.0)
"""How far [mm] inside a mouth that is rounded away a mandrel may begin; house choice."""

_SKIN: Final = 0.05
"""Depth [mm] to which metal must be there under a grip; house choice, under any wall that can be held."""

_TURNS: Final = 2.5
"""Turns of thread that hold a part in a bush or on a stub; house choice."""

_THIN: Final = 1.0
"""Wall [mm] under a grip that gives way; house choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A grip in the frame of the first setting, [mm], and how good it is: the index of its rank [-]."""

    grip: Grip
    rank: int


def hold_bar(job: Job) -> Grip:
    """Grip the bar beyond the part, in the frame of the setting."""
    start = job.length + FACING + job.kerf + CLEAR
    return Grip(by="bar", start=start, end=start + job.held, diameter=job.stock_d)


def regrip(
    side: Side, bands: Sequence[Band], metal: Region, whole: Region, spans: Sequence[ThreadSpan]
) -> Held:
    """Choose how a part is held when it is turned round.

    Parameters
    ----------
    side : Side
        The part as it stood in the first setting
    bands : sequence of Band
        What of its outside is finished
    metal : Region
        What is left of the bar after the first setting, in its frame, [mm]
    whole : Region
        The part when it is finished, in that frame, [mm]
    spans : sequence of ThreadSpan
        Threads that were tapped in it, in its frame

    Returns
    -------
    Held
        The best grip there is; cemented by its face where there is none
    """
    found = [*_cylinders(side, bands), *_threads(bands), *_holes(side, metal, whole, spans)]
    found = [held for held in found if not (slips(held.grip, metal) or slips(held.grip, whole))]
    face = Held(grip=Grip(by="face", start=0.0, end=0.0, diameter=bands[0].diameter), rank=len(RANKS) - 1)
    return min([*found, face], key=lambda held: (held.rank, held.grip.start - held.grip.end))


def _cylinders(side: Side, bands: Sequence[Band]) -> Iterator[Held]:
    """Straight lengths that go into a collet, or into soft jaws where a knurl in front of them has grown."""
    for k, band in enumerate(bands):
        if not isinstance(band.feature, Cylinder) or band.feature.knurled is not None:
            continue
        if any(other.diameter > band.diameter + CONTACT_MM for other in bands[:k]):
            continue
        front, back = _straight(side, band)
        if k == len(bands) - 1:
            back -= min(2.0, 0.25 * (back - front))
        if back - front >= _SHORT:
            rank = RANKS.index("cylinder" if back - front >= _LONG else "short cylinder")
            knurled = max((_grown(other) for other in bands[:k]), default=0.0)
            grip = Grip(
                by="cylinder",
                start=max(front, back - _MOST),
                end=back,
                diameter=band.diameter,
                over=knurled if knurled > band.diameter + CONTACT_MM else 0.0,
            )
            yield Held(grip=grip, rank=rank)


def _grown(band: Band) -> float:
    """Diameter of a band, a knurl's as it has grown, [mm]."""
    return band.diameter + raised(band.feature)


def _straight(side: Side, band: Band) -> tuple[float, float]:
    """Find between which stations a cylinder is left straight by its edges, [mm]."""
    left = [
        (max(p.z0, band.start), min(p.z1, band.end))
        for p in pieces(side.outline.loops)
        if not p.side and max(abs(p.r0 - band.diameter / 2), abs(p.r1 - band.diameter / 2)) < CONTACT_MM
    ]
    return max(left, key=lambda ends: ends[1] - ends[0], default=(band.start, band.start))


def _threads(bands: Sequence[Band]) -> Iterator[Held]:
    """External threads that screw into a tapped bush: what is in front of them passes through it."""
    for k, band in enumerate(bands):
        if band.thread is None:
            continue
        size = threads.thread(band.thread.size)
        passes = all(_grown(other) <= size.minor_d + CONTACT_MM for other in bands[:k])
        if passes and band.end - band.start >= _TURNS * size.pitch:
            grip = Grip(by="thread", start=band.start, end=band.end, diameter=size.major_d, thread=str(size))
            yield Held(grip=grip, rank=RANKS.index("thread"))


def _holes(side: Side, metal: Region, whole: Region, spans: Sequence[ThreadSpan]) -> Iterator[Held]:
    """Straight walls of the hole at the end that stood out: for a mandrel, or for a stub in a thread."""
    for piece in pieces(whole.loops):
        if piece.side or abs(piece.r0 - piece.r1) > CONTACT_MM or piece.r0 < 1.0:
            continue
        start, end = max(piece.z0, 0.0), min(piece.z1, side.length)
        within = [start + (end - start) * k / 8 for k in range(1, 8)]
        if end - start < _SHORT or any(abs(hole_radius(metal, u) - piece.r0) > CONTACT_MM for u in within):
            continue
        mouths = [hole_radius(metal, start * k / 8) for k in range(1, 8)]
        if start > CONTACT_MM and min(mouths) < piece.r0 - CONTACT_MM:
            continue
        for span in spans:
            low, high = max(start, span.start), min(end, span.end)
            if high - low >= _TURNS * span.thread.pitch:
                grip = Grip(
                    by="tapped hole", start=low, end=high, diameter=2 * piece.r0, thread=str(span.thread)
                )
                yield Held(grip=grip, rank=RANKS.index("tapped hole"))
        for low in (start + back for back in _BACK):
            if end - low >= _STUB:
                grip = Grip(by="bore", start=low, end=min(end, low + _MOST), diameter=2 * piece.r0)
                yield Held(grip=grip, rank=RANKS.index("bore"))


def hold_step(job: Job, grip: Grip, out: End, metal: Region) -> Step:
    """Write down how a part is held, in the frame of the first setting, whose other end now stands out."""
    cautions: list[Caution] = [CAUTIONS["key"]]
    size = job.d(grip.diameter)
    long = job.say.rough(grip.end - grip.start)
    match grip.by:
        case "cylinder":
            far = job.say(job.length - grip.end)
            jaws = f"in a collet or bored soft jaws whose mouth is {far} from the {out} face"
            if grip.over:
                jaws = (
                    f"in soft jaws bored to it, their mouth {far} from the {out} face, and relieved behind "
                    f"that for the knurl: it has grown to {job.d(grip.over)} and goes through no collet"
                )
            text = f"the {out} end out, by {size} over {long}, {jaws}; clock it true"
            cautions.append(CAUTIONS["finished"])
            wall = grip.diameter / 2 - hole_radius(metal, (grip.start + grip.end) / 2)
            if wall < _THIN:
                cautions.append(CAUTIONS["thin wall"])
            tool = at_hand("soft jaws" if grip.over else "collet or soft jaws", size)
        case "thread":
            text = (
                f"the {out} end out, screwed to the shoulder in a bush that is tapped in place and not taken "
                "out again"
            )
            tool = at_hand("tapped bush", grip.thread)
        case "tapped hole":
            text = f"the {out} end out, on a stub that is threaded in place and not taken out again"
            tool = at_hand("threaded stub", grip.thread)
        case "bore":
            fit = f"a mandrel of {size}, turned in place to a push fit over {long}"
            text = f"the {out} end out, on {fit}; light cuts"
            tool = at_hand("mandrel", size)
        case _:
            text = f"the {out} end out, cemented into a cup that is bored in place"
            cautions.append(CAUTIONS["cement"])
            tool = at_hand("cup and cement")
    return Step(verb=Verb.HOLD, text=text, tools=(tool,), cautions=tuple(cautions))


def slips(grip: Grip, metal: Region) -> str | None:
    """Tell why a grip does not hold, or None where it does."""
    if grip.by == "face":
        return None
    start, end, r = grip.start, grip.end, grip.diameter / 2
    if end <= start:
        return "the grip has no length"
    if grip.by in ("bore", "tapped hole"):
        wall = ring(start, end, 2 * (r + _SKIN), 2 * r)
        free = ring(start, end, 2 * r)
    else:
        wall = ring(start, end, 2 * r, 2 * max(r - _SKIN, 0.0))
        free = ring(start, end, 4 * r + 100, 2 * r)
    # A thread's ends are chamfered: they are let off.
    slack = 0.5 * (end - start) * _SKIN if grip.by == "thread" else CLOSE
    if area(difference(wall, metal)) > slack:
        return f"grips between {start:.2f} and {end:.2f} mm what is not there"
    if grip.by != "thread" and area(intersection(free, metal)) > CLOSE:
        return f"does not go on between {start:.2f} and {end:.2f} mm"
    return None
