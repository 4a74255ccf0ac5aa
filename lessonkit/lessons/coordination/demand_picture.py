"""Draws how each cue of the same roll changes with speed, and the view at two speeds."""

import numpy as np

from lessonkit.lessons.coordination.demand_flights import CUES, Demand, DemandBench
from lessonkit.lessons.coordination.panel_parts import outside_view
from lessonkit.scenes import (
    Grab,
    OutsideView,
    Scene,
    SceneAxes,
    area,
    horizontal,
    label,
    line,
    outside_axes,
    points,
    vertical,
)
from lessonkit.units import mps_from_kt
from lessonkit.words import from_shown, say, show, unit_of

WORDS = "rudder_demand"
COLUMNS = (1.3, 1.0)
MOST = 5.5  # times the value at the fastest speed, upper edge of the picture
ROLES = {
    "sideslip": "main",
    "swing": "reference",
    "pedal": "good",
    "ball": "warn",
    "load": "ink",
    "per_degree": "limit",
}
LINE_PX = 22.0  # least distance between two texts
WARNED_PX = 50.0  # height of the texts of stall and warning, above which the cues are named


def make_scene(bench: DemandBench, context) -> Scene:
    """Return the empty picture with its axes."""
    preferences, cutoff = context.preferences, context.airplane.nose_cutoff_deg
    unit = unit_of("speed", preferences)
    fast = show(bench.fastest, "speed", preferences)
    axes = [
        SceneAxes(
            "demand",
            x=speed_edges(bench),
            y=(0.0, MOST),
            x_label=_say(context, "axis.speed", unit=unit),
            y_label=_say(context, "axis.times", speed=fast),
            x_unit=float(from_shown(1.0, "speed", preferences)),
        ),
        outside_axes(
            "slow", nose_cutoff_deg=cutoff, column=1, y_label=_say(context, "axis.at_line")
        ),
        outside_axes(
            "fast", nose_cutoff_deg=cutoff, column=1, y_label=_say(context, "axis.at", speed=fast)
        ),
    ]
    return Scene(
        axes,
        columns=COLUMNS,
        width=1040.0,
        height=570.0,
        alt=_say(context, "alt"),
        preferences=preferences,
    )


def speed_edges(bench: DemandBench) -> tuple[float, float]:
    """Return the ends of the speed axis in m/s: a little below the stall, where one is known."""
    low = bench.slowest if bench.stall is None else 0.94 * bench.stall
    return low, bench.fastest


def views(context) -> dict[str, OutsideView]:
    """Return the two views outside, at the chosen speed and at the fastest."""
    return {name: outside_view(context, name) for name in ("slow", "fast")}


def draw(scene: Scene, outside, bench: DemandBench, demand: Demand, speed: float, context) -> None:
    """Put all that moves."""
    draw_reference(scene, outside, bench, demand, context)
    scene.put(
        **{
            f"curve_{cue}": line("demand", demand.speed, demand.growth(cue), role=ROLES[cue])
            for cue in CUES
        },
        **_at_speed(scene, bench, demand, speed, context),
        **_view(outside["slow"], demand, speed, context),
    )


def draw_reference(scene: Scene, outside, bench: DemandBench, demand: Demand, context) -> None:
    """Put what all is held against: the view at the fastest speed, the stall, the value one."""
    scene.put(
        **_limits(bench, context),
        one=horizontal("demand", 1.0, role="muted"),
        **_view(outside["fast"], demand, bench.fastest, context),
    )


def _say(context, key, **values):
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def _limits(bench, context):
    """Shade the stall and the speeds at which its warning is on."""
    if bench.stall is None:
        return {}
    low, _ = speed_edges(bench)
    items = {"stall": _shade(low, bench.stall, "limit")}
    items["stall_text"] = label(
        "demand", low, 0.0, _say(context, "stall"), role="limit", offset=(5.0, -8.0)
    )
    if bench.warning is not None:
        items["warning"] = _shade(bench.stall, bench.warning, "muted")
        items["warning_text"] = label(
            "demand", bench.stall, 0.0, _say(context, "warning"), role="ink", offset=(5.0, -26.0)
        )
    return items


def _shade(left, right, role):
    return area("demand", [left, right, right, left], [0.0, 0.0, MOST, MOST], role=role)


def _at_speed(scene, bench, demand, speed, context):
    """Draw the line of the speed shown and, where it cuts the curves, their names and values."""
    preferences = context.preferences
    grab = Grab(
        "speed",
        _say(context, "grab_speed"),
        along="x",
        step=(mps_from_kt(1.0),) * 2,
        low=bench.slowest,
        high=bench.fastest,
        text=show(speed, "speed", preferences),
    )
    growth = {cue: demand.growth(cue, speed) for cue in CUES}
    known = {cue: times for cue, times in growth.items() if np.isfinite(times)}
    pixel = scene.pixel_size("demand")[1]
    gap = LINE_PX * pixel
    places = spread(known, gap, WARNED_PX * pixel, MOST - 0.5 * gap)
    low, high = speed_edges(bench)
    right = speed < low + 0.55 * (high - low)
    items = {"speed_line": vertical("demand", speed, role="ink", grab=grab)}
    for cue, times in growth.items():
        text = ""
        if cue in known:
            shown = show(times, "number", preferences, digits=1)
            text = _say(context, f"cue.{cue}", times=shown)
        items[f"at_{cue}"] = points("demand", speed, min(times, MOST), role=ROLES[cue], size=4.5)
        items[f"text_{cue}"] = label(
            "demand", speed, places.get(cue, 0.0), text, role=ROLES[cue],
            anchor="start" if right else "end", offset=(18.0 if right else -18.0, 4.5),
        )  # fmt: skip
    return items


def spread(wanted: dict[str, float], gap: float, low: float, high: float) -> dict[str, float]:
    """Return places in the same order, at least a gap apart and inside the limits.

    Examples
    --------
    >>> spread({"a": 1.0, "b": 1.0, "c": 3.0}, 0.5, 0.0, 3.0)
    {'a': 1.0, 'b': 1.5, 'c': 3.0}
    """
    order = sorted(wanted, key=wanted.__getitem__)
    places = np.array([wanted[key] for key in order])
    steps = gap * np.arange(places.size)
    # Push up what stands too close to the one below, then down what left the upper limit.
    places = np.maximum.accumulate(np.maximum(places, low) - steps) + steps
    back = steps[::-1]
    places = np.minimum(places, high - back)
    return {key: float(place) for key, place in zip(order, places, strict=True)}


def _view(view, demand, speed, context):
    seen = {
        key: float(np.interp(speed, demand.speed, values)) for key, values in demand.seen.items()
    }
    items = view.items(**seen)
    preferences = context.preferences
    text = _say(
        context,
        f"view.{view.axes}",
        speed=show(speed, "speed", preferences),
        angle=show(abs(seen["heading_deg"]), "angle_deg", preferences),
        ball=show(seen["ball_deg"], "angle_deg", preferences),
    )
    items[f"{view.prefix}said"] = label(
        view.axes, 0.0, 8.8, text, role="main", anchor="middle", strong=True
    )
    return items
