"""What was measured on a part, held against what was asked for."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from turnmodel.analysis.thread_blank import thread_blank
from turnmodel.catalog.threads import thread
from turnmodel.design.features.threaded import ExternalThread
from turnmodel.design.part import TurnedPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from turnmodel.design.measured import Measured
    from turnmodel.design.part import Part

__all__ = ["reading_words"]


def reading_words(part: Part, reading: Measured) -> str:
    """Write what was measured beside what was asked for.

    Parameters
    ----------
    part : Part
        The part
    reading : Measured
        What was measured on it

    Returns
    -------
    str
        The reading beside the drawing; the outside of a thread beside what the bar is turned to before it,
        which is less than the basic diameter that the drawing gives, with the limits of its class
    """
    made = built(part)
    if not isinstance(part, TurnedPart) or not isinstance(made, Turned) or reading.name != "diameter":
        return str(reading)
    feature = next((p.feature for p in made.outside if p.title == reading.feature), None)
    if not isinstance(feature, ExternalThread) or reading.drawn is None:
        return str(reading)
    if abs(reading.drawn - thread(feature.size).major_d) > SAME_MM:
        return str(reading)  # the script writes what it is turned to
    blank = thread_blank(replace(feature, diameter=None))
    span = f", {blank.span[0]:.3f} to {blank.span[1]:.3f}" if blank.span else ""
    return (
        f"{reading.feature}, diameter {reading.value:.3f} mm, asked {blank.diameter:.3f}{span} "
        f"({reading.value - blank.diameter:+.3f})"
    )
