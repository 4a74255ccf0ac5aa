"""What was observed in flight, as it stands on a card, made into measurements for the estimate."""

from dataclasses import replace

from lessonkit.airplane.airspeed_correction import best_cas_of, cas_of
from lessonkit.airplane.card import Card
from lessonkit.airplane.in_flight_checks import NEEDED, observed
from lessonkit.airplane.schema import RIGHT
from lessonkit.models.calibration import Measurement
from lessonkit.models.calibration_glide import (
    SPEED_SPREAD,
    UNCORRECTED_SPREAD,
    TimedGlide,
    glide_measurement,
    rpm_measurement,
)
from lessonkit.models.calibration_touchdown import ObservedTouchdown, touchdown_measurement
from lessonkit.models.power_off_pilot import ApproachPlan, touchdown_speed
from lessonkit.models.wind_profile import Wind
from lessonkit.units import m_from_ft

# The approach for which the band of a card is stated: half a mile abeam at 1,000 ft; common
# practice, no source.
USUAL_ABEAM = m_from_ft(3000.0)
USUAL_HEIGHT = m_from_ft(1000.0)
USUAL_BASE_TURN = m_from_ft(1000.0)
USUAL_BANK_DEG = 30.0


def usual_approach(airplane) -> ApproachPlan:
    """Return the approach for which the band of a card is stated: calm, from 1,000 ft."""
    glide = airplane.best_glide_cas()
    final = airplane.approach_cas("final") or glide
    flaps = airplane.flap_deg
    return ApproachPlan(
        abeam_distance=USUAL_ABEAM,
        abeam_height=USUAL_HEIGHT,
        base_turn_distance=USUAL_BASE_TURN,
        entry_cas=max(airplane.approach_cas("downwind") or glide, glide),
        downwind_cas=glide,
        base_cas=glide,
        final_cas=final,
        touchdown_cas=touchdown_speed(airplane.stall_cas(flaps[-1]), final),
        base_flap_deg=flaps[min(1, len(flaps) - 1)],
        final_flap_deg=flaps[-1],
        bank_deg=USUAL_BANK_DEG,
    )


def complete(card: Card, section: str) -> bool:
    """Tell whether an observation stands on the card with all that it needs."""
    return observed(card, section) and all(f"{section}.{name}" in card for name in NEEDED[section])


def measurement_of(airplane, section: str) -> Measurement:
    """Return an observation of the printed airplane as a measurement for the estimate."""
    if section == "timed_glide":
        return _glide(airplane)
    if section == "rpm_pair":
        return _rpm_pair(airplane.card)
    return _touchdown(airplane, section)


def _glide(airplane):
    card = airplane.card
    figure, flap = card.figure("timed_glide.speed"), card.value("timed_glide.flap") or 0.0
    glide = TimedGlide(
        cas=best_cas_of(card, figure, flap),
        height_lost=card.value("timed_glide.height_lost"),
        seconds=card.value("timed_glide.seconds"),
        flap_deg=flap,
        altitude=card.value("timed_glide.altitude"),
        temperature=card.value("timed_glide.temperature"),
        speed_spread=SPEED_SPREAD if cas_of(card, figure, flap) else UNCORRECTED_SPREAD,
    )
    mass = card.value("timed_glide.weight") or airplane.mass_today
    return glide_measurement(airplane.parameters(mass), glide, "timed_glide")


def glide_of(airplane) -> Measurement | None:
    """Return the timed glide on the card as a measurement of its printed airplane, if complete."""
    return _glide(airplane) if complete(airplane.card, "timed_glide") else None


def _rpm_pair(card):
    slow, fast = (best_cas_of(card, card.figure(f"rpm_pair.{n}_speed")) for n in ("slow", "fast"))
    rpm = (card.value(f"rpm_pair.{n}_rpm") for n in ("slow", "fast"))
    slow_rpm, fast_rpm = rpm
    return rpm_measurement(slow, slow_rpm, fast, fast_rpm, "rpm_pair")


def _touchdown(airplane, section):
    plan, wind, mass = observed_approach(airplane, section)
    seen = ObservedTouchdown(
        plan,
        wind,
        airplane.card.value(f"{section}.beyond"),
        airplane.card.text(f"{section}.known_by"),
    )
    return touchdown_measurement(airplane.parameters(mass), seen, section)


def observed_approach(airplane, section):
    """Return plan, wind and mass of an approach on the card; its mark is the threshold here.

    Parameters
    ----------
    airplane : Airplane
        As printed.
    section : str
        "touchdown_1" or "touchdown_2".

    Returns
    -------
    ApproachPlan, Wind, float
        What the card leaves out is taken from the usual approach. [SI]
    """
    card, usual = airplane.card, usual_approach(airplane)

    def given(name, otherwise):
        value = card.value(f"{section}.{name}")
        return otherwise if value is None else value

    mass = given("weight", airplane.mass_today)
    final_flap = given("final_flap", usual.final_flap_deg)
    glide = best_cas_of(card, card.figure(f"{section}.glide_speed")) or airplane.best_glide_cas(
        mass
    )
    final = best_cas_of(card, card.figure(f"{section}.final_speed"), final_flap) or usual.final_cas
    right = card.text(f"{section}.traffic") == RIGHT
    plan = replace(
        usual,
        abeam_distance=card.value(f"{section}.abeam_distance"),
        abeam_height=card.value(f"{section}.abeam_height"),
        base_turn_distance=card.value(f"{section}.base_turn"),
        entry_cas=best_cas_of(card, card.figure(f"{section}.entry_speed")),
        downwind_cas=glide,
        base_cas=glide,
        final_cas=final,
        touchdown_cas=touchdown_speed(airplane.stall_cas(final_flap, mass), final),
        base_flap_deg=given("base_flap", usual.base_flap_deg),
        final_flap_deg=final_flap,
        bank_deg=given("bank", usual.bank_deg),
        side=-1.0 if right else 1.0,
    )
    wind = Wind(
        along=-card.value(f"{section}.headwind"),
        across=given("crosswind", 0.0),
        elevation=given("elevation", 0.0),
    )
    return plan, wind, mass
