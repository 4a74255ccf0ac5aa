"""What a panel knows of the lesson and the learner it is shown to."""

from dataclasses import dataclass, field
from typing import Any

from lessonkit.words import Preferences


@dataclass(frozen=True)
class LessonContext:
    """Everything a panel is built from.

    Parameters
    ----------
    lesson : str
        Name of the lesson's notebook without its ending.
    airplane : object
        The fitted airplane of the chosen card.
    airfield : object
        The airfield of the lesson.
    preferences : Preferences
        Units, decimal mark and language of the learner.
    record : object or None
        Event store with ``append(kind, data)``; None writes nothing.
    presentation : bool
        Start in large type.
    desk : object or None
        What the start and card panels change: the chosen card, units, label, own cards.
    """

    lesson: str
    airplane: Any = None
    airfield: Any = None
    preferences: Preferences = field(default_factory=Preferences)
    record: Any = None
    presentation: bool = False
    desk: Any = None
