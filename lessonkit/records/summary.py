"""What a record says about each exercise."""

from collections.abc import Iterable
from dataclasses import dataclass

from lessonkit.records.events import Event

# From worst to best; what is not in the list (unchecked, or a newer status) ranks below.
_RANK = {"incorrect": 1, "close": 2, "correct": 3}


@dataclass(frozen=True)
class ExerciseSummary:
    """One learner and one exercise.

    Parameters
    ----------
    exercise : str
        Key of the exercise, with its lesson.
    attempts : int
        Answers that were checked.
    hints : int
        Hints that were opened, in all.
    helps : int
        How often the learner said "I do not know".
    solutions : int
        How often the worked solution was opened.
    best_status, last_status : str or None
        None before the first answer.
    first_time, last_time : str or None
        When the first and the last answer came, ISO 8601 in UTC.
    correct_seeds : tuple of int
        Seeds of the numbers that were answered correctly.
    """

    exercise: str
    attempts: int = 0
    hints: int = 0
    helps: int = 0
    solutions: int = 0
    best_status: str | None = None
    last_status: str | None = None
    first_time: str | None = None
    last_time: str | None = None
    correct_seeds: tuple[int, ...] = ()


def summarise(events: Iterable[Event]) -> dict[str, ExerciseSummary]:
    """Return a summary for each exercise that the events name.

    Parameters
    ----------
    events : iterable of Event
        Oldest first, as ``EventStore.read`` gives them.

    Returns
    -------
    dict of str to ExerciseSummary
        Events without an exercise, and kinds that are not known here, do not count.

    Examples
    --------
    >>> from lessonkit.records.events import new_event
    >>> events = [
    ...     new_event("attempt", {"exercise": "glide", "status": status})
    ...     for status in ("close", "correct", "incorrect")
    ... ]
    >>> glide = summarise(events)["glide"]
    >>> glide.attempts, glide.best_status, glide.last_status
    (3, 'correct', 'incorrect')
    """
    by_exercise: dict[str, list[Event]] = {}
    for event in events:
        exercise = event.data.get("exercise")
        if isinstance(exercise, str) and event.kind in ("attempt", "hint", "help", "solution"):
            by_exercise.setdefault(exercise, []).append(event)
    return {exercise: _summary(exercise, own) for exercise, own in by_exercise.items()}


def _summary(exercise: str, events: list[Event]) -> ExerciseSummary:
    attempts = [
        event
        for event in events
        if event.kind == "attempt" and isinstance(event.data.get("status"), str)
    ]
    statuses = [str(event.data["status"]) for event in attempts]
    seeds = [event.data.get("seed") for event in attempts if event.data["status"] == "correct"]
    return ExerciseSummary(
        exercise,
        attempts=len(attempts),
        hints=sum(event.kind == "hint" for event in events),
        helps=sum(event.kind == "help" for event in events),
        solutions=sum(event.kind == "solution" for event in events),
        best_status=max(statuses, key=lambda status: _RANK.get(status, 0), default=None),
        last_status=statuses[-1] if statuses else None,
        first_time=attempts[0].time if attempts else None,
        last_time=attempts[-1].time if attempts else None,
        correct_seeds=tuple(dict.fromkeys(seed for seed in seeds if type(seed) is int)),
    )
