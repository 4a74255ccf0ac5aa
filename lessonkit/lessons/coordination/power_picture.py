"""Draws the view outside, what yaws the airplane, the pedal needed over speed, and the swing."""

import numpy as np

from lessonkit.lessons.coordination.panel_parts import causes_axes
from lessonkit.lessons.coordination.power_flights import DURATION, OFF_AT, POWERS, PowerFlight
from lessonkit.lessons.coordination.power_story import pedal_text
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
from lessonkit.words import from_shown, say, show

WORDS = "power_and_rudder"
COLUMNS = (1.15, 1.0)
CAUSES = ("power", "pedal", "fin", "damping", "sum")
PEDAL = 0.7  # of full pedal, at the edges of the bars
NEED = (-0.5, 0.75)  # of full pedal, on the curves' axis
NOSE = 20.0  # deg
NAMED_AT = 22  # point of each curve at which its name stands
ROLES = {1.0: "main", 0.5: "reference", 0.0: "muted"}


def make_scene(bench, context) -> Scene:
    """Return the empty picture with its axes."""
    unit = from_shown(1.0, "speed", context.preferences)
    return Scene(
        [
            outside_axes(
                "outside",
                nose_cutoff_deg=context.airplane.nose_cutoff_deg,
                y_label=_say(context, "axis.outside"),
                share=1.5,
            ),
            causes_axes(context, WORDS, len(CAUSES), PEDAL),
            SceneAxes(
                "need",
                x=(bench.slowest, bench.fastest),
                y=NEED,
                x_label=_say(context, "axis.speed", unit=show_unit(context)),
                y_label=_say(context, "axis.need"),
                x_unit=unit,
                y_unit=0.01,
                share=1.35,
                column=1,
            ),
            SceneAxes(
                "nose",
                x=(0.0, DURATION),
                y=(-NOSE, NOSE),
                x_label=_say(context, "axis.time"),
                y_label=_say(context, "axis.nose"),
                column=1,
            ),
        ],
        columns=COLUMNS,
        width=1040.0,
        height=590.0,
        alt=_say(context, "alt"),
        preferences=context.preferences,
    )


def draw_asked(scene: Scene, view: OutsideView, flight: PowerFlight) -> None:
    """Put what may be seen before the question is answered: the nose held on the tower."""
    run = flight.run
    scene.put(
        **view.items(
            bank_deg=float(run.bank_deg[0]), heading_deg=0.0, ball_deg=float(run.ball_deg[0])
        ),
        causes_zero=vertical("causes", 0.0, role="ink"),
        need_zero=horizontal("need", 0.0, role="ink"),
        nose_zero=line("nose", [0.0, DURATION], [0.0, 0.0], role="muted"),
    )


def show_unit(context) -> str:
    """Return the unit of speeds on the axis."""
    return context.preferences.speed_unit


def draw(scene: Scene, view: OutsideView, flight: PowerFlight, bench, context) -> None:
    """Put all that moves."""
    run, at = flight.run, flight.at
    scene.put(
        **view.items(
            bank_deg=float(run.bank_deg[at]),
            heading_deg=float(run.heading_deg[at]),
            ball_deg=float(run.ball_deg[at]),
        ),
        **_feet(flight, context),
        **_causes(flight, context),
        **_need(flight, bench, context),
        **_nose(flight, context),
    )


def _say(context, key, **values):
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def _feet(flight, context):
    """Write above the horizon what the feet do at the moment shown."""
    pedal = pedal_text(float(flight.run.rudder[flight.at]), context)
    off = flight.values["feet"] == "off" and flight.run.time[flight.at] >= OFF_AT
    text = _say(context, "picture.off") if off else _say(context, "picture.held", pedal=pedal)
    return {"feet": label("outside", 0.0, 10.0, text, role="good", anchor="middle", strong=True)}


def causes_at(flight: PowerFlight) -> dict[str, float]:
    """Return each cause of yaw at the moment shown, as a share of full pedal, + to the right."""
    parts = {
        name: float(np.broadcast_to(value, flight.run.time.shape)[flight.at])
        for name, value in flight.parts._asdict().items()
    }
    return {
        "power": parts["power"],
        "pedal": parts["rudder"],
        "fin": parts["sideslip"],
        "damping": parts["yaw_rate"] + parts["roll_rate"] + parts["aileron"],
        "sum": sum(parts.values()),
    }


def _causes(flight, context):
    items = {"causes_zero": vertical("causes", 0.0, role="ink")}
    roles = {"pedal": "good", "sum": "ink"}
    for row, (key, value) in enumerate(causes_at(flight).items()):
        end = float(np.clip(value, -PEDAL, PEDAL))
        role = roles.get(key, "main")
        low, high = row - 0.32, row + 0.32
        items[f"cause_{key}"] = area(
            "causes", [0.0, end, end, 0.0], [low, low, high, high], role=role, fill=role
        )
        left = value > 0.0  # the name stands on the other side, so that no bar runs through it
        items[f"cause_{key}_text"] = label(
            "causes",
            0.0,
            row,
            _say(context, f"cause.{key}"),
            role=role,
            anchor="end" if left else "start",
            offset=(-8.0 if left else 8.0, 4.5),
        )
        share = show(abs(value), "percent", context.preferences) if abs(value) >= 0.005 else ""
        items[f"cause_{key}_value"] = label(
            "causes",
            end,
            row,
            share,
            role=role,
            anchor="start" if left else "end",
            offset=(6.0 if left else -6.0, 4.5),
        )
    return items


def _need(flight, bench, context):
    speeds, altitude = flight.speeds, flight.values["altitude"]
    items = {"need_zero": horizontal("need", 0.0, role="ink")}
    for power in POWERS:
        curve = bench.curve(power, altitude)
        name = f"need_{round(100 * power)}"
        key = "idle" if power == 0.0 else "full" if power == 1.0 else "half"
        items[name] = line("need", speeds, curve, role=ROLES[power])
        items[f"{name}_text"] = label(
            "need",
            float(speeds[NAMED_AT]),
            float(curve[NAMED_AT]),
            _say(context, f"curve.{key}"),
            role=ROLES[power],
            anchor="start" if key == "full" else "end",
            offset=(2.0, -8.0) if key == "full" else (-2.0, 16.0),
        )
    items["need_now"] = line("need", speeds, flight.curve, role="good")
    speed = flight.values["speed"]
    items["speed"] = points(
        "need",
        speed,
        float(np.clip(flight.needed, *NEED)),
        role="good",
        size=8.0,
        grab=Grab(
            "speed",
            _say(context, "grab_speed"),
            along="x",
            step=(mps_from_kt(1.0), mps_from_kt(1.0)),
            low=bench.slowest,
            high=bench.fastest,
            text=show(speed, "speed", context.preferences),
        ),
    )
    items["needed_text"] = label(
        "need",
        speed,
        float(np.clip(flight.needed, *NEED)),
        pedal_text(flight.needed, context),
        role="good",
        offset=(10.0, -12.0),
        strong=True,
    )
    items["estimate"] = label(
        "need", speeds[-1], NEED[0], _assumed(bench, context), role="muted",
        anchor="end", offset=(-4.0, -8.0),
    )  # fmt: skip
    return items


def _assumed(bench, context):
    propeller = bench.lateral.propeller
    if propeller is None:
        return ""
    share = show(propeller.fin_share, "percent", context.preferences)
    return _say(context, "picture.assumed", share=share)


def _nose(flight, context):
    run, at = flight.run, flight.at
    time = float(run.time[at])
    grab = Grab(
        "moment",
        _say(context, "grab_moment"),
        along="x",
        step=(0.1, 0.1),
        low=0.0,
        high=DURATION,
        text=show(time, "time_s", context.preferences, digits=1),
    )
    items = {
        "nose_zero": line("nose", [0.0, DURATION], [0.0, 0.0], role="muted"),
        "bank": line("nose", run.time, run.bank_deg, role="reference"),
        "nose": line("nose", run.time, run.heading_deg, role="main"),
        "nose_at": points("nose", time, float(run.heading_deg[at]), role="main", size=5.0),
        "moment": vertical("nose", time, role="ink", grab=grab),
    }
    heading, bank = float(run.heading_deg[-1]), float(run.bank_deg[-1])
    apart = abs(heading - bank) > 1.6
    above = heading >= bank
    for key, value, up in (("nose", heading, above), ("bank", bank, not above)):
        items[f"{key}_text"] = label(
            "nose",
            DURATION,
            value,
            _say(context, f"curve.{key}"),
            role="main" if key == "nose" else "reference",
            anchor="end",
            offset=(-4.0, -7.0 if up or apart and value > 0.0 else 16.0),
        )
    if flight.values["feet"] == "off":
        items["off"] = vertical("nose", OFF_AT, role="limit")
        items["off_text"] = label(
            "nose", OFF_AT, NOSE, _say(context, "picture.off"), role="limit", offset=(5.0, 15.0)
        )
    else:
        # no line where nobody lets go; it is put back with the feet
        items["off"] = line("nose", [], [], role="limit")
        items["off_text"] = label("nose", 0.0, 0.0, "", role="limit")
    return items
