"""The clear text of a STEP file: letters, breaks, counts and colours."""

from __future__ import annotations

import pytest

from turnmodel.shape.step_text import encoded, settled

WRITTEN = """ISO-10303-21;
HEADER;
FILE_DESCRIPTION(('Model'),'2;1');
FILE_NAME('Model','2026-11-25T09:14:09',('Author'),(
    'Somebody'),'Writer'
  ,'Unknown');
FILE_SCHEMA(('AUTOMOTIVE_DESIGN'));
ENDSEC;
DATA;
#1 = ADVANCED_BREP_SHAPE_REPRESENTATION('',(#7,
    #8),#9);
#10 = NEXT_ASSEMBLY_USAGE_OCCURRENCE('341','a name; long
 and ''quoted''','',#5,
  #6,$);
#12 = NEXT_ASSEMBLY_USAGE_OCCURRENCE('342','b','',#5,#6,$);
ENDSEC;
END-ISO-10303-21;
"""


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("barrel", "barrel"),
        ("⌀12 x 3°", r"\X2\2300\X0\12 x 3\X2\00B0\X0" + "\\"),
        ("a\nb", r"a\X2\000A\X0\b"),
    ],
)
def test_letters_beyond_ascii_are_encoded(name: str, text: str) -> None:
    """What ASCII lacks is written in UTF-16, as the exchange structure says (from memory)."""
    assert encoded(name) == text


def test_a_statement_stands_on_one_line() -> None:
    """Breaks go, inside strings too, and everything else stays as it was."""
    lines = settled(WRITTEN, [(0.0, 0.5, 1.0)]).splitlines()

    assert lines[:4] == [
        "ISO-10303-21;",
        "HEADER;",
        "FILE_DESCRIPTION((''),'2;1');",
        "FILE_NAME('','1970-01-01T00:00:00',(''),(''),'','turnmodel','');",
    ]
    assert "#10 = NEXT_ASSEMBLY_USAGE_OCCURRENCE('1','a name; long and ''quoted''','',#5,#6,$);" in lines
    assert "#12 = NEXT_ASSEMBLY_USAGE_OCCURRENCE('2','b','',#5,#6,$);" in lines
    assert lines[-2:] == ["ENDSEC;", "END-ISO-10303-21;"]


def test_each_solid_has_its_colour() -> None:
    """The chain of a colour starts after the last statement, and ends in its red, green and blue."""
    lines = settled(WRITTEN, [(0.0, 0.5, 1.0)]).splitlines()

    assert "#13 = MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(#14),#9);" in lines
    assert "#14 = STYLED_ITEM('',(#15),#8);" in lines
    assert "#21 = COLOUR_RGB('',0.000000,0.500000,1.000000);" in lines


@pytest.mark.parametrize("colours", [[], [(0.0, 0.0, 0.0), (1.0, 1.0, 1.0)]])
def test_a_colour_too_few_or_too_many_is_refused(colours: list[tuple[float, float, float]]) -> None:
    """There is one colour for each solid."""
    with pytest.raises(ValueError, match="zip"):
        settled(WRITTEN, colours)
