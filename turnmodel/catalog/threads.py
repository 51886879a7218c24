"""Screw threads by their designations: ISO metric, Unified, British Association, Model Engineer."""

from __future__ import annotations

import functools
import math
import re
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from turnmodel.catalog.table import rows, source_of
from turnmodel.catalog.thread_forms import BA, ISO_METRIC, UNIFIED, WHITWORTH, ThreadForm, Truncation
from turnmodel.errors import BadText, BadValue, UnknownName
from turnmodel.source import Basis, Source

__all__ = ["Thread", "ThreadForm", "Truncation", "standard_threads", "thread"]

_INCH: Final = Fraction(254, 10)
_NAMED_SERIES: Final = frozenset({"UNC", "UNF", "UNEF"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """A screw thread of basic size.

    Parameters
    ----------
    designation : str
        The thread's standard designation, without its class
    major_d : float
        Major diameter, [mm]
    pitch : float
        Pitch, [mm]
    starts : int
        Number of starts, [-]
    left : bool
        Whether the hand is left
    form : ThreadForm
        Shape of one pitch
    series : str
        Series the thread belongs to, as ``"ISO metric"``, ``"UNC"``, ``"BA"``, ``"ME"``
    standard : bool
        Whether diameter and pitch are a tabled combination
    fit : str or None
        Tolerance class written after the designation; no part of the thread's identity
    source : Source
        Where the combination is laid down
    """

    designation: str
    major_d: float
    pitch: float
    starts: int = 1
    left: bool = False
    form: ThreadForm
    series: str
    standard: bool
    fit: str | None = field(default=None, compare=False)
    source: Source = field(compare=False)

    def __post_init__(self) -> None:
        if not 0.5 <= self.major_d <= 100:
            raise BadValue("major diameter", self.major_d, "mm", "a thread here is 0.5 to 100 mm in diameter")
        if not 0 < self.pitch < self.major_d / 2:
            raise BadValue(
                "pitch",
                self.pitch,
                "mm",
                f"a pitch is above 0 and under half the diameter, {self.major_d / 2:g} mm",
            )
        if not 1 <= self.starts <= 12:
            raise BadValue("starts", self.starts, "-", "a thread here has 1 to 12 starts")

    def __str__(self) -> str:
        return self.designation

    @property
    def pitch_d(self) -> float:
        """Basic pitch diameter d2 = D2 [mm]."""
        return self.major_d - 2 * self.pitch * self.form.external_crest.reach(self.form.angle)

    @property
    def minor_d(self) -> float:
        """Basic minor diameter of the internal thread, D1 [mm]."""
        return self.pitch_d - 2 * self.pitch * self.form.internal_crest.reach(self.form.angle)

    @property
    def root_d(self) -> float:
        """Root diameter of the external thread, d3 [mm]."""
        return self.pitch_d - 2 * self.pitch * self.form.external_root.reach(self.form.angle)

    @property
    def lead(self) -> float:
        """Advance in one turn [mm]."""
        return self.starts * self.pitch


@functools.lru_cache(maxsize=1024)
def thread(text: str) -> Thread:
    """Read a thread's designation.

    Parameters
    ----------
    text : str
        Such as ``"M10x0.75"``, ``"M10"`` (coarse), ``"M12xPh3P1"`` (lead 3, pitch 1), ``"1/4-20 UNC"``,
        ``"#10-32"``, ``"0.450-36 UNS"``, ``"2BA"``, ``"ME 1/4-40"``; a class (``"-6g"``,
        ``"-2A"``) and ``LH`` may follow

    Returns
    -------
    Thread
        Basic thread; ``standard`` is False for a size that no table has

    Raises
    ------
    BadText
        If the text is not a designation.
    UnknownName
        If the named series has no such size.
    BadValue
        If diameter, pitch or starts make no thread.

    Notes
    -----
    Metric combinations to 64 mm by ISO 261 [1]_, Unified #0 to 1 in [2]_, BA 0 to 10, Model Engineer 1/8 to
    1/2 in. Every other metric or UNS size of 0.5 to 100 mm is built on the basic profile.

    Examples
    --------
    >>> t = thread("M10x0.75")
    >>> print(t, round(t.pitch_d, 3), round(t.minor_d, 3), round(t.root_d, 3))
    M10x0.75 9.513 9.188 9.08
    >>> print(thread("10-32"), thread("M12xPh3P1 LH").lead)
    #10-32 UNF 3.0

    References
    ----------
    .. [1] ISO 261:1998, ISO general purpose metric screw threads, General plan.
    .. [2] ASME B1.1-2003, Unified Inch Screw Threads (UN and UNR Thread Form).
    """
    body, left = _without_hand(" ".join(text.split()))
    for pattern, reader in _READERS if len(body) <= _LONGEST else ():
        if found := pattern.fullmatch(body):
            read = reader(text, found)
            return replace(read, left=True, designation=f"{read.designation} LH") if left else read
    raise BadText("thread", text, "write for example 'M10x0.75', '1/4-20 UNC', '2BA' or 'ME 1/4-40'")


@functools.cache
def standard_threads() -> tuple[Thread, ...]:
    """List every tabled thread, by series and size.

    Examples
    --------
    >>> len({t.designation for t in standard_threads()}) == len(standard_threads())
    True
    """
    return tuple(
        made for table in (_metric(), _unified(), _ba(), _model_engineer()) for made in table.values()
    )


def _without_hand(text: str) -> tuple[str, bool]:
    """Take the mark of a left hand off a designation."""
    body = re.sub(r"[ -]*LH$", "", text, flags=re.IGNORECASE)
    return body, body != text


# ISO metric


@functools.cache
def _metric() -> dict[tuple[float, float], Thread]:
    """Index the tabled metric threads by diameter and pitch."""
    return {
        (d, p): _metric_thread(d, p, source=source_of(row))
        for row in rows("metric")
        for d, p in [(float(row["diameter"]), float(row["pitch"]))]
    }


@functools.cache
def _coarse() -> dict[float, float]:
    """Give the coarse pitch of a diameter."""
    return {
        float(row["diameter"]): float(row["pitch"]) for row in rows("metric") if row["series"] == "coarse"
    }


def _metric_thread(d: float, p: float, *, starts: int = 1, source: Source | None = None) -> Thread:
    """Make a metric thread; without a source it is a size that no table has."""
    return Thread(
        designation=f"M{d:g}x{p:g}" if starts == 1 else f"M{d:g}xPh{p * starts:g}P{p:g}",
        major_d=d,
        pitch=p,
        starts=starts,
        form=ISO_METRIC,
        series="ISO metric",
        standard=source is not None,
        source=source
        or Source(work="ISO 68-1:1998", place="basic profile, a size of no table", basis=Basis.COMPUTED),
    )


def _read_metric(text: str, found: re.Match[str]) -> Thread:
    """Read a metric designation."""
    d = float(found["d"])
    fit = found["fit"]
    if found["ph"]:
        lead, p = float(found["ph"]), float(found["p"])
        starts = round(lead / p) if p else 0
        if not starts or not math.isclose(starts * p, lead):
            raise BadText("thread", text, f"the lead {lead:g} mm is a whole number of pitches {p:g} mm")
        return replace(_metric_thread(d, p, starts=starts), fit=fit)
    if found["p"]:
        p = float(found["p"])
        return replace(_metric().get((d, p)) or _metric_thread(d, p), fit=fit)
    if d not in _coarse():
        raise BadText("thread", text, f"M{d:g} has no coarse pitch; write the pitch, as 'M{d:g}x1'")
    return replace(_metric()[d, _coarse()[d]], fit=fit)


# Unified


@functools.cache
def _unified() -> dict[tuple[Fraction, Fraction], Thread]:
    """Index the tabled Unified threads by diameter in inches and threads per inch."""
    table = {}
    for row in rows("unified"):
        inches, tpi = _inches(row["size"]), Fraction(row["tpi"])
        table[inches, tpi] = Thread(
            designation=f"{row['size']}-{tpi} {row['series']}",
            major_d=float(inches * _INCH),
            pitch=float(_INCH / tpi),
            form=UNIFIED,
            series=row["series"],
            standard=True,
            source=source_of(row),
        )
    return table


def _inches(size: str) -> Fraction:
    """Read a Unified size: number, fraction, mixed number or decimal of an inch."""
    if size.startswith("#"):
        return Fraction(60 + 13 * int(size[1:]), 1000)
    whole, _, rest = size.replace("-", " ").rpartition(" ")
    return int(whole or 0) + Fraction(rest)


def _size_in_inches(text: str, size: str, tpi: Fraction) -> Fraction:
    """Tell a bare number size from a bare inch: 1-72 is number 1, 1-8 is one inch."""
    try:
        if not size.isdecimal():
            return _inches(size)
        number, inches = _inches(f"#{size}"), Fraction(size)
    except ZeroDivisionError:
        raise BadText("thread", text, "a fraction has a denominator above zero") from None
    for meant in (number, inches):
        if (meant, tpi) in _unified():
            return meant
    raise BadText(
        "thread", text, f"no table has {size}-{tpi}; write '#{size}' for the number size or a decimal"
    )


def _read_unified(text: str, found: re.Match[str]) -> Thread:
    """Read a Unified designation."""
    tpi = Fraction(found["tpi"])
    if not tpi:
        raise BadText("thread", text, "threads per inch are above zero")
    inches = _size_in_inches(text, found["size"], tpi)
    series = (found["series"] or "").upper()
    fit = (found["fit"] or "").upper() or None
    made = _unified().get((inches, tpi))
    if made and series not in _NAMED_SERIES - {made.series}:
        return replace(made, fit=fit)
    if series in _NAMED_SERIES:
        raise UnknownName("thread", text, (t.designation for t in _unified().values() if t.series == series))
    return Thread(
        designation=f"{_written(inches)}-{float(tpi):g} UNS",
        major_d=float(inches * _INCH),
        pitch=float(_INCH / tpi),
        form=UNIFIED,
        series="UNS",
        standard=False,
        fit=fit,
        source=Source(work="ASME B1.1", place="basic profile, a size of no table", basis=Basis.COMPUTED),
    )


def _written(inches: Fraction) -> str:
    """Write a special diameter: a decimal where three or four places hold it exactly, else the fraction."""
    for places in (3, 4):
        if (inches * 10**places).denominator == 1:
            return f"{float(inches):.{places}f}"
    return str(inches)


# British Association and Model Engineer


@functools.cache
def _ba() -> dict[int, Thread]:
    """Index the BA threads by number."""
    return {
        int(row["number"]): Thread(
            designation=f"{row['number']}BA",
            major_d=float(row["diameter"]),
            pitch=float(row["pitch"]),
            form=BA,
            series="BA",
            standard=True,
            source=source_of(row),
        )
        for row in rows("ba")
    }


def _read_ba(text: str, found: re.Match[str]) -> Thread:
    """Read a BA designation."""
    number = int(found["before"] or found["after"])
    if number not in _ba():
        raise UnknownName("thread", text, (made.designation for made in _ba().values()))
    return _ba()[number]


@functools.cache
def _model_engineer() -> dict[tuple[Fraction, int], Thread]:
    """Index the model engineers' threads by diameter in inches and threads per inch."""
    return {
        (Fraction(row["size"]), int(row["tpi"])): Thread(
            designation=f"{row['series']} {row['size']}-{row['tpi']}",
            major_d=float(Fraction(row["size"]) * _INCH),
            pitch=float(_INCH / int(row["tpi"])),
            form=WHITWORTH,
            series=row["series"],
            standard=True,
            source=source_of(row),
        )
        for row in rows("model_engineer")
    }


def _read_model_engineer(text: str, found: re.Match[str]) -> Thread:
    """Read a Model Engineer or brass designation."""
    top, _, bottom = found["size"].partition("/")
    size = Fraction(int(top), int(bottom)) if int(bottom) else Fraction(0)
    made = _model_engineer().get((size, int(found["tpi"])))
    if made is None or made.series.casefold() != (found["name"] or found["name_after"]).casefold():
        raise UnknownName("thread", text, (made.designation for made in _model_engineer().values()))
    return made


_METRIC: Final = re.compile(
    r"[Mm] ?(?P<d>\d+\.?\d*|\.\d+)"
    r"(?: ?[xX×*] ?(?:[Pp][Hh] ?(?P<ph>\d+\.?\d*|\.\d+) ?[Pp] ?)?(?P<p>\d+\.?\d*|\.\d+))?"
    r"(?: ?- ?(?P<fit>[3-9][a-hA-H](?:[3-9][a-hA-H])?))?"
)
_INCH_SIZE: Final = r"#?\d+|\d+/\d+|\d+[ -]\d+/\d+|\d*\.\d+"
_UNIFIED_TEXT: Final = re.compile(
    rf'(?P<size>{_INCH_SIZE})"? ?- ?(?P<tpi>\d+(?:\.\d+)?)(?: ?(?P<series>UN(?:C|F|EF|S|R)?))?'
    r"(?: ?- ?(?P<fit>[1-3][AB]))?",
    re.IGNORECASE,
)
_BA_TEXT: Final = re.compile(r"(?:(?P<before>\d{1,2}) ?BA|BA ?(?P<after>\d{1,2}))", re.IGNORECASE)
_ME_TEXT: Final = re.compile(
    r'(?:(?P<name>ME|brass) )?(?P<size>\d+/\d+)"? ?[-xX×] ?(?P<tpi>\d+)(?(name)| (?P<name_after>ME|brass))',
    re.IGNORECASE,
)
_LONGEST: Final = 40
"""Letters of the longest text looked at: enough for any designation, too few for a number that overflows."""
_READERS: Final = (
    (_METRIC, _read_metric),
    (_UNIFIED_TEXT, _read_unified),
    (_BA_TEXT, _read_ba),
    (_ME_TEXT, _read_model_engineer),
)
