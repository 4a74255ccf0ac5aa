"""Places for an answer with a picture: what moves, what is typed, when something is answered."""

import dataclasses
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "exercises"))
import sample_questions as samples

import lessonkit.words.sentences as sentences
from lessonkit.exercises import Mark, check, vary
from lessonkit.panels.answer_inputs import INPUTS
from lessonkit.panels.picture_inputs import JudgeInput, MarkInput, SetInput
from lessonkit.words import Preferences

COMMA = Preferences(decimal_mark=",")


@pytest.fixture(autouse=True)
def sample_texts(tmp_path, monkeypatch):
    """Put the samples' texts beside the real ones, for one test."""
    (tmp_path / "en").mkdir()
    for file in (sentences.FOLDER / "en").glob("*.toml"):
        (tmp_path / "en" / file.name).write_text(file.read_text(encoding="utf-8"), "utf-8")
    (tmp_path / "en" / "sample.toml").write_text(samples.TEXTS, "utf-8")
    monkeypatch.setattr(sentences, "FOLDER", tmp_path)
    sentences._flat.cache_clear()
    yield
    sentences._flat.cache_clear()


def opened(question, preferences=COMMA, **changes):
    question = dataclasses.replace(question, **changes)
    item = vary(question, samples.AIRPLANE, 1, preferences)
    return item, INPUTS[question.kind](item, lambda: None)


def cross(shown):
    item = shown.scene.item("cross")
    return item["x"][0], item["y"][0]


def test_a_mark_begins_unanswered_at_its_start():
    item, shown = opened(samples.MARK)
    assert isinstance(shown, MarkInput)
    assert shown.answer == "" and cross(shown) == (-1500.0, -300.0)
    assert check(item, shown.answer).status == "not_attempted"
    assert shown.scene.item("cross_text")["text"] == "move me"
    assert "right" not in shown.scene.names()


def test_a_dragged_cross_is_typed_and_stays_inside():
    item, shown = opened(samples.MARK)
    x, y = item.answer
    shown.scene.grab("cross", x, y)
    assert shown.answer == (x, y) and check(item, shown.answer).status == "correct"
    assert shown.fields["x"].value.replace("\u00a0", " ") == "0,081 nm"
    assert shown.fields["y"].value.startswith("0,")  # left traffic is shown from zero upward
    assert shown.scene.item("cross_text")["text"] == "your mark"
    shown.scene.grab("cross", 9e9, -9e9)
    assert shown.answer == (2000.0, -1600.0) == cross(shown)


def test_a_typed_place_moves_the_cross():
    item, shown = opened(samples.MARK)
    shown.type("x", "0,5")
    assert shown.answer.startswith("Along the runway: 0,5")  # half typed: the check asks for more
    assert "Beside the runway" in check(item, shown.answer).message
    shown.type("y", "0.25 nm")
    assert shown.answer == pytest.approx((926.0, -463.0))
    assert cross(shown) == pytest.approx((926.0, -463.0), abs=2.0)
    shown.type("y", "far")
    result = check(item, shown.answer)
    assert result.status == "unchecked" and "Beside the runway" in result.message
    assert cross(shown) == (-1500.0, -300.0)


def test_a_mark_set_from_outside_and_taken_back():
    item, shown = opened(samples.MARK)
    shown.answer = item.written(item.answer)
    assert check(item, shown.answer).status == "correct"
    shown.answer = item.answer
    assert shown.answer == item.answer
    shown.answer = ""
    assert shown.answer == "" and shown.fields["x"].value == ""


def test_a_mark_along_one_direction():
    mark = Mark(start=lambda a, v: (-1500.0, -900.0), along="x")
    item, shown = opened(samples.MARK, mark=mark)
    assert list(shown.fields) == ["x"]
    shown.scene.grab("cross", 150.0, 77.0)
    assert cross(shown) == (150.0, -900.0) and check(item, shown.answer).status == "correct"
    assert shown.scene.item("cross")["grab"]["along"] == "x"
    assert shown.scene.item("cross")["grab"]["low"] == -2000.0


def test_the_right_place_is_shown_when_asked():
    item, shown = opened(samples.MARK)
    shown.reveal()
    right = shown.scene.item("right")
    assert (right["x"][0], right["y"][0]) == pytest.approx(item.answer, abs=1.0)
    assert right["role"] != shown.scene.item("cross")["role"]
    assert shown.scene.item("right_text")["text"] == "right place"


def test_a_picture_has_its_texts_units_and_alternative():
    item, shown = opened(samples.MARK)
    assert "aiming point" in shown.scene.alt
    axes = shown.scene.axes("plan")
    assert axes.x_label == "Along the runway, nm" and axes.y_unit == pytest.approx(-1852.0)
    assert "point" in [shown.scene.item(n).get("text") for n in shown.scene.names()]


def test_settings_answer_only_once_moved_and_move_the_picture():
    item, shown = opened(samples.SET)
    assert isinstance(shown, SetInput) and shown.answer == {}
    before = shown.scene.item("p0")["y"]
    control = shown.controls["height"]
    control.type("1.000 ft")
    assert shown.answer["height"] == pytest.approx(304.8) and shown.answer["delay"] == 0.0
    assert shown.scene.item("p0")["y"][0] == pytest.approx(304.8, abs=1.0)
    assert shown.scene.item("p0")["y"] != before
    names = shown.scene.view.shown["names"]
    assert any(name.startswith("Height") for name in names.values())
    control.type("much")
    assert control.error and shown.answer["height"] == pytest.approx(304.8)


def test_settings_from_outside_and_back():
    item, shown = opened(samples.SET)
    reference = item.question.reference(item.airplane, item.values)
    shown.answer = reference
    assert check(item, shown.answer).status == "correct"
    shown.answer = {}
    assert shown.answer == {} and shown.controls["delay"].value == 0.0


def test_settings_without_a_picture():
    _, shown = opened(samples.SET, picture=None)
    assert shown.scene is None
    shown.controls["delay"].slide(4.0)
    assert shown.answer["delay"] == pytest.approx(4.0)


def test_a_judgement_has_a_choice_for_each_aspect():
    item, shown = opened(samples.JUDGE)
    assert isinstance(shown, JudgeInput) and shown.answer == {}
    assert check(item, shown.answer).status == "not_attempted"
    shown.pickers["height"].value = "low"
    assert "Distance abeam" in check(item, shown.answer).message
    shown.answer = item.answer
    assert check(item, shown.answer).status == "correct"
    assert [picker.description for picker in shown.pickers.values()] == [
        "Height abeam",
        "Distance abeam",
    ]
    shown.answer = {}
    assert shown.answer == {}
