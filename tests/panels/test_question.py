"""An exercise on the page, driven without a browser: texts, events, and what is not saved."""

import logging

import ipywidgets
import pytest

from lessonkit.airplane.airplane import fit_airplane
from lessonkit.airplane.card import Card
from lessonkit.airplane.library import built_in_card
from lessonkit.exercises import kind_of, vary
from lessonkit.exercises.result import STATUSES
from lessonkit.lessons.power_off_approach.exercises import QUESTIONS
from lessonkit.panels import LessonContext
from lessonkit.panels.answer_inputs import INPUTS
from lessonkit.panels.question import QuestionPanel
from lessonkit.records import EventStore, summarise
from lessonkit.words import Preferences

BY_KEY = {question.key: question for question in QUESTIONS}
AIRPLANE = fit_airplane(built_in_card())


@pytest.fixture(autouse=True)
def no_error_goes_unseen(caplog):
    yield
    unseen = [r.message for r in caplog.records if r.levelno >= logging.WARNING]
    assert unseen == []


@pytest.fixture
def store(tmp_path):
    return EventStore(tmp_path / "records", "Student 1")


@pytest.fixture
def context(store):
    return LessonContext("07_power_off_approach", AIRPLANE, record=store)


def open_question(context, key="glide_distance", **settings):
    return QuestionPanel(context, BY_KEY[key], **settings)


def events(store, kind):
    return [event.data for event in store.read().events if event.kind == kind]


def all_widgets(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from all_widgets(child)


def html_of(panel):
    return "".join(w.value for w in all_widgets(panel.widget) if isinstance(w, ipywidgets.HTML))


def right_answer(panel):
    return kind_of(panel.question).right(panel.item)


@pytest.mark.parametrize("key", BY_KEY)
def test_right_answer_of_each_kind_is_said_and_recorded(context, store, key):
    panel = open_question(context, key)
    assert panel.item.prompt in panel.text
    panel.answer = right_answer(panel)
    result = panel.check()
    assert result.status == "correct"
    for part in ("✓ Correct", result.message, result.next_step):
        assert part in panel.text
    (attempt,) = events(store, "attempt")
    assert attempt["exercise"] == f"power_off_approach.{key}"
    assert attempt["lesson"] == "07_power_off_approach"
    assert (attempt["seed"], attempt["status"], attempt["hints"]) == (1, "correct", 0)
    assert attempt["airplane"] == AIRPLANE.card.name and len(attempt["airplane_hash"]) == 16
    assert attempt["answer"] and attempt["solution_seen"] is False
    # What is in the record is enough to ask and judge the same again.
    again = vary(panel.question, AIRPLANE, attempt["seed"])
    assert again.prompt == panel.item.prompt


@pytest.mark.parametrize("key", BY_KEY)
def test_nothing_is_written_before_an_act(context, store, key):
    panel = open_question(context, key)
    panel.new_numbers()
    assert panel.check().status == "not_attempted"
    assert "– Not answered yet" in panel.text
    assert not store.folder.exists()


def test_misconception_gets_its_reply_and_is_recorded(context, store):
    panel = open_question(context)
    wrong = dict(panel.item.wrong_numbers)["still_air"]
    panel.answer = panel.item.quantity(wrong)
    assert panel.check().reply == "still_air"
    assert "✗ Not correct" in panel.text and "still-air distance" in panel.text
    assert events(store, "attempt")[0]["reply"] == "still_air"


def test_unreadable_line_is_said_and_is_no_attempt(context, store):
    panel = open_question(context)
    panel.answer = "about two"
    assert panel.check().status == "unchecked"
    assert "? Could not be read" in panel.text
    assert events(store, "attempt") == []


def test_hints_open_one_at_a_time(context, store):
    panel = open_question(context)
    assert panel.hint_button.description == "Hint (3 left)"
    for number in (1, 2, 3):
        panel.hint_button.click()
        assert panel.hints_shown == number
        assert panel.item.hint(number) in panel.text
        if number < 3:
            assert panel.item.hint(number + 1) not in panel.text
    assert panel.hint_button.disabled and panel.hint_button.description == "No more hints"
    panel.hint()
    assert [data["number"] for data in events(store, "hint")] == [1, 2, 3]
    panel.answer = right_answer(panel)
    panel.check()
    assert events(store, "attempt")[0]["hints"] == 3


def test_i_do_not_know_opens_a_hint(context, store):
    panel = open_question(context)
    panel.not_known_button.click()
    assert panel.result.status == "not_attempted" and panel.hints_shown == 1
    assert panel.item.hint(1) in panel.text
    panel.answer = "I don't know"
    panel.check()
    assert panel.hints_shown == 2
    panel.not_known()
    panel.not_known()
    assert panel.hints_shown == 3 and panel.result.next_step == panel.item.say("next")
    assert len(events(store, "help")) == 4 and events(store, "attempt") == []


def test_solution_on_request_with_source_once_in_the_record(context, store):
    panel = open_question(context)
    assert panel.item.solution not in panel.text
    panel.solution_button.click()
    panel.show_solution()
    assert panel.item.solution in panel.text and panel.question.source in panel.text
    assert panel.item.quantity(panel.item.answer) in panel.text
    assert len(events(store, "solution")) == 1
    panel.answer = right_answer(panel)
    panel.check()
    assert events(store, "attempt")[0]["solution_seen"] is True


@pytest.mark.parametrize("key", BY_KEY)
def test_new_numbers_begin_afresh(context, key):
    panel = open_question(context, key)
    before = panel.text
    panel.answer = right_answer(panel)
    panel.check()
    panel.hint()
    panel.show_solution()
    panel.new_button.click()
    assert panel.seed == 2 and panel.result is None and panel.hints_shown == 0
    assert not panel.answer and "✓" not in panel.text and "Hint" not in panel.text
    assert panel.text != before
    panel.answer = right_answer(panel)
    assert panel.check().status == "correct"


def test_same_seed_same_panel(context):
    assert open_question(context, seed=7).text == open_question(context, seed=7).text
    assert open_question(context, seed=7).text != open_question(context, seed=8).text


def test_enter_checks(context):
    panel = open_question(context)
    panel.answer = right_answer(panel)
    field = panel._input.field
    field._handle_custom_msg({"event": "submit"}, [])
    assert panel.result.status == "correct"


def test_order_by_dropdown_and_by_buttons(context):
    panel = open_question(context, "abeam_to_touchdown")
    places, shown = panel._input.places, list(panel.item.option_keys)
    assert [place.value for place in places] == shown and panel.answer == ()
    # A step chosen for a place changes places with the one that was there.
    places[0].value = shown[3]
    assert panel.answer == (shown[3], *shown[1:3], shown[0], *shown[4:])
    panel._input.down_buttons[0].click()
    assert panel.answer[:2] == (shown[1], shown[3])
    panel._input.up_buttons[1].click()
    assert panel.answer[:2] == (shown[3], shown[1])
    assert panel._input.up_buttons[0].disabled and panel._input.down_buttons[-1].disabled
    for place, key in zip(places, panel.item.answer, strict=True):
        place.value = key
    assert panel.check().status == "correct"
    with pytest.raises(ValueError):
        panel.answer = shown[:2]


def test_choice_by_radio_buttons(context):
    panel = open_question(context, "slow_on_final")
    assert panel._input.picker.value is None
    letters = [text[:2] for text, _ in panel._input.picker.options]
    assert letters == ["A.", "B.", "C.", "D."]
    panel._input.picker.value = "raise"
    assert panel.check().reply == "stretch"


def test_not_saved_is_visible_and_can_be_saved_later(tmp_path):
    place = tmp_path / "records"
    place.write_text("in the way")
    store = EventStore(place, "Student 1")
    panel = open_question(LessonContext("lesson", AIRPLANE, record=store))
    panel.answer = right_answer(panel)
    assert panel.check().status == "correct" and "✓ Correct" in panel.text
    assert "Not saved (1)" in panel.unsaved_text and str(place) in panel.unsaved_text
    assert panel.save_button.layout.display is None
    panel.save_button.click()
    assert "Not saved (1)" in panel.unsaved_text
    panel.hint()
    assert "Not saved (2)" in panel.unsaved_text
    place.unlink()
    panel.save_button.click()
    assert panel.unsaved_text == "Saved." and panel.save_button.layout.display == "none"
    assert len(events(store, "attempt")) == len(events(store, "hint")) == 1
    panel.check()
    assert panel.unsaved_text == ""


def test_without_a_record_everything_still_works():
    panel = open_question(LessonContext("lesson", AIRPLANE))
    panel.answer = right_answer(panel)
    assert panel.check().status == "correct"
    panel.not_known()
    assert panel.unsaved_text == ""


def test_record_sums_up(context, store):
    panel = open_question(context)
    assert panel.give("0.1 nm").status == "incorrect"
    panel.hint()
    panel.answer = right_answer(panel)
    panel.check()
    summary = summarise(store.read().events)["power_off_approach.glide_distance"]
    assert (summary.attempts, summary.hints) == (2, 1)
    assert (summary.best_status, summary.correct_seeds) == ("correct", (1,))


def test_learners_units_and_marks(store):
    preferences = Preferences(speed_unit="mph", decimal_mark=",")
    panel = open_question(LessonContext("lesson", AIRPLANE, None, preferences, store))
    assert "mph" in panel.text and "," in panel.item.quantity(panel.item.answer)
    panel.answer = right_answer(panel)
    assert panel.check().status == "correct"


def test_hostile_names_and_answers_are_text(store):
    hostile = '<img src=x onerror="alert(1)"> $\\frac{1}{2}$ {prompt}'
    airplane = fit_airplane(Card({**built_in_card().entries, "airplane.name": hostile}))
    panel = open_question(LessonContext("lesson", airplane, record=store))
    panel.answer = "<script>alert(1)</script>"
    panel.check()
    page = html_of(panel)
    assert "<img" not in page and "<script" not in page and "$" not in page
    assert "&lt;img" in page and "{prompt}" in page


def test_status_is_never_colour_alone_and_speaks(context):
    panel = open_question(context)
    panel.answer = right_answer(panel)
    panel.check()
    assert 'role="status"' in html_of(panel) and "✓ Correct" in html_of(panel)
    classes = [name for name in panel._result_box._dom_classes if name.startswith("lk-x-")]
    assert sorted(classes) == ["lk-x-correct", "lk-x-result"]
    panel.answer = ""
    panel.check()
    assert sum(f"lk-x-{status}" in panel._result_box._dom_classes for status in STATUSES) == 1


def test_presentation_is_large(store):
    panel = open_question(LessonContext("lesson", AIRPLANE, record=store, presentation=True))
    assert "lk-large" in panel.widget._dom_classes


def test_every_kind_has_an_input():
    assert {question.kind for question in QUESTIONS} <= set(INPUTS)


def test_the_name_in_a_notebook_is_constant(context):
    assert repr(open_question(context)) == "Exercise glide_distance"


def test_an_airplane_that_gives_no_numbers_is_one_sentence(context, monkeypatch, caplog):
    def too_windy(airplane, values):
        raise ValueError("The wind is stronger than the airspeed: lower it.")

    import dataclasses

    monkeypatch.delenv("LESSONKIT_STRICT", raising=False)
    question = dataclasses.replace(BY_KEY["glide_distance"], answer=too_windy)
    panel = QuestionPanel(context, question)
    assert panel.error == "The wind is stronger than the airspeed: lower it."
    assert panel.check_button.disabled
    assert panel.check() is None and panel.not_known() is None and panel.hint() == ""
    assert panel.show_solution() == ""
    panel.new_numbers()
    assert panel.error
    caplog.clear()
