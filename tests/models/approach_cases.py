"""Random approaches for the tests and the bench: one airplane, many plans, weights and winds."""

from dataclasses import fields, replace

import numpy as np

from lessonkit.models.parameters import Parameters
from lessonkit.models.power_off_pilot import ApproachPlan
from lessonkit.models.wind_profile import Wind
from lessonkit.units import kg_from_lb, m2_from_ft2, m_from_ft, mps_from_kt

# Drag of a light four-seat trainer (Lowry, Performance of Light Aircraft, Example 9.1: CD0 .037,
# e .72, 174 ft2); flap figures are plausible, no source.
TRAINER = Parameters(
    mass=kg_from_lb(2400.0),
    wing_area=m2_from_ft2(174.0),
    span=m_from_ft(35.83),
    wing_height=2.0,
    flap_deg=(0.0, 10.0, 20.0, 30.0),
    cd0=(0.037, 0.042, 0.052, 0.062),
    oswald=(0.72, 0.72, 0.72, 0.70),
    cl_max=(1.5, 1.7, 1.85, 2.0),
)


def random_cases(count, seed=1):
    """Return plan, airplane and wind with arrays over cases."""
    pick = np.random.default_rng(seed).uniform
    plan = ApproachPlan(
        abeam_distance=m_from_ft(pick(2200, 4200, count)),
        abeam_height=m_from_ft(pick(800, 1200, count)),
        base_turn_distance=m_from_ft(pick(0, 2000, count)),
        entry_cas=mps_from_kt(pick(75, 90, count)),
        downwind_cas=mps_from_kt(pick(66, 74, count)),
        base_cas=mps_from_kt(pick(64, 72, count)),
        final_cas=mps_from_kt(pick(58, 66, count)),
        touchdown_cas=mps_from_kt(pick(48, 54, count)),
        downwind_flap_deg=0.0,
        base_flap_deg=10.0,
        final_flap_deg=pick(20, 30, count),
        bank_deg=pick(20, 40, count),
        power_delay=pick(0, 3, count),
        base_turn_delay=pick(-1, 2, count),
        final_turn_delay=pick(-1, 2, count),
        round_out_height=pick(6, 9, count),
        mark_x=pick(0, 200, count),
    )
    airplane = replace(TRAINER, mass=kg_from_lb(pick(1900, 2400, count)))
    wind = Wind(
        along=-mps_from_kt(pick(-3, 15, count)),
        across=mps_from_kt(pick(-8, 8, count)),
        elevation=m_from_ft(500.0),
    )
    return plan, airplane, wind


def one_case(things, index):
    """Return plan, airplane and wind of one of the random cases, in plain numbers."""

    def single(thing):
        numbers = {
            f.name: float(value[index])
            for f in fields(thing)
            if isinstance(value := getattr(thing, f.name), np.ndarray)
        }
        return replace(thing, **numbers)

    return tuple(single(thing) for thing in things)


def exact_touchdown(plan, airplane, wind, tolerance=1e-10):
    """Touchdown along the runway by scipy's eighth-order method, an independent stepper."""
    from scipy.integrate import solve_ivp

    from lessonkit.models.numeric import SCALAR
    from lessonkit.models.point_mass import derivatives
    from lessonkit.models.power_off_approach import start_state
    from lessonkit.models.power_off_pilot import PowerOffPilot

    pilot = PowerOffPilot(plan, airplane, SCALAR)

    def rates(_, state):
        return derivatives(state.tolist(), pilot, airplane, wind, SCALAR)

    def height(_, state):
        return state[2]

    height.terminal, height.direction = True, -1
    solved = solve_ivp(
        rates,
        (plan.power_delay, 600.0),
        start_state(plan, wind, SCALAR),
        method="DOP853",
        rtol=tolerance,
        atol=tolerance,
        max_step=1.0,
        events=height,
    )
    return float(solved.y_events[0][0][0])
