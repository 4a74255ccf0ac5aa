"""Exercises with pictures in a real page: drag, keys, typing, the list, two pictures at once."""

import json
from pathlib import Path

import pytest
from kit_server import Kit, copy_of_lessons
from test_scene_in_page import CELL, HANDLE, middle, notebook, run_cells

pytestmark = pytest.mark.browser

FIELDS = ".lk-x-typed input"
CROSS = f"{HANDLE}[aria-label='Your mark']"


@pytest.fixture(scope="module")
def exercise_kit(tmp_path_factory):
    """The kit with a notebook that shows a panel with a picture, and exercises below it."""
    folder = tmp_path_factory.mktemp("exercise")
    lessons = copy_of_lessons(folder / "lessons")
    path = lessons / "exercises.ipynb"
    notebook(path, False)
    whole = json.loads(path.read_text(encoding="utf-8"))
    (panel,) = whole["cells"]
    assert panel["source"] == CELL.format(folder=str(Path(__file__).parent), prediction=False)
    deck = {**panel, "id": "two", "source": "import exercise_panel; exercise_panel.build()"}
    whole["cells"].append(deck)
    path.write_text(json.dumps(whole), encoding="utf-8")
    kit = Kit(folder / "run", notebooks=lessons)
    yield kit
    kit.stop()


@pytest.fixture
def deck(page, exercise_kit):
    run_cells(page, exercise_kit, "exercises")
    page.wait_for_selector(CROSS, timeout=30_000)
    page.locator(".lk-deck").scroll_into_view_if_needed()
    page.wait_for_timeout(700)
    return page


def typed(page):
    return [page.locator(FIELDS).nth(place).input_value() for place in range(2)]


def check(page, status):
    page.locator(".lk-x .lk-primary").click()
    page.wait_for_function(
        "text => document.querySelector('.lk-x-status')?.textContent.includes(text)", arg=status
    )
    return page.locator(".lk-x-message").inner_text()


def test_mark_by_keys_drag_and_typing_then_the_other_kinds(deck):
    page = deck
    # Nothing is answered before the cross was moved.
    check(page, "Not answered yet")
    page.locator(CROSS).focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function(f"() => document.querySelector('{FIELDS}').value !== ''")
    by_key = typed(page)
    page.keyboard.press("ArrowUp")  # up on the page: farther from the runway in left traffic
    page.wait_for_function(
        f"old => document.querySelectorAll('{FIELDS}')[1].value !== old", arg=by_key[1]
    )
    assert float(typed(page)[1].split("\u00a0")[0]) > float(by_key[1].split("\u00a0")[0])
    # Dragged by the mouse, it follows to the right.
    x, y = middle(page, f"{CROSS} .lk-disc")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 80, y, steps=4)
    page.mouse.up()
    page.wait_for_function(
        f"old => document.querySelector('{FIELDS}').value !== old", arg=by_key[0]
    )
    page.wait_for_timeout(300)
    assert float(typed(page)[0].split("\u00a0")[0].replace("\u2212", "-")) > -0.8
    check(page, "Not correct")
    # Typed: the cross goes there, and it is right.
    distance = page.locator(".lk-x .lk-question").inner_text().split("downwind ")[1].split()[0]
    for place, number in enumerate(("492 ft", f"{distance} nm")):
        page.locator(FIELDS).nth(place).fill(number)
        page.keyboard.press("Tab")
    check(page, "Correct")
    assert page.get_by_text("right place").count() == 1
    # Both pictures of the page keep their own frames.
    ids = page.eval_on_selector_all("clipPath", "found => found.map(one => one.id)")
    assert len(set(ids)) == len(ids) >= 2
    # The list says what is done and leads on, by keyboard.
    assert "correct" in page.locator(".lk-deck-list option").nth(0).inner_text()
    page.locator(".lk-deck-list select").focus()
    page.keyboard.press("ArrowDown")
    page.wait_for_selector(".lk-x .lk-control", timeout=15_000)
    page.locator(".lk-x .noUi-handle").first.focus()
    page.keyboard.press("ArrowRight")
    check(page, "Not correct")
    page.locator(".lk-deck-list select").focus()
    page.keyboard.press("ArrowDown")
    page.wait_for_selector(".lk-x-aspect input", timeout=15_000)
    page.locator(".lk-x-aspect input").first.focus()
    page.keyboard.press("Space")
    page.locator(".lk-x .lk-primary").click()
    page.wait_for_function(
        "() => document.querySelector('.lk-x-message')?.textContent.includes('Not judged yet')"
    )
