"""What a cut sheet is made of: tools, grips, steps, settings, and the plan that holds them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Literal

from turnmodel.geometry.region import Region

if TYPE_CHECKING:
    from turnmodel.analysis.plan.cautions import Caution
    from turnmodel.analysis.plan.dial import Pass
    from turnmodel.analysis.plan.lengths import Unit
    from turnmodel.analysis.plan.round_steps import StepTable
    from turnmodel.analysis.plan.speeds import Turns
    from turnmodel.design.part import StripPart, TurnedPart

__all__ = ["NOTHING", "Bench", "Blank", "End", "Grip", "Plan", "Setting", "Step", "Tool", "Verb"]

End = Literal["front", "back"]
"""An end of a part."""

NOTHING = Region(loops=())
"""What a step removes that cuts nothing round."""


class Verb(StrEnum):
    """What is done in a step, in one word or two."""

    SAW = "saw"
    HOLD = "hold"
    FACE = "face"
    CENTRE = "centre"
    DRILL = "drill"
    SUPPORT = "support"
    TURN = "turn"
    NECK = "neck"
    KNURL = "knurl"
    TAPER = "taper"
    ROUND = "round"
    BORE = "bore"
    REAM = "ream"
    COUNTERSINK = "countersink"
    RECESS = "recess"
    CHAMFER = "chamfer"
    THREAD = "thread"
    TAP = "tap"
    TRY = "try"
    PART_OFF = "part off"
    MARK = "mark"
    CUT = "cut"
    FILE = "file"
    DEBURR = "deburr"
    BEND = "bend"
    HEAT = "heat"
    FINISH = "finish"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """A tool that a step needs.

    Parameters
    ----------
    kind : str
        "drill", "tap", "die", "reamer", or a tool every lathe has, such as "parting tool"
    size : str
        Its name in the trade, empty where there is only one
    owned : bool
        Whether it is there
    """

    kind: str
    size: str = ""
    owned: bool = True

    def __str__(self) -> str:
        if self.size.startswith(("under", "up to")):
            return f"{self.kind} {self.size}"
        return f"{self.size} {self.kind}".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Grip:
    """How a part is held, between two of its stations.

    Parameters
    ----------
    by : str
        "bar", "cylinder", "thread" (in a tapped bush), "tapped hole" (on a threaded stub), "bore" (on a
        mandrel), or "face" (cemented into a cup)
    start, end : float
        Stations between which it is held; beyond the part's ends where that is bar, [mm]
    diameter : float
        Diameter that is gripped, [mm]
    thread : str
        Designation where it is held by a thread
    over : float
        Diameter of a knurl that must get past the grip and is too wide for it, else 0, [mm]
    """

    by: Literal["bar", "cylinder", "thread", "tapped hole", "bore", "face"]
    start: float
    end: float
    diameter: float
    thread: str = ""
    over: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a cut sheet.

    Parameters
    ----------
    verb : Verb
        What is done
    text : str
        To which numbers, in a line or two
    removes : Region
        What of the half-plane it removes, in the part's frame, [mm]
    feature : str or None
        Title of the feature that it makes
    tools : tuple of Tool
        Tools that it needs
    turns : Turns or None
        How fast
    passes : tuple of Pass
        Diameters and dial readings, cut by cut
    table : StepTable or None
        A curve, plunge by plunge
    cautions : tuple of Caution
        What to beware of just here
    """

    verb: Verb
    text: str
    removes: Region = NOTHING
    feature: str | None = None
    tools: tuple[Tool, ...] = ()
    turns: Turns | None = None
    passes: tuple[Pass, ...] = ()
    table: StepTable | None = None
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """Everything that is done at the lathe without letting the work go: all of it runs true together.

    Parameters
    ----------
    out : {"front", "back"}
        End of the part that stands out of the chuck
    grip : Grip
        How it is held
    steps : tuple of Step
        What is done, in order
    """

    out: End
    grip: Grip
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What is done away from the turning: at the vice, the drilling machine, the hearth."""

    title: str
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """What a part is made from.

    Parameters
    ----------
    stock : str
        Its size in the trade
    diameter : float
        Diameter, or the width of a strip, [mm]
    takes : float
        Length of it that one part uses up, kerf included, [mm]
    held : float
        Length that must be left over to be held by, once for a bar that is fed through, [mm]
    sawn : bool
        Whether each part is sawn off first, because the bar does not go through the spindle
    """

    stock: str
    diameter: float
    takes: float
    held: float
    sawn: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The cut sheet of a part.

    Parameters
    ----------
    part : TurnedPart or StripPart
        The part
    blank : Blank
        What it is made from
    settings : tuple of Setting
        What is done at the lathe, setting by setting
    bench : tuple of Bench
        What is done afterwards
    unit : {"mm", "in"}
        Unit that its texts are written in
    """

    part: TurnedPart | StripPart
    blank: Blank
    settings: tuple[Setting, ...]
    bench: tuple[Bench, ...]
    unit: Unit

    @property
    def steps(self) -> tuple[Step, ...]:
        """Every step, in order."""
        groups: tuple[Setting | Bench, ...] = (*self.settings, *self.bench)
        return tuple(step for group in groups for step in group.steps)

    @property
    def tools(self) -> tuple[Tool, ...]:
        """Every tool, each once, in the order they are taken up."""
        return tuple(dict.fromkeys(tool for step in self.steps for tool in step.tools))

    @property
    def missing(self) -> tuple[Tool, ...]:
        """Tools that are not there."""
        return tuple(tool for tool in self.tools if not tool.owned)
