"""A question that shows what the feet of a run did, and asks what was wrong with them.

The feet are synthetic ones with a known fault; the answer is what the kit's own diagnosis finds,
the same that judges the learner's runs.
"""

import numpy as np

from lessonkit.drills.diagnosis import diagnose
from lessonkit.drills.rhythm import rolls
from lessonkit.drills.synthetic_pilots import SyntheticPilot
from lessonkit.drills.trace import Trace
from lessonkit.exercises import Fact, Misconception, Phrase, Question, Variable, remembered
from lessonkit.exercises.picture import Horizontal, Label, Line, Picture, PictureAxes
from lessonkit.exercises.question import Aspect
from lessonkit.lessons.coordination.question_parts import (
    COARSE,
    LESSON,
    dial,
    lateral_of,
    side,
    speed,
    straight,
    word,
)
from lessonkit.models.lateral_run import bank_run

LENGTH = 16.0  # s
FACTOR = 1.5  # times the stall speed
BANK_DEG = 12.0  # to each side: neither hands nor feet reach a stop
RHYTHM = 5  # seed of the rolls
TREMOR = 0.015  # share of travel: a quiet leg, so that the fault stands out
TOGETHER, CLEARLY_LATE = 0.12, 0.3  # s of lag
ENOUGH, CLEARLY_LITTLE, CLEARLY_MUCH = (0.8, 1.25), 0.65, 1.4  # of what was needed
THIN = 2  # one sample out of so many is drawn
# What the feet do; the weak foot of "one foot" is the one of the side drawn.
FEET = (
    {},
    {"late_s": 0.5},
    {"late_s": -0.5},
    {"gain": 0.4},
    {"gain": 1.7},
    {"weak": 0.2},
    {"hunting_hz": 0.7, "swing": 0.7},
)


@remembered
def _rolled(airplane, values):
    """Return time, bank and the pedal that was needed beyond the one that holds straight."""
    tas = speed(airplane, FACTOR)
    wanted = rolls(RHYTHM, LENGTH, bank_deg=BANK_DEG, step=COARSE).bank_deg
    run = bank_run(lateral_of(airplane), wanted, tas, step=COARSE)
    return run.time, run.bank_deg, run.rudder - straight(airplane, tas).rudder


@remembered
def _feet(airplane, values):
    """Return time, bank, pedal needed and used, and the diagnosis; the left is a mirror."""
    time, bank, needed = _rolled(airplane, {})
    bank, needed = values["side"] * bank, values["side"] * needed
    faults = dict(FEET[round(values["feet"])])
    weak, swing = faults.pop("weak", 1.0), faults.pop("swing", 0.0) * float(np.std(needed))
    sides = {"right_gain": weak} if values["side"] > 0.0 else {"left_gain": weak}
    pilot = SyntheticPilot(
        **faults, **sides, hunting_share=swing, noise=TREMOR, seed=round(values["feet"])
    )
    used = pilot.rudder(needed, COARSE)
    trace = Trace.from_arrays({"time": time, "rudder": used})
    return time, bank, needed, used, diagnose(trace, needed)


def _first_side(airplane, values):
    """Return the side of the first roll: the bank at its first peak."""
    bank = _feet(airplane, values)[1]
    return float(bank[np.argmax(np.abs(bank) > 0.5 * np.abs(bank).max())])


def _timing(found):
    if found.lag_s is None or abs(found.lag_s) <= TOGETHER:
        return "together"
    return "late" if found.lag_s > 0.0 else "early"


def _amount(found):
    if found.weak_side and min(found.gain_left, found.gain_right) < ENOUGH[0]:
        return f"{found.weak_side}_weak"
    if found.gain < ENOUGH[0]:
        return "too_little"
    return "too_much" if found.gain > ENOUGH[1] else "enough"


def _calm(found):
    return "steady" if found.hunting_hz is None else "hunting"


def _verdicts(airplane, values):
    found = _feet(airplane, values)[-1]
    return {"timing": _timing(found), "amount": _amount(found), "calm": _calm(found)}


def _clear(airplane, values):
    """Leave out runs near the border of a verdict."""
    found = _feet(airplane, values)[-1]
    if found.gain_left is None or found.gain_right is None:
        return False
    lag = abs(found.lag_s or 0.0)
    gain = found.gain
    little, much = ENOUGH[0] > gain > CLEARLY_LITTLE, ENOUGH[1] < gain < CLEARLY_MUCH
    return not TOGETHER < lag < CLEARLY_LATE and (bool(found.weak_side) or not (little or much))


def _facts(airplane, values):
    found, verdicts = _feet(airplane, values)[-1], _verdicts(airplane, values)
    return {
        "speed": dial(airplane, speed(airplane, FACTOR)),
        "way": word(_first_side(airplane, values)),
        "lag": Fact(abs(found.lag_s or 0.0), "time_s", 1),
        "left": Fact(max(found.gain_left or 0.0, 0.0), "percent", 0),
        "right": Fact(max(found.gain_right or 0.0, 0.0), "percent", 0),
        "hertz": Fact(1.0 / (found.hunting_hz or 1.0), "time_s", 1),
        **{
            f"{key}_seen": Phrase(f"coordination.exercise.judge_feet.seen.{verdicts[key]}")
            for key in verdicts
        },
    }


def _picture(airplane, values):
    time, flown, needed, used, _ = _feet(airplane, values)
    time = tuple(time[::THIN])
    common = {"x": (0.0, LENGTH), "x_kind": "time_s", "x_label": "time"}
    bank = PictureAxes("bank", y=(-20.0, 20.0), y_kind="bank", y_label="bank", share=0.7, **common)
    reach = 1.15 * max(float(np.abs(needed).max()), float(np.abs(used).max()))
    pedal = PictureAxes(
        "pedal", y=(-reach, reach), y_kind="percent", y_label="pedal", share=1.3, **common
    )
    return Picture(
        axes=(bank, pedal),
        items=(
            Horizontal(0.0, "muted", "bank"),
            Line(time, tuple(flown[::THIN]), "main", "bank"),
            Horizontal(0.0, "muted", "pedal"),
            Line(time, tuple(needed[::THIN]), "reference", "pedal"),
            Line(time, tuple(used[::THIN]), "main", "pedal"),
            Label(0.3, -0.9 * reach, "needed", "reference", "pedal"),
            Label(0.3, 0.82 * reach, "used", "main", "pedal"),
        ),
        height=400.0,
    )


JUDGE_FEET = Question(
    key="judge_feet",
    lesson=LESSON,
    kind="judge",
    level="correlation",
    variables=(side(), Variable("feet", "count", 0.0, len(FEET) - 1.0, 1.0)),
    facts=_facts,
    answer=_verdicts,
    usable=_clear,
    picture=_picture,
    aspects=(
        Aspect("timing", ("early", "together", "late")),
        Aspect("amount", ("too_little", "enough", "too_much", "left_weak", "right_weak")),
        Aspect("calm", ("steady", "hunting")),
    ),
    misconceptions=(
        Misconception("looks_together", ("timing", "together")),
        Misconception("looks_enough", ("amount", "enough")),
        Misconception("looks_steady", ("calm", "steady")),
    ),
)

QUESTIONS = (JUDGE_FEET,)
