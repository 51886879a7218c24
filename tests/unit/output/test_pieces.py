"""Parts of a design as they stand before the camera, drawn apart the way they really come apart."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from turnmodel import Design, Part, bar, bore, cylinder, joint, shoulder
from turnmodel.design.loading import load
from turnmodel.output.pictures.pieces import pieces
from turnmodel.output.pictures.scene import drawn_apart

DESIGNS = Path(__file__).parents[3] / "designs"


def spans(design: Design, state: str) -> dict[str, tuple[float, float]]:
    """Give the stations between which each part stands when drawn apart."""
    seen = pieces(design, state)
    ends = {}
    for piece, shift in zip(seen, drawn_apart(seen), strict=True):
        z = piece.mesh.vertices[:, 2] + shift[2]
        ends[piece.name] = (float(z.min()), float(z.max()))
    return ends


def test_a_refill_stands_where_it_goes_in() -> None:
    """A refill that goes in from behind stands between the body and the plug, not before the nose."""
    design, _ = load(DESIGNS / "pocket_pen.py")
    ends = spans(design, "open")

    assert ends["body"][1] < ends["ink"][0] < ends["ink"][1] < ends["plug"][0]


def test_what_is_stuck_is_drawn_apart_by_its_joints() -> None:
    """A design that cannot be put together is shown in parts all the same, each off what it is joined to."""
    tube = Part.turned(
        "tube",
        material="brass",
        stock=bar("20 mm"),
        outside=[cylinder(18, 30)],
        from_front=[bore(6, through=True)],
        from_back=[bore(12, depth=20)],
    )
    pin = Part.turned(
        "pin",
        material="brass",
        stock=bar("20 mm"),
        outside=[cylinder(12.5, 15), shoulder("stop"), cylinder(18, 4)],
    )
    design = Design("object", parts=[tube, pin], joints=[joint.seat(pin.face("stop"), tube.face("back"))])
    ends = spans(design, "whole")

    assert ends["pin"][0] > ends["tube"][1]
    assert np.ptp(ends["pin"]) == pytest.approx(19)
