"""A timed glide and a pair of RPM readings as measurements for the calibration.

How far each reading may be wrong is stated here, in the constants; what has no source says so.
"""

import math
from dataclasses import dataclass, replace

from lessonkit.models.atmosphere import (
    SEA_LEVEL_DENSITY,
    density,
    density_in_step,
    standard_temperature,
)
from lessonkit.models.calibration import DRAG, FLAP_DRAG, RPM_PER_KT, Measurement
from lessonkit.models.drag import polar_at_flap
from lessonkit.models.glide_path import sink_rate
from lessonkit.units import STANDARD_GRAVITY, kt_from_mps, m_from_ft, mps_from_fpm, mps_from_kt

# One standard deviation each. Common practice, no source, except where a line says otherwise.
ALTIMETER_SPREAD = m_from_ft(10.0)  # of one reading: half a division of 20 ft
STOPWATCH_SPREAD = 1.0  # s, over start and stop
AIR_SPREAD = mps_from_fpm(20.0)  # rising or sinking air, averaged over a glide on a calm morning
SPEED_SPREAD = mps_from_kt(1.5)  # of a held speed, dial and pilot together
UNCORRECTED_SPREAD = mps_from_kt(4.0)  # of an IAS without a correction table
RPM_SPREAD = 20.0  # of one reading of a dial with divisions of 100 rpm


@dataclass(frozen=True)
class TimedGlide:
    """A steady straight glide at idle, timed between two readings of the altimeter.

    Parameters
    ----------
    cas : float
        Calibrated airspeed that was held. [m/s]
    height_lost : float
        Difference of the two altimeter readings. [m]
    seconds : float
        Time between them. [s]
    flap_deg : float
        Flap angle. [deg]
    altitude : float
        Pressure altitude half-way. [m]
    temperature : float
        Outside air temperature half-way. [K]
    speed_spread : float
        One standard deviation of the speed. [m/s]
    """

    cas: float
    height_lost: float
    seconds: float
    flap_deg: float
    altitude: float
    temperature: float
    speed_spread: float = SPEED_SPREAD


def with_drag(parameters, drag, flap_drag):
    """Airplane with more drag than its handbook says.

    Assumes that the whole parabola grows by one factor per flap setting, so that the speed of
    best glide stays; between flaps up and landing flaps the factor follows the flap angle.

    Parameters
    ----------
    parameters : Parameters
        The handbook's airplane. [SI]
    drag : float
        Excess with flaps up, as a share; negative for less. [-]
    flap_drag : float
        Further excess with landing flaps. [-]

    Returns
    -------
    lessonkit.models.parameters.Parameters
        With the drag changed. [SI]

    References
    ----------
    .. [1] CD = CD0 + CL^2/(pi e A): a factor on both terms is one on CD0 and one under e.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> p = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0, 30.0), (0.04, 0.05), (0.7, 0.7), (1.5, 1.9))
    >>> [round(cd0, 4) for cd0 in with_drag(p, 0.1, 0.1).cd0]
    [0.044, 0.06]
    """
    last = parameters.flap_deg[-1] or 1.0
    factors = [1.0 + drag + flap_drag * flap / last for flap in parameters.flap_deg]
    return replace(
        parameters,
        cd0=tuple(cd0 * f for cd0, f in zip(parameters.cd0, factors, strict=True)),
        oswald=tuple(e / f for e, f in zip(parameters.oswald, factors, strict=True)),
    )


def timed_sink(parameters, glide, cas=None):
    """Rate of descent that a timed glide should show.

    Assumes still air and a held calibrated airspeed.

    Parameters
    ----------
    parameters : Parameters
        The airplane at its weight. [SI]
    glide : TimedGlide
        How it was flown. [SI]
    cas : float, optional
        Another speed than the glide's. [m/s]

    Returns
    -------
    float
        Geometric height over time. [m/s]

    Notes
    -----
    On the way down the air grows denser, so that the true airspeed at a held calibrated one falls
    and some of the drag is paid from speed: sink = steady sink / (1 + V dV/dh / g), less than 1 %.

    References
    ----------
    .. [1] Balance of energy in a glide at constant calibrated airspeed; derived here.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> p = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> round(timed_sink(p, TimedGlide(35.0, 600.0, 180.0, 0.0, 900.0, 282.0)), 2)
    3.36
    """
    cas = glide.cas if cas is None else cas
    air = float(density(glide.altitude, glide.temperature))
    tas = cas * math.sqrt(SEA_LEVEL_DENSITY / air)
    cd0, induced = polar_at_flap(parameters, glide.flap_deg)
    oswald = 1.0 / (math.pi * parameters.aspect_ratio * induced)
    size = parameters.mass, parameters.wing_area, parameters.aspect_ratio
    steady = float(sink_rate(*size, cd0, oswald, air, tas, 0.0))
    step = 10.0  # m
    thinner = density_in_step(glide.altitude + step) / density_in_step(glide.altitude - step)
    speed_growth = tas * (thinner**-0.5 - 1.0) / (2.0 * step)
    return float(steady / (1.0 + tas * speed_growth / STANDARD_GRAVITY))


def glide_measurement(parameters, glide, key="timed_glide"):
    """Turn a timed glide into a measurement of the drag.

    Parameters
    ----------
    parameters : Parameters
        The handbook's airplane at the weight of the glide, propeller idling. [SI]
    glide : TimedGlide
        How it was flown. [SI]
    key : str
        Name of the measurement. [-]

    Returns
    -------
    Measurement
        Of the rate of descent. [m/s]

    Raises
    ------
    ValueError
        If the glide needs more lift than the wing has or less than no time.

    Notes
    -----
    An altimeter divides pressure by the standard temperature: in warm air the true loss of height
    is larger in proportion to the absolute temperatures.

    References
    ----------
    .. [1] Errors as in the constants of this module; temperature error of the altimeter: Pilot's
       Handbook of Aeronautical Knowledge FAA-H-8083-25 ch. 8 (from memory).

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> p = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> found = glide_measurement(p, TimedGlide(35.0, 600.0, 180.0, 0.0, 900.0, 282.3))
    >>> round(found.observed, 2), round(found.spread / found.observed, 3)
    (3.33, 0.038)
    """
    warmth = glide.temperature / float(standard_temperature(glide.altitude))
    sink = glide.height_lost * warmth / glide.seconds
    steeper = timed_sink(parameters, glide, glide.cas + glide.speed_spread)
    flatter = timed_sink(parameters, glide, glide.cas - glide.speed_spread)
    parts = (
        sink * math.sqrt(2.0) * ALTIMETER_SPREAD / glide.height_lost,
        sink * STOPWATCH_SPREAD / glide.seconds,
        AIR_SPREAD,
        0.5 * (steeper - flatter),
    )
    return Measurement(
        key,
        sink,
        math.hypot(*parts),
        lambda unknowns: timed_sink(
            with_drag(parameters, unknowns[DRAG], unknowns[FLAP_DRAG]), glide
        ),
    )


def rpm_measurement(slow_cas, slow_rpm, fast_cas, fast_rpm, key="rpm_pair"):
    """Turn two RPM readings at one throttle setting into a measurement of the RPM slope.

    Assumes a fixed-pitch propeller, a fixed throttle and the same altitude.

    Parameters
    ----------
    slow_cas, fast_cas : float
        The two steady speeds. [m/s]
    slow_rpm, fast_rpm : float
        What the tachometer shows at them. [rpm]
    key : str
        Name of the measurement. [-]

    Returns
    -------
    Measurement
        Of the rise of the RPM. [rpm]

    References
    ----------
    .. [1] `propeller.rpm_at_fixed_throttle`; between two speeds its mean slope is exactly the rise
       over the difference of speed.

    Examples
    --------
    >>> found = rpm_measurement(31.0, 2200.0, 46.0, 2350.0)
    >>> round(found.observed), round(found.spread)
    (150, 33)
    """
    knots = kt_from_mps(fast_cas - slow_cas)
    rise = fast_rpm - slow_rpm
    of_speed = math.sqrt(2.0) * kt_from_mps(SPEED_SPREAD) * max(abs(rise / knots), 8.0)
    spread = math.hypot(math.sqrt(2.0) * RPM_SPREAD, of_speed)
    return Measurement(key, rise, spread, lambda unknowns: knots * unknowns[RPM_PER_KT])
