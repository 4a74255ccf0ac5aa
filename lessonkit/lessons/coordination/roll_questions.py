"""Questions about rolling: where the nose goes, how much foot, and what a clean roll looks like."""

import numpy as np

from lessonkit.exercises import Fact, Misconception, Question, Tolerance, Variable, remembered
from lessonkit.exercises.question import Setting
from lessonkit.lessons.coordination.question_parts import (
    LESSON,
    angle,
    dial,
    lateral_of,
    pressed,
    rolled,
    share,
    side,
    speed,
    straight,
    times_stall,
    ways,
)
from lessonkit.models.lateral_demand import rudder_per_aileron
from lessonkit.models.steady_flight import steady_flight
from lessonkit.models.turning import rate_of_turn_dps

# Which way does the nose go first? --------------------------------------------------------------

SEEN = 0.2  # deg; less of a swing nobody would see
HELD, AFTER = 1.0, 1.2  # s that the aileron is held, and that are looked at afterwards


@remembered
def _to_the_right(airplane, values):
    aileron = pressed(values["aileron"], HELD, AFTER)
    return rolled(airplane, speed(airplane, values["factor"]), aileron)


def _without_feet(airplane, values):
    """Return the roll with aileron alone, as if it were to the right: the left is its mirror."""
    return _to_the_right(airplane, {key: values[key] for key in ("factor", "aileron")})


def _nose_goes(airplane, values):
    heading = _without_feet(airplane, values).heading_deg
    if heading.min() > -SEEN:
        return "stays"
    return "away_first" if heading[-1] > 0.0 else "away_only"


def _nose_facts(airplane, values):
    run = _without_feet(airplane, values)
    turned = int(run.heading_deg.argmin())
    return {
        **ways(values["side"]),
        "aileron_share": share(values["aileron"]),
        "speed": dial(airplane, speed(airplane, values["factor"])),
        "swing": angle(run.heading_deg.min(), 1),
        "after": Fact(float(run.time[turned]), "time_s", 1),
        "sideslip": angle(run.sideslip_deg.max(), 0),
        "ball": angle(run.ball_deg.max(), 0),
    }


NOSE_FIRST = Question(
    key="nose_first",
    lesson=LESSON,
    kind="choice",
    level="understanding",
    options=("away_first", "with_roll", "stays", "away_only"),
    variables=(
        side(),
        times_stall("factor", 1.15, 1.35, 0.1),
        Variable("aileron", "percent", 0.3, 0.5, 0.2),
    ),
    facts=_nose_facts,
    answer=_nose_goes,
    usable=lambda airplane, values: _nose_goes(airplane, values) == "away_first",
    misconceptions=(
        Misconception("points_into_turn", "with_roll"),
        Misconception("no_swing", "stays"),
        Misconception("keeps_going", "away_only"),
    ),
)

# How much foot for this roll? -------------------------------------------------------------------

PEDAL_HELD = 1.0  # s; the sideslip is read when aileron and pedal have been held so long
WELL_OVER, WHOLE = 1.8, 0.98
REACHED = 0.9  # of full pedal: the answer lies well within the travel


@remembered
def _sideslip(airplane, values, settings):
    """Return the sideslip when aileron and pedal have been held together for a second."""
    hands = pressed(values["side"] * values["aileron"], PEDAL_HELD, 0.0)
    feet = pressed(settings["rudder"], PEDAL_HELD, 0.0)
    run = rolled(airplane, speed(airplane, values["factor"]), hands, feet)
    return float(run.sideslip_deg[-1])


def _needed(airplane, values):
    """Return the pedal that leaves no sideslip: it goes in a straight line with the pedal."""
    free, half = (_sideslip(airplane, values, {"rudder": r}) for r in (0.0, 0.5 * values["side"]))
    found = 0.5 * free / (free - half)
    return values["side"] * round(100.0 * found) / 100.0


def _feet_facts(airplane, values):
    needed = _needed(airplane, values)
    return {
        **ways(values["side"]),
        "aileron_share": share(values["aileron"]),
        "speed": dial(airplane, speed(airplane, values["factor"])),
        "free": angle(_sideslip(airplane, values, {"rudder": 0.0}), 1),
        "half": angle(_sideslip(airplane, values, {"rudder": 0.5 * needed}), 1),
        "needed": share(needed),
        "half_pedal": share(0.5 * needed),
        "per_aileron": Fact(abs(needed) / values["aileron"], "number", 1),
    }


RUDDER_FOR_ROLL = Question(
    key="rudder_for_roll",
    lesson=LESSON,
    kind="set",
    level="application",
    quantity="angle_deg",
    digits=1,
    tolerance=Tolerance(within=0.5, close=1.0),
    variables=(
        side(),
        times_stall("factor", 1.2, 1.6, 0.4),
        Variable("aileron", "percent", 0.2, 0.4, 0.1),
    ),
    facts=_feet_facts,
    answer=lambda airplane, values: 0.0,
    usable=lambda airplane, values: abs(_needed(airplane, values)) < REACHED,
    settings=(Setting("rudder", "percent", -1.0, 1.0, 0.01, start=0.0),),
    outcome=_sideslip,
    reference=lambda airplane, values: {"rudder": _needed(airplane, values)},
    misconceptions=(
        Misconception(
            "other_foot",
            lambda airplane, values, settings: settings["rudder"] * values["side"] < -0.02,
            example=lambda airplane, values: {"rudder": -_needed(airplane, values)},
        ),
        Misconception(
            "stamped",
            lambda airplane, values, settings: (
                settings["rudder"] * values["side"]
                > min(WELL_OVER * abs(_needed(airplane, values)), WHOLE)
            ),
            example=lambda airplane, values: {"rudder": values["side"]},
        ),
    ),
)

# How much more when slow? -----------------------------------------------------------------------

SMALL = 0.2  # of full aileron: the pedal does not reach its stop


def _demand(airplane, factor):
    """Return pedal for aileron, as shares of full travel, in a settled coordinated roll."""
    return float(rudder_per_aileron(lateral_of(airplane), speed(airplane, factor)))


def _demands(airplane, values):
    return tuple(_demand(airplane, values[key]) for key in ("slow", "fast"))


def _demand_ratio(airplane, values):
    slow, fast = _demands(airplane, values)
    return slow / fast


def _ratio_facts(airplane, values):
    slow, fast = _demands(airplane, values)
    return {
        "slow_speed": dial(airplane, speed(airplane, values["slow"])),
        "fast_speed": dial(airplane, speed(airplane, values["fast"])),
        "aileron_share": share(SMALL),
        "slow_rudder": share(slow * SMALL, 1),
        "fast_rudder": share(fast * SMALL, 1),
        "squared": Fact((values["fast"] / values["slow"]) ** 2, "number", 1),
    }


DEMAND_RATIO = Question(
    key="demand_ratio",
    lesson=LESSON,
    kind="number",
    level="correlation",
    quantity="number",
    digits=1,
    tolerance=Tolerance(within=0.4, close=0.8),
    variables=(times_stall("slow", 1.15, 1.35, 0.1), times_stall("fast", 1.8, 2.2, 0.2)),
    facts=_ratio_facts,
    answer=_demand_ratio,
    misconceptions=(
        Misconception("same", lambda airplane, values: 1.0),
        Misconception("less", lambda airplane, values: 1.0 / _demand_ratio(airplane, values)),
    ),
)

# How far does the nose of a clean run swing? ----------------------------------------------------

SAMPLES = 201


def _swing(airplane, values):
    """Return half of the heading change between two banks, in turns that stay coordinated."""
    tas = speed(airplane, values["factor"])
    part = np.linspace(0.0, 1.0, SAMPLES)
    rate = rate_of_turn_dps(tas, values["bank"] * np.sin(np.pi * part))
    half_period = 0.5 * values["rhythm"]
    return 0.5 * half_period * float(np.mean(0.5 * (rate[1:] + rate[:-1])))


def _steepest(airplane, values):
    return float(rate_of_turn_dps(speed(airplane, values["factor"]), values["bank"]))


HEADING_SWING = Question(
    key="heading_swing",
    lesson=LESSON,
    kind="number",
    level="correlation",
    quantity="angle_deg",
    digits=1,
    tolerance=Tolerance(within=0.7, close=1.4),
    variables=(
        Variable("rhythm", "time_s", 4.0, 8.0, 1.0),
        Variable("bank", "bank", 15.0, 25.0, 5.0),
        times_stall("factor", 1.2, 1.8, 0.2),
    ),
    facts=lambda airplane, values: {
        "speed": dial(airplane, speed(airplane, values["factor"])),
        "rate": Fact(_steepest(airplane, values), "turn_rate"),
        "mean_rate": Fact(4.0 * _swing(airplane, values) / values["rhythm"], "turn_rate"),
        "half_period": Fact(0.5 * values["rhythm"], "time_s", 1),
        "whole": Fact(2.0 * _swing(airplane, values), "angle_deg"),
    },
    answer=_swing,
    usable=lambda airplane, values: _swing(airplane, values) > 2.0,
    misconceptions=(
        Misconception("still", lambda airplane, values: 0.0),
        Misconception("whole", lambda airplane, values: 2.0 * _swing(airplane, values)),
    ),
)

# A bank that is held on a heading ---------------------------------------------------------------


@remembered
def _held(airplane, values):
    """Return the straight flight with a bank, and what it is called."""
    bank = np.radians(values["side"] * values["bank"])
    tas = speed(airplane, values["factor"])
    return steady_flight(lateral_of(airplane), tas, straight=True, bank=bank)


def _pedal(airplane, values):
    """Return the pedal beyond the one that holds straight with the wings level."""
    level = straight(airplane, speed(airplane, values["factor"]))
    return _held(airplane, values).rudder - level.rudder


def _held_is(airplane, values):
    """Tell by ball and pedal what a straight flight with a bank is."""
    flight = _held(airplane, values)
    low, pedal = values["side"] * flight.ball_deg, values["side"] * _pedal(airplane, values)
    if abs(low) < 1.0:
        return "coordinated"
    if low < 0.0:
        return "skid"
    return "slip" if pedal < 0.0 else "same_foot"


HELD_BANK = Question(
    key="held_bank",
    lesson=LESSON,
    kind="choice",
    level="correlation",
    options=("slip", "coordinated", "skid", "same_foot"),
    variables=(
        side(),
        Variable("bank", "bank", 3.0, 5.0, 1.0),
        times_stall("factor", 1.5, 1.9, 0.2),
    ),
    facts=lambda airplane, values: {
        **ways(values["side"]),
        "speed": dial(airplane, speed(airplane, values["factor"])),
        "ball": angle(_held(airplane, values).ball_deg, 0),
        "sideslip": angle(_held(airplane, values).sideslip_deg, 0),
        "rudder": share(_pedal(airplane, values)),
        "rate": Fact(
            float(rate_of_turn_dps(speed(airplane, values["factor"]), values["bank"])), "turn_rate"
        ),
    },
    answer=_held_is,
    usable=lambda airplane, values: bool(_held(airplane, values).can_be_held),
    misconceptions=(
        Misconception("still_is_clean", "coordinated"),
        Misconception("outside", "skid"),
        Misconception("with_the_bank", "same_foot"),
    ),
)

QUESTIONS = (NOSE_FIRST, RUDDER_FOR_ROLL, DEMAND_RATIO, HEADING_SWING, HELD_BANK)
