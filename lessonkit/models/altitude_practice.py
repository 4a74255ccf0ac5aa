"""The power-off approach practised at altitude, onto an imaginary runway along a line.

The same pattern is flown over free air: no ground effect, no wind gradient near the ground, no
round-out. At the altitude of the imaginary runway the power goes in, whatever comes of it.
"""

import math
from dataclasses import dataclass, fields, replace

import numpy as np

from lessonkit.models.airspeed import cas_from_tas, tas_from_cas
from lessonkit.models.approach_results import Approach, History, Touchdowns
from lessonkit.models.approach_review import GATE_HEIGHT, key_point, key_points
from lessonkit.models.power_off_approach import COARSE_STEP, fly
from lessonkit.models.turning import radius_of_turn
from lessonkit.units import m_from_ft

# Above the ground. A floor for practice at idle, to start with: slow flight and stalls are flown
# no lower than 1,500 ft in FAA-S-ACS-6B/6C tasks VII.A to C (read in public transcriptions); taken
# over here, where the standards name no floor: common practice, no source.
LEAST_FLOOR = m_from_ft(1500.0)
# Height in which the descent is stopped once the power goes in; common practice, no source.
RECOVERY_ALLOWANCE = m_from_ft(200.0)
CALLED = ("abeam", "base_turn", "base", "final_turn", "final")
# Course of the leg that a callout belongs to, off the landing direction, in left traffic.
LEG_COURSE_DEG = {"abeam": 180.0, "base_turn": 180.0, "base": 90.0, "final_turn": 90.0}


@dataclass(frozen=True)
class Callout:
    """What is called at one moment of the practice.

    Parameters
    ----------
    key : str
        One of the keys of `approach_review.KEYS`, or "go_around", the gate; "touchdown" is the
        altitude of the imaginary runway.
    time : float
        Since abeam. [s]
    height : float
        Above the imaginary runway. [m]
    altitude : float
        Above sea level. [m]
    heading_deg : float
        Held on the leg flown there, wind allowed for; magnetic where the line's is. [deg]
    """

    key: str
    time: float
    height: float
    altitude: float
    heading_deg: float


@dataclass(frozen=True)
class AltitudePractice:
    """The practice as it is flown; altitudes above sea level.

    Parameters
    ----------
    line_altitude, floor_altitude, start_altitude, go_around_altitude, ground_elevation : float
        Imaginary runway, where the power goes in; lowest altitude agreed; start abeam; gate by
        which the airplane is lined up; ground below. [m]
    downwind_heading_deg, base_heading_deg, final_heading_deg : float
        Legs along and across the line. [deg]
    speed_ratio : float
        True airspeed at the imaginary runway over the one at the field, at the same CAS. [-]
    turn_radius, turn_radius_at_field : float
        In the turn to base, in still air. [m]
    time, time_at_field : float
        From abeam until lined up on final; NaN where that is not reached. [s]
    callouts : tuple of Callout
        In the order flown; the last is the imaginary runway.
    approach, approach_at_field : Approach
        As flown at altitude, and with the same plan in the same wind at the field's height. Both
        end where they pass the height of the runway: without ground there is no round-out. [SI]
    """

    line_altitude: float
    floor_altitude: float
    start_altitude: float
    go_around_altitude: float
    ground_elevation: float
    downwind_heading_deg: float
    base_heading_deg: float
    final_heading_deg: float
    speed_ratio: float
    turn_radius: float
    turn_radius_at_field: float
    time: float
    time_at_field: float
    callouts: tuple[Callout, ...]
    approach: Approach
    approach_at_field: Approach


def lowest_line_altitude(ground_elevation, floor=LEAST_FLOOR, allowance=RECOVERY_ALLOWANCE):
    """Lowest altitude of an imaginary runway that keeps the floor.

    Parameters
    ----------
    ground_elevation : float
        Of the ground below. [m]
    floor : float
        Lowest height above the ground that is agreed. [m]
    allowance : float
        Height in which the descent is stopped once the power goes in. [m]

    Returns
    -------
    float
        Ground, floor and allowance together. [m]

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> round(lowest_line_altitude(200.0, 450.0, 60.0))
    710
    """
    return ground_elevation + floor + allowance


def practice_at_altitude(
    plan,
    parameters,
    wind,
    line_altitude,
    ground_elevation,
    line_heading_deg,
    floor=LEAST_FLOOR,
    allowance=RECOVERY_ALLOWANCE,
    coarse_step=COARSE_STEP,
):
    """Fly the plan at altitude and give altitudes, headings, callouts and what grows.

    Assumes standard air and a wind that is the same at all heights flown.

    Parameters
    ----------
    plan : ApproachPlan
        As at the field; its height abeam is the height above the imaginary runway. [SI]
    parameters : Parameters
        The airplane. [SI]
    wind : Wind
        At the field, for its elevation; along and across the line as flown aloft. [SI]
    line_altitude : float
        Altitude of the imaginary runway. [m]
    ground_elevation : float
        Of the ground below the line. [m]
    line_heading_deg : float
        Heading along the line in the landing direction. [deg]
    floor : float
        Lowest height above the ground that is agreed. [m]
    allowance : float
        Height in which the descent is stopped once the power goes in. [m]
    coarse_step : float
        As in `fly`. [s]

    Returns
    -------
    AltitudePractice
        [SI, deg]

    Raises
    ------
    ValueError
        If the imaginary runway lies too low for the floor, or the start below the gate.

    Notes
    -----
    At the same CAS the true airspeed grows with one over the root of the density ratio, the
    radius at the same bank with its square.

    References
    ----------
    .. [1] Key positions: Airplane Flying Handbook FAA-H-8083-3A p. 8-23.
    .. [2] Radius of a level turn: V^2/(g tan(bank)).

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> practice = practice_at_altitude(plan, airplane, Wind(), 1000.0, 200.0, 270.0)
    >>> round(practice.start_altitude), [call.key for call in practice.callouts][-1]
    (1300, 'touchdown')
    """
    lowest = lowest_line_altitude(ground_elevation, floor, allowance)
    if line_altitude < lowest - 0.5:
        raise ValueError(
            "The imaginary runway lies too low to recover above the floor: choose it higher."
        )
    if plan.abeam_height <= GATE_HEIGHT:
        raise ValueError("The start is below the gate for the go-around: start higher.")
    approach = fly_in_free_air(
        plan, parameters, replace(wind, elevation=line_altitude), coarse_step
    )
    at_field = fly_in_free_air(plan, parameters, wind, coarse_step)
    bank, cas = plan.bank_deg, plan.downwind_cas
    speeds = [float(tas_from_cas(cas, at)) for at in (line_altitude, wind.elevation)]
    callouts = tuple(_callouts(approach, line_altitude, line_heading_deg, wind))
    return AltitudePractice(
        line_altitude=line_altitude,
        floor_altitude=ground_elevation + floor,
        start_altitude=line_altitude + plan.abeam_height,
        go_around_altitude=line_altitude + GATE_HEIGHT,
        ground_elevation=ground_elevation,
        downwind_heading_deg=(line_heading_deg + 180.0) % 360.0,
        base_heading_deg=(line_heading_deg + 90.0 * plan.side) % 360.0,
        final_heading_deg=line_heading_deg % 360.0,
        speed_ratio=speeds[0] / speeds[1],
        turn_radius=float(radius_of_turn(speeds[0], bank)),
        turn_radius_at_field=float(radius_of_turn(speeds[1], bank)),
        time=_lined_up(approach),
        time_at_field=_lined_up(at_field),
        callouts=callouts,
        approach=approach,
        approach_at_field=at_field,
    )


def fly_in_free_air(plan, parameters, wind, coarse_step=COARSE_STEP):
    """Fly a plan down to a runway that is only an altitude: no ground, no round-out.

    Assumes a wind that is the same at all heights flown.

    Parameters
    ----------
    plan : ApproachPlan
        Its height abeam is the height above the imaginary runway. [SI]
    parameters : Parameters
        The airplane. [SI]
    wind : Wind
        Its elevation is the altitude of the imaginary runway; it does not grow with height. [SI]
    coarse_step : float
        As in `fly`. [s]

    Returns
    -------
    Approach
        Heights above the imaginary runway; the history ends where it is passed, and the touchdown
        is that place. [SI, deg]

    Notes
    -----
    Flown with the ground moved down, out of reach of round-out and ground effect, and cut.

    References
    ----------
    .. [1] Ground effect ends 0.75 spans above the ground, see `induced_drag_reduction`.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> approach = fly_in_free_air(plan, airplane, Wind(elevation=1000.0))
    >>> bool(approach.touchdown.sink_rate > 2.0)
    True
    """
    below = plan.round_out_height + parameters.span
    lowered = replace(plan, abeam_height=plan.abeam_height + below)
    air = replace(wind, exponent=0.0, elevation=wind.elevation - below)
    history = fly(lowered, parameters, air, coarse_step).history
    history = replace(history, height=history.height - below)
    passed = history.height <= 0.0
    if not passed.any():
        return Approach(plan, Touchdowns(*[math.nan] * len(fields(Touchdowns))), history)
    history = _cut(history, int(np.argmax(passed)))
    speed, last = history.true_airspeed[-1], -1
    return Approach(
        plan,
        Touchdowns(
            x=float(history.x[last]),
            y=float(history.y[last]),
            time=float(history.time[last]),
            true_airspeed=float(speed),
            calibrated_airspeed=float(cas_from_tas(speed, wind.elevation)),
            sink_rate=float(-speed * np.sin(np.radians(history.path_angle_deg[last]))),
            heading_deg=float(history.heading_deg[last]),
            bank_deg=float(history.bank_deg[last]),
        ),
        history,
    )


def _cut(history, first_below):
    """End a history where the height is nothing, between two of its moments."""
    before, after = history.height[first_below - 1], history.height[first_below]
    share = before / (before - after)

    def row(values):
        end = values[first_below - 1] + share * (values[first_below] - values[first_below - 1])
        return np.append(values[:first_below], end)

    return History(**{one.name: row(getattr(history, one.name)) for one in fields(History)})


def _lined_up(approach):
    final = key_point(key_points(approach), "final")
    return math.nan if final is None else final.time


def _callouts(approach, line_altitude, line_heading_deg, wind):
    """Yield key points, gate and imaginary runway in the order in which they are met."""
    history = approach.history

    def called(key, time, height):
        tas = np.interp(time, history.time, history.true_airspeed)
        course = LEG_COURSE_DEG.get(key, 0.0) * approach.plan.side
        heading = line_heading_deg + course - _drift_deg(course, tas, wind)
        return Callout(key, time, height, line_altitude + height, float(heading) % 360.0)

    found = [
        called(point.key, point.time, point.height)
        for point in key_points(approach)
        if point.key in CALLED
    ]
    # Downward the whole way, so that the time of a height is one time.
    times, heights = history.time[::-1], np.minimum.accumulate(history.height)[::-1]
    for key, height in (("go_around", GATE_HEIGHT), ("touchdown", 0.0)):
        if heights[0] <= height + 1.0:
            found.append(called(key, float(np.interp(height, heights, times)), height))
    yield from sorted(found, key=lambda call: call.time)


def _drift_deg(course_deg, tas, wind):
    """Return how far the wind carries the airplane to the right of its nose on a course."""
    course = math.radians(course_deg)
    to_the_right = wind.across * math.cos(course) - wind.along * math.sin(course)
    return math.degrees(math.asin(max(-1.0, min(1.0, to_the_right / tas))))
