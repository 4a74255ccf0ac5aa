"""Slips that can happen with any number: sign, decimal place, airspeed, unit."""

import re
from collections.abc import Iterator

from lessonkit.words import KINDS, say
from lessonkit.words.kinds import UNITS, unit_object

_NAMED = re.compile(r"(.*\d.*?)(k)?(ias|cas|tas)", re.IGNORECASE)
_WIDEST = 0.05  # share of the answer; less than half of the way from kt to mph


def slip(item, value: float) -> tuple[str, str] | None:
    """Return name and sentence of the slip that explains a wrong number, or None.

    Parameters
    ----------
    item : Item
        A question of the kind "number".
    value : float
        What was answered. [SI]
    """
    for name, wrong, values in _candidates(item):
        # Nearer to the wrong number than to the right one, also where the two are close.
        reach = min(_width(item) * abs(wrong), abs(wrong - item.answer) / 3.0)
        if abs(value - wrong) <= reach:
            message = say(
                f"exercises.slip.{name}",
                preferences=item.preferences,
                typed=item.echo(value),
                **values,
            )
            return name, message
    return None


def _candidates(item) -> Iterator[tuple[str, float, dict[str, str]]]:
    """Yield name, the number it leads to, and what its sentence needs."""
    answer = item.answer
    yield "sign", -answer, {}
    for power in (1, -1, 2, -2, 3, -3):
        yield "ten", answer * 10.0**power, {"factor": f"{10 ** abs(power):d}"}
    for name, speed in other_airspeeds(item).items():
        yield "airspeed", speed, {"airspeed": airspeed_name(item, name)}
    own = unit_object(item.question.quantity, item.preferences)
    for other in UNITS.values():
        if other.dimension == own.dimension and other is not own:
            factor = other.to_si(1.0) / own.to_si(1.0)
            units = {"unit": other.symbol, "own": own.symbol}
            yield "unit", answer * factor, units
            yield "unit", answer / factor, units


def other_airspeeds(item) -> dict[str, float]:
    """Return the same speed as other airspeeds, where they differ from the answer [m/s]."""
    if item.question.airspeeds is None:
        return {}
    speeds = item.question.airspeeds(item.airplane, item.values)
    within = item.question.tolerance.within
    return {name: speed for name, speed in speeds.items() if abs(speed - item.answer) > within}


def airspeed_name(item, name: str) -> str:
    """Return what an airspeed is called."""
    return say(f"exercises.airspeed.{name}", preferences=item.preferences)


def without_airspeed(typed: str) -> tuple[str, str]:
    """Return a typed speed without the airspeed that is named behind it, and which that is.

    Examples
    --------
    >>> without_airspeed("65 KIAS"), without_airspeed("75 mph TAS"), without_airspeed("65 kt")
    (('65 kt', 'ias'), ('75 mph', 'tas'), ('65 kt', ''))
    """
    named = _NAMED.fullmatch(typed.strip())
    if named is None:
        return typed, ""
    number, knots, name = named.groups()
    return f"{number.strip()} kt" if knots else number.strip(), name.lower()


def _width(item) -> float:
    share = item.question.tolerance.within / max(abs(item.answer), 1e-9)
    return min(share, _WIDEST)


def widest_range(kind: str) -> tuple[float, float]:
    """Return a range in which slips still lie: a thousand times what is believable."""
    entry = KINDS[kind]
    far = 1e3 * max(abs(entry.low), abs(entry.high))
    return -far, far
