"""Roll-yaw motion against time: controls in, what happened out; and the feet that keep it clean."""

import math
from dataclasses import dataclass

import numpy as np

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.lateral_feet import aileron_toward, coordinated_rudder, settled_rudder
from lessonkit.models.lateral_motion import (
    STRAIGHT,
    LateralControls,
    LateralState,
    derivatives,
    lateral_rates,
    limited_share,
    seen_of,
)
from lessonkit.models.motion import rk4_step
from lessonkit.models.numeric import SCALAR

STEP = 0.02  # s: 50 Hz, the clock of the drills


@dataclass(frozen=True)
class LateralRun:
    """A motion against time; every field an array over samples.

    Parameters
    ----------
    time : array
        From 0. [s]
    aileron, rudder : array
        Shares of full travel held from each sample on. [-]
    sideslip_deg : array
        Wind from the right positive. [deg]
    roll_rate_deg, yaw_rate_deg : array
        Body axes, right wing down and nose right positive. [deg/s]
    bank_deg, heading_deg : array
        Right wing down, clockwise positive. [deg]
    ball_deg, lateral_load : array
        Ball out to the right [deg], seat's push to the right [g].
    tas, power : array
        True airspeed [m/s], share of full power [-].
    """

    time: np.ndarray
    aileron: np.ndarray
    rudder: np.ndarray
    sideslip_deg: np.ndarray
    roll_rate_deg: np.ndarray
    yaw_rate_deg: np.ndarray
    bank_deg: np.ndarray
    heading_deg: np.ndarray
    ball_deg: np.ndarray
    lateral_load: np.ndarray
    tas: np.ndarray
    power: np.ndarray


def lateral_run(
    airplane,
    aileron,
    rudder,
    tas,
    density=SEA_LEVEL_DENSITY,
    power=0.0,
    step=STEP,
    start=None,
):
    """Fly given controls, each sample held until the next.

    Assumes that the controls are flown as given: limits are `lateral_motion.limited`'s affair.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    aileron, rudder, tas, power : float or array over samples
        Shares of full travel [-], true airspeed [m/s], share of full power [-]; at least one of
        them an array.
    density : float
        Air density. [kg/m3]
    step : float
        Time between samples. [s]
    start : LateralState or None
        Where it begins; None: straight and level, wings level. [rad]

    Returns
    -------
    LateralRun
        One sample per control sample, before it acts. [s, deg, g]

    Raises
    ------
    ValueError
        If no control is an array, or their lengths differ.

    References
    ----------
    .. [1] Steps of `motion.rk4_step`.

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> run = lateral_run(scaled(SETS["B"], light), np.full(50, 0.5), 0.0, 31.0)
    >>> round(float(run.bank_deg[-1])), bool(run.heading_deg[-1] < 0.0)  # nose to the left
    (8, True)
    """
    held = _samples(aileron=aileron, rudder=rudder, tas=tas, power=power)

    def given(_state, _before, sample):
        return LateralControls(sample[0], sample[1], sample[2], density, sample[3])

    return _fly(airplane, held, given, step, start)


def coordinated_run(
    airplane,
    aileron,
    tas,
    density=SEA_LEVEL_DENSITY,
    power=0.0,
    step=STEP,
    start=None,
):
    """Fly given ailerons with feet that keep the sideslip at zero, within travel and rate.

    Assumes feet that know the airplane and see the aileron as it moves.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    aileron, tas, power : float or array over samples
        Share of full travel [-], true airspeed [m/s], share of full power [-]; at least one array.
    density : float
        Air density. [kg/m3]
    step : float
        Time between samples. [s]
    start : LateralState or None
        Where it begins; None: straight and level. [rad]

    Returns
    -------
    LateralRun
        Its `rudder` is what the airplane needed. [s, deg, g]

    Raises
    ------
    ValueError
        If no control is an array, or their lengths differ.

    References
    ----------
    .. [1] `coordinated_rudder`.

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> roll_in = np.minimum(np.arange(50) * 0.02, 0.4)
    >>> run = coordinated_run(scaled(SETS["B"], light), roll_in, 31.0)
    >>> bool(np.abs(run.sideslip_deg).max() < 0.1), bool(run.rudder[25] > 0.0)
    (True, True)
    """
    held = _samples(aileron=aileron, tas=tas, power=power)
    reach = step * airplane.rudder_rate

    def clean(state, before, sample):
        rudder = before.rudder if before else 0.0
        now = LateralControls(sample[0], rudder, sample[1], density, sample[2])
        if before is None:  # the first foot stands where it is needed
            return now._replace(rudder=settled_rudder(airplane, state, now))
        needed = coordinated_rudder(airplane, state, now)
        return now._replace(rudder=limited_share(rudder, needed, reach))

    return _fly(airplane, held, clean, step, start)


def aileron_for_banks(
    airplane,
    wanted_bank_deg,
    tas,
    density=SEA_LEVEL_DENSITY,
    power=0.0,
    step=STEP,
    start=None,
):
    """Aileron program with which the kit's own hands roll after a demanded bank.

    Assumes coordinated feet, hands within travel and rate, and a smooth demand: hands lead it by
    its own rates and take out the rest.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    wanted_bank_deg : array over samples
        Demand, right wing down positive. [deg]
    tas, power : float or array over samples
        True airspeed [m/s], share of full power [-].
    density : float
        Air density. [kg/m3]
    step : float
        Time between samples. [s]
    start : LateralState or None
        Where it begins; None: straight and level. [rad]

    Returns
    -------
    array
        Share of full aileron held from each sample on. [-]

    Raises
    ------
    ValueError
        If lengths differ.

    Notes
    -----
    phi'' is made w'' + 2 f (w' - phi') + f^2 (w - phi), w the demand.

    References
    ----------
    .. [1] Inverse of `lateral_rates`; f is a choice of the kit.

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> one = scaled(SETS["B"], light)
    >>> time = np.arange(200) * 0.02
    >>> wanted = 20.0 * np.sin(np.pi * time / 4.0) ** 2
    >>> hands = aileron_for_banks(one, wanted, 31.0)
    >>> bool(np.abs(coordinated_run(one, hands, 31.0).bank_deg - wanted).max() < 1.0)
    True
    """
    return bank_run(airplane, wanted_bank_deg, tas, density, power, step, start).aileron


def bank_run(
    airplane,
    wanted_bank_deg,
    tas,
    density=SEA_LEVEL_DENSITY,
    power=0.0,
    step=STEP,
    start=None,
):
    """Roll after a demanded bank with the kit's own hands and coordinated feet.

    Assumes what `aileron_for_banks` does.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    wanted_bank_deg : array over samples
        Demand, right wing down positive. [deg]
    tas, power : float or array over samples
        True airspeed [m/s], share of full power [-].
    density : float
        Air density. [kg/m3]
    step : float
        Time between samples. [s]
    start : LateralState or None
        Where it begins; None: straight and level. [rad]

    Returns
    -------
    LateralRun
        [s, deg, g]

    Raises
    ------
    ValueError
        If lengths differ.

    References
    ----------
    .. [1] As in `aileron_for_banks`.

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> bank_run(scaled(SETS["B"], light), np.zeros(3), 31.0).bank_deg.tolist()
    [0.0, 0.0, 0.0]
    """
    wanted = np.radians(np.asarray(wanted_bank_deg, dtype=float))
    speed = np.gradient(wanted, step) if wanted.size > 1 else np.zeros(1)
    bending = np.gradient(speed, step) if wanted.size > 1 else np.zeros(1)
    held = _samples(wanted=wanted, speed=speed, bending=bending, tas=tas, power=power)
    hands, feet = step * airplane.aileron_rate, step * airplane.rudder_rate

    def fly(state, before, sample):
        aileron, rudder = (before.aileron, before.rudder) if before else (0.0, 0.0)
        now = LateralControls(aileron, rudder, sample[3], density, sample[4])
        needed = aileron_toward(airplane, state, now, sample[:3])
        if before is None:
            now = now._replace(aileron=max(-1.0, min(1.0, needed)))
            return now._replace(rudder=settled_rudder(airplane, state, now))
        now = now._replace(aileron=limited_share(aileron, needed, hands))
        needed = coordinated_rudder(airplane, state, now)
        return now._replace(rudder=limited_share(rudder, needed, feet))

    return _fly(airplane, held, fly, step, start)


def _samples(**controls):
    """Rows of equal length, as tuples of plain floats per sample."""
    sizes = {np.size(value) for value in controls.values() if np.ndim(value)}
    if len(sizes) != 1:
        names = ", ".join(controls)
        raise ValueError(f"One of {names} must be an array, and all arrays of one length.")
    size = sizes.pop()
    rows = [np.broadcast_to(np.asarray(value, dtype=float), size) for value in controls.values()]
    return list(zip(*(row.tolist() for row in rows), strict=True))


def _fly(airplane, samples, choose, step, start):
    """Step through the samples; `choose` gives the controls held from a sample to the next."""
    state, controls = list(STRAIGHT if start is None else start), None
    rows = np.empty((len(samples), 11))
    for row, sample in enumerate(samples):
        controls = choose(state, controls, sample)
        rates = lateral_rates(state, controls, airplane, SCALAR)
        ball_deg, load = seen_of(airplane, state, rates, SCALAR)
        c = controls
        rows[row] = (c.aileron, c.rudder, *state, ball_deg, load, c.tas, c.power)
        state = rk4_step(derivatives, state, controls, airplane, None, step, SCALAR)
    time = step * np.arange(len(samples))
    motion = np.degrees(rows[:, 2:7]).T
    return LateralRun(time, *rows[:, :2].T, *motion, *rows[:, 7:].T)


def last_state(run):
    """State at the last sample, to begin another run from.

    Assumes nothing.

    Parameters
    ----------
    run : LateralRun
        A motion. [deg]

    Returns
    -------
    LateralState
        [rad, rad/s]

    References
    ----------
    .. [1] Definition of `LateralRun`.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> turn = [180.0]
    >>> run = SimpleNamespace(sideslip_deg=[0.0], roll_rate_deg=[0.0], yaw_rate_deg=[0.0],
    ...                       bank_deg=[0.0], heading_deg=[180.0])
    >>> round(last_state(run).heading, 4)
    3.1416
    """
    rows = (
        run.sideslip_deg,
        run.roll_rate_deg,
        run.yaw_rate_deg,
        run.bank_deg,
        run.heading_deg,
    )
    return LateralState(*(math.radians(float(row[-1])) for row in rows))
