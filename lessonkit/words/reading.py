"""Numbers as a learner types them: "54", "54 kt", "62mph", "1,5 nm", "1 000".

Rules, in this order
--------------------
- A unit may follow; without one the number is in the unit that is shown.
- Spaces and apostrophes between groups of three digits separate thousands.
- With a point and a comma, the last one is the decimal mark: "1.000,5" is a thousand and a half.
- One mark followed by anything but three digits, or after a lone zero, is the decimal mark
  whatever the preference: "1,5" and "1.5" and "0,750" need no thought.
- "1,000" or "1.000" could be one or a thousand. If only one of them lies in the allowed range,
  it is that one. Otherwise the learner's decimal mark decides, but a quantity that is shown in
  whole numbers and typed with three decimals is asked back instead of guessed.
"""

import re
import unicodedata

from lessonkit.words.escape import plain
from lessonkit.words.kinds import UNITS, Unit, kind_of, unit_object
from lessonkit.words.numbers import show
from lessonkit.words.preferences import STANDARD, Preferences
from lessonkit.words.sentences import say

LONGEST = 60
_MOST_DIGITS = 6  # a value closer to an end than that is quoted as it was typed
_WRITTEN_OUT = 1e12  # a larger number is quoted as it was typed
_CHARACTERS = str.maketrans(
    dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\u2014\ufe63\uff0d", "-")
    | dict.fromkeys("\u2019\u2018\u02bc\uff07\u2032", "'")
    | {"\u2033": '"', "\u00ba": "\u00b0"}
)
_NUMBER = re.compile(
    r"([+-]?)\s*(\d[\d., ']*\d|\d|[.,]\d+)"  # sign and digits with their marks
    r"(?:[.,](?!\d))?"  # a full stop after the number
    r"(e[+-]?\d{1,4}(?![a-z0-9]))?"  # 1e3
)
_GROUPS = re.compile(r"\d{1,3}(?:[ ']\d{3})+(?=[.,]|$)")
_NOT_A_NUMBER = re.compile(r"[+-]?\s*(nan|inf|infinity|not known|without limit|∞)\b|[+-]?∞")
_EITHER_MILE = ("mi", "mile", "miles")


class NumberError(ValueError):
    """A typed text that gives no number; the message is one sentence with its cure."""


def read_number(
    text: object,
    kind: str,
    preferences: Preferences = STANDARD,
    low: float | None = None,
    high: float | None = None,
    name: str = "The value",
    digits: int | None = None,
) -> float:
    """Return the SI value of a typed text.

    Parameters
    ----------
    text : str or number
        What was typed; a number is taken in the unit that is shown.
    kind : str
        One of ``KINDS``.
    preferences : Preferences
        Unit and decimal mark that are taken when the text does not say.
    low, high : float, optional
        Allowed range, ends included, in SI; the believable range of the kind without them.
    name : str
        How the sentence of an error begins, such as "Speed on base".
    digits : int, optional
        Decimals of the numbers in that sentence; the kind's own number without it.

    Returns
    -------
    float
        In SI; degrees for angles, a fraction for a percentage. [as inside the kit]

    Raises
    ------
    NumberError
        One sentence that names the thing and the cure.
    ValueError
        If `low` is above `high`: a defect of the caller.

    Examples
    --------
    >>> round(read_number("1,5 nm", "distance_nm"), 6)
    2778.0
    >>> read_number("54 kg", "speed", name="Speed on final")  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    lessonkit.words.reading.NumberError: Speed on final is a speed and cannot be in kg: ...
    """
    entry = kind_of(kind)
    low = entry.low if low is None else float(low)
    high = entry.high if high is None else float(high)
    if not low <= high:
        raise ValueError(f"the range of {name} is swapped: {low} is not below {high}")
    return _Reader(kind, preferences, low, high, name, digits).read(text)


class _Reader:
    """One reading: keeps what every sentence of an error needs."""

    def __init__(
        self,
        kind: str,
        preferences: Preferences,
        low: float,
        high: float,
        name: str,
        digits: int | None,
    ) -> None:
        self.kind = kind
        self.preferences = preferences
        self.low = low
        self.high = high
        self.name = name
        self.digits = digits
        self.own_unit = unit_object(kind, preferences)

    def read(self, text: object) -> float:
        typed = self._cleaned(text)
        number = _NUMBER.match(typed)
        if number is None:
            raise self._unreadable(typed)
        unit = self._unit(typed[number.end() :].strip(), typed)
        value = self._value(number, unit, typed)
        if not self._inside(value):
            raise self._error(
                "outside",
                value=self._shown_outside(value, typed),
                low=self._shown(self.low),
                high=self._shown(self.high),
            )
        return value

    def _cleaned(self, text: object) -> str:
        typed = plain("" if text is None else text).strip()
        if not typed:
            raise self._error("empty")
        if len(typed) > LONGEST:
            raise self._error("long")
        if any("<fraction>" in unicodedata.decomposition(character) for character in typed):
            raise self._error("fraction", text=self._echo(typed))
        typed = unicodedata.normalize("NFKC", typed.translate(_CHARACTERS)).translate(_CHARACTERS)
        digits = (
            str(unicodedata.decimal(character)) if character.isdecimal() else character
            for character in typed
        )
        return " ".join("".join(digits).split()).casefold()

    def _unit(self, word: str, typed: str) -> Unit:
        if not word:
            return self.own_unit
        dimension = self.own_unit.dimension
        word = word.rstrip(".").strip() or word
        known = [unit for unit in UNITS.values() if _spelled(word, unit)]
        for unit in known:
            if unit.dimension == dimension:
                return unit
        if word in _EITHER_MILE and dimension == "length":
            raise self._error("mile")
        if known:
            raise self._error("unit", unit=known[0].symbol)
        if re.search(r"\d", word):
            raise self._error("two", text=self._echo(typed))
        raise self._error("unknown_unit", unit=self._echo(word))

    def _value(self, number: re.Match[str], unit: Unit, typed: str) -> float:
        sign = -1.0 if number[1] == "-" else 1.0
        exponent = number[3] or ""
        readings = self._readings(number[2], typed)
        values = [unit.to_si(sign * float(reading + exponent)) for reading in readings]
        if len(values) == 1:
            return values[0]
        inside = [value for value in values if self._inside(value)]
        if len(inside) == 1:
            return inside[0]
        decimal, thousands = values
        mark = "," if "," in number[2] else "."
        if mark != self.preferences.decimal_mark:
            return thousands
        if kind_of(self.kind).digits <= 0 and inside:
            raise self._error(
                "either",
                text=self._echo(typed),
                small=self._shown(decimal),
                large=self._shown(thousands),
            )
        return decimal

    def _readings(self, body: str, typed: str) -> tuple[str, ...]:
        """Return what the digits can mean, as Python numbers: the decimal one first."""
        grouped = _GROUPS.match(body)
        if grouped:
            body = re.sub("[ ']", "", grouped[0]) + body[grouped.end() :]
        if re.search("[ ']", body):
            raise self._error("two", text=self._echo(typed))
        marks = re.findall("[.,]", body)
        if not marks:
            return (body,)
        last = marks[-1]
        if len(set(marks)) == 2 or len(marks) > 1:
            single = len(set(marks)) == 2 and marks.count(last) == 1
            whole, decimals = body.rsplit(last, 1) if single else (body, "")
            if not re.fullmatch(r"\d{1,3}(?:[.,]\d{3})+", whole):
                raise self._error("two", text=self._echo(typed))
            return (re.sub("[.,]", "", whole) + ("." + decimals if single else ""),)
        whole, decimals = body.split(last)
        decimal = f"{whole or '0'}.{decimals}"
        if len(decimals) == 3 and 1 <= len(whole) <= 3 and whole[0] != "0" and not grouped:
            return (decimal, whole + decimals)
        return (decimal,)

    def _inside(self, value: float) -> bool:
        # The ends count as inside after a way through another unit.
        slack = 1e-9 * max(abs(self.low), abs(self.high))
        return self.low - slack <= value <= self.high + slack

    def _shown(self, value: float) -> str:
        return show(value, self.kind, self.preferences, digits=self.digits)

    def _shown_outside(self, value: float, typed: str) -> str:
        """Return a value with so many digits that it does not look like the end it passed."""
        if abs(value) >= _WRITTEN_OUT:
            return self._echo(typed)
        end = self.low if value < self.low else self.high
        first = kind_of(self.kind).digits if self.digits is None else self.digits
        for digits in range(first, _MOST_DIGITS + 1):
            text = show(value, self.kind, self.preferences, digits=digits)
            if text != show(end, self.kind, self.preferences, digits=digits):
                return text
        return self._echo(typed)

    def _echo(self, typed: str) -> str:
        return typed if len(typed) <= 20 else typed[:20] + "…"

    def _unreadable(self, typed: str) -> NumberError:
        if _NOT_A_NUMBER.match(typed):
            return self._error("not_a_number", text=self._echo(typed))
        return self._error("unreadable", text=self._echo(typed))

    def _error(self, key: str, **values: object) -> NumberError:
        example = kind_of(self.kind).example
        if not self._inside(example):
            example = 0.5 * (self.low + self.high)
        return NumberError(
            say(
                f"numbers.reading.{key}",
                preferences=self.preferences,
                name=self.name,
                kind=say(f"numbers.kinds.{self.kind}", preferences=self.preferences),
                own_unit=self.own_unit.symbol,
                example=self._shown(example),
                **values,
            )
        )


def _spelled(word: str, unit: Unit) -> bool:
    symbol = unicodedata.normalize("NFKC", unit.symbol).casefold()
    return bool(unit.symbol) and word in (symbol, *unit.words)
