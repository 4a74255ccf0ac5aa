"""The learner's event store; knows nobody."""

from lessonkit.records.events import EVENT_KINDS, VERSION, Event, Reading, RecordError, merge, parse
from lessonkit.records.store import EventStore
from lessonkit.records.summary import ExerciseSummary, summarise

__all__ = [
    "EVENT_KINDS",
    "VERSION",
    "Event",
    "EventStore",
    "ExerciseSummary",
    "Reading",
    "RecordError",
    "merge",
    "parse",
    "summarise",
]
