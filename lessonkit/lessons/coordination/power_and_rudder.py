"""Panel: the pedal that power and speed ask for, and what happens when the feet come off."""

from lessonkit.lessons.coordination.power_controls import FIRST, MORE, control, prediction
from lessonkit.lessons.coordination.power_flights import PowerBench
from lessonkit.lessons.coordination.power_picture import draw, draw_asked, make_scene
from lessonkit.lessons.coordination.power_story import sentence
from lessonkit.panels import Panel
from lessonkit.scenes import OutsideView
from lessonkit.words import say

WORDS = "power_and_rudder"


def power_and_rudder(context) -> Panel:
    """Return the panel on which power and speed ask for pedal, held or let go."""
    bench = PowerBench(context)
    view = OutsideView(
        "outside",
        nose_cutoff_deg=context.airplane.nose_cutoff_deg,
        preferences=context.preferences,
    )

    made: list[Panel] = []

    def show_flight(scene, flight, values):
        # While the question is open, pedal and curves would answer it.
        if not made or made[0].prediction.status == "open":
            draw_asked(scene, view, flight)
            return say(f"{WORDS}.story.asked", preferences=context.preferences)
        draw(scene, view, flight, bench, context)
        return sentence(flight, bench, context)

    panel = Panel(
        context,
        "power_and_rudder",
        title=say(f"{WORDS}.title", preferences=context.preferences),
        scene=make_scene(bench, context),
        controls=[control(bench, context, key) for key in FIRST],
        more=[control(bench, context, key) for key in MORE],
        compute=bench.compute,
        draw=show_flight,
        prediction=prediction(bench, context),
        grabs={
            "speed": lambda event: {"speed": event.x},
            "moment": lambda event: {"moment": event.x},
        },
    )
    panel.prediction.on_done(panel.update)
    made.append(panel)
    return panel
