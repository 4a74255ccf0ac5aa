"""Origin marks: a letter behind each number, and the legend that explains the letters."""

from collections.abc import Iterable

from lessonkit.airplane import Number, origin_text
from lessonkit.airplane.schema import ORIGINS
from lessonkit.prints.markup import Markup, element, join
from lessonkit.words import Preferences, say, show


def mark(origin: str, preferences: Preferences) -> Markup:
    """Return the letter of an origin."""
    letter = say(f"prints.mark.{origin.replace(' ', '_')}", preferences=preferences)
    return element("span", letter, css="mark")


def legend(origins: Iterable[str], preferences: Preferences) -> Markup:
    """Return the legend of the origins that occur, in a fixed order, and of the dash."""
    found = set(origins)
    entries = [
        element("span", mark(origin, preferences), " ", origin_text(origin, preferences))
        for origin in ORIGINS
        if origin in found
    ]
    dash = say("prints.mark.dash", preferences=preferences)
    title = element("strong", say("prints.mark.title", preferences=preferences))
    return element("div", title, *entries, element("span", dash), css="legend")


def value(number: Number, preferences: Preferences, unit: bool = True) -> Markup:
    """Return a number with unit, kind of airspeed and mark; a dash where it is not stated.

    Parameters
    ----------
    number : Number
    preferences : Preferences
    unit : bool
        Write unit and kind of airspeed; without them the table names both.
    """
    if number.value is None:
        return join(say("prints.mark.none", preferences=preferences))
    text = show(number.value, number.kind, preferences, unit=unit)
    airspeed = f" {number.airspeed}" if unit and number.airspeed else ""
    return join(text, airspeed, mark(number.origin, preferences))
