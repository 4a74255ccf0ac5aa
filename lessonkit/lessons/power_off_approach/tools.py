"""Panel of the tools for error: too high or too low, and what each tool is worth."""

from lessonkit.lessons.power_off_approach.tools_flights import MOMENTS, ToolBench
from lessonkit.lessons.power_off_approach.tools_picture import draw, make_scene
from lessonkit.lessons.power_off_approach.tools_story import (
    moved_text,
    question,
    sentence,
    tool_name,
)
from lessonkit.lessons.power_off_approach.tools_trials import HIGH, LOW, OUT_BY, answer
from lessonkit.panels import Choice, NumberControl, Panel, Prediction
from lessonkit.units import m_from_ft, mps_from_kt
from lessonkit.words import say, show

WORDS = "approach_tools"
ERROR = m_from_ft(150.0)
FLOOR = m_from_ft(500.0)  # for S-turns, until the instructor sets another
HEIGHT_STEP = m_from_ft(10.0)  # of heights that are dragged
ASKED = ("later", "slip", "s_turn", "flap")
# Controls that belong to a tool; the others are always there.
OF_TOOL = {
    "slip": ("rudder", "from_height", "to_height"),
    "s_turn": ("excursion", "swings", "floor"),
    "flap": ("from_height",),
    "later": ("seconds",),
    "earlier": ("seconds",),
    "faster": ("speed_off",),
    "stretch": ("speed_off",),
    "cut": ("cut",),
    "hold_flaps": (),
    "best_glide": (),
}


def tools_for_error(context) -> Panel:
    """Return the panel on which each tool for being too high or too low is tried."""
    bench = ToolBench(context)
    first, more = _controls(bench, context)

    gate = None

    def show_answer(scene, result, values):
        asked = gate is None or gate.status == "open"
        draw(scene, result, context, asked)
        return question(result, context) if asked else sentence(result, context)

    panel = Panel(
        context,
        "tools_for_error",
        title=say(f"{WORDS}.panel.title", preferences=context.preferences),
        scene=make_scene(context),
        controls=first,
        more=more,
        compute=lambda values: answer(bench, values, "draft"),
        full=lambda values: answer(bench, values, "full"),
        draw=show_answer,
        prediction=_prediction(first, more, context),
        grabs={
            key: lambda event, key=key: {key: HEIGHT_STEP * round(event.y / HEIGHT_STEP)}
            for key in ("from_height", "to_height", "floor")
        },
    )
    gate = panel.prediction
    gate.on_done(panel.update)  # until then the picture keeps the answer to itself
    _show_only_what_belongs(panel)
    return panel


def _show_only_what_belongs(panel):
    """Show the controls of the tool that is picked, and hide those of the others."""
    tool, own = panel.control("tool"), {key for keys in OF_TOOL.values() for key in keys}

    def arrange():
        for key in own:
            panel.control(key).widget.layout.display = (
                None if key in OF_TOOL[tool.value] else "none"
            )

    tool.on_change(arrange)
    arrange()


def _prediction(first, more, context) -> Prediction:
    """Ask which of four tools is worth most, with the panel's start settings."""
    preferences = context.preferences
    start = {control.key: control.start for control in (*first, *more)}
    values = {
        "seconds": show(start["seconds"], "time_s", preferences),
        "to_height": show(start["to_height"], "height", preferences),
        "excursion": show(start["excursion"], "bank", preferences),
        "floor": show(start["floor"], "height", preferences),
    }

    def outcome(result):
        asked = {key: value for key, value in start.items() if key != "tool"}
        if any(result.values[key] != value for key, value in asked.items()):
            return None
        best = min((result.trials[key] for key in ASKED), key=lambda trial: trial.moved)
        return say(
            f"{WORDS}.panel.outcome.most",
            tool=tool_name(best.key, preferences),
            moved=moved_text(best.moved, preferences),
            preferences=preferences,
        )

    return Prediction(
        say(
            f"{WORDS}.panel.question",
            error=show(ERROR, "height", preferences),
            preferences=preferences,
        ),
        choices=[
            (key, say(f"{WORDS}.panel.answer.{key}", preferences=preferences, **values))
            for key in ASKED
        ],
        outcome=outcome,
    )


def _controls(bench, context):
    """Return the controls shown at once, and those that stay folded."""
    preferences, airplane = context.preferences, context.airplane
    foot, knot = m_from_ft(1.0), mps_from_kt(1.0)

    def words(key):
        return say(f"{WORDS}.control.{key}", preferences=preferences)

    def number(key, kind, value, low, high, step):
        return NumberControl(
            key, words(key), kind, value=value, low=low, high=high, step=step,
            preferences=preferences,
        )  # fmt: skip

    moments = [(say(f"{WORDS}.moment.{key}", preferences=preferences), key) for key in MOMENTS]
    tools = [(tool_name(key, preferences), key) for key in (*HIGH, *LOW)]
    flaps = [(show(flap, "flap_deg", preferences), flap) for flap in airplane.flap_deg]
    swings = [(words("one_side"), 1), (words("both_sides"), 2)]
    first = [
        number("error", "height", ERROR, -300.0 * foot, 300.0 * foot, 10.0 * foot),
        Choice("moment", words("moment"), moments, MOMENTS[0]),
        Choice("tool", words("tool"), tools, "slip"),
        number("rudder", "percent", 1.0, 0.1, 1.0, 0.05),
        number("from_height", "height", 500.0 * foot, 100.0 * foot, 1000.0 * foot, 10.0 * foot),
        number("to_height", "height", 100.0 * foot, OUT_BY, 500.0 * foot, 10.0 * foot),
        number("excursion", "bank", 30.0, 10.0, 60.0, 5.0),
        Choice("swings", words("swings"), swings, 1),
        number("floor", "height", FLOOR, 200.0 * foot, 1000.0 * foot, 50.0 * foot),
        number("seconds", "time_s", 3.0, 1.0, 15.0, 1.0),
        number("speed_off", "speed", 5.0 * knot, 2.0 * knot, 15.0 * knot, knot),
        number("cut", "time_s", 2.0, 1.0, 8.0, 1.0),
    ]
    more = [
        number("headwind", "wind_speed", 0.0, 0.0, 20.0 * knot, knot),
        Choice("final_flap", words("final_flap"), flaps, bench.first_flap),
    ]
    return first, more


PANELS = {"tools_for_error": tools_for_error}
