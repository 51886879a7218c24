"""The page as a reader has it: in a browser, from disk."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from tests.browser import changed, pixels, said_by, slid

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from playwright.sync_api import Browser, Page

WIDE, NARROW = {"width": 1280, "height": 900}, {"width": 360, "height": 740}
"""A desk's screen and a small phone's, px."""

LEAST_SHOWN = 0.04
"""Share of the canvas that the pen covers at the least, lying across it: some 0.9 by 0.1 of it, halved."""

LEAST_MOVED = 0.004
"""Share of the canvas that a slider changes at the least: a tenth of what the pen covers."""

Opened = "Callable[..., Page]"


@pytest.fixture
def opened(browser: Browser, pen_page: str) -> Iterator[Callable[..., Page]]:
    """Open the pen's page in a window of its own; what is wrong with it at the end fails the test."""
    contexts, heard = [], []

    def open_(*, before: str = "", **window: Any) -> Page:
        context = browser.new_context(**{"viewport": WIDE, **window})
        contexts.append(context)
        page = context.new_page()
        heard.append(said_by(page))
        if before:
            page.add_init_script(before)
        page.goto(pen_page)
        return page

    yield open_
    for context in contexts:
        context.close()
    assert [line for said in heard for line in said] == []


def shown(page: Page) -> np.ndarray[Any, Any]:
    """Take a picture of what the canvas shows."""
    return pixels(page.locator("canvas"))


def test_the_object_is_there_in_every_state(opened: Callable[..., Page]) -> None:
    """The canvas shows the object in each state, and another picture in each."""
    page = opened()
    pictures = []
    for state in ("closed", "open"):
        page.locator(f'input[name="state"][value="{state}"]').check(force=True)
        pictures.append(shown(page))
    for box in page.locator('input[name="part"]:enabled').all():
        box.uncheck(force=True)
    nothing = shown(page)

    assert all(changed(picture, nothing) > LEAST_SHOWN for picture in pictures)
    assert changed(*pictures) > LEAST_MOVED


def test_sliders_move_the_picture(opened: Callable[..., Page]) -> None:
    """Cutting, turning the cut and pulling apart each change what is seen, and say how far they are."""
    page = opened()
    before = shown(page)
    said = []
    for name, value in (("cut", 100), ("round", 90), ("apart", 100)):
        slid(page, name, value)
        after = shown(page)
        assert changed(before, after) > LEAST_MOVED, name
        before = after
        said.append(page.locator(f'input[name="{name}"]').get_attribute("aria-valuetext"))

    assert said == ["to the axis", "90°", "6 of 6: clip off"]


def test_cut_faces_have_the_colour_of_their_part(opened: Callable[..., Page]) -> None:
    """Cut to the axis, the body shows its section colour, which is nowhere before."""
    page = opened()
    tint = np.array(page.evaluate(
        "readGlb(bytesOf(document.getElementById('model').textContent)).parts[0].cut"
    ))  # fmt: skip

    def share() -> float:
        return float((np.abs(shown(page) / 255 - tint).max(axis=2) < 0.02).mean())

    assert share() < LEAST_MOVED / 10
    slid(page, "cut", 100)
    assert share() > LEAST_MOVED


def test_keys_turn_the_object_and_home_brings_it_back(opened: Callable[..., Page]) -> None:
    """Arrow keys turn the object, plus comes nearer, Home shows the first view again."""
    page = opened()
    first = shown(page)
    page.focus("canvas")
    page.keyboard.press("Home")  # the ring of the focus is there from now on
    first = shown(page)
    last = first
    for key in ("ArrowLeft", "ArrowRight", "ArrowRight", "ArrowUp", "ArrowDown", "ArrowDown", "+", "-", "+"):
        page.keyboard.press(key)
        now = shown(page)
        assert changed(last, now) > LEAST_MOVED, key
        last = now
    page.keyboard.press("Home")

    assert changed(first, shown(page)) == 0.0


def test_dragging_turns_the_object_and_the_page_keeps_its_wheel(opened: Callable[..., Page]) -> None:
    """A drag turns the object; a wheel over it scrolls the page as long as it was not taken hold of."""
    page = opened()
    before = shown(page)
    box = page.locator("canvas").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 300, box["y"] + 200)
    # Waited for without asking again and again, which the page's policy on scripts forbids.
    page.evaluate("void (scrolled = new Promise((done) => addEventListener('scroll', done)))")
    page.mouse.wheel(0, 200)
    page.evaluate("scrolled.then(() => null)")
    page.evaluate("scrollTo(0, 0)")
    assert changed(before, shown(page)) == 0.0
    page.mouse.down()
    page.mouse.move(box["x"] + 420, box["y"] + 240, steps=3)
    page.mouse.up()

    assert changed(before, shown(page)) > LEAST_MOVED


def test_ticks_are_remembered(opened: Callable[..., Page]) -> None:
    """A step that was ticked is ticked after the page is opened again, until the ticks are cleared."""
    page = opened()
    assert page.locator("details.cut-sheet").get_attribute("open") is None
    page.locator("details.cut-sheet summary").click()
    page.locator("input[data-tick]").nth(1).check()
    page.reload()  # and the sheet that is being worked from is open
    ticked = [box.is_checked() for box in page.locator("input[data-tick]").all()]
    done = page.locator("[data-done]").inner_text()
    page.get_by_role("button", name="Clear the ticks of body").click()
    page.reload()

    assert ticked == [False, True, False]
    assert done == "1 of 3 done"
    assert page.locator("input[data-tick]:checked").count() == 0


def test_ticks_work_where_nothing_may_be_stored(opened: Callable[..., Page]) -> None:
    """A browser that refuses to store anything still ticks, as long as the page is open."""
    page = opened(
        before="Object.defineProperty(window, 'localStorage', { get() { throw new Error('no'); } })"
    )
    page.locator("details.cut-sheet summary").click()
    page.locator("input[data-tick]").first.check()

    assert page.locator("[data-done]").inner_text() == "1 of 3 done"


@pytest.mark.parametrize("window", [WIDE, NARROW], ids=["wide", "narrow"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_stands_in_a_readers_way(
    opened: Callable[..., Page], window: dict[str, int], scheme: str
) -> None:
    """The checker of accessibility, axe-core, finds nothing, whatever is folded opened."""
    axe = pytest.importorskip(
        "axe_playwright_python.sync_playwright", reason="no axe: install the test extra"
    )
    page = opened(viewport=window, color_scheme=scheme)
    page.eval_on_selector_all("details", "(all) => all.forEach((one) => { one.open = true; })")
    slid(page, "apart", 50)
    found = axe.Axe().run(page).response["violations"]

    assert [(one["impact"], one["id"], one["nodes"][0]["html"]) for one in found] == []


def test_a_picture_that_is_pressed_is_enlarged(opened: Callable[..., Page]) -> None:
    """A drawing takes the page's width when it is pressed, by pointer or by key, and its place again."""
    page = opened()
    button = page.locator("#drawings button")
    wide = []
    for _ in range(3):
        box = button.bounding_box()
        assert box is not None
        wide.append((box["width"], button.get_attribute("aria-pressed")))
        button.press("Enter")

    assert [pressed for _, pressed in wide] == ["false", "true", "false"]
    assert wide[1][0] > 2 * wide[0][0] == 2 * wide[2][0]


def test_a_small_phone_scrolls_one_way_only(opened: Callable[..., Page]) -> None:
    """At 360 px nothing is wider than the screen but what scrolls by itself, and the object is there."""
    page = opened(viewport=NARROW)

    assert page.evaluate("document.documentElement.scrollWidth") <= NARROW["width"]
    before = shown(page)
    slid(page, "cut", 100)
    assert changed(before, shown(page)) > LEAST_MOVED


def test_without_3d_the_page_says_so(opened: Callable[..., Page]) -> None:
    """A browser that cannot draw in 3D says so, hides what would do nothing, and shows the rest."""
    page = opened(before="HTMLCanvasElement.prototype.getContext = () => null")

    assert page.get_by_text("This browser cannot draw in 3D").is_visible()
    assert not page.locator(".controls").is_visible()
    assert page.locator("#pictures img").is_visible()


def test_on_paper_everything_told_is_there(opened: Callable[..., Page]) -> None:
    """Printed, the stage is left out, folded notes are open, and black stands on white."""
    page = opened(color_scheme="dark")
    page.emulate_media(media="print", color_scheme="dark")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")

    assert not page.locator("#stage").is_visible()
    assert page.locator("details:not([open])").count() == 0
    colours = "[getComputedStyle(document.body).color, getComputedStyle(document.body).backgroundColor]"
    assert page.evaluate(colours) == ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]
    assert page.pdf().startswith(b"%PDF-")
