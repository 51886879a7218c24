"""Everything of the program that reads a text which people write, and texts to begin from."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Final

from tests.commandline import SOUND
from turnmodel.analysis.goals import targets
from turnmodel.analysis.record import Record
from turnmodel.analysis.variants import axes, grid
from turnmodel.catalog.bars import bar_size
from turnmodel.catalog.drills import drill
from turnmodel.catalog.finishes import finish
from turnmodel.catalog.fits import fit, fit_limits
from turnmodel.catalog.materials import material
from turnmodel.catalog.printer import printer
from turnmodel.catalog.refills import refill
from turnmodel.catalog.thread_limits import limits
from turnmodel.catalog.threads import thread
from turnmodel.catalog.tools import example_tools, read_tools
from turnmodel.cli.options import settings
from turnmodel.design.as_cut import as_cut
from turnmodel.design.loading import load
from turnmodel.errors import TurnmodelError
from turnmodel.output.mockup.gauge import sheet
from turnmodel.output.mockup.measures import measured
from turnmodel.units import length

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from turnmodel.design.design import Design

__all__ = ["FILES", "TEXTS", "held_file", "hold", "sound"]


def sound() -> Design:
    """Give the design of the sound script."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sound.py"
        path.write_text(SOUND, encoding="utf-8")
        return load(path)[0]


_DESIGN: Final = sound()
_PARAMETERS: Final = {"room": 30.0, "turns": 2, "long": False, "name": "box"}

TEXTS: Final[Mapping[str, tuple[Callable[[str], object], tuple[str, ...]]]] = {
    "length": (length, ("3/8 in", "1 7/16in", "12 mm", ".5 thou", "1e3 um", "-2 mm", '3/8"')),
    "thread": (
        lambda text: limits(thread(text), external=True),
        ("M10x0.75", "M10x1 LH", "M12x1 P0.5", "1/4-20 UNC", "#8-32 UNC", "2 BA", "1/4x40 ME", "Tr8x1.5"),
    ),
    "drill": (drill, ("#29", "F", "2.5 mm", "1/8 in", "1/8")),
    "bar": (bar_size, ("12 mm", "1/2 in", "12", "9.525mm")),
    "fit": (lambda text: fit(text, 10.0), ("H7/g6", "H7/p6", "K7/h6")),
    "limits": (lambda text: fit_limits(text, 8.0), ("H7", "g6", "js7", "ZC11")),
    "material": (material, ("CW614N", "brass", "6061-T6", "1095 blue strip")),
    "refill": (refill, ("D", "refill D", "D 67.2 mm", "G2")),
    "finish": (finish, ("polished", "blued 290", "anodised clear", "blued 1e9")),
    "printer": (printer, ("filament", "resin")),
    "set": (lambda text: settings([text]), ("room=30", "room = 3/8", "=", "a=b=c")),
    "over": (
        lambda text: grid(axes([text], _PARAMETERS)),
        ("room=1:9:0.5", "room=20:40", "turns=1,2,3", "long=true,false", "room=1:1e9:1e-9", "name=a,b"),
    ),
    "target": (
        lambda text: targets([text], _DESIGN),
        ("states.closed.balance_mm=52", "parts.lid.mass_g<9", "faults=0"),
    ),
}
"""What reads a text, and texts that it knows."""

_AS_CUT: Final = """\
uncertainty = 0.02
[box]
mass = 15.80
length = "31.4 mm"
[box.grip]
diameter = { value = 11.95, uncertainty = 0.05 }
[lid."from back 1"]
depth = 10.4
[lid.cord]
station = 3.1
"""


def _filled(process: str) -> str:
    """Fill a gauge's sheet in with the sizes as they are named."""
    lines = sheet(printer(process)).splitlines()
    return "\n".join(
        f"{line} {line.split('=')[0].strip().strip(chr(34))}" if line.rstrip().endswith("=") else line
        for line in lines
    )


FILES: Final[Mapping[str, tuple[Callable[[Path], object], tuple[str, ...]]]] = {
    "tools": (
        read_tools,
        (example_tools(), 'bars = ["12 mm"]\ndrills = ["1.0 to 6.0 by 0.1 mm", "#1 to #60"]\n'),
    ),
    "ascut": (lambda path: as_cut(_DESIGN, path), (_AS_CUT,)),
    "gauge": (measured, (_filled("filament"), _filled("resin"))),
    "record": (
        lambda path: Record(path=path).read("a"),
        ('{"of": "a", "at": {"room": "3"}, "figures": {"parts.box.mass_g": 1.5}, "broken": null}\n',),
    ),
}
"""What reads a file, and files that it knows."""


def hold(read: Callable[[str], object], text: str) -> None:
    """Hold a reader to giving a value or an error of our own, which can be told."""
    try:
        read(text)
    except TurnmodelError as error:
        if not str(error).strip():
            raise AssertionError("an error says nothing") from error


def held_file(read: Callable[[Path], object], data: bytes, folder: Path) -> None:
    """Hold the reader of a file to the same."""
    path = folder / "given.toml"
    path.write_bytes(data)
    hold(lambda _: read(path), "")
