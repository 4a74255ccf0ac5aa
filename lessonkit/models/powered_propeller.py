"""Thrust of a fixed-pitch propeller set by its RPM, and what it adds to the idling one.

The card's drag polar holds an idling propeller, which brakes a little. What the throttle adds is
the thrust at the RPM that is set less the (negative) thrust at idle, never less than nothing.
"""

import math
from dataclasses import dataclass

from lessonkit.models.drag import drag_coefficient, induced_drag_factor
from lessonkit.models.numeric import ARRAY
from lessonkit.units import SECONDS_PER_MINUTE, STANDARD_GRAVITY

# NACA Report 594 (1937), propeller C at 15 deg, read in a public digitised copy. The line is the
# least-squares one through its points from J 0.5 to 0.8, where approaches are flown.
REPORT_SLOPE = 0.1996
REPORT_ZERO_THRUST = 0.843
CRUISE_POWER_SHARE = 0.75  # of the rated power, at the card's cruise RPM; common practice
CRUISE_EFFICIENCY = 0.8  # of the propeller in cruise; from memory, usual for fixed pitch
ZERO_THRUST_BOUNDS = (0.7, 1.3)  # believable for a light airplane; from memory
CRUISE_BETWEEN = (30.0, 150.0)  # m/s, where the cruise speed is looked for


@dataclass(frozen=True)
class Propeller:
    """A fixed-pitch propeller as a straight line of thrust coefficient against advance ratio.

    Parameters
    ----------
    diameter : float
        Propeller diameter. [m]
    zero_thrust_ratio : float
        Advance ratio at which it neither pulls nor brakes. [-]
    idle_ratio : float
        Advance ratio at which it turns with the throttle closed in flight. [-]
    slope : float
        Fall of the thrust coefficient per advance ratio. [-]
    """

    diameter: float
    zero_thrust_ratio: float = REPORT_ZERO_THRUST
    idle_ratio: float = REPORT_ZERO_THRUST
    slope: float = REPORT_SLOPE


def thrust_coefficient(advance_ratio, zero_thrust_ratio=REPORT_ZERO_THRUST, slope=REPORT_SLOPE):
    """Thrust coefficient of a fixed-pitch propeller, as a straight line.

    Assumes an advance ratio in the upper part of its range, 0.5 to 0.8 in the report; beyond,
    where the propeller brakes, the line is carried on.

    Parameters
    ----------
    advance_ratio : float or array
        J = V / (n D). [-]
    zero_thrust_ratio : float
        Advance ratio without thrust. [-]
    slope : float
        Fall of CT per J. [-]

    Returns
    -------
    float or array
        CT = T / (rho n^2 D^4). [-]

    References
    ----------
    .. [1] Theodorsen, Stickle and Brevoort, NACA Report 594 (1937), propeller C at 15 degrees:
       CT 0.0674 at J 0.5, 0.0080 at J 0.8 (read in a public digitised copy).

    Examples
    --------
    >>> round(thrust_coefficient(0.5), 3)
    0.068
    """
    return slope * (zero_thrust_ratio - advance_ratio)


def propeller_thrust(rpm, tas, density, propeller, functions=ARRAY):
    """Thrust at an RPM; negative where the propeller brakes.

    Parameters
    ----------
    rpm : float or array
        As the tachometer shows it. [rpm]
    tas : float or array
        True airspeed. [m/s]
    density : float or array
        Air density. [kg/m3]
    propeller : Propeller
        Or anything with its fields. [SI]
    functions : namespace
        `ARRAY` or `SCALAR`; not needed by the formula. [-]

    Returns
    -------
    float or array
        Thrust. [N]

    Notes
    -----
    T = rho n^2 D^4 CT(J) with CT on a line: rho k D^3 n (J0 D n - V).

    References
    ----------
    .. [1] Definition of the thrust coefficient, as in NACA Report 594.

    Examples
    --------
    >>> round(propeller_thrust(1500.0, 35.0, 1.225, Propeller(1.9, 1.0)))
    524
    """
    turns = rpm / SECONDS_PER_MINUTE
    size = propeller.diameter
    return (
        density
        * propeller.slope
        * size**3
        * turns
        * (propeller.zero_thrust_ratio * size * turns - tas)
    )


def idle_rpm_in_flight(tas, propeller):
    """RPM at which the propeller turns with the throttle closed; it rises with the airspeed.

    Assumes one advance ratio at idle: the air turns the propeller against a small engine torque.

    Parameters
    ----------
    tas : float or array
        True airspeed. [m/s]
    propeller : Propeller
        Or anything with its fields. [SI]

    Returns
    -------
    float or array
        RPM. [rpm]

    Notes
    -----
    n = V / (J D).

    References
    ----------
    .. [1] Definition of the advance ratio, as in NACA Report 594.

    Examples
    --------
    >>> round(idle_rpm_in_flight(35.0, Propeller(1.9, 1.0, 1.1)))
    1005
    """
    return SECONDS_PER_MINUTE * tas / (propeller.idle_ratio * propeller.diameter)


def thrust_beyond_idle(rpm, tas, density, propeller, functions=ARRAY):
    """Thrust at an RPM beyond that of the idling propeller in the card's drag.

    Assumes that nobody turns the engine slower than idle: less RPM is idle.

    Parameters
    ----------
    rpm : float or array
        As set; 0 for a closed throttle. [rpm]
    tas : float or array
        True airspeed. [m/s]
    density : float or array
        Air density. [kg/m3]
    propeller : Propeller
        Or anything with its fields. [SI]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    float or array
        Added thrust, 0 at idle, never below. [N]

    Notes
    -----
    T(n) - T(n idle). T rises with n from V / (2 J0 D) on, which lies below idle.

    References
    ----------
    .. [1] Difference of two values of `propeller_thrust`.

    Examples
    --------
    >>> float(thrust_beyond_idle(0.0, 35.0, 1.225, Propeller(1.9, 1.0, 1.1)))
    0.0
    """
    idle = idle_rpm_in_flight(tas, propeller)
    turned = functions.maximum(rpm, idle)
    more = propeller_thrust(turned, tas, density, propeller)
    return more - propeller_thrust(idle, tas, density, propeller)


def rpm_for_thrust(thrust, tas, density, propeller):
    """RPM that gives a thrust beyond idle.

    Parameters
    ----------
    thrust : float
        Beyond the idling propeller; none and less is idle. [N]
    tas : float
        True airspeed. [m/s]
    density : float
        Air density. [kg/m3]
    propeller : Propeller
        The propeller. [SI]

    Returns
    -------
    float
        RPM. [rpm]

    Notes
    -----
    Root of the quadratic in `propeller_thrust`.

    References
    ----------
    .. [1] Algebra of `thrust_beyond_idle`.

    Examples
    --------
    >>> wood = Propeller(1.9, 1.0, 1.1)
    >>> rpm = rpm_for_thrust(400.0, 35.0, 1.225, wood)
    >>> round(float(thrust_beyond_idle(rpm, 35.0, 1.225, wood)), 6)
    400.0
    """
    idle = idle_rpm_in_flight(tas, propeller)
    if thrust <= 0.0:
        return idle
    size, ratio = propeller.diameter, propeller.zero_thrust_ratio
    wanted = thrust + propeller_thrust(idle, tas, density, propeller)
    share = wanted / (density * propeller.slope * size**3)
    turns = (tas + math.sqrt(tas * tas + 4.0 * ratio * size * share)) / (2.0 * ratio * size)
    return SECONDS_PER_MINUTE * turns


def idle_advance_ratio(brake_cd0, wing_area, diameter, zero_thrust_ratio, slope=REPORT_SLOPE):
    """Advance ratio at which the propeller brakes as much as the drag polar says it does at idle.

    Parameters
    ----------
    brake_cd0 : float
        Zero-lift drag coefficient with the propeller idling less that without thrust. [-]
    wing_area : float
        Reference wing area. [m2]
    diameter : float
        Propeller diameter. [m]
    zero_thrust_ratio : float
        Advance ratio without thrust. [-]
    slope : float
        Fall of CT per J. [-]

    Returns
    -------
    float
        J, from J0 to 2 J0. [-]

    Notes
    -----
    With b = CD S / (2 D^2): k (J - J0) / J^2 = b, the root next to J0. The line brakes most at
    2 J0; a greater drag is taken as that.

    References
    ----------
    .. [1] Algebra of `propeller_thrust`.

    Examples
    --------
    >>> round(idle_advance_ratio(0.0068, 16.0, 1.9, 1.0), 2)
    1.09
    """
    brake = brake_cd0 * wing_area / (2.0 * diameter**2)
    root = math.sqrt(max(1.0 - 4.0 * brake * zero_thrust_ratio / slope, 0.0))
    return 2.0 * zero_thrust_ratio / (1.0 + root)


def zero_thrust_ratio_of_cruise(
    power, cruise_rpm, diameter, parameters, density=1.225, slope=REPORT_SLOPE
):
    """Advance ratio without thrust of the propeller that fits an airplane's cruise.

    Assumes level cruise at 75 % of the rated power and the cruise RPM, with 80 % of it becoming
    thrust times speed; handbooks of light airplanes hold such a setting.

    Parameters
    ----------
    power : float
        Rated power of the engine. [W]
    cruise_rpm : float
        RPM in cruise. [rpm]
    diameter : float
        Propeller diameter. [m]
    parameters : Parameters
        The airplane with a propeller that neither pulls nor brakes. [SI]
    density : float
        Air density. [kg/m3]
    slope : float
        Fall of CT per J. [-]

    Returns
    -------
    float
        J0 = J + CT / k in cruise, kept within 0.7 to 1.3. [-]

    References
    ----------
    .. [1] Level flight, thrust equal to drag; 75 % and 80 % are common practice, no source.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> clean = Parameters(1000.0, 16.0, 10.8, 2.0, (0.0,), (0.039,), (0.67,), (1.5,))
    >>> round(zero_thrust_ratio_of_cruise(119300.0, 2450.0, 1.89, clean), 2)
    0.95
    """
    speed, drag = _cruise(power, parameters, density)
    turns = cruise_rpm / SECONDS_PER_MINUTE
    coefficient = drag / (density * turns**2 * diameter**4)
    ratio = speed / (turns * diameter) + coefficient / slope
    low, high = ZERO_THRUST_BOUNDS
    return min(max(ratio, low), high)


def cruise_tas_of_power(power, parameters, density=1.225):
    """Speed of level cruise at 75 % of the rated power.

    Assumes that 80 % of the shaft's power becomes thrust times speed.

    Parameters
    ----------
    power : float
        Rated power of the engine. [W]
    parameters : Parameters
        The airplane with a propeller that neither pulls nor brakes. [SI]
    density : float
        Air density. [kg/m3]

    Returns
    -------
    float
        True airspeed, 30 to 150 m/s. [m/s]

    References
    ----------
    .. [1] Level flight, thrust equal to drag; 75 % and 80 % are common practice, no source.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> clean = Parameters(1000.0, 16.0, 10.8, 2.0, (0.0,), (0.039,), (0.67,), (1.5,))
    >>> round(cruise_tas_of_power(119300.0, clean))
    54
    """
    return _cruise(power, parameters, density)[0]


def _cruise(power, parameters, density):
    """Speed and drag of level cruise."""
    induced = induced_drag_factor(parameters.oswald[0], parameters.aspect_ratio)
    thrust_power = CRUISE_POWER_SHARE * CRUISE_EFFICIENCY * power

    def drag(tas):
        pressure_area = 0.5 * density * tas * tas * parameters.wing_area
        lift = parameters.mass * STANDARD_GRAVITY / pressure_area
        return pressure_area * drag_coefficient(lift, parameters.cd0[0], induced)

    slow, fast = CRUISE_BETWEEN
    for _ in range(50):  # halving: the faster, the more power is needed
        tas = 0.5 * (slow + fast)
        slow, fast = (slow, tas) if drag(tas) * tas > thrust_power else (tas, fast)
    return slow, drag(slow)
