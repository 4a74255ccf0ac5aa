"""One formula for arrays and for single numbers.

A time step of one airplane costs about a microsecond per NumPy call, thirty times the price of
the same step in plain floats. Formulas that stand inside a time step therefore take their
elementary functions from a namespace: `ARRAY` for arrays of cases, `SCALAR` for one case.
The formula itself is written once.
"""

import math
from types import SimpleNamespace

import numpy as np

ARRAY = SimpleNamespace(
    sin=np.sin,
    cos=np.cos,
    tan=np.tan,
    arcsin=np.arcsin,
    arccos=np.arccos,
    arctan=np.arctan,
    tanh=np.tanh,
    exp=np.exp,
    sqrt=np.sqrt,
    power=np.power,
    absolute=np.abs,
    minimum=np.minimum,
    maximum=np.maximum,
    unit_interval=lambda value: np.clip(value, 0.0, 1.0),
)

SCALAR = SimpleNamespace(
    sin=math.sin,
    cos=math.cos,
    tan=math.tan,
    arcsin=math.asin,
    arccos=math.acos,
    arctan=math.atan,
    tanh=math.tanh,
    exp=math.exp,
    sqrt=math.sqrt,
    power=pow,
    absolute=abs,
    minimum=min,
    maximum=max,
    unit_interval=lambda value: 0.0 if value < 0.0 else 1.0 if value > 1.0 else value,
)


def smooth_step(value, start, end, functions=ARRAY):
    """Rise from 0 at `start` to 1 at `end` with continuous first and second derivatives.

    Parameters
    ----------
    value, start, end : float or array
        Any unit, the same for all three; `end` differs from `start`. [unit of value]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    float or array
        0 up to `start`, 1 from `end` on, 10 u^3 - 15 u^4 + 6 u^5 between. [-]

    Examples
    --------
    >>> float(smooth_step(5.0, 0.0, 10.0))
    0.5
    """
    u = functions.unit_interval((value - start) / (end - start))
    return u * u * u * (10.0 - u * (15.0 - 6.0 * u))
