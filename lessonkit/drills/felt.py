"""How strongly the nose answers a wrong rudder: slow errors fully, quick ones hardly."""

import numpy as np

# A light airplane's yaw swings at 2 to 3 rad/s with a third to a half of critical damping (modes of
# the published sets of `models.lateral_sets`, flown slow). One figure is enough to weigh faults.
NATURAL = 2.5  # rad/s
DAMPING = 0.4


def felt(wrong_rudder, step):
    """Return a wrong rudder as the nose answers it; constant pressure comes through unchanged.

    Parameters
    ----------
    wrong_rudder : array over samples
        Rudder used less rudder needed. [share of travel]
    step : float
        Between two samples. [s]

    Returns
    -------
    array
        Of a second-order lag, from rest. [share of travel]

    Examples
    --------
    >>> round(float(felt(np.ones(2000), 0.02)[-1]), 3)
    1.0
    """
    count = wrong_rudder.size
    padded = 2 * count
    w = 2.0 * np.pi * np.fft.rfftfreq(padded, step) / NATURAL
    answer = 1.0 / (1.0 - w**2 + 2j * DAMPING * w)
    return np.fft.irfft(np.fft.rfft(wrong_rudder, padded) * answer, padded)[:count]


def answer_at(hz):
    """Return how much of a steady swing comes through.

    Parameters
    ----------
    hz : float
        Frequency. [Hz]

    Returns
    -------
    float
        [-]

    Examples
    --------
    >>> round(answer_at(0.05), 1), answer_at(1.0) < 0.2
    (1.0, True)
    """
    w = 2.0 * np.pi * hz / NATURAL
    return float(1.0 / abs(1.0 - w**2 + 2j * DAMPING * w))
