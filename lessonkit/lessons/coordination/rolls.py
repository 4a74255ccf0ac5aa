"""The drills of the feet: rolls on a heading by hand, and the nose held straight."""

from functools import lru_cache

from lessonkit.drills.controls import KeyFeel
from lessonkit.drills.inputs import Hands
from lessonkit.drills.rhythm import DURATION
from lessonkit.lessons.coordination.hand_flight import fly_with, reviewed
from lessonkit.lessons.coordination.hand_picture import make_scene
from lessonkit.lessons.coordination.hand_program import (
    CHANGING,
    FEET,
    HEADING,
    LEVELS,
    SPEED_STEP,
    STRAIGHT,
    speed_range,
)
from lessonkit.lessons.coordination.hand_task import CONTROLS, HandTask, feet
from lessonkit.models.steady_sideslip import rudder_to_hold_straight
from lessonkit.panels import Choice, NumberControl, Prediction
from lessonkit.panels.drill import MOMENT, DrillPanel
from lessonkit.words import say

WORDS = "hands_on"
RHYTHMS = 40
FIRST_RHYTHM = 3.0
# A key is on or off: it goes about as far as the drill needs, so that its timing is what counts.
KEY_FEEL = {
    HEADING: {"rudder": KeyFeel(1.5, 3.0, 0.5), "aileron": KeyFeel(1.5, 3.0, 0.7)},
    STRAIGHT: {"rudder": KeyFeel(0.6, 1.2, 0.25)},
}
ASKED_LATE = 0.5  # s, in the question of the prediction
LOW_AND_HIGH = (0.2, 1.0)  # shares of full power, in the question of the other
NO_DIFFERENCE = 5.0  # points


def rolls_by_hand(context) -> DrillPanel:
    """Return the drill of rolls on a heading."""
    return _panel(context, HEADING, "rolls_by_hand", LEVELS, _rolls_question)


def hold_straight(context) -> DrillPanel:
    """Return the drill in which power and speed change and the feet hold the nose."""
    return _panel(context, STRAIGHT, "hold_straight", (FEET, CHANGING), _straight_question)


def _panel(context, task, key, levels, question):
    words = context.preferences
    scene = make_scene(context, task)
    drill = HandTask(context, scene, task)
    return DrillPanel(
        context,
        key,
        title=say(f"{WORDS}.title.{task}", preferences=words),
        task=drill,
        hands=Hands(CONTROLS, feel=KEY_FEEL[task], preferences=words),
        scene=scene,
        controls=[_level(context, task, levels), _speed(context), *_feet(context)],
        more=[_moment(context), _rhythm(context)],
        compute=drill.compute,
        draw=drill.draw,
        draw_asked=drill.draw_asked,
        prediction=question(context, drill),
        grabs={MOMENT: lambda event: {MOMENT: event.x}},
    )


def _level(context, task, levels):
    words = context.preferences
    options = [(say(f"{WORDS}.level.{task}.{level}", preferences=words), level) for level in levels]
    return Choice("level", say(f"{WORDS}.control.level", preferences=words), options, levels[0])


def _speed(context):
    low, usual, high = speed_range(context.airplane)
    return NumberControl(
        "cas",
        say(f"{WORDS}.control.speed", preferences=context.preferences),
        "speed",
        value=usual,
        low=low,
        high=high,
        step=SPEED_STEP,
        preferences=context.preferences,
    )


def _feet(context):
    """Return the feet that are set beforehand: amount by side, and timing."""
    words = context.preferences
    amounts = [
        NumberControl(
            side,
            say(f"{WORDS}.control.{side}", preferences=words),
            "percent",
            value=0.0,
            low=0.0,
            high=2.0,
            step=0.05,
            preferences=words,
        )
        for side in ("left", "right")
    ]
    late = NumberControl(
        "late",
        say(f"{WORDS}.control.late", preferences=words),
        "time_s",
        value=0.0,
        low=-0.5,
        high=1.0,
        step=0.05,
        preferences=words,
    )
    return [*amounts, late]


def _moment(context):
    return NumberControl(
        MOMENT,
        say(f"{WORDS}.control.moment", preferences=context.preferences),
        "time_s",
        value=0.0,
        low=0.0,
        high=DURATION,
        step=0.1,
        preferences=context.preferences,
    )


def _rhythm(context):
    return NumberControl(
        "rhythm",
        say(f"{WORDS}.control.rhythm", preferences=context.preferences),
        "number",
        value=FIRST_RHYTHM,
        low=1.0,
        high=float(RHYTHMS),
        step=1.0,
        digits=0,
        preferences=context.preferences,
    )


def _rolls_question(context, drill) -> Prediction:
    """Ask whether half in time or all of it late keeps the airplane straighter."""
    words = context.preferences
    cas = speed_range(context.airplane)[1]

    @lru_cache(maxsize=1)
    def points():
        start = {"level": FEET, "cas": cas, "rhythm": FIRST_RHYTHM}
        made = drill.program(start)
        tries = (
            {"left": 0.5, "right": 0.5, "late": 0.0},
            {"left": 1.0, "right": 1.0, "late": ASKED_LATE},
        )
        flown = (fly_with(made, feet(made, values)) for values in tries)
        return [reviewed(made, trace, False).score.points for trace in flown]

    def outcome(_review):
        half, late = points()
        key = "same" if abs(half - late) < NO_DIFFERENCE else "half" if half > late else "late"
        return say(
            f"{WORDS}.rolls.outcome",
            half=round(half),
            late=round(late),
            verdict=say(f"{WORDS}.rolls.answer.{key}", preferences=words),
            preferences=words,
        )

    return Prediction(
        say(f"{WORDS}.rolls.question", preferences=words),
        choices=_answers(context, "rolls", ("half", "late", "same")),
        outcome=outcome,
    )


def _straight_question(context, drill) -> Prediction:
    """Ask which pedal an opened throttle takes."""
    words = context.preferences

    cas = speed_range(context.airplane)[1]

    def outcome(_review):
        low, high = (
            float(rudder_to_hold_straight(drill.lateral, cas, power=power))
            for power in LOW_AND_HIGH
        )
        side = "right" if high > low else "left"
        return say(
            f"{WORDS}.straight.outcome",
            side=say(f"{WORDS}.straight.side.{side}", preferences=words),
            preferences=words,
        )

    return Prediction(
        say(f"{WORDS}.straight.question", preferences=words),
        choices=_answers(context, "straight", ("right", "left", "none")),
        outcome=outcome,
    )


def _answers(context, task, keys):
    return [
        (key, say(f"{WORDS}.{task}.answer.{key}", preferences=context.preferences)) for key in keys
    ]
