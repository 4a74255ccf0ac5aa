"""The power-off approach from abeam to the touchdown, one case or thousands.

`fly` follows one approach in plain floats and keeps its history; `fly_many` integrates arrays
of cases and keeps their touchdowns. Both step the same motion with the same pilot.
"""

import math
from dataclasses import fields, replace

import numpy as np

from lessonkit.models.approach_results import Approach, History, Touchdowns
from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.motion import rk4_step
from lessonkit.models.numeric import ARRAY, SCALAR
from lessonkit.models.point_mass import State, derivatives, flow_at
from lessonkit.models.power_off_pilot import PowerOffPilot
from lessonkit.models.wind_profile import wind_growth

COARSE_STEP = 0.25  # s, well above the ground
DRAFT_STEP = 0.5  # s, the same while a control moves: touchdowns within some 5 ft
FINE_SHARE = 0.5  # of the coarse step, through the round-out
FINE_MARGIN = 2.0  # m above the round-out height where the fine step begins
BLEND_HEIGHT = 15.0  # m over which the step grows from fine to coarse
LONGEST = 600.0  # s; whoever is still up then is reported as not down
# Many cases fly in single precision: twice as fast, and touchdowns differ by some 0.01 ft.
PRECISION = np.float32
SHED_SHARE = 0.05  # landed cases are dropped from the arrays once they are this share


def start_state(plan, wind, functions=ARRAY):
    """State at the moment the throttle is closed: level, on the downwind track, wind allowed for.

    Assumes that the height and the speed of the entry are held until then.

    Parameters
    ----------
    plan : ApproachPlan
        What the pilot means to do. [SI]
    wind : Wind
        The air. [SI]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]

    Returns
    -------
    list of 8 rows
        See `point_mass.State`. [SI, rad]

    Raises
    ------
    ValueError
        If the wind across the runway at that height is as fast as the airplane.

    References
    ----------
    .. [1] Wind triangle.

    Examples
    --------
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> state = start_state(plan, Wind(), SCALAR)
    >>> round(state[1]), round(state[2]), round(state[5], 3)
    (-900, 300, 3.142)
    """
    factor, _ = wind_growth(plan.abeam_height, wind.exponent, functions)
    speed = plan.entry_cas * functions.sqrt(
        SEA_LEVEL_DENSITY / wind.density(plan.abeam_height, functions)
    )
    ratio = wind.across * factor / speed
    if np.any(np.abs(ratio) >= 1.0):
        raise ValueError("The wind across the runway is faster than the airplane: lower the wind.")
    drift = functions.arcsin(ratio)
    x_rate = -speed * functions.cos(drift) + wind.along * factor
    return [
        plan.mark_x + x_rate * plan.power_delay,
        -plan.side * plan.abeam_distance,
        plan.abeam_height,
        speed,
        0.0,
        plan.side * math.pi + drift,
        0.0,
        plan.downwind_flap_deg,
    ]


def step_length(height, plan, functions=ARRAY, coarse_step=COARSE_STEP):
    """Step of the integration: coarse on the legs, fine through the round-out.

    Parameters
    ----------
    height : float or array
        Height above the runway. [m]
    plan : ApproachPlan
        For its round-out height. [SI]
    functions : namespace
        `ARRAY` or `SCALAR`. [-]
    coarse_step : float
        Step well above the ground. [s]

    Returns
    -------
    float or array
        Step. [s]

    References
    ----------
    .. [1] Chosen so that touchdowns stay within 0.5 ft of an eighth-order solution.

    Examples
    --------
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> step_length(200.0, plan, SCALAR), step_length(1.0, plan, SCALAR)
    (0.25, 0.125)
    """
    above = (height - plan.round_out_height - FINE_MARGIN) / BLEND_HEIGHT
    share = functions.unit_interval(above)
    return coarse_step * (FINE_SHARE + (1.0 - FINE_SHARE) * share)


def fly(plan, parameters, wind, coarse_step=COARSE_STEP, pilot=PowerOffPilot, start=None):
    """Fly one power-off approach and keep its history.

    Assumes the pilot of `power_off_pilot` and the airplane of `point_mass`.

    Parameters
    ----------
    plan : ApproachPlan
        What the pilot means to do; plain numbers. [SI]
    parameters : Parameters
        The airplane; plain numbers. [SI]
    wind : Wind
        The air; plain numbers. [SI]
    coarse_step : float
        Step well above the ground; `DRAFT_STEP` for a picture that moves. [s]
    pilot : callable
        Class of the pilot: `PowerOffPilot` or one made from it. [-]
    start : sequence of 8 rows, optional
        State to fly on from, at time 0; abeam without it. See `point_mass.State`. [SI, rad]

    Returns
    -------
    Approach
        Touchdown and history. [SI, deg]

    Raises
    ------
    ValueError
        If the wind across the runway is faster than the airplane.

    References
    ----------
    .. [1] Task: Airplane Flying Handbook FAA-H-8083-3A p. 8-23, power-off approach from abeam.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> approach = fly(plan, airplane, Wind())
    >>> bool(abs(approach.touchdown.y) < 3.0)
    True
    """
    pilot = pilot(plan, parameters, SCALAR)
    state = start_state(plan, wind, SCALAR) if start is None else list(start)
    time = plan.power_delay if start is None else 0.0
    times, states = [time], [state]
    while time < LONGEST:
        step = step_length(state[2], plan, SCALAR, coarse_step)
        after = rk4_step(derivatives, state, pilot, parameters, wind, step, SCALAR)
        if after[2] <= 0.0:
            step, after = _to_the_ground(state, after, step, pilot, parameters, wind, SCALAR)
            times.append(time + step)
            states.append(after)
            break
        time, state = time + step, after
        times.append(time)
        states.append(state)
    down = states[-1] if states[-1][2] < 0.01 else [math.nan] * len(State._fields)
    touchdown = _touchdowns(State(*down), times[-1], wind)
    return Approach(plan, touchdown, _history(times, states, pilot, wind))


def fly_many(plan, parameters, wind, coarse_step=COARSE_STEP, pilot=PowerOffPilot):
    """Fly many power-off approaches at once and keep their touchdowns.

    Parameters
    ----------
    plan : ApproachPlan
        What the pilot means to do; fields are numbers or arrays of one length. [SI]
    parameters : Parameters
        The airplane; `mass` may be an array over cases. [SI]
    wind : Wind
        The air; numbers or arrays over cases. [SI]
    coarse_step : float
        Step well above the ground; `DRAFT_STEP` for a picture that moves. [s]
    pilot : callable
        Class of the pilot: `PowerOffPilot` or one made from it. [-]

    Returns
    -------
    Touchdowns
        Arrays of shape (cases,). [SI, deg]

    Raises
    ------
    ValueError
        If the wind across the runway is faster than the airplane in any case.

    References
    ----------
    .. [1] As `fly`.

    Examples
    --------
    >>> import numpy as np
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, np.array([290.0, 300.0]), 450.0,
    ...                     40.0, 36.0, 35.0, 33.0, 28.0)
    >>> bool(np.diff(fly_many(plan, airplane, Wind()).x)[0] > 50.0)
    True
    """
    rows = start_state(plan, wind, ARRAY)
    cases = np.broadcast_shapes(
        (1,), *(np.shape(row) for row in rows), *_shapes(plan, parameters, wind)
    )
    state = np.array([np.broadcast_to(row, cases) for row in rows], dtype=PRECISION)
    plan, parameters, wind = (_lean(thing) for thing in (plan, parameters, wind))
    return _Batch(state, plan, parameters, wind, coarse_step, pilot).run()


class _Batch:
    """Cases that are still in the air, and the last step of those that are down."""

    def __init__(self, state, plan, parameters, wind, coarse_step, make_pilot):
        cases = state.shape[1]
        self.state, self.plan, self.parameters, self.wind = state, plan, parameters, wind
        self.time = np.broadcast_to(plan.power_delay, cases).astype(PRECISION)
        self.index = np.arange(cases)
        self.everyone = (plan, parameters, wind)
        self.coarse_step, self.make_pilot = coarse_step, make_pilot
        self.before, self.after = np.full_like(state, np.nan), np.full_like(state, np.nan)
        self.last_step, self.last_time = np.full((2, cases), np.nan, dtype=PRECISION)

    def run(self):
        """Step until everyone is down or the longest time is over."""
        while self.index.size and self.time.min() < LONGEST:
            pilot = self.make_pilot(self.plan, self.parameters, ARRAY)
            flying = self.state[2] > 0.0
            step = step_length(self.state[2], self.plan, coarse_step=self.coarse_step)
            step = np.where(flying, step, 0.0).astype(PRECISION)  # landed: at rest
            after = rk4_step(derivatives, self.state, pilot, self.parameters, self.wind, step)
            self._note(flying & (after[2] <= 0.0), after, step)
            self.state, self.time = after, self.time + step
            self._shed()
        return self._touch()

    def _note(self, landing, after, step):
        """Keep the step in which the wheels touch; all are refined together at the end."""
        where = self.index[landing]
        self.before[:, where], self.after[:, where] = self.state[:, landing], after[:, landing]
        self.last_step[where], self.last_time[where] = step[landing], self.time[landing]

    def _touch(self):
        down = np.isfinite(self.last_step)
        plan, parameters, wind = (_of_cases(thing, down) for thing in self.everyone)
        ends = np.full((len(State._fields) + 1, down.size), np.nan)
        if down.any():
            pilot = self.make_pilot(plan, parameters, ARRAY)
            short, ends[:-1, down] = _to_the_ground(
                self.before[:, down],
                self.after[:, down],
                self.last_step[down],
                pilot,
                parameters,
                wind,
                ARRAY,
            )
            ends[-1, down] = self.last_time[down] + short
        return _touchdowns(State(*ends[:-1]), ends[-1], self.everyone[2])

    def _shed(self):
        flying = self.state[2] > 0.0
        if flying.size - np.count_nonzero(flying) <= SHED_SHARE * flying.size:
            return
        self.state, self.time = self.state[:, flying], self.time[flying]
        self.index = self.index[flying]
        self.plan, self.parameters, self.wind = (
            _of_cases(what, flying) for what in (self.plan, self.parameters, self.wind)
        )


def _shapes(*things):
    return (np.shape(v) for t in things for v in vars(t).values() if isinstance(v, np.ndarray))


def _lean(thing):
    """Put arrays into the batch's precision, and numbers that would widen them into floats."""

    def lean(value):
        if isinstance(value, np.ndarray) and value.ndim:
            return value.astype(PRECISION)
        return tuple(map(lean, value)) if isinstance(value, tuple) else float(value)

    return replace(thing, **{f.name: lean(getattr(thing, f.name)) for f in fields(thing)})


def _of_cases(thing, chosen):
    """Keep only some of the cases of a plan, an airplane or an air."""
    arrays = {
        f.name: getattr(thing, f.name)[chosen]
        for f in fields(thing)
        if isinstance(getattr(thing, f.name), np.ndarray) and getattr(thing, f.name).ndim
    }
    return replace(thing, **arrays) if arrays else thing


def _to_the_ground(before, after, step, pilot, parameters, wind, functions):
    """Shorten the step in which the wheels touch, by Newton's method on the height."""
    short = step * before[2] / (before[2] - after[2])
    for _ in range(3):
        end = rk4_step(derivatives, before, pilot, parameters, wind, short, functions)
        short = short - end[2] / (end[3] * functions.sin(end[4]))
    return short, rk4_step(derivatives, before, pilot, parameters, wind, short, functions)


def _touchdowns(state, time, wind):
    density = wind.density(0.0)
    return Touchdowns(
        x=state.x,
        y=state.y,
        time=time,
        true_airspeed=state.true_airspeed,
        calibrated_airspeed=state.true_airspeed * (density / SEA_LEVEL_DENSITY) ** 0.5,
        sink_rate=-state.true_airspeed * np.sin(state.path_angle),
        heading_deg=np.degrees(state.heading),
        bank_deg=np.degrees(state.bank),
    )


def _history(times, states, pilot, wind):
    rows = State(*np.array(states).T)
    held = _controls_along(rows, pilot, wind)
    return History(
        time=np.array(times),
        x=rows.x,
        y=rows.y,
        height=rows.height,
        true_airspeed=rows.true_airspeed,
        path_angle_deg=np.degrees(rows.path_angle),
        heading_deg=np.degrees(rows.heading),
        bank_deg=np.degrees(rows.bank),
        flap_deg=rows.flap_deg,
        flap_lever_deg=held.flap_deg,
        load_factor=held.load_factor,
        bank_rate_degps=np.degrees(held.bank_rate),
    )


def _controls_along(rows, pilot, wind):
    again = type(pilot)(pilot.plan, pilot.parameters, ARRAY)
    return again(rows, flow_at(rows, pilot.parameters, wind))
