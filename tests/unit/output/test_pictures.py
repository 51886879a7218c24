"""Pictures: framed full, told apart by material, cut faces in their tint, lettering clear of itself."""

from __future__ import annotations

import colorsys
import ctypes
import os
import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnmodel.catalog.materials import FAMILIES
from turnmodel.errors import BadValue, OutputError, UnknownName
from turnmodel.geometry.body import Body
from turnmodel.geometry.region import polygon, ring
from turnmodel.output.pictures import views
from turnmodel.output.pictures.appearance import APPEARANCES, Appearance, appearance
from turnmodel.output.pictures.framing import SLIMMEST, framed
from turnmodel.output.pictures.lettering import Label, labels_spread, letter_size, scale_for
from turnmodel.output.pictures.picture import _guides, _labels, cut_outline, cut_tints, laid_on
from turnmodel.output.pictures.scene import Piece, drawn_apart
from turnmodel.output.pictures.studio import Settings, environment
from turnmodel.output.pictures.views import Shot, render, render_set, save
from turnmodel.shape.lathe import CUT, lathe

FOOT = 24
"""Height of the strip with the scale bar in a small picture, [px]."""

SMALL = Settings(size=(400, 250))
BARE = replace(SMALL, background=None)

FILLS = 0.80
"""Least share of the picture's long side that the object fills: the commission's own figure."""


def piece(name, body, family, sector=360.0, **more):
    """Make a piece of one material."""
    return Piece(name=name, mesh=lathe(body, 64, sector), appearance=appearance(family), **more)


def bar(family, sector=360.0):
    """Make a bar ten times as long as thick."""
    return piece("bar", Body(plain=ring(0, 80, 8)), family, sector)


def wheel(family):
    """Make a stout body on a thin stem."""
    outline = [(0, 0), (24, 0), (24, 2), (10, 2), (10, 14), (4, 14), (0, 1)]
    return piece("wheel", Body(plain=polygon(outline)), family)


def can_render():
    """Tell whether this machine has a screen or the library that does without."""
    if sys.platform != "linux" or os.environ.get("DISPLAY"):
        return True
    try:
        ctypes.CDLL("libEGL.so.1")
    except OSError:
        return False
    return True


@pytest.fixture(scope="module")
def album():
    """Take all pictures of these tests in one room."""
    if not can_render():
        pytest.skip("no renderer: this machine has no libEGL.so.1 (Debian: libegl1)")
    sleeve = Body(plain=ring(0, 30, 10, 6))
    shots = {
        "long": Shot(pieces=(bar("brass"),), view="whole"),
        "stout": Shot(pieces=(wheel("brass"),), view="whole"),
        "cut": Shot(pieces=(piece("sleeve", sleeve, "copper", 270.0),), view="cut"),
        "apart": Shot(pieces=(bar("steel"), wheel_drawn()), view="apart"),
    }
    shots |= {
        family: Shot(pieces=(bar(family),), view="whole") for family in ("aluminium", "steel", "spring steel")
    }
    taken = render_set(list(shots.values()), BARE)
    return dict(zip(shots, taken, strict=True))


def wheel_drawn():
    """Make a wheel that is drawn out over the front."""
    return replace(wheel("brass"), moves=((0.0, 0.0, -60.0),))


def extent(picture):
    """Measure the object's width and height, [px], above the lettering at the foot."""
    seen = picture[:-FOOT, :, 3] > 0
    return np.ptp(np.flatnonzero(seen.any(axis=0))) + 1, np.ptp(np.flatnonzero(seen.any(axis=1))) + 1


def middle_colour(picture):
    """Take the median colour of the object, from 0 to 1."""
    body = picture[:-FOOT]
    return np.median(body[body[..., 3] == 255][:, :3], axis=0) / 255


@pytest.mark.parametrize("name", ["long", "stout"])
def test_object_fills_the_long_side(album, name):
    """A long and a stout object alike fill four fifths of the long side or more."""
    height, width = album[name].shape[:2]
    wide, tall = extent(album[name])
    assert (wide if width >= height else tall) >= FILLS * max(width, height)


def test_picture_is_no_larger_than_asked(album):
    """No side is longer than the settings say, and none is slimmer than four to one."""
    for picture in album.values():
        height, width = picture.shape[:2]
        assert width <= SMALL.size[0]
        assert height <= SMALL.size[1]
        assert width <= SLIMMEST * height


def test_paper_is_transparent_where_there_is_none(album):
    """Without a background the corners are clear and the object is solid."""
    picture = album["long"]
    assert picture[0, 0, 3] == 0
    assert picture[..., 3].max() == 255


def test_brass_is_neither_copper_nor_olive(album):
    """Brass lies between the hues of copper and olive, with its colour plain to see.

    CSS Color Module Level 4, named colours, read in matplotlib's table: chocolate has hue 25.0, goldenrod
    42.9, olive 60.0. The bounds are the midpoints (house choice: goldenrod stands for brass).
    """
    hue, saturation, value = colorsys.rgb_to_hsv(*middle_colour(album["long"]))
    assert 34 < 360 * hue < 51.5
    assert saturation > 0.3
    assert value > 0.4


def test_metals_are_told_apart(album):
    """Aluminium is lighter than steel, both are grey, and blued steel is dark and blue."""
    aluminium, steel, blued = (middle_colour(album[name]) for name in ("aluminium", "steel", "spring steel"))
    grey = 0.1  # Spread of channels that still reads as grey (house choice).
    assert aluminium.mean() > steel.mean() + 0.05
    assert np.ptp(aluminium) < grey
    assert np.ptp(steel) < grey
    assert blued.mean() < steel.mean() - 0.1
    assert blued[2] > blued[0]


def test_light_does_not_burn_out(album):
    """Of the brightest metal, less than a twentieth is pure white."""
    body = album["aluminium"][:-FOOT]
    solid = body[body[..., 3] == 255][:, :3]
    assert (solid == 255).all(axis=1).mean() < 0.05


def test_cut_faces_have_the_cut_tint(album):
    """The plane that faces the camera shows the material's cut tint, the other one a darker one."""
    tint = np.round(255 * np.array(appearance("copper").cut))
    flat = album["cut"][..., :3].reshape(-1, 3)
    first = (np.abs(flat - tint) <= 1).all(axis=1).sum()
    second = (np.abs(flat - 0.86 * tint) <= 1).all(axis=1).sum()
    # Each plane shows two strips of wall, 2 of 10 mm high, over the whole length: seen at 27 degrees the
    # upper one keeps cos 27 = 0.89 of its height, the lower sin 27 = 0.45; outlines take the rest.
    assert first > second > 0.02 * len(flat)


def test_cut_faces_are_outlined(album):
    """Dark lines run along the cut."""
    dark = (album["cut"][:-FOOT, :, :3].max(axis=2) < 60) & (album["cut"][:-FOOT, :, 3] > 200)
    assert dark.any(axis=0).sum() > 0.6 * album["cut"].shape[1]


def test_same_input_same_picture(album):
    """A picture taken alone is the one that was taken in a set, byte for byte."""
    assert (render([bar("brass")], "whole", BARE) == album["long"]).all()


def test_background_is_the_paper():
    """Paper shows unmixed where nothing stands on it, and half where a pixel is half covered."""
    shot = np.array([[[0, 0, 0, 0], [50, 50, 50, 128]]], dtype=np.uint8)
    page = laid_on(shot, (1.0, 0.5, 0.0))
    assert page[0, 0].tolist() == [255, 128, 0, 255]
    assert page[0, 1] == pytest.approx([50 + 127, 50 + 63.5, 50, 255], abs=1)


def test_every_family_has_an_appearance():
    """Whatever the catalogue cuts can be drawn, and so can what is bought."""
    assert set(FAMILIES) | {"ink refill", "bought"} <= set(APPEARANCES)


def test_appearance_refuses_a_figure_out_of_range():
    """A percentage in place of a share is named with its rule."""
    with pytest.raises(BadValue, match=r"^metallic 50: lies from 0 to 1$"):
        Appearance(base=(0, 0, 0), metallic=50, roughness=0.3, cut=(0, 0, 0))


def test_settings_refuse_a_size_out_of_range():
    """A width that no picture has is named with its rule."""
    with pytest.raises(BadValue, match=r"^width of a picture 10 px: lies from 100 to 8000 px$"):
        Settings(size=(10, 1000))


def test_unknown_view_names_the_nearest():
    """A view that is not there brings the one that is."""
    with pytest.raises(UnknownName, match=r"^no view named 'whale'; did you mean 'whole'\?$"):
        Shot(pieces=(bar("steel"),), view="whale")


def test_nothing_to_show_is_an_error():
    """An object without parts gives no picture."""
    with pytest.raises(OutputError, match=r"^no picture 'cut': there is no part to show$"):
        Shot(pieces=(), view="cut")


@pytest.mark.parametrize(
    ("script", "said"),
    [
        ("kill -SEGV $$", r"^no pictures: the renderer was ended by SIGSEGV; .* package libegl-mesa0 "),
        ("echo out of memory >&2; exit 3", r"^no pictures: the renderer ended with status 3: out of memory$"),
    ],
)
def test_crash_of_the_renderer_is_an_error_here(tmp_path, monkeypatch, script, said):
    """Whatever ends the renderer's process, the caller lives and is told."""
    fake = tmp_path / "python"
    fake.write_text(f"#!/bin/sh\n{script}\n")
    fake.chmod(0o755)
    monkeypatch.setattr(views.sys, "executable", str(fake))
    with pytest.raises(OutputError, match=said):
        render([bar("steel")], "whole", SMALL)


def test_caller_loads_no_renderer():
    """Asking for pictures loads neither pyvista nor its kernel into the caller."""
    code = (
        "import sys, turnmodel.output.pictures.views\n"
        "print([m for m in sys.modules if m.startswith(('vtk', 'pyvista', 'matplotlib'))])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_saved_whole_or_not_at_all(tmp_path):
    """A picture lands under its name alone, and a failure leaves nothing behind."""
    picture = np.zeros((4, 6, 4), dtype=np.uint8)
    assert save(picture, tmp_path / "a.png").read_bytes().startswith(b"\x89PNG")
    assert [file.name for file in tmp_path.iterdir()] == ["a.png"]
    with pytest.raises(OutputError, match=r"^cannot write .*b\.png: No such file or directory$"):
        save(picture, tmp_path / "none" / "b.png")


def test_environment_is_brightest_above_the_camera():
    """The great box hangs in front of the object and over it, where it lights the top of a bar."""
    room = environment(64)
    row, column = np.unravel_index(room[..., 0].argmax(), room.shape[:2])
    assert room.shape == (64, 128, 3)
    assert row < 32
    assert 64 < column < 128


def test_cut_outline_is_the_section_perimeter():
    """The lines drawn round a quarter cut of a tube measure its section's two perimeters."""
    mesh = lathe(Body(plain=ring(0, 10, 8, 4)), 64, 270.0)
    ends = cut_outline(mesh.vertices, mesh.faces[mesh.tags == CUT])
    drawn = np.linalg.norm(ends[:, 0] - ends[:, 1], axis=1).sum()
    assert drawn == pytest.approx(2 * 2 * (10 + 2), rel=1e-12)


def test_neighbours_of_one_material_differ_on_the_cut():
    """Two cut parts of one brass take two tints, the first the material's own."""
    tints = cut_tints([bar("brass", 270.0), bar("steel", 270.0), bar("brass", 270.0)])
    assert tints[0] == appearance("brass").cut
    assert tints[1] == appearance("steel").cut
    assert tints[2] not in tints[:2]


def plate_over_a_bar(foot=None):
    """Lay a bar of 80 by 8 mm with a plate drawn up from it; the plate covers 5 to 75 mm of the bar."""
    plate = piece("plate", Body(plain=ring(5, 75, 4)), "steel", moves=((20.0, 0.0, 3.0),), foot=foot)
    pieces = [bar("brass"), plate]
    return pieces, drawn_apart(pieces)


def test_a_line_leads_back_to_where_a_part_was_met():
    """What is drawn across has its line from the place of its joint, not from its middle."""
    pieces, shifts = plate_over_a_bar(foot=(4.0, 0.0, 10.0))
    placed = [p.mesh.vertices + s for p, s in zip(pieces, shifts, strict=True)]

    assert _guides(pieces, placed, shifts)[-1] == pytest.approx(np.array([[24.0, 0, 13.0], [4.0, 0, 13.0]]))


def test_a_name_points_past_what_covers_its_part():
    """Where most of a part lies under another, its name points to an end that does not."""
    pieces, shifts = plate_over_a_bar()
    placed = [p.mesh.vertices + s for p, s in zip(pieces, shifts, strict=True)]
    framing = framed(np.concatenate(placed), "apart", SMALL, 30, 30)
    under, over = _labels(["bar", "plate"], placed, [p.mesh.faces for p in pieces], framing, 20)
    covered = framing.pixels(placed[1])[:, 0]

    assert not covered.min() < under.x < covered.max()
    assert covered.min() < over.x < covered.max()


@given(
    places=st.lists(
        st.tuples(st.text("abcdef", min_size=1, max_size=9), st.floats(0, 1600)), min_size=1, max_size=9
    )
)
def test_labels_do_not_overlap(places):
    """Nine names fit side by side in a picture of full size, each clear of the next."""
    spread = labels_spread([Label(text=text, x=x, y=0) for text, x in places], 22, 1600)
    # Letters are narrower than they are high.
    half = [len(label.text) * 22 * 0.2 for label in spread]
    assert len(spread) == len(places)
    for k in range(1, len(spread)):
        assert spread[k].at - half[k] > spread[k - 1].at + half[k - 1]
    assert spread[0].at >= 0
    assert spread[-1].at <= 1600


@given(st.floats(0.01, 500))
def test_scale_bar_is_a_round_length(pixels_per_mm):
    """Whatever the scale, divisions are 1, 2 or 5 by a power of ten and take a third of the width at most."""
    bar_drawn = scale_for(pixels_per_mm, 1600, 22)
    digits = bar_drawn.division / 10 ** np.floor(np.log10(bar_drawn.division * (1 + 1e-9)))
    assert min(abs(digits - step) for step in (1, 2, 5)) < 1e-6
    assert 2 <= bar_drawn.count <= 5
    assert bar_drawn.count * bar_drawn.pixels <= 0.34 * 1600 * (1 + 1e-9)


def test_scale_holds_along_the_axis():
    """Ten millimetres of the axis of a lying object measure ten on the scale bar."""
    framing = framed(bar("steel").mesh.vertices, "whole", Settings(), above=30, below=70)
    a, b = framing.pixels(np.array([[0.0, 0.0, 20.0], [0.0, 0.0, 30.0]]))
    assert b[0] - a[0] == pytest.approx(10 * framing.ruler, rel=1e-12)
    assert b[1] == pytest.approx(a[1], abs=1e-9)


@pytest.mark.parametrize("size", [(100, 100), (1600, 100), (100, 1600), (8000, 100)])
def test_any_size_leaves_room_for_the_object(size):
    """However flat or narrow the picture, lettering leaves the object a place and the scale its figures."""
    letters = letter_size(size)
    framing = framed(
        bar("steel").mesh.vertices, "apart", Settings(size=size), above=3.6 * letters, below=2.8 * letters
    )
    assert framing.scale > 0
    assert framing.size[0] <= size[0]
    assert framing.size[1] <= size[1]
    assert scale_for(framing.ruler, framing.size[0], letters).count >= 1


def test_front_lies_to_the_left():
    """Station 0 of a long object is at the left of the picture."""
    framing = framed(bar("steel").mesh.vertices, "cut", Settings(), above=30, below=70)
    front, back = framing.pixels(np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 80.0]]))
    assert front[0] < back[0]


def test_missing_quarter_faces_the_camera():
    """Both planes of a quarter cut are turned to the camera, the plane x = 0 above the axis."""
    framing = framed(bar("steel", 270.0).mesh.vertices, "cut", Settings(), above=30, below=70)
    toward = framing.axes[2]
    assert toward @ (1, 0, 0) > 0.3
    assert toward @ (0, -1, 0) > 0.3
    assert framing.axes[1] @ (0, -1, 0) > 0.3
