"""The controls that the panels of the power-off approach share, each with its range."""

from typing import Any

from lessonkit.lessons.power_off_approach.flights import LATEST_TURN, Bench
from lessonkit.lessons.power_off_approach.picture import ABEAM_RANGE, HEIGHT_RANGE
from lessonkit.panels import Check, Choice, Control, NumberControl
from lessonkit.panels.context import LessonContext
from lessonkit.units import m_from_ft, m_from_nm, mps_from_kt
from lessonkit.words import say, show

WORDS = "power_off_approach.bench.control"
FLAPS = ("base_flap", "final_flap")


def bench_controls(
    bench: Bench, context: LessonContext, keys: tuple[str, ...], **starts: Any
) -> list[Control]:
    """Return controls of the bench.

    Parameters
    ----------
    bench : Bench
        For their start values.
    context : LessonContext
        Airplane and preferences.
    keys : tuple of str
        Which, in this order: keys of the bench's values.
    **starts : float
        Start values that differ from the bench's. [SI]

    Returns
    -------
    list of Control
    """
    return [_control(bench, context, key, {**bench.start, **starts}) for key in keys]


def _control(bench, context, key, start):
    text = say(f"{WORDS}.{key}", preferences=context.preferences)
    if key in FLAPS:
        options = [
            (show(one, "flap_deg", context.preferences), one) for one in context.airplane.flap_deg
        ]
        return Choice(key, text, options, start[key])
    if key == "scatter":
        return Check(key, text)
    kind, low, high, step = _ranges(bench, context.airplane.card)[key]
    value = min(max(start[key], low), high)
    return NumberControl(
        key,
        text,
        kind,
        value=value,
        low=low,
        high=high,
        step=step,
        preferences=context.preferences,
    )


def _ranges(bench, card):
    """Return kind of quantity, least and greatest value and step of each number."""
    knot, foot = mps_from_kt(1.0), m_from_ft(1.0)
    glide, final = bench.start["glide_cas"], bench.start["final_cas"]
    return {
        "base_turn": ("distance_ft", 0.0, LATEST_TURN, 50.0 * foot),
        "abeam": ("distance_nm", *ABEAM_RANGE, m_from_nm(0.01)),
        "headwind": ("wind_speed", -10.0 * knot, 25.0 * knot, knot),
        "crosswind": ("wind_speed", -15.0 * knot, 15.0 * knot, knot),
        "height": ("height", *HEIGHT_RANGE, 10.0 * foot),
        "glide_cas": ("speed", 0.85 * glide, 1.3 * glide, knot),
        "final_cas": ("speed", 0.85 * final, 1.3 * final, knot),
        "bank": ("bank", 15.0, 45.0, 1.0),
        "mass": ("mass", bench.lightest, card.value("weights.max"), 5.0),
    }
