"""How much rudder an aileron asks for, by speed: the number behind "more feet when slow"."""

import math

import numpy as np

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.lateral_airplane import derivatives_at
from lessonkit.models.propeller_yaw import power_effects
from lessonkit.units import STANDARD_GRAVITY


def rudder_per_aileron(airplane, tas, density=SEA_LEVEL_DENSITY, power=0.0):
    """Rudder for each aileron in a steady coordinated roll as it passes wings level.

    Assumes no sideslip, a settled roll rate, and 1 g; what the propeller needs without any
    aileron is left out, what its air does to fin and rudder is in.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    tas : float or array
        True airspeed. [m/s]
    density : float
        Air density. [kg/m3]
    power : float
        Share of full power. [-]

    Returns
    -------
    float or array
        Share of full rudder per share of full aileron, right with right. [-]

    Notes
    -----
    Without sideslip r = p tan(alpha) at wings level and r' = p (g/V): the turn begins. Rolling and
    yawing moments then give p and rudder for an aileron.

    References
    ----------
    .. [1] Balance of moments, as in `lateral_motion.lateral_rates`.

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> slow, fast = rudder_per_aileron(scaled(SETS["B"], light), np.array([28.3, 51.4]))
    >>> bool(slow > 1.7 * fast > 0.0)
    True
    """
    cl = airplane.lift_coefficient(tas, density)
    alpha = airplane.alpha(cl)
    tail = 1.0
    if airplane.propeller is not None:
        tail = power_effects(airplane.propeller, tas, density, power, alpha).tail_pressure_ratio
    d = derivatives_at(airplane, cl, tail)
    rate = airplane.span / (2.0 * tas)
    moment = 0.5 * density * tas * tas * airplane.wing_area * airplane.span
    tan_alpha = np.tan(alpha)
    roll_per_p = (d.cl_p + d.cl_r * tan_alpha) * rate
    turn_begins = airplane.iz * STANDARD_GRAVITY / tas / moment
    yaw_per_p = (d.cn_p + d.cn_r * tan_alpha) * rate - turn_begins
    # cl_aileron a + cl_rudder d + roll_per_p p = 0 and the same for yaw, for a = 1 rad
    both = d.cl_rudder * yaw_per_p - roll_per_p * d.cn_rudder
    rudder = (roll_per_p * d.cn_aileron - d.cl_aileron * yaw_per_p) / both
    travel = math.radians(airplane.full_aileron_deg) / math.radians(airplane.full_rudder_deg)
    return rudder * travel
