"""The prints of a lesson on the page: chosen, made, saved, and never stale."""

import base64
import re

import pytest
from print_reading import assert_harmless

from lessonkit.airplane import card_from_tables, card_to_tables, fit_airplane
from lessonkit.app import open_lesson
from lessonkit.app.print_choice import OF_EXERCISES, PRINTS, PrintChoice
from lessonkit.words import Preferences


@pytest.fixture
def lesson(tmp_path, monkeypatch):
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path))
    return open_lesson("07_power_off_approach")


@pytest.fixture
def panel(lesson):
    """The panel, with two exercises chosen so that it works fast."""
    panel = lesson.prints().shown
    panel.exercises.value = "1-2"
    return panel


def made(panel, what):
    panel.what.value = what
    panel.button.click()
    assert panel.errors.text == ""
    return panel.html


def link(panel):
    """Return file name and content of the link."""
    value = panel.made.children[0].value
    name = re.search(r'download="([^"]*)"', value)[1]
    data = re.search(r"base64,([^\"]*)", value)[1]
    return name, base64.b64decode(data).decode("utf-8")


@pytest.mark.parametrize("what", PRINTS)
def test_each_print_is_made_and_offered(panel, what):
    html = made(panel, what)
    assert assert_harmless(html)
    name, content = link(panel)
    assert content == html
    assert re.fullmatch(rf"{what}-[a-z0-9-]+-letter\.html", name)
    assert "Ctrl-P" in panel.text
    preview = panel.made.children[1].value
    assert 'sandbox=""' in preview and "<script" not in preview


@pytest.mark.parametrize("control", ["what", "paper", "seed", "exercises"])
def test_a_print_that_is_no_longer_chosen_is_taken_away(panel, control):
    made(panel, "sheet")
    changed = {"what": "key", "paper": "A4", "seed": 9, "exercises": "1"}
    getattr(panel, control).value = changed[control]
    assert panel.html == "" and panel.made.children == ()


def test_seed_and_exercises_are_asked_only_for_exercises(panel):
    for what in PRINTS:
        panel.what.value = what
        assert (panel.exercise_box.layout.display is None) == (what in OF_EXERCISES)


def test_seed_and_choice_of_exercises_reach_sheet_and_key(panel):
    panel.what.value = "sheet"
    panel.seed.value, panel.exercises.value = 11, "2"
    sheet, key = (assert_harmless(made(panel, what)) for what in ("sheet", "key"))
    for read in (sheet, key):
        assert "Sheet 11" in read.text
        assert read.tags.count("article") == 1


def test_wrong_choice_of_exercises_is_one_sentence(panel):
    panel.what.value = "sheet"
    panel.exercises.value = "99"
    panel.button.click()
    assert panel.html == ""
    assert panel.said.text.startswith("The exercises cannot be chosen by “99”")


def test_paper_is_kept_for_all_lessons(panel, lesson):
    panel.paper.value = "A4"
    assert "297mm" in made(panel, "numbers")
    again = open_lesson("07_power_off_approach")
    assert again.prints().paper.value == "A4"
    assert lesson.context.preferences.paper == "A4"


def test_print_follows_the_chosen_airplane_and_units(panel, lesson):
    before = made(panel, "numbers")
    lesson.context.desk.change(card="built_in:two_seat", speed_unit="mph")
    after = made(panel, "numbers")
    assert "mph" in after and "mph" not in before
    assert lesson.context.airplane.name in after


def test_lesson_without_exercises_offers_no_sheet(tmp_path, monkeypatch):
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path))
    panel = open_lesson("00_start_here").prints()
    assert {what for _, what in panel.what.options}.isdisjoint(OF_EXERCISES)


def test_name_of_the_file_is_never_a_path(lesson):
    tables = card_to_tables(lesson.context.airplane.card)
    tables["airplane"]["name"] = "../../etc/<x>"
    hostile = fit_airplane(card_from_tables(tables))
    choice = PrintChoice("key", hostile, Preferences(), seed=3)
    assert choice.file_name == "key-etc-x-3-letter.html"


def test_panel_shows_the_same_text_everywhere(panel):
    assert repr(panel) == "Panel prints"
