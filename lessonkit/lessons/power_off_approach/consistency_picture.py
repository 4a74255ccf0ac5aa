"""The picture of consistency: where touchdowns lie, without and with power, and what costs most."""

import math

import numpy as np

from lessonkit.lessons.power_off_approach.consistency_flights import Consistency
from lessonkit.lessons.power_off_approach.consistency_story import (
    WORTH_SAYING,
    feet,
    habit_name,
    of_100,
)
from lessonkit.lessons.power_off_approach.flights import MARK
from lessonkit.models.standards import tolerance
from lessonkit.scenes import Scene, SceneAxes, area, label, line, points, vertical
from lessonkit.units import METRES_PER_FOOT, m_from_ft
from lessonkit.words import say

WORDS = "consistency.picture"
STRIP = (m_from_ft(-1500.0), m_from_ft(2000.0))
BINS = np.linspace(*STRIP, 71)  # 50 ft each
TALLEST = 0.4  # of a strip, for the tallest bar of both
ROW_1, ROW_2, ROW_3 = 0.97, 0.76, 0.54  # heights of the texts in a strip
RANGE_Y = -0.13  # where the line for nine of ten lies
COSTS_X = (0.0, m_from_ft(3500.0))
LONGEST_BAR = m_from_ft(1600.0)  # longer ones are cut; the number beside them tells
ROWS = 10
FRAME = ("window", "private", "mark", "threshold")


def make_scene(context) -> Scene:
    """Return the empty picture."""

    def words(key):
        return say(f"{WORDS}.{key}", preferences=context.preferences)

    strip = {
        "x": STRIP,
        "y": (-0.25, 1.0),
        "x_unit": METRES_PER_FOOT,
        "y_numbers": False,
        "grid": False,
        "shared_x": True,
    }
    scene = Scene(
        [
            SceneAxes("off", y_label=words("off_y"), share=1.2, **strip),
            SceneAxes("on", y_label=words("on_y"), x_label=words("strip_x"), share=1.2, **strip),
            SceneAxes(
                "costs",
                x=COSTS_X,
                y=(ROWS - 0.4, -0.6),
                x_label=words("costs_x"),
                y_label=words("costs_y"),
                x_unit=METRES_PER_FOOT,
                y_numbers=False,
                share=1.8,
            ),
        ],
        width=1000.0,
        height=640.0,
        alt=words("alt"),
        preferences=context.preferences,
    )
    for axes in ("off", "on"):
        scene.put(**_frame(axes, context))
    return scene


def _frame(axes, context):
    """Draw mark, threshold and both standards into a strip."""
    power_off = tolerance("commercial", "power_off_180", "touchdown_ft_beyond")
    normal = tolerance("private", "normal_landing", "touchdown_ft_beyond")
    low, high, farthest = (m_from_ft(v) for v in (power_off.low, power_off.high, normal.high))
    items = {
        f"{axes}_window": area(axes, [low, high, high, low], [-0.25, -0.25, 1.0, 1.0], role="good"),
        f"{axes}_private": line(axes, [low, farthest], [0.99, 0.99], role="limit"),
        f"{axes}_mark": vertical(axes, 0.0, role="ink"),
        f"{axes}_threshold": vertical(axes, -MARK, role="muted"),
    }
    if axes == "on":
        return items
    texts = (
        ("window", high, ROW_2, "good", "start", {"high": feet(high, context)}),
        ("private", farthest, ROW_1, "limit", "start", {"high": feet(farthest, context)}),
        ("mark", 0.0, ROW_1, "ink", "end", {}),
        ("threshold", -MARK, ROW_2, "muted", "start", {}),
    )
    for key, x, y, role, anchor, values in texts:
        text = say(f"{WORDS}.{key}", preferences=context.preferences, **values)
        offset = (6.0 if anchor == "start" else -6.0, 5.0)
        items[f"{axes}_{key}_text"] = label(
            axes, x, y, text, role=role, anchor=anchor, offset=offset
        )
    return items


def draw(scene, result: Consistency | None, context) -> None:
    """Put the touchdowns and the costs; nothing of them while the prediction is open."""
    items = {}
    if result is not None:
        top = max(_shares(pilot).max() for pilot in (result.off, result.on) if pilot)
        items |= _strip("off", result.off, top, "main", context)
        items |= _costs(result, context)
        if result.on:
            items |= _strip("on", result.on, top, "reference", context)
        else:
            text = say(f"{WORDS}.not_shown", preferences=context.preferences)
            items["on_none"] = label("on", STRIP[0], 0.5, text, role="muted", offset=(6.0, 0.0))
    fixed = [f"{axes}_{key}" for axes in ("off", "on") for key in FRAME]
    fixed += [f"{name}_text" for name in fixed]
    scene.remove(*(name for name in scene.names() if name not in items and name not in fixed))
    scene.put(**items)


def _shares(pilot):
    """Return the share of all tries in each bin; what lies outside the picture is left out."""
    return np.histogram(pilot.beyond, BINS)[0] / pilot.spread.tries


def _strip(axes, pilot, top, role, context):
    """Draw the bars of one pilot's touchdowns, the range of nine of ten, and the numbers."""
    heights = TALLEST * _shares(pilot) / max(top, 1e-9)
    x = np.repeat(BINS, 2)
    y = np.concatenate([[0.0], np.repeat(heights, 2), [0.0]])
    items = {
        f"{axes}_bars": area(axes, x, y, role=_edge(role), fill=role),
        **_range(axes, pilot, context),
        **_outside(axes, pilot, role, context),
        f"{axes}_within": label(
            axes,
            STRIP[0],
            ROW_2,
            _words(context, "within", count=of_100(pilot.spread.inside, context)),
            role=role,
            offset=(6.0, 5.0),
            strong=True,
        ),
    }
    return items


def _edge(role):
    """Role of the edge of a bar: a thin one, where the bar's own role has wide dashes."""
    return "muted" if role == "reference" else role


def _outside(axes, pilot, role, context):
    """Say how many touchdowns lie outside the picture, if there are any to speak of."""
    shares = [
        float(np.count_nonzero(there)) / pilot.spread.tries
        for there in (pilot.beyond < STRIP[0], pilot.beyond > STRIP[1])
    ]
    if max(shares) < WORTH_SAYING:
        return {}
    short, far = (of_100(share, context) for share in shares)
    text = _words(context, "outside", short=short, far=far)
    place = {"role": role, "anchor": "end", "offset": (-6.0, 5.0)}
    return {f"{axes}_outside": label(axes, STRIP[1], ROW_3, text, **place)}


def _range(axes, pilot, context):
    low, high = pilot.spread.nine_of_ten
    if not math.isfinite(low):
        return {}
    ends = np.clip([low, high], *STRIP)
    inside = [end for end, true in zip(ends, (low, high), strict=True) if end == true]
    return {
        f"{axes}_nine": line(axes, ends, [RANGE_Y, RANGE_Y], role="ink"),
        f"{axes}_nine_ends": points(
            axes, inside, [RANGE_Y] * len(inside), role="ink", size=5.0, mark="bar"
        ),
        f"{axes}_nine_text": label(
            axes,
            STRIP[0],
            ROW_3,
            _words(
                context,
                "nine",
                low=_side(low, context),
                high=_side(high, context),
            ),
            offset=(6.0, 5.0),
        ),
    }


def _side(beyond, context):
    """Return a place against the mark in few words."""
    key = "beyond" if beyond >= 0.0 else "short"
    return _words(context, key, distance=feet(abs(beyond), context))


def _costs(result, context):
    """Draw a bar or two for each habit, the longest first."""
    off = dict(result.off.costs)
    on = dict(result.on.costs) if result.on else {}
    ranked = sorted({**off, **on}, key=lambda q: -np.nanmax([off.get(q, 0.0), on.get(q, 0.0)]))
    items = {}
    for row, quantity in enumerate(ranked):
        longest = 0.0
        bars = (
            ("off", off, "main", -0.34, 0.0 if on else 0.34),
            ("on", on, "reference", 0.04, 0.34),
        )
        for name, found, role, top, bottom in bars:
            length = found.get(quantity)
            if length is None or not math.isfinite(length):
                continue
            end = min(length, LONGEST_BAR)
            longest = max(longest, end)
            items[f"cost_{name}_{row}"] = area(
                "costs",
                [0.0, end, end, 0.0],
                [row + top, row + top, row + bottom, row + bottom],
                role=_edge(role),
                fill=role,
            )
        items[f"cost_text_{row}"] = label(
            "costs",
            longest,
            row,
            _cost_text(quantity, off.get(quantity), on.get(quantity), context),
            offset=(8.0, 5.0),
            strong=row == 0,
        )
    return items


def _cost_text(quantity, off, on, context):
    key = "cost_on" if off is None else "cost" if on is None else "cost_both"
    said = {name: feet(v, context) for name, v in (("off", off), ("on", on)) if v is not None}
    text = _words(context, key, habit=habit_name(quantity, context), **said)
    cut = max(length for length in (off, on, 0.0) if length is not None) > LONGEST_BAR
    return _words(context, "cut", text=text) if cut else text


def _words(context, key, **values):
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)
