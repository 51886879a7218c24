"""Holes of strip parts: whether what goes through them does."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from turnmodel.analysis.finding import Finding, Severity
from turnmodel.analysis.roles import outside_radius
from turnmodel.analysis.rule import Examined, Rule
from turnmodel.catalog.tapping import clearance_drill
from turnmodel.design.mends import at_least
from turnmodel.design.part import StripPart, built
from turnmodel.design.pose import body_at
from turnmodel.design.surface import surface
from turnmodel.errors import BadValue
from turnmodel.geometry.frame import coaxial, composed, inverse
from turnmodel.geometry.strip import Strip
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.catalog.threads import Thread
    from turnmodel.geometry.body import Body

__all__ = ["RULES"]

_ROOM: Final = 0.2
"""Room [mm] on the diameter that is advised round what has no thread; house choice."""


def _narrow(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Find holes that what stands in them is too thick for, each once."""
    told = set()
    for state, pose in seen.design.poses.items():
        for part in seen.design.parts:
            made = built(part)
            if not isinstance(part, StripPart) or not isinstance(made, Strip) or part.name not in pose.parts:
                continue
            for name, (along, hole_d) in zip(part.holes, made.holes, strict=True):
                top = composed(pose.parts[part.name], surface(part, part.face(name, "top")).frame)
                for other, own in seen.design.turned:
                    key = (part.name, name, other.name)
                    if other.name not in pose.parts or key in told:
                        continue
                    place = coaxial(composed(inverse(top), pose.parts[other.name]))
                    if place is None:
                        continue
                    wide, thread = _through(body_at(own.body, place), made.thickness)
                    if not wide or hole_d - wide > (rule.limit or 0.0) + CONTACT_MM:
                        continue
                    told.add(key)
                    what = f"{thread} of {other.name}" if thread else f"{other.name}, {wide:g} mm there"
                    yield rule.finding(
                        parts=(part.name, other.name),
                        state=state,
                        feature=f'hole "{name}"',
                        station=along,
                        value=hole_d - wide,
                        message=f'{part.name}, hole "{name}": {hole_d:g} mm for {what}',
                        mend=f"drill {_wider(wide, thread)}",
                    )


def _through(body: Body, thickness: float) -> tuple[float, Thread | None]:
    """Tell how thick a body is in a strip that lies from minus its thickness to 0 [mm], and its thread."""
    radii = (outside_radius(body.plain, -thickness * share) for share in (0.1, 0.5, 0.9))
    wide = 2 * max((r for r in radii if r is not None), default=0.0)
    spans = (s for s in body.threads if s.external and s.start < -thickness / 2 < s.end)
    return wide, next((s.thread for s in spans if s.thread.major_d >= wide - CONTACT_MM), None)


def _wider(wide: float, thread: Thread | None) -> str:
    """Name the hole that a thread, or so thick a length, passes."""
    if thread is not None:
        try:
            return clearance_drill(thread).drill.name
        except BadValue:
            pass
    return f"{at_least(wide + _ROOM)} mm"


RULES: Final = (
    Rule(
        name="hole of a strip",
        sentence="What goes through a hole of a strip has room in it.",
        severity=Severity.FAULT,
        limit=0.0,
        unit="mm",
        source=Source(work="ISO 273:1979", place="clearance holes, fine series", basis=Basis.MEMORY),
        check=_narrow,
    ),
)
