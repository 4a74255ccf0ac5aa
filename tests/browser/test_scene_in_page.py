"""The picture in a real page: dragging, keys, themes, large type, names."""

import json
import time
from pathlib import Path

import pytest
from in_browser import LAPTOP, wait_for
from kit_server import Kit, copy_of_lessons
from scene_panel import START

from lessonkit.scenes import theme

pytestmark = pytest.mark.browser

HANDLE = ".lk-grab"
TYPED = ".lk-typed input"
CELL = """# Test
import sys; sys.path.insert(0, {folder!r})
import scene_panel; scene_panel.build(prediction={prediction})
"""


def notebook(path, prediction):
    source = CELL.format(folder=str(Path(__file__).parent), prediction=prediction)
    cell = {
        "cell_type": "code",
        "id": "one",
        "source": source,
        "metadata": {},
        "outputs": [],
        "execution_count": None,
    }
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    whole = {
        "cells": [cell],
        "metadata": {"kernelspec": kernel},
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    path.write_text(json.dumps(whole), encoding="utf-8")


@pytest.fixture(scope="module")
def scene_kit(tmp_path_factory):
    """The kit with two notebooks that are no lessons of its own, so they are run by hand."""
    folder = tmp_path_factory.mktemp("scene")
    lessons = copy_of_lessons(folder / "lessons")
    notebook(lessons / "panel.ipynb", False)
    notebook(lessons / "asked.ipynb", True)
    kit = Kit(folder / "run", notebooks=lessons)
    yield kit
    kit.stop()


def run_cells(page, kit, key):
    from playwright.sync_api import TimeoutError  # may be missing where these tests are not run

    page.goto(kit.lesson(key))
    wait_for(page, "inert")
    page.wait_for_selector(".jp-Notebook-ExecutionIndicator[data-status='idle']", timeout=60_000)
    for _ in range(4):  # JupyterLab passes over a "run" that comes before its kernel is attached
        page.get_by_role("menuitem", name="Run", exact=True).click()
        page.locator(".lm-Menu-item[data-command='runmenu:run-all']").click()
        try:
            page.wait_for_selector(".lk-svg", timeout=15_000)
            break
        except TimeoutError:
            continue
    page.wait_for_selector(".lk-svg", timeout=15_000)


def show(page, kit, key):
    run_cells(page, kit, key)
    page.wait_for_selector(f"{HANDLE}[aria-label='Turn']")
    page.locator(".lk-panel").scroll_into_view_if_needed()
    at_rest(page)


def at_rest(page):
    before = None
    while before != (now := page.locator(".lk-svg").bounding_box()):  # the page comes to rest
        before = now
        page.wait_for_timeout(700)


@pytest.fixture(scope="module")
def shown(page_of_module, scene_kit):
    show(page_of_module, scene_kit, "panel")
    return page_of_module


@pytest.fixture
def panel(shown):
    """The panel as it opens: one page for all tests, put back by each before the next."""
    yield shown
    errors, shown.errors[:] = list(shown.errors), []
    shown.set_viewport_size(LAPTOP)
    if shown.locator(".lk-scene.lk-large").count():
        shown.get_by_role("button", name="Large type").click()
        shown.wait_for_selector(".lk-scene:not(.lk-large)")
    shown.get_by_role("button", name="Reset", exact=True).click()
    shown.wait_for_function(
        "([css, start]) => document.querySelector(css).value.startsWith(start)",
        arg=[TYPED, f"{START:.3f}"],
    )
    shown.locator(".lk-panel").scroll_into_view_if_needed()
    at_rest(shown)
    assert not errors


def middle(page, css=f"{HANDLE} .lk-disc"):
    box = page.locator(css).bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def typed(page):
    return float(page.locator(TYPED).input_value().split("\u00a0")[0].replace(",", ""))


def wait_typed(page, value, within=0.0006):
    """Wait until the typed field shows a value, to half of its last digit without more."""
    deadline = time.monotonic() + 10.0
    while abs(typed(page) - value) > within and time.monotonic() < deadline:
        page.wait_for_timeout(50)
    assert typed(page) == pytest.approx(value, abs=within)


def metres_per_screen_pixel(page):
    """From where the plotter wrote 400 and 800 below the axes, not from the code under test."""
    return page.evaluate(
        "() => { const at = text => { const t = [...document.querySelectorAll('.lk-svg svg text')]"
        ".find(e => e.textContent === text); const b = t.getBoundingClientRect();"
        " return b.left + b.width / 2; }; return 400 / (at('800') - at('400')); }"
    )


def test_a_dragged_point_follows_the_pointer_to_the_pixel(panel):
    x, y = middle(panel)
    # Taken a little off its middle: it must not jump. Whole pixels, since a browser cuts the
    # fraction of a press but not of a move.
    px, py = round(x) + 3, round(y) - 2
    panel.mouse.move(px, py)
    panel.mouse.down()
    for step in range(1, 11):
        panel.mouse.move(px + 12 * step, py + step)
    panel.mouse.up()
    scale = metres_per_screen_pixel(panel)
    wait_typed(panel, 400.0 + 120.0 * scale, within=0.05 * scale)
    new_x, new_y = middle(panel)
    assert new_x == pytest.approx(x + 120.0, abs=0.6)
    assert new_y == pytest.approx(y, abs=0.6), "it moves along x only"
    assert panel.locator(".lk-sentence").inner_text() == f"The point is at {typed(panel):.3f}."


def test_a_finger_drags_it_too(panel):
    x, y = (round(place) for place in middle(panel))
    session = panel.context.new_cdp_session(panel)

    def touch(kind, *points):
        session.send(
            "Input.dispatchTouchEvent",
            {"type": kind, "touchPoints": [{"x": px, "y": py} for px, py in points]},
        )

    touch("touchStart", (x, y))
    for step in range(1, 9):
        touch("touchMove", (x - 10 * step, y))
    touch("touchEnd")
    scale = metres_per_screen_pixel(panel)
    wait_typed(panel, 400.0 - 80.0 * scale, within=0.05 * scale)


def test_arrow_keys_move_it_and_nothing_reaches_the_notebook(panel):
    cells = panel.locator(".jp-Cell").count()
    ring = panel.locator(f"{HANDLE} .lk-ring")
    panel.locator(TYPED).focus()
    for _ in range(6):  # by keyboard alone, as far as the picture
        panel.keyboard.press("Tab")
        if panel.evaluate("() => document.activeElement.matches('.lk-grab')"):
            break
    assert panel.evaluate("() => document.activeElement.matches('.lk-grab')")
    assert ring.is_visible()
    panel.keyboard.press("ArrowRight")
    wait_typed(panel, 405.0)
    panel.keyboard.press("Shift+ArrowLeft")
    wait_typed(panel, 355.0)
    for _ in range(8):  # faster than the answers come back
        panel.keyboard.press("ArrowUp")
    wait_typed(panel, 395.0)
    panel.keyboard.press("End")
    wait_typed(panel, 1000.0)
    panel.keyboard.press("ArrowRight")
    panel.keyboard.press("Home")
    wait_typed(panel, 0.0)
    for key in "abmdzxy0":
        panel.keyboard.press(key)
    panel.keyboard.press("0")
    panel.locator(".widget-slider .noUi-handle").focus()
    for key in "abmdzxy":
        panel.keyboard.press(key)
    panel.wait_for_timeout(300)
    assert panel.locator(".jp-Cell").count() == cells
    assert panel.locator(".jp-Dialog").count() == 0
    assert panel.locator(".lk-svg").count() == 1


def test_slider_and_typed_value_move_the_point(panel):
    x, _ = middle(panel)
    panel.locator(".widget-slider .noUi-handle").focus()
    panel.keyboard.press("ArrowRight")
    wait_typed(panel, 405.0)
    panel.locator(TYPED).fill("500,5")
    panel.keyboard.press("Enter")
    panel.wait_for_function(
        "() => document.querySelector('.lk-sentence').innerText.includes('500.5')"
    )
    assert middle(panel)[0] == pytest.approx(x + 100.5 / metres_per_screen_pixel(panel), abs=0.6)
    panel.locator(TYPED).fill("far away")
    panel.keyboard.press("Enter")
    alert = panel.locator(".lk-control .lk-error")
    alert.wait_for()
    assert alert.inner_text().startswith("Place")
    assert "500.5" in panel.locator(".lk-sentence").inner_text()


def colour(page, css, what):
    return page.evaluate(
        "([css, what]) => getComputedStyle(document.querySelector(css))[what]", [css, what]
    )


def rgb(text):
    return "rgb({}, {}, {})".format(*(int(text[i : i + 2], 16) for i in (1, 3, 5)))


def test_light_and_dark_follow_the_page_at_once(panel):
    for look, button in (("light", None), ("dark", "Dark"), ("light", "Light")):
        if button:
            panel.locator("#lessonkit-bar button", has_text=button).click()
            panel.wait_for_function(
                "light => document.body.dataset.jpThemeLight === light",
                arg=str(look == "light").lower(),
            )
        index = ("light", "dark").index(look)
        roles = theme.ROLES
        surface = rgb(theme.GROUNDS["surface"][index])
        muted = rgb(getattr(roles["muted"], look))
        assert colour(panel, ".lk-r-main .lk-line", "stroke") == rgb(getattr(roles["main"], look))
        assert colour(panel, ".lk-r-limit .lk-line", "stroke") == rgb(getattr(roles["limit"], look))
        assert colour(panel, ".lk-svg svg text", "fill") == muted, "numbers of the axes"
        assert colour(panel, ".lk-scene", "backgroundColor") == surface
    assert colour(panel, ".lk-r-limit .lk-line", "strokeDasharray") == "3px, 3px"


def test_large_type_enlarges_all_letters_of_the_picture(panel):
    def sizes():
        return [
            float(colour(panel, css, "fontSize")[:-2])
            for css in (".lk-label", ".lk-svg svg text", ".lk-sentence", ".lk-title")
        ]

    before = sizes()
    panel.get_by_role("button", name="Large type").click()
    panel.wait_for_selector(".lk-scene.lk-large")
    for small, large in zip(before, sizes(), strict=True):
        assert large == pytest.approx(small * theme.PRESENTATION_SCALE, rel=0.01)
    # Nothing is cut off on a laptop or a projector.
    for width in (1366, 1920):
        panel.set_viewport_size({"width": width, "height": 768})
        panel.wait_for_timeout(200)
        inside = panel.evaluate(
            "() => { const p = document.querySelector('.lk-panel').getBoundingClientRect();"
            " const s = document.querySelector('.lk-svg').getBoundingClientRect();"
            " return s.left >= p.left && s.right <= p.right && s.width > 400; }"
        )
        assert inside, width


def test_every_part_has_a_name_and_the_sentence_is_spoken_after_a_pause(panel):
    handle = panel.locator(HANDLE)
    assert handle.get_attribute("role") == "slider"
    assert handle.get_attribute("aria-valuetext").replace("\u00a0", " ") == "400.000 m"
    slider = panel.locator(".widget-slider .noUi-handle")
    assert slider.get_attribute("aria-label").startswith("Place, 0.000")
    assert panel.locator(TYPED).get_attribute("aria-label") == "Place, typed"
    picture = panel.locator(".lk-svg > g[role='img']")
    assert picture.get_attribute("aria-label") == "A point on a line. The point is at 400.000."
    spoken = panel.locator(".lk-spoken")
    assert spoken.get_attribute("aria-live") == "polite"
    panel.locator(".widget-slider .noUi-handle").focus()
    panel.keyboard.press("ArrowRight")
    panel.wait_for_function(
        "() => document.querySelector('.lk-spoken').textContent === 'The point is at 405.000.'"
    )


def test_the_page_does_not_jump_when_the_picture_changes(panel):
    def height():
        return panel.locator(".lk-panel").bounding_box()["height"]

    before = height()
    panel.locator(".widget-slider .noUi-handle").focus()
    for _ in range(5):
        panel.keyboard.press("ArrowRight")
    wait_typed(panel, 425.0)
    assert height() == before


def test_the_prediction_comes_first(page, scene_kit):
    show(page, scene_kit, "asked")
    assert not page.locator(TYPED).is_visible()
    assert page.locator(HANDLE).get_attribute("aria-disabled") == "true"
    x, y = middle(page)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 80, y, steps=4)
    page.mouse.up()
    page.get_by_text("There").click()
    page.get_by_role("button", name="Record my prediction").click()
    page.locator(TYPED).wait_for()
    assert typed(page) == 400.0, "it could not be moved before"
    assert page.locator(".lk-given").inner_text() == "You predicted: There."
    assert page.locator(HANDLE).get_attribute("aria-disabled") is None
