"""S-turns on final: a longer way to the same runway, by geometry and as flown.

One swing turns away from the centreline and comes back to it: away through an angle, back
through twice that angle, and once more onto the centreline. Two swings go out to both sides.
Each turn is begun at a height, which falls all the time, so that what is flown depends on the
state alone.
"""

import math
from dataclasses import dataclass, replace

import numpy as np

from lessonkit.models.numeric import smooth_step
from lessonkit.models.power_off_pilot import ApproachPlan, PowerOffPilot, limited
from lessonkit.models.turning import rate_of_turn_dps

TURN_FADE_HEIGHT = 7.0  # m of height over which a turn is begun: less than two seconds
ROLL_ALLOWANCE = 2.0  # s that rolling in and out adds to a turn; common practice, no source
LEAST_INTERCEPT = math.radians(10.0)  # coming back to the centreline at least at this angle
NEVER = -1000.0  # m; a height that is never flown
LINED_UP_TRACK_DEG, LINED_UP_BANK_DEG, LINED_UP_OFFSET = 10.0, 10.0, 20.0  # deg, deg, m


def s_turn_extra_path(radius, excursion_deg, swings=1):
    """Extra way through the air of S-turns, against flying straight along the centreline.

    Assumes arcs that follow each other without straight parts, no wind, and rolls at once.

    Parameters
    ----------
    radius : float or array
        Radius of the turns. [m]
    excursion_deg : float or array
        Greatest angle between heading and centreline, 0 to 90. [deg]
    swings : int
        1 to one side and back, 2 to both sides. [-]

    Returns
    -------
    float or array
        Way flown less way made good. Divided by the glide ratio it is the height lost. [m]

    Raises
    ------
    ValueError
        If the excursion is not within 0 to 90 degrees.

    Notes
    -----
    Four arcs of angle a each swing: 4 R a along the arcs, 4 R sin(a) along the centreline. Grows
    with the third power of a small angle: little turns cost next to nothing.

    References
    ----------
    .. [1] Geometry of arcs.

    Examples
    --------
    >>> round(float(s_turn_extra_path(200.0, 45.0)), 1)
    62.6
    """
    angle = _excursion(excursion_deg)
    return swings * 4.0 * radius * (angle - np.sin(angle))


def s_turn_offset(radius, excursion_deg):
    """Greatest distance from the centreline in S-turns.

    Parameters
    ----------
    radius : float or array
        Radius of the turns. [m]
    excursion_deg : float or array
        Greatest angle between heading and centreline, 0 to 90. [deg]

    Returns
    -------
    float or array
        [m]

    Raises
    ------
    ValueError
        If the excursion is not within 0 to 90 degrees.

    References
    ----------
    .. [1] Geometry of two arcs: 2 R (1 - cos(a)).

    Examples
    --------
    >>> round(float(s_turn_offset(200.0, 60.0)))
    200
    """
    return 2.0 * radius * (1.0 - np.cos(_excursion(excursion_deg)))


def _excursion(excursion_deg):
    if np.any(np.asarray(excursion_deg) < 0.0) or np.any(np.asarray(excursion_deg) > 90.0):
        raise ValueError("S-turns swing 0 to 90 degrees off the centreline: choose an angle there.")
    return np.radians(excursion_deg)


@dataclass(frozen=True)
class STurnPlan(ApproachPlan):
    """An approach with S-turns on final; each number may be an array over cases.

    Parameters
    ----------
    s_turn_deg : float or array
        Angle of the track off the centreline that the pilot turns to. [deg]
    s_turn_from_height : float or array
        Height, on final already, at which the first turn is begun; far below ground: never. [m]
    s_turn_back_height, s_turn_again_height : float or array
        Height at which the turn back is begun, and the one after it from a second swing; equal
        for one swing. [m]
    """

    s_turn_deg: float = 0.0
    s_turn_from_height: float = NEVER
    s_turn_back_height: float = NEVER
    s_turn_again_height: float = NEVER


class STurnPilot(PowerOffPilot):
    """The pilot of an `STurnPlan`: the base pilot, weaving about the centreline."""

    def legs(self, state, track, x_rate):
        """Shares of base and final; whoever weaves stays on final however the nose points."""
        base, final = super().legs(state, track, x_rate)
        begun = smooth_step(
            self.plan.s_turn_from_height + TURN_FADE_HEIGHT - state.height,
            0.0,
            TURN_FADE_HEIGHT,
            self.functions,
        )
        return base, 1.0 - (1.0 - final) * (1.0 - begun)

    def line_track(self, state, offset, radius):
        """Track to the centreline, with the swings laid over it while they last."""
        f, plan = self.functions, self.plan
        away, back, again = (
            smooth_step(height - state.height, 0.0, TURN_FADE_HEIGHT, f)
            for height in (
                plan.s_turn_from_height,
                plan.s_turn_back_height,
                plan.s_turn_again_height,
            )
        )
        swing = plan.s_turn_deg * (math.pi / 180.0)
        out, over = away * (1.0 - back), back * (1.0 - again)
        straight = super().line_track(state, offset, radius)
        gentle = limited(straight, f.maximum(swing, LEAST_INTERCEPT), f)
        line = straight + away * (gentle - straight)
        return line * (1.0 - out - over) + swing * (over - out)


def s_turn_plan(plan, excursion_deg, from_height, true_airspeed, sink_rate, swings=1):
    """Put S-turns into a plan, each turn begun when the one before has just been flown.

    Assumes a steady sink and the plan's bank. The first turn is toward the pattern's side.

    Parameters
    ----------
    plan : STurnPlan
        With bank and the rest of the approach; plain numbers. [SI]
    excursion_deg : float
        Angle off the centreline, 0 to 90. [deg]
    from_height : float
        Where the first turn is begun; the airplane is on final there. [m]
    true_airspeed, sink_rate : float
        Speed and rate of descent on final. [m/s]
    swings : int
        1 or 2. [-]

    Returns
    -------
    STurnPlan
        [SI]

    Raises
    ------
    ValueError
        If the excursion is not within 0 to 90 degrees or there are not one or two swings.

    References
    ----------
    .. [1] Time in a turn = angle V / (g tan(bank)), with an allowance for the rolls.

    Examples
    --------
    >>> plan = STurnPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> weave = s_turn_plan(plan, 30.0, 200.0, 33.0, 4.0, swings=2)
    >>> round(weave.s_turn_back_height), weave.s_turn_again_height < weave.s_turn_back_height
    (180, True)
    """
    if swings not in (1, 2):
        raise ValueError("S-turns here have one or two swings: choose 1 or 2.")
    _excursion(excursion_deg)
    turn = float(excursion_deg / rate_of_turn_dps(true_airspeed, plan.bank_deg))  # s
    out = turn + ROLL_ALLOWANCE
    back_height = from_height - sink_rate * out
    # The second swing begins on the far heading and lies on the other side: twice the way.
    crossing = 2.0 * out + turn
    again = sink_rate * crossing if swings == 2 else 0.0
    return replace(
        plan,
        s_turn_deg=float(excursion_deg),
        s_turn_from_height=float(from_height),
        s_turn_back_height=float(back_height),
        s_turn_again_height=float(back_height - again),
    )


def lined_up_again_height(approach):
    """Height at which the airplane is back on the centreline, wings level, after S-turns.

    Parameters
    ----------
    approach : Approach
        Flown by an `STurnPilot`; with any other plan, the height at which it is lined up. [SI]

    Returns
    -------
    float
        Height from which it stays lined up to the ground; NaN where it never is. [m]

    Notes
    -----
    Lined up: within 20 m of the centreline, 10 deg of track and 10 deg of bank.

    References
    ----------
    .. [1] Limits of our own.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_approach import fly
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = STurnPlan(900.0, 400.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> weave = s_turn_plan(plan, 30.0, 200.0, 33.0, 3.5)
    >>> height = lined_up_again_height(fly(weave, airplane, Wind(), pilot=STurnPilot))
    >>> bool(50.0 < height < weave.s_turn_back_height)
    True
    """
    h = approach.history
    track = np.abs(np.degrees(np.arctan2(np.gradient(h.y), np.gradient(h.x))))
    off = (
        (track > LINED_UP_TRACK_DEG)
        | (np.abs(h.bank_deg) > LINED_UP_BANK_DEG)
        | (np.abs(h.y) > LINED_UP_OFFSET)
    )
    if off[-1]:
        return math.nan
    return float(h.height[np.flatnonzero(off)[-1] + 1]) if off.any() else float(h.height[0])
