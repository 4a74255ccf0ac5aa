"""The picture of the practice at altitude: the pattern over a road, and what bounds it."""

import numpy as np

from lessonkit.lessons.power_off_approach.flights import MARK
from lessonkit.lessons.power_off_approach.picture import PLAN_X
from lessonkit.scenes import Scene, SceneAxes, horizontal, label, line, points
from lessonkit.units import METRES_PER_FOOT, METRES_PER_NAUTICAL_MILE, ft_from_m, m_from_ft
from lessonkit.words import say, show

WORDS = "altitude_practice"
HIGHEST_LINE = m_from_ft(8000.0)
SHOWN = (m_from_ft(-2000.0), m_from_ft(1600.0))  # above the imaginary runway
LABELLED = {
    "abeam": ("start", (10.0, -10.0)),
    "base_turn": ("middle", (0.0, -14.0)),
    "base": ("end", (-10.0, 0.0)),
    "final_turn": ("end", (-10.0, 6.0)),
    "final": ("start", (4.0, 20.0)),
}


def say_it(context, key, **values):
    """Return one of the panel's texts."""
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def height_text(context, height):
    """Return a height or an altitude as an altimeter is read: to 10 ft."""
    rounded = 10.0 * round(ft_from_m(height) / 10.0) * METRES_PER_FOOT
    return show(rounded, "height", context.preferences)


def make_scene(context) -> Scene:
    """Return the empty picture: from above over the road, from the side with altitudes."""
    side = context.airfield.side
    return Scene(
        [
            SceneAxes(
                "plan",
                x=PLAN_X,
                y=(side * 220.0, -side * 1600.0),
                y_label=say_it(context, "plan_y"),
                x_unit=METRES_PER_NAUTICAL_MILE,
                y_unit=METRES_PER_NAUTICAL_MILE,
                share=1.5,
                equal=True,
                shared_x=True,
                y_numbers=False,
            ),
            SceneAxes(
                "side",
                x=PLAN_X,
                y=SHOWN,
                x_label=say_it(context, "side_x"),
                y_label=say_it(context, "side_y"),
                x_unit=METRES_PER_NAUTICAL_MILE,
                y_unit=METRES_PER_FOOT,
                share=1.2,
                shared_x=True,
            ),
        ],
        width=1000.0,
        height=620.0,
        alt=say_it(context, "alt"),
        preferences=context.preferences,
    )


def draw(scene, result, context) -> None:
    """Put the flown pattern over the line, and the altitudes that bound it."""
    scene.put(**_levels(result, context))
    if result.practice is None:
        scene.remove("path", "climb", "road", "road_text", "point", "keys_plan", "keys_side")
        scene.remove("go_around", "go_around_text", *(f"label_{key}" for key in LABELLED))
        return
    practice = result.practice
    history = practice.approach.history
    where = {call.key: call for call in practice.callouts}
    named = [where[key] for key in LABELLED if key in where]
    xs, ys = zip(*(_place(practice, call) for call in named), strict=True)
    scene.put(
        road=line("plan", [PLAN_X[0], PLAN_X[1]], [0.0, 0.0], role="muted"),
        road_text=label(
            "plan", PLAN_X[1], 0.0, say_it(context, "road"), role="muted", anchor="end",
            offset=(-6.0, 16.0),
        ),
        point=points("plan", MARK, 0.0, role="ink", size=6.0),
        path=line("plan", history.x, history.y),
        climb=line("side", history.x, history.height),
        keys_plan=points("plan", xs, ys, size=4.0),
        keys_side=points("side", xs, [call.height for call in named], size=4.0),
    )  # fmt: skip
    for call in named:
        anchor, offset = LABELLED[call.key]
        text = say_it(
            context,
            f"point.{call.key}",
            altitude=height_text(context, call.altitude),
            time=show(call.time, "time_s", context.preferences),
        )
        x, y = _place(practice, call)
        scene.put(**{f"label_{call.key}": label("plan", x, y, text, anchor=anchor, offset=offset)})
    for key in set(LABELLED) - set(where):
        scene.remove(f"label_{key}")


def _place(practice, call):

    history = practice.approach.history
    x, y = (float(np.interp(call.time, history.time, row)) for row in (history.x, history.y))
    return x, y


def _levels(result, context):
    """Draw ground, floor, imaginary runway and gate as lines across the side view."""
    values = result.values
    levels = {
        "ground": (values["ground"], "ink", -5.0),
        "floor": (values["ground"] + values["floor"], "limit", 14.0),
        "line": (values["line"], "reference", 14.0),
    }
    if result.practice is not None:
        levels["go_around"] = (result.practice.go_around_altitude, "muted", -5.0)
    items = {}
    for key, (level, role, dy) in levels.items():
        height = float(np.clip(level - values["line"], *SHOWN))
        items[key] = horizontal("side", height, role=role)
        text = say_it(context, f"level.{key}", altitude=height_text(context, level))
        items[f"{key}_text"] = label(
            "side", PLAN_X[1], height, text, role=role, anchor="end", offset=(-6.0, dy)
        )
    return items
