"""What a tool for error is worth: the same approach flown without it and with it.

A tool is a change of the plan: a slip, S-turns, more flap, another turn or another speed. Its
worth is how far the touchdown moves, found by flying, never from a table.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields

import numpy as np

from lessonkit.models.approach_results import Approach
from lessonkit.models.approach_review import (
    key_point,
    key_points,
    least_stall_margin,
    touches_in_line,
)
from lessonkit.models.numeric import smooth_step
from lessonkit.models.power_off_approach import COARSE_STEP, fly
from lessonkit.models.power_off_pilot import ApproachPlan
from lessonkit.models.s_turn import NEVER, STurnPilot, STurnPlan
from lessonkit.models.slip import SlipPilot, SlipPlan

LEVER_FADE_HEIGHT = 4.0  # m of height over which the flap lever is moved: about a second


@dataclass(frozen=True)
class ToolPlan(SlipPlan, STurnPlan):
    """An approach with any of the tools; without settings it is the approach as planned.

    Parameters
    ----------
    more_flap_deg : float or array
        Flap angle taken beyond the plan's; less than the plan's changes nothing. [deg]
    more_flap_from_height : float or array
        Height at which it is taken; far below ground: never. [m]
    """

    more_flap_deg: float = 0.0
    more_flap_from_height: float = NEVER


class ToolPilot(SlipPilot, STurnPilot):
    """The pilot of a `ToolPlan`: slips, weaves and takes flap as the plan says."""

    def __call__(self, state, flow):
        """Return the controls at a state, with the flap that is taken beyond the plan's."""
        held, plan, f = super().__call__(state, flow), self.plan, self.functions
        below = plan.more_flap_from_height - state.height
        taken = smooth_step(below, 0.0, LEVER_FADE_HEIGHT, f)
        # Never less than the plan's: flaps are not retracted near the ground.
        extra = f.maximum(plan.more_flap_deg - held.flap_deg, 0.0)
        return held._replace(flap_deg=held.flap_deg + extra * taken)


@dataclass(frozen=True)
class ToolResult:
    """An approach flown with a tool, against the same without it.

    Parameters
    ----------
    approach : Approach
        As flown with the tool. [SI]
    moved : float
        Touchdown with the tool less the one without; negative is shorter. NaN where one of them
        does not come down in line. [m]
    in_line : bool
        Whether the wheels meet the runway's strip lined up. [-]
    lined_up_height : float
        Height at which it is first lined up on final; NaN where it never is. [m]
    margin : float
        Least gap above the stall before the round-out, CAS; it means nothing for an airplane
        whose stall speed is not certain. [m/s]
    """

    approach: Approach
    moved: float
    in_line: bool
    lined_up_height: float
    margin: float


def tool_plan(plan):
    """Turn any plan of a power-off approach into one that takes tools.

    Parameters
    ----------
    plan : ApproachPlan
        What the pilot means to do. [SI]

    Returns
    -------
    ToolPlan
        The same approach, no tool in use. [SI]

    References
    ----------
    .. [1] A copy; nothing to cite.

    Examples
    --------
    >>> tool_plan(ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)).slip_rudder
    0.0
    """
    return ToolPlan(**{field.name: getattr(plan, field.name) for field in fields(ApproachPlan)})


def state_at(approach, time, raised=0.0):
    """State at a moment of a flown approach, put higher or lower.

    Assumes the same speed, track and flaps at the other height.

    Parameters
    ----------
    approach : Approach
        A flown approach. [SI]
    time : float
        Since abeam. [s]
    raised : float
        How much higher than flown; negative is lower. [m]

    Returns
    -------
    list of 8 rows
        To start `fly` from. [SI, rad]

    Raises
    ------
    ValueError
        If that would be on or below the ground.

    References
    ----------
    .. [1] Linear between the points of the history.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> state = state_at(fly(plan, airplane, Wind()), 0.0, raised=30.0)
    >>> round(state[2]), round(state[3], 1)
    (330, 40.6)
    """
    h = approach.history
    rows = (
        *(h.x, h.y, h.height + raised, h.true_airspeed),
        *(np.radians(angle) for angle in (h.path_angle_deg, h.heading_deg, h.bank_deg)),
        h.flap_deg,
    )
    state = [float(np.interp(time, h.time, row)) for row in rows]
    if state[2] <= 0.0:
        raise ValueError("That much lower is below the ground: choose a smaller error.")
    return state


def try_tool(
    without, plan, parameters, wind, half_width, start=None, coarse_step=COARSE_STEP
) -> ToolResult:
    """Fly an approach with a tool and hold it against the one without.

    Parameters
    ----------
    without : Approach or None
        The same approach flown without the tool; None if this is that approach. [SI]
    plan : ToolPlan
        The plan with the tool in it; plain numbers. [SI]
    parameters : Parameters
        The airplane. [SI]
    wind : Wind
        The air. [SI]
    half_width : float
        Half of the runway's width. [m]
    start : sequence of 8 rows, optional
        State that both were flown from; abeam without it. [SI, rad]
    coarse_step : float
        As in `fly`. [s]

    Returns
    -------
    ToolResult
        [SI]

    Raises
    ------
    ValueError
        If the wind across the runway is faster than the airplane.

    References
    ----------
    .. [1] Tools: Airplane Flying Handbook FAA-H-8083-3A p. 8-21 to 8-24 (S-turns, slips, flaps,
       base leg closer or farther).

    Examples
    --------
    >>> from dataclasses import replace
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = tool_plan(ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0))
    >>> without = fly(plan, airplane, Wind(), pilot=ToolPilot)
    >>> slip = try_tool(without, replace(plan, slip_rudder=1.0), airplane, Wind(), 9.0)
    >>> slip.in_line, slip.moved < -50.0
    (True, True)
    """
    approach = fly(plan, parameters, wind, coarse_step, ToolPilot, start)
    in_line = touches_in_line(approach.touchdown, half_width)
    without = without or approach
    both = in_line and touches_in_line(without.touchdown, half_width)
    final = key_point(key_points(approach), "final")
    return ToolResult(
        approach=approach,
        moved=approach.touchdown.x - without.touchdown.x if both else math.nan,
        in_line=in_line,
        lined_up_height=math.nan if final is None else final.height,
        margin=least_stall_margin(approach, parameters, wind)[0],
    )


def greatest_allowed(values: Sequence[float], allowed: Callable[[float], bool]) -> float | None:
    """Greatest value of a rising list that is still allowed.

    Assumes that whatever is allowed for a value is allowed for every smaller one.

    Parameters
    ----------
    values : sequence of float
        Rising. [any]
    allowed : callable
        ``allowed(value)`` tells whether a value is within the limits. [-]

    Returns
    -------
    float or None
        None where not even the first is allowed. [unit of `values`]

    References
    ----------
    .. [1] Bisection; any textbook of numerical analysis.

    Examples
    --------
    >>> greatest_allowed([1.0, 2.0, 3.0, 4.0], lambda value: value < 3.5)
    3.0
    """
    low, high = -1, len(values)
    while high - low > 1:
        middle = (low + high) // 2
        if allowed(values[middle]):
            low = middle
        else:
            high = middle
    return values[low] if low >= 0 else None
