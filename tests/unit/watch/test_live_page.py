"""The live page in a browser: it follows the script, in place."""

from __future__ import annotations

import shutil
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.browser import changed, launched, pixels
from tests.watching import PATIENCE_S
from turnmodel.watch.server import served
from turnmodel.watch.session import Session

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

PEN = Path(__file__).parents[3] / "designs" / "pocket_pen.py"
BARREL = "barrel_length: float = 16.0"

DESK, PHONE = (1280, "light"), (360, "dark")
"""Widths [px] and schemes of colour of two screens."""

MOVED = 0.003
"""Share of the stage's pixels that a change of 6 mm in a part of 80 mm moves, at the least; house choice."""


class Live:
    """The page, its script, and what it complained of."""

    def __init__(self, page: Page, script: Path) -> None:
        self.page, self.script, self.text = page, script, script.read_text()
        self.wrong: list[str] = []
        page.on("pageerror", lambda error: self.wrong.append(str(error)))
        page.on("console", lambda line: self.wrong.append(line.text) if line.type == "error" else None)

    def until(self, test: str) -> None:
        """Wait until a test in the page's own script is met; its policy forbids to wait within it."""
        end = time.monotonic() + PATIENCE_S
        while not self.page.evaluate(test):
            assert time.monotonic() < end, f"never came: {test}"
            time.sleep(0.02)

    def settled(self, model: str = "") -> str:
        """Wait until another model than one is shown and its findings are there; give its name."""
        self.until(f"document.body.dataset.model && document.body.dataset.model !== {model!r}")
        self.until("document.body.dataset.build === 'done'")
        return str(self.page.evaluate("document.body.dataset.model"))

    def save(self, text: str) -> None:
        """Save the script, some words of it changed."""
        self.script.write_text(text)

    def drawn(self) -> str:
        """Draw the object and read what was drawn."""
        return str(self.page.evaluate("(viewer.draw(), document.querySelector('canvas').toDataURL())"))

    def view(self) -> Any:
        """Read from where the object is looked at."""
        return self.page.evaluate("({...viewer.view, ...viewer.shown, hidden: [...viewer.shown.hidden]})")


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Start one browser for all these tests."""
    with launched() as started:
        yield started


@pytest.fixture
def live(browser: Browser, tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Live]:
    """Open the page of a pocket pen; it must complain of nothing."""
    width, scheme = getattr(request, "param", DESK)
    script = tmp_path / "pen.py"
    shutil.copy(PEN, script)
    with Session(script) as session, served(session) as address:
        page = browser.new_page(viewport={"width": width, "height": 800}, color_scheme=scheme)
        opened = Live(page, script)
        page.goto(address)
        opened.settled()
        yield opened
        assert opened.wrong == []
        page.close()


@pytest.mark.parametrize("live", [DESK, PHONE], ids=["desk", "phone"], indirect=True)
def test_a_save_changes_the_picture_in_place(live: Live) -> None:
    """After a save the object is another, looked at as before: turned, cut, pulled apart, a part hidden."""
    page = live.page
    page.evaluate("viewer.turn(0.5, 0.2); viewer.zoom(1.1)")
    for name, value in (("cut", 60), ("round", 30), ("apart", 40)):
        slider = page.locator(f'input[name="{name}"]')
        slider.evaluate("(e, v) => { e.value = v; e.dispatchEvent(new Event('input')); }", value)
    page.locator('input[name="part"][value="ink"]').uncheck(force=True)
    page.locator('input[name="state"][value="open"]').check(force=True)
    model, view, before = live.settled(), live.view(), pixels(page.locator("canvas"))

    live.save(live.text.replace(BARREL, "barrel_length: float = 22.0"))
    live.settled(model)

    assert live.view() == view
    assert changed(before, pixels(page.locator("canvas"))) > MOVED
    assert page.input_value("#value-barrel_length") == "22"
    assert page.inner_text("#said") == "Up to date"


def test_another_part_leaves_the_view_as_it_was(live: Live) -> None:
    """Where the parts are other ones the stage is laid out anew, and looked at as before."""
    live.page.evaluate("viewer.turn(0.5, 0.2)")
    live.page.locator('input[name="state"][value="open"]').check(force=True)
    model, view = live.settled(), live.view()

    live.save(
        live.text.replace('"plug",', '"stopper",').replace(
            '"open": state', '"bare": state(aside=cap), "open": state'
        )
    )
    live.settled(model)

    assert live.page.locator('input[name="part"][value="stopper"]').count() == 1
    assert live.page.locator('input[name="state"][value="open"]').is_checked()
    assert {**live.view(), "state": 0} == {**view, "state": 0}
    assert live.page.evaluate("viewer.shown.state") == 2


def test_an_error_is_shown_with_its_line_and_the_object_stays(live: Live) -> None:
    """A mistake is shown with the lines round it until it is mended; the last good object stays."""
    before = live.drawn()

    live.save(live.text.replace('mark="grip"', 'mrk="grip"'))
    live.until("document.body.classList.contains('troubled')")

    told = live.page.locator(".trouble")
    assert told.locator(".severity").inner_text() == "pen.py, line 53"
    assert told.locator(".message").inner_text() == "cylinder(...): has no 'mrk'"
    assert told.locator(".mend").inner_text() == "Did you mean 'mark'?"
    assert told.locator(".meant").inner_text().split() == ["53", "cylinder(7.0,", "GRIP,", 'mrk="grip"),']
    assert live.page.inner_text("#said") == "Not built, the last good object is shown"
    assert live.drawn() == before

    live.save(live.text)
    live.until("!document.body.classList.contains('troubled')")
    assert live.page.locator(".trouble").count() == 0


def test_a_slider_moves_the_object_and_writes_it_into_the_script(live: Live) -> None:
    """A slider's value is built at once; written, it stands in the script and nothing else has changed."""
    page, model = live.page, live.settled()
    write, reset = page.locator("#write"), page.locator("#reset")
    assert write.is_disabled()
    assert reset.is_disabled()

    page.locator(".parameter", has_text="Barrel length").locator('input[type="range"]').evaluate(
        "(e) => { e.value = 20.5; e.dispatchEvent(new Event('input')); }"
    )
    model = live.settled(model)

    assert page.input_value("#value-barrel_length") == "20.5"
    assert page.inner_text("#said-barrel_length") == "The script says 16."
    write.click()
    live.until("document.getElementById('written').textContent === 'Written: barrel length.'")
    assert live.script.read_text() == live.text.replace(BARREL, "barrel_length: float = 20.5")
    live.until("document.getElementById('said-barrel_length').textContent === ''")
    assert live.settled() == model


def test_a_field_takes_what_a_slider_does_not_reach(live: Live) -> None:
    """A number may be typed, even beyond the slider's ends; what is no number yet is not asked for."""
    page, model = live.page, live.settled()

    page.fill("#value-barrel_length", "")
    page.fill("#value-barrel_length", "25")
    model = live.settled(model)
    assert page.inner_text("#said-barrel_length") == "The script says 16."

    page.click("#reset")
    live.settled(model)
    live.until("document.getElementById('value-barrel_length').value === '16'")


def test_a_script_that_runs_for_ever_may_be_stopped_here(live: Live) -> None:
    """The page says that it still runs, and offers to stop it."""
    live.save(live.text + "\nwhile True:\n    pass\n")
    live.until("document.body.dataset.build === 'slow'")
    assert live.page.inner_text("#said") == "Still running"

    live.page.click("#stop")

    live.until("document.querySelector('.trouble')")
    assert live.page.locator(".trouble .message").inner_text() == "pen.py was stopped"
    assert live.page.locator("#stop").is_hidden()


@pytest.mark.parametrize("live", [DESK, PHONE], ids=["desk", "phone"], indirect=True)
def test_it_fits_the_screen_and_is_readable_by_all(live: Live) -> None:
    """Nothing runs out of the screen's width, and a checker of accessibility finds nothing serious."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    live.save(live.text.replace('mark="grip"', 'mrk="grip"'))
    live.until("document.body.classList.contains('troubled')")

    assert live.page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    found = axe.run(live.page).response["violations"]
    serious = [
        (f["id"], [n["html"] for n in f["nodes"]]) for f in found if f["impact"] in ("serious", "critical")
    ]
    assert serious == []


def test_the_page_says_that_watching_has_ended(browser: Browser, tmp_path: Path) -> None:
    """When the server is gone the page keeps its object and says so."""
    script = tmp_path / "pen.py"
    shutil.copy(PEN, script)
    page = browser.new_page()
    with Session(script) as session, served(session) as address:
        live = Live(page, script)
        page.goto(address)
        live.settled()
    live.until("document.body.classList.contains('ended')")

    assert page.inner_text("#said").startswith("turnmodel watch has ended")
    page.close()
