"""Observed power-off touchdowns as measurements for the calibration.

How far each judgement may be wrong is stated here, in the constants; none of them has a source.
"""

import math
from dataclasses import dataclass, replace

from lessonkit.models.calibration import DRAG, FLAP_DRAG, MODEL_SPREAD, TOUCHDOWN, Measurement
from lessonkit.models.calibration_glide import SPEED_SPREAD, with_drag
from lessonkit.models.power_off_approach import DRAFT_STEP, fly
from lessonkit.models.power_off_pilot import ApproachPlan
from lessonkit.models.wind_profile import Wind
from lessonkit.units import m_from_ft, mps_from_kt

# One standard deviation each. Common practice, no source.
PLACE_SPREADS = {  # of a distance over the ground, by how it was known
    "recording": m_from_ft(50.0),
    "landmarks": m_from_ft(100.0),
    "eye": m_from_ft(300.0),
}
HEIGHT_SPREAD = m_from_ft(20.0)  # abeam: altimeter reading and setting together
WIND_SPREAD, WIND_SHARE = mps_from_kt(1.0), 0.1  # of a reported wind: at least, and of its speed
MARK_SPREAD = m_from_ft(50.0)  # of the place of the touchdown, seen from the seat
FLARE_SPREAD = m_from_ft(100.0)  # how far one round-out floats differently from another


@dataclass(frozen=True)
class ObservedTouchdown:
    """A power-off approach that was flown as planned, and where it touched.

    Parameters
    ----------
    plan : ApproachPlan
        As flown. [SI]
    wind : Wind
        As reported. [SI]
    x : float
        Where the wheels touched, from the threshold. [m]
    known : str
        How abeam distance and base turn were known: a key of `PLACE_SPREADS`.
    """

    plan: ApproachPlan
    wind: Wind
    x: float
    known: str = "landmarks"


def computed_touchdown(parameters, plan, wind):
    """Give the touchdown of a plan as a function of the unknowns.

    Parameters
    ----------
    parameters : Parameters
        The handbook's airplane at the weight flown. [SI]
    plan : ApproachPlan
        How it is flown. [SI]
    wind : Wind
        The air. [SI]

    Returns
    -------
    callable
        Takes the unknowns, gives the place from the threshold. [m]

    References
    ----------
    .. [1] `power_off_approach.fly`, with its longer steps.

    Examples
    --------
    >>> import numpy as np
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> at = computed_touchdown(airplane, plan, Wind())
    >>> bool(at(np.array([0.05, 0.0, 0.0, 8.0])) < at(np.array([0.0, 0.0, 0.0, 8.0])) - 50.0)
    True
    """
    flown: dict[tuple[float, float], float] = {}

    def at(unknowns):
        drag, flap_drag = float(unknowns[DRAG]), float(unknowns[FLAP_DRAG])
        if (drag, flap_drag) not in flown:
            airplane = with_drag(parameters, drag, flap_drag)
            flown[drag, flap_drag] = fly(plan, airplane, wind, DRAFT_STEP).touchdown.x
        return flown[drag, flap_drag] + float(unknowns[TOUCHDOWN])

    return at


def place_errors(parameters, seen):
    """List what each error of judging an approach does to the computed touchdown.

    Parameters
    ----------
    parameters : Parameters
        The handbook's airplane at the weight flown. [SI]
    seen : ObservedTouchdown
        The approach. [SI]

    Returns
    -------
    dict of str to float
        By quantity of the plan or of the wind: change of the touchdown for one standard deviation
        of its error. [m]

    References
    ----------
    .. [1] Errors as in the constants of this module.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> found = place_errors(airplane, ObservedTouchdown(plan, Wind(), 100.0))
    >>> found["along"] > 30.0 > 0.0 > found["abeam_distance"]
    True
    """
    plan, wind = seen.plan, seen.wind
    speed = math.hypot(wind.along, wind.across)
    of_wind = WIND_SPREAD + WIND_SHARE * speed
    place = PLACE_SPREADS[seen.known]
    of_plan = {
        "abeam_distance": place,
        "base_turn_distance": place,
        "abeam_height": HEIGHT_SPREAD,
        "entry_cas": SPEED_SPREAD,
        "base_cas": SPEED_SPREAD,
        "final_cas": SPEED_SPREAD,
    }
    middle = fly(plan, parameters, wind, DRAFT_STEP).touchdown.x
    found = {}
    for name, spread in of_plan.items():
        changed = replace(plan, **{name: getattr(plan, name) + spread})
        if name == "base_cas":  # one glide speed, held from abeam to the final
            changed = replace(changed, downwind_cas=plan.downwind_cas + spread)
        found[name] = fly(changed, parameters, wind, DRAFT_STEP).touchdown.x - middle
    for name in ("along", "across"):
        changed = replace(wind, **{name: getattr(wind, name) + of_wind})
        found[name] = fly(plan, parameters, changed, DRAFT_STEP).touchdown.x - middle
    return found


def touchdown_measurement(parameters, seen, key="touchdown"):
    """Turn an observed touchdown into a measurement.

    Parameters
    ----------
    parameters : Parameters
        The handbook's airplane at the weight flown. [SI]
    seen : ObservedTouchdown
        What was seen. [SI]
    key : str
        Name of the measurement. [-]

    Returns
    -------
    Measurement
        Of the place of the touchdown. [m]

    Raises
    ------
    ValueError
        If the plan does not come down on the ground within ten minutes.

    References
    ----------
    .. [1] Errors of judging the approach (`place_errors`) and the touchdown, of the round-out, and
       of the model, as independent.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> found = touchdown_measurement(airplane, ObservedTouchdown(plan, Wind(), 100.0))
    >>> 80.0 < found.spread < 130.0
    True
    """
    errors = place_errors(parameters, seen)
    spread = math.hypot(*errors.values(), MARK_SPREAD, FLARE_SPREAD, MODEL_SPREAD)
    if not math.isfinite(spread):
        raise ValueError(
            "The approach as typed does not come down to the ground: check its speeds."
        )
    return Measurement(key, seen.x, spread, computed_touchdown(parameters, seen.plan, seen.wind))
