"""Panels of the lesson on the power-off approach."""

from lessonkit.lessons.power_off_approach.altitude import practise_at_altitude
from lessonkit.lessons.power_off_approach.consistency import consistency
from lessonkit.lessons.power_off_approach.controls import bench_controls
from lessonkit.lessons.power_off_approach.flights import MARK, Bench
from lessonkit.lessons.power_off_approach.picture import draw, make_scene, wind_from_tip
from lessonkit.lessons.power_off_approach.plan_it import plan_it
from lessonkit.lessons.power_off_approach.profiles import stabilised_profiles
from lessonkit.lessons.power_off_approach.story import place, sentence
from lessonkit.lessons.power_off_approach.tools import tools_for_error
from lessonkit.lessons.power_off_approach.wind_weight import wind_weight
from lessonkit.panels import Panel, Prediction
from lessonkit.units import mps_from_kt
from lessonkit.words import say, show

WORDS = "power_off_approach.bench"
FIRST = ("base_turn", "abeam", "headwind", "crosswind", "final_flap")
MORE = ("height", "glide_cas", "final_cas", "base_flap", "bank", "mass", "scatter")
PREDICTED_HEADWIND = mps_from_kt(10.0)


def approach_bench(context) -> Panel:
    """Return the bench on which one power-off approach is flown from abeam to touchdown."""
    bench = Bench(context)
    first, more = (bench_controls(bench, context, keys) for keys in (FIRST, MORE))
    side = context.airfield.side

    def show_flight(scene, flight, values):
        draw(scene, flight, values, context)
        return sentence(flight, context)

    return Panel(
        context,
        "approach_bench",
        title=say(f"{WORDS}.title", preferences=context.preferences),
        scene=make_scene(context),
        controls=first,
        more=more,
        compute=bench.draft,
        full=bench.fly,
        draw=show_flight,
        prediction=_prediction(bench, context),
        grabs={
            "turn": lambda event: {"base_turn": MARK - event.x},
            "abeam": lambda event: {"abeam": -side * event.y},
            "wind": lambda event: wind_from_tip(event.x, event.y, side),
        },
    )


def _prediction(bench, context) -> Prediction:
    """Ask what ten knots of headwind do to an approach that fits in calm air."""
    preferences = context.preferences

    def outcome(flight):
        return place(flight.beyond, preferences) if _is_asked(bench.start, flight.values) else None

    return Prediction(
        say(
            f"{WORDS}.question",
            wind=show(PREDICTED_HEADWIND, "wind_speed", preferences),
            preferences=preferences,
        ),
        choices=[
            (key, say(f"{WORDS}.answer.{key}", preferences=preferences))
            for key in ("same", "little", "short", "long")
        ],
        outcome=outcome,
    )


def _is_asked(start, values) -> bool:
    """Tell whether the settings are the start's with the headwind of the prediction."""
    asked = {**start, "headwind": PREDICTED_HEADWIND}
    return all(abs(values[key] - value) < 0.01 for key, value in asked.items())


PANELS = {
    "approach_bench": approach_bench,
    "plan_it": plan_it,
    "wind_weight": wind_weight,
    "tools_for_error": tools_for_error,
    "practise_at_altitude": practise_at_altitude,
    "consistency": consistency,
    "stabilised_profiles": stabilised_profiles,
}
