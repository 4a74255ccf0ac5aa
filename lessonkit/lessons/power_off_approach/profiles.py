"""Two stabilised approaches: one with power, one without, each held against its own gate."""

import ipywidgets

from lessonkit.lessons.power_off_approach.controls import bench_controls
from lessonkit.lessons.power_off_approach.profiles_flights import Both, ProfileBench
from lessonkit.lessons.power_off_approach.profiles_picture import (
    criterion_text,
    draw,
    make_scene,
    say_it,
)
from lessonkit.models.stabilised_approach import POWER_OFF, POWERED
from lessonkit.panels import NumberControl, Panel, Prediction
from lessonkit.panels.forms import TextBlock, style_block
from lessonkit.units import m_from_ft, mps_from_fpm, mps_from_kt
from lessonkit.words import show


def stabilised_profiles(context) -> Panel:
    """Return the panel that holds two approaches against their profiles."""
    bench = ProfileBench(context)
    gate = None

    def show_both(scene, both, values):
        asked = gate is None or gate.status == "open"
        draw(scene, both, context, verdicts=not asked)
        return say_it(context, "say.asked") if asked else sentence(both, context)

    panel = Panel(
        context,
        "stabilised_profiles",
        title=say_it(context, "title"),
        scene=make_scene(context),
        controls=_controls(bench, context),
        more=_more(context),
        compute=bench.fly,
        draw=show_both,
        prediction=_prediction(context),
    )
    note = TextBlock("plain", say_it(context, "note"))
    box = ipywidgets.VBox([style_block(), note.widget])
    box.add_class("lk-form")
    panel.widget.children = (*panel.widget.children, box)
    gate = panel.prediction
    gate.on_done(panel.update)  # until then the picture keeps the verdicts to itself
    return panel


def _number(context, key, kind, value, low, high, step):
    text = say_it(context, f"control.{key}")
    return NumberControl(
        key, text, kind, value=value, low=low, high=high, step=step, preferences=context.preferences
    )


def _controls(bench, context):
    foot, knot = m_from_ft(1.0), mps_from_kt(1.0)
    return [
        _number(context, "fast", "speed", 0.0, -10.0 * knot, 20.0 * knot, knot),
        _number(context, "flaps_by", "height", 600.0 * foot, 100.0 * foot, 800.0 * foot, 20 * foot),
        _number(context, "late", "time_s", 0.0, 0.0, 3.0, 0.5),
        *bench_controls(bench.bench, context, ("headwind",)),
    ]


def _more(context):
    foot, fpm = m_from_ft(1.0), mps_from_fpm(1.0)
    return [
        _number(
            context, "powered_gate", "height", POWERED.gate_height, 300.0 * foot, 800.0 * foot,
            50.0 * foot,
        ),
        _number(
            context, "power_off_gate", "height", POWER_OFF.gate_height, 200.0 * foot, 600.0 * foot,
            50.0 * foot,
        ),
        _number(
            context, "sink_limit", "vertical_speed", POWERED.sink_limit, 400.0 * fpm,
            1000.0 * fpm, 50.0 * fpm,
        ),
    ]  # fmt: skip


def _prediction(context):
    """Ask which limit of the powered profile a good power-off approach breaks."""

    def outcome(both):
        if both.power_off is None:
            return None
        sink = both.power_off.criteria[-1].value
        return say_it(
            context,
            "outcome",
            sink=show(sink, "vertical_speed", context.preferences, digits=-1),
            limit=show(both.values["sink_limit"], "vertical_speed", context.preferences),
        )

    return Prediction(
        say_it(context, "question"),
        choices=[
            (key, say_it(context, f"answer.{key}")) for key in ("speed", "sink", "flaps", "none")
        ],
        outcome=outcome,
    )


# Saying -----------------------------------------------------------------------------------------


def sentence(both: Both, context) -> str:
    """Say for each approach how it stands at its gate, and what follows."""
    held = {"powered": both.powered, "power_off": both.power_off}
    return " ".join(_decision(name, one, context) for name, one in held.items())


def _decision(name, held, context):
    if held is None:
        return say_it(context, f"say.no_gate.{name}")
    return say_it(
        context,
        f"say.stands.{name}",
        gate=show(held.profile.gate_height, "height", context.preferences),
        how=", ".join(criterion_text(one, context) for one in held.criteria),
        decision=say_it(context, f"decision.{'go_on' if held.go_on else 'go_around'}"),
    )
