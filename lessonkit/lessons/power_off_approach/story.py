"""The bench's live sentence: where the wheels touch, how sure that is, and the stall margin."""

import math

from lessonkit.lessons.power_off_approach.flights import MARK, Flight
from lessonkit.models.approach_review import UNCALIBRATED_BAND
from lessonkit.models.standards import tolerance, within_standard
from lessonkit.units import ft_from_m
from lessonkit.words import say, show

WORDS = "power_off_approach.story"


def sentence(flight: Flight, context) -> str:
    """Return the live sentence of one approach."""
    parts = [
        _touchdown(flight, context),
        _slow_clean(flight, context),
        _margin(flight, context),
        _scatter(flight, context),
    ]
    return " ".join(part for part in parts if part)


def place(beyond: float, preferences) -> str:
    """Say a place on the runway against the mark, such as "120 ft beyond the mark"."""
    feet = 10.0 * round(ft_from_m(beyond) / 10.0)
    key = "on" if feet == 0 else "beyond" if feet > 0 else "short"
    distance = show(abs(beyond), "distance_ft", preferences, digits=-1)
    return say(f"{WORDS}.{key}", distance=distance, preferences=preferences)


def _touchdown(flight, context):
    preferences = context.preferences
    if not math.isfinite(flight.beyond):
        return say(f"{WORDS}.never", preferences=preferences)
    where = place(flight.beyond, preferences)
    if not flight.in_line:
        return say(f"{WORDS}.in_turn", where=where, preferences=preferences)
    if flight.beyond < -MARK:
        return say(f"{WORDS}.before_threshold", where=where, preferences=preferences)
    if flight.beyond + MARK > context.airfield.runway_length:
        return say(f"{WORDS}.past_end", where=where, preferences=preferences)
    return say(
        f"{WORDS}.touchdown",
        where=where,
        band=show(UNCALIBRATED_BAND, "distance_ft", preferences),
        verdict=say(
            f"{WORDS}.verdict.{verdict(flight.beyond, flight.short_band)}", preferences=preferences
        ),
        preferences=preferences,
    )


def verdict(beyond: float, short_band: float = UNCALIBRATED_BAND) -> str:
    """Weigh a touchdown with its band against the commercial power-off standard."""
    window = tolerance("commercial", "power_off_180", "touchdown_ft_beyond")
    feet, band = ft_from_m(beyond), ft_from_m(UNCALIBRATED_BAND)
    if feet + band < window.low:
        return "short"
    if feet - ft_from_m(short_band) > window.high:
        return "long"
    inside = within_standard("commercial", "power_off_180", "touchdown_ft_beyond", 0.0, feet)
    private = within_standard("private", "normal_landing", "touchdown_ft_beyond", 0.0, feet)
    return "inside" if inside else "normal_only" if private else "open"


def _slow_clean(flight, context):
    if flight.short_band == UNCALIBRATED_BAND:
        return ""
    preferences = context.preferences
    band = show(flight.short_band, "distance_ft", preferences)
    return say(f"{WORDS}.slow_clean", band=band, preferences=preferences)


def _margin(flight, context):
    preferences = context.preferences
    if flight.margin is None:
        return say(f"{WORDS}.no_margin", preferences=preferences)
    key = "margin" if flight.margin > 0.0 else "stalled"
    margin = show(flight.margin, "speed", preferences)
    return say(f"{WORDS}.{key}", margin=margin, preferences=preferences)


def _scatter(flight, context):
    if flight.scatter is None:
        return ""
    preferences = context.preferences
    return say(
        f"{WORDS}.scatter",
        tries=show(flight.tries, "count", preferences),
        share=show(flight.inside / flight.tries, "percent", preferences),
        preferences=preferences,
    )
