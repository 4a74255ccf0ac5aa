"""The same approach with part power: an RPM for each leg, left alone or corrected on final.

The pilot sets the RPM that should give the wanted path. Left alone, what an error of RPM does to
the touchdown comes out undisguised; corrected on final, the pilot holds the path to an aiming
point with it.
"""

import math
from dataclasses import dataclass, replace

import numpy as np

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.drag import drag_coefficient, lift_coefficient, polar_at_flap
from lessonkit.models.numeric import smooth_step
from lessonkit.models.power_off_approach import DRAFT_STEP, fly, fly_many
from lessonkit.models.power_off_pilot import ApproachPlan, PowerOffPilot, limited
from lessonkit.models.powered_propeller import Propeller, rpm_for_thrust, thrust_beyond_idle
from lessonkit.models.wind_profile import wind_growth
from lessonkit.units import m_from_ft, mps_from_fpm

THROTTLE_CLOSES_AT = m_from_ft(50.0)  # m; from here the power fades, gone at the round-out
SINK = mps_from_fpm(500.0)  # m/s on downwind and base; common practice, no source
FINAL_PATH_DEG = 4.0  # over the ground; common practice, no source
# The pilot who corrects: 30 rpm for each metre off the path, up to 400, bring the airplane back
# within some seven seconds where 100 rpm change the sink by 100 ft/min. Our own choice, no source.
RPM_PER_M = 30.0
MOST_CORRECTION = 400.0  # rpm
AIM_HEIGHTS = (m_from_ft(100.0), m_from_ft(250.0))  # of the path that is carried on to the ground


@dataclass(frozen=True)
class PoweredPlan(ApproachPlan):
    """An approach flown with part power; each number may be an array over cases.

    Parameters
    ----------
    downwind_rpm, base_rpm, final_rpm : float or array
        RPM set on each leg; 0 is a closed throttle. [rpm]
    diameter, zero_thrust_ratio, idle_ratio, slope : float
        The propeller, see `Propeller`; at idle they do not matter. [m, -]
    correction : float or array
        1 for a pilot who holds the path on final with the RPM, 0 for one who leaves it. [-]
    aim_x : float or array
        Where that path meets the ground, from the threshold. [m]
    path_slope : float
        Height over distance of that path. [-]
    """

    downwind_rpm: float = 0.0
    base_rpm: float = 0.0
    final_rpm: float = 0.0
    diameter: float = 1.9
    zero_thrust_ratio: float = Propeller.zero_thrust_ratio
    idle_ratio: float = Propeller.idle_ratio
    slope: float = Propeller.slope
    correction: float = 0.0
    aim_x: float = 0.0
    path_slope: float = math.tan(math.radians(FINAL_PATH_DEG))


class PoweredPilot(PowerOffPilot):
    """The pilot of the power-off approach with an RPM held on each leg."""

    def thrust(self, state, flow, base, final):
        """Thrust beyond the idling propeller in N: as set on the leg, fading into the round-out."""
        plan, f = self.plan, self.functions
        rpm = self._leg_value(plan.downwind_rpm, plan.base_rpm, plan.final_rpm, base, final)
        above = state.height - plan.path_slope * (plan.aim_x - state.x)
        rpm = rpm - plan.correction * final * limited(RPM_PER_M * above, MOST_CORRECTION, f)
        share = smooth_step(state.height, plan.round_out_height, THROTTLE_CLOSES_AT, f)
        return share * thrust_beyond_idle(rpm, state.true_airspeed, flow.density, plan, f)


def powered_plan(plan, parameters, propeller, wind, sink=SINK, final_path_deg=FINAL_PATH_DEG):
    """Add to a plan the RPM on each leg that gives the wanted path.

    Assumes steady flight at the leg's speed, wings level, with the leg's flaps and the wind
    at the height where the leg is flown; an RPM below idle is not asked for.

    Parameters
    ----------
    plan : ApproachPlan
        Speeds, flaps and the pattern; plain numbers. [SI]
    parameters : Parameters
        The airplane at idle. [SI]
    propeller : Propeller
        Its propeller. [SI]
    wind : Wind
        The air; plain numbers. [SI]
    sink : float
        Rate of descent on downwind and base. [m/s]
    final_path_deg : float
        Descent on final, over the ground. [deg]

    Returns
    -------
    PoweredPlan
        The same pattern with an RPM for each leg. [SI, rpm]

    References
    ----------
    .. [1] Steady flight: thrust = drag - weight times the sine of the descent.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.045,), (0.7,), (1.5,))
    >>> plan = ApproachPlan(900.0, 300.0, 900.0, 36.0, 36.0, 36.0, 34.0, 28.0)
    >>> with_power = powered_plan(plan, airplane, Propeller(1.9, 1.0, 1.1), Wind())
    >>> 1100.0 < with_power.downwind_rpm < 1500.0
    True
    """

    def rpm(cas, flap_deg, height, sine_of):
        density = float(wind.density(height))
        tas = cas * math.sqrt(SEA_LEVEL_DENSITY / density)
        sine = sine_of(tas, height)
        cd0, induced = polar_at_flap(parameters, flap_deg)
        lift = lift_coefficient(
            math.sqrt(1.0 - sine * sine), parameters.weight, density, tas, parameters.wing_area
        )
        pressure_area = 0.5 * density * tas * tas * parameters.wing_area
        drag = pressure_area * float(drag_coefficient(lift, cd0, induced))
        return rpm_for_thrust(drag - parameters.weight * sine, tas, density, propeller)

    def by_sink(tas, height):
        return sink / tas

    def by_path(tas, height):
        over_ground = tas + wind.along * float(wind_growth(height, wind.exponent)[0])
        return math.sin(math.atan(math.tan(math.radians(final_path_deg)) * over_ground / tas))

    high = plan.abeam_height
    pattern = {name: getattr(plan, name) for name in ApproachPlan.__dataclass_fields__}
    return PoweredPlan(
        **pattern,
        downwind_rpm=rpm(plan.downwind_cas, plan.downwind_flap_deg, 0.8 * high, by_sink),
        base_rpm=rpm(plan.base_cas, plan.base_flap_deg, 0.5 * high, by_sink),
        final_rpm=rpm(plan.final_cas, plan.final_flap_deg, 0.25 * high, by_path),
        **vars(propeller),
        path_slope=math.tan(math.radians(final_path_deg)),
    )


def corrected_on_final(plan, parameters, wind, step=DRAFT_STEP):
    """Return the plan of a pilot who holds the path of this plan's final with the RPM.

    Assumes that the plan, left alone, ends where the pilot means to touch down.

    Parameters
    ----------
    plan : PoweredPlan
        Plain numbers. [SI]
    parameters : Parameters
        The airplane at idle. [SI]
    wind : Wind
        The air; plain numbers. [SI]
    step : float
        As in `fly`. [s]

    Returns
    -------
    PoweredPlan
        With the aiming point to which the final, between 100 and 250 ft, leads. [SI]

    References
    ----------
    .. [1] The aiming point stays where it is in the windscreen: Airplane Flying Handbook
       FAA-H-8083-3C p. 9-5; how fast an error is taken back is our own choice.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.045,), (0.7,), (1.5,))
    >>> plan = PoweredPlan(900.0, 300.0, 1500.0, 36.0, 36.0, 36.0, 34.0, 28.0)
    >>> plan = powered_plan(plan, airplane, Propeller(1.9, 1.0, 1.1), Wind())
    >>> touchdown = fly(plan, airplane, Wind(), pilot=PoweredPilot).touchdown
    >>> aimed = corrected_on_final(plan, airplane, Wind())
    >>> 50.0 < touchdown.x - aimed.aim_x < 200.0  # round-out and float
    True
    """
    h = fly(plan, parameters, wind, step, PoweredPilot).history
    low, high = AIM_HEIGHTS
    seen = (h.height >= low) & (h.height <= high)
    aim = h.x[seen] + h.height[seen] / plan.path_slope
    return replace(plan, correction=1.0, aim_x=float(np.mean(aim)))


def base_turn_of_touchdown(plan, parameters, wind, target_x, limits, step=DRAFT_STEP, tries=16):
    """Distance past abeam at which to turn base so that the wheels touch at a wanted place.

    Parameters
    ----------
    plan : PoweredPlan
        Everything but the turn; plain numbers. [SI]
    parameters : Parameters
        The airplane at idle. [SI]
    wind : Wind
        The air; plain numbers. [SI]
    target_x : float
        Wanted touchdown, from the threshold. [m]
    limits : pair of float
        Nearest and farthest turn that is tried. [m]
    step : float
        As in `fly_many`. [s]
    tries : int
        How many turns are flown at once, evenly apart. [-]

    Returns
    -------
    float or None
        The turn, None where no turn within the limits reaches that place. [m]

    Notes
    -----
    Flown twice: over the whole range, then between the two neighbours of the target. The
    touchdown comes nearer the later the turn is.

    References
    ----------
    .. [1] Flown, not derived; nothing to cite.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.045,), (0.7,), (1.5,))
    >>> plan = PoweredPlan(900.0, 300.0, 0.0, 36.0, 36.0, 36.0, 34.0, 28.0)
    >>> turn = base_turn_of_touchdown(plan, airplane, Wind(), 100.0, (0.0, 1500.0))
    >>> 0.0 < turn < 1500.0
    True
    """
    low, high = limits
    for _ in range(2):
        turns = np.linspace(low, high, tries)
        flown = replace(plan, base_turn_distance=turns)
        misses = fly_many(flown, parameters, wind, step, PoweredPilot).x - target_x
        crossed = np.flatnonzero((misses[:-1] >= 0.0) & (misses[1:] < 0.0))
        if not crossed.size:
            return None
        at = crossed[-1]
        low, high = turns[at], turns[at + 1]
    share = misses[at] / (misses[at] - misses[at + 1])
    return float(low + share * (high - low))
