"""Limits of size of threads: ISO 965-1 by its tables, Unified by the formulas of ASME B1.1."""

from __future__ import annotations

import functools
import math
import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING, Final

from turnmodel.catalog.table import rows, source_of
from turnmodel.catalog.thread_forms import ISO_METRIC, UNIFIED
from turnmodel.errors import UnknownName
from turnmodel.source import Basis, Source
from turnmodel.units import inch

if TYPE_CHECKING:
    from turnmodel.catalog.threads import Thread

__all__ = ["ThreadLimits", "limits", "thread_classes"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadLimits:
    """Limits of one side of a thread at one tolerance class.

    Parameters
    ----------
    external : bool
        Whether they are the screw's
    fit : str
        Tolerance class
    major_max, major_min : float or None
        Major diameter; the nut's has no maximum, its form lets the tap decide, [mm]
    pitch_max, pitch_min : float
        Pitch diameter, [mm]
    minor_max, minor_min : float
        Minor diameter: the nut's hole; of the screw, the flat a GO gauge allows and the deepest rounded
        root, [mm]
    root_max : float or None
        Largest diameter of the screw's rounded root; None for the nut, [mm]
    source : Source
        Where they come from
    """

    external: bool
    fit: str
    major_max: float | None
    major_min: float
    pitch_max: float
    pitch_min: float
    minor_max: float
    minor_min: float
    root_max: float | None
    source: Source


def limits(thread: Thread, external: bool, fit: str | None = None) -> ThreadLimits:
    """Give the limits of size of a thread.

    Parameters
    ----------
    thread : Thread
        Basic thread
    external : bool
        Whether the limits of the screw are wanted, or of the nut
    fit : str or None
        Tolerance class, as ``"6g"``, ``"4g6g"``, ``"5H"``, ``"2A"``; by default the one in the designation,
        else 6g and 6H (to M1.4 6h and 5H), 2A and 2B

    Returns
    -------
    ThreadLimits
        Limits of the diameters

    Raises
    ------
    UnknownName
        If the thread has no limits here or no such class; the message proposes the nearest.

    Notes
    -----
    Metric limits are the tabled cells [1]_: the formulas behind them are rounded to preferred numbers and
    some cells are adjusted. A combination without a cell is computed by the formulas at the geometric mean of
    its diameter step, and its source says so. Unified tolerances and allowances are rounded to four decimals
    of an inch before they are subtracted [2]_. Lengths of engagement are the normal ones; several starts are
    held to the limits of one. BA and Model Engineer threads have no limits here.

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> found = limits(thread("M10x0.75"), external=True)
    >>> [round(d, 3) for d in (found.major_max, found.major_min, found.pitch_max, found.pitch_min)]
    [9.978, 9.838, 9.491, 9.391]

    References
    ----------
    .. [1] ISO 965-1:1998, ISO general purpose metric screw threads, Tolerances, Part 1.
    .. [2] ASME B1.1-2003, Unified Inch Screw Threads (UN and UNR Thread Form).
    """
    classes = thread_classes(thread, external)
    if not classes:
        raise UnknownName("thread with limits of size", thread.designation, ())
    written = thread.fit if thread.fit and _is_external(thread.fit) is external else None
    wanted = fit or written or _default(thread, external, classes)
    if wanted not in classes:
        raise UnknownName(f"class of {'external' if external else 'internal'} {thread}", wanted, classes)
    return (_metric if thread.form == ISO_METRIC else _unified)(thread, external, wanted)


@functools.lru_cache(maxsize=256)
def thread_classes(thread: Thread, external: bool) -> tuple[str, ...]:
    """List the tolerance classes a thread has limits for, the usual ones first.

    Parameters
    ----------
    thread : Thread
        Basic thread
    external : bool
        Whether the classes of the screw are wanted, or of the nut

    Returns
    -------
    tuple of str
        Classes; none for a form without limits here

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> thread_classes(thread("1/4-20"), external=False), thread_classes(thread("2BA"), external=True)
    (('2B', '3B', '1B'), ())
    """
    if thread.form == UNIFIED:
        return tuple(f"{grade}{'A' if external else 'B'}" for grade in (2, 3, 1))
    if thread.form != ISO_METRIC:
        return ()
    crest, flank = ("Td", "Td2") if external else ("TD1", "TD2")
    crests = [g for g in (6, 4, 5, 7, 8) if _tolerance(thread, crest, g)]
    flanks = [g for g in (6, 4, 5, 7, 8, 3, 9) if _tolerance(thread, flank, g)]
    letters = [a for a in ("gefh" if external else "HG") if _deviation(thread.pitch, a) is not None]
    same = [f"{g}{a}" for g in flanks if g in crests for a in letters]
    mixed = [f"{f}{a}{c}{a}" for f in flanks for c in crests if f != c for a in letters]
    return tuple(same + mixed)


_DEFAULTS: Final = {
    (ISO_METRIC, True): "6g",
    (ISO_METRIC, False): "6H",
    (UNIFIED, True): "2A",
    (UNIFIED, False): "2B",
}
_SMALLEST: Final = 1.4
"""Largest metric size [mm] whose class, where none is written, is 6h and 5H: ISO 965-1, from memory."""


def _default(thread: Thread, external: bool, classes: tuple[str, ...]) -> str:
    """Give the class that stands for none written."""
    usual = _DEFAULTS[thread.form, external]
    if thread.form == ISO_METRIC and thread.major_d <= _SMALLEST:
        usual = "6h" if external else "5H"
    return usual if usual in classes else classes[0]


def _is_external(fit: str) -> bool:
    """Tell the class of a screw from that of a nut: a small letter, or A."""
    return fit.endswith("A") or fit[1].islower()


# ISO 965-1, in micrometres

_FORMULAS: Final = Source(
    work="ISO 965-1:1998", place="formulas of clause 13, for a combination of no table", basis=Basis.COMPUTED
)
_LARGEST_STEP: Final = (90.0, 180.0)
_BASE: Final = {"e": 50.0, "f": 30.0, "g": 15.0, "G": 15.0}
_GRADES: Final = {
    "Td": {4: 0.63, 6: 1.0, 8: 1.6},
    "TD1": {4: 0.63, 5: 0.8, 6: 1.0, 7: 1.25, 8: 1.6},
    "Td2": {3: 0.5, 4: 0.63, 5: 0.8, 6: 1.0, 7: 1.25, 8: 1.6, 9: 2.0},
    "TD2": {4: 0.85, 5: 1.06, 6: 1.32, 7: 1.7, 8: 2.12},
}


def _metric(thread: Thread, external: bool, fit: str) -> ThreadLimits:
    """Give the limits of a metric thread."""
    found = re.fullmatch(r"(\d)([a-zA-Z])(?:(\d)[a-zA-Z])?", fit)
    assert found
    letter, flank_grade, crest_grade = found[2], int(found[1]), int(found[3] or found[1])
    crest = _tolerance(thread, "Td" if external else "TD1", crest_grade) / 1000
    flank = _tolerance(thread, "Td2" if external else "TD2", flank_grade) / 1000
    shift = (_deviation(thread.pitch, letter) or 0.0) / 1000
    cell = _cell(thread)
    source = source_of(cell) if cell else _FORMULAS
    if not external:
        return ThreadLimits(
            external=False,
            fit=fit,
            major_max=None,
            major_min=thread.major_d + shift,
            pitch_max=thread.pitch_d + shift + flank,
            pitch_min=thread.pitch_d + shift,
            minor_max=thread.minor_d + shift + crest,
            minor_min=thread.minor_d + shift,
            root_max=None,
            source=source,
        )
    height = thread.form.sharp_height * thread.pitch
    pitch_max = thread.pitch_d - shift
    pitch_min = pitch_max - flank
    least_radius = 0.125 * thread.pitch
    bent = math.cos(math.radians(60) - math.acos(max(-1.0, 1 - flank / (4 * least_radius))))
    return ThreadLimits(
        external=True,
        fit=fit,
        major_max=thread.major_d - shift,
        major_min=thread.major_d - shift - crest,
        pitch_max=pitch_max,
        pitch_min=pitch_min,
        minor_max=thread.minor_d - shift,
        minor_min=pitch_min - height + 2 * least_radius,
        root_max=thread.minor_d - shift - 2 * least_radius * (1 - bent),
        source=source,
    )


def _deviation(pitch: float, letter: str) -> float | None:
    """Give the size of the fundamental deviation [um]; None where the table leaves the cell empty."""
    if letter in "hH":
        return 0.0
    row = _by_pitch().get(pitch)
    if row is not None:
        return float(row[letter]) if row[letter] else None
    return float(round(_BASE[letter] + 11 * pitch))


def _tolerance(thread: Thread, name: str, grade: int) -> float:
    """Give a tolerance [um]; zero where the table leaves the cell empty."""
    if grade not in _GRADES[name]:
        return 0.0
    row = _by_pitch().get(thread.pitch) if name in ("Td", "TD1") else _cell(thread)
    if row is not None:
        return float(row[f"{name}_{grade}"] or 0)
    return float(round(_GRADES[name][grade] * _grade_six(thread, name)))


def _grade_six(thread: Thread, name: str) -> float:
    """Compute the tolerance that the grades of a diameter are multiples of [um]."""
    p = thread.pitch
    if name == "Td":
        return 180 * math.cbrt(p) ** 2 - 3.15 / math.sqrt(p)
    if name == "TD1":
        return 433 * p - 190 * math.pow(p, 1.22) if p <= 0.8 else 230 * math.pow(p, 0.7)
    steps = {*((float(row["over"]), float(row["up_to"])) for row in _by_step()), _LARGEST_STEP}
    mean = next((math.sqrt(a * b) for a, b in steps if a < thread.major_d <= b), thread.major_d)
    return 90 * math.pow(p, 0.4) * math.pow(mean, 0.1)


def _cell(thread: Thread) -> dict[str, str] | None:
    """Find the row of pitch-diameter tolerances of a diameter step and a pitch."""
    for row in _by_step():
        if float(row["over"]) < thread.major_d <= float(row["up_to"]) and float(row["pitch"]) == thread.pitch:
            return row
    return None


@functools.cache
def _by_pitch() -> dict[float, dict[str, str]]:
    """Index deviations and crest tolerances by pitch."""
    return {float(row["pitch"]): row for row in rows("iso965_pitch")}


@functools.cache
def _by_step() -> tuple[dict[str, str], ...]:
    """Read the tolerances of the pitch diameter."""
    return rows("iso965_pitch_diameter")


# ASME B1.1, in inches

_RECALLED: Final = Source(
    work="ASME B1.1-2003", place="formulas of section 5, recalled", basis=Basis.COMPUTED
)
_CHECKED: Final = Source(
    work="ASME B1.1-2003",
    place="formulas of section 5, recalled; checked on public tables, 0-80 to 2-64 and 2B of UNC to 1/2 in",
    basis=Basis.COMPUTED,
)
_FLANK_RATIO: Final = {"1A": 1.5, "2A": 1.0, "3A": 0.75, "1B": 1.95, "2B": 1.3, "3B": 0.975}


def _unified(thread: Thread, external: bool, fit: str) -> ThreadLimits:
    """Give the limits of a Unified thread."""
    d, p = thread.major_d / inch, thread.pitch / inch
    engaged = d if thread.series in ("UNC", "UNF") else 9 * p
    class_2a = round(0.0015 * math.cbrt(d) + 0.0015 * math.sqrt(engaged) + 0.015 * math.cbrt(p) ** 2, 6)
    source = _CHECKED if fit in ("2A", "2B") else _RECALLED
    flank = _places(_FLANK_RATIO[fit] * class_2a)
    allowance = _places(0.3 * class_2a) if fit in ("1A", "2A") else 0.0
    major, pitch, minor = (_places(x / inch) for x in (thread.major_d, thread.pitch_d, thread.minor_d))
    if not external:
        return ThreadLimits(
            external=False,
            fit=fit,
            major_max=None,
            major_min=major * inch,
            pitch_max=(pitch + flank) * inch,
            pitch_min=pitch * inch,
            minor_max=(minor + _places(_minor_tolerance(d, p, fit))) * inch,
            minor_min=minor * inch,
            root_max=None,
            source=source,
        )
    crest = _places((0.09 if fit == "1A" else 0.06) * math.cbrt(p) ** 2)
    pitch_max, major_max = pitch - allowance, major - allowance
    return ThreadLimits(
        external=True,
        fit=fit,
        major_max=major_max * inch,
        major_min=(major_max - crest) * inch,
        pitch_max=pitch_max * inch,
        pitch_min=(pitch_max - flank) * inch,
        minor_max=(minor - allowance) * inch,
        minor_min=(pitch_max - flank - 0.75 * thread.form.sharp_height * p) * inch,
        root_max=(major_max - _UNR_DEPTH * p) * inch,
        source=source,
    )


_UNR_DEPTH: Final = 1.19078
"""Twice the depth of the shallowest UNR root, over the pitch: ASME B1.1, from memory."""


def _minor_tolerance(d: float, p: float, fit: str) -> float:
    """Compute the tolerance [in] of a nut's minor diameter from diameter and pitch [in]."""
    small = 0.05 * math.cbrt(p) ** 2 + 0.03 * p / d - 0.002
    if fit == "3B":
        least = 0.23 * p - 1.5 * p**2 if p < 1 / 12.5 else 0.12 * p
        return min(max(small, least), 0.394 * p)
    medium = 0.25 * p - 0.4 * p**2 if p <= 0.25 else 0.15 * p
    return min(max(small, medium), 0.394 * p) if d < 0.25 else medium


def _places(inches: float) -> float:
    """Round to four decimals of an inch, halves up, as the standard's tables are."""
    return float(Decimal(repr(round(inches, 9))).quantize(Decimal("0.0001"), ROUND_HALF_UP))
