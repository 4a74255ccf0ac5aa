"""The review on the page: asked one at a time, recorded under its lesson, nothing due said so."""

import logging
from datetime import UTC, datetime, timedelta

import pytest

from lessonkit.app import open_lesson
from lessonkit.app.home import open_home
from lessonkit.panels.review import ReviewPanel, waiting_time
from lessonkit.records import EventStore
from lessonkit.records.events import new_event

LATER = datetime.now(UTC) + timedelta(days=2)


@pytest.fixture(autouse=True)
def no_error_goes_unseen(caplog):
    yield
    assert [r.message for r in caplog.records if r.levelno >= logging.WARNING] == []


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path / "home"))
    return open_home()


@pytest.fixture
def lesson(home):
    return open_lesson("00_start_here")


@pytest.fixture
def begun(home):
    """Lesson 07 with one question answered wrongly."""
    lesson = open_lesson("07_power_off_approach")
    assert lesson.exercise("glide_distance").give("90 nm").status == "incorrect"
    return lesson


def review_at(lesson, time):
    panel = ReviewPanel(
        lambda: lesson.context, lesson.context.desk.lesson_questions(), lambda: time
    )
    return panel


def right_answer(panel):
    item = panel.item
    return item.written(item.answer) if panel.question.kind == "number" else item.answer


def is_shown(widget):
    return widget.layout.display != "none"


def test_a_new_learner_reads_what_the_review_is_for_and_nothing_is_written(home, lesson):
    panel = lesson.review()
    assert "no lesson has been begun" in panel.text
    assert not is_shown(panel.begin_button) and not is_shown(panel.next_button)
    panel.begin_button.click()
    assert panel.question is None and not home.folder.exists()


def test_nothing_due_says_when(begun):
    panel = begun.review()
    assert panel.text == "Nothing is due now. The next question is due in 10 minutes."
    assert not is_shown(panel.begin_button)


def test_what_was_not_known_comes_back_soon_too(home):
    lesson = open_lesson("07_power_off_approach")
    lesson.exercise("turn_height").not_known()
    assert "due in 10 minutes" in lesson.review().text


def test_what_was_wrong_comes_back_first_with_new_numbers(begun, lesson):
    panel = review_at(lesson, LATER)
    questions = next(one.questions for one in panel._lessons if one.name == "power_off_approach")
    count = len(questions)
    assert f"{count} questions are due" in panel.text and is_shown(panel.begin_button)
    panel.begin_button.click()
    assert panel.question.question.key == "glide_distance" and panel.question.seed == 2
    assert "Question 1 of 5" in panel.text and "Power-off approach" in panel.text
    assert panel.next_button.description == "Next question"


def test_a_whole_review(begun, lesson, home):
    panel = review_at(lesson, LATER)
    panel.begin()
    asked = []
    while panel.question is not None:
        asked.append(panel.question.question)
        if len(asked) == 1:
            assert panel.question.give(right_answer(panel.question)).status == "correct"
        if len(asked) == 2:
            panel.question.not_known()
        panel.next_button.click()
    assert len(set(asked)) == 5 and len({question.kind for question in asked}) >= 3
    # "I don't know" counts as an answer; the three that were left out do not.
    assert "Review finished: 2 of 5 answered, 1 correct." in panel.text
    record = EventStore(home.records, "learner")
    events = [event for event in record.read().events if event.kind in ("attempt", "help")]
    assert {event.data["lesson"] for event in events} == {"07_power_off_approach"}
    assert [event.data["seed"] for event in events] == [1, 2, 1]


def test_every_lesson_has_the_review(home):
    from lessonkit.app.session import lesson_keys

    for key in lesson_keys():
        assert repr(open_lesson(key).review()) == "Review"


def test_another_airplane_chosen_on_this_page_is_asked_about(begun, lesson):
    panel = review_at(lesson, LATER)
    lesson.context.desk.change(card="built_in:two_seat")
    panel.begin()
    assert panel.question.context.airplane.card.name == lesson.context.airplane.card.name
    assert panel.question.context.airplane.card == lesson.context.desk.card("built_in:two_seat")


def test_another_learner_gets_another_review(begun, lesson):
    panel = review_at(lesson, LATER)
    panel.begin()
    lesson.context.desk.change(label="student 3")
    assert panel.question is None and "no lesson has been begun" in panel.text


def test_a_record_that_cannot_be_read_is_one_sentence(begun, lesson, home):
    path = EventStore(home.records, "learner").path
    path.unlink()
    path.mkdir()
    panel = review_at(lesson, LATER)
    assert panel.text.count("\n") == 0 and "not an ordinary file" in panel.text
    path.rmdir()
    panel.look_button.click()
    assert "no lesson has been begun" in panel.text


def test_hostile_events_do_not_stop_the_review(begun, lesson, home):
    path = EventStore(home.records, "learner").path
    hostile = [
        {"exercise": ["x"], "status": {}},
        {"exercise": "power_off_approach.glide_distance", "status": "correct", "seed": 10**400},
        {"exercise": "power_off_approach.glide_distance", "status": "correct", "hints": "many"},
        {"exercise": "<b>.x", "status": "correct", "lesson": 7},
    ]
    lines = [new_event("attempt", data, "2000-01-01T00:00:00+00:00").line for data in hostile]
    lines += [new_event("help", {}, time).line for time in ("0001-01-01", "9999-12-31T23:59:59")]
    with path.open("a", encoding="utf-8") as file:
        file.write("\n".join(lines) + "\n")
    panel = review_at(lesson, LATER)
    panel.begin()
    assert panel.question.seed == 2


@pytest.mark.parametrize(
    ("wait", "words"),
    [
        (timedelta(seconds=-5), "a minute"),
        (timedelta(minutes=59), "59 minutes"),
        (timedelta(minutes=59.5), "an hour"),
        (timedelta(hours=23.5), "24 hours"),
        (timedelta(hours=40), "2 days"),
        (timedelta(days=2.9), "3 days"),
    ],
)
def test_waiting_in_words(wait, words):
    assert waiting_time(wait) == words
