"""S-turns on final: geometry, what they cost as flown, and that they end on the centreline."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.models.approach_review import touches_in_line
from lessonkit.models.power_off_approach import fly
from lessonkit.models.s_turn import (
    STurnPilot,
    STurnPlan,
    lined_up_again_height,
    s_turn_extra_path,
    s_turn_offset,
    s_turn_plan,
)
from lessonkit.models.turning import radius_of_turn
from lessonkit.models.wind_profile import Wind
from lessonkit.units import ft_from_m, m_from_ft, mps_from_kt

from .approach_cases import TRAINER
from .common import quick
from .test_slip import exact_touchdown_of

PLAN = STurnPlan(
    abeam_distance=m_from_ft(3000.0),
    abeam_height=m_from_ft(1700.0),
    base_turn_distance=m_from_ft(1500.0),
    entry_cas=mps_from_kt(85.0),
    downwind_cas=mps_from_kt(70.0),
    base_cas=mps_from_kt(68.0),
    final_cas=mps_from_kt(65.0),
    touchdown_cas=mps_from_kt(52.0),
    base_flap_deg=10.0,
    final_flap_deg=20.0,
)
AIR = Wind(along=-mps_from_kt(5.0), across=mps_from_kt(3.0))
BEGIN, SPEED, SINK = m_from_ft(950.0), mps_from_kt(66.0), 4.0


def weave(excursion_deg, swings=1, plan=PLAN):
    return s_turn_plan(plan, excursion_deg, BEGIN, SPEED, SINK, swings)


def flown_with(excursion_deg, swings=1):
    return fly(weave(excursion_deg, swings), TRAINER, AIR, pilot=STurnPilot)


@pytest.fixture(scope="module")
def straight():
    return fly(PLAN, TRAINER, AIR, pilot=STurnPilot)


@pytest.fixture(scope="module")
def woven():
    return {degrees: flown_with(float(degrees)) for degrees in (15, 30, 45)}


@given(radius=st.floats(80.0, 400.0), angle=st.floats(5.0, 85.0))
@quick
def test_geometry_by_adding_up_little_pieces(radius, angle):
    """The way along four arcs less its share along the centreline, summed numerically."""
    heading = np.radians(angle) * np.interp(
        np.linspace(0.0, 4.0, 8001), [0.0, 1.0, 2.0, 3.0, 4.0], [0.0, 1.0, 0.0, -1.0, 0.0]
    )
    piece = 4.0 * radius * math.radians(angle) / 8000.0
    middle = 0.5 * (heading[1:] + heading[:-1])
    extra = piece * np.sum(1.0 - np.cos(middle))
    assert s_turn_extra_path(radius, angle) == pytest.approx(extra, rel=1e-5)
    out = piece * np.sum(np.sin(middle[:4000]))
    assert s_turn_offset(radius, angle) == pytest.approx(out, rel=1e-5)
    assert s_turn_extra_path(radius, angle, 2) == pytest.approx(2.0 * extra, rel=1e-5)


def test_little_turns_cost_next_to_nothing():
    """With the third power of the angle: an eighth for half of it, within its next term."""
    ratio = s_turn_extra_path(200.0, 10.0) / s_turn_extra_path(200.0, 20.0)
    assert ratio == pytest.approx(1.0 / 8.0, rel=0.005)
    assert s_turn_extra_path(200.0, 0.0) == 0.0


def test_more_heading_shortens_more(straight, woven):
    moved = [woven[degrees].touchdown.x - straight.touchdown.x for degrees in (15, 30, 45)]
    assert 0.0 > moved[0] > moved[1] > moved[2]
    both = flown_with(30.0, 2).touchdown.x - straight.touchdown.x
    assert both < moved[1]


def test_the_way_flown_is_a_little_more_than_the_arcs(straight, woven):
    """Rolling takes time and room: above the arcs' geometry, of their size all the same."""

    def way(approach):
        h = approach.history
        on = h.height < BEGIN
        flown = np.hypot(np.diff(h.x[on]), np.diff(h.y[on])).sum()
        return flown - (h.x[on][-1] - h.x[on][0])

    arcs = s_turn_extra_path(radius_of_turn(SPEED, 30.0), 45.0)
    extra = way(woven[45]) - way(straight)
    assert 0.85 * arcs < extra < 1.6 * arcs


@pytest.mark.parametrize("degrees", [15, 30, 45])
def test_the_track_swings_to_both_sides_and_comes_back(woven, degrees):
    h = woven[degrees].history
    on = (h.height < BEGIN) & (h.height > lined_up_again_height(woven[degrees]))
    track = np.degrees(np.arctan2(np.gradient(h.y), np.gradient(h.x)))[on]
    assert track.min() == pytest.approx(-degrees, abs=0.3 * degrees + 3.0)
    assert track.max() == pytest.approx(degrees, abs=0.3 * degrees + 3.0)
    assert np.abs(h.bank_deg[on]).max() < PLAN.bank_deg + 0.5
    # First toward the pattern's side of left traffic, which is to the left, then back.
    assert np.argmin(track) < np.argmax(track) and h.y[on].min() < -2.0 * h.y[on].max()
    assert touches_in_line(woven[degrees].touchdown, 9.0)
    assert abs(woven[degrees].touchdown.y) < 1.0


def test_lined_up_again_below_where_it_began_and_later_for_more(woven):
    heights = [lined_up_again_height(woven[degrees]) for degrees in (15, 30, 45)]
    assert BEGIN > heights[0] > heights[1] > heights[2] > 0.0


def test_whoever_weaves_keeps_flaps_and_speed_of_final(woven):
    h = woven[45].history
    low = h.height < BEGIN - 20.0
    assert np.ptp(h.flap_lever_deg[low]) < 1e-6
    above = low & (h.height > PLAN.round_out_height + 5.0)
    assert np.abs(h.true_airspeed[above][40:] - h.true_airspeed[above][40:].mean()).max() < 1.0


def test_right_traffic_mirrors_left():
    """Heights are equal and sides opposite."""
    left = fly(weave(30.0), TRAINER, AIR, pilot=STurnPilot)
    mirrored = replace(AIR, across=-AIR.across)
    right = fly(replace(weave(30.0), side=-1.0), TRAINER, mirrored, pilot=STurnPilot)
    np.testing.assert_allclose(right.history.y, -left.history.y, atol=1e-6)


@pytest.mark.parametrize("swings", [1, 2])
def test_s_turns_converge_to_an_eighth_order_solution(swings):
    plan = weave(40.0, swings)
    exact = exact_touchdown_of(plan, STurnPilot, AIR)
    off = [
        ft_from_m(fly(plan, TRAINER, AIR, step, STurnPilot).touchdown.x - exact)
        for step in (0.25, 0.125)
    ]
    assert abs(off[0]) < 0.5 and abs(off[1]) < 0.1


@pytest.mark.parametrize(
    ("call", "part"),
    [
        (lambda: s_turn_extra_path(200.0, 95.0), "0 to 90"),
        (lambda: s_turn_offset(200.0, -1.0), "0 to 90"),
        (lambda: weave(30.0, 3), "1 or 2"),
        (lambda: weave(120.0), "0 to 90"),
    ],
)
def test_what_cannot_be_is_one_sentence(call, part):
    with pytest.raises(ValueError, match=part) as raised:
        call()
    assert str(raised.value).endswith(".") and str(raised.value).count(". ") == 0


def test_never_back_on_the_line_is_told():
    """Begun much too low, the ground comes in the S-turn."""
    low = s_turn_plan(PLAN, 60.0, m_from_ft(120.0), SPEED, SINK)
    assert math.isnan(lined_up_again_height(fly(low, TRAINER, AIR, pilot=STurnPilot)))
