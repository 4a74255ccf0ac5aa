"""The picture of the practice at altitude: the pattern over a road, and what bounds it."""

import math

import numpy as np

from lessonkit.lessons.power_off_approach.flights import MARK
from lessonkit.scenes import Scene, SceneAxes, horizontal, label, line, points
from lessonkit.units import METRES_PER_FOOT, METRES_PER_NAUTICAL_MILE, ft_from_m, m_from_ft
from lessonkit.words import say, show

WORDS = "altitude_practice"
ALONG = (-2000.0, 2000.0)  # along the road, in the landing direction [m]
ACROSS = (-220.0, 1600.0)  # from the road toward the pattern [m]
SHOWN = (m_from_ft(-2000.0), m_from_ft(1600.0))  # above the imaginary runway
# Anchor of each key point's label and its offset in scene pixels, in left traffic.
LABELLED = {
    "abeam": ("start", (10.0, -10.0)),
    "base_turn": ("middle", (0.0, -14.0)),
    "base": ("end", (-10.0, 0.0)),
    "final_turn": ("end", (-10.0, 6.0)),
    "final": ("end", (40.0, 20.0)),
}
WITH_HEADING = ("abeam", "base", "final")
TURNED_ROUND = {"start": "end", "middle": "middle", "end": "start"}
OF_FLIGHT = ("path", "field", "field_text", "climb", "road", "road_text", "point", "keys_plan",
             "keys_side", "passed")  # fmt: skip


def say_it(context, key, **values):
    """Return one of the panel's texts."""
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def height_text(context, height):
    """Return a height or an altitude as an altimeter is read: to 10 ft."""
    rounded = 10.0 * round(ft_from_m(height) / 10.0) * METRES_PER_FOOT
    return show(rounded, "height", context.preferences)


def make_scene(context) -> Scene:
    """Return the empty picture: from above over the road, from the side with altitudes."""
    return Scene(
        _axes(context, context.airfield.side),
        width=1000.0,
        height=620.0,
        alt=say_it(context, "alt"),
        preferences=context.preferences,
    )


def _axes(context, side):
    """Return the axes: landing to the right in left traffic, to the left in right traffic."""
    along = ALONG if side > 0.0 else ALONG[::-1]
    return [
        SceneAxes(
            "plan",
            x=along,
            y=(-side * ACROSS[0], -side * ACROSS[1]),
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
            x=along,
            y=SHOWN,
            x_label=say_it(context, "side_x"),
            y_label=say_it(context, "side_y"),
            x_unit=METRES_PER_NAUTICAL_MILE,
            y_unit=1000.0 * METRES_PER_FOOT,
            share=1.2,
            shared_x=True,
        ),
    ]


def draw(scene, result, context, compared: bool = True) -> None:
    """Put the flown pattern over the line, the altitudes that bound it, and the field's pattern."""
    side = result.values["side"]
    if (scene.axes("plan").x[0] < 0.0) != (side > 0.0):
        scene.set_axes(_axes(context, side))
    scene.put(**_levels(scene, result, context))
    if result.practice is None:
        scene.remove(*OF_FLIGHT, "go_around", "go_around_text")
        scene.remove(*(f"label_{key}" for key in LABELLED))
        return
    practice = result.practice
    named = [call for call in practice.callouts if call.key in LABELLED]
    places = {call.key: _place(practice, call) for call in named}
    scene.put(
        **_flight(scene, practice, context),
        keys_plan=points("plan", *zip(*places.values(), strict=True), size=4.0),
        keys_side=points(
            "side", [x for x, _ in places.values()], [call.height for call in named], size=4.0
        ),
        **{f"label_{call.key}": _callout(call, places[call.key], side, context) for call in named},
    )
    scene.remove(*(f"label_{key}" for key in set(LABELLED) - set(places)))
    if not compared:
        scene.remove("field", "field_text")


def _flight(scene, practice, context):
    """Draw road, mark and both patterns: as flown, and with the same plan at the field."""
    history, field = practice.approach.history, practice.approach_at_field.history
    low, high = sorted(scene.axes("plan").x)
    inside, away = ("start", 10.0) if practice.approach.plan.side > 0.0 else ("end", -10.0)
    down = practice.approach.touchdown
    middle = int(np.argmax(np.abs(field.y) < 0.5 * abs(field.y[0])))
    return {
        "road": line("plan", [low, high], [0.0, 0.0], role="muted"),
        "road_text": label(
            "plan", high, 0.0, say_it(context, "road"), role="muted",
            anchor=TURNED_ROUND[inside], offset=(math.copysign(6.0, -away), 16.0),
        ),
        "point": points("plan", MARK, 0.0, role="ink", size=6.0),
        "field": line("plan", field.x, field.y, role="reference"),
        "field_text": label(
            "plan", field.x[middle], field.y[middle], say_it(context, "at_field"),
            role="reference", anchor=inside, offset=(away, 0.0),
        ),
        "path": line("plan", history.x, history.y),
        "climb": line("side", history.x, history.height),
        "passed": points("side", down.x, 0.0, role="main", size=6.0),
    }  # fmt: skip


def _callout(call, place, side, context):
    anchor, (dx, dy) = LABELLED[call.key]
    if side < 0.0:
        anchor, dx = TURNED_ROUND[anchor], -dx
    values = {
        "altitude": height_text(context, call.altitude),
        "time": show(call.time, "time_s", context.preferences),
    }
    if call.key in WITH_HEADING:
        values["heading"] = show(call.heading_deg, "heading_deg", context.preferences)
    text = say_it(context, f"point.{call.key}", **values)
    return label("plan", *place, text, anchor=anchor, offset=(dx, dy))


def _place(practice, call):
    history = practice.approach.history
    x, y = (float(np.interp(call.time, history.time, row)) for row in (history.x, history.y))
    return x, y


def _levels(scene, result, context):
    """Draw ground, floor, imaginary runway and gate as lines across the side view.

    What lies below the picture is written at its lower edge, and how far below.
    """
    values = result.values
    levels = {
        "ground": (values["ground"], "ink", -5.0),
        "floor": (values["ground"] + values["floor"], "limit", 14.0),
        "line": (values["line"], "reference", 14.0),
    }
    if result.practice is not None:
        levels["go_around"] = (result.practice.go_around_altitude, "muted", -5.0)
    else:  # the floor lies above or close below the runway
        levels["floor"] = (*levels["floor"][:2], -5.0)
    # Written where the airplane is not: beyond the runway.
    edge = max(scene.axes("side").x)
    anchor, dx = ("end", -6.0) if values["side"] > 0.0 else ("start", 6.0)
    items, rows = {}, 0
    for key, (level, role, dy) in levels.items():
        height = level - values["line"]
        text = say_it(context, f"level.{key}", altitude=height_text(context, level))
        place = {"role": role, "anchor": anchor, "offset": (dx, dy)}
        if height < SHOWN[0]:
            scene.remove(key)
            below = height_text(context, -height)
            text = say_it(context, "level.below", level=text, below=below)
            place["offset"] = (dx, -6.0 - 16.0 * rows)
            rows, height = rows + 1, SHOWN[0]
        else:
            items[key] = horizontal("side", min(height, SHOWN[1]), role=role)
        items[f"{key}_text"] = label("side", edge, height, text, **place)
    return items
