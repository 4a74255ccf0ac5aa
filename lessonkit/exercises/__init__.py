"""Questions as data, checks, feedback, variation."""

from lessonkit.exercises.check import check, is_not_known
from lessonkit.exercises.kinds import KINDS, AnswerKind, kind_of, register
from lessonkit.exercises.memory import remembered
from lessonkit.exercises.question import (
    LEVELS,
    Aspect,
    Fact,
    Mark,
    Misconception,
    Phrase,
    Question,
    Setting,
    Tolerance,
    Variable,
)
from lessonkit.exercises.result import STATUSES, Result
from lessonkit.exercises.validate import problems_of
from lessonkit.exercises.vary import Item, fingerprint, vary

__all__ = [
    "KINDS",
    "LEVELS",
    "STATUSES",
    "AnswerKind",
    "Aspect",
    "Fact",
    "Item",
    "Mark",
    "Misconception",
    "Phrase",
    "Question",
    "Result",
    "Setting",
    "Tolerance",
    "Variable",
    "check",
    "fingerprint",
    "is_not_known",
    "kind_of",
    "problems_of",
    "register",
    "remembered",
    "vary",
]
