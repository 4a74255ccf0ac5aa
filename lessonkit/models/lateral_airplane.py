"""An airplane as the roll-yaw motion sees it: a published set, scaled, that depends on lift.

A published set holds for one speed. Three of its numbers grow with the lift coefficient, and with
constant ones an airplane would need *less* rudder the slower it flies, which is wrong: the yaw due
to roll rate, the roll due to yaw rate, and the yaw due to aileron. Here each goes in a straight
line with lift. All of that is meant in axes along the path; `derivatives_at` turns the result into
body axes, in which roll and yaw rates are counted.
"""

import math
from dataclasses import dataclass, replace

from lessonkit.models.lateral_sets import (
    LateralDerivatives,
    PublishedSet,
    controls_for_sideslip_deg,
)
from lessonkit.models.numeric import ARRAY
from lessonkit.models.parameters import Parameters
from lessonkit.models.propeller_yaw import RUDDER_EFFECTIVENESS, PropellerYaw, power_effects
from lessonkit.models.slip import FULL_RUDDER_SIDESLIP_DEG
from lessonkit.units import STANDARD_GRAVITY

# Theory of a tapered wing gives -0.06 to -0.10 and 0.20 to 0.25 per lift coefficient
# (NACA TR 635 and TN 1581, from memory). Set B flown slower (CL 0.72, in a transcription that mixes
# flights) would give -0.09 and 0.26. A steeper roll due to yaw makes the spiral of a slow airplane
# livelier than light singles are, so its low end is taken.
CN_P_SLOPE = -0.07
CL_R_SLOPE = 0.20
# Yaw due to aileron over lift coefficient times roll due to aileron: 0.06 for ailerons made to yaw
# little, 0.3 for plain ones (from memory). Set B's own figure would be 0.31.
ADVERSE_YAW_FACTOR = 0.12
# pb/2V at full aileron: 0.07 is the least that was called satisfactory (NACA TR 715, from memory),
# trainers have a little more. It sets the aileron of an airplane, in degrees of a linear one.
FULL_AILERON_HELIX = 0.08
SLIP_LIFT_COEFFICIENT = 0.8  # of the glide in which full rudder holds its sideslip: best glide
AILERON_RATE = 2.5  # shares of full travel per second: centre to full in 0.4 s; no source
RUDDER_RATE = 2.0  # centre to full pedal in 0.5 s; no source
# Rolling moment over side force of a rudder in spans, 0.0147/0.187 of set B (Roskam).
RUDDER_ROLL_ARM = 0.0147 / 0.187
UNSURE_RUDDER_ROLL = ("A", "C")  # their printed roll due to rudder is in doubt, see the sources
PILOT_AHEAD, PILOT_ABOVE = 0.5, 0.3  # m from the centre of gravity to pilot and ball; no source


@dataclass(frozen=True)
class LateralAirplane:
    """The figures of an airplane that roll and yaw need.

    Parameters
    ----------
    mass, wing_area, span : float
        Mass as flown [kg], wing area [m2], span [m].
    ix, iz : float
        Moments of inertia in roll and yaw, body axes, no product. [kg m2]
    reference : LateralDerivatives
        At `reference_cl`, axes along the path. [1/rad]
    reference_cl, lift_slope : float
        Lift coefficient of the reference [-]; growth with angle of attack [1/rad].
    reference_alpha_deg : float
        Angle of attack of the body axis at the reference. [deg]
    adverse_yaw_factor : float
        K of cn_aileron = -K CL cl_aileron. [-]
    cn_p_slope, cl_r_slope : float
        Growth of the yaw due to roll rate and of the roll due to yaw rate with lift. [1/rad]
    full_aileron_deg, full_rudder_deg : float
        Deflection of a linear control at full travel. [deg]
    aileron_rate, rudder_rate : float
        Fastest movement, shares of full travel. [1/s]
    cl_max : float
        Greatest lift coefficient, flaps up. [-]
    propeller : PropellerYaw or None
        None: no power effects.
    rigged_yaw, rigged_roll : float
        Moment coefficients of the fixed tabs or fin offset; they are in the slipstream too. [-]
    pilot_ahead, pilot_above : float
        From the centre of gravity to the pilot's seat and the ball. [m]
    set_key : str
        Name of the published set; empty for none.
    """

    mass: float
    wing_area: float
    span: float
    ix: float
    iz: float
    reference: LateralDerivatives
    reference_cl: float
    lift_slope: float
    reference_alpha_deg: float = 0.0
    adverse_yaw_factor: float = ADVERSE_YAW_FACTOR
    cn_p_slope: float = CN_P_SLOPE
    cl_r_slope: float = CL_R_SLOPE
    full_aileron_deg: float = 12.0
    full_rudder_deg: float = 10.0
    aileron_rate: float = AILERON_RATE
    rudder_rate: float = RUDDER_RATE
    cl_max: float = 1.5
    propeller: PropellerYaw | None = None
    rigged_yaw: float = 0.0
    rigged_roll: float = 0.0
    pilot_ahead: float = PILOT_AHEAD
    pilot_above: float = PILOT_ABOVE
    set_key: str = ""

    @property
    def weight(self):
        """Weight as flown, in newtons."""
        return self.mass * STANDARD_GRAVITY

    def lift_coefficient(self, tas, density, load_factor=1.0):
        """Return the lift coefficient at a true airspeed in m/s, a density and a load factor."""
        return load_factor * self.weight / (0.5 * density * tas * tas * self.wing_area)

    def alpha(self, cl):
        """Return the angle of attack of the body axis in radians at a lift coefficient."""
        reference = self.reference_alpha_deg * (math.pi / 180.0)
        return reference + (cl - self.reference_cl) / self.lift_slope


def path_derivatives_at(airplane, cl, tail_pressure_ratio=1.0):
    """Compute derivatives in axes along the path at a lift coefficient.

    Assumes straight lines through the published set; the propeller's air adds to what the fin and
    the rudder do, the fin taken as the rudder's moment over its effectiveness.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    cl : float or array
        Lift coefficient. [-]
    tail_pressure_ratio : float or array
        Pressure at fin and rudder over that of the free stream. [-]

    Returns
    -------
    LateralDerivatives
        [1/rad]

    Notes
    -----
    cn_p = set + slope (CL - CLref), cl_r likewise, cn_aileron = -K CL cl_aileron. With a ratio e
    of pressures: rudder times e; cn_beta + (e - 1) f, cn_r - (e - 1) 2 f l/b, cy_beta less by
    (e - 1) f b/l, with the fin's f = cn_rudder / 0.5 and its arm l/b = cn_rudder / -cy_rudder.

    References
    ----------
    .. [1] Growth of the three with lift: NACA TR 635 and TN 1581, and E. Seckel and J. J. Morris,
       FAA-RD-71-6; the slopes are from memory.

    Examples
    --------
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> one = scaled(SETS["B"], light)
    >>> [round(path_derivatives_at(one, cl).cn_p, 4) for cl in (0.307, 1.0)]
    [-0.0278, -0.0763]
    """
    d, more = airplane.reference, cl - airplane.reference_cl
    gain = tail_pressure_ratio - 1.0
    fin = d.cn_rudder / RUDDER_EFFECTIVENESS * gain
    arm = -d.cn_rudder / d.cy_rudder
    return LateralDerivatives(
        d.cy_beta - fin / arm,
        d.cy_p,
        d.cy_r + 2.0 * fin,
        d.cy_rudder * tail_pressure_ratio,
        d.cl_beta,
        d.cl_p,
        d.cl_r + airplane.cl_r_slope * more,
        d.cl_aileron,
        d.cl_rudder * tail_pressure_ratio,
        d.cn_beta + fin,
        d.cn_p + airplane.cn_p_slope * more,
        d.cn_r - 2.0 * arm * fin,
        -airplane.adverse_yaw_factor * cl * d.cl_aileron,
        d.cn_rudder * tail_pressure_ratio,
    )


def derivatives_at(airplane, cl, tail_pressure_ratio=1.0, functions=ARRAY):
    """Compute derivatives in body axes: those along the path, turned by alpha.

    Assumes the angle of attack in proportion to lift.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    cl : float or array
        Lift coefficient. [-]
    tail_pressure_ratio : float or array
        Pressure at fin and rudder over that of the free stream. [-]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    LateralDerivatives
        [1/rad]

    Notes
    -----
    Rates along the path are p cos(alpha) + r sin(alpha) and r cos(alpha) - p sin(alpha); moments
    turn back the same way.

    References
    ----------
    .. [1] Change from stability to body axes: B. Etkin, Dynamics of Flight (from memory).

    Examples
    --------
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> one = scaled(SETS["B"], light)
    >>> round(float(derivatives_at(one, 0.307).cn_p), 4)  # alpha is 0 here: nothing turns
    -0.0278
    """
    d = path_derivatives_at(airplane, cl, tail_pressure_ratio)
    alpha = airplane.alpha(cl)
    s, c = functions.sin(alpha), functions.cos(alpha)
    ss, sc, cc = s * s, s * c, c * c
    cross = d.cl_r + d.cn_p
    along = d.cl_p - d.cn_r
    return LateralDerivatives(
        d.cy_beta,
        d.cy_p * c - d.cy_r * s,
        d.cy_p * s + d.cy_r * c,
        d.cy_rudder,
        d.cl_beta * c - d.cn_beta * s,
        d.cl_p * cc - cross * sc + d.cn_r * ss,
        d.cl_r * cc + along * sc - d.cn_p * ss,
        d.cl_aileron * c - d.cn_aileron * s,
        d.cl_rudder * c - d.cn_rudder * s,
        d.cn_beta * c + d.cl_beta * s,
        d.cn_p * cc + along * sc - d.cl_r * ss,
        d.cn_r * cc + cross * sc + d.cl_p * ss,
        d.cn_aileron * c + d.cl_aileron * s,
        d.cn_rudder * c + d.cl_rudder * s,
    )


def scaled(
    published: PublishedSet,
    parameters: Parameters,
    *,
    propeller: PropellerYaw | None = None,
    adverse_yaw_factor: float = ADVERSE_YAW_FACTOR,
    full_rudder_sideslip_deg: float = FULL_RUDDER_SIDESLIP_DEG,
    cruise_tas: float = 55.0,
    cruise_power: float = 0.75,
    cruise_density: float = 1.0556,
) -> LateralAirplane:
    """Make an airplane of a published set: its coefficients, the airplane's own size and mass.

    Assumes the set's radii of gyration over span, one set of coefficients for all sizes, and a
    fin offset and tabs that make cruise need neither pedal nor aileron. Full aileron is what
    gives pb/2V 0.08; full rudder is what holds the given sideslip in a straight slip at idle.

    Parameters
    ----------
    published : PublishedSet
        One of `lateral_sets.SETS`. [SI]
    parameters : Parameters
        Mass as flown, wing, greatest lift coefficient. [SI]
    propeller : PropellerYaw or None
        None for no power effects. [SI]
    adverse_yaw_factor : float
        K of cn_aileron = -K CL cl_aileron. [-]
    full_rudder_sideslip_deg : float
        Steady sideslip at full rudder, best glide, idle. [deg]
    cruise_tas, cruise_power, cruise_density : float
        True airspeed [m/s], share of full power [-] and density [kg/m3] that need no pedal.

    Returns
    -------
    LateralAirplane
        [SI]

    References
    ----------
    .. [1] Radii of gyration in proportion to span: usual in preliminary design, J. Roskam,
       Airplane Design V (from memory). Sideslip at full rudder: see `lessonkit.models.slip`.

    Examples
    --------
    >>> from lessonkit.models.lateral_sets import SETS
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> round(scaled(SETS["B"], light).ix), round(scaled(SETS["B"], light).full_aileron_deg, 1)
    (1075, 9.7)
    """
    d = published.derivatives
    if published.key in UNSURE_RUDDER_ROLL:
        d = d._replace(cl_rudder=d.cy_rudder * RUDDER_ROLL_ARM)
    size = (parameters.span / published.span) ** 2 * parameters.mass / published.mass
    one = LateralAirplane(
        mass=parameters.mass,
        wing_area=parameters.wing_area,
        span=parameters.span,
        ix=published.ix * size,
        iz=published.iz * size,
        reference=d,
        reference_cl=published.lift_coefficient,
        lift_slope=published.lift_slope,
        adverse_yaw_factor=adverse_yaw_factor,
        full_aileron_deg=math.degrees(FULL_AILERON_HELIX * -d.cl_p / d.cl_aileron),
        cl_max=parameters.cl_max[0],
        propeller=propeller,
        set_key=published.key,
    )
    rudder_deg = full_rudder_sideslip_deg * rudder_per_sideslip(one, SLIP_LIFT_COEFFICIENT)
    yaw, roll = _rigging(one, cruise_tas, cruise_power, cruise_density)
    return replace(one, full_rudder_deg=rudder_deg, rigged_yaw=yaw, rigged_roll=roll)


def rudder_per_sideslip(airplane, cl):
    """Rudder, as an angle, that holds one degree of steady straight sideslip at idle.

    Assumes no power and no fin offset.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    cl : float or array
        Lift coefficient. [-]

    Returns
    -------
    float or array
        Left pedal per wind from the right, positive. [deg/deg]

    Notes
    -----
    Rolling and yawing moment both zero: two equations for aileron and rudder.

    References
    ----------
    .. [1] Steady sideslip: R. C. Nelson, Flight Stability and Automatic Control (from memory).

    Examples
    --------
    >>> from lessonkit.models.lateral_sets import SETS
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> round(rudder_per_sideslip(scaled(SETS["B"], light), 0.8), 2)
    0.79
    """
    return -controls_for_sideslip_deg(path_derivatives_at(airplane, cl), 1.0)[1]


def _rigging(airplane, tas, power, density):
    """Yaw and roll coefficients that cancel the propeller in cruise."""
    if airplane.propeller is None:
        return 0.0, 0.0
    alpha = airplane.alpha(airplane.lift_coefficient(tas, density))
    effects = power_effects(airplane.propeller, tas, density, power, alpha)
    moment = 0.5 * density * tas * tas * airplane.wing_area * airplane.span
    yaw = -effects.yaw / (moment * effects.tail_pressure_ratio)
    return float(yaw), float(-effects.roll / moment)
