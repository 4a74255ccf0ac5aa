"""Part power: the propeller against its report, steady descents, energy, and errors of RPM."""

import math
from dataclasses import fields, replace

import numpy as np
import pytest
from scipy.integrate import simpson, solve_ivp
from scipy.optimize import brentq

from lessonkit.models.numeric import ARRAY, SCALAR
from lessonkit.models.parameters import Parameters
from lessonkit.models.point_mass import derivatives
from lessonkit.models.power_off_approach import fly, fly_many, start_state
from lessonkit.models.power_off_pilot import ApproachPlan
from lessonkit.models.powered_approach import (
    PoweredPilot,
    PoweredPlan,
    base_turn_of_touchdown,
    corrected_on_final,
    powered_plan,
)
from lessonkit.models.powered_propeller import (
    Propeller,
    idle_advance_ratio,
    idle_rpm_in_flight,
    propeller_thrust,
    rpm_for_thrust,
    thrust_beyond_idle,
    thrust_coefficient,
    zero_thrust_ratio_of_cruise,
)
from lessonkit.models.wind_profile import Wind
from lessonkit.units import fpm_from_mps, ft_from_m

AIRPLANE = Parameters(
    1000.0, 16.0, 10.8, 2.0, (0.0, 10.0, 30.0), (0.046, 0.051, 0.058), (0.67, 0.60, 0.53),
    (1.58, 1.73, 2.02),
)  # fmt: skip
NO_THRUST = replace(AIRPLANE, cd0=(0.039, 0.044, 0.051))
WOOD = Propeller(1.89, 0.953, 1.035)
PLAN = ApproachPlan(
    830.0, 305.0, 1733.0, 36.0, 34.4, 34.4, 33.3, 25.6, base_flap_deg=10.0, final_flap_deg=30.0
)
CALM = Wind()
G = 9.80665

# NACA Report 594 (1937), propeller C at 15 degrees, CT against J, read in a public digitised copy.
REPORT = {0.5: 0.0674, 0.6: 0.0495, 0.65: 0.0391, 0.75: 0.0183, 0.8: 0.0080}


@pytest.fixture(scope="module")
def powered():
    plan = powered_plan(PLAN, AIRPLANE, WOOD, CALM)
    return plan, fly(plan, AIRPLANE, CALM, pilot=PoweredPilot)


def with_rpm(plan, more):
    """The plan with the RPM off by as much on every leg."""
    legs = ("downwind_rpm", "base_rpm", "final_rpm")
    return replace(plan, **{leg: getattr(plan, leg) + more for leg in legs})


@pytest.mark.parametrize(("ratio", "coefficient"), REPORT.items())
def test_the_line_follows_the_report(ratio, coefficient):
    # Within 1 % of the static thrust coefficient of the same table, 0.1322.
    assert thrust_coefficient(ratio) == pytest.approx(coefficient, abs=0.0013)


def test_zero_thrust_where_the_report_has_it():
    # From the last two points of the table: 0.8 + 0.05 x 80 / (183 - 80) = 0.839.
    zero = brentq(thrust_coefficient, 0.5, 1.2)
    assert zero == pytest.approx(0.84, abs=0.01)


def test_thrust_by_hand():
    # T = rho n^2 D^4 CT: n 25/s, J = 35 / (25 x 1.9) = 0.7368, CT = 0.1996 (0.953 - 0.7368).
    thrust = propeller_thrust(1500.0, 35.0, 1.225, Propeller(1.9, 0.953))
    assert thrust == pytest.approx(1.225 * 25.0**2 * 1.9**4 * 0.1996 * (0.953 - 0.73684), rel=1e-4)


def test_the_idling_propeller_brakes_as_much_as_the_card_says():
    brake_cd0 = AIRPLANE.cd0[0] - NO_THRUST.cd0[0]
    ratio = idle_advance_ratio(brake_cd0, 16.0, WOOD.diameter, WOOD.zero_thrust_ratio)
    propeller = replace(WOOD, idle_ratio=ratio)
    tas = 35.0
    thrust = propeller_thrust(idle_rpm_in_flight(tas, propeller), tas, 1.225, propeller)
    assert thrust == pytest.approx(-0.5 * 1.225 * tas**2 * 16.0 * brake_cd0, rel=1e-9)
    # Windmilling: RPM in proportion to the airspeed.
    assert idle_rpm_in_flight(70.0, propeller) == pytest.approx(
        2.0 * idle_rpm_in_flight(35.0, propeller)
    )


def test_the_propeller_of_the_cruise_holds_level_flight_there():
    power, rpm, diameter = 119_300.0, 2450.0, 1.89
    ratio = zero_thrust_ratio_of_cruise(power, rpm, diameter, NO_THRUST)

    def drag(tas):
        q = 0.5 * 1.225 * tas**2
        cl = 1000.0 * G / (q * 16.0)
        return q * 16.0 * (0.039 + cl**2 / (math.pi * 0.67 * 10.8**2 / 16.0))

    cruise = brentq(lambda tas: drag(tas) * tas - 0.75 * 0.8 * power, 40.0, 90.0)
    turns = rpm / 60.0
    coefficient = 0.1996 * (ratio - cruise / (turns * diameter))
    assert 1.225 * turns**2 * diameter**4 * coefficient == pytest.approx(drag(cruise), rel=1e-3)


@pytest.mark.parametrize("wanted", [50.0, 400.0, 1500.0])
def test_rpm_and_thrust_are_each_others_inverse(wanted):
    rpm = rpm_for_thrust(wanted, 35.0, 1.1, WOOD)
    assert thrust_beyond_idle(rpm, 35.0, 1.1, WOOD) == pytest.approx(wanted, rel=1e-9)
    assert rpm_for_thrust(-wanted, 35.0, 1.1, WOOD) == idle_rpm_in_flight(35.0, WOOD)


def test_nobody_turns_the_engine_slower_than_idle():
    idle = float(idle_rpm_in_flight(35.0, WOOD))
    rpm = np.array([0.0, 0.5 * idle, idle, idle + 1.0, idle + 200.0])
    thrust = thrust_beyond_idle(rpm, 35.0, 1.225, WOOD, ARRAY)
    assert thrust[:3].tolist() == [0.0, 0.0, 0.0] and 0.0 < thrust[3] < thrust[4]


def test_a_closed_throttle_is_the_power_off_approach():
    power_off = replace(PLAN, base_turn_distance=800.0)
    closed = PoweredPlan(**{f.name: getattr(power_off, f.name) for f in fields(power_off)})
    without = fly(power_off, AIRPLANE, CALM).touchdown
    assert fly(closed, AIRPLANE, CALM, pilot=PoweredPilot).touchdown == without


def test_the_rpm_gives_the_wanted_path_on_each_leg(powered):
    plan, approach = powered
    h = approach.history
    sink = -np.gradient(h.height, h.time)
    downwind = (h.time > 15.0) & (h.x > -1500.0) & (h.y < -800.0)
    assert fpm_from_mps(np.median(sink[downwind])) == pytest.approx(500.0, abs=15.0)
    final = (h.height < 75.0) & (h.height > 20.0)
    ahead = np.gradient(h.x, h.time)
    path_deg = np.degrees(np.arctan(np.median(sink[final] / ahead[final])))
    assert path_deg == pytest.approx(4.0, abs=0.1)
    assert plan.downwind_rpm < plan.base_rpm < plan.final_rpm  # flaps need power


def test_energy_lost_is_the_work_of_drag_less_thrust(powered):
    plan, approach = powered
    h = approach.history
    chosen = (h.height > 30.0) & (h.bank_deg**2 < 1.0) & (h.x < -300.0) & (h.y > -100.0)
    t, v, height = h.time[chosen], h.true_airspeed[chosen], h.height[chosen]
    rho = CALM.density(height)
    q = 0.5 * rho * v**2
    cl = h.load_factor[chosen] * 1000.0 * G / (q * 16.0)
    cd0 = np.interp(h.flap_deg[chosen], AIRPLANE.flap_deg, AIRPLANE.cd0)
    k = 1.0 / (math.pi * np.array(AIRPLANE.oswald) * 10.8**2 / 16.0)
    drag = q * 16.0 * (cd0 + np.interp(h.flap_deg[chosen], AIRPLANE.flap_deg, k) * cl**2)
    turns, d = plan.final_rpm / 60.0, WOOD.diameter

    def pull(n):
        return rho * n**2 * d**4 * 0.1996 * (WOOD.zero_thrust_ratio - v / (n * d))

    thrust = pull(turns) - pull(v / (WOOD.idle_ratio * d))
    lost = simpson((drag - thrust) * v, x=t)
    energy = 1000.0 * (G * height + 0.5 * v**2)
    assert energy[0] - energy[-1] == pytest.approx(lost, rel=0.01)


def test_one_powered_flight_against_an_eighth_order_solution(powered):
    plan, approach = powered
    pilot = PoweredPilot(plan, AIRPLANE, SCALAR)

    def rates(_, state):
        return derivatives(state.tolist(), pilot, AIRPLANE, CALM, SCALAR)

    def ground(_, state):
        return state[2]

    ground.terminal = True
    start = start_state(plan, CALM, SCALAR)
    exact = solve_ivp(
        rates, (0.0, 400.0), start, "DOP853", events=ground, rtol=1e-9, atol=1e-9, max_step=2.0
    )
    assert approach.touchdown.x == pytest.approx(exact.y[0, -1], abs=0.15)


def test_a_few_rpm_too_many_carry_the_airplane_as_far_as_a_flatter_path_does(powered):
    plan, approach = powered
    h, error = approach.history, 5.0
    # More thrust takes dT / W off the sine of the descent all the way down to where the throttle
    # closes; the height that is not lost is flown off at the end, on the final's path.
    v, rho, d = 34.0, 1.2, WOOD.diameter
    slope = rho * 0.1996 * d**3 * (2.0 * WOOD.zero_thrust_ratio * d * 1520.0 / 60.0 - v) / 60.0
    length = float(np.sum(np.hypot(np.diff(h.x), np.diff(h.y))[h.height[1:] > 12.0]))
    kept = error * slope / (1000.0 * G) * length
    moved = fly(with_rpm(plan, error), AIRPLANE, CALM, pilot=PoweredPilot).touchdown.x
    assert moved - approach.touchdown.x == pytest.approx(
        kept / math.tan(math.radians(4.0)), rel=0.2
    )


def test_a_hundred_rpm_change_the_sink_by_about_a_hundred_feet_per_minute(powered):
    plan, _ = powered
    more = fly(with_rpm(plan, 100.0), AIRPLANE, CALM, pilot=PoweredPilot).history
    downwind = (more.time > 15.0) & (more.x > -1500.0) & (more.y < -800.0)
    sink = -np.gradient(more.height, more.time)
    # "100 rpm, 100 ft/min" is common practice in light trainers, no source.
    assert 60.0 < 500.0 - fpm_from_mps(np.median(sink[downwind])) < 140.0


def test_errors_of_rpm_move_the_touchdown_the_right_way_and_correcting_takes_most_back(powered):
    plan, approach = powered
    held = corrected_on_final(plan, AIRPLANE, CALM)

    def moved(base, error):
        there = fly(with_rpm(base, error), AIRPLANE, CALM, pilot=PoweredPilot).touchdown.x
        return ft_from_m(there - approach.touchdown.x)

    left = [moved(plan, error) for error in (-100.0, 100.0)]
    corrected = [moved(held, error) for error in (-100.0, 0.0, 100.0)]
    assert left[0] < -1000.0 and left[1] > 1000.0
    assert corrected[0] < corrected[1] < corrected[2]
    assert abs(corrected[1]) < 40.0  # meant and flown are the same without an error
    assert corrected[2] - corrected[0] < 0.15 * (left[1] - left[0])


def test_an_early_turn_is_taken_back_by_the_pilot_who_corrects(powered):
    plan, approach = powered
    held = replace(corrected_on_final(plan, AIRPLANE, CALM), base_turn_delay=np.array([-3.0, 3.0]))
    places = fly_many(held, AIRPLANE, CALM, pilot=PoweredPilot).x
    assert np.abs(ft_from_m(places - approach.touchdown.x)).max() < 60.0


def test_the_turn_that_is_planned_leads_to_the_wanted_touchdown():
    plan = powered_plan(PLAN, AIRPLANE, WOOD, Wind(along=-3.0))
    there = AIRPLANE, Wind(along=-3.0)
    turn = base_turn_of_touchdown(plan, *there, 180.0, (500.0, 3000.0), tries=8)
    flown = fly(replace(plan, base_turn_distance=turn), *there, pilot=PoweredPilot)
    assert flown.touchdown.x == pytest.approx(180.0, abs=5.0)
    assert base_turn_of_touchdown(plan, *there, 9000.0, (500.0, 3000.0), tries=2) is None


def test_headwind_on_final_asks_for_more_rpm():
    rpm = [powered_plan(PLAN, AIRPLANE, WOOD, Wind(along=-w)).final_rpm for w in (0.0, 5.0)]
    assert rpm[1] > rpm[0] + 20.0
