"""The one way everything in the kit moves: derivatives and a stepper.

A motion is a function ``derivatives(state, controls, parameters, wind, functions=ARRAY)`` that
returns the rate of change of each state. The state is a sequence of rows; with arrays the
last axis runs over cases, with plain floats there is one case. The bench, the real-time drills
and the recordings all step with `rk4_step`.
"""

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from lessonkit.models.numeric import ARRAY, SCALAR

Derivatives = Callable[..., Sequence[Any]]


def rk4_step(derivatives, state, controls, parameters, wind, step, functions=ARRAY):
    """Advance a motion by one fixed step, classical Runge-Kutta of fourth order.

    Assumes that the motion is smooth within the step.

    Parameters
    ----------
    derivatives : callable
        ``derivatives(state, controls, parameters, wind, functions)`` -> rates. [state unit/s]
    state : list of float, or array of shape (states, cases)
        The state at the start of the step. [SI, rad]
    controls : object, or callable
        What the pilot holds over the step, or a pilot who reacts within it, if the motion
        takes one. [see the motion]
    parameters : Parameters
        The airplane. [SI]
    wind : Wind
        The air. [SI]
    step : float or array of shape (cases,)
        Length of the step, each case its own if an array. [s]
    functions : namespace
        `ARRAY` for an array state, `SCALAR` for a list of floats. [-]

    Returns
    -------
    list or array
        The state after the step, of the kind that went in. [SI, rad]

    References
    ----------
    .. [1] Classical fourth-order Runge-Kutta method; any textbook of numerical analysis.

    Examples
    --------
    >>> fall = lambda state, controls, parameters, wind, functions: [state[1], -9.80665]
    >>> [round(v, 4) for v in rk4_step(fall, [100.0, 0.0], None, None, None, 1.0, SCALAR)]
    [95.0967, -9.8066]
    """
    add = _add_floats if functions is SCALAR else _add_arrays

    def rates(at):
        return derivatives(at, controls, parameters, wind, functions)

    half = 0.5 * step
    k1 = rates(state)
    k2 = rates(add(state, k1, half))
    k3 = rates(add(state, k2, half))
    k4 = rates(add(state, k3, step))
    return _combine(state, k1, k2, k3, k4, step / 6.0, functions)


def _add_floats(state, rates, step):
    return [s + step * r for s, r in zip(state, rates, strict=True)]


def _add_arrays(state, rates, step):
    moved = np.empty_like(state)
    for row, (start, rate) in enumerate(zip(state, rates, strict=True)):
        np.multiply(rate, step, out=moved[row])
        moved[row] += start
    return moved


def _combine(state, k1, k2, k3, k4, sixth, functions):
    if functions is SCALAR:
        return [
            s + sixth * (a + 2.0 * (b + c) + d)
            for s, a, b, c, d in zip(state, k1, k2, k3, k4, strict=True)
        ]
    after = np.empty_like(state)
    for row in range(len(state)):
        after[row] = state[row] + sixth * (k1[row] + 2.0 * (k2[row] + k3[row]) + k4[row])
    return after
