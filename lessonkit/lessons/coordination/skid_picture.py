"""Draws a turn that slips or skids: outside, from behind with its forces, and over the pedal."""

import math

import numpy as np

from lessonkit.lessons.coordination.skid_flights import MOST_PEDAL, PEDALS, FeltTurn
from lessonkit.scenes import (
    Grab,
    OutsideView,
    Scene,
    SceneAxes,
    area,
    arrow,
    circle,
    label,
    line,
    outside_axes,
    points,
    vertical,
)
from lessonkit.words import say, show

WORDS = "slip_and_skid"
COLUMNS = (1.15, 1.0)
STRIPS = ("ball", "rate", "wings")
BALL, RATE, WINGS_LOW = 5.0, 2.0, -1.5
HALF_SPAN, FIN, LIFT = 1.5, 0.42, 1.0  # of the drawing from behind
SIDE_SCALE = 12.0  # the side force is drawn so many times too long
WINGS_HIGH = 12.0  # deg
# Over the pedal these tell where the ball goes.
ANSWERS = ("ball_curve", "rate_curve", "inside_curve", "outside_curve", "slip_text", "skid_text")


def make_scene(bench, context) -> Scene:
    """Return the empty picture with its axes."""

    def strip(name, y, **more):
        return SceneAxes(
            name,
            x=(-MOST_PEDAL, MOST_PEDAL),
            y=y,
            x_label=_say(context, "axis.pedal"),
            y_label=_say(context, f"axis.{name}"),
            x_unit=0.01,
            shared_x=True,
            column=1,
            **more,
        )

    axes = [
        outside_axes(
            "outside",
            nose_cutoff_deg=context.airplane.nose_cutoff_deg,
            y_label=_say(context, "axis.outside"),
            share=1.3,
        ),
        SceneAxes(
            "behind",
            x=(-1.9, 1.9),
            y=(-1.15, 1.3),
            y_label=_say(context, "axis.behind"),
            equal=True,
            x_numbers=False,
            y_numbers=False,
            grid=False,
            share=1.1,
        ),
        strip("ball", (-BALL, BALL)),
        strip("rate", (-RATE, RATE)),
    ]
    if bench.stall_known:
        axes.append(strip("wings", (WINGS_LOW, WINGS_HIGH)))
    return Scene(
        axes,
        columns=COLUMNS,
        width=1040.0,
        height=600.0,
        alt=_say(context, "alt"),
        preferences=context.preferences,
    )


def draw(scene: Scene, view: OutsideView, felt: FeltTurn, bench, context, asked=False) -> None:
    """Put all that moves; while the question is open the curves keep the answer to themselves."""
    items = {
        **_outside(view, felt, context),
        **_behind(felt, bench, context),
        **_strips(felt, bench, context),
    }
    if asked:
        items = {name: item for name, item in items.items() if name not in ANSWERS}
    scene.put(**items)


def _say(context, key, **values):
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def _outside(view, felt, context):
    """Draw the path going to the tower for a moment, and the nose off it by the sideslip."""
    flight = felt.turn.flight
    bank, beta = flight.bank_deg, flight.sideslip_deg
    # level flight: the path lies on the horizon, which puts the nose a little above or below it
    pitch = beta * math.sin(math.radians(bank))
    items = view.items(
        bank_deg=bank,
        heading_deg=-beta * math.cos(math.radians(bank)),
        ball_deg=flight.ball_deg,
        pitch_deg=pitch,
        path=(0.0, beta),
    )
    items["kind"] = label(
        "outside",
        0.0,
        10.0,
        _say(context, f"picture.{felt.kind}"),
        role="good" if felt.kind == "coordinated" else "warn",
        anchor="middle",
        strong=True,
    )
    # under the cross, on the side away from the nose
    items["path_text"] = label(
        "outside",
        beta,
        0.0,
        _say(context, "picture.path"),
        role="good",
        anchor="end" if beta < 0.0 else "start",
        offset=(-10.0 if beta < 0.0 else 10.0, 18.0),
    )
    return items


# ---------------------------------------------------------------- from behind


def _turned(points_xy, bank_deg):
    """Turn points of the airplane, x right and y up, by its bank: right wing down positive."""
    bank = math.radians(bank_deg)
    c, s = math.cos(bank), math.sin(bank)
    x, y = np.array(points_xy, dtype=float).T
    return x * c + y * s, -x * s + y * c


def _behind(felt, bench, context):
    flight = felt.turn.flight
    bank = flight.bank_deg
    rise = HALF_SPAN * math.tan(math.radians(bench.dihedral_deg))
    wing = [(-HALF_SPAN, rise), (0.0, 0.0), (HALF_SPAN, rise)]
    wing += [(HALF_SPAN, rise + 0.06), (0.0, 0.09), (-HALF_SPAN, rise + 0.06)]
    fin = [(-0.03, 0.1), (0.03, 0.1), (0.03, FIN), (-0.03, FIN)]
    tail = [(-0.5, 0.1), (0.5, 0.1), (0.5, 0.15), (-0.5, 0.15)]
    up = _turned([(0.0, LIFT * flight.load_factor)], bank)
    across = _turned([(SIDE_SCALE * flight.lateral_load, 0.0)], bank)
    items = {
        "wing": area("behind", *_turned(wing, bank), role="ink", fill="edge"),
        "tail": area("behind", *_turned(tail, bank), role="ink", fill="edge"),
        "fin": area("behind", *_turned(fin, bank), role="ink", fill="edge"),
        "body": circle("behind", 0.0, 0.0, 0.17, role="ink"),
        "weight": arrow("behind", 0.0, 0.0, 0.0, -LIFT, role="ink"),
        "lift": arrow("behind", 0.0, 0.0, float(up[0][0]), float(up[1][0]), role="main"),
        "side": arrow(
            "behind", 0.0, 0.0, float(across[0][0]), float(across[1][0]), role="warn", width=4.0
        ),
        "weight_text": label(
            "behind", 0.0, -LIFT, _say(context, "picture.weight"), offset=(7.0, 2.0)
        ),
        "lift_text": label(
            "behind",
            float(up[0][0]),
            float(up[1][0]),
            _say(context, "picture.lift"),
            role="main",
            offset=(8.0, 2.0),
        ),
    }
    shown = felt.kind != "coordinated"
    left = felt.side > 0  # the corner that the low wing leaves free
    items["side_text"] = label(
        "behind",
        -2.6 if left else 2.6,
        -1.05,
        _say(context, "picture.side", times=show(SIDE_SCALE, "count", context.preferences))
        if shown
        else "",
        role="warn",
        anchor="start" if left else "end",
    )
    return {**items, **_wing_texts(felt, bench, context)}


def _wing_texts(felt, bench, context):
    """Write at each wing what is left before its stall."""
    items = {}
    for side, name in ((-1.0, "left"), (1.0, "right")):
        x, y = _turned([(side * HALF_SPAN, 0.12)], felt.turn.flight.bank_deg)
        margin = getattr(felt.turn.wings, f"{name}_deg")
        nearer = felt.nearer == name
        low = felt.turn.inside == name
        text = ""
        if bench.stall_known:
            digits = None if felt.kind == "coordinated" else 0
            angle = show(max(margin, 0.0), "angle_deg", context.preferences, digits=digits)
            text = _say(context, f"picture.margin.{felt.kind}", angle=angle)
        items[f"margin_{name}"] = label(
            "behind",
            float(x[0]),
            float(y[0]),
            text,
            role="limit" if nearer else "ink",
            anchor="middle",
            offset=(0.0, 26.0 if low else -12.0),
            strong=nearer,
        )
    return items


# ---------------------------------------------------------------- over the pedal


def _strips(felt, bench, context):
    over, pedal = felt.over, _pedal_flown(felt)
    inside, clean = felt.over.ball_to_inside_deg, abs(felt.centred_turn_rate)
    items = {
        "ball_zero": line("ball", [-MOST_PEDAL, MOST_PEDAL], [0.0, 0.0], role="muted"),
        "ball_curve": line("ball", PEDALS, inside, role="main"),
        "ball_at": points("ball", pedal, felt.turn.ball_to_inside_deg, size=5.0),
        "rate_zero": line("rate", [-MOST_PEDAL, MOST_PEDAL], [0.0, 0.0], role="muted"),
        "rate_curve": line("rate", PEDALS, np.abs(over.flight.turn_rate_dps) - clean, role="main"),
        "rate_at": points("rate", pedal, abs(felt.turn.flight.turn_rate_dps) - clean, size=5.0),
        "slip_text": label(
            "ball", -MOST_PEDAL, BALL, _say(context, "picture.slip_side"), role="muted",
            offset=(6.0, 16.0),
        ),
        "skid_text": label(
            "ball", MOST_PEDAL, -BALL, _say(context, "picture.skid_side"), role="muted",
            anchor="end", offset=(-6.0, -8.0),
        ),
    }  # fmt: skip
    lowest = "wings" if bench.stall_known else "rate"
    if bench.stall_known:
        items.update(_margins(felt, pedal, context))
    text = show(felt.pedal, "percent", context.preferences, sign=True)
    for name in ("ball", "rate", "wings")[: 3 if bench.stall_known else 2]:
        items[f"{name}_pedal"] = vertical(name, pedal, role="ink")
    items[f"{lowest}_pedal"] = vertical(
        lowest,
        pedal,
        role="ink",
        grab=Grab(
            "pedal",
            _say(context, "control.pedal"),
            along="x",
            step=(0.05, 0.05),
            low=-MOST_PEDAL,
            high=MOST_PEDAL,
            text=text,
        ),
    )
    return items


def _pedal_flown(felt):
    """Return the pedal beyond the middle ball's as flown: the stops may hold it back."""
    return felt.side * (float(felt.turn.flight.rudder) - felt.centred)


def _margins(felt, pedal, context):
    items = {"wings_zero": line("wings", [-MOST_PEDAL, MOST_PEDAL], [0.0, 0.0], role="limit")}
    inside, outside = felt.turn.inside, felt.outside
    ends = []
    for name, wing, role in (("inside", inside, "main"), ("outside", outside, "reference")):
        curve = getattr(felt.over.wings, f"{wing}_deg")
        now = getattr(felt.turn.wings, f"{wing}_deg")
        items[f"{name}_curve"] = line("wings", PEDALS, curve, role=role)
        items[f"{name}_at"] = points("wings", pedal, now, role=role, size=5.0)
        ends.append(float(curve[0]))
    for name, end, other, role in (
        ("inside", ends[0], ends[1], "main"),
        ("outside", ends[1], ends[0], "reference"),
    ):
        items[f"{name}_text"] = label(
            "wings",
            -MOST_PEDAL,
            end,
            _say(context, f"picture.{name}"),
            role=role,
            offset=(6.0, -7.0 if end >= other else 16.0),
        )
    items["stall_text"] = label(
        "wings", MOST_PEDAL, 0.0, _say(context, "picture.stall"), role="limit",
        anchor="end", offset=(-6.0, -5.0),
    )  # fmt: skip
    return items
