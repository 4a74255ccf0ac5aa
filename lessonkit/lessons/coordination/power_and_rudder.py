"""Panel: the pedal that power and speed ask for, and what happens when the feet come off."""

from lessonkit.lessons.coordination.panel_parts import outside_view
from lessonkit.lessons.coordination.power_controls import FIRST, MORE, control, prediction
from lessonkit.lessons.coordination.power_flights import PowerBench
from lessonkit.lessons.coordination.power_picture import draw, draw_asked, make_scene
from lessonkit.lessons.coordination.power_story import sentence
from lessonkit.panels import Panel
from lessonkit.words import say

WORDS = "power_and_rudder"


def power_and_rudder(context) -> Panel:
    """Return the panel on which power and speed ask for pedal, held or let go."""
    bench = PowerBench(context)
    view = outside_view(context)

    def show_asked(scene, flight, values):
        # Pedal and curves would answer the question.
        draw_asked(scene, view, flight)
        return say(f"{WORDS}.story.asked", preferences=context.preferences)

    def show_flight(scene, flight, values):
        draw(scene, view, flight, bench, context)
        return sentence(flight, bench, context)

    return Panel(
        context,
        "power_and_rudder",
        title=say(f"{WORDS}.title", preferences=context.preferences),
        scene=make_scene(bench, context),
        controls=[control(bench, context, key) for key in FIRST],
        more=[control(bench, context, key) for key in MORE],
        compute=bench.compute,
        draw=show_flight,
        draw_asked=show_asked,
        prediction=prediction(bench, context),
        grabs={
            "speed": lambda event: {"speed": event.x},
            "moment": lambda event: {"moment": event.x},
        },
    )
