"""A small panel for the tests of pictures in a browser; a notebook cell imports it."""

from types import SimpleNamespace

from lessonkit.panels import LessonContext, NumberControl, Panel, Prediction
from lessonkit.scenes import Grab, Scene, SceneAxes, label, line, points, vertical

START = 400.0
STEP = 5.0


def build(prediction=False):
    """Return a panel whose one point lies at (value, 100) and can be dragged along x."""
    control = NumberControl(
        "place", "Place", "distance_m", value=START, low=0.0, high=1000.0, step=STEP, digits=3
    )

    def draw(scene, result, values):
        at = values["place"]
        scene.put(
            path=line("side", [0.0, at], [200.0, 100.0]),
            limit=vertical("side", 900.0),
            text=label("side", 100.0, 50.0, "A label"),
            handle=points(
                "side",
                at,
                100.0,
                grab=Grab(
                    "handle", "Turn", along="x", step=(STEP, STEP), low=0.0, high=1000.0,
                    text=control.text,
                ),
            ),
        )  # fmt: skip
        return f"The point is at {at:.3f}."

    return Panel(
        LessonContext("test"),
        "test",
        title="Test",
        scene=Scene(
            [SceneAxes("side", x=(0.0, 1000.0), y=(0.0, 200.0), x_label="m", y_label="m")],
            height=320.0,
            alt="A point on a line.",
        ),
        controls=[control],
        compute=lambda values: SimpleNamespace(),
        draw=draw,
        prediction=Prediction("Where?", choices=[("a", "Here"), ("b", "There")])
        if prediction
        else None,
        grabs={"handle": lambda event: {"place": event.x}},
    )
