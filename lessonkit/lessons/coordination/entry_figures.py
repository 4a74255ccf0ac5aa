"""Figures of the learner's card that are read out before the first roll in the airplane."""

import math

import ipywidgets

from lessonkit.airplane.schema import COMPUTED
from lessonkit.airplane.texts import origin_text
from lessonkit.lessons.coordination.question_parts import SLIPS
from lessonkit.models.load_factor import load_factor_in_level_turn
from lessonkit.panels.forms import TableBlock, TextBlock, style_block
from lessonkit.words import say, show

WORDS = "coordination.entry"
BANKS_DEG = (0.0, 20.0, 30.0)


class EntryFigures:
    """A short table: manoeuvring speed for today's weight, stall speeds, slips, crosswind.

    Parameters
    ----------
    context : LessonContext
    """

    def __init__(self, context):
        self.rows = entry_rows(context.airplane, context.preferences)
        heads = [say(f"{WORDS}.head.{key}") for key in ("figure", "value", "origin")]
        self.table = TableBlock(say(f"{WORDS}.caption", airplane=context.airplane.name), heads)
        self.table.show(self.rows)
        self.note = TextBlock("plain", say(f"{WORDS}.note"))
        self.widget = ipywidgets.VBox([style_block(), self.table.widget, self.note.widget])
        for name in ("lk-panel", "lk-form"):
            self.widget.add_class(name)
        if context.presentation:
            self.widget.add_class("lk-large")

    def __repr__(self) -> str:
        return "Panel entry_figures"  # constant: a stored text must not hold an address

    def _repr_mimebundle_(self, **options):
        return self.widget._repr_mimebundle_(**options)


def entry_figures(context) -> EntryFigures:
    """Return the figures of the card for the entry into rolls and slips."""
    return EntryFigures(context)


entry_figures.follows_card = True  # the figures are those of the card in use


def entry_rows(airplane, preferences) -> list[list[str]]:
    """Return the rows of the table: figure, value, origin; "not stated" where the card is silent.

    Parameters
    ----------
    airplane : Airplane
    preferences : Preferences

    Returns
    -------
    list of list of str
    """
    rows = _manoeuvring(airplane, preferences)
    weight = show(airplane.mass_today, "mass", preferences)
    for bank in BANKS_DEG:
        label = say(f"{WORDS}.stall", bank=show(bank, "bank", preferences), weight=weight)
        cas = airplane.stall_cas(0.0, load_factor=float(load_factor_in_level_turn(bank)))
        value = _silent() if cas is None else _dial(*airplane.shown_speed(cas), preferences)
        rows.append([label, value, origin_text(airplane.stall_origin(0.0))])
    slips = airplane.card.text("limits.slips")
    said = say(f"{WORDS}.slips.{SLIPS[slips]}") if slips else _silent()
    rows.append([say(f"{WORDS}.slips.label"), said, _origin_of_text(slips)])
    wind = airplane.card.figure("limits.crosswind")
    value = _silent() if wind is None else show(wind.value, "wind_speed", preferences)
    rows.append(
        [say(f"{WORDS}.crosswind"), value, "" if wind is None else origin_text(wind.origin)]
    )
    return rows


def _manoeuvring(airplane, preferences):
    """Return VA as the card has it and for today's weight: it goes with the root of the weight."""
    figure = airplane.card.figure("speeds.VA")
    if figure is None:
        return [[say(f"{WORDS}.va_missing"), _silent(), ""]]
    mass = airplane.card.mass_of(figure)
    at_mass = show(mass, "mass", preferences)
    printed = _dial(figure.value, figure.airspeed, preferences)
    rows = [[say(f"{WORDS}.va", weight=at_mass), printed, origin_text(figure.origin)]]
    today = airplane.mass_today
    if today < mass:
        scaled = figure.value * math.sqrt(today / mass)
        label = say(f"{WORDS}.va_today", weight=show(today, "mass", preferences))
        value = _dial(scaled, figure.airspeed, preferences)
        rows.append([label, value, origin_text(COMPUTED)])
    return rows


def _dial(speed, kind, preferences):
    return f"{show(speed, 'speed', preferences)} {kind}"


def _silent():
    return say(f"{WORDS}.silent")


def _origin_of_text(found):
    return say(f"{WORDS}.as_on_card") if found else ""
