"""Named rules of thumb: what stands in for a figure the handbook does not print.

Each rule says in ``card.rule`` what it does. Whatever it gives is shown as an estimate.
"""

import numpy as np

from lessonkit.airplane.schema import IDLE, STOPPED, WINDMILLING, ZERO_THRUST
from lessonkit.models.calibration import RPM_PER_KT_MEAN
from lessonkit.models.glide import zero_lift_drag_for_propeller
from lessonkit.units import m_from_ft, mps_from_kt

# Glide with flaps: same best-glide speed, ratio times a factor. From glides at idle of a
# six-degree-of-freedom model of a light high-wing four-seater (2,400 lb, 3,000 ft), computed for
# this kit: best ratios 9.64, 8.63, 8.23 and 7.79 at 70.4, 75.0, 72.3 and 71.3 kt. The speeds
# differ by 1 to 7 % without an order, so they are taken as equal. One airplane: an estimate.
_FLAPS_DEG = (0.0, 10.0, 20.0, 30.0)
_BEST_RATIOS = (9.64, 8.63, 8.23, 7.79)

# Idling propeller: the same model glides 9.6 : 1 with the propeller idling and 10.4 : 1 with a
# stopped one without drag.
IDLE_DRAG_FACTOR = float(zero_lift_drag_for_propeller(0.1, 9.6 / 10.4)) / 0.1
# A stopped propeller has some drag. Half-way between is a choice, no source.
_SHARE_OF_IDLE_DRAG = {IDLE: 1.0, WINDMILLING: 1.0, STOPPED: 0.5, ZERO_THRUST: 0.0}

BASE_FACTOR = 1.4  # of VS0: downwind and base of a power-off approach, FAA-H-8083-3C p. 9-26
FINAL_FACTOR = 1.3  # of VS0: final, the same page

# Where a card does not say how far above the stall the warning sounds: the least that the old
# rule allows, 14 CFR 23.207 as it stood before 2017 (read).
STALL_WARNING_MARGIN = mps_from_kt(5.0)

# By wing position, typical of light singles; common practice, no source. [m]
WING_HEIGHT = {"high": m_from_ft(7.0), "low": m_from_ft(3.0)}
EYE_HEIGHT = {"high": m_from_ft(5.5), "low": m_from_ft(5.0)}
NOSE_CUTOFF_DEG = 7.0

# RPM gained for each knot at a fixed throttle: middle of 4 to 12, see lessonkit.models.calibration.
RPM_PER_KT = RPM_PER_KT_MEAN

# Greatest lift coefficients where stall speeds are printed in IAS without a correction table:
# they let the model fly, and no stall speed or margin is ever stated from them. Middle of the
# ranges 1.1-2.3 and 1.3-2.8 on the low side; from memory.
TYPICAL_CL_MAX = (1.5, 2.0)


def glide_ratio_factor(flap_deg: float) -> float:
    """Best-glide ratio with flaps over the one with flaps up.

    Assumes flaps like those of the reference model; beyond 30 degrees its last slope goes on.

    Parameters
    ----------
    flap_deg : float
        Flap angle, positive down, 0 to 60. [deg]

    Returns
    -------
    float
        1 with flaps up, falling with the angle. [-]

    References
    ----------
    .. [1] Glides of a six-degree-of-freedom reference model, computed for this kit (see above).

    Examples
    --------
    >>> round(glide_ratio_factor(0.0), 3), round(glide_ratio_factor(30.0), 3)
    (1.0, 0.808)
    """
    last_slope = (_BEST_RATIOS[-1] - _BEST_RATIOS[-2]) / (_FLAPS_DEG[-1] - _FLAPS_DEG[-2])
    beyond = max(flap_deg - _FLAPS_DEG[-1], 0.0)
    ratio = np.interp(flap_deg, _FLAPS_DEG, _BEST_RATIOS) + last_slope * beyond
    return float(ratio) / _BEST_RATIOS[0]


def propeller_drag(cd0: float, propeller: str) -> float:
    """Part of the zero-lift drag coefficient that an idling propeller makes.

    Parameters
    ----------
    cd0 : float
        Zero-lift drag coefficient, flaps up, with the propeller in the given state. [-]
    propeller : str
        State of the propeller, one of `schema.PROPELLER_STATES`.

    Returns
    -------
    float
        Difference of CD0 between an idling propeller and one that neither pulls nor brakes. [-]

    References
    ----------
    .. [1] Glides of a six-degree-of-freedom reference model, computed for this kit (see above).

    Examples
    --------
    >>> round(propeller_drag(0.0426, "idle"), 4)
    0.0063
    """
    rise = IDLE_DRAG_FACTOR - 1.0
    return cd0 * rise / (1.0 + _SHARE_OF_IDLE_DRAG[propeller] * rise)


def propeller_share(propeller: str) -> float:
    """Drag of the propeller in a state, as a share of the idling one's.

    Parameters
    ----------
    propeller : str
        One of `schema.PROPELLER_STATES`; "zero_thrust" is read as "zero thrust".

    Returns
    -------
    float
        0 to 1. [-]

    Raises
    ------
    ValueError
        Naming a state that is not in the table.

    Examples
    --------
    >>> propeller_share("zero_thrust"), propeller_share("windmilling")
    (0.0, 1.0)
    """
    state = propeller.replace("_", " ")
    if state not in _SHARE_OF_IDLE_DRAG:
        states = ", ".join(_SHARE_OF_IDLE_DRAG)
        raise ValueError(f"propeller is {propeller!r} but has to be one of {states}.")
    return _SHARE_OF_IDLE_DRAG[state]
