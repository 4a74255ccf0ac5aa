"""Pedals moved by keys: on or off, so only when and on which side can be judged."""

import numpy as np

KEY_REST = 0.02  # share of travel, below which no key is held
ASKED_FOR = 0.2  # of the greatest rudder needed: above it a press is asked for
SHORT = 0.45  # s; a roll asks for one to two seconds
LEAST_PRESSES = 4
MOSTLY_RIGHT = 0.8  # share of the presses: four or more by chance are rarely on the right side
OTHER_PEDAL = 0.3  # share of the time a side was asked for, with the other pedal pressed


def held_keys(rudder):
    """Tell from a control that a key moves when the key is held.

    The control takes its time to its place and back; that is not the learner's lag.

    Parameters
    ----------
    rudder : array
        [share of travel]

    Returns
    -------
    array
        1 right, -1 left, 0 let go. [-]
    """
    way = np.sign(rudder) * (np.abs(rudder) > KEY_REST)
    coming_back = np.diff(rudder, prepend=rudder[0]) * way < 0.0
    return np.where(coming_back, 0.0, way)


def short_but_right(time, held, needed, delay=0.0) -> bool:
    """Tell whether the presses were on the right side at the right time, but too short.

    Parameters
    ----------
    time : array
        At equal steps. [s]
    held : array
        Of `held_keys`. [-]
    needed : array
        Rudder of the coordinated run. [share of travel]
    delay : float
        Measured from the key to the control. [s]

    Returns
    -------
    bool
        True for four presses or more, mostly where the rudder was needed and short.
    """
    edges = np.flatnonzero(np.diff(held)) + 1
    parts = [part for part in np.split(np.arange(held.size), edges) if held[part[0]] != 0.0]
    if len(parts) < LEAST_PRESSES:
        return False
    step = float(time[1] - time[0])
    middles = np.array([time[part].mean() for part in parts]) - delay
    sides = np.array([held[part[0]] for part in parts])
    right = np.interp(middles, time, needed) * sides > ASKED_FOR * np.abs(needed).max()
    short = np.median([part.size * step for part in parts]) < SHORT
    return bool(short and np.mean(right) >= MOSTLY_RIGHT)


def other_pedal(time, held, needed, lag=0.0) -> tuple[bool, bool]:
    """Tell for left and right whether the other pedal was pressed while the side was needed.

    Parameters
    ----------
    time : array
        At equal steps. [s]
    held : array
        Of `held_keys`. [-]
    needed : array
        Rudder of the coordinated run. [share of travel]
    lag : float
        Of the feet behind what was needed. [s]

    Returns
    -------
    pair of bool
        Left needed and right pressed for a good part of that time; right needed and left pressed.
    """
    shifted = np.interp(time - lag, time, needed)
    found = []
    for side in (-1.0, 1.0):
        asked = side * shifted > ASKED_FOR * np.abs(needed).max()
        found.append(bool(asked.any() and np.mean(held[asked] == -side) > OTHER_PEDAL))
    return found[0], found[1]
