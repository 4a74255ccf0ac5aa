"""The live sentence of the consistency panel."""

import math

from lessonkit.lessons.power_off_approach.consistency_flights import (
    ALONE,
    CORRECTED,
    FULL,
    OFF,
    Consistency,
)
from lessonkit.lessons.power_off_approach.story import place
from lessonkit.words import say, show

WORDS = "consistency.story"
WORTH_SAYING = 0.005  # half of one in 100
APART = ("stalled", "out_of_line")
APART_WITH_POWER = ("with_power_stalled", "with_power_out_of_line")


def sentence(result: Consistency, bench, context) -> str:
    """Return the live sentence: power off, with power, what is apart, how many tries."""
    parts = [
        _pilot(result.off, OFF, context),
        *_apart(result.off, APART, context),
        *_with_power(result, bench, context),
        _tries(result, context),
        "" if bench.bench.stall_known else _say(context, "stall_unknown"),
        _say(context, "band", band=feet(bench.bench.band, context)),
    ]
    return " ".join(part for part in parts if part)


def of_100(share: float, context) -> str:
    """Return how many of a hundred, as a whole number."""
    return show(100.0 * share, "count", context.preferences)


def feet(distance: float, context) -> str:
    """Return a length in feet to the nearest ten."""
    return show(distance, "distance_ft", context.preferences, digits=-1)


def habit_name(quantity: str, context) -> str:
    """Return what a habit is called."""
    return say(f"consistency.habit.{quantity}", preferences=context.preferences)


def _say(context, key, **values):
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def _pilot(pilot, power, context):
    """Say where one pilot's touchdowns lie, and what costs most."""
    low, high = pilot.spread.nine_of_ten
    if not math.isfinite(low):
        return _say(context, "none_counts")
    text = _say(
        context,
        power if power in (OFF, ALONE, CORRECTED) else OFF,
        count=of_100(pilot.spread.inside, context),
        low=place(low, context.preferences),
        high=place(high, context.preferences),
    )
    return f"{text} {_most(pilot, context)}"


def _most(pilot, context):
    quantity, cost = pilot.costs[0]
    said = {"habit": habit_name(quantity, context), "cost": feet(cost, context)}
    if pilot.halved is None:
        return _say(context, "most", **said)
    return _say(context, "most_halved", **said, count=of_100(pilot.halved, context))


def _apart(pilot, keys, context):
    """Say how many tries are counted apart."""
    shares = pilot.spread.stalled, pilot.spread.out_of_line
    for key, share in zip(keys, shares, strict=True):
        if share >= WORTH_SAYING:
            yield _say(context, key, count=of_100(share, context))


def _with_power(result, bench, context):
    power = result.values["power"]
    if power == OFF:
        return
    if result.on is None:
        yield _say(context, "no_propeller")
        return
    yield _pilot(result.on, power, context)
    yield from _apart(result.on, APART_WITH_POWER, context)
    if power == ALONE:
        yield _say(context, "alone_note")


def _tries(result, context):
    tries = result.off.spread.tries
    key = "all" if result.complete else "some" if tries >= 1000 else "few"
    return _say(
        context,
        key,
        tries=show(tries, "count", context.preferences),
        all=show(FULL, "count", context.preferences),
    )
