"""Spaced review: what comes back, when, and what never does. No clock is read."""

import random
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.exercises.review import WAITS, Attempt, review, standings

START = datetime(2026, 5, 1, 9, 0, tzinfo=UTC)
DAY = timedelta(days=1)


@dataclass(frozen=True)
class Asked:
    lesson: str
    key: str
    kind: str = "number"

    @property
    def record_key(self):
        return f"{self.lesson}.{self.key}"


GLIDE = Asked("glides", "ratio")


def done(*statuses, step=60 * DAY, question=GLIDE, **how):
    """Attempts one after the other, each long after the question is due again."""
    return [
        Attempt(question.record_key, status, START + number * step, **how)
        for number, status in enumerate(statuses)
    ]


def wait(attempts):
    """How long after the last attempt the question comes back."""
    last = max(attempt.time for attempt in attempts)
    return standings(attempts, START + 10_000 * DAY)[GLIDE.record_key].due - last


def test_success_without_help_moves_further_and_further_out():
    waits = [wait(done(*["correct"] * count)) for count in range(1, 9)]
    days = [3, 7, 14, 30, 60, 60, 60, 60]
    assert waits == [number * DAY for number in days]
    assert list(WAITS) == sorted(WAITS)


@pytest.mark.parametrize("failure", ["incorrect", "not_known"])
def test_a_failure_comes_back_soon_however_well_it_was_known(failure):
    assert wait(done("correct", "correct", "correct", failure)) == timedelta(minutes=10)
    assert wait(done(failure)) == timedelta(minutes=10)
    # And climbs again from below.
    assert wait(done("correct", "correct", failure, "correct")) == DAY


def test_help_makes_a_success_count_less():
    plain, hinted = done("correct", "correct"), done("correct", "correct")
    hinted[1] = Attempt(GLIDE.record_key, "correct", hinted[1].time, hints=1)
    copied = [hinted[0], Attempt(GLIDE.record_key, "correct", hinted[1].time, solution_seen=True)]
    assert wait(plain) > wait(hinted) == 3 * DAY > wait(copied) == DAY
    assert wait(done("correct", hints=2)) == DAY


def test_close_goes_one_box_back():
    assert wait(done("correct", "correct", "close")) == 3 * DAY
    assert wait(done("close")) == wait(done("incorrect", "close")) == DAY


def test_repeating_at_once_does_not_move_a_question_out():
    often = done(*["correct"] * 6, step=timedelta(minutes=1))
    assert standings(often, START + DAY)[GLIDE.record_key].due == START + 3 * DAY
    after_a_failure = done("incorrect", "correct", step=timedelta(minutes=1))
    standing = standings(after_a_failure, START + DAY)[GLIDE.record_key]
    assert standing.due == START + timedelta(minutes=10)
    # An early failure counts all the same.
    early = done("correct", "incorrect", step=timedelta(minutes=1))
    assert standings(early, START + DAY)[GLIDE.record_key].box == 0


@pytest.mark.parametrize("status", ["unchecked", "not_attempted", "from a newer kit", ""])
def test_what_is_no_answer_does_not_count(status):
    assert standings(done(status), START + DAY) == {}


def test_a_clock_that_was_ahead_puts_no_question_away_for_years():
    wrong = [Attempt(GLIDE.record_key, "correct", START + 4000 * DAY)]
    assert standings(wrong, START)[GLIDE.record_key].due == START + 3 * DAY


def test_due_exactly_when_it_says():
    begun = {"glides": START}
    attempts = done("correct")
    before = review([GLIDE], attempts, begun, START + 3 * DAY - timedelta(seconds=1))
    assert (before.chosen, before.count, before.next_due) == ((), 0, START + 3 * DAY)
    now = review([GLIDE], attempts, begun, START + 3 * DAY)
    assert [due.question for due in now.chosen] == [GLIDE] and now.next_due is None


def test_new_numbers_each_time():
    attempts = [
        Attempt(GLIDE.record_key, "incorrect", START, seed=4),
        Attempt(GLIDE.record_key, "incorrect", START, seed=2),
    ]
    (due,) = review([GLIDE], attempts, {}, START + DAY).chosen
    assert due.seed == 5


def test_never_a_question_of_a_lesson_that_was_not_begun():
    other = Asked("stalls", "margin")
    found = review([GLIDE, other], [], {"glides": START}, START + 99 * DAY)
    assert [due.question for due in found.chosen] == [GLIDE]
    assert review([other], [], {}, START).next_due is None


def test_an_unanswered_question_comes_a_day_after_its_lesson_and_last():
    fresh, failed = Asked("glides", "fresh", "choice"), Asked("glides", "failed")
    attempts = done("incorrect", question=failed)
    begun = {"glides": START}
    soon = review([fresh, failed], attempts, begun, START + 0.5 * DAY)
    assert [due.question for due in soon.chosen] == [failed] and soon.next_due == START + DAY
    later = review([fresh, failed], attempts, begun, START + DAY)
    assert [due.question for due in later.chosen] == [failed, fresh]


def test_mixed_over_lessons_and_kinds():
    kinds = ("number", "choice", "order")
    questions = [
        Asked(lesson, f"{kind}_{number}", kind)
        for lesson in ("glides", "stalls")
        for kind in kinds
        for number in range(4)
    ]
    attempts = [Attempt(q.record_key, "incorrect", START) for q in questions]
    chosen = [due.question for due in review(questions, attempts, {}, START + DAY).chosen]
    assert len(chosen) == 5
    lessons = [question.lesson for question in chosen]
    assert all(one != two for one, two in zip(lessons, lessons[1:], strict=False))
    assert {question.kind for question in chosen} == set(kinds)


def test_what_went_wrong_goes_before_what_went_well():
    questions = [Asked("glides", f"q{number}") for number in range(12)]
    attempts = [a for q in questions for a in done("correct", question=q)]
    attempts += done("incorrect", question=Asked("glides", "q9"))
    (first, *_) = review(questions, attempts, {}, START + 20 * DAY).chosen
    assert first.question.key == "q9"


def test_a_question_that_is_gone_is_left_out():
    assert review([], done("incorrect"), {}, START + DAY) == review([], [], {}, START)


STATUSES = st.sampled_from(["correct", "close", "incorrect", "not_known", "unchecked"])
ATTEMPTS = st.lists(
    st.builds(
        Attempt,
        exercise=st.sampled_from([f"{lesson}.q{n}" for lesson in "ab" for n in range(4)]),
        status=STATUSES,
        time=st.integers(0, 200_000).map(lambda minutes: START + timedelta(minutes=minutes)),
        hints=st.integers(0, 3),
        solution_seen=st.booleans(),
        seed=st.integers(1, 9),
    ),
    max_size=25,
)
QUESTIONS = [Asked(lesson, f"q{n}", kind) for lesson in "ab" for n, kind in enumerate("nnco")]


@settings(max_examples=60, deadline=None, derandomize=True)
@given(attempts=ATTEMPTS, minutes=st.integers(0, 200_000), begun=st.sets(st.sampled_from("ab")))
def test_order_does_not_count_and_nothing_comes_early(attempts, minutes, begun):
    now = START + timedelta(minutes=minutes)
    begun = dict.fromkeys(begun, START)
    attempts = list(dict.fromkeys(attempts))
    found = review(QUESTIONS, attempts, begun, now)
    mixed = attempts[:]
    random.Random(1).shuffle(mixed)
    assert review(QUESTIONS[::-1], mixed, begun, now) == found
    assert len(found.chosen) == min(5, found.count)
    assert len({due.question for due in found.chosen}) == len(found.chosen)
    assert all(due.standing.due <= now for due in found.chosen)
    assert found.next_due is None or found.next_due > now
    met = {attempt.exercise for attempt in attempts if attempt.status != "unchecked"}
    for due in found.chosen:
        assert due.question.record_key in met or due.question.lesson in begun
        seeds = {a.seed for a in attempts if a.exercise == due.question.record_key}
        assert due.seed not in seeds
