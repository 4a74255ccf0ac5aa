"""What a drill asks for against time: rolls from side to side, or power and speed that change.

The changes come at random spacing. A learner cannot fall into a beat, and a foot that is late
cannot be mistaken for one that is early for the change before: the least spacing (2 s) is longer
than the whole range of lags that the diagnosis looks at.
"""

from dataclasses import dataclass

import numpy as np

STEP = 0.02  # s, 50 a second
DURATION = 30.0  # s
SPACING = (2.0, 5.0)  # s between the beginnings of two changes
ROLL_TIME = 2.0  # s for a whole roll, or the spacing where that is shorter
POWER_TIME = 1.0  # s for the throttle hand
LEAD_IN, LEAD_OUT = 1.5, 2.0  # s of rest before the first change, s left after the last begins
HIGH_POWER, LOW_POWER = (0.75, 1.0), (0.0, 0.35)  # share of full power


@dataclass(frozen=True)
class Change:
    """One change of the demand: when it begins and where it leads."""

    time: float  # s
    to: float  # bank in degrees, or share of full power


@dataclass(frozen=True)
class Rhythm:
    """The bank that a run of rolls asks for.

    Parameters
    ----------
    time : array
        At equal steps from 0. [s]
    bank_deg : array
        Wanted bank, + right wing down; smooth, level at first. [deg]
    changes : tuple of Change
        In order of time; the sides alternate. [s, deg]
    """

    time: np.ndarray
    bank_deg: np.ndarray
    changes: tuple[Change, ...]


@dataclass(frozen=True)
class PowerRhythm:
    """The power and speed of a run in which the nose has to be held straight.

    Parameters
    ----------
    time : array
        At equal steps from 0. [s]
    power : array
        Share of full power. [-]
    speed : array
        Place between the slowest (0) and the fastest (1) speed of the drill, changing slowly. [-]
    changes : tuple of Change
        Of power, in order of time; up and down alternate. [s, -]
    """

    time: np.ndarray
    power: np.ndarray
    speed: np.ndarray
    changes: tuple[Change, ...]


def rolls(
    seed: int,
    duration_s: float = DURATION,
    spacing: tuple[float, float] = SPACING,
    bank_deg: float = 20.0,
    step: float = STEP,
) -> Rhythm:
    """Return rolls from side to side at random spacing; the same for the same seed.

    Assumes 8 changes in 30 s, four to each side; the first side is drawn.

    Parameters
    ----------
    seed : int
        Of the draw. [-]
    duration_s : float
        Length of the run. [s]
    spacing : pair of float
        Least and greatest time between the beginnings of two rolls. [s]
    bank_deg : float
        Bank to which each roll leads, right and left in turn. [deg]
    step : float
        Between two samples. [s]

    Returns
    -------
    Rhythm
        At every step from 0 to the end. [s, deg]

    Raises
    ------
    ValueError
        If the run is too short for two rolls.

    Examples
    --------
    >>> rhythm = rolls(seed=3)
    >>> len(rhythm.changes), float(rhythm.bank_deg[0]), float(abs(rhythm.bank_deg).max())
    (8, 0.0, 20.0)
    """
    draw = np.random.default_rng(seed)
    times = _beginnings(draw, duration_s, spacing)
    first = draw.choice((-1.0, 1.0))
    targets = first * bank_deg * (-1.0) ** np.arange(times.size)
    time = _samples(duration_s, step)
    bank = _smooth(time, times, targets, 0.0, min(ROLL_TIME, spacing[0]))
    return Rhythm(time, bank, _changes(times, targets))


def power_changes(
    seed: int,
    duration_s: float = DURATION,
    spacing: tuple[float, float] = SPACING,
    step: float = STEP,
) -> PowerRhythm:
    """Return changes of power at random spacing, up and down in turn, and a slow change of speed.

    Parameters
    ----------
    seed : int
        Of the draw. [-]
    duration_s : float
        Length of the run. [s]
    spacing : pair of float
        Least and greatest time between the beginnings of two changes. [s]
    step : float
        Between two samples. [s]

    Returns
    -------
    PowerRhythm
        At every step from 0 to the end; it begins at low power. [s, -]

    Raises
    ------
    ValueError
        If the run is too short for two changes.

    Examples
    --------
    >>> rhythm = power_changes(seed=3)
    >>> up, down = rhythm.changes[0].to, rhythm.changes[1].to
    >>> bool(up > 0.7), bool(down < 0.4), bool(0.0 <= rhythm.speed.min())
    (True, True, True)
    """
    draw = np.random.default_rng(seed)
    times = _beginnings(draw, duration_s, spacing)
    start = draw.uniform(*LOW_POWER)
    targets = np.array(
        [draw.uniform(*(HIGH_POWER if i % 2 == 0 else LOW_POWER)) for i in range(times.size)]
    )
    time = _samples(duration_s, step)
    power = _smooth(time, times, targets, start, min(POWER_TIME, spacing[0]))
    # From one end of the speeds to the other in the middle of the run, whichever way.
    there = _smooth(time, np.array([0.2 * duration_s]), np.ones(1), 0.0, 0.6 * duration_s)
    speed = there if draw.random() < 0.5 else 1.0 - there
    return PowerRhythm(time, power, speed, _changes(times, targets))


def _samples(duration_s, step):
    return np.arange(round(duration_s / step) + 1) * step


def _changes(times, targets):
    return tuple(Change(float(t), float(to)) for t, to in zip(times, targets, strict=True))


def _beginnings(draw, duration_s, spacing):
    """Draw when changes begin: as many as fit on average, the gaps drawn evenly."""
    low, high = spacing
    room = duration_s - LEAD_IN - LEAD_OUT
    gaps = int(room / (0.5 * (low + high)))
    if gaps < 1:
        raise ValueError(f"A run of {duration_s:g} s is too short for two changes.")
    drawn = draw.uniform(low, high, gaps)
    too_long = drawn.sum() - room
    if too_long > 0.0:
        # Take the same share of what each gap has above the least.
        drawn = low + (drawn - low) * (1.0 - too_long / (drawn - low).sum())
    slack = max(room - drawn.sum(), 0.0)
    return LEAD_IN + draw.uniform(0.0, min(slack, 1.5)) + np.concatenate(([0.0], np.cumsum(drawn)))


def _smooth(time, times, targets, start, length):
    """Go from each value to the next; the rate is even but for its first and last quarter."""
    wanted = np.full(time.size, start)
    before = start
    for begin, to in zip(times, targets, strict=True):
        wanted += (to - before) * _ramp((time - begin) / length)
        before = to
    return wanted


def _ramp(share):
    """Go from 0 to 1 with a rate that rises evenly, stays, and falls evenly."""
    x = np.clip(share, 0.0, 1.0)
    edge = 0.25
    top = 1.0 / (1.0 - edge)
    rising = 0.5 * top * x**2 / edge
    even = top * (x - 0.5 * edge)
    falling = 1.0 - 0.5 * top * (1.0 - x) ** 2 / edge
    return np.where(x < edge, rising, np.where(x <= 1.0 - edge, even, falling))
