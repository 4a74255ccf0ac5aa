"""Spaced review: which questions are due, mixed over lessons and kinds.

Pure logic on what the learner did; no clock and no record is read here. The rule is a box scheme
after S. Leitner (*So lernt man lernen*, 1972; from memory): a question that was remembered moves
to the next box, where it waits longer; one that was not goes back to the first. The waiting times
of the boxes are common practice, no source: they about double, from a day to two months. That
practice should be spaced and mixed: H. L. Roediger and J. D. Karpicke, 2006, and J. Dunlosky and
others, 2013 (both from memory).
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol

from lessonkit.exercises.result import CLOSE, CORRECT, INCORRECT

NOT_KNOWN = "not_known"  # said "I don't know"
_DAY = timedelta(days=1)
# How long a question waits in each box.
WAITS = (timedelta(minutes=10), _DAY, 3 * _DAY, 7 * _DAY, 14 * _DAY, 30 * _DAY, 60 * _DAY)
MOST = 5  # questions of one review: about ten minutes


class Asked(Protocol):
    """What a review needs to know of a question; `Question` has it."""

    lesson: str
    kind: str

    @property
    def record_key(self) -> str:
        """Key of the question in the record."""


@dataclass(frozen=True)
class LessonQuestions:
    """A lesson as review and progress see it.

    Parameters
    ----------
    key : str
        Name of the lesson's notebook without its ending.
    name : str
        Name of the lesson's folder; `Question.lesson` of its questions.
    title : str
        As the learner reads it.
    questions : tuple of Question
    """

    key: str
    name: str
    title: str
    questions: tuple[Asked, ...]


@dataclass(frozen=True)
class Attempt:
    """One answer, as the record keeps it.

    Parameters
    ----------
    exercise : str
        Key of the question in the record.
    status : str
        "correct", "close", "incorrect", or "not_known"; any other does not count.
    time : datetime
        When, with its time zone.
    hints : int
        Hints that were open for these numbers.
    solution_seen : bool
        The worked solution of these numbers was open.
    seed : int
        Which set of numbers.
    """

    exercise: str
    status: str
    time: datetime
    hints: int = 0
    solution_seen: bool = False
    seed: int = 0


@dataclass(frozen=True)
class Standing:
    """Where a question stands.

    Parameters
    ----------
    box : int
        Index into `WAITS`; -1 for a question that was never answered.
    due : datetime
        From when on it is asked again.
    """

    box: int
    due: datetime


@dataclass(frozen=True)
class Due:
    """A question of a review.

    Parameters
    ----------
    question : Question
    standing : Standing
    seed : int
        A set of numbers that the learner has not seen.
    """

    question: Asked
    standing: Standing
    seed: int


@dataclass(frozen=True)
class Review:
    """What is due.

    Parameters
    ----------
    chosen : tuple of Due
        A short mixed set, in the order in which it is asked.
    count : int
        All questions that are due, asked now or not.
    next_due : datetime or None
        When the next of the others is due; None if none waits.
    """

    chosen: tuple[Due, ...]
    count: int
    next_due: datetime | None


def standings(attempts: Iterable[Attempt], now: datetime) -> dict[str, Standing]:
    """Return where each answered question stands.

    Parameters
    ----------
    attempts : iterable of Attempt
        In any order.
    now : datetime
        A time later than this is taken for now: another machine's clock was wrong.

    Returns
    -------
    dict of str to Standing

    Notes
    -----
    The first answer: right without help, box 2; right with a hint or close, box 1; else box 0.
    Later ones, when due: right without help, one box on; right with a hint, it stays (box 1 at
    least); close, one box back (box 1 at least); wrong or not known, box 0. A right answer after
    the solution was seen is copied, not remembered: box 1 at most. An answer before the question
    is due never moves it further out: repeating it at once says little about next week.

    Examples
    --------
    >>> from datetime import UTC
    >>> day = datetime(2026, 5, 1, tzinfo=UTC)
    >>> standings([Attempt("glide", "correct", day)], day)["glide"].due.day
    4
    """
    found: dict[str, Standing] = {}
    counted = (CORRECT, CLOSE, INCORRECT, NOT_KNOWN)
    for attempt in sorted(attempts, key=_order):
        if attempt.status in counted:
            time = min(attempt.time, now)
            before = found.get(attempt.exercise)
            found[attempt.exercise] = _moved(before, attempt, time)
    return found


def review(
    questions: Iterable[Asked],
    attempts: Iterable[Attempt],
    begun: Mapping[str, datetime],
    now: datetime,
    most: int = MOST,
) -> Review:
    """Return what to ask now, and when the next question is due.

    Parameters
    ----------
    questions : iterable of Question
        Of all lessons. An answered question that is no longer among them is left out.
    attempts : iterable of Attempt
        In any order.
    begun : mapping of str to datetime
        When each lesson was begun. The questions of a lesson that was not are never asked; those
        that were not answered in one that was come a day after it was begun.
    now : datetime
        The clock.
    most : int
        Length of the set.

    Returns
    -------
    Review
    """
    attempts = list(attempts)
    known = standings(attempts, now)
    waiting: list[tuple[Standing, Asked]] = []
    for question in questions:
        standing = known.get(question.record_key)
        if standing is None and question.lesson in begun:
            standing = Standing(-1, min(begun[question.lesson], now) + _DAY)
        if standing is not None:
            waiting.append((standing, question))
    due = [pair for pair in waiting if pair[0].due <= now]
    chosen = _mixed(due, most)
    later = [standing.due for standing, _ in waiting if standing.due > now]
    seeds = _fresh_seeds(attempts)
    return Review(
        tuple(Due(q, standing, seeds.get(q.record_key, 1)) for standing, q in chosen),
        len(due),
        min(later, default=None),
    )


def _order(attempt: Attempt) -> tuple:
    # All of it, so that the order in which attempts are handed in never counts.
    return (
        attempt.time,
        attempt.exercise,
        attempt.seed,
        attempt.status,
        attempt.hints,
        attempt.solution_seen,
    )


def _moved(before: Standing | None, attempt: Attempt, time: datetime) -> Standing:
    box = _next_box(before, attempt)
    due = time + WAITS[box]
    if before is not None and time < before.due:
        box, due = min(box, before.box), min(due, before.due)
    return Standing(box, due)


def _next_box(before: Standing | None, attempt: Attempt) -> int:
    box = 1 if before is None else before.box
    if attempt.status in (INCORRECT, NOT_KNOWN):
        return 0
    if attempt.status == CLOSE:
        return max(box - 1, 1)
    if attempt.solution_seen:
        return 1
    if attempt.hints > 0:
        return max(box, 1)
    return min(box + 1, len(WAITS) - 1)


def _mixed(due: Sequence[tuple[Standing, Asked]], most: int) -> list[tuple[Standing, Asked]]:
    """Choose in turn from the lessons and kinds that were chosen least; the weakest first."""
    left = sorted(due, key=lambda pair: pair[1].record_key)
    chosen: list[tuple[Standing, Asked]] = []
    lessons: Counter[str] = Counter()
    kinds: Counter[str] = Counter()

    def rank(pair: tuple[Standing, Asked]) -> tuple:
        standing, question = pair
        seen = lessons[question.lesson], kinds[question.kind]
        return (standing.box < 0, sum(seen), *seen, standing.box, standing.due)

    while left and len(chosen) < most:
        best = min(left, key=rank)
        left.remove(best)
        chosen.append(best)
        lessons[best[1].lesson] += 1
        kinds[best[1].kind] += 1
    return chosen


def _fresh_seeds(attempts: Iterable[Attempt]) -> dict[str, int]:
    seeds: dict[str, int] = {}
    for attempt in attempts:
        seeds[attempt.exercise] = max(seeds.get(attempt.exercise, 1), attempt.seed + 1)
    return seeds
