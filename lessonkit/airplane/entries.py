"""One typed entry of a card: number, unit, range, origin, kind of airspeed, weight."""

import math
import re

from lessonkit.airplane.card import Figure
from lessonkit.airplane.plain_files import shortened
from lessonkit.airplane.schema import (
    AIRSPEEDS,
    CHOICE,
    CORRECTION,
    FIELD_AT,
    FIGURE,
    FIGURE_LIST,
    FLAP_LIST,
    TEXT,
    TYPED_ORIGINS,
    Field,
)
from lessonkit.words import NumberError, Preferences, from_shown, read_number, say, show

MOST_IN_A_LIST = 30
_ANY = -1e300, 1e300  # the range is checked here, with its reason in the sentence
_BARE_NUMBER = re.compile(r"[\s0-9.,'+-]*[0-9.,]\s*")
_METRIC = {"span": "m", "area": "m2", "runway_length": "m"}
_PARTS = ("value", "airspeed", "weight", "origin")


class EntryError(Exception):
    """An entry that cannot be used; the message is a sentence without the name of the file."""


def typed_value(typed, kind, preferences, length="ft", name="", low=None, high=None):
    """Return the SI value of a typed number.

    Parameters
    ----------
    typed : float, int or str
        A number in the unit of the card, or a text such as "62 mph" or "1,5".
    kind : str
        Kind of quantity.
    preferences : Preferences
        Units of speed and weight of the card.
    length : {"ft", "m"}
        Unit of spans, areas and runway lengths on the card.
    name : str
        How the sentence of an error begins.
    low, high : float, optional
        Believable range; it decides whether "2,400" is two or two thousand. [SI]

    Returns
    -------
    float
        In SI; degrees for angles. It may lie outside the range.

    Raises
    ------
    EntryError
        One sentence, when it is no finite number or has the wrong unit.

    Examples
    --------
    >>> round(typed_value("11 m", "span", Preferences()), 6)
    11.0
    """
    metric = length == "m" and kind in _METRIC
    if isinstance(typed, bool) or not isinstance(typed, int | float | str):
        raise EntryError(say("card.error.not_a_number", label=name))
    if isinstance(typed, str):
        if metric and _BARE_NUMBER.fullmatch(typed):
            typed = f"{typed} {_METRIC[kind]}"
        return _from_text(typed, kind, preferences, name, low, high)
    try:
        number = float(typed)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise EntryError(say("card.error.not_finite", label=name))
    return number if metric else float(from_shown(number, kind, preferences))


def _from_text(text, kind, preferences, name, low, high):
    if low is not None:
        try:
            return read_number(text, kind, preferences, low, high, name=name)
        except NumberError:
            pass  # outside or unreadable: the second reading tells which
    try:
        return read_number(text, kind, preferences, *_ANY, name=name)
    except NumberError as error:
        raise EntryError(str(error)) from None


class EntryReader:
    """Reads entries with the units, origin and kind of airspeed that the card states once.

    Parameters
    ----------
    tables : dict
        The tables of the TOML text.
    field_at : dict of str to Field
        The table of lines.
    origin_path : str
        The line that states the origin of all figures.
    """

    def __init__(self, tables, field_at=FIELD_AT, origin_path="airplane.origin"):
        self.tables = tables
        self.field_at = field_at
        self.length = self._stated("units.length") or "ft"
        self.preferences = Preferences(
            speed_unit=self._stated("units.speed") or "kt",
            mass_unit=self._stated("units.mass") or "lb",
        )
        self.airspeed = self._stated("airspeed.kind")
        self.origin = self._stated(origin_path)

    def _stated(self, path):
        field = self.field_at.get(path)
        if field is None:  # an airfield's file has no line for airspeeds
            return ""
        typed = self.tables.get(field.section, {}).get(field.name, "")
        if typed == "" and field.required:
            raise EntryError(say("card.error.missing_choice", **self._choice_words(field)))
        return field.default if typed == "" else self._choice(field, typed)

    def label(self, field: Field) -> str:
        """Return how a sentence names a line: "VS0 (speeds.VS0)"."""
        return say("card.error.label", label=say(field.label_key), path=field.path)

    def entry(self, field: Field, typed):
        """Return the entry of one line.

        Raises
        ------
        EntryError
            One sentence that names the line and the cure.
        """
        readers = {
            TEXT: self._text,
            CHOICE: self._choice,
            FIGURE: self._figure,
            FLAP_LIST: self._flaps,
            FIGURE_LIST: self._list,
            CORRECTION: self._pairs,
        }
        return readers[field.form](field, typed)

    def _text(self, field, typed):
        if not isinstance(typed, str):
            raise EntryError(say("card.error.not_a_text", label=self.label(field)))
        # Kept as plain text in one line; whoever shows it escapes it.
        text = shortened(typed, 10**6)
        if not field.low <= len(text) <= field.high:
            raise EntryError(
                say("card.error.text_length", label=self.label(field), longest=int(field.high))
            )
        return text

    def _choice_words(self, field):
        return {
            "label": self.label(field),
            "choices": ", ".join(f'"{choice}"' for choice in field.choices),
        }

    def _choice(self, field, typed):
        words = self._choice_words(field)
        if not isinstance(typed, str):
            raise EntryError(say("card.error.missing_choice", **words))
        wanted = " ".join(typed.split()).casefold()
        for choice in field.choices:
            if choice.casefold() == wanted:
                return choice
        raise EntryError(say("card.error.choice", typed=shortened(typed), **words))

    def _figure(self, field, typed):
        stated = field.origin or self.origin
        if not isinstance(typed, dict):
            return self._number(field, typed, self.airspeed if field.airspeed else "", stated)
        unknown = [name for name in typed if name not in _PARTS]
        if unknown or "value" not in typed:
            raise EntryError(say("card.error.parts", label=self.label(field)))
        origin = self._word(field, typed, "origin", TYPED_ORIGINS, stated)
        airspeed = self._word(field, typed, "airspeed", AIRSPEEDS, self.airspeed)
        if not field.airspeed and "airspeed" in typed:
            raise EntryError(say("card.error.no_airspeed", label=self.label(field)))
        mass = None
        if "weight" in typed:
            if not field.weight:
                raise EntryError(say("card.error.no_weight", label=self.label(field)))
            mass = self._number(FIELD_AT["weights.max"], typed["weight"], "", self.origin, field)
        return self._number(
            field, typed["value"], airspeed if field.airspeed else "", origin, mass=mass
        )

    def _word(self, field, typed, part, allowed, default):
        word = typed.get(part, default)
        for choice in allowed:
            if isinstance(word, str) and word.strip().casefold() == choice.casefold():
                return choice
        choices = ", ".join(f'"{choice}"' for choice in allowed)
        raise EntryError(
            say("card.error.part", label=self.label(field), part=part, choices=choices)
        )

    def _number(self, field, typed, airspeed, origin, owner=None, mass=None):
        name = self.label(field)
        if owner is not None:
            name = say("card.error.weight_of", label=self.label(owner))
        value = typed_value(
            typed, field.kind, self.preferences, self.length, name, field.low, field.high
        )
        slack = 1e-9 * max(abs(field.low), abs(field.high))
        if not field.low - slack <= value <= field.high + slack:
            raise EntryError(self._outside(field, value, name))
        return Figure(value, field.kind, typed, origin, airspeed, mass)

    def _outside(self, field, value, name):
        low, high, given = (
            show(v, field.kind, self.preferences) for v in (field.low, field.high, value)
        )
        reason = say(f"card.range.{field.reason}", low=low, high=high)
        return say("card.error.outside", label=name, value=given, reason=reason)

    def _items(self, field, typed):
        if not isinstance(typed, list) or not typed or len(typed) > MOST_IN_A_LIST:
            raise EntryError(say("card.error.not_a_list", label=self.label(field)))
        return typed

    def _flaps(self, field, typed):
        found = tuple(
            self._number(field, one, "", self.origin) for one in self._items(field, typed)
        )
        settings = [one.value for one in found]
        if settings != sorted(set(settings)) or settings[0] != 0.0 or len(settings) < 2:
            raise EntryError(say("card.error.flap_order", label=self.label(field)))
        return found

    def _list(self, field, typed):
        items = self._items(field, typed)
        settings = self.tables.get("flaps", {}).get("settings")
        if isinstance(settings, list) and len(settings) != len(items):
            raise EntryError(
                say(
                    "card.error.list_length",
                    label=self.label(field),
                    count=len(items),
                    expected=len(settings),
                )
            )
        return tuple(
            None if isinstance(one, str) and not one.strip() else self._figure(field, one)
            for one in items
        )

    def _pairs(self, field, typed):
        found = []
        for pair in self._items(field, typed):
            if not isinstance(pair, list) or len(pair) != 2:
                raise EntryError(say("card.error.pairs", label=self.label(field)))
            ias, cas = (
                self._number_of_table(field, one, kind)
                for one, kind in zip(pair, ("IAS", "CAS"), strict=True)
            )
            found.append((ias, cas))
        rising = all(
            later[column].value > earlier[column].value
            for earlier, later in zip(found, found[1:], strict=False)
            for column in (0, 1)
        )
        if len(found) < 2 or not rising:
            raise EntryError(say("card.error.pairs_rising", label=self.label(field)))
        return tuple(found)

    def _number_of_table(self, field, typed, airspeed):
        name = self.label(field)
        value = typed_value(
            typed, field.kind, self.preferences, self.length, name, field.low, field.high
        )
        if not field.low <= value <= field.high:
            raise EntryError(
                say(
                    "card.error.pair_range",
                    label=name,
                    value=show(value, field.kind, self.preferences),
                )
            )
        return Figure(value, field.kind, typed, self.origin, airspeed)
