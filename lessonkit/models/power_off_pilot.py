"""How the pilot of a power-off approach flies: legs, turns, speeds, flaps and round-out.

The pilot is a smooth function from what can be seen (place, height, speed, track over the
ground) to controls. Nothing switches: each change is blended with continuous curvature, so that
a fixed-step integration converges and thousands of cases can share it.
"""

import math
from dataclasses import dataclass

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.numeric import ARRAY, smooth_step
from lessonkit.models.point_mass import GRAVITY, Controls, drag_force

HALF_TURN = math.pi
QUARTER_TURN = 0.5 * math.pi

# The pilot's manner. Common practice, no source, except where a line says otherwise.
TURN_START_DISTANCE = 90.0  # m along the leg over which the decision to turn becomes a bank
TRACK_GAIN = 1.6  # bank per error of track, both in rad
ROLL_RATE_DEG = 15.0  # deg/s
ROLL_TIME_CONSTANT = 1.0  # s
FINAL_LEAD_TIME = 3.0  # s of looking ahead for the turn to final: roll-in plus the lag of the gain
FINAL_TURN_SHARE = 0.95  # the turn to final is planned with this share of the bank's turn rate
CENTRELINE_SOFTNESS = 0.15  # share of the turn radius inside which the centreline is eased in
SPEED_TIME_CONSTANT = 3.0  # s
SPEED_CHANGE_LIMIT = 1.5  # m/s2; more than idle drag, so a fast airplane first holds its height
PATH_TIME_CONSTANT = 1.0  # s
BASE_BY_TRACK = (0.25, 0.7)  # rad turned off the downwind track: from here on it is the base leg
FINAL_BY_TRACK = (0.9, 1.4)  # rad turned off the base track: final flaps and speed are taken
STEEPEST_COS_BANK = 0.25  # 75 deg, beyond any bank of this pilot
NO_CLIMB_SOFTNESS = 0.01  # slope within which "never climb" is eased in
HOLD_OFF_SINK = 0.15  # m/s while the speed is still well above the touchdown speed
TOUCHDOWN_STALL_FACTOR = 1.15  # speed at which the wheels are let down, over the stall speed
TOUCHDOWN_FINAL_SHARE = 0.88  # the same over a final at 1.3 VS0, where no stall speed is certain
TOUCHDOWN_SINK = 0.6  # m/s, about 120 ft/min
HOLD_OFF_BAND = 4.0  # m/s of speed over which the hold-off gives way to the touchdown


@dataclass(frozen=True)
class ApproachPlan:
    """What the pilot means to do; each number may be an array over cases.

    Speeds are calibrated airspeeds. The mark is the point meant for the touchdown; abeam means
    abeam of the mark. With `side` +1 the pattern lies left of the runway, with -1 right.

    Parameters
    ----------
    abeam_distance, abeam_height : float or array
        Distance from the extended centreline and height over the runway, abeam. [m]
    base_turn_distance : float or array
        How far past abeam the turn to base begins. [m]
    entry_cas, downwind_cas, base_cas, final_cas : float or array
        Speed abeam, then the speed to glide at on each leg. [m/s]
    touchdown_cas : float or array
        Speed at which the wheels are let down. [m/s]
    downwind_flap_deg, base_flap_deg, final_flap_deg : float or array
        Flap angle on each leg. [deg]
    bank_deg : float or array
        Bank used in the turns, 5 to 60. [deg]
    power_delay : float or array
        Time past abeam until the throttle is closed; till then the height is held. [s]
    base_turn_delay, final_turn_delay : float or array
        How late each turn is begun; negative is early. [s]
    round_out_height : float or array
        Height of the wheels at which the round-out begins. [m]
    mark_x : float or array
        The mark's distance beyond the threshold. [m]
    side : float
        +1 for left traffic, -1 for right traffic. [-]
    """

    abeam_distance: float
    abeam_height: float
    base_turn_distance: float
    entry_cas: float
    downwind_cas: float
    base_cas: float
    final_cas: float
    touchdown_cas: float
    downwind_flap_deg: float = 0.0
    base_flap_deg: float = 0.0
    final_flap_deg: float = 0.0
    bank_deg: float = 30.0
    power_delay: float = 0.0
    base_turn_delay: float = 0.0
    final_turn_delay: float = 0.0
    round_out_height: float = 7.0
    mark_x: float = 0.0
    side: float = 1.0


def touchdown_speed(stall_cas, final_cas):
    """Speed at which the pilot lets the wheels down at the end of the hold-off.

    Parameters
    ----------
    stall_cas : float or None
        Stall speed in the landing configuration, None where it may not be stated. [m/s]
    final_cas : float
        Recommended speed on final, taken where there is no stall speed. [m/s]

    Returns
    -------
    float
        Calibrated airspeed. [m/s]

    References
    ----------
    .. [1] 1.15 times the stall speed: common practice, no source.

    Examples
    --------
    >>> round(touchdown_speed(24.0, 33.0), 1)
    27.6
    """
    if stall_cas is None:
        return TOUCHDOWN_FINAL_SHARE * final_cas
    return TOUCHDOWN_STALL_FACTOR * stall_cas


def limited(value, limit, functions=ARRAY):
    """Follow a small value, level off smoothly at a limit on either side.

    Parameters
    ----------
    value, limit : float or array
        Any unit, the same for both; `limit` above 0. [unit of value]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    float or array
        value / (1 + (value/limit)^4)^(1/4). [unit of value]

    References
    ----------
    .. [1] A smooth limiter of our own choice.

    Examples
    --------
    >>> round(float(limited(1000.0, 2.0)), 6)
    2.0
    """
    ratio = value / limit
    square = ratio * ratio
    return value / functions.sqrt(functions.sqrt(1.0 + square * square))


def centreline_track(offset, radius, functions=ARRAY):
    """Track, off the final heading, that leads along an arc onto the centreline.

    Parameters
    ----------
    offset : float or array
        Distance from the centreline on the side one comes from; negative beyond it. [m]
    radius : float or array
        Radius of the arc. [m]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    float or array
        Angle toward the centreline, near 90 deg far away, 0 on it. [rad]

    Notes
    -----
    On an arc tangent to the centreline, 1 - cos(angle) = offset/radius. Close to the
    centreline the square root in it is eased into a straight line, so that a pilot can follow.

    References
    ----------
    .. [1] Geometry of a circle and its tangent.

    Examples
    --------
    >>> import math
    >>> round(math.degrees(float(centreline_track(50.0, 200.0))))
    38
    """
    u = offset / radius
    square = u * u
    soft = functions.sqrt(functions.sqrt(square + CENTRELINE_SOFTNESS**2))
    half_sine = u / soft * math.sqrt(0.5)
    fourth = 4.0 * (half_sine * half_sine) ** 2
    eighth = fourth * fourth
    return 2.0 * functions.arcsin(
        half_sine / functions.sqrt(functions.sqrt(functions.sqrt(1.0 + eighth)))
    )


class PowerOffPilot:
    """Controls of a power-off approach as a function of the state.

    Parameters
    ----------
    plan : ApproachPlan
        What the pilot means to do. [SI]
    parameters : Parameters
        The airplane. [SI]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]
    """

    def __init__(self, plan, parameters, functions=ARRAY):
        self.plan = plan
        self.parameters = parameters
        self.functions = functions
        self._bank = plan.bank_deg * (math.pi / 180.0)
        self._arc = FINAL_TURN_SHARE * GRAVITY * functions.tan(self._bank)
        self._roll_limit = math.radians(ROLL_RATE_DEG)

    def __call__(self, state, flow):
        """Return the controls at a state."""
        track, x_rate, closing = self._over_ground(state, flow)
        base, final = self.legs(state, track, x_rate)
        thrust = self.thrust(state, flow, base, final)
        load_factor = self._load_factor(state, flow, base, final, thrust)
        bank_rate = self._bank_rate(state, track, closing, base)
        return Controls(load_factor, bank_rate, self.flap_lever(base, final), thrust)

    def thrust(self, state, flow, base, final):
        """Thrust beyond the idling propeller in N: none; other pilots of this approach differ."""
        return 0.0

    def _over_ground(self, state, flow):
        """Track, rate of x, rate of closing on the centreline, as in a left-hand pattern."""
        forward = state.true_airspeed * flow.cos_path
        ahead = forward + flow.wind_ahead * flow.wind_factor
        right = flow.wind_right * flow.wind_factor
        track = self.plan.side * (state.heading + self.functions.arctan(right / ahead))
        x_rate = ahead * flow.cos_heading - right * flow.sin_heading
        closing = self.plan.side * (ahead * flow.sin_heading + right * flow.cos_heading)
        return track, x_rate, closing

    def legs(self, state, track, x_rate):
        """Shares of the base leg and of the final: 0 before, 1 after the turn onto it."""
        f, plan = self.functions, self.plan
        turn_x = plan.mark_x - plan.base_turn_distance + plan.base_turn_delay * x_rate
        by_place = smooth_step(turn_x - state.x, 0.0, TURN_START_DISTANCE, f)
        by_track = smooth_step(HALF_TURN - track, *BASE_BY_TRACK, f)
        base = 1.0 - (1.0 - by_place) * (1.0 - by_track)
        return base, smooth_step(QUARTER_TURN - track, *FINAL_BY_TRACK, f)

    def _bank_rate(self, state, track, closing, base):
        f, plan = self.functions, self.plan
        radius = state.true_airspeed**2 / self._arc
        lead = FINAL_LEAD_TIME - plan.final_turn_delay
        offset = -plan.side * state.y - closing * lead
        wanted = HALF_TURN + base * (self.line_track(state, offset, radius) - HALF_TURN)
        turn = limited(TRACK_GAIN * (track - wanted), self._bank, f)
        error = -plan.side * turn - state.bank
        return limited(error / ROLL_TIME_CONSTANT, self._roll_limit, f)

    def line_track(self, state, offset, radius):
        """Track in rad, off the final heading, that leads to the centreline; others may weave."""
        return centreline_track(offset, radius, self.functions)

    def _load_factor(self, state, flow, base, final, thrust):
        """Pull that follows the wanted sink: the glide's, near the ground the round-out's."""
        speed = state.true_airspeed
        glide_share, share_slope = self._glide_share(state.height)
        glide_sink, low_sink = self._sinks(state, flow, base, final, glide_share, thrust)
        extra = glide_sink - low_sink
        sine = (low_sink + extra * glide_share) / speed
        path_error = -sine * (1.0 + sine * sine / 6.0) - state.path_angle
        path_rate = path_error / PATH_TIME_CONSTANT - extra * share_slope * flow.sin_path
        return (flow.cos_path + speed / GRAVITY * path_rate) / self._cos_bank(flow)

    def _glide_share(self, height):
        """1 above the round-out height, 0 at the ground, and its slope with height."""
        top = self.plan.round_out_height
        u = self.functions.unit_interval(height / top)
        return u * u * u * (10.0 - u * (15.0 - 6.0 * u)), 30.0 * (u * (1.0 - u)) ** 2 / top

    def _sinks(self, state, flow, base, final, glide_share, thrust):
        """Sink that holds the speed of the leg, and sink of the hold-off."""
        f, plan, speed = self.functions, self.plan, state.true_airspeed
        to_true = f.sqrt(SEA_LEVEL_DENSITY / flow.density)
        cas = self._leg_value(plan.downwind_cas, plan.base_cas, plan.final_cas, base, final)
        change = limited((to_true * cas - speed) / SPEED_TIME_CONSTANT, SPEED_CHANGE_LIMIT, f)
        pull = flow.cos_path / self._cos_bank(flow)
        drag = drag_force(pull, flow, self.parameters) - thrust
        sine = drag / self.parameters.weight + change * glide_share / GRAVITY
        sine = 0.5 * (sine + f.sqrt(sine * sine + NO_CLIMB_SOFTNESS**2))
        slow = to_true * plan.touchdown_cas + HOLD_OFF_BAND - speed
        let_down = smooth_step(slow, 0.0, HOLD_OFF_BAND, f)
        return (
            speed * sine,
            HOLD_OFF_SINK + (TOUCHDOWN_SINK - HOLD_OFF_SINK) * let_down,
        )

    def _cos_bank(self, flow):
        """Cosine of the bank, kept above zero for trial steps of an integrator that overshoot."""
        return self.functions.maximum(flow.cos_bank, STEEPEST_COS_BANK)

    def flap_lever(self, base, final):
        """Flap angle in degrees asked for on the way from leg to leg."""
        plan = self.plan
        return self._leg_value(
            plan.downwind_flap_deg, plan.base_flap_deg, plan.final_flap_deg, base, final
        )

    @staticmethod
    def _leg_value(downwind, on_base, on_final, base, final):
        return downwind + (on_base - downwind) * base + (on_final - on_base) * final
