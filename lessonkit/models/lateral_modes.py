"""The natural motions of an airplane left alone: roll subsidence, dutch roll and spiral."""

from dataclasses import dataclass

import numpy as np

from lessonkit.units import STANDARD_GRAVITY


@dataclass(frozen=True)
class LateralModes:
    """Roots of the linearised lateral motion.

    Parameters
    ----------
    roll, spiral : float
        Real roots; negative dies out. [1/s]
    dutch_roll : complex
        Root of the pair with the positive frequency. [1/s]
    """

    roll: float
    spiral: float
    dutch_roll: complex

    @property
    def roll_time_constant(self):
        """Time in s after which 63 % of a roll rate is there."""
        return -1.0 / self.roll

    @property
    def dutch_roll_frequency(self):
        """Undamped natural frequency in rad/s."""
        return abs(self.dutch_roll)

    @property
    def dutch_roll_damping(self):
        """Damping ratio, a pure number; negative grows."""
        return -self.dutch_roll.real / abs(self.dutch_roll)


def lateral_matrix(derivatives, mass, wing_area, span, ix, iz, tas, density, ixz=0.0):
    """Matrix of the linearised motion about straight, level flight.

    Assumes axes along the path, small angles, constant speed and level flight.

    Parameters
    ----------
    derivatives : LateralDerivatives
        In axes along the path. [1/rad]
    mass, wing_area, span : float
        Mass [kg], wing area [m2], span [m].
    ix, iz, ixz : float
        Moments of inertia in roll and yaw, and their product. [kg m2]
    tas : float
        True airspeed. [m/s]
    density : float
        Air density. [kg/m3]

    Returns
    -------
    array of shape (4, 4)
        Rates of sideslip, roll rate, yaw rate and bank per each of them. [1/s, 1]

    References
    ----------
    .. [1] R. C. Nelson, Flight Stability and Automatic Control, lateral equations of motion.

    Examples
    --------
    >>> from lessonkit.models.lateral_sets import SETS
    >>> a = SETS["A"]
    >>> matrix = lateral_matrix(a.derivatives, a.mass, a.wing_area, a.span, a.ix, a.iz, a.tas,
    ...                         a.density)
    >>> round(float(matrix[0, 0]), 3)
    -0.254
    """
    d = derivatives
    force = 0.5 * density * tas * tas * wing_area
    rate = span / (2.0 * tas)
    side = force / (mass * tas)
    moments = force * span * np.array(
        [
            [d.cl_beta, d.cl_p * rate, d.cl_r * rate, 0.0],
            [d.cn_beta, d.cn_p * rate, d.cn_r * rate, 0.0],
        ]
    )  # fmt: skip
    rolling, yawing = np.linalg.solve(np.array([[ix, -ixz], [-ixz, iz]]), moments)
    sliding = [side * d.cy_beta, side * d.cy_p * rate, side * d.cy_r * rate - 1.0,
               STANDARD_GRAVITY / tas]  # fmt: skip
    return np.array([sliding, rolling, yawing, [0.0, 1.0, 0.0, 0.0]])


def lateral_modes(matrix):
    """Roll, spiral and dutch roll of a linearised motion.

    Assumes one oscillating pair, as every ordinary airplane has; of the two real roots the faster
    one is the roll.

    Parameters
    ----------
    matrix : array of shape (4, 4)
        As `lateral_matrix` gives it. [1/s]

    Returns
    -------
    LateralModes
        [1/s]

    Raises
    ------
    ValueError
        If the roots are not one pair and two real ones.

    References
    ----------
    .. [1] Eigenvalues of the linearised lateral motion; any text on flight dynamics.

    Examples
    --------
    >>> left_alone = np.diag([-8.0, -0.01, -0.5, -0.5])
    >>> left_alone[2, 3], left_alone[3, 2] = 2.0, -2.0
    >>> round(lateral_modes(left_alone).dutch_roll_damping, 3)
    0.243
    """
    roots = np.linalg.eigvals(matrix)
    pair = roots[roots.imag > 0.0]
    single = np.sort(roots[roots.imag == 0.0].real)
    if len(pair) != 1 or len(single) != 2:
        raise ValueError("This motion has no dutch roll, roll and spiral to tell apart.")
    return LateralModes(float(single[0]), float(single[1]), complex(pair[0]))


def modes_of_set(published):
    """Modes of a published set at its reference flight.

    Parameters
    ----------
    published : PublishedSet
        The set. [SI]

    Returns
    -------
    LateralModes
        [1/s]

    References
    ----------
    .. [1] As in `lateral_matrix`.

    Examples
    --------
    >>> from lessonkit.models.lateral_sets import SETS
    >>> round(modes_of_set(SETS["A"]).roll, 2)
    -8.43
    """
    s = published
    return lateral_modes(
        lateral_matrix(
            s.derivatives, s.mass, s.wing_area, s.span, s.ix, s.iz, s.tas, s.density, s.ixz
        )
    )
