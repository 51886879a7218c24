"""The CAD door: solids of the right volume, traps refused, STEP that reads back and never varies.

Expected volumes are textbook closed forms: Pappus' second theorem, and the cylinder, cone and sphere.
"""

from __future__ import annotations

import math
import subprocess
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING

import cadquery as cq
import pytest
from cadquery.func import revolve, segment, wire

from turnmodel.errors import BadText, BadValue, OutputError, WitnessError
from turnmodel.geometry.across import Block, CrossCylinder, Prism
from turnmodel.geometry.body import Body
from turnmodel.geometry.curve import Arc, Line
from turnmodel.geometry.frame import IDENTITY
from turnmodel.geometry.region import Region, polygon, ring
from turnmodel.shape import solid as door
from turnmodel.shape.solid import KERNEL_BOUND, solid, solid_cut, to_solid
from turnmodel.shape.step import StepPart, read_step, step_assembly, step_name, step_part

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

UPRIGHT = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
ROUND_TRIP = 1e-9
"""STEP carries 15 digits; a volume of a hundred faces loses a thousandth of a millionth at the most, [-]."""

SINGLE = 1e-6
"""The kernel keeps colours in single precision, whose last digit is 6e-8, [-]."""


def circle(z: float, r: float, radius: float) -> tuple[Arc, Arc]:
    """Two arcs round a point, counter-clockwise."""
    left, right = (z - radius, r), (z + radius, r)
    return (
        Arc(start=right, end=left, center=(z, r), turn=1),
        Arc(start=left, end=right, center=(z, r), turn=1),
    )


def ball(radius: float) -> Region:
    """Half a disc on the axis."""
    ends = (-radius, 0.0), (radius, 0.0)
    return Region(
        loops=(
            (
                Line(start=ends[0], end=ends[1]),
                Arc(start=ends[1], end=ends[0], center=(0.0, 0.0), turn=1),
            ),
        )
    )


def hollow_bar() -> Region:
    """Make a bar with a closed hollow of section 2 x 1 round radius 3.5."""
    hollow = polygon([(4.0, 3.0), (4.0, 4.0), (6.0, 4.0), (6.0, 3.0)])
    return Region(loops=ring(0.0, 10.0, outside_d=12.0).loops + hollow.loops)


CLOSED_FORMS = {
    "bar": (ring(0.0, 10.0, outside_d=12.0), math.pi * 36 * 10),
    "tube": (ring(-3.0, 4.0, outside_d=12.0, inside_d=11.0), math.pi * (36 - 30.25) * 7),
    "cone": (polygon([(0.0, 0.0), (9.0, 0.0), (0.0, 4.0)]), math.pi * 16 * 9 / 3),
    "ball": (ball(5.0), 4 / 3 * math.pi * 125),
    "torus": (Region(loops=(circle(1.0, 5.0, 2.0),)), 2 * math.pi**2 * 5 * 4),
    "hollow bar": (hollow_bar(), math.pi * 36 * 10 - 2 * math.pi * 3.5 * 2),
}


@pytest.fixture
def bar() -> cq.Solid:
    """Make a bar of diameter 12 from station 0 to 10."""
    return solid(Body(plain=ring(0.0, 10.0, outside_d=12.0)))


@pytest.mark.parametrize("name", CLOSED_FORMS)
def test_solid_has_the_volume_of_the_textbook(name: str) -> None:
    """A revolved region has the volume that Pappus gives, hollows and domes included."""
    region, expected = CLOSED_FORMS[name]

    made = solid(Body(plain=region))

    assert isinstance(made, cq.Solid)
    assert made.Volume() == pytest.approx(expected, rel=KERNEL_BOUND)


def test_solid_stands_on_the_axis() -> None:
    """Station z of the half-plane is z in space, and the part is as wide along x as along y."""
    box = solid(Body(plain=ring(2.0, 5.0, outside_d=8.0))).BoundingBox()

    assert (box.zmin, box.zmax) == pytest.approx((2.0, 5.0), abs=1e-6)
    assert (box.xmin, box.xmax, box.ymin, box.ymax) == pytest.approx((-4.0, 4.0, -4.0, 4.0), abs=1e-6)


def test_a_nearly_straight_arc_is_made() -> None:
    """An arc flatter than contact, which three points cannot fix, is made as its chord."""
    flat = Arc(start=(10.0, 6.0), end=(9.9, 6.0), center=(9.95, -5e3), turn=1)
    loop = (
        Line(start=(0.0, 0.0), end=(10.0, 0.0)),
        Line(start=(10.0, 0.0), end=(10.0, 6.0)),
        flat,
        Line(start=(9.9, 6.0), end=(0.0, 6.0)),
        Line(start=(0.0, 6.0), end=(0.0, 0.0)),
    )

    made = solid(Body(plain=Region(loops=(loop,))))

    assert made.Volume() == pytest.approx(math.pi * 360, rel=KERNEL_BOUND)


def test_two_pieces_are_refused() -> None:
    """A region of two loose rings is no part."""
    loose = Region(loops=ring(0.0, 1.0, outside_d=2.0).loops + ring(3.0, 4.0, outside_d=2.0).loops)

    with pytest.raises(BadValue, match="nib: pieces 2: a part is one piece"):
        solid(Body(plain=loose), "nib")


def test_a_revolved_wire_is_refused() -> None:
    """A shell, whose volume reads as its area, does not pass for a solid."""
    corners = [(1.0, 0.0, 0.0), (2.0, 0.0, 0.0), (2.0, 0.0, 3.0), (1.0, 0.0, 3.0)]
    sides = zip(corners, corners[1:] + corners[:1], strict=True)
    shell = revolve(wire(*(segment(a, b) for a, b in sides)), (0, 0, 0), (0, 0, 1))

    with pytest.raises(WitnessError, match=r"tube: closed form 28\.274334 mm3, kernel's solid 0\.000000 mm3"):
        door._witnessed(shell, math.pi * 3 * 3, "tube")


def test_a_wrong_volume_is_refused(bar: cq.Solid) -> None:
    """A valid solid that is two parts in a million off the closed form is a fault of the program."""
    with pytest.raises(WitnessError, match="fault of turnmodel"):
        door._witnessed(bar, bar.Volume() * (1 + 2 * KERNEL_BOUND), "bar")


def test_a_tool_starts_where_it_says() -> None:
    """A cylinder runs from its point along its direction, a block lies round its centre on its axes."""
    turned = ((0.0, 1.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    placed = ((1.0, 0.0, 0.0, 5.0), (0.0, 0.0, -1.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 0.0, 1.0))
    tools = [
        CrossCylinder(at=(-1.0, 0.0, 5.0), direction=(1.0, 0.0, 0.0), diameter=2.0, length=7.0),
        Block(center=(1.0, 2.0, 3.0), size=(6.0, 4.0, 2.0), axes=turned),
        Prism(outline=((0.0, 0.0), (3.0, 0.0), (3.0, 1.0), (0.0, 1.0)), thickness=0.5, matrix=placed),
    ]
    expected = [(-1, 6, -1, 1, 4, 6), (-1, 3, -1, 5, 2, 4), (5, 8, -0.5, 0, 0, 1)]

    boxes = [to_solid(tool).BoundingBox() for tool in tools]

    found = [(b.xmin, b.xmax, b.ymin, b.ymax, b.zmin, b.zmax) for b in boxes]
    for one, other in zip(found, expected, strict=True):
        assert one == pytest.approx(other, abs=1e-6)


def test_a_flat_takes_its_segment(bar: cq.Solid) -> None:
    """A flat milled 2 mm deep on a 12 mm bar takes the circular segment times its length."""
    flat = Block(center=(0.0, 6.0, 5.0), size=(20.0, 4.0, 20.0), axes=UPRIGHT)
    segment_area = 36 * math.acos(4 / 6) - 4 * math.sqrt(36 - 16)

    cut = solid_cut(bar, [flat])

    assert bar.Volume() - cut.Volume() == pytest.approx(segment_area * 10, rel=KERNEL_BOUND)


def test_a_miss_takes_nothing(bar: cq.Solid) -> None:
    """A tool clear of the part leaves it as it was."""
    clear = CrossCylinder(at=(20.0, 0.0, 0.0), direction=(0.0, 0.0, 1.0), diameter=1.0, length=10.0)

    assert solid_cut(bar, [clear]).Volume() == pytest.approx(bar.Volume(), rel=1e-12)


def test_a_cut_that_takes_too_little_is_seen(bar: cq.Solid) -> None:
    """What the kernel takes is held to what should be taken by another reckoning."""
    flat = Block(center=(0.0, 6.0, 5.0), size=(20.0, 4.0, 20.0), axes=UPRIGHT)
    taken = bar.Volume() - solid_cut(bar, [flat]).Volume()

    solid_cut(bar, [flat], "bar", (taken + 0.5, 1.0))
    with pytest.raises(WitnessError, match=r"bar: taken by the mesh .* taken by the kernel"):
        solid_cut(bar, [flat], "bar", (taken + 2.0, 1.0))


def test_a_cut_that_severs_is_refused(bar: cq.Solid) -> None:
    """A slot right through leaves two pieces, which are not a part."""
    slot = Block(center=(0.0, 0.0, 5.0), size=(20.0, 20.0, 1.0), axes=UPRIGHT)

    with pytest.raises(BadValue, match="bar: pieces left after a cut 2: a part is one piece"):
        solid_cut(bar, [slot], "bar")


def test_an_assembly_reads_back(bar: cq.Solid, tmp_path: Path) -> None:
    """Names (beyond ASCII too), colours, places and volumes survive a STEP file."""
    turned = ((0.0, 0.0, 1.0, 5.0), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 8.0), (0.0, 0.0, 0.0, 1.0))
    ball_part = solid(Body(plain=ball(5.0)))
    parts = [
        StepPart(name="bar ⌀12, it's the 1st", solid=bar, rgb=(0.8, 0.6, 0.24)),
        StepPart(name="ball", solid=ball_part, rgb=(0.1, 0.0, 1.0), matrix=turned),
    ]
    path = tmp_path / "kit.step"

    step_assembly(parts, path, name="kit")
    back = read_step(path)

    assert [part.name for part in back] == [part.name for part in parts]
    for one, other in zip(back, parts, strict=True):
        assert one.rgb == pytest.approx(other.rgb, abs=SINGLE)
        assert sum(one.matrix, ()) == pytest.approx(sum(other.matrix, ()), abs=1e-12)
        assert one.solid.Volume() == pytest.approx(other.solid.Volume(), rel=ROUND_TRIP)


def test_one_part_reads_back(bar: cq.Solid, tmp_path: Path) -> None:
    """A part alone is one product in its own frame."""
    step_part(StepPart(name="bar", solid=bar, rgb=(1.0, 1.0, 1.0)), tmp_path / "bar.step")

    (back,) = read_step(tmp_path / "bar.step")

    assert (back.name, back.matrix) == ("bar", IDENTITY)
    assert back.solid.Volume() == pytest.approx(bar.Volume(), rel=ROUND_TRIP)


def test_step_says_millimetres_and_no_time(bar: cq.Solid, tmp_path: Path) -> None:
    """The file is ASCII, in millimetres, with a fixed time stamp and no leftovers beside it."""
    step_part(StepPart(name="bar", solid=bar, rgb=(1.0, 1.0, 1.0)), tmp_path / "bar.step")

    text = (tmp_path / "bar.step").read_bytes().decode("ascii")

    assert "SI_UNIT(.MILLI.,.METRE.)" in text
    assert "'1970-01-01T00:00:00'" in text
    assert [entry.name for entry in tmp_path.iterdir()] == ["bar.step"]


@pytest.mark.slow
def test_step_is_the_same_from_another_process(tmp_path: Path) -> None:
    """Two runs of the program on one design write the same bytes."""
    program = (
        "import sys; from pathlib import Path\n"
        "from turnmodel.geometry.body import Body\n"
        "from turnmodel.geometry.region import ring\n"
        "from turnmodel.shape.solid import solid\nfrom turnmodel.shape.step import StepPart, step_assembly\n"
        "bar, tube = (solid(Body(plain=ring(0.0, 9.0, outside_d=8.0, inside_d=d))) for d in (0.0, 3.0))\n"
        "pairs = (('bar', bar), ('tube', tube))\n"
        "bar, tube = (StepPart(name=name, solid=s, rgb=(0.5, 0.5, 0.2)) for name, s in pairs)\n"
        "step_assembly([bar, tube], Path(sys.argv[1]))\n"
    )
    paths = [tmp_path / "first.step", tmp_path / "second.step"]

    for path in paths:
        subprocess.run([sys.executable, "-c", program, str(path)], check=True)

    assert paths[0].read_bytes() == paths[1].read_bytes()


@pytest.mark.parametrize("write", [step_part, lambda part, path: step_assembly([part], path)])
def test_step_is_the_same_twice(
    bar: cq.Solid, tmp_path: Path, write: Callable[[StepPart, Path], None]
) -> None:
    """Many writes in one run give the same bytes, though the kernel counts on and its numbers lengthen."""
    part = StepPart(name="a name that breaks the line", solid=bar, rgb=(0.8, 0.6, 0.24))

    paths = [tmp_path / f"{n}.step" for n in range(12)]
    for path in paths:
        write(part, path)

    assert len({path.read_bytes() for path in paths}) == 1


def test_one_solid_in_two_places_is_two_products(bar: cq.Solid, tmp_path: Path) -> None:
    """Two parts made of one solid keep a name and a colour each."""
    parts = [
        StepPart(name="left", solid=bar, rgb=(1.0, 0.0, 0.0)),
        StepPart(name="right", solid=bar, rgb=(0.0, 0.0, 1.0)),
    ]

    step_assembly(parts, tmp_path / "pair.step")
    back = read_step(tmp_path / "pair.step")

    assert [part.name for part in back] == ["left", "right"]
    assert [part.rgb for part in back] == [pytest.approx(part.rgb, abs=SINGLE) for part in parts]


def test_a_place_that_cannot_be_written_is_one_clear_error(bar: cq.Solid, tmp_path: Path) -> None:
    """A file that cannot be written is said by its path, and nothing is left behind."""
    (tmp_path / "taken").write_text("a file where a folder is wanted")

    with pytest.raises(OutputError, match=r"cannot write .*bar\.step: "):
        step_part(StepPart(name="bar", solid=bar, rgb=(1.0, 1.0, 1.0)), tmp_path / "taken" / "bar.step")
    assert [entry.name for entry in tmp_path.iterdir()] == ["taken"]


def test_parts_need_names_of_their_own(bar: cq.Solid, tmp_path: Path) -> None:
    """Two parts of one name would be one product."""
    part = StepPart(name="bar", solid=bar, rgb=(1.0, 1.0, 1.0))

    with pytest.raises(BadText, match="cannot read product name 'bar': the assembly and its parts"):
        step_assembly([part, part], tmp_path / "kit.step")
    with pytest.raises(BadText, match="a part needs a name"):
        StepPart(name=" ", solid=bar, rgb=(1.0, 1.0, 1.0))


def test_a_colour_is_from_0_to_1(bar: cq.Solid) -> None:
    """A colour of 0 to 255 is refused."""
    with pytest.raises(BadValue, match=r"colour of bar 204: red, green and blue run from 0 to 1"):
        StepPart(name="bar", solid=bar, rgb=(204.0, 153.0, 61.0))


def test_threads_are_said_in_the_name() -> None:
    """Threads, which the solid shows plain, are named once each, with their side."""

    @dataclass(frozen=True)
    class Said:
        designation: str

    @dataclass(frozen=True)
    class Span:
        thread: Said
        external: bool

    fine, small = Said("M9x0.75"), Said("M4x0.5")
    body = Body(
        plain=ring(0.0, 1.0, outside_d=9.0),
        threads=(Span(fine, external=True), Span(small, external=False), Span(fine, external=True)),
    )

    assert step_name("barrel", body) == "barrel, M9x0.75 outside, M4x0.5 inside"
    assert step_name("rod", Body(plain=ring(0.0, 1.0, outside_d=9.0))) == "rod"
