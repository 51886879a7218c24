"""Fits of plain holes and shafts by ISO 286, and tolerances of untoleranced sizes by ISO 2768-1."""

from __future__ import annotations

import functools
import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.catalog.table import rows, source_of
from turnmodel.errors import BadText, BadValue, UnknownName

if TYPE_CHECKING:
    from turnmodel.source import Source

__all__ = ["Fit", "Limits", "fit", "fit_limits", "general_tolerance", "tolerance_grade"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Limits of a plain size at one tolerance class.

    Parameters
    ----------
    name : str
        Tolerance class, as ``"H7"``
    basic_d : float
        Basic size, [mm]
    lower, upper : float
        Deviations from the basic size, [mm]
    source : Source
        Where they come from
    """

    name: str
    basic_d: float
    lower: float
    upper: float
    source: Source

    @property
    def least_d(self) -> float:
        """Lower limit of size [mm]."""
        return self.basic_d + self.lower

    @property
    def greatest_d(self) -> float:
        """Upper limit of size [mm]."""
        return self.basic_d + self.upper


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """A hole and a shaft of one basic size.

    Parameters
    ----------
    hole, shaft : Limits
        Their limits
    """

    hole: Limits
    shaft: Limits

    @property
    def clearance_min(self) -> float:
        """Least clearance on the diameter, negative for interference [mm]."""
        return self.hole.lower - self.shaft.upper

    @property
    def clearance_max(self) -> float:
        """Greatest clearance on the diameter, negative for interference [mm]."""
        return self.hole.upper - self.shaft.lower


def fit_limits(name: str, diameter: float) -> Limits:
    """Give the limits of a hole or a shaft at a tolerance class.

    Parameters
    ----------
    name : str
        Class: a capital letter for a hole, a small one for a shaft, and the grade, as ``"H7"``, ``"g6"``
    diameter : float
        Basic size, [mm]

    Returns
    -------
    Limits
        Deviations and limits of size

    Raises
    ------
    BadText
        If the text is not a class.
    UnknownName
        If no such deviation or grade is here.
    BadValue
        If the size is not above 0 and up to 80 mm.

    Notes
    -----
    Letters d to h, js, k, m, n, p, r, s and their capitals, grades 4 to 13, holes K to S from grade 5 [1]_.
    Holes K to N up to grade 8 and P to S up to grade 7 are raised by the difference of their grade and the
    finer one.

    Examples
    --------
    >>> found = fit_limits("g6", 12.0)
    >>> found.lower, found.upper
    (-0.017, -0.006)

    References
    ----------
    .. [1] ISO 286-1, ISO code system for tolerances on linear sizes.
    """
    found = re.fullmatch(r"([A-Za-z]{1,2}) ?(\d{1,2})", name.strip())
    if not found:
        raise BadText("fit class", name, "write a letter and a grade, as 'H7' or 'g6'")
    letter, grade = found[1], int(found[2])
    width = tolerance_grade(grade, diameter) * 1000
    lower, upper = _zone(name, letter, grade, diameter, width)
    return Limits(
        name=f"{letter}{grade}",
        basic_d=diameter,
        lower=round(lower / 1000, 6),
        upper=round(upper / 1000, 6),
        source=source_of(
            _step(f"iso286_{'grades' if letter.lower() in ('h', 'js') else 'deviations'}", diameter)
        ),
    )


def fit(name: str, diameter: float) -> Fit:
    """Give the limits of a fit.

    Parameters
    ----------
    name : str
        Class of the hole and of the shaft, as ``"H7/g6"``
    diameter : float
        Basic size, [mm]

    Returns
    -------
    Fit
        Limits of both, and the clearance between them

    Raises
    ------
    BadText
        If the text is not a hole's class and a shaft's.
    UnknownName
        If no such deviation or grade is here.
    BadValue
        If the size is not above 0 and up to 80 mm.

    Examples
    --------
    >>> found = fit("H7/g6", 12.0)
    >>> round(found.clearance_min, 3), round(found.clearance_max, 3)
    (0.006, 0.035)
    """
    hole, _, shaft = name.replace(" ", "").partition("/")
    if not (hole[:1].isupper() and shaft[:1].islower()):
        raise BadText("fit", name, "write the hole's class, a stroke, the shaft's, as 'H7/g6'")
    return Fit(hole=fit_limits(hole, diameter), shaft=fit_limits(shaft, diameter))


def tolerance_grade(grade: int, diameter: float) -> float:
    """Give the width of a standard tolerance grade.

    Parameters
    ----------
    grade : int
        Grade, 4 to 13, [-]
    diameter : float
        Basic size, [mm]

    Returns
    -------
    float
        Tolerance, [mm]

    Raises
    ------
    UnknownName
        If no such grade is here.
    BadValue
        If the size is not above 0 and up to 80 mm.

    Examples
    --------
    >>> tolerance_grade(7, 12.0)
    0.018
    """
    row = _step("iso286_grades", diameter)
    if f"IT{grade}" not in row:
        raise UnknownName("tolerance grade", f"IT{grade}", (name for name in row if name.startswith("IT")))
    return int(row[f"IT{grade}"]) / 1000


def general_tolerance(size: float, grade: str = "m", of: str = "length") -> float:
    """Give the tolerance of a size that carries none on the drawing.

    Parameters
    ----------
    size : float
        The length, or the height of the chamfer or radius, or for an angle its shorter side, [mm]
    grade : str
        ``"f"`` fine, ``"m"`` medium, ``"c"`` coarse, ``"v"`` very coarse
    of : str
        ``"length"``, ``"edge"`` (radii and chamfers) or ``"angle"``

    Returns
    -------
    float
        Tolerance, plus and minus, [mm], for an angle in degrees

    Raises
    ------
    UnknownName
        If there is no such grade or kind of size.
    BadValue
        If the size is outside the table.

    Notes
    -----
    Lengths and edges of 0.5 to 400 mm, shorter sides up to 120 mm [1]_; a size under 0.5 mm carries its own
    tolerance.

    Examples
    --------
    >>> general_tolerance(12.0), general_tolerance(12.0, "f")
    (0.2, 0.1)

    References
    ----------
    .. [1] ISO 2768-1:1989, General tolerances, Part 1.
    """
    table = [row for row in _steps("iso2768") if row["of"] == of]
    if not table:
        raise UnknownName("kind of size", of, ("length", "edge", "angle"))
    steps = [row for row in table if row["grade"] == grade]
    if not steps:
        raise UnknownName("general tolerance grade", grade, dict.fromkeys(row["grade"] for row in table))
    first, last = float(steps[0]["over"]), float(steps[-1]["up_to"])
    for row in steps:
        if float(row["over"]) < size <= float(row["up_to"]) or size == first > 0:
            return float(row["tolerance"])
    raise BadValue(
        of,
        size,
        "mm",
        f"ISO 2768-{grade} goes from {first:g} to {last:g} mm",
        "write the tolerance beside the size",
    )


_LETTERS: Final = (*"defgh", "js", *"kmnprs")


def _zone(name: str, letter: str, grade: int, diameter: float, width: float) -> tuple[float, float]:
    """Give the deviations of a class [um], from its letter, its grade and the width of the grade [um]."""
    shaft, external = letter.lower(), letter.islower()
    if shaft not in _LETTERS or not (external or letter.isupper()):
        known = _LETTERS if external else map(str.upper, _LETTERS)
        raise UnknownName("fit class", name, [f"{each}{grade}" for each in known])
    if shaft == "js":
        return -width / 2, width / 2
    row = _step("iso286_deviations", diameter)
    least = 0.0 if shaft == "h" else float(row[shaft])
    if shaft in "defgh":
        return (-least - width, -least) if external else (least, least + width)
    if external:
        if shaft == "k" and grade > 7:
            least = 0.0
        return least, least + width
    return _tight_hole(name, shaft, grade, diameter, width, least)


def _tight_hole(
    name: str, shaft: str, grade: int, diameter: float, width: float, least: float
) -> tuple[float, float]:
    """Give the deviations of a hole from K to S [um], from those of the shaft of the same letter."""
    last = 8 if shaft == "k" else 13
    if not 5 <= grade <= last:
        raise UnknownName("fit class", name, [f"{shaft.upper()}{known}" for known in range(5, last + 1)])
    upper = -least
    if shaft == "n" and grade > 8 and diameter > 3:
        upper = 0.0
    elif grade <= (8 if shaft in "kmn" else 7) and diameter > 3:
        upper += width - tolerance_grade(grade - 1, diameter) * 1000
    return upper - width, upper


def _step(name: str, diameter: float) -> dict[str, str]:
    """Find the row of the diameter step a size falls in."""
    table = _steps(name)
    if math.isfinite(diameter):
        for row in table:
            if float(row["over"]) < diameter <= float(row["up_to"]):
                return row
    raise BadValue(
        "size", diameter, "mm", f"fits here are for sizes above 0 and up to {float(table[-1]['up_to']):g} mm"
    )


@functools.cache
def _steps(name: str) -> tuple[dict[str, str], ...]:
    """Read a table of steps once."""
    return rows(name)
