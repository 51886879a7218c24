"""What a part lists, held to its own figures before anything is traced."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from turnmodel.catalog.knurls import COARSEST, FINEST, nearest_pitch
from turnmodel.design.features.across import Across
from turnmodel.design.features.base import Chamfer, Edge, Feature, Fillet
from turnmodel.design.features.inside import Inside
from turnmodel.design.features.outside import Cylinder, Knurl, Outside, Shoulder
from turnmodel.design.ledger import check_fields, mm, short
from turnmodel.units import inch

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.design.ledger import Ledger
    from turnmodel.errors import Where

__all__ = ["sound_across", "sound_holes", "sound_marks", "sound_outside", "titles"]


def titles(features: Sequence[object], side: str) -> list[str]:
    """Name each feature for messages: by its mark where it has one, else by its place in the list."""
    names = []
    for count, feature in enumerate(features, 1):
        word = getattr(feature, "word", "item")
        mark = getattr(feature, "mark", None)
        named = isinstance(mark, str) and mark
        names.append(f'{word} "{mark}"' if named else f"{word} ({side} {count})")
    return names


def sound_outside(features: Sequence[object], ledger: Ledger) -> bool:
    """Hold the outside features' own figures to their rules; True where nothing is wrong."""
    sound = True
    for title, feature in zip(titles(features, "outside"), features, strict=True):
        if not isinstance(feature, Outside | Shoulder):
            _misplaced(feature, title, "outside", ledger)
            sound = False
            continue
        sound &= check_fields(feature, ledger, title)
        if isinstance(feature, Outside):
            for edge in (feature.edges, feature.front, feature.back):
                sound &= _sound_piece(
                    "edge", edge, Edge, "a chamfer or a fillet", title, ledger, feature.where
                )
        if isinstance(feature, Cylinder) and feature.knurled is not None:
            piece = _sound_piece("knurled", feature.knurled, Knurl, "a knurl", title, ledger, feature.where)
            sound &= piece and _sound_pitch(feature.knurled, title, ledger)
            if sound:
                raised = feature.knurled.raised
                ledger.default(title, f"the knurl raises the diameter by about {raised:.2f} mm")
    return sound


def sound_holes(features: Sequence[object], side: str, ledger: Ledger) -> bool:
    """Hold the features of one face to their rules; True where nothing is wrong."""
    sound = True
    for title, feature in zip(titles(features, side), features, strict=True):
        if not isinstance(feature, Inside):
            _misplaced(feature, title, side.replace(" ", "_"), ledger)
            sound = False
            continue
        sound &= check_fields(feature, ledger, title)
        sound &= _sound_piece("mouth", feature.mouth, Chamfer, "a chamfer", title, ledger, feature.where)
        corner = getattr(feature, "corner", None)
        sound &= _sound_piece("corner", corner, Fillet, "a fillet", title, ledger, feature.where)
        through, deep = getattr(feature, "through", None), getattr(feature, "depth", None) is not None
        if through == deep:
            given = "depth and through" if through else "no depth"
            ledger.fault(title, given, "a hole has a depth or through=True, one of both", None, feature.where)
            sound = False
    return sound


def sound_across(features: Sequence[object], ledger: Ledger) -> bool:
    """Hold the features across to their rules; True where nothing is wrong."""
    sound = True
    for title, feature in zip(titles(features, "across"), features, strict=True):
        if not isinstance(feature, Across):
            _misplaced(feature, title, "across", ledger)
            sound = False
            continue
        sound &= check_fields(feature, ledger, title)
        if getattr(feature, "through", False) and getattr(feature, "depth", None) is not None:
            ledger.fault(
                title,
                "depth and through",
                "a hole has a depth or through=True, one of both",
                None,
                feature.where,
            )
            sound = False
    return sound


def sound_marks(features: Sequence[Feature], ledger: Ledger) -> bool:
    """Hold marks to being texts that name one feature each; True where nothing is wrong."""
    taken = {"front": "the front face", "back": "the back face"}
    before = len(ledger.faults)
    for feature in features:
        mark = feature.mark
        if mark is None:
            continue
        if not isinstance(mark, str) or not mark.strip():
            ledger.fault(feature.word, f"mark {short(mark)}", "must be a text", None, feature.where)
        elif mark in taken:
            ledger.fault(
                feature.word, f"mark {mark!r}", f"is the name of {taken[mark]} already", "choose another",
                feature.where,
            )  # fmt: skip
        else:
            taken[mark] = f"a {feature.word}"
    return len(ledger.faults) == before


def _misplaced(feature: object, title: str, side: str, ledger: Ledger) -> None:
    """Note something that is listed where it does not belong, and where it does."""
    if isinstance(feature, type) and hasattr(feature, "word"):
        ledger.fault(title, feature.word, "lacks its brackets", f"write {feature.word}(...)")
        return
    home = _HOMES.get(type(feature).__module__.rpartition(".")[2])
    where = getattr(feature, "where", None)
    if home is None:
        ledger.fault(title, short(feature), "is no feature", 'write for example cylinder("12 mm", 20)', where)
    else:
        ledger.fault(title, f"listed under {side}", f"belongs under {home}", None, where)


_HOMES: Final = {
    "across": "across",
    "inside": "from_front or from_back",
    "outside": "outside",
    "threaded": "outside",
}


def _sound_piece(
    word: str, piece: object, kind: Any, called: str, title: str, ledger: Ledger, where: Where | None
) -> bool:
    """Hold what a feature carries (an edge, a corner, a knurl) to its kind and its rules."""
    if piece is None:
        return True
    if isinstance(piece, kind):
        return check_fields(piece, ledger, f"{title}, {piece.word}")
    ledger.fault(title, f"{word} {short(piece)}", f"must be {called}", f"write {_EXAMPLES[kind]}", where)
    return False


def _sound_pitch(knurl: Knurl, title: str, ledger: Ledger) -> bool:
    """Hold the pitch of a knurl to wheels that there are."""
    pitch = mm(knurl.pitch)
    if FINEST <= pitch <= COARSEST:
        return True
    as_inch = pitch / inch
    mend = f"the nearest usual is {nearest_pitch(pitch):g} mm"
    if isinstance(knurl.pitch, str) and FINEST <= as_inch <= COARSEST:
        mend = f"did you mean {as_inch:g} mm?"
    ledger.fault(
        f"{title}, {knurl.word}", f"pitch {pitch:g} mm",
        f"knurls have {FINEST:g} to {COARSEST:g} mm from ridge to ridge", mend, knurl.where,
    )  # fmt: skip
    return False


_EXAMPLES: Final = {
    Chamfer: "chamfer(0.3)",
    Edge: "chamfer(0.3)",
    Fillet: "fillet(0.3)",
    Knurl: "knurl(0.8)",
}
