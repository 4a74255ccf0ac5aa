"""The same power-off approach twice: by the kit's point mass and by the reference airplane."""

import math
from dataclasses import dataclass, replace

import numpy as np

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.motion import rk4_step
from lessonkit.models.numeric import SCALAR
from lessonkit.models.point_mass import GRAVITY, Controls, State, derivatives, drag_force, flow_at
from lessonkit.models.power_off_approach import fly, start_state
from lessonkit.models.power_off_pilot import PowerOffPilot
from lessonkit.units import m_from_ft, mps_from_kt
from sixdof.autopilot import Autopilot, Wanted
from sixdof.reference import Look

LONG_SETTLING = 20.0  # s, for propeller, wind and heading
SETTLING_LOSS = m_from_ft(300.0)  # about what the airplane loses while the propeller slows down
LEVELLING_LOSS = mps_from_kt(3.0)  # of speed, while it levels off
LONGEST = 400.0  # s


@dataclass(frozen=True)
class Descent:
    """An approach from abeam down to the round-out height, arrays over time. [SI, rad, deg]"""

    time: np.ndarray
    x: np.ndarray
    y: np.ndarray
    height: np.ndarray
    cas: np.ndarray
    bank: np.ndarray
    bank_rate: np.ndarray
    flap_deg: np.ndarray


def path_length(flown):
    """Length of the way over the ground."""
    return float(np.hypot(np.diff(flown.x), np.diff(flown.y)).sum())


def point_mass_descent(plan, parameters, wind):
    """The kit's approach, cut off at the round-out height."""
    history = fly(plan, parameters, wind).history
    low = int(np.argmax(history.height <= plan.round_out_height))
    if not low:
        raise ValueError("the approach does not come down to the round-out height")
    share = (history.height[low - 1] - plan.round_out_height) / (
        history.height[low - 1] - history.height[low]
    )

    def cut(row):
        return np.append(row[:low], row[low - 1] + share * (row[low] - row[low - 1]))

    to_cas = np.sqrt(wind.density(history.height) / SEA_LEVEL_DENSITY)
    return Descent(
        cut(history.time),
        cut(history.x),
        cut(history.y),
        cut(history.height),
        cut(history.true_airspeed * to_cas),
        np.radians(cut(history.bank_deg)),
        np.radians(cut(history.bank_rate_degps)),
        cut(history.flap_deg),
    )


def level_at_idle(airplane, plan, wind):
    """Bring the reference airplane abeam: on its track, level, the propeller at idle.

    Returns the autopilot and the plan with the height and the speed that it really has there.
    """
    heading = start_state(plan, wind)[5]
    airplane.start(
        plan.entry_cas + LEVELLING_LOSS,
        plan.abeam_height + SETTLING_LOSS,
        plan.downwind_flap_deg,
        wind,
        float(heading),
    )
    autopilot, seen = Autopilot(airplane.sticks), airplane.last
    while seen.time < LONG_SETTLING or seen.path_angle < 0.0:
        speed = (plan.entry_cas + LEVELLING_LOSS) * seen.airspeed / seen.eas
        path = math.radians(1.0) if seen.time >= LONG_SETTLING else None
        off = math.remainder(heading - seen.heading, 2.0 * math.pi)
        wanted = Wanted(speed, bank=off, flap_deg=plan.downwind_flap_deg, path_angle=path)
        seen = airplane.step(autopilot.sticks(wanted, seen))
    return autopilot, replace(plan, abeam_height=seen.height, entry_cas=seen.eas)


def reference_descent(airplane, autopilot, schedule, plan):
    """Fly bank, speed and flaps against time as the schedule has them.

    Ends at the round-out height. If the schedule ends earlier, its last speed and flaps are kept.
    """
    airplane.time, airplane.x, airplane.y = 0.0, schedule.x[0], schedule.y[0]
    airplane.last = airplane.look()
    times = schedule.time
    rates = np.gradient(schedule.cas, times)
    looks = [airplane.last]
    while airplane.last.height > plan.round_out_height and airplane.time < LONGEST:
        seen = airplane.last
        over = seen.time > times[-1]
        to_true = seen.airspeed / seen.eas
        wanted = Wanted(
            airspeed=to_true * np.interp(seen.time, times, schedule.cas),
            airspeed_rate=0.0 if over else to_true * np.interp(seen.time, times, rates),
            bank=np.interp(seen.time, times, schedule.bank),
            bank_rate=0.0 if over else np.interp(seen.time, times, schedule.bank_rate),
            flap_deg=np.interp(seen.time, times, schedule.flap_deg),
        )
        looks.append(airplane.step(autopilot.sticks(wanted, seen)))
    return Look(*np.array(looks).T)


def reference_touchdown(airplane, autopilot, plan, parameters, wind):
    """Round out and hold off with the pull of the kit's own pilot, wings level, to the ground.

    Below the round-out height speed follows height, so both airplanes have the same pilot there
    instead of the same schedule. Returns what was seen on the way.
    """
    pilot = PowerOffPilot(plan, parameters, SCALAR)
    looks = [airplane.last]
    while airplane.last.height > 0.0 and airplane.time < LONGEST:
        seen = airplane.last
        state = State(
            *(seen.x, seen.y, seen.height, seen.airspeed),
            *(seen.path_angle, seen.heading, seen.bank, seen.flap_deg),
        )
        pull = pilot(state, flow_at(state, parameters, wind, SCALAR)).load_factor
        wanted = Wanted(flap_deg=plan.final_flap_deg, load_factor=pull)
        looks.append(airplane.step(autopilot.sticks(wanted, seen)))
    return Look(*np.array(looks).T)


def reference_approach(airplane, plan, parameters, wind):
    """Fly a whole approach with the kit's own pilot in the reference airplane, down to the ground.

    The pilot sees place, height, speed and track, and asks for pull, rate of roll and flaps; he
    thinks of the drag of `parameters`. Returns the plan with the height and the speed that the
    airplane really had abeam, the last moment, and the greatest sideslip on the way.
    """
    autopilot, plan = level_at_idle(airplane, plan, wind)
    airplane.time, airplane.x, airplane.y = 0.0, plan.mark_x, -plan.side * plan.abeam_distance
    airplane.last = airplane.look()
    pilot = PowerOffPilot(plan, parameters, SCALAR)
    heading, most_slip = float(start_state(plan, wind)[5]), 0.0
    while airplane.last.height > 0.0 and airplane.time < LONGEST:
        seen = airplane.last
        heading += math.remainder(seen.heading - heading, 2.0 * math.pi)  # without a jump
        state = State(
            *(seen.x, seen.y, seen.height, seen.airspeed),
            *(seen.path_angle, heading, seen.bank, seen.flap_deg),
        )
        held = pilot(state, flow_at(state, parameters, wind, SCALAR))
        wanted = Wanted(
            bank=seen.bank,
            bank_rate=held.bank_rate,
            flap_deg=held.flap_deg,
            load_factor=held.load_factor,
        )
        most_slip = max(most_slip, abs(airplane.step(autopilot.sticks(wanted, seen)).beta))
    return plan, airplane.last, most_slip


class _Follower:
    """Pilot of the point mass who keeps to a speed, a bank and a flap angle against time."""

    quick = 0.4  # s, how fast a difference is taken out

    def __init__(self, flown, parameters):
        self.flown, self.parameters = flown, parameters
        self.speed_rate = np.gradient(flown.airspeed, flown.time)
        self.bank_rate = np.gradient(flown.bank, flown.time)
        self.time = 0.0

    def _now(self, row):
        return float(np.interp(self.time, self.flown.time, row))

    def __call__(self, state, flow):
        speed = state.true_airspeed
        change = self._now(self.speed_rate)
        change += (self._now(self.flown.airspeed) - speed) / self.quick
        shear = speed * flow.sin_path * flow.wind_slope * flow.wind_ahead * flow.cos_path
        pull = flow.cos_path / flow.cos_bank
        drag = drag_force(pull, flow, self.parameters) / self.parameters.weight
        path = math.asin(-drag - (change + shear) / GRAVITY)
        path_rate = (path - state.path_angle) / self.quick
        return Controls(
            load_factor=(flow.cos_path + speed / GRAVITY * path_rate) / flow.cos_bank,
            bank_rate=self._now(self.bank_rate)
            + (self._now(self.flown.bank) - state.bank) / self.quick,
            flap_deg=self._now(self.flown.flap_deg),
            thrust=0.0,
        )


def fed_heights(flown, parameters, wind, step=0.05):
    """Heights of the kit's point mass with the speed, bank and flap histories of a flight.

    One for each moment of the flight. Flaps stand where the flight has them, without the lag
    that the kit's lever has.
    """
    pilot = _Follower(flown, parameters)
    state = [
        *(row[0] for row in (flown.x, flown.y, flown.height, flown.airspeed)),
        *(row[0] for row in (flown.path_angle, flown.heading, flown.bank, flown.flap_deg)),
    ]
    times, heights = [0.0], [state[2]]
    while times[-1] < flown.time[-1]:
        pilot.time = times[-1] + 0.5 * step
        state = rk4_step(derivatives, state, pilot, parameters, wind, step, SCALAR)
        times.append(times[-1] + step)
        state[7] = float(np.interp(times[-1], flown.time, flown.flap_deg))
        heights.append(state[2])
    return np.interp(flown.time, times, heights)
