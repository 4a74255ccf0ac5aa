"""Published stability-derivative sets of light singles: how they answer sideslip, roll and yaw.

All coefficients are per radian, rates made non-dimensional with span / (2 true airspeed), axes
x forward along the path of the reference flight, y right, z down. Sideslip is positive with the
wind from the right. The kit's control signs: aileron positive rolls right, rudder positive is right
pedal. The sources print the rudder the other way round (trailing edge left positive) and the
aileron of sets A and C with the opposite sign; both are turned here.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from lessonkit.models.limits import sentence
from lessonkit.units import (
    STANDARD_GRAVITY,
    kg_from_lb,
    m2_from_ft2,
    m_from_ft,
    mps_from_kt,
    n_from_lbf,
)

_NELSON = (
    "R. C. Nelson, Flight Stability and Automatic Control, 2nd ed., app. B, general-aviation "
    "airplane, sea level, 176 ft/s (read in two public transcriptions that differ on the sign of "
    "the yaw due to aileron and on the roll due to rudder; neither is used for an airplane)"
)
_ROSKAM = (
    "J. Roskam, Airplane Flight Dynamics and Automatic Flight Controls, part I, app. B table B1, "
    "airplane A, a light four-seat high-wing airplane in cruise at 5,000 ft, 220.1 ft/s (weights, "
    "sizes and roll and rudder power read in public transcriptions, the rest from memory)"
)
_SECKEL = (
    "E. Seckel and J. J. Morris, FAA-RD-71-6 (1971), flight tests of a light low-wing airplane at "
    "10,000 ft, 135 kt (read in a public transcription; its roll due to rudder looks copied from "
    "another set and is not used)"
)


class LateralDerivatives(NamedTuple):
    """Side force, rolling and yawing moment coefficients per sideslip, rate and control.

    Parameters
    ----------
    cy_beta, cy_p, cy_r, cy_rudder : float
        Side force, positive right. [1/rad]
    cl_beta, cl_p, cl_r, cl_aileron, cl_rudder : float
        Rolling moment, positive right wing down. [1/rad]
    cn_beta, cn_p, cn_r, cn_aileron, cn_rudder : float
        Yawing moment, positive nose right. [1/rad]
    """

    cy_beta: float
    cy_p: float
    cy_r: float
    cy_rudder: float
    cl_beta: float
    cl_p: float
    cl_r: float
    cl_aileron: float
    cl_rudder: float
    cn_beta: float
    cn_p: float
    cn_r: float
    cn_aileron: float
    cn_rudder: float


@dataclass(frozen=True)
class PublishedSet:
    """One published set with the flight that it belongs to.

    Parameters
    ----------
    key : str
        Name of the set in the kit.
    derivatives : LateralDerivatives
        At the lift coefficient of the reference flight, axes along its path. [1/rad]
    lift_coefficient, lift_slope : float
        Lift coefficient [-] and its slope with angle of attack [1/rad].
    mass, wing_area, span : float
        [kg], [m2], [m]
    ix, iz, ixz : float
        Moments of inertia in roll and yaw and their product. [kg m2]
    tas, density : float
        True airspeed [m/s] and air density [kg/m3] of the reference flight.
    source : str
        Where it was read, and what of it is from memory.
    """

    key: str
    derivatives: LateralDerivatives
    lift_coefficient: float
    lift_slope: float
    mass: float
    wing_area: float
    span: float
    ix: float
    iz: float
    ixz: float
    tas: float
    density: float
    source: str


def _inertia(slug_ft2):
    """Moment of inertia in kg m2 from slug ft2: a slug is a pound-force second squared per foot."""
    return slug_ft2 * n_from_lbf(1.0) * m_from_ft(1.0)


def _density(slug_per_ft3):
    return slug_per_ft3 * n_from_lbf(1.0) / m_from_ft(1.0) ** 4


# Density at the altitudes of the sources: US Standard Atmosphere 1976, in slug/ft3.
_SEA_LEVEL, _AT_5000_FT, _AT_10000_FT = 0.0023769, 0.0020482, 0.0017556

SETS: dict[str, PublishedSet] = {
    "A": PublishedSet(
        "A",
        LateralDerivatives(
            cy_beta=-0.564, cy_p=0.0, cy_r=0.0, cy_rudder=-0.157,
            cl_beta=-0.074, cl_p=-0.410, cl_r=0.107, cl_aileron=0.134, cl_rudder=-0.107,
            cn_beta=0.071, cn_p=-0.0575, cn_r=-0.125, cn_aileron=0.0035, cn_rudder=0.072,
        ),
        0.41, 4.44,
        kg_from_lb(2750.0), m2_from_ft2(184.0), m_from_ft(33.4),
        _inertia(1048.0), _inertia(3530.0), 0.0,
        m_from_ft(176.0), _density(_SEA_LEVEL), _NELSON,
    ),
    "B": PublishedSet(
        "B",
        LateralDerivatives(
            cy_beta=-0.393, cy_p=-0.075, cy_r=0.214, cy_rudder=-0.187,
            cl_beta=-0.0923, cl_p=-0.484, cl_r=0.0798, cl_aileron=0.229, cl_rudder=-0.0147,
            cn_beta=0.0587, cn_p=-0.0278, cn_r=-0.0937, cn_aileron=-0.0216, cn_rudder=0.0645,
        ),
        0.307, 4.41,
        kg_from_lb(2650.0), m2_from_ft2(174.0), m_from_ft(36.0),
        _inertia(948.0), _inertia(1967.0), 0.0,
        m_from_ft(220.1), _density(_AT_5000_FT), _ROSKAM,
    ),
    "C": PublishedSet(
        "C",
        LateralDerivatives(
            cy_beta=-0.61, cy_p=0.0, cy_r=0.0, cy_rudder=-0.157,
            cl_beta=-0.067, cl_p=-0.46, cl_r=0.069, cl_aileron=0.152, cl_rudder=-0.107,
            cn_beta=0.086, cn_p=-0.038, cn_r=-0.088, cn_aileron=-0.0047, cn_rudder=0.075,
        ),
        0.30, 6.04,
        kg_from_lb(2948.0), m2_from_ft2(184.0), m_from_ft(33.38),
        _inertia(1284.0), _inertia(3235.0), 0.0,
        mps_from_kt(135.0), _density(_AT_10000_FT), _SECKEL,
    ),
}  # fmt: skip


def lift_coefficient_of_flight(published):
    """Lift coefficient that the weight, area, speed and density of a set give.

    Assumes level flight; a check of the transcription against the printed lift coefficient.

    Parameters
    ----------
    published : PublishedSet
        The set. [SI]

    Returns
    -------
    float
        W / (q S). [-]

    References
    ----------
    .. [1] Definition of the lift coefficient.

    Examples
    --------
    >>> round(lift_coefficient_of_flight(SETS["A"]), 2)
    0.41
    """
    pressure = 0.5 * published.density * published.tas**2
    return published.mass * STANDARD_GRAVITY / (pressure * published.wing_area)


def controls_for_sideslip_deg(derivatives: LateralDerivatives, sideslip_deg: float):
    """Aileron and rudder angles that hold a sideslip without roll or yaw.

    Assumes a straight path and no power.

    Parameters
    ----------
    derivatives : LateralDerivatives
        Of the airplane. [1/rad]
    sideslip_deg : float
        + wind from the right. [deg]

    Returns
    -------
    tuple of float
        Aileron and rudder, + rolls right, + right pedal. [deg]

    Notes
    -----
    Cl = Cn = 0, two linear equations.

    References
    ----------
    .. [1] J. Roskam, Airplane Flight Dynamics, steady straight sideslip (from memory).

    Examples
    --------
    >>> aileron, rudder = controls_for_sideslip_deg(SETS["B"].derivatives, 10.0)
    >>> round(aileron, 2), round(rudder, 2)  # wind from the right: wheel right, left pedal
    (3.52, -7.92)
    """
    d = derivatives
    determinant = d.cl_aileron * d.cn_rudder - d.cn_aileron * d.cl_rudder
    aileron = (d.cl_rudder * d.cn_beta - d.cn_rudder * d.cl_beta) / determinant
    rudder = (d.cn_aileron * d.cl_beta - d.cl_aileron * d.cn_beta) / determinant
    return aileron * sideslip_deg, rudder * sideslip_deg


def published_set(key):
    """Look a set up by its name.

    Parameters
    ----------
    key : str
        "A", "B" or "C". [text]

    Returns
    -------
    PublishedSet
        [SI]

    Raises
    ------
    ValueError
        Naming the sets that there are.

    References
    ----------
    .. [1] The sources of `SETS`.

    Examples
    --------
    >>> published_set("B").lift_coefficient
    0.307
    """
    if key not in SETS:
        raise ValueError(sentence("quantity.no_set", given=key, known=", ".join(SETS)))
    return SETS[key]


def bank_for_sideslip_deg(published, sideslip_deg):
    """Bank that holds a straight sideslip at the reference flight of a set.

    Assumes a level path and no power.

    Parameters
    ----------
    published : PublishedSet
        The set. [SI]
    sideslip_deg : float or array
        Wind from the right positive. [deg]

    Returns
    -------
    float or array
        Right wing down positive. [deg]

    Notes
    -----
    CL sin(bank) = -(cy_beta beta + cy_rudder rudder), CL as flown.

    References
    ----------
    .. [1] Balance of forces across the path.

    Examples
    --------
    >>> round(float(bank_for_sideslip_deg(SETS["B"], 10.0)), 1)
    8.0
    """
    d = published.derivatives
    _, rudder_deg = controls_for_sideslip_deg(d, sideslip_deg)
    side = np.radians(d.cy_beta * sideslip_deg + d.cy_rudder * rudder_deg)
    return np.degrees(np.arcsin(-side / lift_coefficient_of_flight(published)))
