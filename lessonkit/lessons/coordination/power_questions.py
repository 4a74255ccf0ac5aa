"""Questions about power at low speed: which pedal, and where the nose goes when power changes."""

from dataclasses import replace

import numpy as np

from lessonkit.exercises import Fact, Misconception, Phrase, Question, Variable, remembered
from lessonkit.lessons.coordination.question_parts import (
    COARSE,
    LESSON,
    angle,
    dial,
    lateral_of,
    share,
    speed,
    times_stall,
    ways,
    word,
)
from lessonkit.models.lateral_motion import STRAIGHT
from lessonkit.models.lateral_run import lateral_run
from lessonkit.models.propeller_yaw import propeller_yaw
from lessonkit.models.steady_sideslip import steady_straight
from lessonkit.units import m_from_ft, w_from_hp

FULL = 1.0  # share of full power
# For a card without power, diameter or RPM: a usual light single, no source.
USUAL = {"power": w_from_hp(150.0), "diameter": m_from_ft(6.2), "rpm": 2600.0}
CLEAR = 0.05  # of full pedal: less is no difference


@remembered
def _powered(airplane, values):
    """Return the airplane with its propeller, or with a usual one where its card has none."""
    lateral = lateral_of(airplane)
    if lateral.propeller is not None:
        return lateral
    size = lateral.wing_area, lateral.span, lateral.reference.cn_rudder
    return replace(lateral, propeller=propeller_yaw(*USUAL.values(), *size))


def _whose(airplane):
    known = lateral_of(airplane).propeller is not None
    return Phrase(f"coordination.question.propeller.{'own' if known else 'usual'}")


@remembered
def _level(airplane, values):
    """Return what holds the nose straight, wings level, at a speed and a power."""
    tas = speed(airplane, values["factor"])
    return steady_straight(_powered(airplane, {}), tas, power=values["power"])


def _pedal(airplane, factor, power):
    return _level(airplane, {"factor": factor, "power": power}).rudder


# Which pedal in slow flight at full power? ------------------------------------------------------


def _slow_and_fast(airplane, values):
    return tuple(_pedal(airplane, values[key], FULL) for key in ("slow", "fast"))


def _turns(airplane):
    """Return 1 for a propeller that turns clockwise seen from the cockpit, else -1."""
    return float(_powered(airplane, {}).propeller.turns)


def _which_pedal(airplane, values):
    slow, fast = (_turns(airplane) * pedal for pedal in _slow_and_fast(airplane, values))
    if abs(slow) < CLEAR:
        return "none"
    if slow < 0.0:
        return "other_more"
    return "more" if slow > fast + CLEAR else "less"


def _pedal_facts(airplane, values):
    slow, fast = _slow_and_fast(airplane, values)
    return {
        **ways(_turns(airplane)),  # the pedal that holds against it, and the way it pulls
        "slow_speed": dial(airplane, speed(airplane, values["slow"])),
        "fast_speed": dial(airplane, speed(airplane, values["fast"])),
        "slow_pedal": share(slow),
        "fast_pedal": share(fast),
        "fast_side": word(fast),
        "whose": _whose(airplane),
    }


POWER_PEDAL = Question(
    key="power_pedal",
    lesson=LESSON,
    kind="choice",
    level="understanding",
    options=("more", "less", "other_more", "none"),
    variables=(times_stall("slow", 1.15, 1.3, 0.05), times_stall("fast", 1.8, 2.1, 0.1)),
    facts=_pedal_facts,
    answer=_which_pedal,
    misconceptions=(
        Misconception("slow_is_gentle", "less"),
        Misconception("other_foot", "other_more"),
        Misconception("rigged_away", "none"),
    ),
)

# Where does the nose go when the throttle moves and the feet do not? ----------------------------

WATCHED = 2.0  # s
SWUNG = 1.0  # deg


@remembered
def _throttle_moved(airplane, values):
    """Return the motion after the power has changed and aileron and pedal have not."""
    lateral, opened = _powered(airplane, {}), values["opened"] > 0.0
    before, after = (0.0, FULL) if opened else (FULL, 0.0)
    held = _level(airplane, {"factor": values["factor"], "power": before})
    power = np.full(round(WATCHED / COARSE) + 1, after)
    start = STRAIGHT._replace(bank=float(np.radians(held.bank_deg)))
    tas = speed(airplane, values["factor"])
    hands, feet = held.aileron, held.rudder
    return lateral_run(lateral, hands, feet, tas, power=power, step=COARSE, start=start)


def _nose_goes(airplane, values):
    heading = float(_throttle_moved(airplane, values).heading_deg[-1])
    if abs(heading) < SWUNG:
        return "straight"
    return "right" if heading > 0.0 else "left"


def _throttle_facts(airplane, values):
    run = _throttle_moved(airplane, values)
    moved = "opened" if values["opened"] > 0.0 else "closed"
    full, idle = (_pedal(airplane, values["factor"], power) for power in (FULL, 0.0))
    return {
        **ways(_turns(airplane)),
        "speed": dial(airplane, speed(airplane, values["factor"])),
        "swing": angle(run.heading_deg[-1]),
        "swing_side": word(run.heading_deg[-1]),
        "watched": Fact(WATCHED, "time_s"),
        "needed": share(full - idle),
        "whose": _whose(airplane),
        "what": Phrase(f"coordination.exercise.throttle_moves.what.{moved}"),
        "why": Phrase(f"coordination.exercise.throttle_moves.why.{moved}"),
    }


THROTTLE_MOVES = Question(
    key="throttle_moves",
    lesson=LESSON,
    kind="choice",
    level="application",
    options=("right", "left", "straight"),
    variables=(
        Variable("opened", "count", 0.0, 1.0, 1.0),
        times_stall("factor", 1.2, 1.4, 0.05),
    ),
    facts=_throttle_facts,
    answer=_nose_goes,
    misconceptions=(
        Misconception("says_right", "right"),
        Misconception("says_left", "left"),
        Misconception("says_straight", "straight"),
    ),
)

QUESTIONS = (POWER_PEDAL, THROTTLE_MOVES)
