"""What a power-off approach gives: touchdowns, and one approach against time."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Touchdowns:
    """Where and how each case touches down; NaN where it does not within ten minutes.

    Parameters
    ----------
    x, y : float or array
        Place, from the threshold and right of the centreline. [m]
    time : float or array
        Time since abeam. [s]
    true_airspeed, calibrated_airspeed : float or array
        Speeds at the touchdown. [m/s]
    sink_rate : float or array
        Rate of descent at the touchdown. [m/s]
    heading_deg, bank_deg : float or array
        Heading off the landing direction and bank. [deg]
    """

    x: float
    y: float
    time: float
    true_airspeed: float
    calibrated_airspeed: float
    sink_rate: float
    heading_deg: float
    bank_deg: float


@dataclass(frozen=True)
class History:
    """One approach against time, arrays of one length.

    Parameters
    ----------
    time : array
        Since abeam. [s]
    x, y, height : array
        See `point_mass`. [m]
    true_airspeed : array
        [m/s]
    path_angle_deg, heading_deg, bank_deg : array
        Through the air; signs as in `point_mass`. [deg]
    flap_deg, flap_lever_deg : array
        Flap angle and what the lever asks for. [deg]
    load_factor : array
        Lift over weight. [-]
    bank_rate_degps : array
        Roll rate, positive to the right. [deg/s]
    """

    time: np.ndarray
    x: np.ndarray
    y: np.ndarray
    height: np.ndarray
    true_airspeed: np.ndarray
    path_angle_deg: np.ndarray
    heading_deg: np.ndarray
    bank_deg: np.ndarray
    flap_deg: np.ndarray
    flap_lever_deg: np.ndarray
    load_factor: np.ndarray
    bank_rate_degps: np.ndarray


@dataclass(frozen=True)
class Approach:
    """One flown approach.

    Parameters
    ----------
    plan : ApproachPlan
        What was meant. [SI]
    touchdown : Touchdowns
        Where it ended; its fields are single numbers. [SI]
    history : History
        How it went. [SI, deg]
    """

    plan: object
    touchdown: Touchdowns
    history: History
