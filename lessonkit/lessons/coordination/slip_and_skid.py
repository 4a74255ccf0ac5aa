"""Panel: a turn with too much or too little rudder, its ball, its side load and its wings."""

from lessonkit.lessons.coordination.panel_parts import number, outside_view
from lessonkit.lessons.coordination.skid_flights import (
    MOST_PEDAL,
    PATHS,
    STEEPEST_DEG,
    FeltTurn,
    SkidBench,
)
from lessonkit.lessons.coordination.skid_picture import draw, make_scene
from lessonkit.lessons.coordination.skid_story import sentence
from lessonkit.panels import Choice, Control, Panel, Prediction
from lessonkit.units import mps_from_kt
from lessonkit.words import say, show

WORDS = "slip_and_skid"
FIRST = ("pedal", "bank", "speed")
MORE = ("power", "path")
CLEARLY = 0.25  # share of full pedal, from which the prediction is answered


def slip_and_skid(context) -> Panel:
    """Return the panel on which a turn slips or skids as the feet make it."""
    bench = SkidBench(context)
    view = outside_view(context)

    def shown(asked):
        def show_turn(scene, felt, values):
            draw(scene, view, felt, bench, context, asked)
            return sentence(felt, bench, context)

        return show_turn

    return Panel(
        context,
        "slip_and_skid",
        title=say(f"{WORDS}.title", preferences=context.preferences),
        scene=make_scene(bench, context),
        controls=[_control(bench, context, key) for key in FIRST],
        more=[_control(bench, context, key) for key in MORE],
        compute=bench.compute,
        draw=shown(asked=False),
        draw_asked=shown(asked=True),  # its curves keep the answer to themselves
        prediction=_prediction(bench, context),
        grabs={"pedal": lambda event: {"pedal": event.x}},
    )


def _control(bench, context, key) -> Control:
    preferences = context.preferences
    text = say(f"{WORDS}.control.{key}", preferences=preferences)
    if key == "path":
        options = [(say(f"{WORDS}.path.{one}", preferences=preferences), one) for one in PATHS]
        return Choice(key, text, options, bench.start[key])
    places = {
        "pedal": ("percent", -MOST_PEDAL, MOST_PEDAL, 0.05),
        "bank": ("bank", -STEEPEST_DEG, STEEPEST_DEG, 5.0),
        "speed": ("speed", bench.slowest, bench.fastest, mps_from_kt(1.0)),
        "power": ("percent", 0.0, 1.0, 0.05),
    }
    return number(context, WORDS, key, bench.start[key], places[key])


def _prediction(bench, context) -> Prediction:
    """Ask where the ball goes when the foot on the inside presses too much."""
    preferences = context.preferences

    def outcome(felt: FeltTurn) -> str | None:
        if felt.values["pedal"] < CLEARLY or felt.side < 0:
            return None
        key = {"skid": "outside", "slip": "inside", "coordinated": "middle"}[felt.kind]
        angle = show(abs(felt.turn.flight.ball_deg), "angle_deg", preferences)
        return say(f"{WORDS}.outcome.{key}", angle=angle, preferences=preferences)

    bank = show(bench.start["bank"], "bank", preferences)
    return Prediction(
        say(f"{WORDS}.question", bank=bank, preferences=preferences),
        choices=[
            (key, say(f"{WORDS}.answer.{key}", preferences=preferences))
            for key in ("inside", "middle", "outside")
        ],
        outcome=outcome,
    )
