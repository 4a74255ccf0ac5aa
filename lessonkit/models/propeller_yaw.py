"""What a pulling propeller does to yaw and roll: swirl on the fin, P-factor, torque.

The propeller's air is faster (fin and rudder work harder) and turns with the blades (it meets the
fin from one side). A clockwise propeller, as seen from the cockpit, swings the nose left. Moments
follow the kit's signs: yaw positive nose right, roll positive right wing down. The shares are
assumptions of a design estimate, shown to the learner as such: airplanes scatter widely, the
trend with power and slowness is what to learn. Gyroscopic precession is left out, and so is what
a builder does to the fin or the engine's line to make cruise need no pedal.
"""

import math
from dataclasses import dataclass
from typing import NamedTuple

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.numeric import ARRAY
from lessonkit.units import SECONDS_PER_MINUTE

CLOCKWISE, COUNTER_CLOCKWISE = 1, -1  # as seen from the cockpit
# Of this section's numbers none is read in a source: together they are the kit's design estimate.
FIN_SHARE = 0.4  # of the swirl and of the added pressure, what fin and rudder feel
RUDDER_EFFECTIVENESS = 0.5  # degrees of fin that one degree of rudder is worth
P_FACTOR_SHARE = 0.1  # yaw per thrust, diameter and radian of angle of attack
SWIRL_RADIUS_SHARE = 0.7  # of the propeller's radius, where the swirl is taken
PROPELLER_EFFICIENCY = 0.8  # what blade drag leaves of the shaft power, from memory
POWER_DROPOFF = 0.12  # of the full power with density; J. T. Lowry (from memory)
NEWTON_STEPS = 7  # from above on a convex curve: exact to the last digits at flying speeds


@dataclass(frozen=True)
class PropellerYaw:
    """A propeller and the fin behind it.

    Parameters
    ----------
    power : float
        Rated power of the engine at sea level. [W]
    diameter : float
        Propeller diameter. [m]
    rpm : float
        At full power in flight. [rpm]
    fin_volume : float
        Yawing moment of the fin per pressure and radian: wing area times span times
        cn_rudder over the rudder's effectiveness. [m3]
    turns : int
        `CLOCKWISE` (1) or `COUNTER_CLOCKWISE` (-1), seen from the cockpit. [-]
    fin_share, p_factor_share, swirl_radius_share, efficiency : float
        The assumptions named at the top of the module. [-]
    """

    power: float
    diameter: float
    rpm: float
    fin_volume: float
    turns: int = CLOCKWISE
    fin_share: float = FIN_SHARE
    p_factor_share: float = P_FACTOR_SHARE
    swirl_radius_share: float = SWIRL_RADIUS_SHARE
    efficiency: float = PROPELLER_EFFICIENCY

    @property
    def disc_area(self):
        """Area swept by the blades, in square metres."""
        return 0.25 * math.pi * self.diameter**2


class PowerEffects(NamedTuple):
    """What the propeller adds; each field like the inputs, float or array.

    Parameters
    ----------
    yaw, roll : float or array
        Sums of the moments below; + nose right, + right wing down. [N m]
    tail_pressure_ratio : float or array
        Pressure at fin and rudder over that of the free stream, 1 without power. [-]
    slipstream, p_factor : float or array
        The two parts of the yaw: swirl on the fin, uneven blades. [N m]
    torque : float or array
        The roll: the airplane turns against the blades. [N m]
    thrust : float or array
        Pull of the propeller. [N]
    """

    yaw: float
    roll: float
    tail_pressure_ratio: float
    slipstream: float
    p_factor: float
    torque: float
    thrust: float


def propeller_yaw(
    power: float,
    diameter: float,
    rpm: float,
    wing_area: float,
    span: float,
    cn_rudder: float,
    turns: int = CLOCKWISE,
) -> PropellerYaw:
    """Put a propeller in front of a fin whose rudder has this yawing power.

    Assumes that one degree of rudder is worth half a degree of the whole fin.

    Parameters
    ----------
    power : float
        Rated power. [W]
    diameter : float
        Propeller diameter. [m]
    rpm : float
        At full power in flight. [rpm]
    wing_area, span : float
        What `cn_rudder` was made with. [m2, m]
    cn_rudder : float
        Yawing moment coefficient per rudder angle, positive. [1/rad]
    turns : int
        `CLOCKWISE` or `COUNTER_CLOCKWISE`, seen from the cockpit. [-]

    Returns
    -------
    PropellerYaw
        [SI]

    Raises
    ------
    ValueError
        If a size is not positive or the direction is neither of the two.

    References
    ----------
    .. [1] Definition of the control derivative; effectiveness 0.5: design estimate.

    Examples
    --------
    >>> round(propeller_yaw(111900.0, 1.9, 2500.0, 16.2, 10.9, 0.068).fin_volume, 1)
    24.0
    """
    if min(power, diameter, rpm, wing_area, span, cn_rudder) <= 0.0:
        raise ValueError("Power, diameter, RPM, wing and rudder must be above 0: check the card.")
    if turns not in (CLOCKWISE, COUNTER_CLOCKWISE):
        raise ValueError("A propeller turns clockwise (1) or counter-clockwise (-1): give one.")
    volume = wing_area * span * cn_rudder / RUDDER_EFFECTIVENESS
    return PropellerYaw(power, diameter, rpm, volume, turns)


def slipstream_speed_gain(thrust, tas, density, disc_area, functions=ARRAY):
    """Speed that the propeller adds to the air at its disc; far behind it is twice that.

    Assumes a uniform disc without friction (momentum theory).

    Parameters
    ----------
    thrust : float or array
        Pull, 0 or more. [N]
    tas : float or array
        True airspeed. [m/s]
    density : float or array
        Air density. [kg/m3]
    disc_area : float
        Area swept by the blades. [m2]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    float or array
        Added speed w. [m/s]

    Notes
    -----
    w = (-V + sqrt(V^2 + 2 T / (rho A))) / 2, from T = 2 rho A (V + w) w.

    References
    ----------
    .. [1] Momentum theory of Rankine and Froude; any textbook of propellers (from memory).

    Examples
    --------
    >>> round(float(slipstream_speed_gain(2000.0, 0.0, 1.25, 2.0)), 6)  # sqrt(T / (2 rho A))
    20.0
    """
    return 0.5 * (functions.sqrt(tas * tas + 2.0 * thrust / (density * disc_area)) - tas)


def speed_gain_of_power(useful_power, tas, density, disc_area, functions=ARRAY):
    """Speed added at the disc by a power, from standing still to any airspeed.

    Assumes momentum theory; the static limit of the thrust follows by itself.

    Parameters
    ----------
    useful_power : float or array
        Shaft power less what blade drag takes, 0 or more. [W]
    tas : float or array
        True airspeed, above 0. [m/s]
    density : float or array
        Air density. [kg/m3]
    disc_area : float
        Area swept by the blades. [m2]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    float or array
        Added speed w. [m/s]

    Notes
    -----
    Root of P = 2 rho A w (V + w)^2 by Newton's steps from above, where the curve is convex.

    References
    ----------
    .. [1] Power of the momentum theory: thrust times speed at the disc (from memory).

    Examples
    --------
    >>> gain = float(speed_gain_of_power(90000.0, 30.0, 1.225, 2.8))
    >>> round(2.0 * 1.225 * 2.8 * gain * (30.0 + gain) ** 2)
    90000
    """
    wanted = useful_power / (2.0 * density * disc_area)
    # both lie above the root: w^3 = c leaves V out, w V^2 = c leaves w out
    gain = functions.minimum(functions.power(wanted, 1.0 / 3.0), wanted / (tas * tas))
    for _ in range(NEWTON_STEPS):
        through = tas + gain
        gain = gain - (gain * through * through - wanted) / (through * (through + 2.0 * gain))
    return gain


def full_power_ratio(density):
    """Full-throttle power at a density over that at sea level.

    Assumes an engine without supercharger and an unchanged RPM.

    Parameters
    ----------
    density : float or array
        Air density. [kg/m3]

    Returns
    -------
    float or array
        Ratio, 1 at standard sea-level density. [-]

    Notes
    -----
    (sigma - C) / (1 - C), as in `propeller.engine_power_ratio`, without its checks: it stands
    inside a time step.

    References
    ----------
    .. [1] J. T. Lowry, Performance of Light Aircraft (from memory), C 0.12.

    Examples
    --------
    >>> full_power_ratio(1.225)
    1.0
    """
    return (density / SEA_LEVEL_DENSITY - POWER_DROPOFF) / (1.0 - POWER_DROPOFF)


def power_effects(propeller, tas, density, power, alpha=0.0, functions=ARRAY):
    """Yaw, roll and tail pressure that the propeller adds at a share of full power.

    Assumes a steady slipstream: after a change of power it is there at once.

    Parameters
    ----------
    propeller : PropellerYaw
        The propeller and its fin. [SI]
    tas : float or array
        True airspeed, above 0. [m/s]
    density : float or array
        Air density; full power falls with it. [kg/m3]
    power : float or array
        Share of the full power available there, 0 to 1. [-]
    alpha : float or array
        Angle of attack of the propeller's axis. [rad]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    PowerEffects
        [N m, N]

    Notes
    -----
    Torque Q = P / Omega with the RPM going as the cube root of the power. Swirl angle
    Q / (rho A (V + w) r (V + 2 w)); the fin feels `fin_share` of it, in a pressure of
    1 - share + share ((V + 2w)/V)^2. P-factor yaw kP T D alpha. Torque is given in full; in
    truth the wing takes some of the swirl out again, and some of the roll with it.

    References
    ----------
    .. [1] Momentum theory (from memory); left-turning tendencies of a clockwise propeller,
       strongest slow, at high power and angle of attack: FAA-H-8083-25 ch. 5 (from memory).
       The shares: design estimate made for this kit.

    Examples
    --------
    >>> wood = propeller_yaw(111900.0, 1.9, 2500.0, 16.2, 10.9, 0.068)
    >>> float(power_effects(wood, 30.0, 1.225, 1.0).yaw) < 0.0  # the nose goes left
    True
    >>> [float(v) for v in power_effects(wood, 30.0, 1.225, 0.0)[:3]]
    [0.0, 0.0, 1.0]
    """
    share = functions.unit_interval(power)
    shaft = propeller.power * full_power_ratio(density) * share
    area = propeller.disc_area
    gain = speed_gain_of_power(propeller.efficiency * shaft, tas, density, area, functions)
    through, behind = tas + gain, tas + 2.0 * gain
    thrust = 2.0 * density * area * through * gain
    # Q = P / Omega; Omega goes as the cube root of the share, so that idle has no torque
    full_omega = propeller.rpm * 2.0 * math.pi / SECONDS_PER_MINUTE
    slowing = functions.power(share, 2.0 / 3.0)
    torque = propeller.power * full_power_ratio(density) * slowing / full_omega
    radius = 0.5 * propeller.swirl_radius_share * propeller.diameter
    swirl = torque / (density * area * through * radius * behind)
    speed_ratio = behind / tas
    fin_share = propeller.fin_share
    tail = 1.0 - fin_share + fin_share * speed_ratio * speed_ratio
    pressure = 0.5 * density * tas * tas
    against = -propeller.turns
    slipstream = against * propeller.fin_volume * pressure * tail * fin_share * swirl
    p_factor = against * propeller.p_factor_share * thrust * propeller.diameter * alpha
    roll = against * torque
    # adding 0 turns the -0.0 of an idle engine into a plain 0
    return PowerEffects(
        slipstream + p_factor + 0.0,
        roll + 0.0,
        tail,
        slipstream + 0.0,
        p_factor + 0.0,
        roll + 0.0,
        thrust,
    )


def rudder_against_power_deg(effects, rudder_volume, tas, density):
    """Rudder that alone cancels the yaw of the propeller.

    Assumes wings level and no sideslip force worth a correction: the rudder's own side force and
    the torque's roll are left out. `steady_straight` takes them in.

    Parameters
    ----------
    effects : PowerEffects
        Of the same flight condition. [N m]
    rudder_volume : float
        Wing area times span times cn_rudder. [m3]
    tas : float or array
        True airspeed. [m/s]
    density : float or array
        Air density. [kg/m3]

    Returns
    -------
    float or array
        Rudder, positive right. [deg]

    Notes
    -----
    N + q eta S b cn_rudder delta = 0, eta the tail's pressure ratio.

    References
    ----------
    .. [1] Balance of yawing moments.

    Examples
    --------
    >>> still = PowerEffects(0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0)
    >>> float(rudder_against_power_deg(still, 12.0, 30.0, 1.225))
    0.0
    """
    pressure = 0.5 * density * tas * tas
    moment = pressure * effects.tail_pressure_ratio * rudder_volume
    return 0.0 - effects.yaw / moment * (180.0 / math.pi)
