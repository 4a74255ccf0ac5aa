"""The whole way of a pilot with a handbook: type the card by keyboard, save it, fly lesson 07."""

import re

import pytest
from in_browser import open_lesson, wait_for
from kit_server import Kit

pytestmark = pytest.mark.browser

# In the order in which Tab walks through the needed lines; None leaves a line as it is. The
# figures are those of the published trainer of the lesson's self-check.
TYPED = [
    "Club trainer",
    "high",
    "CAS",
    None,
    None,
    None,
    "2,400",
    "174 kt",  # a slip, corrected below
    "35,83",
    "46",
    "52",
    None,  # the box for speeds of another kind
    "0 10 20 30",
    "71.8",
    "10.6",
]


@pytest.fixture
def own_kit(tmp_path):
    kit = Kit(tmp_path)
    yield kit
    kit.stop()


def line(page, label):
    return page.get_by_label(re.compile("^" + re.escape(label)))


def expect_text(page, css, text):
    page.locator(f".{css}", has_text=text).first.wait_for(timeout=20_000)


def test_a_card_typed_by_keyboard_is_flown_in_lesson_07(page, own_kit):
    open_lesson(page, own_kit, "00_start_here")
    page.get_by_role("link", name="Airplane card").first.click()
    page.wait_for_url("**/01_airplane_card.ipynb*")
    page.locator("h3.lk-f-heading", has_text="1. Begin").wait_for(timeout=90_000)
    wait_for(page, "live")

    line(page, "Name of the airplane").focus()
    for text in TYPED:
        if text is not None:
            page.keyboard.type(text)
        page.keyboard.press("Tab")
    expect_text(page, "lk-f-error", "Wing area is an area and cannot be in kt")
    assert page.locator(".jp-Dialog").count() == 0  # no letter reached the notebook's shortcuts

    save = page.get_by_role("button", name="Save and use this card")
    save.focus()
    page.keyboard.press("Enter")
    expect_text(page, "lk-f-bad", "One line needs correcting")
    assert line(page, "Wing span").input_value() == "35,83"  # what was typed stays

    line(page, "Wing area").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("174")
    page.keyboard.press("Tab")
    save.focus()
    page.keyboard.press("Enter")
    expect_text(page, "lk-f-good", "Saved. All lessons now use Club trainer.")
    expect_text(page, "lk-sentence", "ratio 10.6")

    open_lesson(page, own_kit, "07_power_off_approach")
    expect_text(page, "lk-f-plain", "Airplane: Club trainer (your card), weight today 2,400")


def test_what_was_typed_is_back_after_the_page_was_closed(page, own_kit):
    open_lesson(page, own_kit, "01_airplane_card")
    line(page, "Name of the airplane").fill("Half a card")
    page.keyboard.press("Tab")
    line(page, "Maximum weight").fill("2,3")
    page.keyboard.press("Tab")
    expect_text(page, "lk-f-error", "Maximum weight")
    page.reload()
    wait_for(page, "live")
    expect_text(page, "lk-f-plain", "What you typed last time is back")
    assert line(page, "Name of the airplane").input_value() == "Half a card"
    assert line(page, "Maximum weight").input_value() == "2,3"
