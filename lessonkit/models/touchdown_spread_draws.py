"""How far off each habit is in each of many tries: drawn by chance, or one habit at a time."""

from statistics import NormalDist

import numpy as np

# Tries for each habit alone: the middles of fifteen equally likely parts. The second and the last
# but one lie at 10 and 90 %.
NODES = 15


def normal_scores(habits, tries, seed):
    """Draw how many standard deviations each habit is off in each try.

    Assumes independent, normally distributed habits. Each habit's tries are spread evenly over
    equally likely parts (a Latin hypercube), so that a few hundred agree well with thousands.

    Parameters
    ----------
    habits, tries : int
        How many. [-]
    seed : int or sequence of int
        The same seed gives the same draw. [-]

    Returns
    -------
    array
        Shape (habits, tries). [standard deviations]

    References
    ----------
    .. [1] M. D. McKay, R. J. Beckman, W. J. Conover, "A comparison of three methods for selecting
       values of input variables ...", Technometrics 21 (1979) 239 (from memory).

    Examples
    --------
    >>> scores = normal_scores(2, 1000, 1)
    >>> scores.shape, bool(abs(scores.mean()) < 0.001), bool(abs(scores.std() - 1.0) < 0.01)
    ((2, 1000), True, True)
    """
    draw = np.random.default_rng(seed)
    parts = np.argsort(draw.random((habits, tries)), axis=1)
    chance = (parts + draw.random((habits, tries))) / tries
    return _normal_quantile(np.clip(chance, 1e-9, 1.0 - 1e-9))


def one_at_a_time(habits, nodes=NODES):
    """Scores of tries in which a single habit is off and all others are as meant.

    Parameters
    ----------
    habits : int
        How many. [-]
    nodes : int
        Tries for each. [-]

    Returns
    -------
    array
        Shape (habits, habits * nodes): the first `nodes` tries are those of the first habit, from
        far below what is meant to far above. [standard deviations]

    References
    ----------
    .. [1] Middles of equally likely parts of the normal distribution.

    Examples
    --------
    >>> one_at_a_time(2, 3).round(2).tolist()
    [[-0.97, 0.0, 0.97, 0.0, 0.0, 0.0], [0.0, 0.0, 0.0, -0.97, 0.0, 0.97]]
    """
    alone = _normal_quantile((np.arange(nodes) + 0.5) / nodes)
    scores = np.zeros((habits, habits, nodes))
    scores[range(habits), range(habits)] = alone
    return scores.reshape(habits, habits * nodes)


def _normal_quantile(chance):
    quantile = NormalDist().inv_cdf
    return np.array([quantile(one) for one in np.ravel(chance).tolist()]).reshape(np.shape(chance))
