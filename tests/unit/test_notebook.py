"""Designs and parts show themselves in a notebook, and their checks come as tables."""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

import turnmodel.notebook
from turnmodel import Design, Part, bought, cylinder
from turnmodel.design.loading import load
from turnmodel.errors import OutputError, UnknownName
from turnmodel.notebook import Picture, Sheet, Table, check, picture, shown, weigh

CASE = Path(__file__).parents[2] / "designs" / "needle_case.py"

STAND_IN = Picture(png=b"png", words="a <picture>")


@pytest.fixture
def case() -> Design:
    """Give a demo design."""
    return load(CASE)[0]


@pytest.fixture
def unseen(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let no test but those of pictures take one."""
    monkeypatch.setattr(turnmodel.notebook, "picture", lambda *_: STAND_IN)


def bundle(thing: Any) -> dict[str, str]:
    """Ask a value as a notebook does."""
    return dict(thing._repr_mimebundle_(include=None, exclude=None))


@pytest.mark.usefixtures("unseen")
def test_a_design_shows_a_picture_and_a_table(case: Design) -> None:
    """What a notebook is given holds the picture with its words, and a row for each part."""
    html = bundle(case)["text/html"]

    assert html.startswith('<img src="data:image/png;base64,cG5n" alt="a &lt;picture&gt;"')
    assert html.count("<tr>") == 1 + len(case.parts)
    assert all(f">{part.name}</td>" in html for part in case.parts)
    assert bundle(case)["text/plain"].startswith("picture: a <picture>\n\nneedle case: parts\npart ")


@pytest.mark.usefixtures("unseen")
def test_every_kind_of_part_shows_itself() -> None:
    """A turned part and a bought one are shown by what they weigh; a mass nobody has weighed is marked."""
    pin = Part.turned("pin", material="CW614N", stock="6 mm", outside=[cylinder(5, 20)])

    # 5 mm by 20 mm of brass at 8.47 g/cm3 (the catalog's figure): pi/4 25 20 8.47/1000 = 3.326 g
    assert bundle(pin)["text/plain"].splitlines()[-1] == "pin   CW614N      3.33       10.00      20.00"
    assert "~" in bundle(bought("ink", refill="D"))["text/plain"]


def test_a_part_that_cannot_be_built_says_why() -> None:
    """A part with a fault shows the fault's words, not a traceback."""
    pin = Part.turned("pin", material="CW614N", stock="6 mm", outside=[cylinder(-5, 20)])

    assert "pin, cylinder (outside 1): diameter -5 mm: must be more than 0 mm" in bundle(pin)["text/plain"]


def test_a_machine_without_pictures_shows_the_table(case: Design, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nothing can be rendered the reason stands in the picture's place."""

    def refuse(*_: object) -> Picture:
        raise OutputError("no pictures: this machine has no <EGL>")

    monkeypatch.setattr(turnmodel.notebook, "picture", refuse)

    assert bundle(case)["text/html"].startswith(
        "<p>no pictures: this machine has no &lt;EGL&gt;</p>\n<table>"
    )


def test_a_design_is_checked_and_weighed(case: Design) -> None:
    """The methods of a design are the functions; findings come worst first, their counts in the title."""
    found, weighed = case.check(), case.weigh()  # type: ignore[attr-defined]

    assert found == check(case)
    assert weighed == weigh(case)
    severities = [row[0] for row in found.rows]
    order = ("fault", "caution", "note")
    assert severities == sorted(severities, key=order.index)
    notes = severities.count("note")
    assert found.title.endswith(f"{notes} notes")
    assert [table.title for table in weighed.entries] == ["needle case: states", "needle case: parts"]


def test_the_tools_beside_the_notebook_are_used(
    case: Design, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file of tools in the notebook's folder is used as it is beside a script, or another that is named."""
    assert "assumed" in str(check(case))
    tools = tmp_path / "tools.toml"
    tools.write_text('taps = ["M10x1"]\n')
    named = check(case, tools)
    monkeypatch.chdir(tmp_path)

    assert check(case) == named
    assert "no tools file" not in str(named)


def test_a_table_is_read_as_text_and_as_html() -> None:
    """As text its columns are aligned and long cells broken; as HTML every text is escaped."""
    long = "a wall of 0.2 mm is thinner than any that a small lathe leaves standing"
    made = Table(
        title="<t>", columns=(("what", "left"), ("mm", "right")), rows=((long, "0.2"),), inks=("red",)
    )

    assert str(made).splitlines() == [
        "<t>",
        "what                                          mm",
        "a wall of 0.2 mm is thinner than any that a  0.2",
        "small lathe leaves standing",
    ]
    assert "&lt;t&gt;" in made._repr_html_()
    assert f'<td style="text-align:left;color:red">{long}</td>' in made._repr_html_()
    assert Sheet(entries=("a < b", made))._repr_html_().startswith("<p>a &lt; b</p>\n<table>")


def test_a_state_that_there_is_not_is_refused(case: Design) -> None:
    """A picture of no state is refused with the states there are."""
    with pytest.raises(UnknownName, match="no state named 'clsed'; did you mean 'closed'"):
        picture(case, "clsed")


def test_a_picture_is_taken(case: Design) -> None:
    """The picture of a state is a PNG of the width that is asked for, and says what it shows."""
    try:
        taken = picture(case, view="cut", width=300)
    except OutputError as error:
        pytest.skip(str(error))

    assert Image.open(io.BytesIO(taken.png)).size[0] == 300
    assert taken.words == "needle case closed, cut open"
    assert isinstance(shown(case).entries[0], Picture)


def test_nothing_is_shown_without_asking() -> None:
    """A program that does not import this module has designs without its methods, and no renderer."""
    program = (
        "import sys, turnmodel\nfrom turnmodel import Design\n"
        "assert not hasattr(Design, 'check')\nimport turnmodel.notebook\nassert hasattr(Design, 'check')\n"
        "assert 'pyvista' not in sys.modules and 'PIL' not in sys.modules"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)

    assert done.returncode == 0, done.stderr
