"""The tools somebody owns, and which of them serves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from turnmodel.catalog.drills import Drill
    from turnmodel.catalog.printer import Printer
    from turnmodel.catalog.threads import Thread

__all__ = [
    "Lathe",
    "OwnedBar",
    "OwnedDie",
    "OwnedSlug",
    "OwnedTap",
    "Speeds",
    "Toolbox",
    "drills_about",
    "least_bar",
    "nearest_thread",
    "owned_drill",
    "owned_leads",
    "owned_reamer",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnedBar:
    """A bar in the rack.

    Parameters
    ----------
    diameter : float
        Diameter, [mm]
    length : float or None
        Length; None where it is not told, [mm]
    material : str or None
        Name of its material in the catalog; None where it is not told
    """

    diameter: float
    length: float | None = None
    material: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnedTap:
    """A tap: its thread, and "taper", "plug" or "bottoming"."""

    thread: Thread
    lead: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnedDie:
    """A die: its thread, and "standard", "short" or "reversed"."""

    thread: Thread
    lead: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnedSlug:
    """A piece of metal that can weigh down a mock-up: an end of rod, or a washer.

    Parameters
    ----------
    material : str
        Name of its material in the catalog
    diameter : float
        Diameter, [mm]
    length : float
        Length, or a washer's thickness, [mm]
    hole_d : float
        Diameter of a washer's hole; 0 for a rod, [mm]
    count : int
        How many there are, [-]
    """

    material: str
    diameter: float
    length: float
    hole_d: float = 0.0
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Speeds:
    """Speeds of a spindle.

    Parameters
    ----------
    steps : tuple of float
        The speeds there are, slowest first; where they are stepless the slowest and the fastest, [1/min]
    stepless : bool
        Whether every speed between those two is there
    """

    steps: tuple[float, ...]
    stepless: bool = False

    def under(self, wanted: float) -> float:
        """Give the fastest speed that is not above the one wanted, or the slowest there is.

        Parameters
        ----------
        wanted : float
            Speed wanted, [1/min]

        Returns
        -------
        float
            Speed to set, [1/min]

        Examples
        --------
        >>> Speeds(steps=(130, 300, 700)).under(500), Speeds(steps=(100, 2500), stepless=True).under(500)
        (300, 500)
        """
        if self.stepless:
            return min(max(wanted, self.steps[0]), self.steps[-1])
        return max((step for step in self.steps if step <= wanted), default=self.steps[0])


@dataclass(frozen=True, slots=True, kw_only=True)
class Lathe:
    """A lathe.

    Parameters
    ----------
    swing : float
        Largest diameter that turns over the bed, [mm]
    over_cross_slide : float or None
        Largest diameter that turns over the cross slide; None where it is not told, [mm]
    spindle_bore : float
        Largest bar that passes through the spindle, [mm]
    between_centres : float
        Longest work between centres, [mm]
    speeds : Speeds
        Speeds of the spindle
    dial_division : float
        What one division of the cross slide's dial means, [mm]
    cross_dial_reads : str
        "radius" where a division is what the tool moves, "diameter" where it is twice that
    """

    swing: float
    over_cross_slide: float | None = None
    spindle_bore: float
    between_centres: float
    speeds: Speeds
    dial_division: float
    cross_dial_reads: Literal["radius", "diameter"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Toolbox:
    """Everything somebody makes a design with.

    Parameters
    ----------
    origin : str
        The file it was read from, or "assumed small-shop set"
    assumed : tuple of str
        Keys that the file leaves out, taken from the small-shop set; all of them where there is no file
    bars : tuple of OwnedBar
        Bars in the rack; none listed means that any usual round is at hand
    drills : tuple of Drill
        Drills by diameter, their flutes as they are here
    reamers : tuple of float
        Diameters of the reamers, [mm]
    taps : tuple of OwnedTap
        Taps
    dies : tuple of OwnedDie
        Dies
    parting_width : float
        Width of the parting tool, [mm]
    lathe : Lathe
        The lathe
    printer : Printer
        The printer of mock-ups
    slugs : tuple of OwnedSlug
        What can weigh a mock-up down
    limits : mapping
        Name of a rule to the limit that holds here, in the rule's own unit, [-]
    """

    origin: str
    assumed: tuple[str, ...] = ()
    bars: tuple[OwnedBar, ...]
    drills: tuple[Drill, ...]
    reamers: tuple[float, ...]
    taps: tuple[OwnedTap, ...]
    dies: tuple[OwnedDie, ...]
    parting_width: float
    lathe: Lathe
    printer: Printer
    slugs: tuple[OwnedSlug, ...] = ()
    limits: Mapping[str, float]


def owned_drill(tools: Toolbox, diameter: float, depth: float = 0.0) -> Drill | None:
    """Find the drill of a diameter whose flutes are long enough, else the longest of that diameter.

    Parameters
    ----------
    tools : Toolbox
        The tools
    diameter : float
        Diameter, [mm]
    depth : float
        Depth of the hole, point included, [mm]

    Returns
    -------
    Drill or None
        The shortest that reaches; None where no drill of the diameter is owned

    Examples
    --------
    >>> from turnmodel.catalog.tools import assumed_tools
    >>> owned_drill(assumed_tools(), 3.4544).name
    '#29'
    """
    same = [drill for drill in tools.drills if abs(drill.diameter - diameter) < SAME_SIZE]
    reaching = [drill for drill in same if drill.flute >= depth]
    if reaching:
        return min(reaching, key=lambda drill: drill.flute)
    return max(same, key=lambda drill: drill.flute, default=None)


def drills_about(tools: Toolbox, diameter: float) -> tuple[Drill | None, Drill | None]:
    """Find the next owned drill below a diameter and the next above it.

    Parameters
    ----------
    tools : Toolbox
        The tools
    diameter : float
        Diameter, [mm]

    Returns
    -------
    tuple of Drill or None
        Below and above; one of the diameter itself is both

    Examples
    --------
    >>> from turnmodel.catalog.tools import assumed_tools
    >>> [drill.name for drill in drills_about(assumed_tools(), 9.37)]
    ['U', '9.4 mm']
    """
    below = [drill for drill in tools.drills if drill.diameter <= diameter + SAME_SIZE]
    above = [drill for drill in tools.drills if drill.diameter >= diameter - SAME_SIZE]
    return (
        max(below, key=lambda drill: drill.diameter, default=None),
        min(above, key=lambda drill: drill.diameter, default=None),
    )


def owned_reamer(tools: Toolbox, diameter: float) -> bool:
    """Tell whether there is a reamer of a diameter.

    Parameters
    ----------
    tools : Toolbox
        The tools
    diameter : float
        Diameter, [mm]

    Returns
    -------
    bool
        Whether there is
    """
    return any(abs(reamer - diameter) < SAME_SIZE for reamer in tools.reamers)


def owned_leads(owned: Iterable[OwnedTap] | Iterable[OwnedDie], thread: Thread) -> tuple[str, ...]:
    """List the leads in which a thread's tap or die is owned; none where it is not.

    Parameters
    ----------
    owned : iterable of OwnedTap or OwnedDie
        The taps, or the dies
    thread : Thread
        The thread

    Returns
    -------
    tuple of str
        Their leads

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> from turnmodel.catalog.tools import assumed_tools
    >>> owned_leads(assumed_tools().taps, thread("M4"))
    ('taper', 'plug', 'bottoming')
    """
    return tuple(tool.lead for tool in owned if tool.thread == thread)


def nearest_thread(owned: Iterable[OwnedTap] | Iterable[OwnedDie], thread: Thread) -> Thread | None:
    """Find the thread nearest to one wanted among those whose tap or die is owned.

    Parameters
    ----------
    owned : iterable of OwnedTap or OwnedDie
        The taps, or the dies
    thread : Thread
        The thread wanted

    Returns
    -------
    Thread or None
        The nearest in diameter, then in pitch, of the same hand and starts and where there is one of the same
        form; None where there is none

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> from turnmodel.catalog.tools import assumed_tools
    >>> print(nearest_thread(assumed_tools().dies, thread("M8x0.5")))
    M8x0.75
    """
    alike = [
        tool.thread
        for tool in owned
        if (tool.thread.left, tool.thread.starts) == (thread.left, thread.starts)
    ]
    return min(
        alike,
        key=lambda found: (
            found.form != thread.form,
            abs(found.major_d - thread.major_d),
            abs(found.pitch - thread.pitch),
        ),
        default=None,
    )


def least_bar(bars: Iterable[OwnedBar], diameter: float, length: float, material: str) -> OwnedBar | None:
    """Find the thinnest bar that a part comes out of.

    Parameters
    ----------
    bars : iterable of OwnedBar
        The bars
    diameter : float
        Least diameter, [mm]
    length : float
        Least length, [mm]
    material : str
        Name of the material in the catalog; a bar that does not tell its own will do

    Returns
    -------
    OwnedBar or None
        The bar; None where none is as large

    Examples
    --------
    >>> least_bar([OwnedBar(diameter=12.0), OwnedBar(diameter=10.0)], 9.5, 60.0, "CW614N").diameter
    10.0
    """
    fit = [
        bar
        for bar in bars
        if bar.diameter >= diameter - SAME_SIZE
        and (bar.length is None or bar.length >= length)
        and bar.material in (None, material)
    ]
    return min(fit, key=lambda bar: bar.diameter, default=None)


SAME_SIZE: Final = 1e-4
"""Diameters [mm] closer than this are one tool: under any tool's tolerance, over any rounding of inches."""
