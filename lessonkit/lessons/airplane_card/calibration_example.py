"""Invented observations for an airplane: what somebody might have read in one like it."""

import numpy as np

from lessonkit.airplane import Airplane
from lessonkit.airplane.observations import usual_approach
from lessonkit.airplane.schema import INVENTED, TOUCHDOWNS
from lessonkit.lessons.airplane_card.draft import Draft
from lessonkit.models.calibration_glide import TimedGlide, timed_sink, with_drag
from lessonkit.models.calibration_touchdown import computed_touchdown
from lessonkit.models.wind_profile import Wind
from lessonkit.units import k_from_degc, m_from_ft, mps_from_kt
from lessonkit.words import Preferences, show

# An invented airplane: somewhat more drag than its card says, and touchdowns a little long.
DRAG, FLAP_DRAG, LONG = 0.03, 0.01, m_from_ft(40.0)
RPM_PER_KT = 6.2
LOST, HALF_WAY, DEGREES = m_from_ft(2000.0), m_from_ft(3500.0), 9.0
# Abeam distance and height, headwind, and how wrongly the touchdown was judged.
APPROACHES = (
    (m_from_ft(3000.0), m_from_ft(1000.0), mps_from_kt(3.0), m_from_ft(60.0)),
    (m_from_ft(3400.0), m_from_ft(1000.0), mps_from_kt(5.0), m_from_ft(-80.0)),
)
AIM = m_from_ft(300.0)  # about where these approaches touch, beyond the mark


def example_draft(airplane: Airplane, preferences: Preferences) -> Draft:
    """Return invented observations of an invented airplane, each marked as such.

    Parameters
    ----------
    airplane : Airplane
        As printed.
    preferences : Preferences
        Decimal mark; the units are those of the card.

    Returns
    -------
    Draft
    """
    units = airplane.card.preferences(preferences)
    texts = _glide(airplane, units) | _pair(airplane, units)
    for section, approach in zip(TOUCHDOWNS, APPROACHES, strict=True):
        texts |= _touchdown(airplane, section, approach, units)
    return Draft(texts, {path: (text, INVENTED) for path, text in texts.items() if "#" not in path})


def _speed(airplane, path, cas, units, flap=0.0):
    """Type a speed as the dial shows it, and its kind where the card has the other one."""
    value, kind = airplane.shown_speed(cas, flap)
    texts = {path: show(value, "speed", units, unit=False)}
    if kind != airplane.card.text("airspeed.kind"):
        texts[f"{path}#airspeed"] = kind
    return texts


def _glide(airplane, units):
    cas = airplane.best_glide_cas()
    glide = TimedGlide(cas, LOST, 1.0, 0.0, HALF_WAY, k_from_degc(DEGREES))
    sink = timed_sink(with_drag(airplane.parameters(), DRAG, FLAP_DRAG), glide)
    return _speed(airplane, "timed_glide.speed", cas, units) | {
        "timed_glide.height_lost": show(LOST, "height", units, unit=False),
        "timed_glide.seconds": show(LOST / sink, "time_s", units, unit=False),
        "timed_glide.altitude": show(HALF_WAY, "height", units, unit=False),
        "timed_glide.temperature": show(k_from_degc(DEGREES), "temperature", units, unit=False),
    }


def _pair(airplane, units):
    slow, fast = mps_from_kt(65.0), mps_from_kt(90.0)
    rpm = 0.85 * (airplane.card.value("engine.cruise_rpm") or 2400.0)
    faster = rpm + RPM_PER_KT * 25.0
    return (
        _speed(airplane, "rpm_pair.slow_speed", slow, units)
        | _speed(airplane, "rpm_pair.fast_speed", fast, units)
        | {
            "rpm_pair.slow_rpm": show(round(rpm, -1), "rpm", units, unit=False),
            "rpm_pair.fast_rpm": show(round(faster, -1), "rpm", units, unit=False),
        }
    )


def _touchdown(airplane, section, approach, units):
    abeam, height, headwind, misjudged = approach
    plan = usual_approach(airplane)
    flown = {**vars(plan), "abeam_distance": abeam, "abeam_height": height}
    unknowns = np.array([DRAG, FLAP_DRAG, LONG, 0.0])

    def touched(turn):
        made = type(plan)(**{**flown, "base_turn_distance": turn})
        return computed_touchdown(airplane.parameters(), made, Wind(along=-headwind))(unknowns)

    # A secant to about the aim, then a turn point as somebody would note it.
    first, second = m_from_ft(1000.0), m_from_ft(2000.0)
    slope = (touched(second) - touched(first)) / (second - first)
    turn = m_from_ft(50.0) * round((first + (AIM - touched(first)) / slope) / m_from_ft(50.0))
    beyond = m_from_ft(10.0) * round((touched(turn) + misjudged) / m_from_ft(10.0))
    return (
        _speed(airplane, f"{section}.entry_speed", plan.entry_cas, units)
        | _speed(airplane, f"{section}.glide_speed", plan.base_cas, units)
        | _speed(airplane, f"{section}.final_speed", plan.final_cas, units, plan.final_flap_deg)
        | {
            f"{section}.beyond": show(beyond, "distance_ft", units, unit=False),
            f"{section}.abeam_distance": show(abeam, "distance_nm", units, unit=False),
            f"{section}.abeam_height": show(height, "height", units, unit=False),
            f"{section}.base_turn": show(turn, "distance_ft", units, unit=False),
            f"{section}.headwind": show(headwind, "wind_speed", units, unit=False),
        }
    )
