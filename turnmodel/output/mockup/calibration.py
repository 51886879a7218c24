"""From the measures of a printed gauge to the record of its printer, by least squares."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.errors import BadValue
from turnmodel.output.mockup.gauge import ROOMS
from turnmodel.output.mockup.measures import FEWEST

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from turnmodel.output.mockup.measures import Measures

    Floats = NDArray[np.float64]

__all__ = ["Calibration", "Estimate", "calibrated", "record"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A figure of a printer as measured: its name, its value and its standard error [mm]."""

    name: str
    value: float
    error: float

    def __str__(self) -> str:
        return f"{self.name} {self.value:.3f} mm, give or take {self.error:.3f}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """What a gauge says of its printer.

    Parameters
    ----------
    process : str
        "filament" or "resin"
    estimates : tuple of Estimate
        The figures of the record that were measured
    scale : float
        By how much everything across comes out larger, as a share of its size, [-]
    scale_error : float
        Its standard error, [-]
    scatter : float
        How far single measures lie off, root mean square, [mm]
    """

    process: str
    estimates: tuple[Estimate, ...]
    scale: float
    scale_error: float
    scatter: float

    @property
    def figures(self) -> Mapping[str, float]:
        """The figures as a record has them: to a hundredth, and not below what it allows, [mm]."""
        return {
            e.name: round(max(e.value, 0.0) if e.name in _NOT_BELOW else e.value, 2) + 0.0
            for e in self.estimates
        }

    @property
    def scaled(self) -> bool:
        """Whether size itself is off by more than chance and more than a calliper's reading at 10 mm."""
        return abs(self.scale) > 2 * self.scale_error and abs(self.scale) * 10 > _READING


_MIDDLE: Final = 6.0
"""Diameter [mm] at which allowances are told: that of a pen's holes and spigots."""

_READING: Final = 0.02
"""What a calliper reads to [mm]: common practice. No scatter is believed to be smaller than half of it."""

_MOST_SCATTER: Final = 0.15
"""Scatter [mm] above which measures tell nothing: house choice, the smallest allowance in common use."""

_NOT_BELOW: Final = ("depth", "foot", "thread")


def calibrated(measures: Measures) -> Calibration:
    r"""Fit a printer's figures to what was measured.

    .. math::
        y_i = \pm a_k + s\,(d_i - d_0)

    with :math:`y_i` what a hole or peg of size :math:`d_i` is larger than drawn, :math:`a_k` the allowance of
    its kind at :math:`d_0` = 6 mm, minus for holes, and :math:`s` the scale common to all.

    Parameters
    ----------
    measures : Measures
        What was measured

    Returns
    -------
    Calibration
        The figures and their standard errors

    Raises
    ------
    BadValue
        If the measures scatter so much that they tell nothing

    Notes
    -----
    Lengths along the axis are fitted alike, with a scale of their own. A scatter below half of a calliper's
    reading is taken for that.
    """
    across, kinds = [], [k for k in ("hole", "cross_hole", "shaft") if _of(measures, k)]
    wanted: list[float] = []
    for k, kind in enumerate(kinds):
        for size, found in _of(measures, kind).items():
            row = [0.0] * len(kinds)
            row[k] = 1.0 if kind == "shaft" else -1.0
            across.append([*row, size - _MIDDLE])
            wanted.append(found - size)
    values, errors, scatter = _fitted(np.array(across), np.array(wanted))
    if scatter > _MOST_SCATTER:
        raise BadValue(
            "scatter of the measures", scatter, "mm", f"above {_MOST_SCATTER:g} mm they tell nothing",
            "measure again, or look for a misread line",
        )  # fmt: skip
    estimates = [
        Estimate(name=kind, value=float(values[k]), error=float(errors[k])) for k, kind in enumerate(kinds)
    ]
    estimates += _along(measures) + _foot(measures, scatter) + _thread(measures)
    return Calibration(
        process=measures.process,
        estimates=tuple(estimates),
        scale=float(values[-1]),
        scale_error=float(errors[-1]),
        scatter=scatter,
    )


def record(text: str, found: Calibration) -> str:
    r"""Write the figures into the text of a file of tools; everything else in it stays.

    Parameters
    ----------
    text : str
        The file of tools, or nothing
    found : Calibration
        What the gauge says

    Returns
    -------
    str
        The text with its table of the printer brought up to date

    Examples
    --------
    >>> found = Calibration(
    ...     process="resin",
    ...     estimates=(Estimate(name="hole", value=0.118, error=0.01),),
    ...     scale=0.0,
    ...     scale_error=0.001,
    ...     scatter=0.02,
    ... )
    >>> print(record("parting_width = 2.0\n", found))
    parting_width = 2.0
    <BLANKLINE>
    [printer]
    process = "resin"
    hole = 0.12
    <BLANKLINE>
    """
    lines = text.splitlines()
    head = next((k for k, line in enumerate(lines) if re.match(r"\s*\[printer\]", line)), None)
    if head is None:
        lines += ["", "[printer]"] if lines else ["[printer]"]
        head = len(lines) - 1
    end = next((k for k in range(head + 1, len(lines)) if re.match(r"\s*\[", lines[k])), len(lines))
    last = max((k for k in range(head, end) if re.match(r"\s*(\[printer|\w+\s*=)", lines[k])), default=head)
    figures = {"process": f'"{found.process}"', **{k: f"{v:g}" for k, v in found.figures.items()}}
    for key, value in figures.items():
        written = [k for k in range(head + 1, end) if re.match(rf"\s*(#\s*)?{key}\s*=", lines[k])]
        at = min(written, key=lambda k: lines[k].lstrip().startswith("#"), default=None)
        if at is None:
            last, end = last + 1, end + 1
            lines.insert(last, f"{key} = {value}")
        else:
            comment = re.search(r"=\s*(?:\"[^\"]*\"|[^#]*?)\s*(#.*)$", lines[at])
            lines[at] = f"{key} = {value}" + (f"  {comment[1]}" if comment else "")
            last = max(last, at)
    return "\n".join(lines) + "\n"


def _of(measures: Measures, kind: str) -> Mapping[float, float]:
    return {"hole": measures.holes, "cross_hole": measures.cross_holes, "shaft": measures.pegs}[kind]


def _fitted(rows: Floats, wanted: Floats) -> tuple[Floats, Floats, float]:
    """Solve by least squares: values, standard errors, and scatter of a single measure."""
    values = np.linalg.lstsq(rows, wanted, rcond=None)[0].astype(float)
    free = max(len(wanted) - rows.shape[1], 1)
    scatter = math.sqrt(float(((rows @ values - wanted) ** 2).sum()) / free)
    spread = max(scatter, _READING / 2)
    errors = spread * np.sqrt(np.diag(np.linalg.inv(rows.T @ rows)))
    return values, errors, scatter


def _along(measures: Measures) -> list[Estimate]:
    """Fit by how much lengths come out long."""
    if len(measures.lengths) < FEWEST:
        return []
    sizes = np.array(list(measures.lengths))
    off = np.array(list(measures.lengths.values())) - sizes
    values, errors, _ = _fitted(np.stack([np.ones_like(sizes), sizes - sizes.mean()], axis=1), off)
    return [Estimate(name="depth", value=float(values[0]), error=float(errors[0]))]


def _foot(measures: Measures, scatter: float) -> list[Estimate]:
    """Tell the first layers' spread from the peg's foot and its middle."""
    spread = max(scatter, _READING / 2)
    return [
        Estimate(name="foot", value=(wide - measures.pegs[size]) / 2, error=spread / math.sqrt(2))
        for size, wide in measures.foot.items()
        if size in measures.pegs
    ]


def _thread(measures: Measures) -> list[Estimate]:
    """Take the middle between the first tapped hole that turns and the last that does not rattle."""
    if measures.thread is None:
        return []
    low, high = (ROOMS[n - 1] for n in measures.thread)
    width = high - low + ROOMS[1] - ROOMS[0]
    return [Estimate(name="thread", value=(low + high) / 2, error=width / math.sqrt(12))]
