"""Panel of consistency: thousands of approaches of one pilot, power-off and with part power."""

from collections.abc import Iterator
from typing import Any

from lessonkit.lessons.power_off_approach.consistency_flights import (
    ALONE,
    CORRECTED,
    HABITS,
    OFF,
    Consistency,
    ConsistencyBench,
    has_habit,
)
from lessonkit.lessons.power_off_approach.consistency_picture import draw, make_scene
from lessonkit.lessons.power_off_approach.consistency_story import (
    feet,
    habit_name,
    of_100,
    sentence,
)
from lessonkit.lessons.power_off_approach.flights import AIM
from lessonkit.panels import Choice, NumberControl, Panel, Prediction
from lessonkit.units import m_from_ft, mps_from_kt
from lessonkit.words import say

WORDS = "consistency"
FIRST = (
    "base_turn_delay_spread",
    "abeam_height_spread",
    "headwind_spread",
    "abeam_distance_spread",
    "rpm_spread",
)
# Kind of quantity of each spread, and the step of its slider in SI.
KINDS = {
    "abeam_distance_spread": ("distance_ft", m_from_ft(10.0)),
    "abeam_height_spread": ("height", m_from_ft(5.0)),
    "base_turn_delay_spread": ("time_s", 0.1),
    "final_turn_delay_spread": ("time_s", 0.1),
    "base_cas_spread": ("speed", mps_from_kt(0.5)),
    "final_cas_spread": ("speed", mps_from_kt(0.5)),
    "bank_deg_spread": ("bank", 0.5),
    "rpm_spread": ("rpm", 10.0),
    "aim_spread": ("distance_ft", m_from_ft(5.0)),
    "headwind_spread": ("wind_speed", mps_from_kt(0.5)),
}
HEADWINDS = (mps_from_kt(-5.0), mps_from_kt(20.0))


def consistency(context, habits=HABITS) -> Panel:
    """Return the panel that shows where many tries of one pilot touch down.

    Parameters
    ----------
    context : LessonContext
        Airplane, airfield, preferences, record.
    habits : sequence of Habit
        The pilot's spreads: assumed ones, or what a debrief measured or an instructor observed.

    Returns
    -------
    Panel
    """
    bench = ConsistencyBench(context, habits)
    gate = None

    def asked():
        return gate is None or gate.status == "open"

    def compute(values: dict[str, Any]) -> Consistency | None:
        return None if asked() else bench.draft(values)

    def full(values: dict[str, Any]) -> Iterator[Consistency]:
        if not asked():
            yield from bench.full(values)

    def show_tries(scene, result, values):
        draw(scene, result, context)
        if result is None:
            return say(f"{WORDS}.panel.asked", preferences=context.preferences)
        return sentence(result, bench, context)

    spreads = {habit.quantity: _spread(habit, context) for habit in habits}
    panel = Panel(
        context,
        "consistency",
        title=say(f"{WORDS}.panel.title", preferences=context.preferences),
        scene=make_scene(context),
        controls=[_power(context), *(spreads[key] for key in FIRST if key in spreads)],
        more=[*(spreads[key] for key in spreads if key not in FIRST), _headwind(bench, context)],
        compute=compute,
        full=full,
        draw=show_tries,
        prediction=_prediction(bench, habits, context),
    )
    gate = panel.prediction
    gate.on_done(panel.update)  # nothing is flown before the prediction
    _show_only_what_belongs(panel, habits)
    return panel


def _show_only_what_belongs(panel, habits):
    """Hide the habits that the pilots shown do not have."""
    power = panel.control("power")

    def arrange():
        for habit in habits:
            shown = has_habit(habit.quantity, power.value)
            panel.control(habit.quantity).widget.layout.display = None if shown else "none"

    power.on_change(arrange)
    arrange()


def _power(context):
    options = [
        (say(f"{WORDS}.control.power_{key}", preferences=context.preferences), key)
        for key in (CORRECTED, ALONE, OFF)
    ]
    text = say(f"{WORDS}.control.power", preferences=context.preferences)
    return Choice("power", text, options, CORRECTED)


def _spread(habit, context):
    """Return the control of one spread, which says how the spread is known."""
    kind, step = KINDS[habit.quantity]
    origin = say(f"{WORDS}.origin.{habit.origin}", preferences=context.preferences)
    text = say(
        f"{WORDS}.control.spread",
        habit=habit_name(habit.quantity, context),
        origin=origin,
        preferences=context.preferences,
    )
    return NumberControl(
        habit.quantity,
        text,
        kind,
        value=habit.value,
        low=habit.low,
        high=habit.high,
        step=step,
        preferences=context.preferences,
    )


def _headwind(bench, context):
    low, high = HEADWINDS
    return NumberControl(
        "headwind",
        say(f"{WORDS}.control.headwind", preferences=context.preferences),
        "wind_speed",
        value=bench.bench.start["headwind"],
        low=low,
        high=high,
        step=mps_from_kt(1.0),
        preferences=context.preferences,
    )


def _prediction(bench, habits, context) -> Prediction:
    """Ask how many of a hundred careful tries land in the window."""
    start = {habit.quantity: habit.value for habit in habits}
    start["headwind"] = bench.bench.start["headwind"]
    low, high = (feet(end, context) for end in bench.window)

    def outcome(result):
        if result is None or any(abs(result.values[k] - v) > 0.01 for k, v in start.items()):
            return None
        return say(
            f"{WORDS}.panel.outcome",
            count=of_100(result.off.spread.inside, context),
            preferences=context.preferences,
        )

    return Prediction(
        say(
            f"{WORDS}.panel.question",
            aim=feet(AIM, context),
            low=low,
            high=high,
            preferences=context.preferences,
        ),
        kind="count",
        low=0.0,
        high=100.0,
        outcome=outcome,
    )
