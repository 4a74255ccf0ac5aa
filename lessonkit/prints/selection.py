"""Which exercises go on a sheet, as a person writes it: "1-3, 5"."""

import re
from collections.abc import Sequence
from typing import TypeVar

from lessonkit.words import Preferences, say
from lessonkit.words.preferences import STANDARD

Thing = TypeVar("Thing")
_PART = re.compile(r"(\d{1,3})(?:\s*[-\u2013]\s*(\d{1,3}))?")


def select(things: Sequence[Thing], text: str, preferences: Preferences = STANDARD) -> list[Thing]:
    """Return the chosen ones of a list, in its own order.

    Parameters
    ----------
    things : sequence
        All there are.
    text : str
        Their numbers, counted from 1, such as "1-3, 5"; all without any.
    preferences : Preferences
        Language of the error.

    Returns
    -------
    list

    Raises
    ------
    ValueError
        One sentence, for what is no such list or names a number that there is not.

    Examples
    --------
    >>> select(["a", "b", "c", "d"], "3-4, 1")
    ['a', 'c', 'd']
    """
    wanted: set[int] = set()
    for part in filter(None, re.split(r"[,;\s]+", re.sub(r"\s*[-\u2013]\s*", "-", text.strip()))):
        found = _PART.fullmatch(part)
        first = int(found[1]) if found else 0
        last = int(found[2] or first) if found else 0
        if not 1 <= first <= last <= len(things):
            raise ValueError(
                say(
                    "prints.error.exercises",
                    text=part[:20],
                    count=len(things),
                    preferences=preferences,
                )
            )
        wanted |= set(range(first, last + 1))
    return [thing for place, thing in enumerate(things, 1) if not wanted or place in wanted]
