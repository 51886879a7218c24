"""Everything the catalogue knows of a name, as lines to read, with the sources."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.catalog.bars import bar_size, standard_bars
from turnmodel.catalog.drills import drill, standard_drills
from turnmodel.catalog.finishes import finish, finishes, temper_colours
from turnmodel.catalog.fits import fit, fit_limits
from turnmodel.catalog.materials import material, materials
from turnmodel.catalog.refills import refill, refill_names
from turnmodel.catalog.run_outs import relief
from turnmodel.catalog.table import find
from turnmodel.catalog.tapping import clearance_drill, tap_drill
from turnmodel.catalog.thread_limits import limits, thread_classes
from turnmodel.catalog.threads import standard_threads, thread
from turnmodel.errors import BadText, BadValue
from turnmodel.units import in_inches, in_mm, inch, length

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from turnmodel.catalog.fits import Limits
    from turnmodel.catalog.tapping import HoleDrill
    from turnmodel.catalog.thread_limits import ThreadLimits
    from turnmodel.source import Source

__all__ = ["KINDS", "Fact", "facts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """What is known of one name.

    Parameters
    ----------
    name : str
        The name
    rows : tuple of (str, str)
        Label and value with its unit
    sources : tuple of str
        Where the values come from
    """

    name: str
    rows: tuple[tuple[str, str], ...]
    sources: tuple[str, ...]


def facts(kind: str, query: str | None = None) -> tuple[Fact, ...]:
    """Look a name up, or list the names of a kind.

    Parameters
    ----------
    kind : str
        One of `KINDS`
    query : str or None
        A name as a script would write it; for reliefs a thread, for fits a class and a size, as
        ``"H7/g6 12 mm"``

    Returns
    -------
    tuple of Fact
        One fact with every line for a name; without a name one fact for each, with a line or none

    Raises
    ------
    UnknownName
        If there is no such kind or name.
    BadText, BadValue
        If the name cannot be read.

    Examples
    --------
    >>> facts("bars", "1/2")[0].rows
    (('diameter', '12.7 mm, 1/2 in'), ('usual', 'yes'))
    """
    listed, told = find("kind of fact", kind, _READERS)
    return listed() if query is None else (told(query),)


def _fact(name: str, rows: Iterable[tuple[str, str]], sources: Iterable[Source | None] = ()) -> Fact:
    """Make a fact, each source once."""
    named = dict.fromkeys(str(source) for source in sources if source is not None)
    return Fact(name=name, rows=tuple(rows), sources=tuple(named))


def _both(value: float) -> str:
    """Write a length in both units."""
    return f"{in_mm(value)}, {in_inches(value)}"


def _fine(value: float) -> str:
    """Write a diameter that is held to micrometres, in both units."""
    return f"{value:.3f} mm, {value / inch:.4f} in"


def _span(low: float | None, high: float | None, unit: str, digits: int = 4) -> str:
    """Write a span with its unit, to so many figures."""
    if low is None or high is None:
        return "not known"
    ends = dict.fromkeys(f"{float(f'{end:.{digits}g}'):g}" for end in (low, high))
    return f"{' to '.join(ends)} {unit}"


# threads


def _threads() -> tuple[Fact, ...]:
    """List the threads."""
    return tuple(_fact(t.designation, [("series", t.series)], [t.source]) for t in standard_threads())


def _thread(query: str) -> Fact:
    """Tell of a thread."""
    t = thread(query)
    rows = [
        ("series", t.series if t.standard else f"{t.series}, a size of no table"),
        ("form", t.form.name),
        ("pitch", f"{t.pitch:.4g} mm, {inch / t.pitch:.4g} to the inch"),
        ("major diameter", _fine(t.major_d)),
        ("pitch diameter", _fine(t.pitch_d)),
        ("minor diameter, nut", _fine(t.minor_d)),
        ("root diameter, screw", _fine(t.root_d)),
    ]
    if t.starts > 1:
        rows.append(("lead", f"{in_mm(t.lead)}, {t.starts} starts"))
    sources: list[Source | None] = [t.source, t.form.source]
    for external in (True, False):
        if thread_classes(t, external):
            found = limits(t, external)
            rows += _limits(found)
            sources.append(found.source)
    if len(sources) == 2:
        rows.append(("limits of size", "none here for this form"))
    for label, choose in (("tapping drill", tap_drill), ("clearance drill", clearance_drill)):
        try:
            hole = choose(t)
        except BadValue as fault:
            rows.append((label, fault.mend or str(fault)))
        else:
            rows.append((label, _hole(hole, depth=choose is tap_drill)))
            sources.append(hole.source)
    return _fact(t.designation, rows, sources)


def _limits(found: ThreadLimits) -> list[tuple[str, str]]:
    """Tell of one side's limits."""
    spans = [
        ("major", found.major_min, found.major_max),
        ("pitch", found.pitch_min, found.pitch_max),
        ("minor", found.minor_min, found.minor_max),
    ]
    return [
        (
            f"{name} diameter {found.fit}",
            f"at least {_fine(low)}"
            if high is None
            else f"{low:.3f} to {high:.3f} mm, {low / inch:.4f} to {high / inch:.4f} in",
        )
        for name, low, high in spans
    ]


def _hole(hole: HoleDrill, depth: bool) -> str:
    """Tell of a hole's drill."""
    text = f"{hole.drill.name} ({_fine(hole.drill.diameter)})"
    if not depth:
        return text
    if hole.thread.form.angle != 60:
        return f"{text}: {hole.percent_3h4:.0f} % of thread"
    return f"{text}: {hole.percent_3h4:.0f} % of thread by 3H/4, {hole.percent_5h8:.0f} % by 5H/8"


def _reliefs() -> tuple[Fact, ...]:
    """List the threads a relief is asked for by."""
    return tuple(_fact(t.designation, []) for t in standard_threads())


def _relief(query: str) -> Fact:
    """Tell of the reliefs of a thread."""
    t = thread(query)
    rows, sources = [], []
    for external, side in ((True, "screw"), (False, "nut")):
        for short, form in ((False, "regular"), (True, "short")):
            found = relief(t, short, external)
            groove = (
                f"diameter {in_mm(found.diameter)}, width up to {in_mm(found.width)}, "
                f"floor at least {in_mm(found.floor)}, radius {in_mm(found.radius)}"
            )
            rows.append((f"{side}, {form}", groove))
            sources.append(found.source)
    return _fact(t.designation, rows, sources)


# drills and bars


def _drills() -> tuple[Fact, ...]:
    """List the drills."""
    return tuple(_fact(d.name, [("diameter", _fine(d.diameter))], [d.source]) for d in standard_drills())


def _drill(query: str) -> Fact:
    """Tell of a drill."""
    d = drill(query)
    rows = [
        ("diameter", _fine(d.diameter)),
        ("kind", d.kind),
        ("flute", _both(d.flute)),
        ("overall", _both(d.overall)),
        ("point", f"{d.point_angle:g} deg, {in_mm(d.point_length)} long"),
    ]
    return _fact(d.name, rows, [d.source, d.length_source])


def _bars() -> tuple[Fact, ...]:
    """List the bars."""
    return tuple(_fact(b.name, [("diameter", _both(b.diameter))], [b.source]) for b in standard_bars())


def _bar(query: str) -> Fact:
    """Tell of a bar."""
    b = bar_size(query)
    return _fact(
        b.name, [("diameter", _both(b.diameter)), ("usual", "yes" if b.standard else "no")], [b.source]
    )


# materials and refills


def _materials() -> tuple[Fact, ...]:
    """List the materials."""
    return tuple(_fact(m.name, [("is", m.title)]) for m in materials())


def _material(query: str) -> Fact:
    """Tell of a material."""
    m = material(query)
    rows = [
        ("is", m.title),
        ("also", ", ".join(m.aliases) or "no other name"),
        ("family", m.family),
        ("density", f"{m.density:g} g/cm3"),
        ("modulus", f"{m.modulus:g} GPa"),
        ("yield strength", _span(m.yield_low, m.yield_high, "MPa")),
        ("tensile strength", _span(m.tensile_low, m.tensile_high, "MPa")),
        ("surface speed, high-speed steel", _span(m.speed_low, m.speed_high, "m/min", 3)),
        ("beware", ", ".join(m.cautions) or "nothing particular"),
    ]
    sources = [m.density_source, m.modulus_source, m.yield_source, m.tensile_source, m.speed_source]
    return _fact(m.name, rows, sources)


def _refills() -> tuple[Fact, ...]:
    """List the refills."""
    return tuple(_fact(name, []) for name in refill_names())


def _refill(query: str) -> Fact:
    """Tell of a refill."""
    r = refill(query)
    rows = [("is", r.title), ("standard", r.standard), ("length", in_mm(r.length))]
    rows += [
        (
            f"step {number}",
            f"{in_mm(step.length)} long, "
            + " to ".join(dict.fromkeys((in_mm(step.start_d), in_mm(step.end_d))))
            + " in diameter",
        )
        for number, step in enumerate(r.envelope, start=1)
    ]
    rows += [(f"station {name}", in_mm(at)) for name, at in r.stations]
    rows += [(f"{name}, spread", _span(span.low, span.high, "mm")) for name, span in r.spreads]
    rows.append(("mass", _span(r.mass_low, r.mass_high, "g")))
    sources = [step.source for step in r.envelope] + [r.station_source, r.mass_source]
    return _fact(r.name, rows, sources + [span.source for _, span in r.spreads])


# finishes


def _finishes() -> tuple[Fact, ...]:
    """List the finishes."""
    return tuple(_fact(f.name, [("on", ", ".join(f.families) or "anything")]) for f in finishes())


def _finish(query: str) -> Fact:
    """Tell of a finish; of a blued one, where works place the temper colours about it."""
    f = finish(query)
    rows = [("is", f"{s.place}") for s in f.sources[:1]] if f.heat is None else []
    rows.append(("on", ", ".join(f.families) or "anything"))
    if f.heat is not None:
        by_nearness = sorted(temper_colours(), key=lambda t: abs(t.heat - (f.heat or 0.0)))
        rows.append(("nearest", by_nearness[0].name))
        rows += [
            (
                t.name,
                f"seen from {_span(min(t.heats), max(t.heats), 'degrees C')}, by {len(t.heats)} works",
            )
            for t in sorted(by_nearness[:2], key=lambda t: t.heat)
        ]
    if f.colour is not None:
        rows.append(("colour on the screen", "#" + "".join(f"{round(255 * part):02x}" for part in f.colour)))
    return _fact(f.name, rows, f.sources)


# fits


def _fits() -> tuple[Fact, ...]:
    """List fits in common use."""
    usual = (
        ("H7/f7", "runs"),
        ("H7/g6", "slides"),
        ("H7/h6", "locates"),
        ("H7/k6", "light tap"),
        ("H7/p6", "press"),
    )
    return tuple(_fact(name, [("is", use)]) for name, use in usual)


def _fit(query: str) -> Fact:
    """Tell of a fit or a class at a size."""
    name, _, size = query.strip().partition(" ")
    if not size:
        raise BadText("fit", query, "write the class and the size, as 'H7/g6 12 mm'")
    d = length(size)
    if "/" not in name:
        found = fit_limits(name, d)
        return _fact(f"{name} {in_mm(d)}", _size(found), [found.source])
    pair = fit(name, d)
    rows = [
        *_size(pair.hole),
        *_size(pair.shaft),
        ("clearance", f"{pair.clearance_min:+.4g} to {pair.clearance_max:+.4g} mm"),
    ]
    return _fact(f"{name} {in_mm(d)}", rows, [pair.hole.source, pair.shaft.source])


def _size(found: Limits) -> list[tuple[str, str]]:
    """Tell of the limits of a size."""
    return [(found.name, f"{found.least_d:.4f} to {found.greatest_d:.4f} mm")]


_READERS: Final[dict[str, tuple[Callable[[], tuple[Fact, ...]], Callable[[str], Fact]]]] = {
    "threads": (_threads, _thread),
    "drills": (_drills, _drill),
    "materials": (_materials, _material),
    "bars": (_bars, _bar),
    "refills": (_refills, _refill),
    "finishes": (_finishes, _finish),
    "fits": (_fits, _fit),
    "reliefs": (_reliefs, _relief),
}
KINDS: Final = tuple(_READERS)
"""Kinds of fact that can be looked up."""
