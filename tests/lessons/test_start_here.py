"""The start page: each choice holds at once, for all lessons, and every trouble is a sentence."""

import pytest

from lessonkit.app import open_lesson
from lessonkit.app.home import Home, open_home
from lessonkit.app.shelf import Shelf
from lessonkit.lessons.start_here.self_check import run


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path / "home"))
    return open_home()


@pytest.fixture
def panel(home):
    return open_lesson("00_start_here").panel("start")


def stored(home):
    return Home(home.folder).read()[0]


def test_each_choice_is_stored(home, panel):
    panel.airplane.value = "built_in:two_seat"
    panel.speed_unit.value = "mph"
    panel.mass_unit.value = "kg"
    panel.decimal_mark.value = ","
    panel.label.value = "  student   3 "
    panel.large.value = True
    settings = stored(home)
    assert (settings.card, settings.label, settings.presentation) == (
        "built_in:two_seat",
        "student 3",
        True,
    )
    assert (settings.speed_unit, settings.mass_unit, settings.decimal_mark) == ("mph", "kg", ",")
    assert "1,50" in panel.units_line.text
    assert panel.errors.last_error is None and panel.trouble.text == ""


def test_what_was_chosen_stands_there_at_the_next_opening(home, panel):
    panel.airplane.value = "built_in:two_seat"
    panel.label.value = "student 3"
    again = open_lesson("00_start_here").panel("start")
    assert (again.airplane.value, again.label.value) == ("built_in:two_seat", "student 3")


def test_a_label_that_is_too_long_is_one_sentence_and_the_old_one_holds(home, panel):
    panel.label.value = "student 3"
    panel.label.value = "x" * 60
    assert "at most 40" in panel.trouble.text
    assert panel.label.value == "x" * 60  # what was typed stays
    assert stored(home).label == "student 3"
    panel.label.value = "student 4"
    assert panel.trouble.text == "" and stored(home).label == "student 4"


def test_hostile_text_stays_text(home, panel):
    panel.label.value = "<img src=x onerror=alert(1)>"
    assert "<img" not in panel.label_line.widget.value
    assert "&lt;img" in panel.label_line.widget.value


def test_a_card_that_broke_meanwhile_is_one_sentence(home, panel):
    from lessonkit.airplane import built_in_cards, card_to_toml

    Shelf(home).save("Club", card_to_toml(built_in_cards()["two_seat"]))
    panel.look_again.click()
    assert "own:club" in [key for _, key in panel.airplane.options]
    (home.cards / "club.toml").write_text("")
    panel.airplane.value = "own:club"
    assert "club.toml" in panel.trouble.text and "\n" not in panel.trouble.text
    assert panel.airplane.value == "built_in:high_wing_four_seat"
    assert panel.errors.last_error is None


def test_two_windows_keep_both_choices(home):
    one = open_lesson("00_start_here").panel("start")
    other = Home(home.folder)  # as another kernel would
    one.speed_unit.value = "mph"
    other.change(label="student 5")
    one.mass_unit.value = "kg"
    settings = stored(home)
    assert (settings.speed_unit, settings.label, settings.mass_unit) == ("mph", "student 5", "kg")
    one.look_again.click()
    assert one.label.value == "student 5"


def test_a_folder_that_cannot_be_written_is_said_and_the_choice_holds(tmp_path, monkeypatch):
    (tmp_path / "blocked").write_text("")
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path / "blocked" / "home"))
    panel = open_lesson("00_start_here").panel("start")
    panel.airplane.value = "built_in:two_seat"
    assert "LESSONKIT_HOME" in panel.trouble.text and "\n" not in panel.trouble.text
    lesson = open_lesson("01_airplane_card")
    assert lesson.context.airplane.card.name in panel.airplane_line.text


def test_large_type_is_taken_over_by_the_lessons(home, panel):
    panel.large.value = True
    assert "lk-large" in panel.widget._dom_classes
    assert open_lesson("01_airplane_card").context.presentation is True


def test_the_self_check_runs_and_touches_nothing(home):
    text = run(open_lesson("00_start_here", trial=True))
    assert "student 3" in text and not home.folder.exists()
