"""Steady states of the roll-yaw motion: which controls, bank and rates leave nothing changing.

Solved from the motion's own rates (`lateral_motion.lateral_rates`), so that what is called steady
here stays where it is when it is flown. Signs are those of the motion: sideslip + wind from the
right, rudder + right pedal, aileron + rolls right, bank + right wing down, ball + out to the right.
"""

from dataclasses import dataclass

import numpy as np

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.lateral_motion import (
    LateralControls,
    LateralState,
    lateral_rates,
    seen_of,
)

UNKNOWNS = ("sideslip", "roll_rate", "yaw_rate", "bank", "aileron", "rudder")
# Only the bank is not linear in the rates: three steps leave less than a millionth of a degree.
NEWTON_STEPS = 4
PROBE = 1e-5  # rad or share; rates are of the order of 1 to 10 per unit


@dataclass(frozen=True)
class SteadyFlight:
    """A steady flight, straight or turning; each field a float or an array over cases.

    Parameters
    ----------
    sideslip_deg, bank_deg, ball_deg : float or array
        + wind from the right, + right wing down, + ball out to the right. [deg]
    turn_rate_dps : float or array
        + to the right, 0 on a straight path. [deg/s]
    aileron, rudder : float or array
        Shares of full travel that it takes; beyond 1 either way it cannot be held. [-]
    load_factor, lateral_load : float or array
        Lift over weight; sideways push of the seat, + to the right. [g]
    lift_coefficient : float or array
        As flown. [-]
    state : LateralState
        To start a motion from; heading 0. [rad, rad/s]
    """

    sideslip_deg: float
    bank_deg: float
    ball_deg: float
    turn_rate_dps: float
    aileron: float
    rudder: float
    load_factor: float
    lateral_load: float
    lift_coefficient: float
    state: LateralState

    @property
    def can_be_held(self):
        """True where neither aileron nor rudder runs out of travel."""
        return np.maximum(np.abs(self.aileron), np.abs(self.rudder)) <= 1.0


def steady_flight(
    airplane, tas, density=SEA_LEVEL_DENSITY, power=0.0, straight=False, **given
) -> SteadyFlight:
    """Steady flight in which some quantities are given and the rest follow.

    Assumes constant speed and what `lateral_motion` does.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    tas : float or array
        True airspeed, above 0. [m/s]
    density : float or array
        Air density. [kg/m3]
    power : float or array
        Share of full power, 0 to 1. [-]
    straight : bool
        True for a path without turn: then one quantity is given, else two. [-]
    **given : float or array
        From `sideslip`, `bank` [rad], `aileron`, `rudder` [share of full travel].

    Returns
    -------
    SteadyFlight
        [deg, g]

    Raises
    ------
    ValueError
        If too few or too many quantities are given, or the speed is not above 0.

    Notes
    -----
    Newton's steps on the rates of sideslip, roll rate, yaw rate and bank (and heading, where the
    path is straight) all zero.

    References
    ----------
    .. [1] Steady states of the lateral equations of motion: B. Etkin, Dynamics of Flight (from
       memory).

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> slip = steady_flight(scaled(SETS["B"], light), 36.0, straight=True, rudder=-1.0)
    >>> round(slip.sideslip_deg), slip.bank_deg > 0.0  # left pedal, right wing low
    (12, True)
    """
    wanted = 1 if straight else 2
    if len(given) != wanted or not set(given) <= set(UNKNOWNS):
        raise ValueError(f"Steady flight needs {wanted} known quantities of {UNKNOWNS}.")
    if not np.all(np.asarray(tas) > 0.0):
        raise ValueError("An airplane that stands still does not fly: give a speed above 0.")
    shape = np.broadcast_shapes(*(np.shape(v) for v in (tas, density, power, *given.values())))
    one = np.ones(shape).ravel()
    values = {name: np.zeros(one.size) for name in UNKNOWNS}
    values.update({name: np.ravel(value * np.ones(shape)) for name, value in given.items()})
    air = [np.ravel(value * np.ones(shape)) for value in (tas, density, power)]
    free = [name for name in UNKNOWNS if name not in given]
    rows = 5 if straight else 4
    for _ in range(NEWTON_STEPS):
        _newton_step(airplane, values, air, free, rows)
    return _result(airplane, values, air, shape)


def _newton_step(airplane, values, air, free, rows):
    """Move the free quantities toward the state in which the first rows of rates are zero."""
    tried = {name: np.tile(value, (len(free) + 1, 1)) for name, value in values.items()}
    for row, name in enumerate(free, start=1):
        tried[name][row] += PROBE
    rates = np.array(_rates(airplane, tried, air)[:rows])
    slopes = (rates[:, 1:] - rates[:, :1]) / PROBE  # rates x unknowns x cases
    moves = np.linalg.solve(np.moveaxis(slopes, -1, 0), -rates[:, 0].T[..., None])[..., 0]
    for name, move in zip(free, moves.T, strict=True):
        values[name] = values[name] + move


def _rates(airplane, values, air):
    state = _state(values)
    return lateral_rates(state, _controls(values, air), airplane)


def _state(values):
    heading = np.zeros_like(values["bank"])
    names = ("sideslip", "roll_rate", "yaw_rate", "bank")
    return LateralState(*(values[name] for name in names), heading)


def _controls(values, air):
    return LateralControls(values["aileron"], values["rudder"], *air)


def _result(airplane, values, air, shape):
    rates = _rates(airplane, values, air)
    ball_deg, load = seen_of(airplane, _state(values), rates)
    tas, density, _ = air
    found = {
        "sideslip_deg": np.degrees(values["sideslip"]),
        "bank_deg": np.degrees(values["bank"]),
        "ball_deg": ball_deg,
        "turn_rate_dps": np.degrees(rates.heading),
        "aileron": values["aileron"],
        "rudder": values["rudder"],
        "load_factor": rates.load_factor,
        "lateral_load": load,
        "lift_coefficient": airplane.lift_coefficient(tas, density, rates.load_factor),
    }
    state = LateralState(*(_shaped(value, shape) for value in _state(values)))
    return SteadyFlight(
        **{name: _shaped(value, shape) for name, value in found.items()}, state=state
    )


def _shaped(value, shape):
    return np.reshape(value, shape) if shape else float(np.ravel(value)[0])
