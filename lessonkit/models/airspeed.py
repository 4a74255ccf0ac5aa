"""Calibrated, equivalent and true airspeed at light-airplane speeds.

Air is taken as incompressible, so equivalent airspeed equals calibrated airspeed. That reads
high by less than 0.1 % at 100 kt and 5,000 ft and by less than 1 % at 200 kt and 10,000 ft
(checked against the compressible relation in the tests).
"""

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY, standard_density_ratio
from lessonkit.models.limits import Numbers, checked


def eas_from_cas(cas: ArrayLike) -> Numbers:
    """Convert calibrated airspeed to equivalent airspeed, without compressibility.

    Assumes an airspeed below about 200 kt and an altitude below 10,000 ft.

    Parameters
    ----------
    cas : float or array
        Calibrated airspeed. [m/s]

    Returns
    -------
    float or array
        Equivalent airspeed, the same number. [m/s]

    Raises
    ------
    ValueError
        If a speed lies outside the range.

    Notes
    -----
    The error is below 1 % up to 200 kt and 10,000 ft.

    References
    ----------
    .. [1] 14 CFR 1.1, definitions of calibrated and equivalent airspeed (read).

    Examples
    --------
    >>> float(eas_from_cas(50.0))
    50.0
    """
    return checked(cas=cas) * 1.0


def tas_from_eas(eas: ArrayLike, density: ArrayLike) -> Numbers:
    """Convert equivalent airspeed to true airspeed.

    Exact by definition.

    Parameters
    ----------
    eas : float or array
        Equivalent airspeed. [m/s]
    density : float or array
        Air density. [kg/m3]

    Returns
    -------
    float or array
        True airspeed. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    TAS = EAS sqrt(rho0 / rho).

    References
    ----------
    .. [1] 14 CFR 1.1, true airspeed (read).

    Examples
    --------
    >>> float(tas_from_eas(50.0, 1.225 / 4))
    100.0
    """
    eas, density = checked(eas=eas, density=density)
    return eas * np.sqrt(SEA_LEVEL_DENSITY / density)


def eas_from_tas(tas: ArrayLike, density: ArrayLike) -> Numbers:
    """Convert true airspeed to equivalent airspeed.

    Exact by definition.

    Parameters
    ----------
    tas : float or array
        True airspeed. [m/s]
    density : float or array
        Air density. [kg/m3]

    Returns
    -------
    float or array
        Equivalent airspeed. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    EAS = TAS sqrt(rho / rho0).

    References
    ----------
    .. [1] 14 CFR 1.1, true airspeed (read).

    Examples
    --------
    >>> float(eas_from_tas(100.0, 1.225 / 4))
    50.0
    """
    tas, density = checked(tas=tas, density=density)
    return tas * np.sqrt(density / SEA_LEVEL_DENSITY)


def tas_from_cas(cas: ArrayLike, altitude: ArrayLike) -> Numbers:
    """Convert calibrated airspeed to true airspeed on a standard day.

    Assumes incompressible air.

    Parameters
    ----------
    cas : float or array
        Calibrated airspeed. [m/s]
    altitude : float or array
        Altitude in the standard atmosphere; on any other day the density altitude. [m]

    Returns
    -------
    float or array
        True airspeed. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    TAS = CAS / sqrt(sigma); error below 1 % up to 200 kt and 10,000 ft.

    References
    ----------
    .. [1] 14 CFR 1.1, true airspeed (read).

    Examples
    --------
    >>> round(float(tas_from_cas(100.0, 1524.0)), 1)  # 5,000 ft
    107.7
    """
    return eas_from_cas(cas) / np.sqrt(standard_density_ratio(altitude))


def cas_from_tas(tas: ArrayLike, altitude: ArrayLike) -> Numbers:
    """Convert true airspeed to calibrated airspeed on a standard day.

    Assumes incompressible air.

    Parameters
    ----------
    tas : float or array
        True airspeed. [m/s]
    altitude : float or array
        Altitude in the standard atmosphere; on any other day the density altitude. [m]

    Returns
    -------
    float or array
        Calibrated airspeed. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    CAS = TAS sqrt(sigma); error below 1 % up to 200 kt and 10,000 ft.

    References
    ----------
    .. [1] 14 CFR 1.1, true airspeed (read).

    Examples
    --------
    >>> round(float(cas_from_tas(107.73, 1524.0)), 1)
    100.0
    """
    return checked(tas=tas) * np.sqrt(standard_density_ratio(altitude))
