"""From the roll-in bench's settings to a flown roll-in, its clean reference and its causes."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.lateral_motion import STRAIGHT, LateralControls, LateralState
from lessonkit.models.lateral_run import LateralRun, coordinated_run, lateral_run
from lessonkit.models.steady_sideslip import steady_straight
from lessonkit.models.yaw_parts import YawParts, yaw_parts
from lessonkit.units import mps_from_kt

STEP = 0.05  # s
DURATION = 5.0  # s
BEGIN = 0.5  # s of straight flight before the hands move
SLOWEST, FASTEST = 1.1, 2.2  # of the stall speed, flaps up
SLOWEST_GLIDE, FASTEST_GLIDE = 0.8, 1.6  # of the best-glide speed, where no stall may be stated
START_SPEED, START_SPEED_GLIDE = 1.3, 0.95
USUAL = 0.6  # of full aileron: a roll-in for which the moment shown first is chosen
START_POWER = 0.3  # about what level flight takes at that speed
SEEN_SWING_DEG = 0.3  # a smaller swing of the nose is none


@dataclass(frozen=True)
class RollIn:
    """One roll-in and what is shown of it; shares and angles as in ``LateralRun``."""

    values: dict[str, Any]
    run: LateralRun
    clean: LateralRun  # same aileron, feet that keep the sideslip at zero
    held: tuple[float, float]  # aileron and rudder that held the nose straight before
    parts: YawParts  # arrays over time
    wrong_way: int  # sample at which the nose is farthest off to the wrong side
    swing_deg: float  # how far it goes there, 0 or more [deg]
    at: int  # sample of the moment shown
    stalled: bool  # a level turn at the steepest bank asks for more than the wing gives

    @property
    def rolling(self) -> np.ndarray:
        """True at the samples at which the hands hold aileron, or have just let it go."""
        lasts = self.values["hold"] + 2.0 * self.values["aileron_time"]
        return (self.run.time >= BEGIN) & (self.run.time <= BEGIN + lasts)

    @property
    def side(self) -> int:
        """1 for a roll to the right, -1 to the left, 0 without aileron."""
        return int(np.sign(round(self.values["aileron"], 3)))


class RollInBench:
    """The learner's airplane, ready to roll as the controls ask."""

    def __init__(self, context):
        airplane = context.airplane
        self.lateral = airplane.lateral()
        stall, glide = airplane.stall_cas(0.0), airplane.best_glide_cas()
        if stall is None:
            limits = (SLOWEST_GLIDE * glide, START_SPEED_GLIDE * glide, FASTEST_GLIDE * glide)
        else:
            limits = (SLOWEST * stall, START_SPEED * stall, FASTEST * stall)
        self.slowest, speed, self.fastest = limits
        knot = mps_from_kt(1.0)
        self.start = {
            "aileron": 0.0,  # a quiet start: the answer must not be seen before the question
            "aileron_time": 0.4,
            "rudder": 0.0,
            "lag": 0.0,
            "speed": knot * round(speed / knot),
            "hold": 0.8,
            "power": START_POWER,
            "curves": "ball",
            "moment": BEGIN,
        }
        self._flown: RollIn | None = None
        self.start["moment"] = STEP * _on_the_way(self._fly({**self.start, "aileron": USUAL}))

    def compute(self, values: dict[str, Any]) -> RollIn:
        """Fly the settings, or take the flight before where only the moment shown moved."""
        flown = self._flown
        if flown is None or _differ(values, flown.values, skip=("moment", "curves")):
            flown = self._fly(values)
        at = int(np.clip(round(values["moment"] / STEP), 0, flown.run.time.size - 1))
        self._flown = replace(flown, values=dict(values), at=at)
        return self._flown

    def _fly(self, values):
        airplane, tas, power = self.lateral, values["speed"], values["power"]
        density = SEA_LEVEL_DENSITY
        straight = steady_straight(airplane, tas, density, power)
        held = (float(straight.aileron), float(straight.rudder))
        start = STRAIGHT._replace(bank=np.radians(float(straight.bank_deg)))
        time = np.arange(0.0, DURATION + 0.5 * STEP, STEP)
        shape = _in_and_out(time - BEGIN, values["aileron_time"], values["hold"])
        aileron = np.clip(held[0] + values["aileron"] * shape, -1.0, 1.0)
        late = _in_and_out(time - BEGIN - values["lag"], values["aileron_time"], values["hold"])
        rudder = np.clip(held[1] + values["rudder"] * late, -1.0, 1.0)
        run = lateral_run(airplane, aileron, rudder, tas, density, power, STEP, start)
        clean = self._clean(values, aileron, density, start)
        side = np.sign(values["aileron"]) or np.sign(values["rudder"])
        rolling = time <= BEGIN + values["hold"] + 3.0 * values["aileron_time"] + 1.0
        off = np.where(rolling, -side * run.heading_deg, -np.inf)
        worst = int(np.argmax(off))
        swing = max(float(off[worst]), 0.0)
        return RollIn(
            values=dict(values),
            run=run,
            clean=clean,
            held=held,
            parts=_parts(airplane, run, density, held[1]),
            wrong_way=worst if swing > SEEN_SWING_DEG else int(round((BEGIN + 1.0) / STEP)),
            swing_deg=swing if swing > SEEN_SWING_DEG else 0.0,
            at=0,
            stalled=self._stalled(run, tas, density),
        )

    def _clean(self, values, aileron, density, start):
        """Fly clean feet, or take those before where only the learner's feet changed."""
        flown = self._flown
        feet = ("moment", "curves", "rudder", "lag")
        if flown is not None and not _differ(values, flown.values, skip=feet):
            return flown.clean
        tas, power = values["speed"], values["power"]
        return coordinated_run(self.lateral, aileron, tas, density, power, STEP, start)

    def _stalled(self, run, tas, density):
        steepest = np.radians(min(float(np.abs(run.bank_deg).max()), 60.0))
        cl = self.lateral.lift_coefficient(tas, density, 1.0 / np.cos(steepest))
        return bool(cl > self.lateral.cl_max)


def _on_the_way(flight):
    """Return the sample at which the nose is half as far off as it will get, and still pulled."""
    off = -flight.side * flight.run.heading_deg[: flight.wrong_way + 1]
    return int(np.argmax(off >= 0.5 * flight.swing_deg))


def _differ(values, before, skip):
    return any(values[key] != before[key] for key in values if key not in skip)


def _in_and_out(time, take, hold):
    """Return the shape of a hand: in over `take` seconds, held, out again; 0 to 1."""
    inward = np.clip(time / take, 0.0, 1.0)
    outward = np.clip((time - take - hold) / take, 0.0, 1.0)
    return inward - outward


def _parts(airplane, run, density, held_rudder):
    state = LateralState(
        *(
            np.radians(row)
            for row in (
                run.sideslip_deg,
                run.roll_rate_deg,
                run.yaw_rate_deg,
                run.bank_deg,
                run.heading_deg,
            )
        )
    )
    controls = LateralControls(run.aileron, run.rudder, run.tas, density, run.power)
    return yaw_parts(airplane, state, controls, held_rudder)
