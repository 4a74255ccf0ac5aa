"""The same roll at many speeds: what the feet need, and what shows when they stay still."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.lateral_motion import STRAIGHT
from lessonkit.models.lateral_run import bank_run, lateral_run
from lessonkit.models.numeric import smooth_step
from lessonkit.models.steady_sideslip import steady_straight
from lessonkit.words import from_shown, to_shown

STEP = 0.05  # s
BEGIN, AFTER = 0.2, 0.9  # s of flight before and after the roll
SLOWEST, FASTEST = 1.05, 2.25  # of the stall speed, flaps up
SLOWEST_GLIDE, FASTEST_GLIDE = 0.8, 1.65  # of the best-glide speed, where no stall may be stated
AT_THE_STOP = 0.999  # of full travel
START = 1.2  # of the slowest
FEW, FULL = 4, 9  # speeds flown
PER_STEP = 3  # of them before the picture is shown again
SETTINGS = ("bank", "time", "power")
CUES = ("sideslip", "swing", "pedal", "ball", "load", "per_degree")


def _whole(speed, preferences):
    """Return the speed whose number is whole where it is shown: texts and slider then agree."""
    return float(from_shown(round(to_shown(speed, "speed", preferences)), "speed", preferences))


@dataclass(frozen=True)
class Demand:
    """What one roll asks for and shows, over speeds.

    Parameters
    ----------
    speed : array
        CAS, rising; the last is the one that all else is held against. [m/s]
    cues : dict of str to array
        "sideslip", "swing" of the nose, "ball" [deg] and "load" of the seat [g], feet still,
        greatest of the run; "pedal" per aileron for zero sideslip [-]; "per_degree", the seat's
        load for each degree of sideslip [g/deg]. NaN where full aileron does not fly the roll,
        and for "pedal" where full pedal does not keep it clean.
    seen : dict of str to array
        "bank_deg" and "heading_deg" when the nose is farthest off, and "ball_deg" at its own
        farthest, feet still: what the view shows is what the cues are made of.
    full_pedal, full_aileron : array of bool
        Where the clean roll takes all there is.
    """

    speed: np.ndarray
    cues: dict[str, np.ndarray]
    seen: dict[str, np.ndarray]
    full_pedal: np.ndarray
    full_aileron: np.ndarray

    def growth(self, cue: str, speed: float | None = None):
        """Return a cue over its own value at the fastest speed: at a speed, or as a curve.

        NaN next to a speed at which the roll cannot be flown.
        """
        own = self.cues[cue] / self.cues[cue][-1]
        return own if speed is None else float(np.interp(speed, self.speed, own))


class DemandBench:
    """The learner's airplane, ready to fly one roll at many speeds."""

    def __init__(self, context):
        airplane = context.airplane
        self.lateral = airplane.lateral()
        self.stall, glide = airplane.stall_cas(0.0), airplane.best_glide_cas()
        warning = airplane.card.value("stall_warning.margin")
        known = self.stall is not None and warning is not None
        self.warning = self.stall + warning if known else None
        if self.stall is None:
            self.slowest, self.fastest = SLOWEST_GLIDE * glide, FASTEST_GLIDE * glide
        else:
            self.slowest, self.fastest = SLOWEST * self.stall, FASTEST * self.stall
        self.slowest, speed, self.fastest = (
            _whole(value, context.preferences)
            for value in (self.slowest, START * self.slowest, self.fastest)
        )
        self.start = {
            "speed": speed,
            "bank": 15.0,
            "time": 2.5,
            "power": 0.3,
        }
        self._flown: dict[tuple, Demand] = {}

    def draft(self, values: dict[str, Any]) -> Demand:
        """Fly a few speeds, or take what was flown for these settings before."""
        key = self._key(values)
        found = self._flown.get((key, FULL)) or self._flown.get((key, FEW))
        return found or list(self._fly(values, FEW))[-1]

    def full(self, values: dict[str, Any]) -> Iterator[Demand]:
        """Fly all speeds, in steps between which it can be given up."""
        known = self._flown.get((self._key(values), FULL))
        draft = known or self.draft(values)
        for demand in [known] if known else self._fly(values, FULL):
            yield demand or draft

    def _key(self, values):
        return tuple(values[name] for name in SETTINGS)

    def _fly(self, values, count):
        """Fly so many speeds; yields None while it is under way, the whole at the end."""
        speeds = np.geomspace(self.slowest, self.fastest, count)
        rows = []
        for index, speed in enumerate(speeds):
            rows.append(self._one(values, float(speed)))
            if index % PER_STEP == PER_STEP - 1 and index < count - 1:
                yield None
        table = {key: np.array([row[key] for row in rows]) for key in rows[0]}
        demand = Demand(
            speeds,
            {key: table[key] for key in CUES},
            {key: table[key] for key in ("bank_deg", "heading_deg", "ball_deg")},
            table["full_pedal"],
            table["full_aileron"],
        )
        if len(self._flown) > 20:
            self._flown.clear()
        self._flown[self._key(values), count] = demand
        yield demand

    def _one(self, values, tas):
        """Roll once with clean feet, then with the same hands and still feet."""
        airplane, power, density = self.lateral, values["power"], SEA_LEVEL_DENSITY
        straight = steady_straight(airplane, tas, density, power)
        tilt, held = float(straight.bank_deg), float(straight.rudder)
        start = STRAIGHT._replace(bank=np.radians(tilt))
        time = np.arange(0.0, BEGIN + values["time"] + AFTER, STEP)
        wanted = tilt + values["bank"] * smooth_step(time, BEGIN, BEGIN + values["time"])
        clean = bank_run(airplane, wanted, tas, density, power, STEP, start)
        still = lateral_run(airplane, clean.aileron, held, tas, density, power, STEP, start)
        aileron = np.abs(clean.aileron - float(straight.aileron)).max()
        pedal = np.abs(clean.rudder - held).max()
        off = int(np.argmin(still.heading_deg))
        sideslip, load = still.sideslip_deg.max(), -still.lateral_load.min()
        full_pedal = bool(np.abs(clean.rudder).max() >= AT_THE_STOP)
        full_aileron = bool(np.abs(clean.aileron).max() >= AT_THE_STOP)
        flown = np.nan if full_aileron else 1.0  # else it is not the same roll
        return {
            "sideslip": flown * sideslip,
            "swing": -flown * still.heading_deg[off],
            "pedal": np.nan if full_pedal else flown * pedal / aileron,
            "ball": flown * still.ball_deg.max(),
            "load": flown * load,
            "per_degree": flown * load / sideslip,
            "bank_deg": still.bank_deg[off],
            "heading_deg": still.heading_deg[off],
            "ball_deg": still.ball_deg.max(),
            "full_pedal": full_pedal,
            "full_aileron": full_aileron,
        }
