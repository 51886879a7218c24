"""The clear text of a STEP file (ISO 10303-21): what the CAD kernel leaves to chance is written here.

The kernel stamps the time, numbers the placed parts on and on, breaks lines by the length of the numbers, and
lists colours in the order of addresses in memory. A file should depend on the design alone.
"""

from __future__ import annotations

import itertools
import re
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["RGB", "encoded", "settled"]

RGB = tuple[float, float, float]

_HEADER: Final = (
    "FILE_DESCRIPTION((''),'2;1');\nFILE_NAME('','1970-01-01T00:00:00',(''),(''),'','turnmodel','');"
)
"""House choice: no clock and no author, so that one and the same design gives one and the same file."""

_BREAK: Final = re.compile(r"'(?:[^']|'')*'|;\n|\n *")
_DESCRIPTION: Final = re.compile(r"^FILE_DESCRIPTION\(.*\nFILE_NAME\(.*$", re.MULTILINE)
_OCCURRENCE: Final = re.compile(r"(?<=^#)(\d+ = NEXT_ASSEMBLY_USAGE_OCCURRENCE\(')\d+", re.MULTILINE)
_SHAPE: Final = re.compile(r"ADVANCED_BREP_SHAPE_REPRESENTATION\('',\(#\d+,#(\d+)\),#(\d+)\)")

_STYLE: Final = (
    "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(#{1}),#{context})",
    "STYLED_ITEM('',(#{2}),#{solid})",
    "PRESENTATION_STYLE_ASSIGNMENT((#{3}))",
    "SURFACE_STYLE_USAGE(.BOTH.,#{4})",
    "SURFACE_SIDE_STYLE('',(#{5}))",
    "SURFACE_STYLE_FILL_AREA(#{6})",
    "FILL_AREA_STYLE('',(#{7}))",
    "FILL_AREA_STYLE_COLOUR('',#{8})",
    "COLOUR_RGB('',{rgb[0]:.6f},{rgb[1]:.6f},{rgb[2]:.6f})",
)
"""A solid's colour, as the presentation of ISO 10303-46 chains it; {0} is the first statement."""


def encoded(name: str) -> str:
    r"""Write letters beyond ASCII in UTF-16 between the two signs of the exchange structure.

    Examples
    --------
    >>> print(encoded("bar ⌀12"))
    bar \X2\2300\X0\12

    References
    ----------
    .. [1] ISO 10303-21, clear text encoding of the exchange structure: strings (from memory).
    """
    return re.sub(
        r"[^\x20-\x7e]+", lambda run: rf"\X2\{run[0].encode('utf-16-be').hex().upper()}\X0" + "\\", name
    )


def settled(text: str, colours: Sequence[RGB]) -> str:
    """Take chance out of a STEP file, and give its solids their colours.

    Parameters
    ----------
    text : str
        A STEP file as the kernel writes it, without colours
    colours : sequence of 3 floats each
        Red, green and blue of each solid in the order of the file, 0 to 1, [-]

    Returns
    -------
    str
        The same data, one statement a line, under a header of our own, with its colours

    Raises
    ------
    ValueError
        If there is not one colour for each solid.
    """
    count = itertools.count(1)
    text = _BREAK.sub(_joined, text)
    text = _DESCRIPTION.sub(lambda _: _HEADER, text, count=1)
    text = _OCCURRENCE.sub(lambda found: f"{found[1]}{next(count)}", text)
    data, end = text.rsplit("ENDSEC;", 1)
    number = int(data[data.rindex("\n#") + 2 :].split(" ", 1)[0])
    lines = []
    for (solid, context), rgb in zip(_SHAPE.findall(data), colours, strict=True):
        own = range(number + 1, number + 1 + len(_STYLE))
        lines += [
            f"#{n} = {style.format(*own, solid=solid, context=context, rgb=rgb)};\n"
            for n, style in zip(own, _STYLE, strict=True)
        ]
        number = own[-1]
    return f"{data}{''.join(lines)}ENDSEC;{end}"


def _joined(found: re.Match[str]) -> str:
    """Keep a string and the end of a statement, without the breaks in and before them."""
    return {";": ";\n", "'": found[0].replace("\n", ""), "\n": ""}[found[0][0]]
