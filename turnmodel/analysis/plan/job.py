"""What a planner knows of its job: the part as it is built, its bar, the tools, the unit of the sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.speeds import Turns, turns
from turnmodel.analysis.plan.steps import Tool
from turnmodel.analysis.practice import DRILL_HELD, held, standing_out
from turnmodel.catalog.drills import standard_drills
from turnmodel.catalog.toolbox import SAME_SIZE
from turnmodel.units import inch

if TYPE_CHECKING:
    from turnmodel.analysis.plan.lengths import Lengths
    from turnmodel.analysis.plan.side import Side
    from turnmodel.catalog.drills import Drill
    from turnmodel.catalog.materials import Material
    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.part import TurnedPart
    from turnmodel.design.turned import Turned

__all__ = ["CLOSE", "SCRAP", "Job", "at_hand", "drill_tool", "is_held", "size_name", "slide"]

CLOSE: Final = 1e-6
"""Area of the half-plane [mm2] up to which two regions are one: a film of a nanometre along a metre."""

SCRAP: Final = 1e-5
"""Area [mm2] of the half-plane that is no cut: a hundredth of a millimetre over a thousandth."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A turned part to be planned, seen from both ends."""

    part: TurnedPart
    made: Turned
    front: Side
    back: Side
    material: Material
    tools: Toolbox
    say: Lengths

    @property
    def stock_d(self) -> float:
        """Diameter of the bar, [mm]."""
        return self.part.stock.diameter

    @property
    def length(self) -> float:
        """Length of the part, [mm]."""
        return self.made.length

    @property
    def kerf(self) -> float:
        """Width of the parting tool, [mm]."""
        return self.tools.parting_width

    @property
    def sawn(self) -> bool:
        """Whether the bar does not go through the spindle, so that each part is sawn off first."""
        return self.stock_d > self.tools.lathe.spindle_bore

    @property
    def standing_out(self) -> float:
        """Length of bar that stands out of the chuck, [mm]."""
        return standing_out(self.length, self.kerf)

    @property
    def held(self) -> float:
        """Length of bar that is gripped, [mm]."""
        return held(self.stock_d)

    def turns(self, diameter: float, operation: str = "turn") -> Turns | None:
        """Tell how fast to turn for an operation on a diameter [mm]."""
        return turns(self.material, diameter, self.tools.lathe.speeds, operation)

    def turns_down(self, first: float, last: float) -> Turns | None:
        """Tell how fast to turn from one diameter down to another, both [mm]: slower while it is thick."""
        begin, end = self.turns(first), self.turns(last)
        return None if begin is None or end is None else begin.rising_to(end)

    def d(self, diameter: float) -> str:
        """Write a diameter [mm] with its sign."""
        return f"⌀{self.say.fine(diameter)}"


def at_hand(kind: str, size: str = "") -> Tool:
    """Name a tool that every lathe has."""
    return Tool(kind=kind, size=size)


def drill_tool(tools: Toolbox, name: str, diameter: float, reach: float, end: float = 0.0) -> Tool:
    """Name a drill, and tell whether it is owned, with flutes that reach and so long that it is held.

    Parameters
    ----------
    tools : Toolbox
        The tools
    name : str
        Name of the drill
    diameter : float
        Its diameter, [mm]
    reach : float
        Length that it cuts, [mm]
    end : float
        How far from the face its point gets, [mm]

    Returns
    -------
    Tool
        The shortest that is owned and does it; one with flutes too short where none has longer; where none
        is long enough to be held, the one to be had
    """
    named = [d for d in tools.drills if d.name.removesuffix(" long") == name.removesuffix(" long")]
    same = named or [d for d in tools.drills if abs(d.diameter - diameter) < SAME_SIZE]
    holding = [d for d in same if is_held(d, end)]
    if holding:
        reaching = [d for d in holding if d.flute >= reach]
        best = min(reaching, key=_flute) if reaching else max(holding, key=_flute)
        return Tool(kind="drill", size=best.name)
    tabled = [d for d in standard_drills() if abs(d.diameter - diameter) < SAME_SIZE and is_held(d, end)]
    if any(d.name == name for d in tabled):
        return Tool(kind="drill", size=name, owned=False)
    longer = next((d.name for d in tabled), f"extra long {name}")
    return Tool(kind="drill", size=longer if tabled or same else name, owned=False)


def is_held(drill: Drill, end: float) -> bool:
    """Tell whether enough of a drill stands out to hold it by when its point is so far [mm] from the face."""
    return drill.overall - end >= DRILL_HELD


def _flute(drill: Drill) -> float:
    return drill.flute


def size_name(diameter: float, *, inches: bool = False) -> str:
    """Write the size of a tool that has no other name, [mm]."""
    return f"{diameter / inch:.4g} in" if inches else f"{diameter:.4g} mm"


def slide(half_angle: float) -> str:
    """Tell how the top slide is set for a half-angle [degrees], in both ways that it may be marked.

    Examples
    --------
    >>> slide(15.1)
    'Top slide 15.10° from the bed (74.90° where it is marked 0 across the bed)'
    """
    across = 90 - half_angle
    return f"Top slide {half_angle:.2f}° from the bed ({across:.2f}° where it is marked 0 across the bed)"
