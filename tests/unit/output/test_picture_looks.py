"""Finishes show, parts lie on their paper, objects stand at one scale, films play; numbers first."""

from __future__ import annotations

import ctypes
import math
import os
import sys
from dataclasses import replace

import numpy as np
import pytest

from turnmodel import Design, Part, bar, chamfer, cylinder, drill, joint, shoulder, tap, thread
from turnmodel.catalog.finishes import finish
from turnmodel.geometry.body import Body
from turnmodel.geometry.region import ring
from turnmodel.output.pictures.album import USUAL, VIEWS, album
from turnmodel.output.pictures.appearance import appearance, finished
from turnmodel.output.pictures.closeup import close_ups
from turnmodel.output.pictures.film import write_gif, write_mp4
from turnmodel.output.pictures.lineup import LineUp
from turnmodel.output.pictures.motion import Film
from turnmodel.output.pictures.pieces import pieces
from turnmodel.output.pictures.ruler import beside_ruler, ruler_length
from turnmodel.output.pictures.scene import Knurled, Piece, drawn_apart, steps_home
from turnmodel.output.pictures.shadow import contact_shadow
from turnmodel.output.pictures.studio import Settings
from turnmodel.output.pictures.views import Shot, render_set
from turnmodel.shape.lathe import lathe

SMALL = Settings(size=(400, 250))
BARE = replace(SMALL, background=None)
FOOT = 30
"""Height of the strip with the scale bar in a small picture, [px]."""


def rod(look, length=80, **more):
    """Make a rod of 8 mm with a finish on brass."""
    seen = finished(appearance("brass"), "brass", finish(look))
    return Piece(name="rod", mesh=lathe(Body(plain=ring(0, length, 8)), 64), appearance=seen, **more)


def disc():
    """Make a disc that shows its face."""
    seen = appearance("brass")
    return Piece(name="disc", mesh=lathe(Body(plain=ring(0, 4, 30)), 96), appearance=seen)


def capped():
    """Make a rod with a cap screwed on its thread."""
    body = Part.turned(
        "body",
        material="CW614N",
        stock=bar("12 mm"),
        outside=[thread("M8x1", 8), shoulder("stop"), cylinder(12, 20, edges=chamfer(0.3))],
    )
    cap = Part.turned(
        "cap",
        material="CW614N",
        stock=bar("12 mm"),
        outside=[cylinder(12, 16)],
        from_back=[drill("7 mm", depth=12), tap("M8x1", depth=9)],
    )
    return Design("box", parts=[body, cap], joints=[joint.screw(cap.face("back"), body.face("stop"))])


@pytest.fixture(scope="module")
def taken():
    """Take all pictures of these tests in one go."""
    if sys.platform == "linux" and not os.environ.get("DISPLAY"):
        try:
            ctypes.CDLL("libEGL.so.1")
        except OSError:
            pytest.skip("no renderer: this machine has no libEGL.so.1 (Debian: libegl1)")
    design = capped()
    whole, opened = pieces(design, "whole"), pieces(design, "whole", cut=True)
    shots = {
        look: Shot(pieces=(rod(look),), view="whole") for look in ("turned", "polished", "brushed", "blasted")
    }
    knurl = (Knurled(start=0, end=80, pitch=1.0),)
    shots |= {
        "knurled": Shot(pieces=(rod("turned", knurls=knurl),), view="whole"),
        "disc": Shot(pieces=(disc(),), view="whole"),
        "ruler": Shot(pieces=(rod("turned"),), view="ruler"),
        "close": Shot(pieces=opened, view="close", focus=close_ups(design, "whole", opened)[0]),
        "line": LineUp(objects=((rod("turned"),), (rod("turned", 40),)), titles=("", "")),
        "assemble": Film(pieces=whole, motion="assemble"),
        "turn": Film(pieces=whole, motion="turn"),
    }
    return dict(zip(shots, render_set(list(shots.values()), BARE), strict=True))


def lightness(picture):
    """Give the lightness of a picture, what is clear as nan."""
    return np.where(picture[..., 3] == 255, picture[..., :3].mean(axis=2), np.nan)


def roughness(picture, axis):
    """Measure the mean step from pixel to pixel along the object (1) or across it (0), inside it."""
    inner = lightness(picture[:-FOOT])[:, 40:-40]
    return np.nanmean(np.abs(np.diff(inner, axis=axis)))


def test_feed_rings_run_round(taken):
    """A turned rod changes along its axis where a polished one does not."""
    assert roughness(taken["turned"], 1) > 4 * roughness(taken["polished"], 1)


def test_brushing_runs_along(taken):
    """Of a brushed rod the lines lie along the axis: what changes most changes across them."""
    brushed = roughness(taken["brushed"], 0) / roughness(taken["brushed"], 1)
    turned = roughness(taken["turned"], 0) / roughness(taken["turned"], 1)
    assert brushed > 2 * turned


def test_polish_mirrors_and_blasting_dulls(taken):
    """The contrast of light and dark bands falls from polished over turned to blasted."""
    spread = {k: np.nanstd(lightness(taken[k][:-FOOT])) for k in ("polished", "turned", "blasted")}
    assert spread["polished"] > spread["turned"] > spread["blasted"]


def test_a_knurl_has_ridges(taken):
    """A knurl is rougher than any turned surface, both along the axis and round it."""
    for axis in (0, 1):
        assert roughness(taken["knurled"], axis) > 2 * roughness(taken["turned"], axis)


def test_an_end_face_is_not_flat_in_the_light(taken):
    """A faced disc goes from light to dark: by 15 of 255 at the least (house choice)."""
    face = lightness(taken["disc"])
    middle = face[: face.shape[0] * 2 // 3]
    assert np.nanpercentile(middle, 95) - np.nanpercentile(middle, 5) > 15


def test_shadow_lies_where_the_object_touches():
    """Paper is darkest under the lowest point, and untouched above and far from it."""
    opacity = np.zeros((60, 100), np.uint8)
    opacity[10:40, 20:80] = 255
    opacity[10:20, 80:95] = 255
    dark = contact_shadow(opacity)
    assert dark[40, 50] > 0.3
    assert dark[40, 90] < 0.1
    assert dark[:20].max() < 0.01


def test_clear_paper_has_no_shadow(taken):
    """Without paper, all that is neither object nor lettering is clear."""
    assert (taken["turned"][:-FOOT, :5, 3] == 0).all()


@pytest.mark.parametrize(("long", "marked"), [(75.2, 90), (75.0, 80), (30.0, 40)])
def test_ruler_is_longer_than_the_object(long, marked):
    """It ends at the first ten that leaves 5 mm to spare."""
    assert ruler_length(long) == marked


def test_ruler_measures_the_object():
    """Along the ruler a millimetre is a millimetre of the axis, which lies 17 degrees askew."""
    points = rod("turned").mesh.vertices
    framing = beside_ruler(points, Settings(), 20)
    front, back = framing.pixels(np.array([[0, 0, 0], [0, 0, 80.0]]))
    assert (back - front)[0] / framing.ruler == pytest.approx(80)
    assert framing.ruler / framing.scale == pytest.approx(math.cos(math.radians(17)))


def test_ruler_is_drawn_below_the_object(taken):
    """There is paper between the two, and the ruler is the longer one."""
    solid = taken["ruler"][..., 3] > 0
    rows = np.flatnonzero(solid.any(axis=1))
    first, second = np.split(rows, np.flatnonzero(np.diff(rows) > 1) + 1)
    wide = [np.ptp(np.flatnonzero(solid[part].any(axis=0))) for part in (first, second)]
    assert 1.05 < wide[1] / wide[0] < 1.35


def test_objects_stand_at_one_scale(taken):
    """In a line-up a rod of half the length is half as long, beside what the ends' circles add."""
    solid = taken["line"][..., 3] == 255
    rows = np.flatnonzero(solid.any(axis=1))
    breaks = np.flatnonzero(np.diff(rows) > 1)
    first, second = np.split(rows, breaks + 1)[:2]
    wide = [np.ptp(np.flatnonzero(solid[part].any(axis=0))) for part in (first, second)]
    # Length L along an axis swung 17 degrees: L cos 17 + 8 sin 17.
    expected = (80 * 0.956 + 8 * 0.292) / (40 * 0.956 + 8 * 0.292)
    assert wide[0] / wide[1] == pytest.approx(expected, rel=0.02)


def test_close_up_shows_the_joint_cut(taken):
    """Both parts' cut tints fill a good part of a close-up."""
    flat = taken["close"][..., :3].reshape(-1, 3)
    tint = np.round(255 * np.array(appearance("brass").cut))
    assert (np.abs(flat - tint) <= 1).all(axis=1).mean() > 0.05


def test_a_close_up_looks_at_where_the_parts_meet():
    """The box round a screwed joint holds the stop and most of the thread."""
    design = capped()
    (look,) = close_ups(design, "whole", pieces(design, "whole", cut=True))
    assert look.parts == ("cap", "body")
    assert look.low[2] < 4 < 8 < look.high[2]
    assert look.high[0] == pytest.approx(6, abs=0.1)


def test_films_begin_apart_and_end_together(taken):
    """Assembly ends as the closed object; each film has even sides, as encoders want them."""
    film = taken["assemble"]
    assert film.shape[1] % 2 == film.shape[2] % 2 == 0
    wide = [np.ptp(np.flatnonzero((frame[..., 3] > 0).any(axis=0))) for frame in (film[0], film[-1])]
    assert wide[0] > 1.2 * wide[1]
    assert (film[-1] == film[-2]).all()


def test_a_turntable_comes_round(taken):
    """Nothing leaves the picture, and the frame after the last would be the first."""
    film = taken["turn"]
    edges = [film[:, 0], film[:, -1], film[:, :, 0], film[:, :, -1]]
    assert all((edge[..., 3] == 0).all() for edge in edges)
    last, step = (np.abs(a.astype(int) - b).mean() for a, b in ((film[0], film[-1]), (film[0], film[1])))
    assert last == pytest.approx(step, rel=0.5)


def test_steps_bring_every_piece_home():
    """All steps together undo what drew the pieces apart, what a part carries going with it."""
    base = rod("turned")
    ring_on = replace(rod("turned"), name="ring", moves=((0, 0, 90), (0, 0, 0)))
    pin = replace(rod("turned"), name="pin", moves=((0, 0, 90), (15, 0, 0)))
    away = drawn_apart([base, ring_on, pin])
    steps = steps_home([base, ring_on, pin])
    assert sum(steps) == pytest.approx(-away)
    assert len(steps) == 2
    assert (steps[0][1] == 0).all()  # the pin first, which came off last


def moving(count=6):
    """Make frames in which a square goes over clear paper."""
    frames = np.zeros((count, 32, 48, 4), np.uint8)
    for k in range(count):
        frames[k, 8:24, 4 * k : 4 * k + 16] = (200, 150, 40, 255)
    return frames


def test_gif_has_one_palette_and_all_frames(tmp_path):
    """Every frame is there, its colours near those given, the same bytes each time."""
    from PIL import Image

    path = write_gif(moving(), tmp_path / "a.gif", 15)
    with Image.open(path) as image:
        assert image.n_frames == 6
        image.seek(5)
        shown = np.asarray(image.convert("RGBA"))
    assert np.abs(shown[16, 24, :3].astype(int) - (200, 150, 40)).max() <= 8
    assert shown[16, 2, 3] == 0
    assert write_gif(moving(), tmp_path / "b.gif", 15).read_bytes() == path.read_bytes()
    assert sorted(file.name for file in tmp_path.iterdir()) == ["a.gif", "b.gif"]


def test_mp4_plays_all_frames(tmp_path):
    """What a decoder finds is as many frames of the same size, and the same bytes each time."""
    import av

    path = write_mp4(moving(), tmp_path / "a.mp4", 15)
    with av.open(str(path)) as file:
        frames = [frame.to_ndarray(format="rgb24") for frame in file.decode(video=0)]
        assert file.streams.video[0].codec_context.name == "h264"
    assert len(frames) == 6
    assert frames[0].shape == (32, 48, 3)
    # A decoder that goes by BT.601 would be 20 off; the encoder may lose a few.
    assert np.abs(frames[3][12:20, 16:24].astype(int) - (200, 150, 40)).mean() < 8
    assert write_mp4(moving(), tmp_path / "b.mp4", 15).read_bytes() == path.read_bytes()


def test_an_album_names_what_it_holds(monkeypatch):
    """States are drawn each, a joint once, and moving pictures of the first state."""
    asked = []
    monkeypatch.setattr(
        "turnmodel.output.pictures.album.render_set",
        lambda shots, settings: asked.extend(shots) or [np.zeros((1, 1, 4), np.uint8)] * len(shots),
    )
    names = list(album(capped(), str, VIEWS))
    assert names == [
        "whole-whole",
        "whole-cut",
        "whole-apart",
        "whole-close-cap and body",
        "whole-ruler",
        "whole-turn",
        "whole-assemble",
    ]
    assert set(USUAL) < set(VIEWS)
