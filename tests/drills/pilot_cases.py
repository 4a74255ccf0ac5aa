"""Synthetic pilots with known faults, and the invented airplanes that they fly."""

import functools
from dataclasses import dataclass, replace

import numpy as np

from lessonkit.airplane import built_in_cards, fit_airplane
from lessonkit.drills.advice import advice
from lessonkit.drills.diagnosis import ENOUGH, WANDERING, diagnose
from lessonkit.drills.felt import felt
from lessonkit.drills.rhythm import power_changes, rolls
from lessonkit.drills.score import score
from lessonkit.drills.synthetic_pilots import SyntheticPilot
from lessonkit.drills.trace import Trace
from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.lateral_feet import aileron_toward
from lessonkit.models.lateral_motion import (
    STRAIGHT,
    LateralControls,
    derivatives,
    limited_share,
)
from lessonkit.models.lateral_run import STEP, LateralRun, bank_run
from lessonkit.models.motion import rk4_step
from lessonkit.models.numeric import SCALAR
from lessonkit.units import mps_from_kt

AIRPLANES = ("high_wing_four_seat", "low_wing_four_seat", "two_seat")
SPEEDS_KT = (65.0, 90.0)
BANK_DEG = 15.0
POWER = 0.45
FAULTS = ("coordinated", "late", "early", "amount", "one_sided", "hunting", "still", "held_in")


@dataclass(frozen=True)
class Course:
    """One rhythm in one airplane at one speed, with its two yardsticks."""

    airplane: object
    tas: float
    bank_deg: np.ndarray
    coordinated: LateralRun
    trim: float  # rudder of the first moment: the feet count from there

    @property
    def needed(self):
        """What the feet have to do."""
        return self.coordinated.rudder - self.trim

    @functools.cached_property
    def still(self):
        """The sideslip with feet still."""
        return self.fly(np.zeros(self.bank_deg.size))

    def fly(self, rudder):
        """Fly the rhythm with given feet; the hands hold the banks whatever the feet do."""
        bank = np.radians(self.bank_deg)
        rate = np.gradient(bank, STEP)
        wanted = zip(bank, rate, np.gradient(rate, STEP), strict=True)
        state, aileron, used = list(STRAIGHT), float(self.coordinated.aileron[0]), self.trim
        rows = np.empty((bank.size, 3))
        airplane = self.airplane
        for row, asked, foot in zip(rows, wanted, rudder, strict=True):
            now = LateralControls(aileron, used, self.tas, SEA_LEVEL_DENSITY, POWER)
            hand = aileron_toward(airplane, state, now, asked)
            aileron = limited_share(aileron, hand, STEP * airplane.aileron_rate)
            used = limited_share(used, foot + self.trim, STEP * airplane.rudder_rate)
            now = now._replace(aileron=aileron, rudder=used)
            row[:] = used - self.trim, np.degrees(state[0]), np.degrees(state[3])
            state = rk4_step(derivatives, state, now, airplane, None, STEP, SCALAR)
        columns = dict(zip(("rudder", "sideslip_deg", "bank_deg"), rows.T, strict=True))
        return Trace.from_arrays({"time": self.coordinated.time, **columns})

    def flown(self, pilot):
        """Points and diagnosis of a pilot's run, through the motion of the airplane."""
        trace = self.fly(pilot.rudder(self.needed, STEP, self.bank_deg))
        return score(trace, self.coordinated, self.still), diagnose(trace, self.needed)


@functools.cache
def airplane_named(key):
    """One of the invented airplanes, as the roll-yaw motion sees it."""
    return fit_airplane(built_in_cards()[key]).lateral()


@functools.cache
def course(key, speed_kt, seed):
    """The yardstick of one rhythm."""
    airplane, tas = airplane_named(key), mps_from_kt(speed_kt)
    bank_deg = rolls(seed, bank_deg=BANK_DEG).bank_deg
    run = bank_run(airplane, bank_deg, tas, power=POWER)
    return Course(airplane, tas, bank_deg, run, float(run.rudder[0]))


@functools.cache
def straight_demand(key, speed_kt, seed):
    """What the nose held straight asks of the feet while the power changes at one speed."""
    airplane, changes = airplane_named(key), power_changes(seed)
    level = np.zeros(changes.time.size)
    run = bank_run(airplane, level, mps_from_kt(speed_kt), power=changes.power)
    return run.rudder - run.rudder[0]


def pilot_with(fault, draw, needed):
    """Draw a pilot with one fault; a swing is measured by the demand's strength.

    Returns
    -------
    kind : str
        What a perfect diagnosis says.
    pilot : SyntheticPilot
        With tremor of 2 to 5 % of travel.
    """
    base = {"noise": draw.uniform(0.02, 0.05), "seed": int(draw.integers(1 << 31))}
    if fault == "late":
        return "late", SyntheticPilot(late_s=draw.uniform(0.1, 0.8), **base)
    if fault == "early":
        return "early", SyntheticPilot(late_s=-draw.uniform(0.15, 0.5), **base)
    if fault == "amount":
        gain = draw.uniform(0.3, 2.0)
        kind = "too_little" if gain < ENOUGH[0] else "too_much"
        kind = steady_or_not(base["noise"], needed) if ENOUGH[0] <= gain <= ENOUGH[1] else kind
        return kind, SyntheticPilot(gain=gain, **base)
    if fault == "one_sided":
        side = draw.choice(("left_gain", "right_gain"))
        return "one_sided", SyntheticPilot(**{side: draw.uniform(0.0, 0.5)}, **base)
    if fault == "hunting":
        swing = {"hunting_hz": draw.uniform(0.3, 1.0)}
        swing["hunting_share"] = max(0.1, float(np.std(needed)) * draw.uniform(0.6, 1.5))
        return "hunting", SyntheticPilot(**swing, **base)
    if fault == "held_in":
        # From half needed and half bank to nothing but bank.
        held = draw.uniform(0.5, 1.0)
        return "held_in", SyntheticPilot(gain=1.0 - held, held_share=held, **base)
    if fault == "still":
        return "still", SyntheticPilot(gain=0.0, **base)
    return steady_or_not(base["noise"], needed), SyntheticPilot(**base)


def steady_or_not(noise, needed):
    """What feet without another fault are: their tremor may be too much for a small demand."""
    asked = np.mean(felt(needed, STEP) ** 2)
    return "unsteady" if (noise * tremor_felt()) ** 2 > WANDERING * asked else "coordinated"


@functools.cache
def tremor_felt():
    """Strength with which the nose answers a tremor of strength 1, over 20 minutes."""
    feet = SyntheticPilot(gain=0.0, noise=0.1, seed=1).rudder(np.zeros(60_000), STEP)
    return float(np.std(felt(feet, STEP)) / np.std(feet))


def any_pilot(draw, demand):
    """Draw a pilot with up to three faults at once, or none: a start for following advice."""
    now = draw.integers(0, 4)
    faults = set(
        draw.choice(("lag", "amount", "side", "swing", "lean", "still", "held"), now, False)
    )
    lag, gain, sides, swing, bias = 0.0, 1.0, [1.0, 1.0], {}, 0.0
    if "lag" in faults:
        lag = draw.choice((draw.uniform(0.1, 0.8), draw.uniform(-0.5, -0.1)), p=(0.8, 0.2))
    if "amount" in faults:
        gain = draw.uniform(0.3, 2.0)
    if "side" in faults:
        sides[draw.integers(2)] = draw.uniform(0.0, 0.5)
    if "swing" in faults:
        hz = draw.uniform(0.3, 1.0)
        swing = {"hunting_hz": hz, "hunting_share": max(0.1, demand * draw.uniform(0.6, 1.5))}
    if "lean" in faults:
        bias = draw.choice((-1.0, 1.0)) * demand * draw.uniform(0.5, 1.0)
    if "still" in faults:
        gain = 0.0
    held = draw.uniform(0.5, 1.0) if "held" in faults else 0.0
    return SyntheticPilot(
        held_share=held,
        late_s=lag,
        gain=gain * (1.0 - held),
        left_gain=sides[0],
        right_gain=sides[1],
        bias=bias,
        noise=draw.uniform(0.02, 0.05),
        seed=int(draw.integers(1 << 31)),
        **swing,
    )


def following_advice(pilot, key, speed_kt, runs, first_seed=0, seeds=8):
    """Fly run after run, each in another rhythm, doing what the sentence says and no more.

    Returns
    -------
    list of (points, kind)
        Of every run.
    pair of float
        Points of the first pilot and of the last in one and the same rhythm with the same tremor:
        what the advice did, without luck.
    """
    flown, first = [], pilot
    for run in range(runs):
        here = course(key, speed_kt, (first_seed + run) % seeds)
        points, found = here.flown(pilot)
        flown.append((points.points, found.kind))
        pilot = pilot.following(advice(found))
    last = replace(pilot, run=first.run)
    points, _ = course(key, speed_kt, first_seed % seeds).flown(last)
    return flown, (flown[0][0], points.points)
