"""What to beware of, each caution where in the work it belongs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from turnmodel.catalog.materials import Material

__all__ = ["CAUTIONS", "FIRST", "Caution", "material_cautions"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A danger and what keeps from it, with its source."""

    text: str
    source: Source


FIRST: Final = (
    "Local rules and licensed practice come first. Eye protection on, sleeves up, rings and gloves off; "
    "this sheet knows neither your lathe nor you."
)
"""The standing line of every sheet."""

_NOTES: Final = Source(work="Lathe safety notes", place="chuck, chips, filing, slender work")
_PRACTICE: Final = Source(work="common practice", place="turning", basis=Basis.PRACTICE)


CAUTIONS: Final = {
    "key": Caution(text="Take the chuck key out before your hand leaves it.", source=_NOTES),
    "slender": Caution(
        text="It stands out more than three diameters and whips: light cuts, and where its end is not "
        "supported half the usual speed, as told here.",
        source=Source(work="Lathe safety notes", place="support beyond three diameters"),
    ),
    "bar": Caution(
        text="Bar behind the spindle: keep it inside, or run it in a tube that is fixed.", source=_PRACTICE
    ),
    "swarf": Caution(text="Chips off with a brush, lathe stopped; never by hand.", source=_NOTES),
    "file": Caution(
        text="File left-handed, sleeve up, handle on the file, tool bit out of the way.", source=_NOTES
    ),
    "cloth": Caution(
        text="Never hold cloth or emery in the hand against turning work: put it on a stick or a file.",
        source=Source(
            work="Ontario Ministry of Labour alert (1994); SafeWork NSW",
            place="hand-held emery on lathes",
        ),
    ),
    "part off": Caution(
        text="Close to the chuck, tool on centre height; catch the part with a rod or a tray, not the hand.",
        source=_PRACTICE,
    ),
    "finished": Caution(
        text="Gripped by a finished surface: no tighter than it needs, card or soft jaws, light cuts.",
        source=_PRACTICE,
    ),
    "thin wall": Caution(
        text="Thin wall in the grip: put a plug in the hole, or it goes out of round.", source=_PRACTICE
    ),
    "cement": Caution(
        text="Cement holds little and softens with heat: light cuts, cool, in gentle steps.", source=_PRACTICE
    ),
    "cross drill": Caution(
        text="Clamp it; a drill that breaks through grabs. Ease the feed before it comes out.",
        source=_PRACTICE,
    ),
    "strip": Caution(
        text="Strip springs and cuts: clamp it flat, both edges filed, eyes covered.",
        source=Source(work="Workshop notes on spring strip", place="handling", basis=Basis.MEMORY),
    ),
    "quench": Caution(
        text="Hot oil flares: metal tin with a lid, tongs, nothing that burns near it, no water in it.",
        source=Source(work="Workshop notes on spring strip", place="quenching", basis=Basis.MEMORY),
    ),
}
"""Cautions by the step that they belong to."""

_MATERIAL: Final = {
    "leaded": Caution(
        text="Leaded metal: do not eat or smoke at it, wash your hands, wipe up wet; no compressed air, "
        "and polish it least of all dry.",
        source=Source(work="OSHA; workshop notes", place="lead in chips and dust"),
    ),
    "swarf burns": Caution(
        text="Fine swarf burns: sharp tools, no rubbing, no heaps; sand on a fire, never water.",
        source=Source(work="Workshop notes", place="titanium and magnesium swarf", basis=Basis.MEMORY),
    ),
    "work-hardens": Caution(
        text="It hardens where a tool rubs: keep cutting, never dwell.", source=_PRACTICE
    ),
    "gummy": Caution(text="It drags: sharp tools with much rake, and oil.", source=_PRACTICE),
    "dust": Caution(
        text="Its dust harms the lungs or the skin: extract it, mask on.",
        source=Source(work="Workshop notes", place="dust of woods and plastics", basis=Basis.MEMORY),
    ),
    "softens at 70 degC": Caution(text="It softens at 70 degC: slow, and clear the chips.", source=_PRACTICE),
    "chips": Caution(
        text="It chips: drills with a flat lip, and ease off before they come through.", source=_PRACTICE
    ),
    "crazes": Caution(text="Spirit and solvents craze it: soap and water only.", source=_PRACTICE),
    "swells": Caution(text="It swells with damp: measure it dry.", source=_PRACTICE),
    "sensitises uncured": Caution(
        text="Uncured resin sensitises the skin: cure it through before it is cut.",
        source=Source(work="Workshop notes", place="resins", basis=Basis.MEMORY),
    ),
    "rusts": Caution(text="It rusts under fingers: oil it when it is done.", source=_PRACTICE),
    "spring": CAUTIONS["strip"],
}


_LAST: Final = frozenset({"rusts", "swells", "crazes"})
"""Words that concern the finished part, and not its cutting."""


def material_cautions(material: Material, *, finished: bool = False) -> tuple[Caution, ...]:
    """List what a material's row warns of.

    Parameters
    ----------
    material : Material
        The material
    finished : bool
        Whether what concerns the finished part is wanted, or what concerns its cutting

    Returns
    -------
    tuple of Caution
        One for each word of its row that has one

    Examples
    --------
    >>> from turnmodel.catalog.materials import material
    >>> material_cautions(material("brass"))[0].text.partition(":")[0]
    'Leaded metal'
    """
    words = [word for word in material.cautions if (word in _LAST) is finished]
    return tuple(_MATERIAL[word] for word in words if word in _MATERIAL)
