"""Holes that are tapped: how much thread the hole leaves, and whether the tap finds room at its end."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.bores import Hollow, hollows
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.rule import Rule
from turnmodel.catalog.run_outs import tap_lead
from turnmodel.catalog.tapping import percent_of_thread, tap_drill
from turnmodel.design.features.inside import ROOM, Tap
from turnmodel.design.ledger import mm
from turnmodel.design.mends import at_least, at_most
from turnmodel.errors import BadValue
from turnmodel.geometry.tolerance import CONTACT_MM, SAME_MM
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from turnmodel.analysis.finding import Finding
    from turnmodel.analysis.rule import Examined
    from turnmodel.catalog.threads import Thread
    from turnmodel.design.bored import Bored
    from turnmodel.design.turned import Turned

__all__ = ["LEAST_SHARE", "RULES", "percents", "tapped_d"]

LEAST_SHARE: Final = 50.0
"""Percent of a full thread by 3H/4 [%] that a hole leaves at the least: drill and tap charts, last column."""

_ROUNDING: Final = 1e-6
"""Pitches [-] that a sum of depths may be off by rounding."""


def _tapped(seen: Examined) -> Iterator[tuple[str, Turned, Bored, Tap]]:
    """List every tapped hole."""
    for part, made in seen.design.turned:
        for bored in made.inside:
            if isinstance(bored.feature, Tap):
                yield part.name, made, bored, bored.feature


def tapped_d(bored: Bored) -> float | None:
    """Give the diameter of the hole that most of a thread is cut in, [mm]; None where none is straight."""
    floor = bored.thread.floor if bored.thread else ()
    straight = [(abs(b[0] - a[0]), 2 * a[1]) for a, b in pairwise(floor) if abs(b[1] - a[1]) < SAME_MM]
    return max(straight)[1] if straight else None


def percents(thread: Thread, hole_d: float) -> str:
    """Tell how much of a thread a hole [mm] leaves, by name of the convention."""
    if thread.form.angle != 60:
        return f"{percent_of_thread(thread, hole_d):.0f} % of thread"
    by_v, by_profile = (percent_of_thread(thread, hole_d, name) for name in ("3H/4", "5H/8"))
    return f"{by_v:.0f} % of thread by 3H/4, {by_profile:.0f} % by 5H/8"


def _share(bored: Bored, feature: Tap) -> tuple[float, float] | None:
    """Give the hole of a tapped thread [mm] and its percent by 3H/4; None where it is no hole to tap."""
    hole_d = tapped_d(bored)
    if hole_d is None or not 0 < hole_d <= feature.thread.major_d:
        return None
    return hole_d, percent_of_thread(feature.thread, hole_d)


def _advised(thread: Thread, percent: float | None) -> str:
    """Advise the drill for a percent of thread, the tabled one where none is named."""
    try:
        hole = tap_drill(thread, percent)
    except BadValue as error:
        return error.mend or "bore it"
    return f"drill {hole.drill.name} before it: {percents(thread, hole.drill.diameter)}"


def _told(
    rule: Rule,
    part: str,
    bored: Bored,
    what: str,
    *,
    value: float,
    mend: str,
    severity: Severity | None = None,
) -> Finding:
    """Make a finding of a tapped hole."""
    return rule.finding(
        parts=(part,),
        feature=bored.title,
        station=bored.thread.start if bored.thread else None,
        value=value,
        severity=severity,
        message=f"{part}, {bored.title}: {what}",
        mend=mend,
    )


def _shallow(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part, _, bored, feature in _tapped(seen):
        share = _share(bored, feature)
        if share is not None and share[1] < (rule.limit or 0.0):
            what = f"a hole of {share[0]:.4g} mm leaves {percents(feature.thread, share[0])}"
            yield _told(rule, part, bored, what, value=share[1], mend=_advised(feature.thread, None))


def _tabled_d(thread: Thread) -> float:
    """Diameter of the drill that tables give for a thread [mm], infinite where none is as large."""
    try:
        return tap_drill(thread).drill.diameter
    except BadValue:
        return math.inf


def _tight(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Find holes that leave too much of the thread: a hole as wide as the tabled drill's is none of them."""
    for part, _, bored, feature in _tapped(seen):
        share = _share(bored, feature)
        if share is None or feature.thread.form.angle != 60 or share[1] <= (rule.limit or 0.0):
            continue
        if share[0] < _tabled_d(feature.thread) - CONTACT_MM:
            what = f"a hole of {share[0]:.4g} mm leaves {percents(feature.thread, share[0])}, hard to tap"
            yield _told(rule, part, bored, what, value=share[1], mend=_advised(feature.thread, 70.0))


def _bottom(seen: Examined, rule: Rule) -> Iterator[Finding]:
    clear = rule.limit or 0.0
    for part, made, bored, feature in _tapped(seen):
        if feature.through or feature.depth is None:
            continue
        thread, lead, full = feature.thread, tap_lead(feature.lead), mm(feature.depth)
        open_to = _open_depth(made, bored.from_back, thread.minor_d / 2 - ROOM)
        room = (open_to - full) / thread.pitch
        if open_to > made.length - SAME_MM or room - lead.high >= clear - _ROUNDING:
            continue
        short, least = open_to - (lead.high + clear) * thread.pitch, tap_lead("bottoming")
        mends = [f"drill it {at_least(full + (lead.high + clear) * thread.pitch)} mm deep"]
        if short > thread.pitch:
            mends.append(f"tap it {at_most(short)} mm deep")
        if lead.high > least.high and room >= least.high + clear - _ROUNDING:
            mends.append('finish with a bottoming tap, lead="bottoming"')
        what = (
            f"{full:g} mm of full thread and the {lead.high:g} pitches of a {lead.kind} tap's lead take "
            f"{full + lead.high * thread.pitch:.2f} mm of a hole {open_to:.2f} mm deep"
        )
        severity = Severity.FAULT if room < lead.low - _ROUNDING else Severity.CAUTION
        yield _told(
            rule, part, bored, what, value=room - lead.high, mend=", or ".join(mends), severity=severity
        )


def _open_depth(made: Turned, from_back: bool, radius: float) -> float:
    """Tell how deep from a face a hole is at least so wide; all [mm]."""
    among = hollows(made)
    marks = {z for hollow in among for wall in hollow.walls for z, _ in wall}
    depths = sorted({made.length - z if from_back else z for z in marks} | {0.0})
    reached = 0.0
    for z0, z1 in pairwise(depth for depth in depths if -SAME_MM <= depth <= made.length + SAME_MM):
        inside = (z1 - z0) / 1000  # off the steps, where the wider side would count
        ends = (z0 + inside, z1 - inside)
        if z1 - z0 > SAME_MM and any(_widest(among, made, from_back, depth) < radius for depth in ends):
            break
        reached = z1
    return reached


def _widest(among: Sequence[Hollow], made: Turned, from_back: bool, depth: float) -> float:
    """Give the radius of the widest hole at a depth, [mm]."""
    return max(hollow.radius(made.length - depth if from_back else depth) for hollow in among)


RULES: Final = (
    Rule(
        name="shallow thread",
        sentence="A tapping hole leaves enough of the thread, counted by 3H/4 as handbook tables do.",
        severity=Severity.CAUTION,
        limit=LEAST_SHARE,
        unit="%",
        source=Source(work="Drill and tap chart", place="75 and 50 % columns", basis=Basis.READ),
        check=_shallow,
    ),
    Rule(
        name="tight tapping hole",
        sentence="A tapping hole leaves no more of the thread, counted by 3H/4, than the tap can turn or its "
        "tabled drill does.",
        severity=Severity.NOTE,
        limit=80.0,
        unit="%",
        source=Source(work="Tap drill chart", place="60 to 75 % for work by hand", basis=Basis.READ),
        check=_tight,
    ),
    Rule(
        name="blind tap",
        sentence="Full thread, the tap's lead and clearance in pitches fit in a blind hole.",
        severity=Severity.CAUTION,
        limit=1.0,
        unit="pitch",
        source=Source(
            work="US Army TM 9-254", place="p. 4-27, chamfer of taps; one pitch clear, common practice"
        ),
        check=_bottom,
    ),
)
