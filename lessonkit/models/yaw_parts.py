"""Which yawing moments act at an instant of the roll-yaw motion, told in shares of full pedal."""

import math
from typing import NamedTuple

from lessonkit.models.lateral_airplane import path_derivatives_at
from lessonkit.models.lateral_motion import held_load_factor
from lessonkit.models.numeric import ARRAY
from lessonkit.models.propeller_yaw import power_effects


class YawParts(NamedTuple):
    """Yawing moments by cause; each the share of full pedal that gives as much, + nose right.

    Parameters
    ----------
    aileron : float or array
        Drag of the ailerons: adverse yaw. [-]
    roll_rate : float or array
        Lift of the falling wing tilts forward, of the rising wing back. [-]
    rudder : float or array
        The pedals themselves, counted from where they stood before. [-]
    sideslip : float or array
        The fin turns the nose into the wind. [-]
    yaw_rate : float or array
        What is in the way of any yaw: damping. [-]
    power : float or array
        Propeller, fin offset and the pedal that held the nose straight before. [-]
    """

    aileron: float
    roll_rate: float
    rudder: float
    sideslip: float
    yaw_rate: float
    power: float


def yaw_parts(airplane, state, controls, held_rudder=0.0, functions=ARRAY):
    """Yawing moments by their causes, about the axis across the path.

    Assumes what `lateral_motion.lateral_rates` does. In axes along the path the causes keep the
    meaning they have in the trade; about the body's own axis a part of each roll would count as
    yaw.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    state : LateralState, or sequence of its five rows
        Floats, or arrays over cases. [rad, rad/s]
    controls : LateralControls
        What is held. [SI]
    held_rudder : float
        Pedal that held the nose straight before; it is counted with the power. [-]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    YawParts
        Shares of full pedal at this speed and power, + nose right; their sum is the whole. [-]

    Notes
    -----
    Each part of Cn = Cn_beta b + Cn_p p + Cn_r r + Cn_aileron + Cn_rudder over the Cn of full
    pedal; rates along the path p cos(alpha) + r sin(alpha) and r cos(alpha) - p sin(alpha).

    References
    ----------
    .. [1] Yawing moment as a sum of derivatives: R. C. Nelson, Flight Stability and Automatic
       Control (from memory).

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_motion import STRAIGHT, LateralControls
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> parts = yaw_parts(scaled(SETS["B"], light), STRAIGHT,
    ...                   LateralControls(0.5, 0.25, 31.0, 1.225))
    >>> bool(parts.aileron < 0.0), round(float(parts.rudder), 6)  # right aileron yaws left
    (True, 0.25)
    """
    beta, p, r, phi, _ = state
    f, tas, density = functions, controls.tas, controls.density
    cl_level = airplane.lift_coefficient(tas, density)
    cl = held_load_factor(f.cos(phi), airplane.cl_max / cl_level, f) * cl_level
    alpha = airplane.alpha(cl)
    moment = 0.5 * density * tas * tas * airplane.wing_area * airplane.span
    tail, yaw, roll = 1.0, 0.0, 0.0
    if airplane.propeller is not None:
        effects = power_effects(airplane.propeller, tas, density, controls.power, alpha, f)
        tail, yaw, roll = effects.tail_pressure_ratio, effects.yaw / moment, effects.roll / moment
    d = path_derivatives_at(airplane, cl, tail)
    s, c = f.sin(alpha), f.cos(alpha)
    rate = airplane.span / (2.0 * tas)
    radian = math.pi / 180.0
    full = d.cn_rudder * airplane.full_rudder_deg * radian
    straight = (yaw + airplane.rigged_yaw * tail) * c - (roll + airplane.rigged_roll) * s
    return YawParts(
        d.cn_aileron * controls.aileron * airplane.full_aileron_deg * radian / full,
        d.cn_p * (p * c + r * s) * rate / full,
        controls.rudder - held_rudder,
        d.cn_beta * beta / full,
        d.cn_r * (r * c - p * s) * rate / full,
        straight / full + held_rudder,
    )
