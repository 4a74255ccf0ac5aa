"""Questions about steady turns: where the ball rests, which foot, which wing drops."""

import math

from lessonkit.exercises import (
    Fact,
    Misconception,
    Phrase,
    Question,
    Tolerance,
    Variable,
    remembered,
)
from lessonkit.lessons.coordination.question_parts import (
    LESSON,
    angle,
    dial,
    lateral_of,
    share,
    side,
    speed,
    times_stall,
    ways,
    word,
)
from lessonkit.models.steady_flight import steady_flight
from lessonkit.models.turning import ball_angle_deg, bank_for_rate_deg, inclinometer_angle_deg
from lessonkit.units import mps_from_kt

# Where does the ball rest? ----------------------------------------------------------------------


def _tas():
    return Variable("tas", "speed", mps_from_kt(70.0), mps_from_kt(110.0), mps_from_kt(5.0))


def _ball(airplane, values):
    return float(inclinometer_angle_deg(values["tas"], values["bank"], values["rate"]))


def _coordinated_bank(airplane, values):
    return float(bank_for_rate_deg(values["tas"], values["rate"]))


BALL_IN_TURN = Question(
    key="ball_in_turn",
    lesson=LESSON,
    kind="number",
    level="application",
    quantity="angle_deg",
    digits=1,
    tolerance=Tolerance(within=0.6, close=1.5),
    variables=(
        _tas(),
        Variable("bank", "bank", 12.0, 30.0, 1.0),
        Variable("rate", "turn_rate", 2.0, 4.0, 0.5),
    ),
    facts=lambda airplane, values: {
        "coordinated": Fact(_coordinated_bank(airplane, values), "angle_deg", 1),
    },
    answer=_ball,
    usable=lambda airplane, values: 3.0 <= _ball(airplane, values) <= 9.0,
    misconceptions=(
        Misconception("turn_alone", _coordinated_bank),
        Misconception("bank_alone", lambda airplane, values: values["bank"]),
    ),
)

# Which foot, and what is it called? -------------------------------------------------------------

CLEARLY_OUT = 2.5, 9.0  # deg: the ball is out so far, and still in its tube


def _seen_ball(airplane, values):
    turn = values["side"]
    return float(ball_angle_deg(values["tas"], turn * values["bank"], turn * values["rate"]))


def _foot_and_name(airplane, values):
    ball = _seen_ball(airplane, values)
    foot = "right" if ball > 0.0 else "left"
    return f"{foot}_slip" if ball * values["side"] > 0.0 else f"{foot}_skid"


STEP_ON_THE_BALL = Question(
    key="step_on_the_ball",
    lesson=LESSON,
    kind="choice",
    level="application",
    options=("left_slip", "right_slip", "left_skid", "right_skid"),
    variables=(
        side(),
        _tas(),
        Variable("bank", "bank", 8.0, 30.0, 1.0),
        Variable("rate", "turn_rate", 1.5, 5.0, 0.5),
    ),
    facts=lambda airplane, values: {
        **ways(values["side"]),
        "ball_side": word(_seen_ball(airplane, values)),
        "ball": angle(_seen_ball(airplane, values), 0),
        "coordinated": angle(_coordinated_bank(airplane, values), 0),
    },
    answer=_foot_and_name,
    usable=lambda airplane, values: (
        CLEARLY_OUT[0] < abs(_seen_ball(airplane, values)) < CLEARLY_OUT[1]
    ),
    misconceptions=(
        Misconception("says_left_slip", "left_slip"),
        Misconception("says_right_slip", "right_slip"),
        Misconception("says_left_skid", "left_skid"),
        Misconception("says_right_skid", "right_skid"),
    ),
)

# Which wing drops? ------------------------------------------------------------------------------

PEDAL = 0.5  # of full pedal, more or less than the turn needs
NEARLY = 0.1  # deg/s


@remembered
def _turn(airplane, values):
    """Return the turn with the wrong pedal, and the turn without sideslip."""
    lateral, tas = lateral_of(airplane), speed(airplane, values["factor"])
    bank = math.radians(values["side"] * values["bank"])
    clean = steady_flight(lateral, tas, bank=bank, sideslip=0.0)
    rudder = clean.rudder + values["side"] * values["more"] * PEDAL
    return steady_flight(lateral, tas, bank=bank, rudder=rudder), clean


def _faster(airplane, values):
    """Return how much faster the nose goes round than in the clean turn, in deg/s."""
    flown, clean = _turn(airplane, values)
    return abs(flown.turn_rate_dps) - abs(clean.turn_rate_dps)


def _drops(airplane, values):
    """Return the wing toward which the nose is swung: that one goes first."""
    faster = _faster(airplane, values)
    if abs(faster) < NEARLY:
        return "alike"
    return "inside" if faster > 0.0 else "outside"


def _drop_facts(airplane, values):
    flown, clean = _turn(airplane, values)
    turn = values["side"]
    against = "skid" if values["more"] > 0.0 else "slip"
    return {
        **ways(turn),
        "speed": dial(airplane, speed(airplane, values["factor"])),
        "pedal": share(PEDAL),
        "held": word(flown.aileron - clean.aileron),
        "ball_side": word(flown.ball_deg),
        "rate": Fact(abs(flown.turn_rate_dps), "turn_rate"),
        "clean_rate": Fact(abs(clean.turn_rate_dps), "turn_rate"),
        "wing": word(turn if _drops(airplane, values) == "inside" else -turn),
        # These name the words above.
        "what": Phrase(f"coordination.exercise.which_wing_drops.what.{against}"),
        "why": Phrase(f"coordination.exercise.which_wing_drops.why.{against}"),
        "named": Phrase(f"coordination.exercise.which_wing_drops.named.{against}"),
    }


WHICH_WING_DROPS = Question(
    key="which_wing_drops",
    lesson=LESSON,
    kind="choice",
    level="correlation",
    options=("inside", "outside", "alike"),
    variables=(
        side(),
        side("more"),
        times_stall("factor", 1.2, 1.3, 0.1),
        Variable("bank", "bank", 20.0, 25.0, 5.0),
    ),
    facts=_drop_facts,
    answer=_drops,
    misconceptions=(
        Misconception("low_wing", "inside"),
        Misconception("high_wing", "outside"),
        Misconception("no_matter", "alike"),
    ),
)

QUESTIONS = (BALL_IN_TURN, STEP_ON_THE_BALL, WHICH_WING_DROPS)
