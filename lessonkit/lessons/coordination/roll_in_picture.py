"""Draws a roll-in: the view outside and its causes at one moment, and the curves against time."""

import numpy as np

from lessonkit.lessons.coordination.roll_in_flights import DURATION, RollIn
from lessonkit.scenes import (
    Grab,
    OutsideView,
    Scene,
    SceneAxes,
    area,
    label,
    line,
    outside_axes,
    points,
    vertical,
)
from lessonkit.words import say, show

WORDS = "roll_in_bench"
COLUMNS = (1.15, 1.0)
PEDAL = 0.8  # of full pedal, at the edges of the bars' picture
# Cause, and whether a learner sees it even while it is nothing.
CAUSES = ("pedal", "aileron", "roll", "fin", "rest", "sum")
BANK_EDGE, NOSE_EDGE = 50.0, 10.0  # deg
EDGES = {"ball": 10.0, "rate": 25.0, "load": 0.2}
LAST = {  # curves of the lowest picture: what they show, their role
    "ball": (("sideslip_deg", "main"), ("ball_deg", "good")),
    "rate": (("yaw_rate_deg", "main"), ("roll_rate_deg", "good")),
    "load": (("lateral_load", "main"),),
}
STRIPS = ("hands", "bank", "nose", "last")


def make_scene(context, curves: str) -> Scene:
    """Return the empty picture with its axes."""
    return Scene(
        axes_for(context, curves),
        columns=COLUMNS,
        width=1040.0,
        height=590.0,
        alt=_say(context, "alt"),
        preferences=context.preferences,
    )


def axes_for(context, curves: str) -> list[SceneAxes]:
    """Return the axes; the lowest strip depends on what is chosen for it."""

    def strip(name, y, key, y_unit=1.0, **more):
        return SceneAxes(
            name,
            x=(0.0, DURATION),
            y=y,
            x_label=_say(context, "axis.time"),
            y_label=_say(context, f"axis.{key}"),
            y_unit=y_unit,
            shared_x=True,
            column=1,
            **more,
        )

    edge = EDGES[curves]
    return [
        outside_axes(
            "outside",
            nose_cutoff_deg=context.airplane.nose_cutoff_deg,
            y_label=_say(context, "axis.outside"),
            share=1.35,
        ),
        SceneAxes(
            "causes",
            x=(-PEDAL, PEDAL),
            y=(len(CAUSES) - 0.4, -0.6),
            x_label=_say(context, "axis.causes_x"),
            y_label=_say(context, "axis.causes"),
            x_unit=0.01,
            y_numbers=False,
        ),
        strip("hands", (-1.0, 1.0), "hands", 0.01),
        strip("bank", (-BANK_EDGE, BANK_EDGE), "bank"),
        strip("nose", (-NOSE_EDGE, NOSE_EDGE), "nose", share=1.25),
        strip("last", (-edge, edge), curves),
    ]


def draw(scene: Scene, view: OutsideView, flight: RollIn, context) -> None:
    """Put all that moves."""
    scene.put(
        **_view_outside(view, flight, context),
        **_causes(flight, context),
        **_curves(flight, context),
        **_moment(flight, context),
    )
    for name in _other_curves(flight.values["curves"]):
        scene.remove(name, f"{name}_text")


def _say(context, key, **values):
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def _view_outside(view, flight, context):
    run, at = flight.run, flight.at
    heading = float(run.heading_deg[at])
    side = "ahead" if abs(heading) < 0.15 else "right" if heading > 0.0 else "left"
    angle = show(abs(heading), "angle_deg", context.preferences)
    text = _say(context, f"nose.{side}", angle=angle)
    items = view.items(
        bank_deg=float(run.bank_deg[at]),
        heading_deg=heading,
        ball_deg=float(run.ball_deg[at]),
    )
    # The words stand where the tower would be with the wings level, clear of the ground.
    items["nose_against_tower"] = label(
        view.axes, 0.0, 10.0, text, role="main", anchor="middle", strong=True
    )
    return items


# ---------------------------------------------------------------- causes


def causes_at(flight: RollIn) -> dict[str, float]:
    """Return each cause of yaw at the moment shown, as a share of full pedal, + to the right."""
    parts = {name: float(np.broadcast_to(value, flight.run.time.shape)[flight.at])
             for name, value in flight.parts._asdict().items()}  # fmt: skip
    return {
        "pedal": parts["rudder"],
        "aileron": parts["aileron"],
        "roll": parts["roll_rate"],
        "fin": parts["sideslip"],
        "rest": parts["yaw_rate"] + parts["power"],
        "sum": sum(parts.values()),
    }


def _causes(flight, context):
    items = {"causes_zero": vertical("causes", 0.0, role="ink")}
    roles = {"pedal": "good", "sum": "ink"}
    for row, (key, value) in enumerate(causes_at(flight).items()):
        end = float(np.clip(value, -PEDAL, PEDAL))
        role = roles.get(key, "main")
        items[f"cause_{key}"] = area(
            "causes", [0.0, end, end, 0.0], [row - 0.32, row - 0.32, row + 0.32, row + 0.32],
            role=role, fill=role,
        )  # fmt: skip
        # The name stands on the other side of the line, so that no bar runs through it.
        left = value > 0.0
        items[f"cause_{key}_text"] = label(
            "causes", 0.0, row, _say(context, f"cause.{key}"), role=role,
            anchor="end" if left else "start", offset=(-8.0 if left else 8.0, 4.5),
        )  # fmt: skip
        share = show(abs(value), "percent", context.preferences) if abs(value) >= 0.005 else ""
        items[f"cause_{key}_value"] = label(
            "causes", end, row, share, role=role,
            anchor="start" if left else "end", offset=(6.0 if left else -6.0, 4.5),
        )  # fmt: skip
    return items


# ---------------------------------------------------------------- curves


def _curves(flight, context):
    run, clean = flight.run, flight.clean
    aileron, rudder = flight.held
    items = {
        **_pair("hands", "needed", clean.time, clean.rudder - rudder, "reference", context),
        **_pair("hands", "aileron", run.time, run.aileron - aileron, "main", context),
        **_pair("hands", "rudder", run.time, run.rudder - rudder, "good", context),
        **_pair("bank", "bank_clean", clean.time, clean.bank_deg, "reference", context),
        **_pair("bank", "bank", run.time, run.bank_deg, "main", context),
        **_pair("nose", "nose_clean", clean.time, clean.heading_deg, "reference", context),
        **_pair("nose", "nose", run.time, run.heading_deg, "main", context),
    }
    for name in STRIPS:
        items[f"{name}_zero"] = line(name, [0.0, DURATION], [0.0, 0.0], role="muted")
    for key, role in LAST[flight.values["curves"]]:
        items.update(_pair("last", key, run.time, getattr(run, key), role, context))
    return items


def _other_curves(chosen):
    return [key for curves, pairs in LAST.items() if curves != chosen for key, _ in pairs]


TEXT_PLACES = {  # where along the time a curve is named, and how far off it [s, pixels]
    "aileron": (0.95, -6.0),
    "rudder": (2.9, 14.0),
    "needed": (1.75, -7.0),
    "bank": (3.4, 15.0),
    "bank_clean": (2.3, -8.0),
    "nose": (2.6, 16.0),
    "nose_clean": (1.6, -10.0),
    "sideslip_deg": (1.9, -7.0),
    "ball_deg": (3.0, 14.0),
    "yaw_rate_deg": (3.4, 15.0),
    "roll_rate_deg": (1.9, -8.0),
    "lateral_load": (2.6, -8.0),
}


def _pair(axes, key, time, values, role, context):
    """Return a curve and its name beside it, on the side away from the zero line."""
    place, off = TEXT_PLACES[key]
    edge = 0.8 * {"hands": 1.0, "bank": BANK_EDGE, "nose": NOSE_EDGE}.get(axes, EDGES["rate"])
    # Beside the curve, but never outside its picture where the curve leaves it.
    at = float(np.clip(np.interp(place, time, values), -edge, edge))
    return {
        key: line(axes, time, values, role=role),
        f"{key}_text": label(
            axes, place, at, _say(context, f"curve.{key}"), role=role, offset=(4.0, off)
        ),
    }


def _moment(flight, context):
    """Return the line of the moment shown, through all curves, and where it cuts them."""
    time = float(flight.run.time[flight.at])
    text = show(time, "time_s", context.preferences, digits=2)
    grab = Grab(
        "moment",
        _say(context, "grab_moment"),
        along="x",
        step=(0.05, 0.05),
        low=0.0,
        high=DURATION,
        text=text,
    )
    items = {f"{name}_now": vertical(name, time, role="ink") for name in STRIPS[1:]}
    run, at = flight.run, flight.at
    items["bank_at"] = points("bank", time, run.bank_deg[at], role="main", size=4.5)
    items["nose_at"] = points("nose", time, run.heading_deg[at], role="main", size=4.5)
    items["moment"] = vertical("hands", time, role="ink", grab=grab)
    return items
