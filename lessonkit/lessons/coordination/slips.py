"""Panel: forward slip for height, side slip for crosswind, and where the rudder ends."""

import math

from lessonkit.lessons.coordination.panel_parts import number, outside_view
from lessonkit.lessons.coordination.slip_flights import MOST_WIND, USES, Slip, SlipBench
from lessonkit.lessons.coordination.slip_picture import draw, make_scene
from lessonkit.lessons.coordination.slip_story import sentence
from lessonkit.panels import Choice, Control, Panel, Prediction
from lessonkit.units import mps_from_kt
from lessonkit.words import say, show

WORDS = "slips"
CONTROLS = ("use", "pedal", "crosswind", "speed", "flap")
OF_USE = {"pedal": "height", "crosswind": "wind"}  # controls that belong to one use
ANSWERS = ("tenth", "third", "twice")
FULL = 0.975  # share of full pedal, from which the prediction is answered


def slips(context) -> Panel:
    """Return the panel on which a slip loses height or stands against a crosswind."""
    bench = SlipBench(context)
    view = outside_view(context)

    def show_slip(scene, slip, values):
        draw(scene, view, slip, bench, context)
        return sentence(slip, bench, context)

    panel = Panel(
        context,
        "slips",
        title=say(f"{WORDS}.title", preferences=context.preferences),
        scene=make_scene(bench, context),
        controls=[_control(bench, context, key) for key in CONTROLS],
        compute=bench.compute,
        draw=show_slip,
        prediction=_prediction(bench, context),
        grabs={"crosswind": lambda event: _dragged(panel, event)},
    )
    _show_only_what_belongs(panel)
    return panel


def _dragged(panel, event):
    """Drag the crosswind: it keeps its side and makes the slip one against the wind."""
    side = math.copysign(1.0, panel.control("crosswind").value or 1.0)
    return {"use": "wind", "crosswind": side * min(max(event.x, 0.0), MOST_WIND)}


def _show_only_what_belongs(panel):
    use = panel.control("use")

    def arrange():
        for key, own in OF_USE.items():
            panel.control(key).widget.layout.display = None if own == use.value else "none"

    use.on_change(arrange)
    arrange()


def _control(bench, context, key) -> Control:
    preferences = context.preferences
    text = say(f"{WORDS}.control.{key}", preferences=preferences)
    if key == "use":
        options = [(say(f"{WORDS}.use.{one}", preferences=preferences), one) for one in USES]
        return Choice(key, text, options, bench.start[key])
    if key == "flap":
        flaps = context.airplane.flap_deg
        options = [(show(flap, "flap_deg", preferences), flap) for flap in flaps]
        return Choice(key, text, options, bench.start[key])
    places = {
        "pedal": ("percent", -1.0, 1.0, 0.05),
        "crosswind": ("wind_speed", -MOST_WIND, MOST_WIND, mps_from_kt(1.0)),
        "speed": ("speed", bench.slowest, bench.fastest, mps_from_kt(1.0)),
    }
    return number(context, WORDS, key, bench.start[key], places[key])


def _prediction(bench, context) -> Prediction:
    """Ask how much faster the airplane sinks with full pedal at the same speed."""
    preferences = context.preferences

    def outcome(slip: Slip) -> str | None:
        asked = slip.values["use"] == "height" and abs(slip.flight.rudder) > FULL
        if not asked or slip.refused:
            return None
        rise = show(float(slip.descent.sink_rise), "percent", preferences)
        return say(f"{WORDS}.outcome", rise=rise, preferences=preferences)

    speed = show(bench.start["speed"], "speed", preferences)
    return Prediction(
        say(f"{WORDS}.question", speed=speed, preferences=preferences),
        choices=[(key, say(f"{WORDS}.answer.{key}", preferences=preferences)) for key in ANSWERS],
        outcome=outcome,
    )
