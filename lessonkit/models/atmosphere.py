"""The standard atmosphere below the tropopause, and what pilots read from it.

Altitudes are geopotential metres above mean sea level; below 15,000 ft they differ from
geometric ones by less than 0.1 %.
"""

from types import SimpleNamespace

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.limits import LIMITS, Numbers, checked, outside
from lessonkit.models.numeric import ARRAY, SCALAR

SEA_LEVEL_TEMPERATURE = 288.15  # K
SEA_LEVEL_PRESSURE = 101325.0  # Pa
SEA_LEVEL_DENSITY = 1.225  # kg/m3
LAPSE_RATE = 0.0065  # K/m, positive = colder with height
GAS_CONSTANT = 287.05287  # J/(kg K), dry air
HEAT_CAPACITY_RATIO = 1.4
PRESSURE_EXPONENT = 5.25588  # g0 / (R L)
DENSITY_EXPONENT = PRESSURE_EXPONENT - 1.0


def standard_temperature(altitude: ArrayLike) -> Numbers:
    """Air temperature of the standard atmosphere.

    Parameters
    ----------
    altitude : float or array
        Altitude above mean sea level, -1000 to 11000. [m]

    Returns
    -------
    float or array
        Temperature. [K]

    Raises
    ------
    ValueError
        If an altitude lies outside the range.

    Notes
    -----
    T = 288.15 - 0.0065 h.

    References
    ----------
    .. [1] U.S. Standard Atmosphere 1976 / ICAO Doc 7488; constants read in a public copy.

    Examples
    --------
    >>> round(float(standard_temperature(1000.0)), 2)
    281.65
    """
    altitude = checked(altitude=altitude)
    return SEA_LEVEL_TEMPERATURE - LAPSE_RATE * altitude


def standard_pressure(altitude: ArrayLike) -> Numbers:
    """Air pressure of the standard atmosphere.

    Parameters
    ----------
    altitude : float or array
        Altitude above mean sea level, -1000 to 11000. [m]

    Returns
    -------
    float or array
        Pressure. [Pa]

    Raises
    ------
    ValueError
        If an altitude lies outside the range.

    Notes
    -----
    p = 101325 (T / 288.15)^5.25588, the hydrostatic equation for a constant lapse rate.

    References
    ----------
    .. [1] U.S. Standard Atmosphere 1976 / ICAO Doc 7488; constants read in a public copy.

    Examples
    --------
    >>> round(float(standard_pressure(0.0)))
    101325
    """
    theta = standard_temperature(altitude) / SEA_LEVEL_TEMPERATURE
    return SEA_LEVEL_PRESSURE * theta**PRESSURE_EXPONENT


def standard_density(altitude: ArrayLike, functions: SimpleNamespace = ARRAY) -> Numbers | float:
    """Air density of the standard atmosphere.

    Parameters
    ----------
    altitude : float or array
        Altitude above mean sea level, -1000 to 11000. [m]
    functions : namespace
        `ARRAY`, or `SCALAR` for one plain float inside a time step. [-]

    Returns
    -------
    float or array
        Density. [kg/m3]

    Raises
    ------
    ValueError
        If an altitude lies outside the range.

    Notes
    -----
    rho = 1.225 (1 - 0.0065 h / 288.15)^4.25588.

    References
    ----------
    .. [1] U.S. Standard Atmosphere 1976 / ICAO Doc 7488; constants read in a public copy.

    Examples
    --------
    >>> round(float(standard_density(0.0)), 4)
    1.225
    """
    if functions is SCALAR:
        limits = LIMITS["altitude"]
        if altitude < limits.low or altitude > limits.high:
            raise ValueError(outside("altitude", altitude))
    else:
        altitude = checked(altitude=altitude)
    return density_in_step(altitude, functions)


def density_in_step(altitude, functions=ARRAY):
    """Return the standard density without a check of the range, for use inside a time step.

    Parameters
    ----------
    altitude : float or array
        Altitude above mean sea level. [m]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    float or array
        Density. [kg/m3]

    References
    ----------
    .. [1] As `standard_density`.

    Examples
    --------
    >>> round(float(density_in_step(0.0)), 4)
    1.225
    """
    theta = 1.0 - LAPSE_RATE / SEA_LEVEL_TEMPERATURE * altitude
    return SEA_LEVEL_DENSITY * functions.power(theta, DENSITY_EXPONENT)


def standard_density_ratio(altitude: ArrayLike) -> Numbers:
    """Return standard density as a fraction of the one at sea level.

    Parameters
    ----------
    altitude : float or array
        Altitude above mean sea level, -1000 to 11000. [m]

    Returns
    -------
    float or array
        Density ratio sigma. [-]

    Raises
    ------
    ValueError
        If an altitude lies outside the range.

    References
    ----------
    .. [1] U.S. Standard Atmosphere 1976 / ICAO Doc 7488; constants read in a public copy.

    Examples
    --------
    >>> round(float(standard_density_ratio(1524.0)), 4)  # 5,000 ft
    0.8617
    """
    return standard_density(altitude) / SEA_LEVEL_DENSITY


def speed_of_sound(altitude: ArrayLike) -> Numbers:
    """Speed of sound in the standard atmosphere.

    Parameters
    ----------
    altitude : float or array
        Altitude above mean sea level, -1000 to 11000. [m]

    Returns
    -------
    float or array
        Speed of sound. [m/s]

    Raises
    ------
    ValueError
        If an altitude lies outside the range.

    Notes
    -----
    a = sqrt(1.4 R T) with R = 287.05287 J/(kg K).

    References
    ----------
    .. [1] U.S. Standard Atmosphere 1976 / ICAO Doc 7488; constants read in a public copy.

    Examples
    --------
    >>> round(float(speed_of_sound(0.0)), 1)
    340.3
    """
    return np.sqrt(HEAT_CAPACITY_RATIO * GAS_CONSTANT * standard_temperature(altitude))


def altitude_of_pressure(pressure: ArrayLike) -> Numbers:
    """Altitude at which the standard atmosphere has this pressure.

    Parameters
    ----------
    pressure : float or array
        Air pressure, 22600 to 113900. [Pa]

    Returns
    -------
    float or array
        Pressure altitude. [m]

    Raises
    ------
    ValueError
        If a pressure lies outside the range.

    Notes
    -----
    Inverse of `standard_pressure`.

    References
    ----------
    .. [1] U.S. Standard Atmosphere 1976 / ICAO Doc 7488; constants read in a public copy.

    Examples
    --------
    >>> round(abs(float(altitude_of_pressure(101325.0))), 6)
    0.0
    """
    pressure = checked(pressure=pressure)
    theta = (pressure / SEA_LEVEL_PRESSURE) ** (1.0 / PRESSURE_EXPONENT)
    return SEA_LEVEL_TEMPERATURE / LAPSE_RATE * (1.0 - theta)


def pressure_altitude(elevation: ArrayLike, altimeter_setting: ArrayLike) -> Numbers:
    """Altitude an altimeter at this elevation shows when it is set to standard pressure.

    Parameters
    ----------
    elevation : float or array
        Height of the place above mean sea level. [m]
    altimeter_setting : float or array
        Altimeter setting (QNH). [Pa]

    Returns
    -------
    float or array
        Pressure altitude. [m]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    An altimeter's setting shifts its whole scale, so the shift is the pressure altitude of the
    setting itself: PA = elevation + h(altimeter setting).

    References
    ----------
    .. [1] FAA-H-8083-25, performance chapter, Sample Problem 1: 5,883 ft and 30.10 inHg give
       5,718 ft (read).

    Examples
    --------
    >>> round(float(pressure_altitude(0.0, 101325.0)), 6) + 0.0
    0.0
    """
    elevation, altimeter_setting = checked(elevation=elevation, altimeter_setting=altimeter_setting)
    return elevation + altitude_of_pressure(altimeter_setting)


def density(pressure_altitude: ArrayLike, temperature: ArrayLike) -> Numbers:
    """Air density from pressure altitude and outside air temperature.

    Parameters
    ----------
    pressure_altitude : float or array
        Pressure altitude. [m]
    temperature : float or array
        Outside air temperature. [K]

    Returns
    -------
    float or array
        Density of dry air. [kg/m3]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    rho = p / (R T). Humidity is left out: at 30 degC saturated air is about 1.6 % lighter.

    References
    ----------
    .. [1] Ideal gas law; R of the U.S. Standard Atmosphere 1976.

    Examples
    --------
    >>> round(float(density(0.0, 288.15)), 4)
    1.225
    """
    pressure_altitude, temperature = checked(
        pressure_altitude=pressure_altitude, temperature=temperature
    )
    return standard_pressure(pressure_altitude) / (GAS_CONSTANT * temperature)


def density_altitude(pressure_altitude: ArrayLike, temperature: ArrayLike) -> Numbers:
    """Altitude at which the standard atmosphere is as thin as the air today.

    Parameters
    ----------
    pressure_altitude : float or array
        Pressure altitude. [m]
    temperature : float or array
        Outside air temperature. [K]

    Returns
    -------
    float or array
        Density altitude. [m]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    Inverse of `standard_density` at the density p / (R T); the cockpit rule of 120 ft per degC
    above standard agrees within 3 % of the difference below 8,000 ft.

    References
    ----------
    .. [1] Ideal gas law and U.S. Standard Atmosphere 1976.

    Examples
    --------
    >>> bool(density_altitude(1000.0, 300.0) > 1000.0)
    True
    """
    sigma = density(pressure_altitude, temperature) / SEA_LEVEL_DENSITY
    return SEA_LEVEL_TEMPERATURE / LAPSE_RATE * (1.0 - sigma ** (1.0 / DENSITY_EXPONENT))
