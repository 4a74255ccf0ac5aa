"""What `list` says of each lesson."""

import importlib

import pytest

from lessonkit.app.catalogue import describe_question, lesson_list, panel_keys
from lessonkit.app.places import lesson_files, lesson_name

LESSONS = {lesson["key"]: lesson for lesson in lesson_list()}


def test_every_notebook_is_listed_in_order():
    assert list(LESSONS) == [path.stem for path in lesson_files()]


@pytest.mark.parametrize("key", LESSONS)
def test_each_lesson_has_title_minutes_and_panels(key):
    lesson = LESSONS[key]
    module = importlib.import_module(f"lessonkit.lessons.{lesson_name(key)}.panels")

    assert lesson["title"] and lesson["objective"]
    assert lesson["minutes"] > 0
    assert lesson["panels"] == list(module.PANELS)


@pytest.mark.parametrize("key", LESSONS)
def test_each_exercise_has_hints_misconceptions_and_source(key):
    module = importlib.import_module(f"lessonkit.lessons.{lesson_name(key)}.exercises")
    listed = LESSONS[key]["exercises"]

    assert [one["key"] for one in listed] == [question.key for question in module.QUESTIONS]
    for one in listed:
        assert one["kind"] and one["prompt"] and one["source"]
        assert one["hints"] and all(isinstance(hint, str) and " " in hint for hint in one["hints"])
        for misconception in one["misconceptions"]:
            assert misconception["key"] and " " in misconception["reply"]


def test_panels_are_read_from_any_form_of_the_table(tmp_path, monkeypatch):
    monkeypatch.setattr("lessonkit.app.catalogue.LESSONS_FOLDER", tmp_path)
    (tmp_path / "glide").mkdir()
    panels = tmp_path / "glide" / "panels.py"

    panels.write_text("import nothing_that_exists\nPANELS: dict = {'a': 1, 'b': 2}\n")
    assert panel_keys("glide") == ["a", "b"]
    panels.write_text("PANELS = {}\n")
    assert panel_keys("glide") == []


def test_lesson_without_a_table_is_named(tmp_path, monkeypatch):
    from lessonkit.app.catalogue import CatalogueTrouble

    monkeypatch.setattr("lessonkit.app.catalogue.LESSONS_FOLDER", tmp_path)
    (tmp_path / "glide").mkdir()
    (tmp_path / "glide" / "panels.py").write_text("x = 1\n")

    with pytest.raises(CatalogueTrouble, match="glide"):
        panel_keys("glide")


def test_describing_asks_the_question_itself():
    from lessonkit.lessons.power_off_approach.exercises import QUESTIONS

    described = describe_question(QUESTIONS[0])
    assert described["key"] == QUESTIONS[0].key
    assert len(described["hints"]) == len(QUESTIONS[0].hints)
