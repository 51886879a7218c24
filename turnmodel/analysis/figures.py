"""The figures of a design by dotted names, each computed only when it is asked for."""

from __future__ import annotations

from collections import Counter
from functools import cached_property
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.finding import Severity
from turnmodel.analysis.interference import Meeting, meetings
from turnmodel.analysis.weight import PartWeight, StateWeight, part_weight, state_weight
from turnmodel.errors import OptionError, nearest
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.design import Design

__all__ = ["COUNTS", "figure_names", "figures", "held_names", "usual_names"]

_OF_PART: Final[Mapping[str, Callable[[PartWeight], float]]] = {
    "mass_g": lambda w: w.mass,
    "balance_mm": lambda w: w.balance,
    "length_mm": lambda w: w.length,
    "volume_mm3": lambda w: w.volume,
}

_OF_STATE: Final[Mapping[str, Callable[[StateWeight], float]]] = {
    "mass_g": lambda w: w.mass,
    "balance_mm": lambda w: w.balance,
    "balance_percent": lambda w: w.share,
    "length_mm": lambda w: w.length,
    "off_axis_mm": lambda w: w.off_axis,
    "swing_g_mm2": lambda w: w.swing,
    "spin_g_mm2": lambda w: w.spin,
}


def _overlap(pairs: Iterable[Meeting]) -> float:
    """What parts fill twice that are not meant to, [mm3]."""
    return sum(pair.overlap for pair in pairs if not pair.meant)


def _clearance(pairs: Iterable[Meeting]) -> float | None:
    """The least distance of two parts that do not touch, [mm]."""
    return min((p.least for p in pairs if p.least is not None and p.least > CONTACT_MM), default=None)


_OF_MEETINGS: Final[Mapping[str, Callable[[Iterable[Meeting]], float | None]]] = {
    "interference_mm3": _overlap,
    "clearance_mm": _clearance,
}

COUNTS: Final = {"faults": Severity.FAULT, "cautions": Severity.CAUTION, "notes": Severity.NOTE}


def figure_names(design: Design) -> tuple[str, ...]:
    """List every figure of a design.

    Examples
    --------
    >>> from turnmodel import Design, Part, cylinder
    >>> pin = Part.turned("pin", material="brass", stock="6 mm", outside=[cylinder(5, 20)])
    >>> figure_names(Design("pin", parts=[pin]))[:2]
    ('states.whole.mass_g', 'states.whole.balance_mm')
    """
    of_state = (*_OF_STATE, *_OF_MEETINGS)
    return (
        *(f"states.{state}.{word}" for state in design.states for word in of_state),
        *(f"parts.{part.name}.{word}" for part in design.parts for word in _OF_PART),
        *COUNTS,
    )


def usual_names(design: Design) -> tuple[str, ...]:
    """List the figures that are told where none are asked for: mass and balance of each state, and faults."""
    words = ("mass_g", "balance_mm")
    return (*(f"states.{state}.{word}" for state in design.states for word in words), "faults")


def held_names(names: Iterable[str], design: Design, option: str) -> tuple[str, ...]:
    """Hold names of figures to those there are.

    Raises
    ------
    OptionError
        At the first that there is not, with the nearest
    """
    known = figure_names(design)
    kept = tuple(names)
    for name in kept:
        if name not in known:
            near = nearest(name, known)
            hint = f"did you mean {near!r}?" if near else "such as " + ", ".join(usual_names(design))
            raise OptionError(f"{option} {name}: {design.name} has no such figure; {hint}")
    return kept


class _Seen:
    """A design of which each figure is computed when it is first asked for."""

    def __init__(self, design: Design, tools: Toolbox | None) -> None:
        self.design, self.tools = design, tools
        self.met: dict[str, tuple[Meeting, ...]] = {}
        self.weighed: dict[str, StateWeight] = {}

    @cached_property
    def counts(self) -> Counter[Severity]:
        # The rules bring half the program with them, which mass and balance do without.
        from turnmodel.analysis.report import examined, judged

        findings, _ = judged(examined(self.design, self.tools))
        return Counter(finding.severity for finding in findings)

    def meetings(self, state: str) -> tuple[Meeting, ...]:
        if state not in self.met:
            self.met[state] = meetings(self.design, state)
        return self.met[state]

    def figure(self, name: str) -> float | None:
        if name in COUNTS:
            return self.counts[COUNTS[name]]
        kind, _, rest = name.partition(".")
        of, _, word = rest.rpartition(".")
        if kind == "parts":
            return _OF_PART[word](part_weight(self.design.part(of)))
        if word in _OF_MEETINGS:
            return _OF_MEETINGS[word](self.meetings(of))
        if of not in self.weighed:
            self.weighed[of] = state_weight(self.design, of)
        return _OF_STATE[word](self.weighed[of])


def figures(design: Design, names: Iterable[str], tools: Toolbox | None = None) -> dict[str, float | None]:
    """Compute figures of a design, and nothing that they do not need.

    Parameters
    ----------
    design : Design
        The design
    names : iterable of str
        Names of `figure_names`
    tools : Toolbox, optional
        The tools that the rules hold it to; left out, the common small-shop set

    Returns
    -------
    dict
        Name to figure, in the unit that its name ends in; None for a clearance where all parts touch

    Raises
    ------
    OptionError
        If there is no such figure
    """
    seen = _Seen(design, tools)
    return {name: seen.figure(name) for name in held_names(names, design, "figure")}
