"""Numbers as a learner reads them: rounded, with unit, in the learner's own preferences."""

import math
from decimal import ROUND_HALF_UP, Context, Decimal

from lessonkit.words.kinds import kind_of, to_shown, unit_object
from lessonkit.words.preferences import STANDARD, Preferences
from lessonkit.words.sentences import say

MINUS = "\u2212"
NO_BREAK_SPACE = "\u00a0"
# Holds every float in full, up to 1.8e308.
_ENOUGH = Context(prec=400, rounding=ROUND_HALF_UP)


def show(
    value: float | None,
    kind: str,
    preferences: Preferences = STANDARD,
    digits: int | None = None,
    sign: bool = False,
    unit: bool = True,
) -> str:
    """Return a value as text with its unit.

    Parameters
    ----------
    value : float or None
        In SI; degrees for angles, a fraction for a percentage. [as inside the kit]
    kind : str
        One of ``KINDS``, such as "speed" or "height".
    preferences : Preferences
        Units and decimal mark.
    digits : int, optional
        Decimals; -1 rounds to tens. The kind's own number without it.
    sign : bool
        Write the plus sign of positive numbers.
    unit : bool
        Write the unit; without it the number stands alone, for table columns.

    Returns
    -------
    str
        Rounded half away from zero, with a real minus sign, thousands separated by the mark
        that is not the decimal mark, and a space that does not break before the unit.
        "not known" for None and NaN, "without limit" for infinity.

    Examples
    --------
    >>> show(27.78, "speed").replace(NO_BREAK_SPACE, " ")
    '54 kt'
    >>> show(-304.8, "height", Preferences(decimal_mark=",")).replace(NO_BREAK_SPACE, " ")
    '−1.000 ft'
    """
    if value is None or math.isnan(value):
        return say("common.number.not_known", preferences=preferences)
    if math.isinf(value):
        return say("common.number.without_limit", preferences=preferences)
    entry = kind_of(kind)
    shown = float(to_shown(float(value), kind, preferences))
    if digits is None:
        digits = entry.digits
    if kind == "heading_deg":
        number = _heading(shown, digits, preferences)
    else:
        number = _written(shown, digits, preferences, sign)
    symbol = unit_object(kind, preferences)
    if not unit or not symbol.symbol:
        return number
    return number + ("" if symbol.joined else NO_BREAK_SPACE) + symbol.symbol


def rounded(value: float, digits: int) -> Decimal:
    """Return a number rounded half away from zero.

    Twelve figures are kept before that, so that 54.5 kt stays 54.5 after its way through
    metres per second. Never minus zero.

    Examples
    --------
    >>> str(rounded(-0.4, 0)), str(rounded(2.675, 2)), str(rounded(1234.0, -1))
    ('0', '2.68', '1230')
    """
    exact = Decimal(f"{value:.12g}")
    if digits >= 0:
        result = exact.quantize(Decimal(1).scaleb(-digits), context=_ENOUGH)
    else:
        step = Decimal(10) ** -digits
        result = (exact / step).quantize(Decimal(1), context=_ENOUGH) * step
    return abs(result) if result == 0 else result


def _written(value: float, digits: int, preferences: Preferences, sign: bool) -> str:
    number = rounded(value, digits)
    whole, _, decimals = f"{abs(number):,f}".partition(".")
    mark = preferences.decimal_mark
    text = whole.replace(",", "," if mark == "." else ".")
    if decimals:
        text += mark + decimals
    if number < 0:
        return MINUS + text
    return "+" + text if sign and number > 0 else text


def _heading(value: float, digits: int, preferences: Preferences) -> str:
    # Headings have three figures before the mark, and north is 360.
    number = rounded(rounded_turn(value), digits)
    if number <= 0:
        number += 360
    if number > 360:
        number -= 360
    width = 3 + (digits + 1 if digits > 0 else 0)
    return f"{number:0{width}f}".replace(".", preferences.decimal_mark)


def rounded_turn(value: float) -> float:
    """Return an angle in degrees within one turn, 0 up to but not including 360."""
    return value % 360.0
