"""An autopilot for the reference airplane: speed by elevator, bank by aileron, no sideslip."""

import math
from typing import NamedTuple

from lessonkit.units import STANDARD_GRAVITY
from sixdof.reference import STEP, Sticks

# Rudder command + is nose LEFT in this file, while sideslip + is wind from the right: the nose
# has to go right, so the command is negative. The wrong sign shows no error, only a slip.
RIGHT_RUDDER = -1.0

SPEED_TIME, PATH_TIME, BANK_TIME = 1.5, 0.8, 0.7  # s, how fast an error is taken out
STEEPEST, ALMOST_LEVEL = math.radians(-40.0), math.radians(3.0)  # path angles asked for
ROLL_LIMIT = math.radians(25.0)  # per s
LOAD_FACTORS = 0.3, 2.6


class Wanted(NamedTuple):
    """What the autopilot is to fly. [SI, rad; flap lever in deg]

    Either a speed with its rate of change, or a path angle, or a load factor.
    """

    airspeed: float = 0.0
    airspeed_rate: float = 0.0
    bank: float = 0.0
    bank_rate: float = 0.0
    flap_deg: float = 0.0
    path_angle: float | None = None
    load_factor: float | None = None


class Autopilot:
    """Controls from what an instrumented airplane shows."""

    def __init__(self, sticks, right_rudder=RIGHT_RUDDER):
        self.elevator = sticks.elevator  # what holds the airplane in trim
        self.aileron = self.aileron_now = self.rudder = 0.0
        self.right_rudder = right_rudder

    def sticks(self, wanted, seen):
        """Return where the controls go for one step."""
        return Sticks(
            aileron=self._aileron(wanted, seen),
            elevator=self._elevator(wanted, seen),
            rudder=self._rudder(wanted, seen),
            flap_deg=wanted.flap_deg,
        )

    def _elevator(self, wanted, seen):
        turning = STANDARD_GRAVITY * math.sin(seen.bank) / seen.airspeed
        pitching = seen.q - turning * math.sin(seen.bank)
        error = self._load_factor(wanted, seen) - seen.load_factor
        self.elevator = _within(self.elevator - 1.6 * error * STEP, 1.0)
        return _within(self.elevator - 0.25 * error + 0.4 * pitching, 1.0)

    def _load_factor(self, wanted, seen):
        """Pull that leads the path to where the speed is held by gravity."""
        if wanted.load_factor is not None:
            return wanted.load_factor
        path = wanted.path_angle
        if path is None:
            change = wanted.airspeed_rate + (wanted.airspeed - seen.airspeed) / SPEED_TIME
            sine = seen.along - change / STANDARD_GRAVITY
            path = min(max(sine, STEEPEST), ALMOST_LEVEL)
        rate = (path - seen.path_angle) / PATH_TIME
        pull = math.cos(seen.path_angle) + seen.airspeed / STANDARD_GRAVITY * rate
        return min(max(pull / math.cos(seen.bank), LOAD_FACTORS[0]), LOAD_FACTORS[1])

    def _aileron(self, wanted, seen):
        rate = _within(wanted.bank_rate + (wanted.bank - seen.bank) / BANK_TIME, ROLL_LIMIT)
        error = rate - self._bank_rate(seen)
        self.aileron = _within(self.aileron + 2.0 * error * STEP, 1.0)
        self.aileron_now = _within(self.aileron + 1.2 * rate + 2.0 * error, 1.0)
        return self.aileron_now

    @staticmethod
    def _bank_rate(seen):
        """Rate of the bank about the path; in a descending turn that is not the roll rate."""
        about_path = seen.p * math.cos(seen.alpha) + seen.r * math.sin(seen.alpha)
        turning = STANDARD_GRAVITY * math.tan(seen.bank) / seen.airspeed
        return about_path + turning * math.sin(seen.path_angle)

    def _rudder(self, wanted, seen):
        """Rudder that keeps the sideslip at zero.

        It leads: for the turn that begins or ends, and against the yaw that the roll rate and the
        ailerons make.
        """
        turn_change = STANDARD_GRAVITY * math.cos(seen.bank) * wanted.bank_rate / seen.airspeed
        lead = 1.6 * turn_change + 0.35 * seen.p + 0.12 * self.aileron_now
        self.rudder = _within(self.rudder + 6.0 * seen.beta * STEP, 1.0)
        return _within(self.right_rudder * (self.rudder + lead + 10.0 * seen.beta), 1.0)


def _within(value, limit):
    return min(max(value, -limit), limit)
