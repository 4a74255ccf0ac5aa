"""From speed and power to the pedal that is needed, and to what follows when the feet come off."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY, standard_density
from lessonkit.models.lateral_motion import LateralControls, LateralState
from lessonkit.models.lateral_run import LateralRun, lateral_run
from lessonkit.models.propeller_yaw import power_effects
from lessonkit.models.steady_flight import SteadyFlight
from lessonkit.models.steady_sideslip import rudder_to_hold_straight, steady_straight
from lessonkit.models.yaw_parts import YawParts, yaw_parts
from lessonkit.units import mps_from_kt

STEP = 0.05  # s
DURATION = 8.0  # s
OFF_AT = 1.0  # s: the feet come off
WATCHED = 3.0  # s after that, over which the swing is told
FEET = ("held", "off")
POWERS = (1.0, 0.5, 0.0)  # of the curves that are always drawn
SLOWEST, FASTEST = 1.1, 2.2  # of the stall speed, flaps up
SLOWEST_GLIDE, FASTEST_GLIDE = 0.8, 1.6  # of the best-glide speed, where no stall may be stated
START_SPEED, START_SPEED_GLIDE = 1.25, 0.9  # slow climb
CURVE_POINTS = 41


@dataclass(frozen=True)
class PowerFlight:
    """What a speed and a power ask of the feet, and the seconds that follow."""

    values: dict[str, Any]
    held: SteadyFlight  # nose straight, no sideslip
    run: LateralRun
    parts: YawParts  # arrays over time, shares of full pedal; pedal counted from the middle
    speeds: np.ndarray  # CAS of the curve [m/s]
    curve: np.ndarray  # pedal needed at those speeds and this power
    slipstream_share: float  # of the propeller's yaw; NaN without power
    at: int  # sample of the moment shown

    @property
    def needed(self) -> float:
        """Pedal that holds the nose straight, + right."""
        return float(self.held.rudder)

    @property
    def swing_deg(self) -> float:
        """Heading some seconds after the feet came off, + right."""
        return float(np.interp(OFF_AT + WATCHED, self.run.time, self.run.heading_deg))

    @property
    def wing_deg(self) -> float:
        """Bank at that moment less the bank before, + right wing down."""
        bank = np.interp(OFF_AT + WATCHED, self.run.time, self.run.bank_deg)
        return float(bank - self.run.bank_deg[0])


class PowerBench:
    """The learner's airplane at any speed and power; remembers what it has flown."""

    def __init__(self, context):
        airplane = context.airplane
        self.lateral = airplane.lateral()
        stall, glide = airplane.stall_cas(0.0), airplane.best_glide_cas()
        if stall is None:
            self.slowest, self.fastest = SLOWEST_GLIDE * glide, FASTEST_GLIDE * glide
            speed = START_SPEED_GLIDE * glide
        else:
            self.slowest, self.fastest = SLOWEST * stall, FASTEST * stall
            speed = START_SPEED * stall
        knot = mps_from_kt(1.0)
        self.start = {
            "speed": knot * round(speed / knot),
            "power": 1.0,
            "feet": "held",
            "moment": OFF_AT + WATCHED,
            "altitude": 0.0,
        }
        self.speeds = np.linspace(self.slowest, self.fastest, CURVE_POINTS)
        self._flown: PowerFlight | None = None
        self._curves: dict[tuple[float, float], np.ndarray] = {}

    def compute(self, values: dict[str, Any]) -> PowerFlight:
        """Fly the settings, or take the flight before where only the moment shown moved."""
        flown = self._flown
        if flown is None or any(values[k] != flown.values[k] for k in values if k != "moment"):
            flown = self._fly(values)
        at = int(np.clip(round(values["moment"] / STEP), 0, flown.run.time.size - 1))
        self._flown = replace(flown, values=dict(values), at=at)
        return self._flown

    def curve(self, power: float, altitude: float) -> np.ndarray:
        """Return the pedal needed over the bench's speeds, at a power and an altitude."""
        key = (power, altitude)
        if key not in self._curves:
            if len(self._curves) > 60:
                self._curves.clear()
            density = standard_density(altitude)
            tas = _tas(self.speeds, density)
            self._curves[key] = rudder_to_hold_straight(self.lateral, tas, density, power)
        return self._curves[key]

    def _fly(self, values):
        airplane, power = self.lateral, values["power"]
        density = float(standard_density(values["altitude"]))
        tas = float(_tas(values["speed"], density))
        held = steady_straight(airplane, tas, density, power)
        time = np.arange(0.0, DURATION + 0.5 * STEP, STEP)
        rudder = np.full(time.size, held.rudder)
        if values["feet"] == "off":
            # back to the middle as fast as feet can leave the pedals
            gone = airplane.rudder_rate * np.clip(time - OFF_AT, 0.0, None)
            rudder = np.sign(held.rudder) * np.clip(abs(held.rudder) - gone, 0.0, None)
        run = lateral_run(airplane, held.aileron, rudder, tas, density, power, STEP, held.state)
        state = (run.sideslip_deg, run.roll_rate_deg, run.yaw_rate_deg, run.bank_deg)
        rows = LateralState(*(np.radians(row) for row in (*state, run.heading_deg)))
        controls = LateralControls(run.aileron, run.rudder, tas, density, power)
        return PowerFlight(
            values=dict(values),
            held=held,
            run=run,
            parts=yaw_parts(airplane, rows, controls),
            speeds=self.speeds,
            curve=self.curve(power, values["altitude"]),
            slipstream_share=_slipstream_share(airplane, held, tas, density, power),
            at=0,
        )


def _tas(cas, density):
    return cas * np.sqrt(SEA_LEVEL_DENSITY / density)


def _slipstream_share(airplane, held, tas, density, power):
    if airplane.propeller is None or not power > 0.0:
        return float("nan")
    alpha = airplane.alpha(held.lift_coefficient)
    effects = power_effects(airplane.propeller, tas, density, power, alpha)
    return float(effects.slipstream / effects.yaw)
