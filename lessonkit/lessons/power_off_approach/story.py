"""The bench's live sentence: where the wheels touch, how sure that is, and the stall margin."""

import math

from lessonkit.lessons.power_off_approach.flights import MARK, Flight
from lessonkit.models.approach_review import GATE_HEIGHT, UNCALIBRATED_BAND, key_point
from lessonkit.models.standards import tolerance, within_standard
from lessonkit.units import ft_from_m, m_from_ft, mps_from_kt
from lessonkit.words import say, show

WORDS = "power_off_approach.story"
CURES = {"short": ("short", "short_flaps"), "long": ("long", "long_flaps")}
FAST_TOUCHDOWN = mps_from_kt(5.0)  # above the speed at which the wheels are let down
STEEP_BANK_DEG = 30.0  # common practice, no source


def sentence(flight: Flight, context) -> str:
    """Return the live sentence of one approach: the touchdown first, then what to mind."""
    if flight.margin is not None and flight.margin <= 0.0:
        return _say(context, "stalled")
    parts = [_touchdown(flight, context), cautions(flight, context), _scatter(flight, context)]
    return " ".join(part for part in parts if part)


def cautions(flight: Flight, context) -> str:
    """Return what to mind about an approach, wherever it touches down."""
    parts = [
        _slow_clean(flight, context),
        _gate(flight, context),
        _margin(flight, context),
        *_limits(flight, context),
        _worse_glide(context),
    ]
    return " ".join(part for part in parts if part)


def _worse_glide(context):
    """Say again that a glide timed in the air was worse than the card that is flown here."""
    calibration = context.airplane.calibration
    worse = None if calibration is None else calibration.worse_glide
    if worse is None:
        return ""
    return _say(context, "worse_glide", share=show(worse, "percent", context.preferences))


def _say(context, key, **values):
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def place(beyond: float, preferences) -> str:
    """Say a place on the runway against the mark, such as "120 ft beyond the mark"."""
    feet = 10.0 * round(ft_from_m(beyond) / 10.0)
    key = "on" if feet == 0 else "beyond" if feet > 0 else "short"
    distance = show(abs(beyond), "distance_ft", preferences, digits=-1)
    return say(f"{WORDS}.{key}", distance=distance, preferences=preferences)


def _touchdown(flight, context):
    preferences = context.preferences
    if not math.isfinite(flight.beyond):
        return _say(context, "never")
    where = place(flight.beyond, preferences)
    band = show(flight.band, "distance_ft", preferences, digits=-1)
    down = flight.approach.touchdown.calibrated_airspeed
    if not flight.in_line:
        return _say(context, "in_turn", where=where, cure=_cure(flight, context, "short"))
    if flight.stall is not None and down < flight.stall:
        return _say(context, "too_slow", where=where)
    if down > flight.approach.plan.touchdown_cas + FAST_TOUCHDOWN:
        return _say(context, "too_fast", speed=show(down, "speed", preferences))
    if flight.beyond < -MARK:
        cure = _cure(flight, context, "short")
        return _say(context, "before_threshold", where=where, band=band, cure=cure)
    if flight.beyond + MARK > context.airfield.runway_length:
        cure = _cure(flight, context, "long")
        return _say(context, "past_end", where=where, band=band, cure=cure)
    return _say(
        context,
        "touchdown" if flight.short_band == flight.band else "touchdown_slow",
        where=where,
        band=band,
        short_band=show(flight.short_band, "distance_ft", preferences, digits=-1),
        verdict=_say(context, f"verdict.{verdict(flight.beyond, flight.band, flight.short_band)}"),
    )


def _cure(flight, context, miss):
    """Say what to change; flaps only where the settings leave something to change."""
    plan = flight.approach.plan
    if miss == "short":
        flaps = plan.final_flap_deg > 0.0 or plan.base_flap_deg > 0.0
    else:
        flaps = plan.final_flap_deg < context.airplane.landing_flap_deg
    return _say(context, f"cure.{CURES[miss][flaps]}")


def verdict(beyond: float, band: float = UNCALIBRATED_BAND, short_band: float | None = None) -> str:
    """Weigh a touchdown with its band against the commercial power-off standard."""
    window = tolerance("commercial", "power_off_180", "touchdown_ft_beyond")
    feet = 10.0 * round(ft_from_m(beyond) / 10.0)  # as it is shown
    shorter = band if short_band is None else short_band
    if feet + ft_from_m(band) < window.low:
        return "short"
    if feet - ft_from_m(shorter) > window.high:
        return "long"
    inside = within_standard("commercial", "power_off_180", "touchdown_ft_beyond", 0.0, feet)
    private = within_standard("private", "normal_landing", "touchdown_ft_beyond", 0.0, feet)
    return "inside" if inside else "normal_only" if private else "open"


def _slow_clean(flight, context):
    return "" if flight.short_band == flight.band else _say(context, "slow_clean")


def _gate(flight, context):
    """Hold the approach against the gate of the lesson: lined up by 300 ft."""
    final = key_point(flight.points, "final")
    if final is None or final.height >= GATE_HEIGHT - m_from_ft(5.0) or not flight.in_line:
        return ""
    return _say(
        context,
        "gate",
        height=show(final.height, "height", context.preferences, digits=-1),
        gate=show(GATE_HEIGHT, "height", context.preferences),
    )


def _margin(flight, context):
    if flight.margin is None:
        return _say(context, "no_margin")
    warning = context.airplane.card.value("stall_warning.margin")
    key = "margin_warning" if warning is not None and flight.margin < warning else "margin"
    return _say(context, key, margin=show(flight.margin, "speed", context.preferences))


def _limits(flight, context):
    """Name what the settings ask of the airplane beyond its card or beyond good practice."""
    values, preferences = flight.values, context.preferences
    limit = context.airplane.card.value("limits.crosswind")
    if limit is not None and abs(values["crosswind"]) > limit:
        yield _say(context, "crosswind", limit=show(limit, "wind_speed", preferences))
    if values["headwind"] < 0.0:
        yield _say(context, "tailwind")
    if values["bank"] > STEEP_BANK_DEG:
        yield _say(context, "steep", bank=show(STEEP_BANK_DEG, "bank", preferences))


def _scatter(flight, context):
    if flight.scatter is None:
        return ""
    return _say(
        context,
        "scatter",
        tries=show(flight.tries, "count", context.preferences),
        share=show(flight.inside / flight.tries, "percent", context.preferences),
    )
