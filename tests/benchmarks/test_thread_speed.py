"""How fast a threaded part is meshed, beside the CAD kernel's helical solid in the same run."""

from __future__ import annotations

import math

import pytest

from tests.benchmarks.timing import timed, told
from tests.threaded import screw
from turnmodel.catalog.threads import thread
from turnmodel.geometry.thread_form import thread_form
from turnmodel.geometry.thread_moments import body_moments, mean_square
from turnmodel.shape.lathe import lathe
from turnmodel.shape.measures import mesh_volume

OVERLAP = 0.05  # of the pitch: a ridge that only touches the core comes back empty


def _kernel_thread(pitch: float, length: float, crest: float, root: float):
    """Fuse a swept ridge of flats and flanks to its core, then trim it to length."""
    import cadquery as cq

    sunk = OVERLAP * pitch
    wide = pitch * 3 / 4 / 2 + sunk * math.tan(math.radians(30))
    flat = pitch / 8 / 2
    helix = cq.Wire.makeHelix(pitch, length + 2 * pitch, root - sunk)
    ridge = (
        cq.Workplane("XZ", origin=(root - sunk, 0, 0))
        .moveTo(0, -wide)
        .lineTo(crest - root + sunk, -flat)
        .lineTo(crest - root + sunk, flat)
        .lineTo(0, wide)
        .close()
        .sweep(cq.Workplane(helix), isFrenet=True)
        .translate((0, 0, -pitch))
    )
    core = cq.Workplane().circle(root).extrude(length + 2 * pitch).translate((0, 0, -pitch))
    keep = cq.Workplane().circle(2 * crest).extrude(length)
    return core.union(ridge, clean=False).intersect(keep, clean=False).val()


@pytest.mark.benchmark(group="thread")
def test_threaded_part_is_meshed_faster_than_the_kernel(benchmark):
    """A 3/8-16 of eight turns is meshed right to 3e-4; the kernel's time for the like is put beside it."""
    t = thread("3/8-16 UNC")
    length = 8 * t.pitch
    body = screw(t, length)
    mesh = benchmark(lathe, body, area_true=True)
    assert mesh_volume(mesh) == pytest.approx(body_moments(body).volume, rel=3e-4)

    crest, root = t.major_d / 2, thread_form(t, external=False).low

    def kernel():
        solid = _kernel_thread(t.pitch, length, crest, root)
        vertices, _ = solid.tessellate(0.01, 0.1)
        assert vertices
        return solid

    solid, seconds = timed(kernel, rounds=2)
    # The kernel's ridge has the basic form, its root as flat as the hole's crest; the sweep is right to 3e-4.
    basic = math.pi * length * mean_square(t, external=False)
    assert solid.Volume() == pytest.approx(basic, rel=1e-3)
    told(benchmark, "mesh of a screw of eight turns", "kernel, swept and fused", seconds)
