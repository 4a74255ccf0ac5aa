"""Slips that can happen with any number: sign, decimal place, airspeed, unit."""

from collections.abc import Iterator

from lessonkit.words import KINDS, say
from lessonkit.words.kinds import UNITS, unit_object

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
        if abs(value - wrong) <= _width(item) * abs(wrong):
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
    if item.question.airspeeds is not None:
        for name, speed in item.question.airspeeds(item.airplane, item.values).items():
            if abs(speed - answer) > item.question.tolerance.within:
                spoken = say(f"exercises.airspeed.{name}", preferences=item.preferences)
                yield "airspeed", speed, {"airspeed": spoken}
    own = unit_object(item.question.quantity, item.preferences)
    for other in UNITS.values():
        if other.dimension == own.dimension and other is not own:
            factor = other.to_si(1.0) / own.to_si(1.0)
            units = {"unit": other.symbol, "own": own.symbol}
            yield "unit", answer * factor, units
            yield "unit", answer / factor, units


def _width(item) -> float:
    share = item.question.tolerance.within / max(abs(item.answer), 1e-9)
    return min(share, _WIDEST)


def widest_range(kind: str) -> tuple[float, float]:
    """Return a range in which slips still lie: a thousand times what is believable."""
    entry = KINDS[kind]
    far = 1e3 * max(abs(entry.low), abs(entry.high))
    return -far, far
