"""What a record says about lessons: answers for the review, progress for the learner.

A record may come from another machine or a newer kit, so nothing in an event is taken on trust:
what has not the form that is looked for does not count.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from lessonkit.exercises.review import NOT_KNOWN, Attempt, LessonQuestions
from lessonkit.records import Event, EventStore, summarise


@dataclass(frozen=True)
class Progress:
    """How far the learner is in one lesson.

    Parameters
    ----------
    lesson : LessonQuestions
    answered : int
        Questions of the lesson with an answer that was checked.
    correct : int
        Those that were answered correctly at least once.
    predictions : int
        Predictions before a panel showed its result.
    drills : int
        Drills flown by hand to their end.
    """

    lesson: LessonQuestions
    answered: int
    correct: int
    predictions: int
    drills: int


def events_of(record: EventStore) -> tuple[list[Event], tuple[str, ...]]:
    """Return all events, with those that could not be saved yet, and a sentence for each oddity.

    Raises
    ------
    RecordError
        If the record cannot be read at all.
    """
    reading = record.read()
    return [*reading.events, *record.unsaved], reading.messages


def attempts_of(events: Iterable[Event]) -> list[Attempt]:
    """Return the answers among the events; "I do not know" is one of them."""
    found = []
    for event in events:
        data, time = event.data, _time_of(event)
        exercise = data.get("exercise")
        status = NOT_KNOWN if event.kind == "help" else data.get("status")
        if event.kind not in ("attempt", "help") or time is None:
            continue
        if isinstance(exercise, str) and isinstance(status, str):
            hints, seed = _whole(data.get("hints")), _whole(data.get("seed"))
            seen = data.get("solution_seen") is True
            found.append(Attempt(exercise, status, time, hints, seen, seed))
    return found


def next_seed(record: EventStore | None, exercise: str) -> int:
    """Return the first number that comes after all that the learner has had for an exercise.

    Parameters
    ----------
    record : EventStore or None
        Of the learner; None has nothing.
    exercise : str
        Key of the exercise, with its lesson.

    Returns
    -------
    int
        1 for an exercise that is new.

    Raises
    ------
    RecordError
        If the record cannot be read at all.
    """
    if record is None:
        return 1
    events, _ = events_of(record)
    seeds = [_whole(event.data.get("seed")) for event in events
             if event.data.get("exercise") == exercise]  # fmt: skip
    return max(seeds, default=0) + 1


def lessons_begun(events: Iterable[Event]) -> dict[str, datetime]:
    """Return when the learner first did something in each lesson, by the lesson's name."""
    begun: dict[str, datetime] = {}
    for event in events:
        time, name = _time_of(event), _lesson_of(event)
        if name and time is not None:
            begun[name] = min(begun.get(name, time), time)
    return begun


def progress(events: Sequence[Event], lessons: Iterable[LessonQuestions]) -> list[Progress]:
    """Return the progress in each lesson, in the order of the lessons."""
    summaries = summarise(events)
    counts = Counter((event.kind, _lesson_of(event)) for event in events)
    rows = []
    for lesson in lessons:
        own = [summaries.get(question.record_key) for question in lesson.questions]
        own = [summary for summary in own if summary and summary.attempts]
        correct = sum(summary.best_status == "correct" for summary in own)
        predictions, drills = counts["prediction", lesson.name], counts["drill", lesson.name]
        rows.append(Progress(lesson, len(own), correct, predictions, drills))
    return rows


def _lesson_of(event: Event) -> str:
    """Name of the lesson that an event belongs to; empty if it belongs to none."""
    exercise, lesson = event.data.get("exercise"), event.data.get("lesson")
    if isinstance(exercise, str):
        return exercise.partition(".")[0]
    if isinstance(lesson, str):
        return lesson[3:] if lesson[:2].isdigit() and lesson[2:3] == "_" else lesson
    return ""


def _time_of(event: Event) -> datetime | None:
    try:
        time = datetime.fromisoformat(event.time)
        return (time if time.tzinfo else time.replace(tzinfo=UTC)).astimezone(UTC)
    except (ValueError, OverflowError):  # a newer form; or a year that no clock shows
        return None


def _whole(value: object) -> int:
    """Return a count; 0 for anything else, and for what no kit would write."""
    return value if type(value) is int and 0 <= value < 1_000_000 else 0
