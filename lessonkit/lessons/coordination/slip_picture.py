"""Draws a slip: the view ahead, from above, the paths over 1,000 ft, and pedal over crosswind."""

import math

import numpy as np

from lessonkit.lessons.coordination.panel_parts import side_of
from lessonkit.lessons.coordination.slip_flights import FORWARD, MOST_WIND, WINDS, Slip
from lessonkit.lessons.coordination.slip_story import SEEN_DEG
from lessonkit.scenes import (
    Grab,
    OutsideView,
    Scene,
    SceneAxes,
    area,
    arrow,
    horizontal,
    label,
    line,
    outside_axes,
    points,
    vertical,
)
from lessonkit.units import METRES_PER_FOOT, MPS_PER_KNOT, m_from_ft
from lessonkit.words import say, show

WORDS = "slips"
COLUMNS = (1.15, 1.0)
DEEPEST = m_from_ft(260.0)  # of the paths' picture
TOP_PEDAL = 1.25
LEAST_PEDAL = -0.3  # in a light wind the fin's offset alone may do more than is asked
# Airplane from above, nose up the picture: fuselage, wing, tail; half spans of 1.
FUSELAGE = [(-0.09, -0.75), (0.09, -0.75), (0.12, 0.45), (0.0, 0.62), (-0.12, 0.45)]
WING = [(-1.0, 0.12), (1.0, 0.12), (1.0, 0.34), (-1.0, 0.34)]
TAIL = [(-0.34, -0.75), (0.34, -0.75), (0.34, -0.62), (-0.34, -0.62)]


def make_scene(bench, context) -> Scene:
    """Return the empty picture with its axes."""
    return Scene(
        [
            outside_axes(
                "outside",
                nose_cutoff_deg=context.airplane.nose_cutoff_deg,
                y_label=_say(context, "axis.outside"),
                share=1.2,
            ),
            SceneAxes(
                "above",
                x=(-3.2, 3.2),
                y=(-1.3, 2.3),
                y_label=_say(context, "axis.above"),
                equal=True,
                x_numbers=False,
                y_numbers=False,
                grid=False,
            ),
            SceneAxes(
                "path",
                x=(0.0, FORWARD),
                y=(-DEEPEST, 0.0),
                x_label=_say(context, "axis.forward"),
                y_label=_say(context, "axis.lost"),
                x_unit=METRES_PER_FOOT,
                y_unit=-METRES_PER_FOOT,
                column=1,
            ),
            SceneAxes(
                "stop",
                x=(0.0, MOST_WIND),
                y=(LEAST_PEDAL, TOP_PEDAL),
                x_label=_say(context, "axis.wind"),
                y_label=_say(context, "axis.pedal"),
                x_unit=MPS_PER_KNOT,
                y_unit=0.01,
                column=1,
            ),
        ],
        columns=COLUMNS,
        width=1040.0,
        height=590.0,
        alt=_say(context, "alt"),
        preferences=context.preferences,
    )


def draw(scene: Scene, view: OutsideView, slip: Slip, bench, context) -> None:
    """Put all that moves; a slip that the card forbids is not drawn."""
    scene.put(
        **_outside(view, slip, context),
        **_above(slip, context),
        **_paths(slip, context),
        **_stop(slip, bench, context),
    )


def _say(context, key, **values):
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def _shown(slip):
    """Return sideslip, bank and ball as drawn: none where the card forbids the slip."""
    flight = slip.flight
    if slip.refused:
        return 0.0, 0.0, 0.0
    return flight.sideslip_deg, flight.bank_deg, flight.ball_deg


def _nose_deg(slip, beta):
    """Return the heading against the runway: off it in a forward slip, along it in a side slip."""
    return -beta if slip.values["use"] == "height" else 0.0


def _outside(view, slip, context):
    beta, bank, ball = _shown(slip)
    heading = _nose_deg(slip, beta)
    items = view.items(bank_deg=bank, heading_deg=heading, ball_deg=ball)
    if slip.refused:
        text = _say(context, "picture.refused")
    elif not slip.held:
        text = _say(context, "picture.beyond")
    elif slip.values["use"] == "wind":
        text = _say(context, "picture.along")
    elif abs(beta) < SEEN_DEG:
        text = _say(context, "picture.straight")
    else:
        angle = show(abs(beta), "angle_deg", context.preferences, digits=0)
        text = _say(context, "picture.nose", angle=angle, side=side_of(heading, context))
    items["nose_text"] = label(
        "outside", 0.0, 10.0, text, role="main" if slip.held and not slip.refused else "warn",
        anchor="middle", strong=True,
    )  # fmt: skip
    return items


def _turned(shape, heading_deg):
    """Turn a shape seen from above by a heading, clockwise positive."""
    heading = math.radians(heading_deg)
    c, s = math.cos(heading), math.sin(heading)
    x, y = np.array(shape, dtype=float).T
    return x * c + y * s, -x * s + y * c


def _above(slip, context):
    beta, _, _ = _shown(slip)
    heading = _nose_deg(slip, beta)
    items = {
        "runway": area(
            "above", [-0.45, 0.45, 0.45, -0.45], [1.55, 1.55, 2.6, 2.6], role="ink",
            fill="pavement",
        ),
        "track": arrow("above", 0.0, 0.0, 0.0, 1.5, role="good", width=3.0),
        "wing": area("above", *_turned(WING, heading), role="ink", fill="edge"),
        "tail": area("above", *_turned(TAIL, heading), role="ink", fill="edge"),
        "fuselage": area("above", *_turned(FUSELAGE, heading), role="ink", fill="ink"),
        "track_text": label(
            "above", 0.0, 1.15, _say(context, "picture.track"), role="good",
            anchor="end" if heading > 0.0 else "start",
            offset=(-9.0 if heading > 0.0 else 9.0, 0.0),
        ),
    }  # fmt: skip
    nose = _turned([(0.0, 0.62), (0.0, 1.45)], heading)
    far = abs(heading) > SEEN_DEG
    items["nose_line"] = line("above", *(nose if far else ([], [])), role="main")
    x, y = nose[0][1], nose[1][1]
    items["nose_line_text"] = label(
        "above",
        float(x),
        float(y),
        _say(context, "picture.nose_line") if far else "",
        role="main",
        anchor="end" if x < 0.0 else "start",
        offset=(-6.0 if x < 0.0 else 6.0, -2.0) if x < 0.0 else (6.0, -16.0),
    )
    return {**items, **_wind_arrow(slip, context)}


def _wind_arrow(slip, context):
    """Draw the crosswind beside the airplane, from the side it comes from."""
    wind = slip.values["crosswind"] if slip.values["use"] == "wind" else 0.0
    if abs(wind) < 0.5 * MPS_PER_KNOT:
        hidden = label("above", 0.0, 0.0, "")
        return {"wind": line("above", [], []), "wind_text": hidden}
    side = -math.copysign(1.0, wind)  # from the left: it stands on the left and points right
    length = 1.6 * abs(wind) / MOST_WIND + 0.3
    tail = side * (1.25 + length)
    return {
        "wind": arrow("above", tail, 0.25, side * 1.25, 0.25, role="reference", width=4.0),
        "wind_text": label(
            "above", side * 1.3, 0.25,
            _say(context, "picture.wind", wind=show(abs(wind), "wind_speed", context.preferences)),
            role="reference", anchor="start" if side > 0.0 else "end", offset=(0.0, -10.0),
        ),
    }  # fmt: skip


def _paths(slip, context):
    preferences = context.preferences
    straight = slip.lost(float(slip.descent.straight_sink_rate))
    slipping = slip.lost(float(slip.descent.sink_rate))
    shown = not slip.refused and slipping - straight > m_from_ft(1.0)

    def text(key, lost):
        return _say(context, f"picture.{key}", lost=show(lost, "height", preferences))

    return {
        "straight": line("path", [0.0, FORWARD], [0.0, -straight], role="reference"),
        "slipping": line("path", *(([0.0, FORWARD], [0.0, -slipping]) if shown else ([], []))),
        "straight_text": label(
            "path", FORWARD, -straight, text("path_straight", straight), role="reference",
            anchor="end", offset=(-8.0, -22.0),
        ),
        "slipping_text": label(
            "path", 0.55 * FORWARD, -0.55 * slipping,
            text("path_slip", slipping) if shown else "", role="main", strong=True,
            anchor="end", offset=(-10.0, 22.0),
        ),
    }  # fmt: skip


def _pedals(slip):
    """Return the pedal over the crosswind; nothing where the card keeps from slipping."""
    if slip.refused:
        return [], []
    return WINDS, np.where(slip.pedals <= TOP_PEDAL, slip.pedals, np.nan)


def _stop(slip, bench, context):
    preferences = context.preferences
    wind, pedal = slip.crosswind, slip.pedal_away
    grab = Grab(
        "crosswind",
        _say(context, "grab_wind"),
        along="x",
        step=(MPS_PER_KNOT, MPS_PER_KNOT),
        low=0.0,
        high=MOST_WIND,
        text=show(wind, "wind_speed", preferences),
    )
    items = {
        "full": horizontal("stop", 1.0, role="limit"),
        "full_text": label(
            "stop", 0.0, 1.0, _say(context, "picture.full"), role="limit", offset=(6.0, -6.0)
        ),
        "pedals": line("stop", *_pedals(slip)),
        "crosswind": points(
            "stop", wind, min(pedal, TOP_PEDAL), role="limit" if pedal > 1.0 else "main",
            size=8.0, grab=grab,
        ),
        "crosswind_text": label(
            "stop", wind, min(pedal, TOP_PEDAL),
            "" if slip.refused
            else _say(context, "picture.pedal", wind=show(wind, "wind_speed", preferences),
                      pedal=show(abs(pedal), "percent", preferences)),
            role="main", strong=True,
            anchor="start" if wind < 0.62 * MOST_WIND else "end",
            offset=(14.0, 26.0) if wind < 0.62 * MOST_WIND else (-14.0, -12.0),
        ),
    }  # fmt: skip
    if bench.demonstrated is None:
        return items
    shown = show(bench.demonstrated, "wind_speed", preferences)
    items["card"] = vertical("stop", bench.demonstrated, role="reference")
    items["card_text"] = label(
        "stop", bench.demonstrated, LEAST_PEDAL, _say(context, "picture.card", wind=shown),
        role="reference", offset=(7.0, -10.0),
    )  # fmt: skip
    return items
