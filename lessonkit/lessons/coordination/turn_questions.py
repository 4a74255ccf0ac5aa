"""Questions about steady turns: where the ball rests and what it says."""

from lessonkit.exercises import Fact, Misconception, Question, Tolerance, Variable
from lessonkit.lessons.coordination.question_parts import LESSON
from lessonkit.models.turning import bank_for_rate_deg, inclinometer_angle_deg
from lessonkit.units import mps_from_kt

# Where does the ball rest? ----------------------------------------------------------------------


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
        Variable("tas", "speed", mps_from_kt(70.0), mps_from_kt(110.0), mps_from_kt(5.0)),
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

QUESTIONS = (BALL_IN_TURN,)
