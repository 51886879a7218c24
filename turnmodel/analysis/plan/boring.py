"""Steps of the boring bar and the reamer: from which wall, in how many cuts, to which floor."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.dial import passes
from turnmodel.analysis.plan.drilling import Holes, drill_to_bore
from turnmodel.analysis.plan.job import at_hand, size_name, slide
from turnmodel.analysis.plan.side import hole_radius
from turnmodel.analysis.plan.steps import Step, Tool, Verb
from turnmodel.catalog.drills import point_length
from turnmodel.catalog.toolbox import owned_reamer
from turnmodel.design.features.inside import Bore, TaperBore
from turnmodel.design.ledger import mm
from turnmodel.geometry.pieces import pieces
from turnmodel.geometry.region import Region, bounds
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from turnmodel.analysis.plan.job import Job
    from turnmodel.design.turned import Bored

__all__ = ["EDGE", "bore_hole", "bore_taper", "least_hole"]

EDGE: Final = 0.05
"""Depth [mm] at which a face is looked at for a hole: under any chamfer's corner."""

_TO_BORE: Final = 0.5
"""Left on the diameter [mm] at least for the boring tool; house choice."""

_TO_REAM: Final = (0.05, 0.35)
"""Least and most that is left on the diameter [mm] for a reamer; common practice."""

_SLENDER_BAR: Final = 6.0
"""Diameter [mm] of a bore under which a boring bar is too slender to bore it well; house choice."""


def bore_hole(job: Job, bored: Bored, region: Region, found: Holes) -> None:
    """Ream or bore a hole out of a region, drilled first where none stands, [mm]."""
    assert isinstance(bored.feature, Bore)
    diameter = mm(bored.feature.diameter)
    box = bounds(region)
    depth, through = min(box.z1, job.length), bored.feature.through
    ahead = through or hole_radius(found.metal, box.z1 + 0.5 * diameter) > 0
    ream = owned_reamer(job.tools, diameter) and ahead
    left = _TO_REAM[0] if ream else _TO_BORE
    stands = 2 * least_hole(found.metal, box.z0, depth)
    if stands < diameter - max(_TO_REAM[1] if ream else 3.0, left) or stands == 0:
        drill_to_bore(job, bored.title, diameter - left, depth, through, found)
    point = 0.0 if through else point_length(diameter, 118.0) + EDGE
    stands = 2 * (_wall(found.metal, box.z0, depth - point) or _wall(found.metal, box.z0, depth))
    corner = bored.feature.corner
    nose = f"; R{job.say(mm(corner.radius))} left in the corner by its nose" if corner else ""
    begin = f"from {job.d(stands)}" if stands > 0 else "from the centre out"
    deep = (
        "right through" if through else f"{job.say(depth)} deep, {_floored(job, found.metal, depth, stands)}"
    )
    if ream and stands > 0:
        how = f"from {job.d(stands)}, slow, with oil, turned only forwards"
        text = f"{job.d(diameter)}, {deep.partition(',')[0]}: {how}"
        tool = Tool(kind="reamer", size=size_name(diameter))
        found.cut(
            found.boring,
            Step(verb=Verb.REAM, text=text, removes=region, feature=bored.title, tools=(tool,),
                 turns=job.turns(diameter, "ream")),
        )  # fmt: skip
        return
    slender = ", or a D-bit: a bar is slender here" if diameter < _SLENDER_BAR else ""
    found.cut(
        found.boring,
        Step(
            verb=Verb.BORE,
            text=f"{job.d(diameter)} {begin}, {deep}{nose}{slender}",
            removes=region,
            feature=bored.title,
            tools=(at_hand("boring bar", f"under {job.say(max(stands, 0.7 * diameter))}"),),
            turns=job.turns(diameter, "bore"),
            passes=passes(stands, diameter, job.material, job.tools.lathe) if stands > 0 else (),
        ),
    )


def least_hole(metal: Region, start: float, end: float) -> float:
    """Least radius of the hole over three quarters of a depth, [mm]; 0 where part of that is solid."""
    radii = [hole_radius(metal, start + (end - start) * k / 16) for k in range(1, 13)]
    return min((r for r in radii if not math.isinf(r)), default=0.0)


def _floored(job: Job, metal: Region, depth: float, stands: float) -> str:
    """Tell how the floor of a bore [mm] is cut where a drill did not get so far at the full diameter [mm]."""
    there = 2 * hole_radius(metal, depth - EDGE)
    if stands == 0 or there > stands - CONTACT_MM:
        return "the floor flat"
    return f"the floor faced flat out from {f'the {job.d(there)} hole' if there else 'the centre'}"


def _wall(metal: Region, start: float, end: float) -> float:
    """Radius of the narrowest straight wall of a hole between two depths, which a tool touches first; [mm].

    0 where there is none. What a drill's point left is no wall.
    """
    walls = []
    for piece in pieces(metal.loops):
        low, high = max(piece.z0, start), min(piece.z1, end)
        if piece.side or abs(piece.r0 - piece.r1) > CONTACT_MM or piece.r0 < CONTACT_MM or high - low < EDGE:
            continue
        if abs(hole_radius(metal, (low + high) / 2) - piece.r0) < CONTACT_MM:
            walls.append(piece.r0)
    return min(walls, default=0.0)


def bore_taper(job: Job, bored: Bored, region: Region, found: Holes) -> None:
    """Bore a tapered hole out of a region with the top slide, drilled first, [mm]."""
    assert isinstance(bored.feature, TaperBore)
    mouth, floor, depth = mm(bored.feature.mouth_d), mm(bored.feature.floor_d), mm(bored.feature.depth)
    narrow = min(mouth, floor)
    if narrow > 0 and 2 * least_hole(found.metal, 0.0, depth) < 0.6 * narrow:
        drill_to_bore(job, bored.title, narrow - _TO_BORE, depth, False, found)
    half = math.degrees(math.atan2(abs(mouth - floor) / 2, depth))
    found.cut(
        found.boring,
        Step(
            verb=Verb.BORE,
            text=f"taper from {job.d(mouth)} at the face to {job.d(floor)} at {job.say(depth)}. "
            f"{slide(half)}",
            removes=region,
            feature=bored.title,
            tools=(at_hand("boring bar", f"under {job.say(0.7 * narrow)}"),),
            turns=job.turns(max(mouth, floor), "bore"),
        ),
    )
