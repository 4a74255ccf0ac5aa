"""What the pilot's eye sees of far marks: the turn into the windscreen, and level pitch."""

import math

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.limits import Numbers


def seen_in_windscreen(
    azimuth_deg: ArrayLike,
    elevation_deg: ArrayLike,
    heading_deg: float,
    pitch_deg: float,
    bank_deg: float,
) -> tuple[Numbers, Numbers]:
    """Place of far marks in a windscreen fixed to the airplane, seen along its nose.

    Assumes marks so far away that the airplane's own movement does not shift them, and a flat
    windscreen across the line of sight (true perspective: straight edges stay straight), so a
    degree is a degree in the middle of the picture and longer towards its edges.

    Parameters
    ----------
    azimuth_deg : float or array
        Direction of the mark, clockwise from the same zero as the heading. [deg]
    elevation_deg : float or array
        Height of the mark above the horizon. [deg]
    heading_deg : float
        Heading of the nose, + clockwise. [deg]
    pitch_deg : float
        Nose above the horizon. [deg]
    bank_deg : float
        Bank, + right wing down. [deg]

    Returns
    -------
    right_deg, up_deg : float or array
        Place in the picture from its middle, the point that the nose is on; NaN for what is
        abeam or behind. [deg]

    Raises
    ------
    ValueError
        If the shapes of azimuth and elevation do not fit each other.

    Notes
    -----
    Earth to body axes by heading, pitch and bank in that order; then right = y/x and up = -z/x.
    With the right wing down the airplane turns clockwise about the line of sight, so the horizon
    in the picture rises towards the right.

    References
    ----------
    .. [1] R. C. Nelson, Flight Stability and Automatic Control, ch. 3, Euler angles (from memory).

    Examples
    --------
    >>> right, up = seen_in_windscreen([-20.0, 20.0], 0.0, 0.0, 0.0, 30.0)
    >>> bool(up[1] > 0.0 > up[0])  # right wing down: the horizon rises towards the right
    True
    >>> [round(float(v), 4) for v in seen_in_windscreen(0.0, 0.0, 0.0, 5.0, 0.0)]
    [0.0, -5.0127]
    """
    east = np.radians(np.asarray(azimuth_deg, dtype=float) - heading_deg)
    high = np.radians(np.asarray(elevation_deg, dtype=float))
    pitch, bank = math.radians(pitch_deg), math.radians(bank_deg)
    level = np.cos(high) * np.cos(east)
    ahead = math.cos(pitch) * level + math.sin(pitch) * np.sin(high)
    below = math.sin(pitch) * level - math.cos(pitch) * np.sin(high)
    beside = np.cos(high) * np.sin(east)
    right = math.cos(bank) * beside + math.sin(bank) * below
    down = -math.sin(bank) * beside + math.cos(bank) * below
    ahead = np.where(ahead > 0.05, ahead, np.nan)
    return np.degrees(right / ahead), np.degrees(-down / ahead)


def level_path_pitch_deg(
    angle_of_attack_deg: float, bank_deg: float, sideslip_deg: float = 0.0
) -> float:
    """Pitch at which the path through the air is level.

    Assumes still air; the angle of attack is counted from the line whose pitch is wanted.

    Parameters
    ----------
    angle_of_attack_deg : float
        Angle between that line and the path. [deg]
    bank_deg : float
        Bank, + right wing down. [deg]
    sideslip_deg : float
        Sideslip, + wind from the right. [deg]

    Returns
    -------
    float
        Pitch of the line above the horizon. [deg]

    Raises
    ------
    ZeroDivisionError
        Never within +/-89 degrees.

    Notes
    -----
    From sin(path angle) = 0: tan(pitch) = (sin b sin phi + sin a cos b cos phi) / (cos a cos b).
    In a bank less of the angle of attack is pitch; in a slip to the low side some sideslip is.

    References
    ----------
    .. [1] B. Etkin, Dynamics of Atmospheric Flight, ch. 4, path angles from body axes (from memory;
       the relation is derived anew from the rotation above).

    Examples
    --------
    >>> round(level_path_pitch_deg(8.0, 0.0), 6), round(level_path_pitch_deg(8.0, 60.0), 2)
    (8.0, 4.02)
    """
    alpha, bank, beta = (math.radians(v) for v in (angle_of_attack_deg, bank_deg, sideslip_deg))
    across = math.tan(beta) * math.sin(bank) / math.cos(alpha)
    return math.degrees(math.atan(across + math.tan(alpha) * math.cos(bank)))
