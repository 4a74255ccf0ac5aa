"""The picture of the two profiles: verdicts, both finals from the side, speed by height."""

import numpy as np

from lessonkit.models.stabilised_approach import LAST_HEIGHT, POWERED
from lessonkit.scenes import Scene, SceneAxes, area, horizontal, label, line
from lessonkit.units import (
    METRES_PER_FOOT,
    METRES_PER_NAUTICAL_MILE,
    MPS_PER_KNOT,
    ft_from_m,
    m_from_ft,
)
from lessonkit.words import say, show

WORDS = "approach_profiles"
SIDE_X = (-3700.0, 600.0)
HIGHEST = m_from_ft(800.0)
DEVIATION = (-15.0 * MPS_PER_KNOT, 25.0 * MPS_PER_KNOT)
COLUMNS = {"powered": -3600.0, "power_off": -1400.0}  # where the verdicts stand, along x [m]
ROLES = {"powered": "main", "power_off": "reference"}
NAMED_AT = {"powered": m_from_ft(400.0), "power_off": m_from_ft(160.0)}
ROWS = 5.0
ON_SPEED = 0.5 * MPS_PER_KNOT  # closer than a dial is read
# Kind of quantity and decimals of what decides each criterion; -1 is to tens.
SHOWN = {"speed": ("speed", 0), "flaps": ("flap_deg", 0), "sink": ("vertical_speed", -1)}


def say_it(context, key, **values):
    """Return one of the panel's texts."""
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def make_scene(context) -> Scene:
    """Return the empty picture."""
    side = SceneAxes(
        "side",
        x=SIDE_X,
        y=(0.0, HIGHEST),
        x_label=say_it(context, "side_x"),
        y_label=say_it(context, "side_y"),
        x_unit=METRES_PER_NAUTICAL_MILE,
        y_unit=METRES_PER_FOOT,
        share=1.2,
        shared_x=True,
    )
    verdicts = SceneAxes(
        "verdicts",
        x=SIDE_X,
        y=(0.0, ROWS),
        y_label=say_it(context, "verdicts_y"),
        share=0.9,
        shared_x=True,
        y_numbers=False,
        grid=False,
    )
    speed = SceneAxes(
        "speed",
        x=DEVIATION,
        y=(0.0, HIGHEST),
        x_label=say_it(context, "speed_x"),
        y_label=say_it(context, "speed_y"),
        x_unit=MPS_PER_KNOT,
        y_unit=METRES_PER_FOOT,
        share=1.0,
    )
    return Scene(
        [verdicts, side, speed],
        width=1000.0,
        height=620.0,
        alt=say_it(context, "alt"),
        preferences=context.preferences,
    )


def draw(scene, both, context, verdicts: bool = True) -> None:
    """Put both approaches, their gates and bands, and how each criterion stands."""
    scene.put(band=_band_text(both, context))
    for held, key in ((both.powered, "powered"), (both.power_off, "power_off")):
        gate = both.values[f"{key}_gate"]
        scene.put(**_gate(gate, key, context))
        if held is None:
            scene.remove(*(f"{key}_{part}" for part in _OF_FINAL))
        else:
            scene.put(**_curves(held, key, both.final_cas), **_name(held, key, context))
        if verdicts:
            scene.put(**_verdicts(held, gate, key, context))


_OF_FINAL = ("path", "name", "speed", "band", "row_1", "row_2", "row_3")


def _band_text(both, context):
    """Write what the band is, on the side where the approaches are not."""
    fast = both.values["fast"] >= 0.0
    x, anchor, dx = (-POWERED.slow, "end", -8.0) if fast else (POWERED.fast, "start", 8.0)
    place = x, 0.5 * both.values["power_off_gate"]
    text = say_it(context, "band")
    return label("speed", *place, text, role="good", anchor=anchor, offset=(dx, 4.0))


def _curves(held, key, final_cas):
    final, profile, role = held.final, held.profile, ROLES[key]
    shown = (final.height <= HIGHEST) & (final.height >= 0.5 * LAST_HEIGHT)
    low, high = -profile.slow, profile.fast
    gate = profile.gate_height
    deviation = np.clip(final.cas[shown] - final_cas, *DEVIATION)
    return {
        f"{key}_band": area(
            "speed", [low, high, high, low], [0.0, 0.0, gate, gate], role="good", hatch=False
        ),
        f"{key}_path": line("side", held.x[shown], final.height[shown], role=role),
        f"{key}_speed": line("speed", deviation, final.height[shown], role=role),
    }


def _gate(height, key, context):
    text = say_it(context, f"gate.{key}", gate=show(height, "height", context.preferences))
    return {
        f"{key}_gate": horizontal("side", height, role="limit"),
        f"{key}_gate_text": label(
            "side", SIDE_X[1], height, text, role="limit", anchor="end", offset=(-6.0, -5.0)
        ),
    }


def _name(held, key, context):
    """Write beside a path whose it is."""
    height = NAMED_AT[key]
    x = float(np.interp(-height, -held.final.height, held.x))
    text = say_it(context, f"path.{key}")
    return {f"{key}_name": label("side", x, height, text, role=ROLES[key], offset=(10.0, -4.0))}


def _verdicts(held, gate, key, context):
    """Write what is decided, and below it each criterion with its sign."""
    go_on = held is not None and held.go_on
    head = say_it(
        context,
        f"head.{key}",
        gate=show(gate, "height", context.preferences),
        decision=say_it(context, f"decision.{'go_on' if go_on else 'go_around'}"),
    )
    x = COLUMNS[key]
    items = {f"{key}_head": label("verdicts", x, ROWS - 0.7, head, role=ROLES[key], strong=True)}
    for row, (sign, text) in enumerate(_rows(held, context)):
        role = "limit" if sign == "not_met" else "ink"
        text = f"{say_it(context, f'sign.{sign}')} {text}"
        items[f"{key}_row_{row}"] = label("verdicts", x, ROWS - 1.7 - row, text, role=role)
    return items


def _rows(held, context):
    """Give sign and text of each criterion, or of the gate that is not reached."""
    if held is None:
        return [("not_met", say_it(context, "low_final"))]
    return [(_sign(one), criterion_text(one, context)) for one in held.criteria]


def criterion_text(one, context) -> str:
    """Say how one criterion stands, with its number, and with its limit where that is broken."""
    preferences = context.preferences
    if one.key == "lined_up":
        values = {"value": _down_to_tens(one.value, preferences)}
    else:
        kind, digits = SHOWN[one.key]
        values = {
            name: show(abs(value), kind, preferences, digits=digits)
            for name, value in (("value", one.value), ("limit", one.limit))
            if np.isfinite(value)
        }
    return say_it(context, f"criterion.{_manner(one)}.{_sign(one)}", **values)


def _down_to_tens(height, preferences):
    """Return a height rounded down, so that one below the gate never reads as the gate."""
    feet = 10.0 * np.floor(ft_from_m(height) / 10.0 + 1e-6)
    return show(m_from_ft(float(feet)), "height", preferences)


def _manner(one):
    if one.key != "speed":
        return one.key
    if abs(one.value) < ON_SPEED:
        return "on_speed"
    return "fast" if one.value > 0.0 else "slow"


def _sign(one):
    if not np.isfinite(one.limit):
        return "no_limit"
    return "met" if one.met else "not_met"
