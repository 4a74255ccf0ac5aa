"""One exercise at a time: the list, what is kept, which numbers come first."""

import ipywidgets
import pytest

from lessonkit.airplane.airplane import fit_airplane
from lessonkit.airplane.library import built_in_card
from lessonkit.exercises import kind_of
from lessonkit.lessons.power_off_approach.exercises import QUESTIONS
from lessonkit.panels import LessonContext
from lessonkit.panels.deck import ExerciseDeck
from lessonkit.panels.question import QuestionPanel
from lessonkit.records import EventStore

AIRPLANE = fit_airplane(built_in_card())
BY_KEY = {question.key: question for question in QUESTIONS}
CHOSEN = [BY_KEY[k] for k in ("glide_distance", "slow_on_final", "abeam_to_touchdown")]


@pytest.fixture
def context(tmp_path):
    record = EventStore(tmp_path / "records", "Student 1")
    return LessonContext("07_power_off_approach", AIRPLANE, record=record)


def right(panel):
    return kind_of(panel.question).right(panel.item)


def test_a_list_with_titles_and_what_is_done(context):
    deck = ExerciseDeck(context, CHOSEN)
    assert deck.lines[0] == "1. How far the glide carries – not answered"
    assert len(deck.lines) == 3 and all("not answered" in line for line in deck.lines)
    assert deck.question.question is CHOSEN[0] and "0 of 3" in deck.text
    deck.question.give(right(deck.question))
    assert deck.lines[0].endswith("✓ correct") and "1 of 3 answered, 1 correct" in deck.text
    deck.next()
    deck.question.give(next(o for o in CHOSEN[1].options if o != deck.question.item.answer))
    assert deck.lines[1].endswith("✗ not correct")
    assert "2 of 3 answered, 1 correct" in deck.text
    # The record has it: the same learner comes back to the first one that is left.
    again = ExerciseDeck(context, CHOSEN)
    assert again.lines == deck.lines and again.place == 2


def test_help_and_blank_are_no_answer(context):
    deck = ExerciseDeck(context, CHOSEN)
    deck.question.check()
    deck.question.not_known()
    deck.question.hint()
    assert "not answered" in deck.lines[0]


def test_previous_next_and_the_list(context):
    deck = ExerciseDeck(context, CHOSEN)
    assert deck.previous_button.disabled and not deck.next_button.disabled
    deck.next()
    deck.next()
    assert deck.place == 2 and deck.next_button.disabled
    deck.next()
    assert deck.place == 2
    deck.picker.value = 0
    assert deck.place == 0 and deck.question.question is CHOSEN[0]
    assert deck.picker.value == 0
    with pytest.raises(IndexError):
        deck.show(3)


def test_only_the_shown_exercise_has_widgets(context):
    def count():
        return len(ipywidgets.widgets.widget._instances)

    deck = ExerciseDeck(context, CHOSEN)
    first = count()
    for _ in range(4):
        deck.show(1)
        deck.show(2)
        deck.show(0)
    assert count() == first


def test_what_was_begun_is_kept(context):
    deck = ExerciseDeck(context, CHOSEN)
    deck.question.new_numbers()
    deck.question.hint()
    deck.question.answer = "1 nm"
    prompt, events = deck.question.item.prompt, len(context.record.read().events)
    deck.next()
    deck.previous()
    panel = deck.question
    assert (panel.seed, panel.hints_shown, panel.answer) == (2, 1, "1 nm")
    assert panel.item.prompt == prompt and "Hint 1" in panel.text
    assert len(context.record.read().events) == events  # going on writes nothing
    panel.give(right(panel))
    panel.show_solution()
    deck.next()
    deck.previous()
    assert "✓ Correct" in deck.question.text and "Worked solution" in deck.question.text


def test_numbers_begin_where_the_record_ends(context):
    panel = QuestionPanel(context, CHOSEN[0])
    assert panel.seed == 1
    panel.give(right(panel))
    assert QuestionPanel(context, CHOSEN[0]).seed == 2
    assert QuestionPanel(context, CHOSEN[1]).seed == 1
    assert QuestionPanel(context, CHOSEN[0], seed=1).seed == 1
    skipped = QuestionPanel(context, CHOSEN[0])
    skipped.new_numbers()
    skipped.new_numbers()
    skipped.hint()  # what was seen with help counts too
    assert QuestionPanel(context, CHOSEN[0]).seed == 5
    alone = LessonContext("07_power_off_approach", AIRPLANE)
    assert QuestionPanel(alone, CHOSEN[0]).seed == 1


def test_a_record_that_cannot_be_read_is_said(context, monkeypatch):
    from lessonkit.records import RecordError

    def broken():
        raise RecordError("The record cannot be read: ask for a copy.")

    monkeypatch.setattr(context.record, "read", broken)
    deck = ExerciseDeck(context, CHOSEN)
    assert "cannot be read" in deck.text
    assert deck.question.seed == 1 and deck.question.item is not None


def test_a_lesson_without_exercises(context):
    deck = ExerciseDeck(context, [])
    assert deck.question is None and "no exercises" in str(
        [child.value for child in deck.widget.children[1].children if hasattr(child, "value")]
    )


def test_each_exercise_brings_its_looks(context):
    panel = QuestionPanel(context, CHOSEN[0])
    styles = [w.value for w in panel.widget.children if "<style>" in getattr(w, "value", "")]
    assert len(styles) == 1 and ".lk-x-result" in styles[0] and ".lk-panel" in styles[0]
