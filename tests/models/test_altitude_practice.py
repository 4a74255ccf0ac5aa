"""Practice at altitude: what grows with altitude and by how much, floors, callouts."""

from dataclasses import replace

import numpy as np
import pytest

from lessonkit.models.altitude_practice import (
    GATE_HEIGHT,
    LEAST_FLOOR,
    RECOVERY_ALLOWANCE,
    lowest_line_altitude,
    practice_at_altitude,
)
from lessonkit.models.parameters import Parameters
from lessonkit.models.power_off_approach import fly
from lessonkit.models.power_off_pilot import ApproachPlan
from lessonkit.models.wind_profile import Wind
from lessonkit.units import ft_from_m, m_from_ft

DRAG = (0.037, 0.062), (0.72, 0.72)
TRAINER = Parameters(1089.0, 16.165, 10.92, 2.0, (0.0, 30.0), *DRAG, (1.5, 2.0))
PLAN = ApproachPlan(850.0, 305.0, 800.0, 40.0, 37.0, 37.0, 33.0, 28.0, final_flap_deg=30.0)
LINE = m_from_ft(4000.0)


def practice(plan=PLAN, wind=None, line=LINE, ground=0.0, heading=270.0, **more):
    return practice_at_altitude(plan, TRAINER, wind or Wind(), line, ground, heading, **more)


def heading_of(found, key):
    return next(call.heading_deg for call in found.callouts if call.key == key)


def test_speed_and_radius_grow_as_the_density_table_says():
    """Density ratio .88809 at 4,000 ft (standard atmosphere, read): 1/sqrt and 1/ratio."""
    found = practice()
    assert found.speed_ratio == pytest.approx(1.0 / np.sqrt(0.88809), rel=1e-3)
    assert found.turn_radius / found.turn_radius_at_field == pytest.approx(1 / 0.88809, rel=2e-3)


def test_radius_at_the_field_is_v_squared_over_g_tan_bank():
    radius = practice().turn_radius_at_field
    assert radius == pytest.approx(37.0**2 / (9.80665 * np.tan(np.radians(30.0))), rel=1e-3)


def test_at_the_field_itself_nothing_grows():
    found = practice(line=m_from_ft(2000.0), wind=Wind(elevation=m_from_ft(2000.0)))
    assert found.speed_ratio == pytest.approx(1.0)
    assert found.turn_radius == pytest.approx(found.turn_radius_at_field)
    assert found.time == pytest.approx(found.time_at_field)


def test_altitudes_stand_in_their_order_and_add_up():
    ground = m_from_ft(700.0)
    line = lowest_line_altitude(ground)
    found = practice(line=line, ground=ground)
    assert ft_from_m(found.floor_altitude) == pytest.approx(2200.0)
    assert found.line_altitude - found.floor_altitude == pytest.approx(RECOVERY_ALLOWANCE)
    assert found.go_around_altitude - found.line_altitude == pytest.approx(GATE_HEIGHT)
    assert found.start_altitude - found.line_altitude == pytest.approx(PLAN.abeam_height)
    assert LEAST_FLOOR == pytest.approx(m_from_ft(1500.0))


def test_too_low_a_line_and_too_low_a_start_are_refused():
    with pytest.raises(ValueError, match="too low"):
        practice(line=lowest_line_altitude(0.0) - 5.0)
    with pytest.raises(ValueError, match="start higher"):
        practice(plan=replace(PLAN, abeam_height=GATE_HEIGHT))


def test_callouts_descend_in_time_from_abeam_to_the_line():
    calls = practice().callouts
    assert calls[0].key == "abeam"
    assert calls[-1].key == "touchdown"
    assert {"base_turn", "base", "final_turn", "final", "go_around"} <= {c.key for c in calls}
    times, heights = [c.time for c in calls], [c.height for c in calls]
    assert times == sorted(times)
    assert heights == sorted(heights, reverse=True)
    for call in calls:
        assert call.altitude == pytest.approx(LINE + call.height)


def test_gate_is_called_when_the_flight_passes_it():
    found = practice()
    gate = next(c for c in found.callouts if c.key == "go_around")
    history = found.approach.history
    assert np.interp(gate.time, history.time, history.height) == pytest.approx(GATE_HEIGHT, abs=0.5)


@pytest.mark.parametrize(("side", "base"), [(1.0, 0.0), (-1.0, 180.0)])
def test_headings_of_left_and_right_traffic(side, base):
    found = practice(plan=replace(PLAN, side=side))
    assert found.final_heading_deg == pytest.approx(270.0)
    assert found.downwind_heading_deg == pytest.approx(90.0)
    assert found.base_heading_deg == pytest.approx(base)
    headings = {call.key: call.heading_deg for call in found.callouts}
    assert headings["abeam"] == pytest.approx(90.0, abs=1.0)
    off = (headings["base"] - base + 180.0) % 360.0 - 180.0
    assert off == pytest.approx(0.0, abs=1e-6)  # still air: the leg's own heading
    assert headings["final"] == headings["touchdown"] == pytest.approx(270.0)


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_headings_hold_the_legs_in_a_crosswind(side):
    """Wind triangle: sin(drift) = component across the leg over the true airspeed [D]."""
    wind = Wind(across=6.0)  # from the left of final
    found = practice(plan=replace(PLAN, side=side), wind=wind)
    headings = {call.key: call.heading_deg for call in found.callouts}
    drift = np.degrees(np.arcsin(6.0 / found.approach.history.true_airspeed[0]))
    assert headings["abeam"] == pytest.approx(90.0 + drift, abs=1e-6)
    assert headings["final"] < 270.0 - 8.0  # nose to the left, into the wind
    assert headings["base"] == pytest.approx(0.0 if side > 0 else 180.0, abs=1e-6)


def test_headings_hold_the_base_leg_in_a_headwind_on_final():
    found = practice(wind=Wind(along=-6.0))
    assert 345.0 < heading_of(found, "base") < 352.0  # west wind on a leg to the north: nose left
    right = practice(plan=replace(PLAN, side=-1.0), wind=Wind(along=-6.0))
    # mirror images about the line, which lies along 270 deg
    assert heading_of(found, "base") + heading_of(right, "base") == pytest.approx(540.0)


def test_left_and_right_are_mirror_images():
    left, right = practice(), practice(plan=replace(PLAN, side=-1.0))
    assert left.time == pytest.approx(right.time)
    assert [c.height for c in left.callouts] == pytest.approx([c.height for c in right.callouts])


def test_there_is_no_round_out_and_no_ground_effect_at_the_imaginary_runway():
    """On final, on speed, in free air: sink and speed stay until the height is passed."""
    for found in (practice(), practice(wind=Wind(along=-5.0, exponent=1.0 / 7.0))):
        down, history = found.approach.touchdown, found.approach.history
        assert history.height[-1] == pytest.approx(0.0, abs=1e-9)
        assert down.calibrated_airspeed == pytest.approx(PLAN.final_cas, abs=0.3)
        steady = history.height < m_from_ft(150.0)
        assert np.ptp(history.true_airspeed[steady]) < 0.3
        assert np.ptp(history.path_angle_deg[steady]) < 0.3
        assert found.callouts[-1].time == pytest.approx(down.time)
    at_field = fly(PLAN, TRAINER, Wind())
    assert found.approach.touchdown.time < at_field.touchdown.time - 3.0


def test_high_above_the_runway_it_is_the_approach_of_the_field():
    """Only round-out and ground effect differ: same still air, same places above 50 ft."""
    free, field = practice(line=m_from_ft(2000.0)), fly(PLAN, TRAINER, Wind(elevation=609.6))
    for height in (250.0, 150.0, 20.0):
        places = [
            np.interp(-height, -one.history.height, one.history.x) for one in (free.approach, field)
        ]
        assert places[0] == pytest.approx(places[1], abs=2.0)


def test_wind_is_the_same_at_all_heights():
    """Over the ground abeam: the true airspeed and the wind as set, whatever its exponent."""
    history = practice(wind=Wind(along=4.0, exponent=1.0 / 7.0)).approach.history
    early = history.time < 5.0
    over_ground = np.gradient(history.x[early], history.time[early])
    assert over_ground + history.true_airspeed[early] == pytest.approx(4.0, abs=0.15)


def test_higher_flies_the_same_heights_in_less_time_where_the_path_is_longer_through_the_air():
    low, high = practice(line=m_from_ft(2500.0)), practice(line=m_from_ft(8000.0))
    assert high.speed_ratio > low.speed_ratio
    assert high.turn_radius > low.turn_radius
    base_low, base_high = (next(c for c in p.callouts if c.key == "base_turn") for p in (low, high))
    assert base_high.time < base_low.time  # faster over the same distance
