"""The exercises of the lesson on coordination; texts in ``words/en/coordination.toml``.

Every answer comes from the models for the learner's airplane.
"""

from lessonkit.lessons.coordination import (
    power_questions,
    roll_questions,
    slip_questions,
    trace_questions,
    turn_questions,
)

_NOSE, _FEET, _RATIO, _SWING, _HELD = roll_questions.QUESTIONS
_BALL, _STEP, _WING = turn_questions.QUESTIONS
_PEDAL, _THROTTLE = power_questions.QUESTIONS
_ANGLE, _SIDE, _LIMIT, _STEPS = slip_questions.QUESTIONS
QUESTIONS = [
    _NOSE,
    _FEET,
    _STEP,
    _SWING,
    _HELD,
    _RATIO,
    _BALL,
    _PEDAL,
    _THROTTLE,
    _WING,
    *trace_questions.QUESTIONS,
    _STEPS,
    _SIDE,
    _ANGLE,
    _LIMIT,
]
