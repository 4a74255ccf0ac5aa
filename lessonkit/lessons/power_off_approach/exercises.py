"""The exercises of the power-off approach; texts in ``words/en/power_off_approach.toml``.

Every number comes from the models for the learner's airplane.
"""

from lessonkit.exercises import Fact, Misconception, Phrase, Question
from lessonkit.lessons.power_off_approach import flown_questions, glide_questions, judge_questions
from lessonkit.lessons.power_off_approach.question_parts import LESSON, dial, ft
from lessonkit.units import m_from_ft

# What comes after what? -------------------------------------------------------------------------


def _heat(airplane):
    return ("carb_heat",) if airplane.card.text("engine.induction") == "carburettor" else ()


def _steps(airplane, values):
    return (*_heat(airplane), "throttle", "glide_speed", "base", "final", "full_flaps", "round_out")


ABEAM_TO_TOUCHDOWN = Question(
    key="abeam_to_touchdown",
    lesson=LESSON,
    kind="order",
    level="understanding",
    variables=(ft("height", 800.0, 1000.0, 50.0),),
    facts=lambda airplane, values: {"speed": dial(airplane, airplane.best_glide_cas())},
    answer=_steps,
    misconceptions=(
        Misconception("heat_too_late", ("throttle", "carb_heat")),
        Misconception("turn_first", ("base", "glide_speed")),
        Misconception("flaps_first", ("full_flaps", "final")),
    ),
)


# And at altitude? -------------------------------------------------------------------------------

FLOOR = m_from_ft(1500.0)  # above the ground, to begin with; common practice, no source


def _steps_at_altitude(airplane, values):
    return ("agree", "look", "throttle", "callouts", "go_around", "review")


def _altitude_facts(airplane, values):
    heat = "with_heat" if _heat(airplane) else "without_heat"
    return {
        "floor": Fact(FLOOR, "height"),
        "speed": dial(airplane, airplane.best_glide_cas()),
        "ready": Phrase(f"power_off_approach.exercise.practise_at_altitude.ready.{heat}"),
        "climb": Phrase(f"power_off_approach.exercise.practise_at_altitude.climb.{heat}"),
    }


PRACTISE_AT_ALTITUDE = Question(
    key="practise_at_altitude",
    lesson=LESSON,
    kind="order",
    level="understanding",
    variables=(ft("above", 2500.0, 3500.0, 250.0),),
    facts=_altitude_facts,
    answer=_steps_at_altitude,
    misconceptions=(
        Misconception("look_later", ("throttle", "look")),
        Misconception("agree_later", ("throttle", "agree")),
        Misconception("review_first", ("review", "go_around")),
    ),
)

_REACH, _TURN, _WIND, _SLOW, _FASTER, _SLIP = glide_questions.QUESTIONS
_LATE, _TOUCHDOWN, _SET = flown_questions.QUESTIONS
QUESTIONS = [
    ABEAM_TO_TOUCHDOWN,
    _REACH,
    _WIND,
    _TURN,
    _LATE,
    _SET,
    _FASTER,
    _SLOW,
    _TOUCHDOWN,
    _SLIP,
    *judge_questions.QUESTIONS,
    PRACTISE_AT_ALTITUDE,
]
