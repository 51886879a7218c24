"""Parts as they were cut: a short length, a deep bore, an over-turned thread, a mass; mended or refused."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from turnmodel.analysis.ascut import AsCut, as_json, compared
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.mass_range import part_range
from turnmodel.analysis.mending import STEP
from turnmodel.analysis.report import examined, judged
from turnmodel.analysis.weight import part_weight, state_weight
from turnmodel.design.as_cut import as_cut, as_cut_file
from turnmodel.design.dimensions import changed, dimensions
from turnmodel.design.loading import load
from turnmodel.design.part import TurnedPart
from turnmodel.design.remade import remade
from turnmodel.errors import DesignFaults

if TYPE_CHECKING:
    from pathlib import Path

    from turnmodel.design.design import Design

JAR = """\
from turnmodel import *
from turnmodel.design.gap import gap


def design(deep: float = 20.0) -> Design:
    jar = Part.turned(
        "jar", material="CW614N", stock=bar("12 mm"),
        outside=[
            cylinder(12, 24, front=chamfer(0.5), mark="skirt"), shoulder("rim"), relief(), thread("M8x1", 6),
        ],
        from_back=[bore(5, depth=deep, mark="well")],
    )
    block = Part.turned(
        "block", material="CW614N", stock=bar("5 mm"), outside=[cylinder(4.8, deep - 0.1, mark="round")],
    )
    lid = Part.turned(
        "lid", material="CW614N", stock=bar("12 mm"),
        outside=[cylinder(12, 18, front=chamfer(0.5), mark="side")],
        from_back=[drill("7.1 mm", depth=13), tap("M8x1", depth=10, lead="bottoming")],
    )
    return Design(
        "jar", parts=[jar, block, lid],
        joints=[joint.seat(block.face("front"), jar.face("well"))],
        states={
            "closed": state(joint.screw(lid.face("back"), jar.face("rim"))),
            "open": state(aside=lid),
        },
        gaps={"room": gap(block.face("back"), jar.face("back"), least=0.0, most=0.15)},
    )
"""


@pytest.fixture
def jar(tmp_path: Path) -> Path:
    """A jar with a block in its well, which stands 0.1 mm under the jar's face, 0.15 mm at most."""
    path = tmp_path / "jar.py"
    path.write_text(JAR, encoding="utf-8")
    return path


def measured(script: Path, text: str) -> tuple[Design, Design]:
    """Write what was measured, and load the design as drawn and as cut."""
    as_cut_file(script).write_text(text, encoding="utf-8")
    return load(script, drawn=True)[0], load(script)[0]


def faults(design: Design) -> list[str]:
    """List the rules that find a fault."""
    return [f.rule for f in judged(examined(design))[0] if f.severity is Severity.FAULT]


def after(cut: Design, found: AsCut) -> Design:
    """Give the parts not yet cut the sizes that are proposed."""
    for answer in found.answers:
        assert answer.mend is not None
        part = cut.part(answer.mend.dimension.part)
        assert isinstance(part, TurnedPart)
        (same,) = [d for d in dimensions(part) if str(d) == str(answer.mend.dimension)]
        cut = remade(cut, {part.name: changed(part, {same: answer.mend.value})})
    return cut


def test_the_drawing_is_sound(jar: Path) -> None:
    """As drawn, nothing is wrong, and nothing measured changes nothing."""
    assert faults(load(jar)[0]) == []
    assert not any(part.measured for part in load(jar)[0].parts)


def test_a_short_length_is_mended(jar: Path) -> None:
    """The block 0.1 mm short: the room of 0.20 mm is 0.05 too much; the well is to be that much shallower."""
    drawn, cut = measured(jar, "[block.round]\nlength = 19.80\n")
    assert faults(cut) == ["named gap"]
    found = compared(drawn, cut)
    (answer,) = found.answers

    assert answer.mend is not None
    assert str(answer.mend.dimension) == 'jar, bore "well", depth'
    assert answer.mend.value == pytest.approx(19.95)
    assert faults(after(cut, found)) == []
    assert ('closed: gap "room"', pytest.approx(0.1), pytest.approx(0.2)) in [
        (m.what, m.before, m.after) for m in found.moved
    ]


def test_a_deep_bore_is_mended(jar: Path) -> None:
    """The well 0.2 mm deep: the block not yet cut is to be 0.15 mm longer, the least that will do."""
    drawn, cut = measured(jar, "[jar.well]\ndepth = 20.20\n")
    found = compared(drawn, cut)
    (answer,) = found.answers

    assert answer.mend is not None
    assert str(answer.mend.dimension) == 'block, cylinder "round", length'
    assert answer.mend.value == pytest.approx(20.05)
    assert answer.mend.change > 0
    assert faults(after(cut, found)) == []


def test_an_over_turned_thread_is_mended(jar: Path) -> None:
    """Turned to 7.7 mm, M8x1 overlaps its hole of 7.1 mm by 55 %, of 7.05 mm by 60: the next drill is J."""
    drawn, cut = measured(jar, '[jar."outside 4"]\ndiameter = 7.70\n')
    assert faults(cut) == ["thread overlap"]
    found = compared(drawn, cut)
    (answer,) = found.answers

    assert answer.mend is not None
    assert (answer.mend.dimension.part, answer.mend.dimension.name) == ("lid", "diameter")
    assert (answer.mend.drill, answer.mend.value) == ("J", pytest.approx(0.277 * 25.4))
    assert faults(after(cut, found)) == []


def test_what_nothing_mends_must_be_made_again(jar: Path) -> None:
    """With every part that could give way cut as well, the part is to be made again."""
    drawn, cut = measured(jar, "[jar.well]\ndepth = 20.20\n[block]\nlength = 19.9\n[lid]\nlength = 18.0\n")
    found = compared(drawn, cut)

    assert [answer.mend for answer in found.answers] == [None]
    assert not found.sound
    assert as_json(found)["answers"][0]["mend"] is None


def test_a_proposal_is_in_steps_and_the_least(jar: Path) -> None:
    """One step less of the change leaves the fault."""
    drawn, cut = measured(jar, "[jar.well]\ndepth = 20.20\n")
    (answer,) = compared(drawn, cut).answers
    assert answer.mend is not None
    block = cut.part("block")
    assert isinstance(block, TurnedPart)
    (length,) = [d for d in dimensions(block) if d.name == "length"]
    short = remade(cut, {"block": changed(block, {length: answer.mend.value - STEP})})

    assert faults(short) == ["named gap"]


def test_a_part_on_the_scales_weighs_what_they_show(jar: Path) -> None:
    """The measured mass counts in every state; the difference points to sizes that could explain it."""
    plain = part_weight(load(jar, drawn=True)[0].part("block")).mass
    drawn, cut = measured(jar, f"[block]\nmass = {plain - 0.02}\n")
    (scales,) = compared(drawn, cut).scales

    assert part_weight(cut.part("block")).mass == pytest.approx(plain - 0.02)
    assert state_weight(cut, "open").mass == pytest.approx(state_weight(drawn, "open").mass - 0.02)
    assert scales.computed == pytest.approx(plain)
    named = {d.name: value for d, value in scales.suspects}
    assert named["length"] == pytest.approx(19.9 * (1 - 0.02 / plain))


def test_what_is_measured_is_off_by_no_more_than_the_instrument(jar: Path) -> None:
    """A measured mass has the scales' uncertainty for its range, a measured length the calliper's."""
    _, cut = measured(jar, "[block]\nmass = 3.0\n")
    assert tuple(part_range(cut.part("block"))) == pytest.approx((2.99, 3.01))
    drawn, cut = measured(jar, "[block.round]\nlength = 19.9\ndiameter = 4.8\n")
    low, high = part_range(cut.part("block"))
    mass = part_weight(cut.part("block")).mass

    assert high - mass == pytest.approx(mass * ((4.82 / 4.8) ** 2 - 1 + 0.02 / 19.9))
    assert low > part_range(drawn.part("block")).low


@pytest.mark.parametrize("mass", ['"4.4 g"', '"4400mg"', '"0.0044 kg"', "4.4"])
def test_a_mass_is_read_with_its_unit(jar: Path, mass: str) -> None:
    """Scales show grams; a bare number is taken for them."""
    _, cut = measured(jar, f"[block]\nmass = {mass}\n")

    assert part_weight(cut.part("block")).mass == pytest.approx(4.4)


def test_a_mass_that_agrees_points_to_nothing(jar: Path) -> None:
    """Within the scales' own uncertainty there is nothing to explain."""
    plain = part_weight(load(jar, drawn=True)[0].part("block")).mass
    drawn, cut = measured(jar, f"[block]\nmass = {{ value = {plain + 0.004}, uncertainty = 0.005 }}\n")

    assert compared(drawn, cut).scales[0].suspects == ()


def test_a_shoulder_is_moved_by_the_length_before_it(jar: Path) -> None:
    """A shoulder's station, or the length over all, goes to the last length that is not measured itself."""
    _, cut = measured(jar, "[jar.rim]\nstation = 23.9\n[jar]\nlength = 33.05\n")
    jar_made = cut.part("jar")
    drawn_length = load(jar, drawn=True)[0].part("jar").length

    assert drawn_length != jar_made.length == pytest.approx(33.05)
    assert jar_made.measured[0].feature == 'shoulder "rim"'


def test_lengths_with_units_are_read(jar: Path) -> None:
    """A size may be written with its unit."""
    _, cut = measured(jar, '[block]\nlength = "25/32 in"\n')

    assert cut.part("block").length == pytest.approx(25 / 32 * 25.4)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[jra]\nlength = 1\n", "jar.ascut.toml: jra: part: there is no such part; did you mean 'jar'?"),
        (
            "[jar.wel]\ndepth = 20\n",
            "jar.ascut.toml: jar, wel: feature: there is no such size or feature; did you mean 'well'?",
        ),
        (
            "[jar]\nwell = 20.5\n",
            "is a feature, of which one size or another is measured; write [jar.well] and depth = 20.5",
        ),
        (
            "[jar]\nbore = 5.05\n",
            "there is no such size or feature; write [jar.well] and diameter = 5.05",
        ),
        (
            "[jar]\ndepth = '20.5 mm'\n",
            "there is no such size or feature; write [jar.well] and depth = 20.5",
        ),
        (
            "[jar]\nxx = 3\n",
            'there is mass, length, and of features cylinder "skirt"',
        ),
        (
            "[jar.well]\ndept = 20\n",
            (
                'jar.ascut.toml: jar, bore "well", dept: measured: the feature has no such size; '
                "did you mean 'depth'?"
            ),
        ),
        (
            '[block]\nmass = "4.4 mm"\n',
            "jar.ascut.toml: block, mass: '4.4 mm': the unit is g, kg, mg",
        ),
        (
            '[block]\nmass = "4,4 g"\n',
            "jar.ascut.toml: block, mass: '4,4 g': write the decimal sign as a point",
        ),
        (
            '[block]\nmass = { value = 4.4, uncertainty = "0.1 mm" }\n',
            "jar.ascut.toml: block, mass: '0.1 mm': the unit is g, kg, mg",
        ),
        (
            '[block]\nlength = "4.4 g"\n',
            "jar.ascut.toml: block, length: '4.4 g': the unit is mm, um, in or thou",
        ),
        (
            "[block]\nlength = 5,1\n",
            "jar.ascut.toml: line 2: length = 5,1: the decimal sign is a point; write 5.1",
        ),
        ("[block]\nmass = -1\n", "jar.ascut.toml: block, mass: -1: must be more than 0"),
        (
            "[block]\nmass = true\n",
            "jar.ascut.toml: block, mass: True: must be a number, or a mass with its unit",
        ),
        ("jar = 3\n", "jar.ascut.toml: jar: 3: must be a table of what was measured; write [jar]"),
        (
            "[block.round]\nlength = 0.784\n",
            (
                'jar.ascut.toml: block, cylinder "round", length: 0.784 mm: the drawing gives 19.9 mm; '
                "did you mean 0.784 in?"
            ),
        ),
        (
            "[block]\nlength = 19.5\n[block.round]\nlength = 19.9\n",
            "length 19.5 mm: contradicts what was measured before it, which makes 19.9 mm; measure both",
        ),
        (
            "[block.round]\nlength = { value = 19.9, unsure = 1 }\n",
            "'unsure': a reading has value and uncertainty",
        ),
        (
            "[jar.well]\ndepth = 36\n",
            'as measured, bore "well": is deeper than the part, which is 33.5 mm long; make it',
        ),
    ],
)
def test_what_cannot_be_measured_is_refused(jar: Path, text: str, says: str) -> None:
    """One message each, with the nearest right thing; contradictions among them."""
    design, _ = load(jar, drawn=True)
    as_cut_file(jar).write_text(text, encoding="utf-8")
    with pytest.raises(DesignFaults) as refused:
        as_cut(design, as_cut_file(jar))

    assert says in str(refused.value)


def test_the_outside_of_a_thread_is_held_against_what_is_asked(jar: Path) -> None:
    """The sheet asks 7.884 mm of M8x1, the middle of 7.794 to 7.974 (ISO 965-1, 6g), not its 8 mm."""
    drawn, cut = measured(jar, '[jar."outside 4"]\ndiameter = 7.89\n')
    (words,) = compared(drawn, cut).words["jar"]

    assert words == "thread (outside 4), diameter 7.890 mm, asked 7.884, 7.794 to 7.974 (+0.006)"
    notes = [f.message for f in judged(examined(cut))[0] if f.rule == "as cut"]
    assert notes == [f"jar is cut: {words}"]


def test_how_a_part_is_made_does_not_matter_once_it_is_cut(jar: Path) -> None:
    """A well of 5 mm, 15 mm deep, came out 15.2: the bar that bored it reaches four of its 3.75 mm, no more.

    The block is 0.1 mm shorter than the well is drawn, and 0.2 mm more room is too much; nothing else is.
    """
    script = jar.read_text(encoding="utf-8").replace("deep: float = 20.0", "deep: float = 15.0")
    jar.write_text(script, encoding="utf-8")
    drawn, cut = measured(jar, "[jar.well]\ndepth = 15.20\n")

    assert "bore reach" in [f.rule for f in judged(examined(cut))[0] if f.severity is Severity.CAUTION]
    assert "bore reach" not in [f.rule for f in judged(examined(drawn))[0]]
    assert [answer.finding.rule for answer in compared(drawn, cut).answers] == ["named gap"]
