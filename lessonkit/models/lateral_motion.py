"""The roll-yaw motion: sideslip, roll rate, yaw rate, bank and heading in body axes.

The pilot's elevator holds the path: the load factor is 1/cos(bank) up to 60 degrees of bank, some
2 g beyond, and never more than the wing gives; speed is held. The wing does not drop at the stall
here: this model holds below it.
"""

import math

from lessonkit.models.lateral_airplane import derivatives_at
from lessonkit.models.lateral_state import STRAIGHT, LateralControls, LateralRates, LateralState
from lessonkit.models.numeric import ARRAY, smooth_step
from lessonkit.models.propeller_yaw import power_effects
from lessonkit.units import STANDARD_GRAVITY

__all__ = [
    "STRAIGHT",
    "LateralControls",
    "LateralRates",
    "LateralState",
    "derivatives",
    "held_load_factor",
    "lateral_rates",
    "limited",
    "limited_share",
    "seen",
    "seen_of",
]

HELD_TO_COSINE, LET_GO_COSINE = 0.5, 0.35  # of the bank: 60 deg, and some 70 deg
STEEP_LOAD_FACTOR = 2.0
_RADIAN = math.pi / 180.0


def held_load_factor(cos_bank, greatest, functions=ARRAY):
    """Load factor that the pilot's elevator holds at a bank.

    Assumes a level path up to 60 degrees of bank; steeper, some 2 g whatever the bank.

    Parameters
    ----------
    cos_bank : float or array
        Cosine of the bank. [-]
    greatest : float or array
        What the wing gives before it stalls. [g]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    float or array
        Lift over weight. [g]

    Notes
    -----
    1 / cos(bank) down to a cosine of 0.5, blended to 2 at 0.35.

    References
    ----------
    .. [1] Level turn, n = 1 / cos(bank): FAA-H-8083-25, load-factor chart.

    Examples
    --------
    >>> round(float(held_load_factor(0.5, 4.0)), 3), float(held_load_factor(-1.0, 4.0))
    (2.0, 2.0)
    """
    level = smooth_step(cos_bank, LET_GO_COSINE, HELD_TO_COSINE, functions)
    turning = 1.0 / functions.maximum(cos_bank, LET_GO_COSINE)
    held = STEEP_LOAD_FACTOR + level * (turning - STEEP_LOAD_FACTOR)
    return functions.minimum(held, greatest)


def lateral_rates(state, controls, airplane, functions=ARRAY):
    """All rates of the motion at one instant.

    Assumes constant speed, a level path, no product of inertia and a pitch rate that follows from
    the load factor.

    Parameters
    ----------
    state : LateralState, or sequence of its five rows
        Floats, or arrays over cases. [rad, rad/s]
    controls : LateralControls
        What is held. [SI]
    airplane : LateralAirplane
        The airplane. [SI]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    LateralRates
        [rad/s, rad/s2, g]

    Notes
    -----
    beta' = Y/(m V) + p sin(alpha) - r cos(alpha) + (g/V) cos(theta) sin(phi); p' = L/Ix, r' = N/Iz;
    phi' = p + tan(theta) (q sin(phi) + r cos(phi)); psi' = (q sin(phi) + r cos(phi)) / cos(theta);
    q = (g/V) (n cos(alpha) - cos(theta) cos(phi)); tan(theta) = tan(alpha) cos(phi) holds the path
    level. CL goes with n, alpha with CL.

    References
    ----------
    .. [1] R. C. Nelson, Flight Stability and Automatic Control, equations of motion (from memory).

    Examples
    --------
    >>> from lessonkit.models.numeric import SCALAR
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> rolling = LateralControls(0.5, 0.0, 31.0, 1.225)
    >>> now = lateral_rates(STRAIGHT, rolling, scaled(SETS["B"], light), SCALAR)
    >>> now.roll_rate > 0.0
    True
    """
    beta, p, r, phi, _ = state
    tas, density = controls.tas, controls.density
    f = functions
    sin_phi, cos_phi = f.sin(phi), f.cos(phi)
    pressure_area = 0.5 * density * tas * tas * airplane.wing_area
    cl_level = airplane.weight / pressure_area
    n = held_load_factor(cos_phi, airplane.cl_max / cl_level, f)
    cl = n * cl_level
    alpha = airplane.alpha(cl)
    tail, yaw, roll = 1.0, 0.0, 0.0
    if airplane.propeller is not None:
        effects = power_effects(airplane.propeller, tas, density, controls.power, alpha, f)
        tail, yaw, roll = effects.tail_pressure_ratio, effects.yaw, effects.roll
    d = derivatives_at(airplane, cl, tail, f)
    rate = airplane.span / (2.0 * tas)
    p_hat, r_hat = p * rate, r * rate
    aileron = controls.aileron * (airplane.full_aileron_deg * _RADIAN)
    rudder = controls.rudder * (airplane.full_rudder_deg * _RADIAN)
    cy = d.cy_beta * beta + d.cy_p * p_hat + d.cy_r * r_hat + d.cy_rudder * rudder
    cl_roll = (
        d.cl_beta * beta + d.cl_p * p_hat + d.cl_r * r_hat + d.cl_aileron * aileron
        + d.cl_rudder * rudder + airplane.rigged_roll
    )  # fmt: skip
    cn = (
        d.cn_beta * beta + d.cn_p * p_hat + d.cn_r * r_hat + d.cn_aileron * aileron
        + d.cn_rudder * rudder + airplane.rigged_yaw * tail
    )  # fmt: skip
    moment = pressure_area * airplane.span
    turn = STANDARD_GRAVITY / tas
    tan_alpha = f.tan(alpha)
    tan_theta = tan_alpha * cos_phi
    cos_theta = 1.0 / f.sqrt(1.0 + tan_theta * tan_theta)
    cos_alpha = 1.0 / f.sqrt(1.0 + tan_alpha * tan_alpha)
    q = turn * (n * cos_alpha - cos_phi * cos_theta)
    side_load = cy / cl_level
    nose = q * sin_phi + r * cos_phi
    return LateralRates(
        turn * (side_load + cos_theta * sin_phi) + (p * tan_alpha - r) * cos_alpha,
        (moment * cl_roll + roll) / airplane.ix,
        (moment * cn + yaw) / airplane.iz,
        p + tan_theta * nose,
        nose / cos_theta,
        q,
        side_load,
        n,
    )


def derivatives(state, controls, airplane, wind=None, functions=ARRAY):
    """Rates of the five rows, in the form that `motion.rk4_step` takes.

    Assumes what `lateral_rates` does; air that moves as a whole changes nothing.

    Parameters
    ----------
    state : LateralState, or sequence of its five rows
        Floats, or arrays over cases. [rad, rad/s]
    controls : LateralControls
        Held over the step. [SI]
    airplane : LateralAirplane
        The airplane. [SI]
    wind : object
        Not used. [-]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    tuple
        Rates of sideslip, roll rate, yaw rate, bank and heading. [rad/s, rad/s2]

    References
    ----------
    .. [1] As in `lateral_rates`.

    Examples
    --------
    >>> from lessonkit.models.numeric import SCALAR
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> still = LateralControls(0.0, 0.0, 31.0, 1.225)
    >>> derivatives(STRAIGHT, still, scaled(SETS["B"], light), None, SCALAR)[:3]
    (0.0, 0.0, 0.0)
    """
    return lateral_rates(state, controls, airplane, functions)[:5]


def seen(airplane, state, controls, functions=ARRAY):
    """Tell what ball and seat show.

    Assumes a ball without lag, at the pilot's place.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    state : LateralState, or sequence of its five rows
        Floats, or arrays over cases. [rad, rad/s]
    controls : LateralControls
        What is held. [SI]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    ball_deg : float or array
        Ball out to the right positive: right pedal is missing. [deg]
    lateral_load : float or array
        Push of the seat to the right positive. [g]

    Notes
    -----
    Specific force along y at the seat: Y/m + r' x + p' h + q (p x - r h), x ahead of and h above
    the centre of gravity; tan(ball) = - lateral / normal.

    References
    ----------
    .. [1] Ball as lateral over normal specific force: any text on flight instruments.

    Examples
    --------
    >>> from lessonkit.models.numeric import SCALAR
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> slipping = LateralState(0.1, 0.0, 0.0, 0.0, 0.0)  # wind from the right: ball to the right
    >>> ball_deg, load = seen(scaled(SETS["B"], light), slipping,
    ...                       LateralControls(0.0, 0.0, 31.0, 1.225), SCALAR)
    >>> ball_deg > 0.0 > load
    True
    """
    rates = lateral_rates(state, controls, airplane, functions)
    return seen_of(airplane, state, rates, functions)


def seen_of(airplane, state, rates, functions=ARRAY):
    """Tell what ball and seat show, from rates that are already there.

    Assumes what `seen` does.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    state : LateralState, or sequence of its five rows
        Floats, or arrays over cases. [rad, rad/s]
    rates : LateralRates
        At that state. [rad/s2, g]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    tuple
        Ball [deg] and lateral load [g], as `seen` gives them.

    References
    ----------
    .. [1] As in `seen`.

    Examples
    --------
    >>> from lessonkit.models.numeric import SCALAR
    >>> from lessonkit.models.lateral_sets import SETS
    >>> still = LateralRates(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0)
    >>> from types import SimpleNamespace
    >>> seen_of(SimpleNamespace(pilot_ahead=0.5, pilot_above=0.3), STRAIGHT, still, SCALAR)[1]
    0.0
    """
    p, r, q = state[1], state[2], rates.pitch_rate
    ahead, above = airplane.pilot_ahead, airplane.pilot_above
    swung = rates.yaw_rate * ahead + rates.roll_rate * above + q * (p * ahead - r * above)
    load = rates.side_load + swung / STANDARD_GRAVITY
    return -functions.arctan(load / rates.load_factor) / _RADIAN, load


def limited(before, wanted, step, airplane):
    """Move controls as far as hands and feet reach within a step.

    Assumes one case of plain floats; travel ends at the stops, movement at its fastest rate.

    Parameters
    ----------
    before, wanted : LateralControls
        Held before, and asked for. Speed, density and power are taken from `wanted`. [SI]
    step : float
        Length of the step. [s]
    airplane : LateralAirplane
        Its control rates. [1/s]

    Returns
    -------
    LateralControls
        [SI]

    References
    ----------
    .. [1] Rates: an assumption of the kit, see `lateral_airplane`.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> slow = SimpleNamespace(aileron_rate=2.5, rudder_rate=2.0)
    >>> limited(LateralControls(0.0, 0.0, 31.0, 1.2), LateralControls(1.0, -0.01, 31.0, 1.2),
    ...         0.02, slow)[:2]
    (0.05, -0.01)
    """
    return wanted._replace(
        aileron=limited_share(before.aileron, wanted.aileron, step * airplane.aileron_rate),
        rudder=limited_share(before.rudder, wanted.rudder, step * airplane.rudder_rate),
    )


def limited_share(before, wanted, reach):
    """Share of travel that is reached: within the stops, and no farther than `reach`.

    Assumes plain floats.

    Parameters
    ----------
    before, wanted, reach : float
        Shares of full travel. [-]

    Returns
    -------
    float
        Share, -1 to 1. [-]

    References
    ----------
    .. [1] As in `limited`.

    Examples
    --------
    >>> limited_share(0.9, 1.5, 0.5)
    1.0
    """
    wanted = max(-1.0, min(1.0, wanted))
    return max(before - reach, min(before + reach, wanted))
