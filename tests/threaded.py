"""Threaded bodies that tests share: a screw and a hole of any thread, full to the end or run in and out."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from turnmodel.geometry.body import Body, ThreadSpan
from turnmodel.geometry.region import polygon, ring
from turnmodel.geometry.thread_form import form_radius, thread_form

if TYPE_CHECKING:
    from turnmodel.catalog.threads import Thread
    from turnmodel.geometry.curve import Point

__all__ = ["brute_moments", "hole", "run_out_screw", "screw"]


def screw(thread: Thread, length: float, anchor: float = 0.0, bore_d: float = 0.0) -> Body:
    """Thread a bar or tube at full depth from end to end."""
    crest, core = thread.major_d / 2, thread.major_d / 8
    span = ThreadSpan(
        thread=thread,
        external=True,
        start=0.0,
        end=length,
        anchor=anchor,
        floor=((0.0, core), (length, core)),
        ceiling=((0.0, crest), (length, crest)),
    )
    return Body(plain=ring(0.0, length, thread.major_d, bore_d), threads=(span,))


def hole(thread: Thread, length: float, anchor: float = 0.0) -> Body:
    """Tap a tube at full depth from end to end."""
    minor, outside = thread_form(thread, external=False).low, thread.major_d
    span = ThreadSpan(
        thread=thread,
        external=False,
        start=0.0,
        end=length,
        anchor=anchor,
        floor=((0.0, minor), (length, minor)),
        ceiling=((0.0, outside), (length, outside)),
    )
    return Body(plain=ring(0.0, length, 2 * outside, 2 * minor), threads=(span,))


def run_out_screw(thread: Thread) -> Body:
    """Thread a chamfered spigot that runs out before a head, bored through."""
    crest, root, pitch = thread.major_d / 2, thread_form(thread, external=True).low, thread.pitch
    end, chamfer = 8 * pitch, crest - root
    profile: list[Point] = [
        (0.0, root / 2),
        (2 * end, root / 2),
        (2 * end, 2 * crest),
        (end, 2 * crest),
        (end, crest),
        (chamfer, crest),
        (0.0, root),
    ]
    span = ThreadSpan(
        thread=thread,
        external=True,
        start=0.0,
        end=end,
        anchor=0.1,
        floor=((0.0, root / 1.5), (end - 2 * pitch, root), (end, crest)),
        ceiling=((0.0, root), (chamfer, crest), (end, crest)),
    )
    return Body(plain=polygon(profile), threads=(span,))


def brute_moments(span: ThreadSpan, stations: int, phases: int) -> tuple[float, float, float, float]:
    """Sum pi times r^2, z r^2, r^4/2 and r^4/4 + z^2 r^2 of a span over stations and angles, by midpoints."""
    knots = sorted({z for z, _ in span.floor + span.ceiling})
    turn = (np.arange(phases) + 0.5) / phases
    total = np.zeros(4)
    for a, b in pairwise(knots):
        z = a + (b - a) * (np.arange(stations) + 0.5) / stations
        u = z[:, None] - span.anchor - span.thread.lead * turn
        floor, ceiling = (np.interp(z, *zip(*p, strict=True))[:, None] for p in (span.floor, span.ceiling))
        r = np.clip(form_radius(span.thread, span.external, u), floor, ceiling)
        square, fourth = (r**2).mean(axis=1), (r**4).mean(axis=1)
        sums = (square, z * square, fourth / 2, fourth / 4 + z**2 * square)
        total += np.pi * (b - a) / stations * np.array([s.sum() for s in sums])
    volume, first, axial, across = total.tolist()
    return volume, first, axial, across
