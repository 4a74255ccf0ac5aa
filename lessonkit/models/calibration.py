"""Calibration: what a few observations in flight say about the airplane, and how surely.

Four unknowns stand between the handbook's airplane and the learner's own. What is known of them
before is a normal distribution; each observation narrows it by linear least squares with the
errors of reading and judging stated beforehand. An observation that cannot be reconciled with the
others is left out and named.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from lessonkit.models.approach_review import UNCALIBRATED_BAND
from lessonkit.units import m_from_ft

# The unknowns, in this order: excess of the drag with flaps up as a share, further excess with
# landing flaps, distance by which the touchdown lies beyond the computed one [m], and rise of the
# RPM with speed at a fixed throttle [rpm/kt].
DRAG, FLAP_DRAG, TOUCHDOWN, RPM_PER_KT = range(4)
UNKNOWNS = ("drag", "flap_drag", "touchdown", "rpm_per_kt")

NINE_IN_TEN = 1.645  # spreads on either side of the mean that hold 90 % of a normal distribution
# Least band that is ever claimed, and the one of a card before calibration. The latter rests on
# tests/sixdof: an airplane made from handbook figures landed within 400 ft of the reference.
LEAST_BAND = m_from_ft(150.0)
BAND_BEFORE = UNCALIBRATED_BAND

# What is left of one approach once the drag of the airplane is known: nineteen approaches of the
# reference came down 74 ft from the kit's in root mean square (tests/sixdof/test_calibration.py).
MODEL_SPREAD = m_from_ft(80.0)
# Float: the reference's was within 100 ft of the kit's (tests/sixdof), taken as nine in ten.
FLOAT_SPREAD = m_from_ft(100.0) / NINE_IN_TEN
# Flaps: the rule of thumb was within 5 % of the reference's drag (tests/sixdof), taken as two
# spreads.
FLAP_DRAG_SPREAD = 0.025
# The rest of the band is the drag that flaps up and down have in common: a tenth of more drag
# shortens an approach from 1,000 ft by 820 ft, half of that is due to the flaps' own part, so
# (400/1.645)^2 = (8200 d)^2 + (5000 x 0.025)^2 + (100/1.645)^2 + 80^2 in feet: d = 0.022.
DRAG_SPREAD = 0.022
# 4 to 12 rpm per knot hold nine fixed-pitch propellers in ten: our own reading of two simulated
# airplanes with 4 to 6 and of propeller theory with 9 and more.
RPM_PER_KT_MEAN, RPM_PER_KT_SPREAD = 8.0, 4.0 / NINE_IN_TEN

CONTRADICTS = 3.0  # spreads; by chance one observation in 370 lies farther off
_STEPS = (0.01, 0.01, 1.0, 0.1)  # of the unknowns, for the slopes


class Belief(NamedTuple):
    """What is known of the unknowns: a normal distribution.

    Parameters
    ----------
    mean : array
        In the order of `UNKNOWNS`, shape (4,). [-, -, m, rpm/kt]
    covariance : array
        Shape (4, 4). [products of these units]
    """

    mean: np.ndarray
    covariance: np.ndarray


@dataclass(frozen=True)
class Measurement:
    """One observation.

    Parameters
    ----------
    key : str
        Its name.
    observed : float
        What was read. [any unit]
    spread : float
        One standard deviation of reading, judging and of what the model leaves out. [same unit]
    predict : callable
        ``predict(unknowns)`` gives what would be read if these were the unknowns. [same unit]
    """

    key: str
    observed: float
    spread: float
    predict: Callable[[np.ndarray], float]


@dataclass(frozen=True)
class Refused:
    """An observation that was left out.

    Parameters
    ----------
    key : str
        Its name.
    spreads : float
        How far it lies from what all others say, in standard deviations.
    """

    key: str
    spreads: float


@dataclass(frozen=True)
class Calibrated:
    """What the observations say together.

    Parameters
    ----------
    belief : Belief
        After all observations that were kept. [see `Belief`]
    steps : tuple of (str, array)
        Covariance after each observation in turn, with its key.
    refused : tuple of Refused
        Those that contradict the others.
    """

    belief: Belief
    steps: tuple[tuple[str, np.ndarray], ...]
    refused: tuple[Refused, ...]


def belief_before():
    """Give what is known of an airplane before anything was observed in flight.

    Assumes that the handbook's airplane is right on average and the unknowns independent.

    Returns
    -------
    Belief
        Chosen so that an approach from 1,000 ft with landing flaps lands within 400 ft of the
        computed touchdown nine times in ten. [see `Belief`]

    References
    ----------
    .. [1] Comparison with a six-degree-of-freedom model, tests/sixdof; see the constants above.

    Examples
    --------
    >>> belief_before().mean.tolist()
    [0.0, 0.0, 0.0, 8.0]
    """
    spreads = np.array([DRAG_SPREAD, FLAP_DRAG_SPREAD, FLOAT_SPREAD, RPM_PER_KT_SPREAD])
    return Belief(np.array([0.0, 0.0, 0.0, RPM_PER_KT_MEAN]), np.diag(spreads**2))


def updated(belief, slopes, surprises, spreads):
    """Narrow a belief by observations that depend linearly on the unknowns.

    Assumes normal, independent errors.

    Parameters
    ----------
    belief : Belief
        Before. [see `Belief`]
    slopes : array, shape (observations, 4)
        Change of each observation with each unknown. [unit of the observation per unknown]
    surprises : array, shape (observations,)
        Observed less predicted at the belief's mean. [unit of the observation]
    spreads : array, shape (observations,)
        Standard deviations of the errors. [unit of the observation]

    Returns
    -------
    Belief
        After. [see `Belief`]

    Notes
    -----
    K = P H' (H P H' + R)^-1; mean + K r; (I - K H) P (I - K H)' + K R K', which stays
    symmetric.

    References
    ----------
    .. [1] Bayesian linear least squares; any textbook of estimation (Joseph's form of the
       covariance).

    Examples
    --------
    >>> import numpy as np
    >>> before = Belief(np.zeros(1), np.eye(1))
    >>> after = updated(before, np.ones((1, 1)), np.array([1.0]), np.array([1.0]))
    >>> after.mean.tolist(), after.covariance.tolist()
    ([0.5], [[0.5]])
    """
    mean, covariance = belief
    slopes = np.asarray(slopes, dtype=float).reshape(-1, mean.size)
    noise = np.diag(np.asarray(spreads, dtype=float) ** 2)
    of_surprise = slopes @ covariance @ slopes.T + noise
    gain = np.linalg.solve(of_surprise, slopes @ covariance).T
    kept = np.eye(mean.size) - gain @ slopes
    return Belief(
        mean + gain @ np.asarray(surprises, dtype=float),
        kept @ covariance @ kept.T + gain @ noise @ gain.T,
    )


def calibrated(measurements: Sequence[Measurement], before=None):
    """Weigh observations against what is known before, and against each other.

    Assumes errors of the stated size, independent of each other.

    Parameters
    ----------
    measurements : sequence of Measurement
        In the order in which they are to be shown; may be empty. [as they are]
    before : Belief, optional
        Without it, `belief_before`. [see `Belief`]

    Returns
    -------
    Calibrated
        The belief after, and what was left out. [see `Belief`]

    Notes
    -----
    Two steps of Gauss-Newton with slopes by differences: touchdowns are almost linear in the
    drag. An observation is left out if it lies more than three
    spreads (its own and those of the prediction together) from what all the others say; the
    farthest goes first, then all are weighed anew.

    References
    ----------
    .. [1] Bayesian least squares and leave-one-out residuals; any textbook of estimation.

    Examples
    --------
    >>> pair = Measurement("rpm_pair", 180.0, 30.0, lambda unknowns: 30.0 * unknowns[RPM_PER_KT])
    >>> round(float(calibrated([pair]).belief.mean[RPM_PER_KT]), 1)
    6.3
    """
    before = belief_before() if before is None else before
    kept, refused = list(measurements), []
    while True:
        at, slopes, surprises = _linearised(kept, before)
        spreads = np.array([one.spread for one in kept])
        off = _disagreements(before, slopes, surprises, spreads)
        if not kept or np.abs(off).max() <= CONTRADICTS:
            break
        worst = int(np.argmax(np.abs(off)))
        refused.append(Refused(kept.pop(worst).key, float(abs(off[worst]))))
    steps = tuple(
        (one.key, updated(before, slopes[:n], surprises[:n], spreads[:n]).covariance)
        for n, one in enumerate(kept, start=1)
    )
    return Calibrated(
        Belief(at, steps[-1][1] if steps else before.covariance), steps, tuple(refused)
    )


def touchdown_spread(slopes, covariance):
    """Spread of one approach's touchdown about the computed one.

    Assumes that plan, wind and weight are flown as stated: a pilot's own scatter comes on top.

    Parameters
    ----------
    slopes : array, shape (4,)
        Change of the touchdown with each unknown. [m per unknown]
    covariance : array, shape (4, 4)
        Of the unknowns. [see `Belief`]

    Returns
    -------
    float
        One standard deviation. [m]

    References
    ----------
    .. [1] Propagation of errors, with what the model leaves out (`MODEL_SPREAD`).

    Examples
    --------
    >>> import numpy as np
    >>> round(touchdown_spread(np.zeros(4), np.eye(4)) / MODEL_SPREAD, 3)
    1.0
    """
    slopes = np.asarray(slopes, dtype=float)
    return float(np.sqrt(slopes @ covariance @ slopes + MODEL_SPREAD**2))


def touchdown_band(slopes, covariance):
    """Half-width of the band that holds the true touchdown nine times in ten.

    Parameters
    ----------
    slopes : array, shape (4,)
        Change of the touchdown with each unknown. [m per unknown]
    covariance : array, shape (4, 4)
        Of the unknowns. [see `Belief`]

    Returns
    -------
    float
        Never less than 150 ft. [m]

    References
    ----------
    .. [1] As `touchdown_spread`; proven on flights of the reference, tests/sixdof.

    Examples
    --------
    >>> import numpy as np
    >>> touchdown_band(np.zeros(4), np.eye(4)) == LEAST_BAND
    True
    """
    return max(LEAST_BAND, NINE_IN_TEN * touchdown_spread(slopes, covariance))


def slopes_of(predict, at):
    """Value of a function of the unknowns, and its change with each of them.

    Parameters
    ----------
    predict : callable
        Takes the unknowns, gives one number. [any unit]
    at : array, shape (4,)
        Where. [see `Belief`]

    Returns
    -------
    value : float
        There. [that unit]
    slopes : array, shape (4,)
        By central differences, so that small curvature does no harm. [that unit per unknown]

    References
    ----------
    .. [1] Central differences.

    Examples
    --------
    >>> import numpy as np
    >>> value, slopes = slopes_of(lambda unknowns: 3.0 * unknowns[0] + 1.0, np.zeros(4))
    >>> value, slopes.round(9).tolist()
    (1.0, [3.0, 0.0, 0.0, 0.0])
    """
    at = np.asarray(at, dtype=float)
    found = np.zeros(at.size)
    for index, step in enumerate(_STEPS):
        change = np.zeros(at.size)
        change[index] = step
        found[index] = (predict(at + change) - predict(at - change)) / (2.0 * step)
    return float(predict(at)), found


def _linearised(measurements, before):
    """Return the estimate, and slopes and surprises as if everything were linear about it."""
    found = [slopes_of(one.predict, before.mean) for one in measurements]
    values = np.array([value for value, _ in found])
    slopes = np.array([slope for _, slope in found]).reshape(-1, before.mean.size)
    observed, spreads = (
        np.array([getattr(one, name) for one in measurements]) for name in ("observed", "spread")
    )
    # With the slopes kept, the second round takes the curvature on the way to the estimate in.
    surprises = observed - values
    at = updated(before, slopes, surprises, spreads).mean
    if measurements:
        values = np.array([one.predict(at) for one in measurements])
        surprises = observed - values + slopes @ (at - before.mean)
        at = updated(before, slopes, surprises, spreads).mean
    return at, slopes, surprises


def _disagreements(before, slopes, surprises, spreads):
    """Return how far each observation lies from what all others say, in spreads."""
    found = np.zeros(len(spreads))
    for index in range(len(spreads)):
        others = np.arange(len(spreads)) != index
        mean, covariance = updated(before, slopes[others], surprises[others], spreads[others])
        off = surprises[index] - slopes[index] @ (mean - before.mean)
        of_off = slopes[index] @ covariance @ slopes[index] + spreads[index] ** 2
        found[index] = off / np.sqrt(of_off)
    return found
