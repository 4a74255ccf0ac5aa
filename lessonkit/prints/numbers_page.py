"""The numbers page: all numbers of an airplane on one sheet, each with the mark of its origin."""

import re
from collections.abc import Callable, Sequence

from lessonkit.airplane import Airplane, Number, numbers
from lessonkit.airplane.number_page import REACTION_DELAY, RESERVE
from lessonkit.prints.marks import legend, value
from lessonkit.prints.markup import Markup, element, join, table
from lessonkit.prints.shell import Head, document
from lessonkit.units import mps_from_kt
from lessonkit.words import Preferences, say, show

# Keys of the numbers that stand in a table: its rows and columns are parts of the key.
_STALL = r"stall_(?P<row>\w+_flap_[\d.]+)_bank_(?P<column>[\d.]+)"
_WIND = r"crosswind_(?P<column>[\d.]+)_at_(?P<row>[\d.]+)"
_TURN = r"turn_(?P<column>height|reserve|total)_(?P<row>[\d.]+_bank_[\d.]+)"
_OF_ONE_BANK = r"turn_(?P<column>margin|roll)_bank_(?P<row>[\d.]+)"
_TURN_COLUMNS = ("height", "roll", "delay", "reserve", "total", "margin")
_WIDE = ("stall", "turn")  # groups whose table takes the whole width

Name = Callable[[str], str]


def numbers_page(
    airplane: Airplane,
    preferences: Preferences | None = None,
    paper: str = "",
    dated: str = "",
) -> str:
    """Return the numbers page as a whole HTML text.

    Parameters
    ----------
    airplane : Airplane
    preferences : Preferences, optional
        Units, decimal mark, language; the card's own units without it.
    paper : {"letter", "A4"}
        The one of the preferences without it.
    dated : str
        The date; a line to write it on without one.

    Returns
    -------
    str
    """
    preferences = preferences or airplane.card.preferences()
    page = numbers(airplane, preferences)
    made = {
        group: _section(airplane, group, [one for one in page if one.group == group], preferences)
        for group in dict.fromkeys(number.group for number in page)
    }
    title = say("prints.numbers.title", preferences=preferences)
    narrow = [section for group, section in made.items() if group not in _WIDE]
    return document(
        Head(title, (airplane.name,), dated),
        _top(airplane, preferences),
        *(made[group] for group in _WIDE if group in made),
        element("div", *narrow, css="columns"),
        legend((number.origin for number in page), preferences),
        paper=paper,
        preferences=preferences,
    )


def _top(airplane, preferences):
    today = say(
        "card.text.today",
        mass=show(airplane.mass_today, "mass", preferences),
        max=show(airplane.card.value("weights.max"), "mass", preferences),
        preferences=preferences,
    )
    dial = "card.text.dial" if airplane.shown_speed(30.0)[1] == "IAS" else "card.text.no_dial"
    air = say("prints.numbers.air", preferences=preferences)
    return element("p", today, " ", say(dial, preferences=preferences), " ", air)


def _section(airplane, group, found, preferences):
    """Return heading, table and list of one group; what fits no table stands in the list."""
    heading = element("h2", say(f"card.numbers.{group}", preferences=preferences))
    make = {"stall": _stall_table, "wind": _wind_table, "turn": _turn_table}.get(group)
    shown, used = make(airplane, found, preferences) if make else (None, set())
    left = [number for number in found if number.key not in used]
    return element("section", heading, shown, _list(left, preferences) if left else None)


def _list(found, preferences):
    rows = [(number.label, value(number, preferences)) for number in found]
    return table((), rows, css="numbers wide-first")


def _cells(found, pattern):
    """Return the numbers whose key follows the pattern, by row and column."""
    matches = ((number, re.fullmatch(pattern, number.key)) for number in found)
    return {(one["row"], one["column"]): number for number, one in matches if one}


def _grid(cells, corner: str, row: Name, column: Name, preferences) -> Markup:
    """Return a table of numbers, with the unit in the cells only where it differs."""
    rows = list(dict.fromkeys(key for key, _ in cells))
    columns = list(dict.fromkeys(key for _, key in cells))
    heads = [corner, *(column(key) for key in columns)]
    lines = [
        [row(key), *(_cell(cells.get((key, one)), preferences) for one in columns)] for key in rows
    ]
    return table(heads, lines, css="numbers")


def _cell(number, preferences):
    return "" if number is None else value(number, preferences)


def _keys(cells):
    return {number.key for number in cells.values()}


def _stall_table(airplane: Airplane, found: Sequence[Number], preferences: Preferences):
    cells = _cells(found, _STALL)

    def row(key):
        name, _, flap = key.partition("_flap_")
        mass = airplane.mass_today if name == "today" else airplane.card.value("weights.max")
        flaps = "card.number.flaps" if float(flap) else "card.number.flaps_up"
        return say(
            "prints.numbers.stall_row",
            flaps=say(
                flaps, flap=show(float(flap), "flap_deg", preferences), preferences=preferences
            ),
            mass=show(mass, "mass", preferences),
            preferences=preferences,
        )

    def column(key):
        if float(key) == 0.0:
            return say("prints.numbers.level", preferences=preferences)
        bank = show(float(key), "bank", preferences)
        return say("prints.numbers.banked", bank=bank, preferences=preferences)

    corner = say("prints.numbers.stall_corner", preferences=preferences)
    return _grid(cells, corner, row, column, preferences), _keys(cells)


def _wind_table(airplane: Airplane, found: Sequence[Number], preferences: Preferences):
    cells = _cells(found, _WIND)
    corner = say("prints.numbers.wind_corner", preferences=preferences)

    def angle(key):
        return show(float(key), "bank", preferences)

    def wind(key):
        return show(mps_from_kt(float(key)), "wind_speed", preferences)

    return _grid(cells, corner, angle, wind, preferences), _keys(cells)


def _turn_table(airplane: Airplane, found: Sequence[Number], preferences: Preferences):
    """Return one line per turn and bank that adds up from left to right."""
    turns, banks = _cells(found, _TURN), _cells(found, _OF_ONE_BANK)
    delay = next((number for number in found if number.key == "turn_delay"), None)
    cells = {}
    for row in dict.fromkeys(key for key, _ in turns):
        bank = row.rpartition("_")[2]
        for column in _TURN_COLUMNS:
            number = delay if column == "delay" else turns.get((row, column))
            number = number or banks.get((bank, column))
            if number is not None:
                cells[row, column] = number

    def row_name(key):
        turn, _, bank = key.partition("_bank_")
        return say(
            "prints.numbers.turn_row",
            turn=show(float(turn), "bank", preferences),
            bank=show(float(bank), "bank", preferences),
            preferences=preferences,
        )

    def column_name(key):
        return say(f"prints.numbers.turn_{key}", preferences=preferences)

    corner = say("prints.numbers.turn_corner", preferences=preferences)
    grid = _grid(cells, corner, row_name, column_name, preferences)
    return join(_turn_note(airplane, preferences), grid), _keys(cells)


def _turn_note(airplane, preferences):
    """Say what the heads of the table do not: speed, delay and reserve."""
    speed, kind = airplane.shown_speed(airplane.best_glide_cas())
    text = say(
        "prints.numbers.turn_note",
        speed=f"{show(speed, 'speed', preferences)} {kind}",
        mass=show(airplane.mass_today, "mass", preferences),
        delay=show(REACTION_DELAY, "time_s", preferences),
        reserve=show(RESERVE, "percent", preferences),
        preferences=preferences,
    )
    return element("p", text, css="note")
