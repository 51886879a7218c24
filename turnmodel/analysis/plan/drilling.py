"""Steps of a drill: pilots before a large one, how deep, when to draw it back, where its flutes end."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.cautions import CAUTIONS
from turnmodel.analysis.plan.job import SCRAP, drill_tool, is_held
from turnmodel.analysis.plan.side import hole_radius
from turnmodel.analysis.plan.steps import Step, Verb
from turnmodel.analysis.practice import DRILL_HELD, FACING, PAST_FLUTES, PECK
from turnmodel.catalog.drills import nearest_drills, point_length
from turnmodel.catalog.toolbox import SAME_SIZE
from turnmodel.geometry.boolean import difference, intersection
from turnmodel.geometry.moments import area
from turnmodel.geometry.region import Region, bounds, polygon, ring
from turnmodel.geometry.tolerance import CONTACT_MM, SAME_MM

if TYPE_CHECKING:
    from turnmodel.analysis.plan.job import Job
    from turnmodel.analysis.plan.steps import Tool
    from turnmodel.catalog.drills import Drill as Twist

__all__ = ["Holes", "Reach", "drill_to_bore", "drilled", "open_up", "pointed", "reach"]

_LARGE: Final = 6.0
"""Diameter [mm] above which a drill follows a smaller one; house choice for a small lathe."""

_LITTLE: Final = 0.85
"""Diameter over that of another drill [-] from which it leaves little more to bore; house choice."""


class Reach(Enum):
    """How a drill gets to the end of its cut: not at all, past its flutes, or within them."""

    NONE = 0
    PECKED = 1
    CLEAR = 2


@dataclass(slots=True, kw_only=True)
class Holes:
    """Steps of the inside: those before the outside is turned, and those after; what metal is left, [mm]."""

    metal: Region
    drilling: list[Step] = field(default_factory=list)
    boring: list[Step] = field(default_factory=list)
    tapping: list[Step] = field(default_factory=list)

    def cut(self, group: list[Step], step: Step) -> None:
        """Add a step, and take off what it removes."""
        self.metal = difference(self.metal, step.removes)
        group.append(step)

    def bites(self, region: Region) -> bool:
        """Whether anything of a region is still there."""
        return bool(region.loops) and area(intersection(self.metal, region)) > SCRAP


def drilled(
    job: Job,
    title: str,
    name: str,
    diameter: float,
    depth: float,
    point: float,
    region: Region,
    found: Holes,
    through: bool,
    pilot: str = "",
) -> Step:
    """Write down one drill: to which depth, where its tip is, when to draw it back; [mm], [degrees]."""
    cut = bounds(intersection(found.metal, region))
    length = cut.z1 - cut.z0
    tip = depth + point_length(diameter, point)
    end = cut.z1 + point_length(diameter, point) if through else tip
    tool = drill_tool(job.tools, name, diameter, length, end)
    if through:
        past = min(cut.z1, job.length + FACING + job.kerf)
        if past > job.length + CONTACT_MM:
            deep = f"{job.say.rough(past)} at full diameter, past where it is parted off"
        elif past < job.length - CONTACT_MM:
            deep = f"through into the hole from the other end, {job.say.rough(past)} from the face"
        else:
            deep = "right through"
    else:
        deep = f"{job.say(depth)} at full diameter, its tip {job.say(tip)} from the face"
    if tool.size.startswith("extra long"):
        deep += f" ({job.say.rough(end + DRILL_HELD)} long at least, to be held)"
    peck = ""
    if length > PECK * diameter * (1 + 1e-9):
        peck = f". Draw it back after {job.say.rough(PECK * diameter)}, then every {job.say.rough(diameter)}"
    return Step(
        verb=Verb.DRILL,
        text=f"{tool.size}{pilot}: {deep}{_flutes(job, tool, diameter, length)}{peck}",
        removes=region,
        feature=title,
        tools=(tool,),
        turns=job.turns(diameter, "drill"),
        cautions=(CAUTIONS["swarf"],) if peck else (),
    )


def reach(job: Job, name: str, diameter: float, point: float, cut: tuple[float, float]) -> Reach:
    """Tell how well the drill that there is gets from one depth to another through a part.

    Parameters
    ----------
    job : Job
        The job
    name : str
        Name of the drill
    diameter : float
        Its diameter, [mm]
    point : float
        Angle of its point, [degrees]
    cut : tuple of float
        Between which distances from the face it cuts at full diameter, [mm]

    Returns
    -------
    Reach
        Whether it is held at the end of its cut, and whether its flutes carry the chips out
    """
    start, end = cut
    tool = drill_tool(job.tools, name, diameter, end - start, end + point_length(diameter, point))
    if not tool.owned:
        return Reach.NONE if drill_tool(job.tools, name, diameter, 0.0).owned else Reach.CLEAR
    used = next(d for d in job.tools.drills if d.name == tool.size)
    return Reach.CLEAR if used.flute >= end - start else Reach.PECKED


def _flutes(job: Job, tool: Tool, diameter: float, length: float) -> str:
    """Tell where a drill's flutes end before its cut does."""
    same = [d.flute for d in job.tools.drills if abs(d.diameter - diameter) < SAME_SIZE]
    if not tool.owned or not same or max(same) >= length:
        return ""
    flutes, often = job.say.rough(max(same)), job.say.rough(PAST_FLUTES * diameter)
    return f" (its flutes are {flutes} long: clear it every {often} from there)"


def open_up(job: Job, title: str, diameter: float, depth: float, tip: float, found: Holes) -> None:
    """Drill smaller holes, of diameters and depths in [mm], before a large drill cuts from the solid."""
    if diameter <= _LARGE or hole_radius(found.metal, min(depth, job.length) / 2) > 0:
        return
    shares = (0.5,) if diameter <= 1.5 * _LARGE else (0.35, 0.7)
    for share in shares:
        drill = _owned_near(job, share * diameter, depth)
        if drill is None:
            continue
        point = drill.point_length
        deep = depth if math.isinf(tip) else min(depth, tip - point - 0.1)
        if deep <= 1.0:
            continue
        past = FACING + job.kerf if math.isinf(tip) else 0.0
        region = pointed(drill.diameter, deep + past, 0.0 if math.isinf(tip) else point)
        if found.bites(region):
            step = drilled(
                job, title, drill.name, drill.diameter, deep, 118.0, region, found,
                through=math.isinf(tip), pilot=" first",
            )  # fmt: skip
            found.cut(found.drilling, step)


def _owned_near(job: Job, diameter: float, depth: float) -> Twist | None:
    """Find the owned drill nearest to a diameter whose flutes reach a depth, both [mm]."""
    reaching = [d for d in job.tools.drills if d.flute >= depth + d.point_length]
    alike = [d for d in reaching if d.kind.startswith("metric") is (job.say.unit == "mm")]
    near = min(alike or reaching, key=lambda d: abs(d.diameter - diameter), default=None)
    return near if near is not None and abs(near.diameter - diameter) < diameter / 3 else None


def _owned_under(job: Job, diameter: float, depth: float) -> Twist | None:
    """Find the largest owned drill up to a diameter that gets to a depth, both [mm].

    One that is little smaller and whose flutes reach goes before it.
    """
    past = depth + FACING + job.kerf
    there = [d for d in job.tools.drills if d.diameter <= diameter and is_held(d, past + d.point_length)]
    widest = max((d.diameter for d in there), default=0.0)
    clear = [d for d in there if d.flute >= depth and d.diameter >= _LITTLE * widest]
    return max(clear or there, key=lambda d: d.diameter, default=None)


def pointed(diameter: float, depth: float, point: float) -> Region:
    """Draw a hole of a diameter and depth with a point of a length, all [mm]."""
    r = diameter / 2
    if point < SAME_MM:
        return ring(0.0, depth, diameter)
    return polygon([(0.0, 0.0), (depth + point, 0.0), (depth, r), (0.0, r)])


def drill_to_bore(job: Job, title: str, most: float, depth: float, through: bool, found: Holes) -> None:
    """Drill the hole that a boring tool or a reamer begins in: its most and its depth, [mm]."""
    drill = _owned_under(job, most, depth) or nearest_drills(most)[0]
    if drill is None:
        return
    floor = math.inf if through else depth - 0.1
    deep = depth if through else depth - 0.1 - drill.point_length
    if deep <= 0.2:
        return
    open_up(job, title, drill.diameter, deep, math.inf if through else floor, found)
    past = FACING + job.kerf if through else 0.0
    region = pointed(drill.diameter, deep + past, 0.0 if through else drill.point_length)
    if found.bites(region):
        step = drilled(job, title, drill.name, drill.diameter, deep, 118.0, region, found, through, " first")
        found.cut(found.drilling, step)
