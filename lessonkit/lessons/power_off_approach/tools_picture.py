"""The picture of the tools: the approach without and with one, and a bar for what each is worth."""

import math

import numpy as np

from lessonkit.lessons.power_off_approach.flights import MARK
from lessonkit.lessons.power_off_approach.story import place
from lessonkit.lessons.power_off_approach.tools_story import moved_text, tool_name
from lessonkit.lessons.power_off_approach.tools_trials import Answer
from lessonkit.models.approach_review import GATE_HEIGHT
from lessonkit.scenes import (
    Grab,
    Scene,
    SceneAxes,
    area,
    horizontal,
    label,
    line,
    points,
    vertical,
)
from lessonkit.scenes.runway import plan_runway, side_runway
from lessonkit.units import METRES_PER_FOOT, METRES_PER_NAUTICAL_MILE, m_from_ft
from lessonkit.words import say, show

WORDS = "approach_tools.picture"
PLAN_X = (-1800.0, 1500.0)
BARS_X = (m_from_ft(-3200.0), m_from_ft(3200.0))
ROWS = 6  # five tools for an error and one that is picked against it
THICK = 0.3  # half the height of a bar, in rows
ROOM = m_from_ft(2400.0)  # of the bars, kept for the names on the side to which nothing moves
IN_HAND = ("slip", "s_turn", "flap")  # tools whose use begins at a height on final


def make_scene(context) -> Scene:
    """Return the empty picture for an airfield."""
    side, field = context.airfield.side, context.airfield

    def words(key):
        return say(f"{WORDS}.{key}", preferences=context.preferences)

    scene = Scene(
        [
            SceneAxes(
                "plan",
                x=PLAN_X,
                y=(side * 150.0, -side * 950.0),
                y_label=words("plan_y"),
                x_unit=METRES_PER_NAUTICAL_MILE,
                y_unit=-side * METRES_PER_NAUTICAL_MILE,
                share=2.2,
                equal=True,
                shared_x=True,
            ),
            SceneAxes(
                "side",
                x=PLAN_X,
                y=(0.0, m_from_ft(1350.0)),
                x_label=words("side_x"),
                y_label=words("side_y"),
                x_unit=METRES_PER_NAUTICAL_MILE,
                y_unit=METRES_PER_FOOT,
                share=1.4,
                shared_x=True,
            ),
            SceneAxes(
                "bars",
                x=BARS_X,
                y=(ROWS, -1.1),
                x_label=words("bars_x"),
                y_label=words("bars_y"),
                x_unit=METRES_PER_FOOT,
                y_numbers=False,
                share=1.8,
                grid=False,
            ),
        ],
        width=1000.0,
        height=680.0,
        alt=words("alt"),
        preferences=context.preferences,
    )
    scene.put(
        **plan_runway(scene, "plan", field.runway_length, field.runway_width, MARK),
        **side_runway(scene, "side", field.runway_length, MARK),
    )
    return scene


def draw(scene, answer: Answer, context, asked: bool = False) -> None:
    """Put what moves: both paths, the error, heights, touchdowns and bars.

    While the prediction is `asked` only the approach without a tool is shown.
    """
    items = {
        **_paths(answer, asked),
        **_error(answer, context),
        **_frame_of_bars(answer, context),
    }
    if not asked:
        items |= {**_touchdowns(answer), **_heights(answer, context)}
    for row in range(ROWS):
        items |= _name_only(row, answer, context) if asked else _bar(row, answer, context)
    gone = [name for name in scene.names() if name not in items and not _fixed(name)]
    scene.remove(*gone)
    scene.put(**items)


def _fixed(name):
    return name.startswith(("runway", "side_runway", "side_aiming"))


def _shown_path(answer):
    """Return the approach with the tool; without one that can be flown, the one without."""
    result = answer.chosen.result
    return (result or answer.situation.without).approach


def _paths(answer, asked):
    without, with_tool = answer.situation.without.approach.history, _shown_path(answer).history
    ideal = answer.situation.ideal.history
    alone = {
        "ideal_side": line("side", ideal.x, ideal.height, role="muted"),
        "without_plan": line("plan", without.x, without.y, role="reference"),
        "without_side": line("side", without.x, without.height, role="reference"),
    }
    if asked:
        return alone
    return {
        **alone,
        "path": line("plan", *_outside(answer, with_tool, with_tool.y)),
        "climb": line("side", *_outside(answer, with_tool, with_tool.height)),
    }


def _outside(answer, h, values):
    """Return x and values of a path with a gap where the tool is in use."""
    used = _in_use(answer, h)
    inner = used.copy()
    inner[1:] &= used[:-1]
    inner[:-1] &= used[1:]  # the ends of the gap belong to both parts
    return np.where(inner, np.nan, h.x), np.where(inner, np.nan, values)


def _in_use(answer, h):
    """Tell for each point of a path whether the tool that is picked is in use there."""
    ends = _ends(answer)
    if ends is None:
        return np.zeros(h.height.size, dtype=bool)
    return (h.height <= ends[0]) & (h.height >= ends[1])


def _ends(answer):
    """Return the heights between which the tool that is picked is in use, or None."""
    trial = answer.chosen
    if trial.key not in IN_HAND or trial.result is None:
        return None
    begun = trial.said.get("from_height", answer.situation.final_height)
    ended = trial.said["to_height"] if trial.key == "slip" else 0.0
    if trial.key == "s_turn" and math.isfinite(trial.said["height"]):
        ended = trial.said["height"]
    return begun, ended


def _touchdowns(answer):
    without, down = answer.situation.without.approach, _shown_path(answer).touchdown
    return {
        "down_without": points(
            "side", without.touchdown.x, 0.0, role="reference", size=6.0, mark="cross"
        ),
        "down_without_plan": points(
            "plan",
            without.touchdown.x,
            without.touchdown.y,
            role="reference",
            size=6.0,
            mark="cross",
        ),
        "down_side": points("side", down.x, 0.0, size=6.0),
        "down_plan": points("plan", down.x, down.y, size=6.0),
    }


def _error(answer, context):
    """Mark the moment at which the error is seen, and how large it is."""
    h, error = answer.situation.without.approach.history, answer.values["error"]
    x, y, height = float(h.x[0]), float(h.y[0]), float(h.height[0])
    key = "error_high" if error >= 0.0 else "error_low"
    text = say(
        f"{WORDS}.{key}",
        error=show(abs(error), "height", context.preferences),
        preferences=context.preferences,
    )
    return {
        "seen_plan": points("plan", x, y, role="ink", size=6.0, mark="circle"),
        "seen_side": line("side", [x, x], [height - error, height], role="limit"),
        "seen_side_point": points("side", x, height, role="ink", size=6.0, mark="circle"),
        "seen_text": label("side", x, height, text, anchor="start", offset=(10.0, 0.0)),
    }


def _heights(answer, context):
    """Draw the floor for S-turns, or the heights between which another tool is used."""
    preferences, key, values = context.preferences, answer.values["tool"], answer.values
    step = m_from_ft(10.0)
    items = {}
    if key == "s_turn":
        floor = show(values["floor"], "height", preferences)
        grab = _grab("floor", "grab_floor", floor, step, preferences)
        items["floor"] = horizontal("side", values["floor"], role="limit", grab=grab)
        text = say(f"{WORDS}.floor", height=floor, preferences=preferences)
    else:
        gate = show(GATE_HEIGHT, "height", preferences)
        items["floor"] = horizontal("side", GATE_HEIGHT, role="muted")
        text = say(f"{WORDS}.gate", height=gate, preferences=preferences)
    items["floor_text"] = label(
        "side",
        PLAN_X[1],
        values["floor"] if key == "s_turn" else GATE_HEIGHT,
        text,
        role="limit" if key == "s_turn" else "muted",
        anchor="end",
        offset=(-4.0, -6.0),
    )
    if _ends(answer) is not None:
        items |= _used(answer, step, preferences)
    return items


def _used(answer, step, preferences):
    """Draw the part of the path on which the tool is in use, with its ends to move."""
    trial, h = answer.chosen, answer.chosen.result.approach.history
    on = _in_use(answer, h)
    begun, ended = _ends(answer)
    middle = int(np.flatnonzero(on)[on.sum() // 2]) if on.any() else 0
    items = {
        "used_side": line("side", h.x[on], h.height[on], role="good"),
        "used_plan": line("plan", h.x[on], h.y[on], role="good"),
        "used_text": label(
            "side",
            h.x[middle],
            h.height[middle],
            tool_name(trial.key, preferences),
            role="good",
            anchor="end",
            offset=(-10.0, 6.0),
        ),
    }

    def handle(name, key, words, height):
        x = float(np.interp(height, h.height[::-1], h.x[::-1]))
        text = show(height, "height", preferences)
        grab = _grab(key, words, text, step, preferences)
        items[name] = points("side", x, height, role="good", size=7.0, grab=grab)

    if trial.key in ("slip", "flap"):
        handle("from", "from_height", "grab_from", begun)
    if trial.key == "slip":
        handle("to", "to_height", "grab_to", ended)
    return items


def _grab(key, words, text, step, preferences):
    name = say(f"{WORDS}.{words}", preferences=preferences)
    return Grab(key, name, along="y", step=(step, step), text=text)


def _frame_of_bars(answer, context):
    """Draw the wanted window and the line of the touchdown without a tool."""
    low, high = answer.window
    preferences = context.preferences
    beyond = answer.situation.beyond
    at = float(np.clip(beyond, *BARS_X))
    side = "end" if at > 0.0 else "start"
    return {
        "window": area("bars", [low, high, high, low], [ROWS, ROWS, -1.1, -1.1], role="good"),
        "window_text": label(
            "bars",
            high,
            -0.6,
            say(f"{WORDS}.window", preferences=preferences),
            role="good",
            offset=(6.0, 0.0),
        ),
        "untouched": vertical("bars", at, role="reference"),
        "untouched_text": label(
            "bars",
            at,
            ROWS - 0.25,
            say(
                f"{WORDS}.without",
                where=place(beyond, preferences),
                preferences=preferences,
            ),
            role="reference",
            anchor=side,
            offset=(-6.0 if side == "end" else 6.0, 0.0),
        ),
    }


def _bar(row, answer, context):
    """Draw one row: the tool's name and worth, its bar, and how far it goes at its limit."""
    if row >= len(answer.shown):
        return {}
    trial, start = answer.trials[answer.shown[row]], answer.situation.beyond
    chosen = trial.key == answer.values["tool"]
    items = {}
    good = trial.result is not None and not trial.refused and math.isfinite(trial.moved)
    if good:
        end = start + trial.moved
        role = "main" if chosen else "muted"
        items[f"bar_{row}"] = _rectangle(start, end, row, THICK, role)
        items[f"end_{row}"] = points("bars", _inside(end), row, role=role, size=5.0, mark="bar")
    left = answer.values["error"] >= 0.0
    if trial.limit and math.isfinite(trial.limit.moved):
        items |= _limit(row, start, trial.limit.moved, left, context.preferences)
    items[f"name_{row}"] = label(
        "bars",
        BARS_X[0] if left else BARS_X[1],
        row,
        _bar_text(trial, context.preferences),
        role="ink" if good else "muted",
        anchor="start" if left else "end",
        offset=(4.0 if left else -4.0, 4.0),
        strong=chosen,
    )
    return items


def _name_only(row, answer, context):
    """Write a tool's name while the learner is still asked what it is worth."""
    if row >= len(answer.shown):
        return {}
    text = tool_name(answer.shown[row], context.preferences)
    return {f"name_{row}": label("bars", BARS_X[0], row, text, offset=(4.0, 4.0))}


def _limit(row, start, limit, left, preferences):
    """Draw how far a tool goes at its limit, with the number where it ends."""
    room = (BARS_X[0] + ROOM, BARS_X[1]) if left else (BARS_X[0], BARS_X[1] - ROOM)
    ends = np.clip([start, start + limit], *room)
    most = say(
        f"{WORDS}.at_most",
        most=show(abs(limit), "distance_ft", preferences, digits=-1),
        preferences=preferences,
    )
    items = {f"limit_{row}": line("bars", ends, [row, row], role="limit")}
    fits = room[0] <= start + limit <= room[1]
    if fits:
        items[f"limit_end_{row}"] = points("bars", ends[1], row, role="limit", size=5.0)
    # Beyond the mark; where the line runs out of the picture, on the line.
    outward = (limit < 0.0) == fits
    items[f"most_{row}"] = label(
        "bars",
        ends[1],
        row,
        most,
        role="limit",
        anchor="end" if outward else "start",
        offset=(-9.0 if outward else 9.0, 4.0),
    )
    return items


def _bar_text(trial, preferences):
    name = tool_name(trial.key, preferences)
    if trial.refused:
        why = say(f"approach_tools.why.{trial.refused}", preferences=preferences)
        return say(f"{WORDS}.bar_refused", tool=name, why=why, preferences=preferences)
    moved = moved_text(trial.moved, preferences)
    return say(f"{WORDS}.bar", tool=name, moved=moved, preferences=preferences)


def _rectangle(start, end, row, half, role):
    low, high = _inside(min(start, end)), _inside(max(start, end))
    return area(
        "bars",
        [low, high, high, low],
        [row - half, row - half, row + half, row + half],
        role=role,
        fill=role,
    )


def _inside(x):
    return float(np.clip(x, *BARS_X))
