"""What a test pilot would measure on the reference airplane."""

import math
from typing import NamedTuple

import numpy as np

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY as _SEA_LEVEL
from lessonkit.models.drag import lift_coefficient
from lessonkit.units import STANDARD_GRAVITY, m2_from_ft2, m_from_ft, mps_from_kt
from sixdof.autopilot import RIGHT_RUDDER, Autopilot, Wanted
from sixdof.reference import WING_AREA_FT2, Look

WING_AREA = m2_from_ft2(WING_AREA_FT2)
SETTLING = 14.0  # s; the propeller needs about ten from cruise to idle
ROLL_IN = 5.0  # s
INTO_STALL = -0.25  # m/s2, half a knot per second: a customary way into a measured stall
GLIDE_TIME, GLIDE_AVERAGED = 14.0, 3.0  # s at each speed, and the last part that counts
GLIDE_SPEEDS = tuple(mps_from_kt(kt) for kt in (82.0, 78.0, 74.0, 70.0, 66.0, 62.0, 58.0))
ALPHA_PAST_STALL = 0.285  # rad; lift turns over at 0.28
STALL_ABOUT = mps_from_kt(55.0)  # flaps up; where the search begins
TEST_HEIGHT = m_from_ft(3000.0)
LONG_GLIDE_SETTLING, LONG_GLIDE_ENTRY = 20.0, m_from_ft(400.0)  # s, m: before the watch is started
RPM_SETTLING = 25.0  # s at each speed


def fly(airplane, wanted_at, until, right_rudder=RIGHT_RUDDER, **start):
    """Fly what `wanted_at(look)` asks for until `until(look)`; a `Look` of arrays over time."""
    airplane.start(**start)
    autopilot = Autopilot(airplane.sticks, right_rudder)
    looks = [airplane.last]
    while not until(airplane.last):
        looks.append(airplane.step(autopilot.sticks(wanted_at(airplane.last), airplane.last)))
    return Look(*np.array(looks).T)


def coefficients(look, mass):
    """Lift coefficient, and drag coefficient of airplane and idling propeller together."""
    weight = mass * STANDARD_GRAVITY
    lift = lift_coefficient(look.load_factor, weight, _SEA_LEVEL, look.eas, WING_AREA)
    return lift, lift * -look.along / look.load_factor


def slowing(eas, rate, bank=0.0, flap_deg=0.0):
    """Settle at a speed, roll into a bank, then slow down at a rate."""

    def wanted_at(look):
        to_true = look.airspeed / look.eas
        slowed = max(look.time - SETTLING, 0.0)
        rolling = look.time < ROLL_IN
        return Wanted(
            airspeed=to_true * (eas + rate * slowed),
            airspeed_rate=to_true * rate if slowed else 0.0,
            bank=bank * min(look.time / ROLL_IN, 1.0),
            bank_rate=bank / ROLL_IN if rolling else 0.0,
            flap_deg=flap_deg,
        )

    return wanted_at


class Stall(NamedTuple):
    """A measured stall: where the lift coefficient was greatest. [SI, rad]"""

    eas: float
    load_factor: float
    bank: float
    alpha: float
    most_sideslip: float


def stall(airplane, mass, flap_deg=0.0, bank=0.0, about=STALL_ABOUT):
    """Slow down in a bank, at idle, until the lift turns over."""
    begin = 1.13 * about / math.sqrt(math.cos(bank))
    look = fly(
        airplane,
        slowing(begin, INTO_STALL, bank, flap_deg),
        lambda seen: seen.alpha > ALPHA_PAST_STALL or seen.time > 60.0,
        eas=begin,
        height=TEST_HEIGHT,
        flap_deg=flap_deg,
    )
    slow = Look(*(row[look.time > SETTLING] for row in look))
    lift, _ = coefficients(slow, mass)
    at = int(np.argmax(lift))
    return Stall(
        slow.eas[at],
        slow.load_factor[at],
        slow.bank[at],
        slow.alpha[at],
        np.abs(slow.beta[: at + 1]).max(),
    )


class Glides(NamedTuple):
    """Steady glides from fast to slow, arrays. [SI]"""

    eas: np.ndarray
    lift_coefficient: np.ndarray
    drag_coefficient: np.ndarray

    @property
    def ratio(self):
        return self.lift_coefficient / self.drag_coefficient

    def best(self):
        """Speed and ratio of the flattest of the glides."""
        at = int(np.argmax(self.ratio))
        return self.eas[at], self.ratio[at]


def glides(airplane, mass, flap_deg, speeds=GLIDE_SPEEDS):
    """Glide at idle, wings level, at one speed after the other."""

    def wanted_at(look):
        leg = int(max(look.time - SETTLING, 0.0) / GLIDE_TIME)
        speed = speeds[min(leg, len(speeds) - 1)]
        return Wanted(airspeed=speed * look.airspeed / look.eas, flap_deg=flap_deg)

    look = fly(
        airplane,
        wanted_at,
        lambda seen: seen.time > SETTLING + GLIDE_TIME * len(speeds),
        eas=speeds[0],
        height=TEST_HEIGHT,
        flap_deg=flap_deg,
    )
    lift, drag = coefficients(look, mass)
    rows = []
    for leg in range(len(speeds)):
        end = SETTLING + GLIDE_TIME * (leg + 1)
        steady = (look.time > end - GLIDE_AVERAGED) & (look.time <= end)
        rows.append([np.mean(row[steady]) for row in (look.eas, lift, drag)])
    return Glides(*np.array(rows).T)


def timed_glide(airplane, eas, height_lost, flap_deg=0.0):
    """Seconds for a loss of height in a steady glide at idle, and the height half-way. [SI]"""

    def wanted_at(look):
        return Wanted(airspeed=eas * look.airspeed / look.eas, flap_deg=flap_deg)

    top = TEST_HEIGHT + height_lost
    look = fly(
        airplane,
        wanted_at,
        lambda seen: seen.time > LONG_GLIDE_SETTLING and seen.height < TEST_HEIGHT,
        eas=eas,
        height=top + LONG_GLIDE_ENTRY,
        flap_deg=flap_deg,
    )
    begin, end = (np.interp(-height, -look.height, look.time) for height in (top, TEST_HEIGHT))
    return float(end - begin), TEST_HEIGHT + 0.5 * height_lost


def rpm_at(airplane, throttle, speeds):
    """RPM after half a minute at each speed with the throttle left alone."""

    def wanted_at(look):
        eas = speeds[min(int(look.time / RPM_SETTLING), len(speeds) - 1)]
        return Wanted(airspeed=eas * look.airspeed / look.eas)

    airplane.start(eas=speeds[0], height=TEST_HEIGHT)
    airplane["fcs/throttle-cmd-norm"] = throttle
    autopilot, found = Autopilot(airplane.sticks), []
    while len(found) < len(speeds):
        airplane.step(autopilot.sticks(wanted_at(airplane.last), airplane.last))
        if airplane.time >= RPM_SETTLING * (len(found) + 1):
            found.append(airplane["propulsion/engine/propeller-rpm"])
    return found
