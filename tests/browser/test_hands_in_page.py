"""Keys, sliders and pads in a real page: all arrive, none leaks, nothing runs away."""

import json
import re
import time
from pathlib import Path

import pytest
from in_browser import wait_for
from kit_server import Kit, copy_of_lessons

from lessonkit.words import say

pytestmark = pytest.mark.browser

CELLS = (
    "import sys; sys.path.insert(0, {folder!r})\nimport hands_panel; hands_panel.show()",
    "import time; time.sleep(0.4)",
)
TALL = {"width": 1366, "height": 1000}
# What a page sees of devices, put in the place of its own.
FAKE_PADS = """() => {
  window.pads = [null, null];
  navigator.getGamepads = () => window.pads;
  window.plug = (index, id, axes) => { window.pads[index] = id && {index, id, axes, buttons: []}; };
}"""


@pytest.fixture(scope="module")
def hands_kit(tmp_path_factory):
    folder = tmp_path_factory.mktemp("hands")
    lessons = copy_of_lessons(folder / "lessons")
    here = str(Path(__file__).parent)
    cells = [
        {
            "cell_type": "code",
            "id": f"cell{number}",
            "source": source.format(folder=here),
            "metadata": {},
            "outputs": [],
            "execution_count": None,
        }
        for number, source in enumerate(CELLS)
    ]
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    whole = {"cells": cells, "metadata": {"kernelspec": kernel}, "nbformat": 4, "nbformat_minor": 5}
    (lessons / "hands.ipynb").write_text(json.dumps(whole), encoding="utf-8")
    kit = Kit(folder / "run", notebooks=lessons)
    yield kit
    kit.stop()


@pytest.fixture(scope="module")
def flown(browser, hands_kit):
    """One page for all tests of this file: each puts back what it changed."""
    from playwright.sync_api import TimeoutError  # may be missing where these tests are not run

    context = browser.new_context(viewport=TALL)
    page = context.new_page()
    errors = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto(hands_kit.lesson("hands"))
    wait_for(page, "inert")
    page.wait_for_selector(".jp-Notebook-ExecutionIndicator[data-status='idle']", timeout=60_000)
    page.evaluate(FAKE_PADS)
    for _ in range(4):  # JupyterLab passes over a "run" that comes before its kernel is attached
        page.get_by_role("menuitem", name="Run", exact=True).click()
        page.locator(".lm-Menu-item[data-command='runmenu:run-all']").click()
        try:
            page.wait_for_selector(".lk-hand-area", timeout=15_000)
            break
        except TimeoutError:
            continue
    page.wait_for_selector(".lk-hand-area", timeout=15_000)
    yield page
    context.close()
    assert not errors


@pytest.fixture
def page(flown):
    """The page with a run under way and the keys in the area."""
    flown.evaluate("() => { window.plug(0, null); window.plug(1, null); }")
    press(flown, "Start")
    flown.wait_for_function("() => document.activeElement.matches('.lk-hand-area')")
    cells = flown.locator(".jp-Cell").count()
    yield flown
    assert flown.locator(".jp-Cell").count() == cells, "no key reached the notebook"
    assert flown.locator(".jp-Dialog").count() == 0
    press(flown, "Stop")


def press(page, name):
    page.get_by_role("button", name=name, exact=True).click()


def wait_place(page, row, wanted):
    """Wait until the kernel says that a control (0 stick, 1 pedals) is somewhere. [percent]"""
    page.wait_for_function(
        "([row, wanted]) => { const field = document.querySelectorAll('.lk-hand-typed')[row];"
        " const shown = parseFloat(field.value.replace('\\u2212', '-'));"
        " return Math.abs(shown - wanted) <= 1; }",
        arg=[row, wanted],
        timeout=8_000,
    )


def state(page):
    return page.locator(".lk-hand-state").inner_text()


def note(page):
    return page.locator(".lk-hand-note").inner_text()


def test_keys_fly_and_none_leaks_into_the_notebook(page):
    assert state(page) == say("drill_inputs.area.has_keys")
    page.keyboard.down("ArrowRight")
    page.keyboard.down("x")  # in the notebook it cuts the cell
    wait_place(page, 0, 100)
    wait_place(page, 1, 100)
    page.keyboard.up("ArrowRight")
    wait_place(page, 0, 0)
    page.keyboard.up("x")
    wait_place(page, 1, 0)
    for key in "abmdyzx0 ":
        page.keyboard.press(key)
    assert page.evaluate("() => document.activeElement.matches('.lk-hand-area')")


def test_a_repeated_key_is_one_press_and_a_short_one_is_not_lost(page):
    sent = page.evaluate(
        """() => {
          const area = document.querySelector('.lk-hand-area');
          const fire = (kind, repeat) => area.dispatchEvent(new KeyboardEvent(
            kind, {code: 'KeyZ', key: 'z', repeat, bubbles: true, cancelable: true}));
          const before = document.querySelectorAll('.lk-down').length;
          const first = fire('keydown', false), more = fire('keydown', true);
          return [before, document.querySelectorAll('.lk-down').length, first, more];
        }"""
    )
    assert sent == [0, 1, False, False], "both are kept from the notebook"
    wait_place(page, 1, -100)
    page.keyboard.up("z")
    wait_place(page, 1, 0)


@pytest.mark.parametrize("way", ["Escape", "Tab", "window", "hidden"])
def test_a_held_key_is_let_go_when_the_keyboard_leaves(page, way):
    page.keyboard.down("x")
    wait_place(page, 1, 100)
    if way in ("Escape", "Tab"):
        page.keyboard.press(way)
        assert state(page) == say("drill_inputs.area.no_keys")
        assert page.evaluate("() => Boolean(document.activeElement.closest('.lk-hands'))")
        page.keyboard.press("a")
    elif way == "window":
        page.evaluate("() => window.dispatchEvent(new Event('blur'))")
    else:
        hide(page, True)
        page.wait_for_function(
            "text => document.querySelector('.lk-hand-note').textContent === text",
            arg=say("drill_inputs.stop.hidden"),
        )
        hide(page, False)
    wait_place(page, 1, 0)
    page.keyboard.up("x")


def test_nothing_moves_when_the_keys_leave_or_a_sentence_comes(page):
    top = "() => document.querySelector('.lk-hand-foot').getBoundingClientRect().top"
    end = "() => document.querySelector('.lk-hands').getBoundingClientRect().bottom"
    before = page.evaluate(top), page.evaluate(end)
    page.keyboard.press("Escape")
    assert (page.evaluate(top), page.evaluate(end)) == before
    press(page, "Stop")
    page.wait_for_function("() => document.querySelector('.lk-hand-note').textContent")
    assert note(page) == say("drill_inputs.stop.stopped")
    assert page.locator(".lk-alarm").count() == 0, "the learner wanted it"
    assert (page.evaluate(top), page.evaluate(end)) == before


def test_keys_that_scroll_stay_in_the_area_while_a_run_goes_on(page):
    scrolled = (
        "() => { const p = document.querySelector('.jp-WindowedPanel-outer'); return p.scrollTop; }"
    )
    page.set_viewport_size({"width": 1366, "height": 500})
    page.locator(".lk-hand-area").focus()
    page.wait_for_timeout(200)
    before = page.evaluate(scrolled)
    for key in ("End", "Home", "PageDown", "PageUp", "Space", "ArrowDown", "ArrowUp"):
        page.keyboard.press(key)
        page.wait_for_timeout(120)
        assert page.evaluate(scrolled) == before, key
    page.set_viewport_size(TALL)


def test_below_the_notice_the_end_of_the_notebook_can_be_reached(page):
    outer = page.locator(".jp-WindowedPanel-outer").bounding_box()
    assert page.locator(".lessonkit-notice").is_visible()
    assert outer["height"] > 300
    assert outer["y"] + outer["height"] <= page.evaluate("() => innerHeight") + 1


def hide(page, hidden):
    page.evaluate(
        "hidden => {"
        " Object.defineProperty(document, 'hidden', {value: hidden, configurable: true});"
        " document.dispatchEvent(new Event('visibilitychange')); }",
        hidden,
    )


def test_a_slider_and_a_typed_value_fly_as_well(page):
    slider = page.locator(".lk-hand-slider").nth(1)
    slider.focus()
    for _ in range(3):
        page.keyboard.press("ArrowLeft")
    wait_place(page, 1, -3)
    typed = page.locator(".lk-hand-typed").nth(0)
    typed.fill("25")
    page.keyboard.press("Enter")
    page.locator(".lk-hand-area").click()
    wait_place(page, 0, 25)
    press(page, say("drill_inputs.area.centre"))
    wait_place(page, 0, 0)
    wait_place(page, 1, 0)


def test_pedals_are_assigned_a_second_pad_is_ignored_and_unplugging_stops(page):
    page.evaluate("() => { window.plug(0, 'Pedals', [0, 0, 0]); window.plug(1, 'Pad', [0, 0]); }")
    page.wait_for_function(
        "() => document.querySelector('.lk-hand-desk').textContent.includes('Pedals, Pad')"
    )
    page.locator(".lk-hand-desk summary").click()
    rows = page.locator(".lk-hand-desk .lk-hand-row")
    rows.nth(1).get_by_text(say("drill_inputs.area.assign"), exact=True).click()
    rows.nth(1).get_by_text("Now move").wait_for()
    page.evaluate("() => window.plug(0, 'Pedals', [0, 0, -0.9])")
    rows.nth(1).get_by_text("axis 3 of Pedals").wait_for()
    page.evaluate("() => window.plug(0, 'Pedals', [0, 0, -1])")
    wait_place(page, 1, 100)
    page.evaluate("() => window.plug(1, 'Pad', [1, -1])")
    page.wait_for_timeout(200)
    wait_place(page, 1, 100)
    wait_place(page, 0, 0)
    assert "Pedals" in page.evaluate("() => localStorage.getItem('lessonkit-hands')")
    page.evaluate("() => window.plug(0, null)")
    wait_place(page, 1, 0)
    page.wait_for_function(
        "() => document.querySelector('.lk-hand-note').textContent.startsWith('Stopped')"
    )
    assert "Pedals was unplugged" in note(page)
    page.locator(".lk-hand-desk summary").click()


def picture(page):
    return int(re.search(r"\d+", page.locator(".lk-label").text_content())[0])


def run_cell(page, number):
    """Run one cell from the menu and wait until it is done."""
    cell = page.locator(".jp-Cell").nth(number)
    prompt = cell.locator(".jp-InputPrompt").inner_text()
    cell.locator(".cm-content").click()
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.locator(".lm-Menu-item[data-command='notebook:run-cell']").click()
    page.wait_for_function(
        "([number, before]) => { const cell = document.querySelectorAll('.jp-Cell')[number];"
        " const now = cell.querySelector('.jp-InputPrompt').textContent.trim();"
        " return now !== before.trim() && now !== '[*]:'; }",
        arg=[number, prompt],
        timeout=10_000,
    )


def test_a_long_cell_drops_time_and_the_run_goes_on(page):
    page.wait_for_selector(".lk-label")
    run_cell(page, 1)
    before, begun = picture(page), time.monotonic()
    while picture(page) < before + 3 and time.monotonic() - begun < 8.0:
        page.wait_for_timeout(50)
    assert picture(page) >= before + 3


def test_the_run_stops_when_its_cell_is_run_again(page):
    page.wait_for_selector(".lk-label")
    run_cell(page, 0)
    page.wait_for_selector(".lk-label", state="detached")
    page.wait_for_timeout(400)
    assert page.locator(".lk-label").count() == 0, "the new run waits for its start"
    assert page.locator(".lk-hand-area").count() == 1
