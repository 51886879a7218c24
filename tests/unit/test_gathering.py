"""What the page shows, gathered: each picture under its own name, no template that is not true to size."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.unit.output.page.page_of import dot
from turnmodel.analysis.plan.cautions import FIRST
from turnmodel.analysis.report import report
from turnmodel.catalog.tools import assumed_tools
from turnmodel.design.loading import load
from turnmodel.gathering import gathered

if TYPE_CHECKING:
    from turnmodel.output.page.content import Content

CASE = Path(__file__).parents[2] / "designs" / "needle_case.py"


@pytest.fixture(scope="module")
def content(tmp_path_factory: pytest.TempPathFactory) -> Content:
    """Gather the needle case's page from a folder of small files."""
    folder = tmp_path_factory.mktemp("made")
    for name in ("open-whole", "closed-whole", "closed-apart", "closed-close-lid-and-tube", "other"):
        (folder / f"{name}.png").write_bytes(dot())
    (folder / "drawings").mkdir()
    for title in ("needle case: tube", "needle case: templates"):
        text = f'<svg xmlns="http://www.w3.org/2000/svg"><title>{title}</title></svg>'
        (folder / "drawings" / f"{title[-4:]}.svg").write_text(text, encoding="utf-8")
    design, parameters = load(CASE)
    found = report(design, parameters)
    return gathered(design, found, assumed_tools(), folder, lambda name: name.replace(" ", "-"))


def test_pictures_are_named_by_state_and_view(content: Content) -> None:
    """Views come one after another, states in the order of the design; what is no view is left out."""
    assert [picture.title for picture in content.pictures] == [
        "closed, whole",
        "open, whole",
        "closed, pulled apart",
        "closed, cut open, close up, lid and tube",
    ]
    assert content.pictures[2].alt == "needle case, closed, pulled apart: tube, foot and lid"


def test_drawings_but_no_templates(content: Content) -> None:
    """A template on the page would be cut out at the wrong size."""
    assert [drawing.title for drawing in content.drawings] == ["needle case: tube"]


def test_every_part_that_is_made_has_its_cut_sheet(content: Content) -> None:
    """Sheets come in the order of the parts; what holds for all work is said once, before them."""
    assert [sheet.part for sheet in content.sheets] == ["tube", "foot", "lid"]
    assert all(stage.steps for sheet in content.sheets for stage in sheet.stages)
    assert list(content.cautions) == [FIRST]
    assert not any(FIRST in sheet.notes for sheet in content.sheets)
    turned = [
        note for sheet in content.sheets for stage in sheet.stages for s in stage.steps for note in s.notes
    ]
    assert any(note.endswith(" rpm") for note in turned)
