"""Parts, faces, joints and states that do not go together."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import pytest

from tests.commandline import Case, assert_refused

if TYPE_CHECKING:
    from pathlib import Path

THREAD: Final = 'thread("M10x1", 5),'
TAP: Final = 'tap("M10x1", depth=8, lead="bottoming"),'
SCREW: Final = 'joint.screw(lid.face("back"), box.face("stop")),'
CLIP: Final = 'joint.seat(clip.face("screw", "under"), lid.face("cord")),'
OPEN: Final = '"open": state(aside=[lid, clip]),'

CASES: Final = (
    Case(
        "two parts of one name",
        'clip = Part.strip(\n        "clip"',
        'clip = Part.strip(\n        "lid"',
        "bad.py:34: lid: 2 parts of one name: each part needs a name of its own",
    ),
    Case(
        "part without a name",
        'clip = Part.strip(\n        "clip"',
        'clip = Part.strip(\n        " "',
        "bad.py:34: part: name ' ': must be a text of one line that is not empty",
    ),
    Case(
        "part of two lines",
        'clip = Part.strip(\n        "clip"',
        'clip = Part.strip(\n        "clip\\nof steel"',
        "bad.py:34: part: name 'clip\\nof steel': must be a text of one line that is not empty",
    ),
    Case(
        "two parts whose files would have one name",
        'clip = Part.strip(\n        "clip"',
        'clip = Part.strip(\n        "Lid!"',
        "bad.py:34: part 'Lid!': its files would have the names of those of part 'lid'; let them differ in a "
        "letter or a figure",
    ),
    Case(
        "two states whose files would have one name",
        OPEN,
        f'"Closed": state(aside=[lid, clip]), {OPEN}',
        "bad.py:53: state 'Closed': its files would have the names of those of state 'closed'; let them "
        "differ in a letter or a figure",
    ),
    Case(
        "part that is not there",
        "parts=[box, lid, clip]",
        "parts=[box, clip]",
        "bad.py:50: lid, screw: this part is not in the design; list it under parts",
    ),
    Case(
        "face that is not there",
        SCREW,
        'joint.screw(lid.face("back"), box.face("stopp")),',
        "bad.py:50: lid, screw on box: face \"stopp\": there is no such face of box; did you mean 'stop'?",
    ),
    Case(
        "face of a straight length",
        SCREW,
        'joint.screw(lid.face("back"), box.face("grip")),',
        'bad.py:50: lid, screw on box: box, face "grip": a straight length has no face of its own; add '
        '"front" or "back"',
    ),
    Case(
        "face of nothing",
        SCREW,
        'joint.screw(lid.face("rim", "side"), box.face("stop")),',
        'bad.py:50: lid, screw on box: lid, face "rim" side: the second name is "front" or "back"',
    ),
    Case(
        "face of a strip",
        CLIP,
        'joint.seat(clip.face("screw"), lid.face("cord")),',
        'bad.py:51: clip, seat on lid: clip, face "screw": a strip is met from one side; add "under" '
        'or "top"',
    ),
    Case(
        "part for a face",
        SCREW,
        'joint.screw(lid, box.face("stop")),',
        "bad.py:50: joint, screw: part 'lid': must be a face; write lid.face(\"back\")",
    ),
    Case(
        "faces that pass",
        SCREW,
        'joint.seat(lid.face("back"), box.face("back")),',
        'bad.py:50: lid, seat on box, state "closed": lid, face "back" from 10 to 12 mm diameter: '
        'passes box, face "back", from 7 to 8.773 mm, without touching; make one of them reach the '
        "other",
    ),
    Case(
        "part on itself",
        CLIP,
        'joint.seat(lid.face("front"), lid.face("back")),\n'
        '                joint.seat(clip.face("screw", "under"), lid.face("cord")),',
        'bad.py:51: lid, seat on lid, state "closed": a part is not joined to itself',
    ),
    Case(
        "floating part",
        CLIP,
        "",
        'bad.py:49: clip: state "closed": no joint holds it to the rest; add a joint, or lay it aside '
        "with state(aside=...)",
    ),
    Case(
        "joints that contradict",
        CLIP,
        'joint.seat(lid.face("front"), box.face("front"), gap=5),\n'
        '                joint.seat(clip.face("screw", "under"), lid.face("cord")),',
        'bad.py:51: lid, seat on box, state "closed": other joints leave its faces 47 mm from where '
        "this one puts them; drop one of the joints, or make their lengths agree",
    ),
    Case(
        "joints that turn it round",
        CLIP,
        'joint.seat(lid.face("front"), box.face("stop")),\n'
        '                joint.seat(clip.face("screw", "under"), lid.face("cord")),',
        'bad.py:51: lid, seat on box, state "closed": other joints hold it facing another way; drop '
        "one of the joints, or name other faces",
    ),
    Case(
        "screw without a thread",
        TAP,
        "",
        'bad.py:50: lid, screw on box, state "closed": no threads match: lid has none; box has M10x1 '
        "outside; give both the same designation, one outside and one inside",
    ),
    Case(
        "screw of another pitch",
        TAP,
        'tap("M10x0.75", depth=8, lead="bottoming"),',
        'bad.py:50: lid, screw on box, state "closed": no threads match: lid has M10x0.75 inside; box '
        "has M10x1 outside; give both the same designation, one outside and one inside",
    ),
    Case(
        "wrong hand",
        THREAD,
        'thread("M10x1 LH", 5),',
        'bad.py:50: lid, screw on box, state "closed": no threads match: lid has M10x1 inside; box has '
        "M10x1 LH outside; give both the same designation, one outside and one inside",
    ),
    Case(
        "screwed into no part",
        SCREW,
        'joint.screw(lid.face("back"), box.face("stop"), into="box"),',
        "bad.py:50: lid, screw: into 'box': must be a part",
    ),
    Case(
        "turns as text",
        SCREW,
        'joint.screw(lid.face("back"), box.face("stop"), turns_open="half"),',
        "bad.py:50: lid, screw: turns open 'half': must be a number of turns",
    ),
    Case(
        "gap as NaN",
        CLIP,
        'joint.seat(clip.face("screw", "under"), lid.face("cord"), gap=float("nan")),',
        "bad.py:51: clip, seat: gap nan mm: must be finite",
    ),
    Case(
        "spring below zero",
        CLIP,
        'joint.spring(clip.face("screw", "under"), lid.face("cord"), length=10, rate=-1),',
        "bad.py:51: clip, spring: rate -1 N/mm: must be more than 0 N/mm; did you mean 1 N/mm?",
    ),
    Case(
        "aside by its name",
        OPEN,
        '"open": state(aside="lid"),',
        "bad.py:53: state \"open\": aside 'lid': must be a part; write it without quotes",
    ),
    Case(
        "aside and not in the design",
        "parts=[box, lid, clip]",
        "parts=[box, lid]",
        "bad.py:51: clip, seat: this part is not in the design; list it under parts",
    ),
    Case(
        "state without state()",
        OPEN,
        '"open": 5,',
        "bad.py:45: state 'open': 5: must be state(...)",
    ),
    Case(
        "states as a list",
        "states={",
        'states=("closed",) or {',
        "bad.py:45: states ('closed',): must be names and states; write states={\"closed\": state(...)}",
    ),
    Case(
        "something else for a part",
        "parts=[box, lid, clip]",
        'parts=[box, lid, clip, "box"]',
        "bad.py:45: parts: 'box': must be a part, such as Part.turned(\"cap\", ...)",
    ),
    Case(
        "no parts",
        "parts=[box, lid, clip]",
        "parts=[]",
        "bad.py:45: parts: a design needs at least one part",
    ),
    Case(
        "name of the design",
        '"nib box"',
        '""',
        "bad.py:45: design's name '': must be a text of one line that is not empty",
    ),
)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_what_does_not_go_together_is_told_once(case: Case, tmp_path: Path) -> None:
    """What does not go together is refused once, at the joint or the state that says it."""
    assert_refused(case, tmp_path)
