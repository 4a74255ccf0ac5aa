"""One run of a drill of the feet: flown step by step, and judged against the coordinated run."""

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from lessonkit.drills.advice import Advice, advice
from lessonkit.drills.diagnosis import Diagnosis, diagnose
from lessonkit.drills.score import Score, score
from lessonkit.drills.trace import KEYS, Trace
from lessonkit.lessons.coordination.hand_program import Program
from lessonkit.models.lateral_motion import (
    STRAIGHT,
    LateralControls,
    LateralState,
    derivatives,
    lateral_rates,
    limited_share,
    seen_of,
)
from lessonkit.models.lateral_run import LateralRun, aileron_toward, bank_run, settled_rudder
from lessonkit.models.motion import rk4_step
from lessonkit.models.numeric import SCALAR

COLUMNS = tuple(LateralRun.__dataclass_fields__)
STEEPEST_DEG = 45.0  # of bank; beyond, it is no roll on a heading, and near the model's end
BANKED_DEG = 5.0  # that counts as rolled to a side
SECONDS_A_ROLL = 7.0  # at most, for a run of rolls that can be judged


@dataclass(frozen=True)
class Review:
    """What one run showed.

    Parameters
    ----------
    program : Program
        What was asked.
    trace : Trace
        What was flown.
    beside : Yardsticks
        The same banks with coordinated feet, and with feet still.
    score : Score
        Our own scale.
    diagnosis : Diagnosis
        Of the feet.
    advice : Advice
        The one thing to change next.
    by_hand : bool
        Flown by the learner, not set beforehand.
    """

    program: Program
    trace: Trace
    beside: "Yardsticks"
    score: Score
    diagnosis: Diagnosis
    advice: Advice
    by_hand: bool

    @property
    def points(self) -> float | None:
        """Points of the run; none with keys, which are on or off and know no amount."""
        return None if self.trace.source == KEYS and self.by_hand else self.score.points


class HandFlight:
    """A run in the making: `step` moves it on by one step of the program.

    The airplane is trimmed for the first moment: pedals and stick count from there.

    Parameters
    ----------
    program : Program
        What is asked.
    """

    def __init__(self, program: Program) -> None:
        self.program = program
        self.trace = Trace(COLUMNS, duration_s=program.duration, step=program.step)
        bank = np.radians(program.bank_deg)
        rate = np.gradient(bank, program.step)
        bending = np.gradient(rate, program.step)
        self._wanted = list(zip(bank.tolist(), rate.tolist(), bending.tolist(), strict=True))
        self._air = list(zip(program.tas.tolist(), program.power.tolist(), strict=True))
        self._state = LateralState(*STRAIGHT)
        self.trim_aileron, self.trim_rudder = trims(program)
        self._aileron, self._rudder = self.trim_aileron, self.trim_rudder

    @property
    def over(self) -> bool:
        """True when the program has been flown to its end."""
        return self.trace.full

    def step(self, rudder: float, aileron: float | None = None) -> None:
        """Fly one step with the wanted shares; without an aileron the kit holds the stick."""
        if self.over:
            return
        p, airplane = self.program, self.program.airplane
        tas, power = self._air[len(self.trace)]
        now = LateralControls(self._aileron, self._rudder, tas, p.density, power)
        if aileron is None:
            aileron = aileron_toward(airplane, self._state, now, self._wanted[len(self.trace)])
        else:
            aileron += self.trim_aileron
        reach = p.step * airplane.aileron_rate
        self._aileron = limited_share(self._aileron, aileron, reach)
        reach = p.step * airplane.rudder_rate
        self._rudder = limited_share(self._rudder, rudder + self.trim_rudder, reach)
        now = now._replace(aileron=self._aileron, rudder=self._rudder)
        self._note(now)
        state = rk4_step(derivatives, list(self._state), now, airplane, None, p.step, SCALAR)
        self._state = LateralState(*state)

    def _note(self, now):
        rates = lateral_rates(self._state, now, self.program.airplane, SCALAR)
        ball_deg, load = seen_of(self.program.airplane, self._state, rates, SCALAR)
        s = self._state
        self.trace.add(
            time=len(self.trace) * self.program.step,
            aileron=now.aileron - self.trim_aileron,
            rudder=now.rudder - self.trim_rudder,
            sideslip_deg=math.degrees(s.sideslip),
            roll_rate_deg=math.degrees(s.roll_rate),
            yaw_rate_deg=math.degrees(s.yaw_rate),
            bank_deg=math.degrees(s.bank),
            heading_deg=math.degrees(s.heading),
            ball_deg=ball_deg,
            lateral_load=load,
            tas=now.tas,
            power=now.power,
        )

    @property
    def too_steep(self) -> bool:
        """True once the bank has left what the drill is about."""
        return abs(math.degrees(self._state.bank)) > STEEPEST_DEG

    def last(self) -> dict[str, float]:
        """Return the last sample; before the first, rest."""
        if not len(self.trace):
            return dict.fromkeys(COLUMNS, 0.0)
        return {name: float(column[-1]) for name, column in self.trace.arrays().items()}


def trims(program: Program) -> tuple[float, float]:
    """Return aileron and rudder that the first moment of a program needs [shares]."""
    air = (float(program.tas[0]), program.density, float(program.power[0]))
    rest = LateralControls(0.0, 0.0, *air)
    rudder = settled_rudder(program.airplane, STRAIGHT, rest)
    held = rest._replace(rudder=rudder)
    level = (math.radians(float(program.bank_deg[0])), 0.0, 0.0)
    return aileron_toward(program.airplane, STRAIGHT, held, level), rudder


def fly_with(program: Program, rudder: np.ndarray) -> Trace:
    """Return the run with the kit at the stick and pedals that were set beforehand."""
    flight = HandFlight(program)
    for share in np.asarray(rudder, dtype=float).tolist():
        flight.step(share)
    return flight.trace


@dataclass(frozen=True)
class Yardsticks:
    """Two runs along the same banks: with coordinated feet, and with feet still.

    Parameters
    ----------
    ideal : LateralRun
        Coordinated. [deg]
    needed : array
        Its rudder, counted from the trimmed pedals. [share]
    still : Trace
        Feet still on the trimmed pedals. [deg]
    """

    ideal: LateralRun
    needed: np.ndarray
    still: Trace


@lru_cache(maxsize=8)
def yardsticks(program: Program) -> Yardsticks:
    """Fly a program with coordinated feet and with feet still; once for the same program."""
    p = program
    ideal = bank_run(p.airplane, p.bank_deg, p.tas, p.density, p.power, p.step)
    return Yardsticks(ideal, ideal.rudder - trims(p)[1], fly_with(p, np.zeros_like(p.time)))


def rolls_in(trace: Trace) -> int:
    """Return how often the run rolled to a side after having been at the other, or level."""
    bank = trace["bank_deg"]
    sides = np.sign(bank[np.abs(bank) > BANKED_DEG])
    return int(np.count_nonzero(np.diff(sides)) + (sides.size > 0))


def as_flown(program: Program, trace: Trace) -> Program:
    """Return the program of the banks that were flown, as far as they were flown."""
    count = len(trace)
    bank = trace["bank_deg"] if "aileron" in program.flown_by_hand else program.bank_deg[:count]
    return replace(
        program,
        time=program.time[:count],
        bank_deg=np.array(bank),
        tas=program.tas[:count],
        power=program.power[:count],
    )


def reviewed(program: Program, trace: Trace, by_hand: bool) -> Review:
    """Judge a run.

    Parameters
    ----------
    program : Program
        What was asked.
    trace : Trace
        What was flown, with its source and delay; from a few seconds to the whole.
    by_hand : bool
        Flown by the learner.
    """
    own_banks = "aileron" in program.flown_by_hand and by_hand
    whole = len(trace) == len(program.time)
    known = yardsticks(program if whole and not own_banks else as_flown(program, trace))
    found = diagnose(trace, known.needed)
    return Review(
        program,
        trace,
        known,
        score(trace, known.ideal, known.still),
        found,
        advice(found, program.task),
        by_hand,
    )
