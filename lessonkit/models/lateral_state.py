"""State, controls and rates of the roll-yaw motion: what each field means and its sign."""

from typing import NamedTuple


class LateralState(NamedTuple):
    """Where the motion is; each field a float or an array over cases.

    Parameters
    ----------
    sideslip : float
        Wind from the right positive. [rad]
    roll_rate, yaw_rate : float
        Body axes, right wing down and nose right positive. [rad/s]
    bank, heading : float
        Right wing down, clockwise positive. [rad]
    """

    sideslip: float
    roll_rate: float
    yaw_rate: float
    bank: float
    heading: float


class LateralControls(NamedTuple):
    """What is held over a step; each field a float or an array over cases.

    Parameters
    ----------
    aileron, rudder : float
        Shares of full travel, -1 to 1: rolls right, right pedal. [-]
    tas : float
        True airspeed. [m/s]
    density : float
        Air density. [kg/m3]
    power : float
        Share of full power, 0 to 1. [-]
    """

    aileron: float
    rudder: float
    tas: float
    density: float
    power: float = 0.0


class LateralRates(NamedTuple):
    """Everything the motion needs at one instant: rates of the state and what made them.

    Parameters
    ----------
    sideslip, roll_rate, yaw_rate, bank, heading : float
        Rates of change of the state. [rad/s, rad/s2]
    pitch_rate : float
        Body axes, nose up positive. [rad/s]
    side_load, load_factor : float
        Side force and lift over weight. [g]
    """

    sideslip: float
    roll_rate: float
    yaw_rate: float
    bank: float
    heading: float
    pitch_rate: float
    side_load: float
    load_factor: float


STRAIGHT = LateralState(0.0, 0.0, 0.0, 0.0, 0.0)
