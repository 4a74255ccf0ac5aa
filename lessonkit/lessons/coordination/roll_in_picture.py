"""Draws a roll-in: the view outside and its causes at one moment, and the curves against time."""

import numpy as np

from lessonkit.lessons.coordination.panel_parts import causes_axes
from lessonkit.lessons.coordination.roll_in_flights import DURATION, RollIn
from lessonkit.lessons.coordination.roll_in_names import Names
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
Edges = dict[str, tuple[float, float]]
PEDAL = 0.8  # of full pedal, at the edges of the bars' picture
# Cause, and whether a learner sees it even while it is nothing.
CAUSES = ("pedal", "aileron", "roll", "fin", "rest", "sum")
AT_THE_STOP = 0.999  # of full travel
HANDS_EDGE, HANDS_FAR = 1.0, 1.25  # of full travel: from trim, the far stop lies beyond one
# Ends of the strips: the first that holds the whole curve. The nose's picture reaches farther to
# the side of the roll, so that the small swing the other way stays large.
NOSE_EDGES = (6.0, 12.0, 18.0, 27.0, 40.0, 60.0, 90.0, 180.0)  # deg
NOSE_LEAST = 12.0  # deg, to the side of the roll
EDGES = {
    "bank": (50.0, 75.0, 100.0, 180.0),
    "ball": (10.0, 20.0, 40.0),
    "rate": (25.0, 50.0, 100.0),
    "load": (0.2, 0.4, 0.8),
}
LAST = {  # curves of the lowest picture: what they show, their role
    "ball": (("sideslip_deg", "main"), ("ball_deg", "good")),
    "rate": (("yaw_rate_deg", "main"), ("roll_rate_deg", "good")),
    "load": (("lateral_load", "main"),),
}
STRIPS = ("hands", "bank", "nose", "last")


def make_scene(context, curves: str, edges: Edges) -> Scene:
    """Return the empty picture with its axes."""
    return Scene(
        axes_for(context, curves, edges),
        columns=COLUMNS,
        width=1040.0,
        height=590.0,
        alt=_say(context, "alt"),
        preferences=context.preferences,
    )


def edges_of(flight: RollIn) -> Edges:
    """Return the ends of the strips that hold the learner's curves."""
    run = flight.run
    away = {side: float(np.max(side * run.heading_deg)) for side in (-1, 1)}
    least = {side: 0.0 if side == -flight.side else NOSE_LEAST for side in away}
    nose = {side: _first(NOSE_EDGES, max(most, least[side])) for side, most in away.items()}
    curves = flight.values["curves"]
    lowest = max(float(np.abs(getattr(run, key)).max()) for key, _ in LAST[curves])
    bank = _first(EDGES["bank"], float(np.abs(run.bank_deg).max()))
    last = _first(EDGES[curves], lowest)
    hands = _hands_edges(flight)
    return {
        "hands": hands,
        "bank": (-bank, bank),
        "nose": (-nose[-1], nose[1]),
        "last": (-last, last),
    }


def _hands_edges(flight):
    """Return ends one travel from trim, moved to the side on which a curve goes beyond that.

    The height stays two travels where it can: the axis then keeps its number at full travel.
    """
    held, run, clean = flight.held, flight.run, flight.clean
    drawn = np.concatenate([run.aileron - held[0], run.rudder - held[1], clean.rudder - held[1]])
    low, high = float(drawn.min()), float(drawn.max())
    if low >= -HANDS_EDGE and high <= HANDS_EDGE:
        return (-HANDS_EDGE, HANDS_EDGE)
    near = 2.0 * HANDS_EDGE - HANDS_FAR
    if low < -HANDS_EDGE:
        return (-HANDS_FAR, near if high <= near else HANDS_FAR)
    return (-near if low >= -near else -HANDS_FAR, HANDS_FAR)


def _first(ends, value):
    return next((end for end in ends if value <= end), ends[-1])


def axes_for(context, curves: str, edges: Edges) -> list[SceneAxes]:
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

    return [
        outside_axes(
            "outside",
            nose_cutoff_deg=context.airplane.nose_cutoff_deg,
            y_label=_say(context, "axis.outside"),
            share=1.35,
        ),
        causes_axes(context, WORDS, len(CAUSES), PEDAL),
        strip("hands", edges["hands"], "hands", 0.01),
        strip("bank", edges["bank"], "bank"),
        strip("nose", edges["nose"], "nose", share=1.25),
        strip("last", edges["last"], curves),
    ]


def draw(scene: Scene, view: OutsideView, flight: RollIn, context) -> None:
    """Put all that moves."""
    scene.put(
        **_view_outside(view, flight, context),
        **_causes(flight, context),
        **_curves(scene, flight, context),
        **_moment(flight, context),
    )
    unreached = {"stop_right", "stop_left"} - set(stops(flight))
    for name in [*_other_curves(flight.values["curves"]), *unreached]:
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


def _curves(scene, flight, context):
    run, clean = flight.run, flight.clean
    aileron, rudder = flight.held
    curves = [
        ("hands", "aileron", run.time, run.aileron - aileron, "main"),
        ("hands", "needed", clean.time, clean.rudder - rudder, "reference"),
        ("hands", "rudder", run.time, run.rudder - rudder, "good"),
        ("bank", "bank_clean", clean.time, clean.bank_deg, "reference"),
        ("bank", "bank", run.time, run.bank_deg, "main"),
        ("nose", "nose_clean", clean.time, clean.heading_deg, "reference"),
        ("nose", "nose", run.time, run.heading_deg, "main"),
        *(
            ("last", key, run.time, getattr(run, key), role)
            for key, role in LAST[flight.values["curves"]]
        ),
    ]
    items = {f"{name}_zero": line(name, [0.0, DURATION], [0.0, 0.0], role="muted")
             for name in STRIPS}  # fmt: skip
    texts = {key: _name_of(scene, axes, key, values, context) for axes, key, _, values, _ in curves}
    names = Names(scene, {"hands": float(run.time[flight.at])})
    items.update(_stops(names, flight, context))  # a level line has the fewest free places
    for axes, key, time, values, role in curves:
        items[key] = line(axes, time, values, role=role)
        place, offset = names.beside(axes, key, time, values, texts[key])
        items[f"{key}_text"] = label(axes, *place, texts[key], role=role, offset=offset)
    return items


def _name_of(scene, axes, key, values, context):
    """Return a curve's name; the coordinated nose says how far it goes beyond its picture."""
    low, high = scene.axes(axes).y
    if key != "nose_clean" or low <= values.min() <= values.max() <= high:
        return _say(context, f"curve.{key}")
    farthest = show(float(np.abs(values).max()), "bank", context.preferences)
    return _say(context, "curve.nose_beyond", angle=farthest)


def stops(flight: RollIn) -> dict[str, float]:
    """Return the ends of the pedal's travel that are reached, counted from trim as the curves."""
    used = np.concatenate([flight.run.rudder, flight.clean.rudder])
    ends = {"stop_right": 1.0, "stop_left": -1.0}
    return {
        name: end - flight.held[1]
        for name, end in ends.items()
        if (used * end).max() >= AT_THE_STOP
    }


def _stops(names, flight, context):
    """Draw where the pedal's travel ends, where somebody's foot gets there."""
    items, text = {}, _say(context, "curve.stop")
    time = np.array([0.0, DURATION])
    for name, end in stops(flight).items():
        items[name] = line("hands", time, [end, end], role="limit")
        place, offset = names.beside("hands", name, time, np.array([end, end]), text)
        items[f"{name}_text"] = label("hands", *place, text, role="limit", offset=offset)
    return items


def _other_curves(chosen):
    return [key for curves, pairs in LAST.items() if curves != chosen for key, _ in pairs]


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
