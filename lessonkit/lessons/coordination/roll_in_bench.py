"""Panel: one roll-in, hands and feet set by amount and timing, and why the nose went there."""

from lessonkit.lessons.coordination.panel_parts import number, outside_view
from lessonkit.lessons.coordination.roll_in_flights import DURATION, STEP, RollIn, RollInBench
from lessonkit.lessons.coordination.roll_in_picture import axes_for, draw, edges_of, make_scene
from lessonkit.lessons.coordination.roll_in_story import moves, sentence
from lessonkit.panels import Choice, Control, Panel, Prediction
from lessonkit.units import mps_from_kt
from lessonkit.words import say, show

WORDS = "roll_in_bench"
FIRST = ("aileron", "rudder", "lag", "speed", "moment")
MORE = ("aileron_time", "hold", "power", "curves")
NAMED = ("lag", "aileron_time")  # labels that begin no sentence


def roll_in_bench(context) -> Panel:
    """Return the bench on which one roll-in is flown by amount and timing of hands and feet."""
    bench = RollInBench(context)
    shown = {"curves": bench.start["curves"], "edges": edges_of(bench.compute(bench.start))}
    scene = make_scene(context, **shown)
    view = outside_view(context)

    def show_flight(scene, flight, values):
        needed = {"curves": values["curves"], "edges": edges_of(flight)}
        if needed != shown:
            shown.update(needed)
            scene.set_axes(axes_for(context, **shown))
        draw(scene, view, flight, context)
        return sentence(flight, context)

    return Panel(
        context,
        "roll_in_bench",
        title=say(f"{WORDS}.title", preferences=context.preferences),
        scene=scene,
        controls=[_control(bench, context, key) for key in FIRST],
        more=[_control(bench, context, key) for key in MORE],
        compute=bench.compute,
        draw=show_flight,
        prediction=_prediction(context),
        grabs={"moment": lambda event: {"moment": STEP * round(event.x / STEP)}},
    )


def _control(bench, context, key) -> Control:
    preferences = context.preferences
    text = say(f"{WORDS}.control.{key}", preferences=preferences)
    if key == "curves":
        options = [
            (say(f"{WORDS}.option.{one}", preferences=preferences), one)
            for one in ("ball", "rate", "load")
        ]
        return Choice(key, text, options, bench.start[key])
    places = {
        "aileron": ("percent", -1.0, 1.0, 0.05),
        "rudder": ("percent", -1.0, 1.0, 0.05),
        "lag": ("time_s", -1.0, 1.0, 0.1),
        "speed": ("speed", bench.slowest, bench.fastest, mps_from_kt(1.0)),
        "moment": ("time_s", 0.0, DURATION, 0.05),
        "aileron_time": ("time_s", 0.4, 2.0, 0.1),
        "hold": ("time_s", 0.0, 1.6, 0.1),
        "power": ("percent", 0.0, 1.0, 0.05),
    }
    return number(context, WORDS, key, bench.start[key], places[key], key in NAMED)


def _prediction(context) -> Prediction:
    """Ask which way the nose goes first when the hands roll right and the feet stay still."""
    preferences = context.preferences

    def outcome(flight: RollIn) -> str | None:
        if flight.side != 1 or moves(flight.values["rudder"]):
            return None
        if not flight.swing_deg:
            return say(f"{WORDS}.outcome.still", preferences=preferences)
        angle = show(flight.swing_deg, "angle_deg", preferences)
        return say(f"{WORDS}.outcome.left", angle=angle, preferences=preferences)

    return Prediction(
        say(f"{WORDS}.question", preferences=preferences),
        choices=[
            (key, say(f"{WORDS}.answer.{key}", preferences=preferences))
            for key in ("right", "still", "left")
        ],
        outcome=outcome,
    )
