"""Approaches of the reference airplane for the calibrations, and cards with observations on them.

All approaches are flown once; each synthetic calibration takes two of them as observed, reads
them with the errors that the kit states, and is then asked about others.
"""

import math
from typing import NamedTuple

import numpy as np

from lessonkit.airplane import card_from_text, fit_airplane
from lessonkit.models.atmosphere import standard_temperature
from lessonkit.models.calibration import DRAG_SPREAD, FLAP_DRAG_SPREAD
from lessonkit.models.calibration_glide import (
    AIR_SPREAD,
    ALTIMETER_SPREAD,
    SPEED_SPREAD,
    STOPWATCH_SPREAD,
)
from lessonkit.models.calibration_touchdown import (
    FLARE_SPREAD,
    HEIGHT_SPREAD,
    MARK_SPREAD,
    PLACE_SPREADS,
    WIND_SHARE,
    WIND_SPREAD,
)
from lessonkit.models.power_off_pilot import ApproachPlan
from lessonkit.models.wind_profile import Wind
from lessonkit.units import (
    degc_from_k,
    ft_from_m,
    kt_from_mps,
    lb_from_kg,
    m_from_ft,
    mps_from_kt,
    nm_from_m,
)
from sixdof.approach import reference_approach
from sixdof.card import airplane_of, card_text
from sixdof.measures import timed_glide
from sixdof.reference import ELEVATION, MASS

FEET = m_from_ft(1.0)
KNOT = mps_from_kt(1.0)
GLIDE_LOST = m_from_ft(2000.0)
# Wind along and across [kt] and what the plan changes. The first six can be observed: nearly calm,
# as a learner is told to choose. The others are asked about.
CASES = (
    (0.0, 0.0, {}),
    (-3.0, 0.0, {"base_turn_distance": m_from_ft(1200.0)}),
    (-2.0, 2.0, {"abeam_distance": m_from_ft(3400.0)}),
    (2.0, -2.0, {"base_turn_distance": m_from_ft(2200.0)}),
    (-5.0, 0.0, {"abeam_distance": m_from_ft(2600.0)}),
    (-4.0, -3.0, {"abeam_height": m_from_ft(900.0)}),
    (-10.0, 0.0, {}),
    (-15.0, 0.0, {"bank_deg": 40.0, "base_turn_distance": m_from_ft(1000.0)}),
    (4.0, 0.0, {}),
    (0.0, 10.0, {"bank_deg": 20.0}),
    (-5.0, -8.0, {}),
    (-6.0, 0.0, {"abeam_distance": m_from_ft(2400.0), "base_turn_distance": m_from_ft(2200.0)}),
    (-4.0, 6.0, {"abeam_distance": m_from_ft(3600.0), "base_turn_distance": m_from_ft(600.0)}),
    (-12.0, -4.0, {"base_flap_deg": 20.0, "base_turn_distance": m_from_ft(800.0)}),
    (-3.0, 3.0, {"abeam_height": m_from_ft(800.0), "abeam_distance": m_from_ft(2400.0)}),
    (-7.0, 0.0, {"base_flap_deg": 0.0, "final_flap_deg": 20.0}),
    (-9.0, 7.0, {"side": -1.0}),
    (-5.0, 0.0, {"final_flap_deg": 10.0, "bank_deg": 25.0}),
    (-8.0, -6.0, {"bank_deg": 35.0, "abeam_distance": m_from_ft(3400.0)}),
)
OBSERVABLE = 6

OBSERVED = """
[timed_glide]
speed = {speed:.1f}
height_lost = {lost:.0f}
seconds = {seconds:.1f}
altitude = {altitude:.0f}
temperature = {temperature:.1f}
"""
TOUCHDOWN = """
[touchdown_{number}]
beyond = {beyond:.0f}
abeam_distance = {abeam:.3f}
abeam_height = {height:.0f}
entry_speed = {entry:.1f}
base_turn = {turn:.0f}
headwind = {head:.1f}
crosswind = {cross:.1f}
glide_speed = {glide:.1f}
final_speed = {final:.1f}
base_flap = {base_flap:.0f}
final_flap = {final_flap:.0f}
bank = {bank:.0f}
elevation = {elevation:.0f}
traffic = "{traffic}"
known_by = "{known_by}"
"""


class Flown(NamedTuple):
    """An approach of the reference. [SI]"""

    plan: ApproachPlan
    wind: Wind
    x: float
    y: float
    most_slip: float


class Pool(NamedTuple):
    """All that was flown once."""

    measured: object
    flown: tuple[Flown, ...]
    glide: tuple[float, float, float]  # eas, seconds, height half-way over the field


def fly_pool(airplane, measured):
    """Fly all approaches and one timed glide."""
    kit = airplane_of(measured)
    glide_speed = kit.best_glide_cas(MASS)
    flown = []
    for along_kt, across_kt, changes in CASES:
        wind = Wind(mps_from_kt(along_kt), mps_from_kt(across_kt), elevation=ELEVATION)
        plan = ApproachPlan(
            **{
                "abeam_distance": m_from_ft(3000.0),
                "abeam_height": m_from_ft(1000.0),
                "base_turn_distance": m_from_ft(1500.0),
                "entry_cas": mps_from_kt(78.0),
                "downwind_cas": glide_speed,
                "base_cas": glide_speed,
                "final_cas": kit.approach_cas("final"),
                "touchdown_cas": 1.15 * kit.stall_cas(30.0),
                "base_flap_deg": 10.0,
                "final_flap_deg": 30.0,
            }
            | changes
        )
        plan, last, most_slip = reference_approach(airplane, plan, kit.parameters(MASS), wind)
        flown.append(Flown(plan, wind, last.x, last.y, most_slip))
    seconds, half_way = timed_glide(airplane, glide_speed, GLIDE_LOST)
    return Pool(measured, tuple(flown), (glide_speed, seconds, half_way))


def printed_card(pool, draw):
    """A handbook whose glides are off by as much as the kit says that they may be."""
    drag = DRAG_SPREAD * draw.standard_normal()
    flap_drag = FLAP_DRAG_SPREAD * draw.standard_normal()
    return card_text(pool.measured, drag=drag, flap_drag=flap_drag)


def observed_glide(pool, draw):
    """The timed glide as a learner reads it."""
    eas, seconds, half_way = pool.glide
    true_sink = GLIDE_LOST / seconds
    lost = GLIDE_LOST + math.sqrt(2.0) * ALTIMETER_SPREAD * draw.standard_normal()
    read = GLIDE_LOST / (true_sink + AIR_SPREAD * draw.standard_normal())
    read += STOPWATCH_SPREAD * draw.standard_normal()
    altitude = ELEVATION + half_way
    return OBSERVED.format(
        speed=kt_from_mps(eas + SPEED_SPREAD * draw.standard_normal()),
        lost=ft_from_m(lost),
        seconds=read,
        altitude=ft_from_m(altitude),
        temperature=degc_from_k(float(standard_temperature(altitude))),
    )


def observed_touchdown(flown, number, known_by, draw):
    """An approach and its touchdown as a learner judges them."""
    plan, wind, place = flown.plan, flown.wind, PLACE_SPREADS[known_by]
    of_wind = WIND_SPREAD + WIND_SHARE * math.hypot(wind.along, wind.across)

    def off(spread):
        return spread * draw.standard_normal()

    return TOUCHDOWN.format(
        number=number,
        beyond=ft_from_m(flown.x + off(MARK_SPREAD) + off(FLARE_SPREAD)),
        abeam=nm_from_m(plan.abeam_distance + off(place)),
        height=ft_from_m(plan.abeam_height + off(HEIGHT_SPREAD)),
        entry=kt_from_mps(plan.entry_cas + off(SPEED_SPREAD)),
        turn=ft_from_m(plan.base_turn_distance + off(place)),
        head=kt_from_mps(-wind.along + off(of_wind)),
        cross=kt_from_mps(wind.across + off(of_wind)),
        glide=kt_from_mps(plan.base_cas + off(SPEED_SPREAD)),
        final=kt_from_mps(plan.final_cas + off(SPEED_SPREAD)),
        base_flap=plan.base_flap_deg,
        final_flap=plan.final_flap_deg,
        bank=plan.bank_deg,
        elevation=ft_from_m(ELEVATION),
        traffic="left" if plan.side > 0.0 else "right",
        known_by=known_by,
    )


def calibration(pool, seed, known_by="landmarks"):
    """One synthetic calibration: the airplane of a wrong handbook with observations on its card."""
    draw = np.random.default_rng(seed)
    text = printed_card(pool, draw) + observed_glide(pool, draw)
    for number, index in enumerate(draw.choice(OBSERVABLE, 2, replace=False), start=1):
        text += observed_touchdown(pool.flown[index], number, known_by, draw)
    return fit_airplane(
        card_from_text(text.replace("max = ", f"today = {lb_from_kg(MASS):.0f}\nmax = "))
    )
