"""The bench's picture: plan view, side view, and the touchdown on an enlarged runway."""

import numpy as np

from lessonkit.lessons.power_off_approach.flights import MARK
from lessonkit.models.standards import tolerance
from lessonkit.scenes import (
    Grab,
    Scene,
    SceneAxes,
    area,
    arrow,
    horizontal,
    label,
    line,
    points,
    vertical,
)
from lessonkit.scenes.runway import plan_runway, side_runway
from lessonkit.units import METRES_PER_FOOT, METRES_PER_NAUTICAL_MILE, MPS_PER_KNOT, m_from_ft
from lessonkit.words import say, show

WORDS = "power_off_approach.picture"
ABEAM_RANGE = tuple(0.1 * n * METRES_PER_NAUTICAL_MILE for n in (3, 8))
HEIGHT_RANGE = (m_from_ft(500.0), m_from_ft(1500.0))
PLAN_X = (-2000.0, 2000.0)
STRIP = (m_from_ft(-1200.0), m_from_ft(1400.0))
CALM = 0.25  # m/s, half a knot
WIND_SCALE = 90.0  # metres of arrow for each m/s of wind
WIND_PLACE = (1650.0, 500.0)  # along x, and toward the pattern side [m]
LABELLED = ("abeam", "base_turn", "base", "final_turn", "final")


def make_scene(context) -> Scene:
    """Return the empty picture of the bench for an airfield."""
    strip = SceneAxes(
        "strip",
        x=STRIP,
        y=(0.0, 1.0),
        x_label=say(f"{WORDS}.strip_x", preferences=context.preferences),
        x_unit=METRES_PER_FOOT,
        y_numbers=False,
        share=0.4,
        grid=False,
    )
    return approach_scene(context, strip, say(f"{WORDS}.alt", preferences=context.preferences))


def approach_scene(context, last: SceneAxes, alt: str, side_view: bool = True) -> Scene:
    """Return an empty picture with plan view, with or without side view, and other axes below."""
    side = context.airfield.side

    def words(key):
        return say(f"{WORDS}.{key}", preferences=context.preferences)

    axes = [
        SceneAxes(
            "plan",
            x=PLAN_X,
            y=(side * 220.0, -side * 1600.0),
            y_label=words("plan_y"),
            x_unit=METRES_PER_NAUTICAL_MILE,
            y_unit=-side * METRES_PER_NAUTICAL_MILE,
            share=2.7,
            equal=True,
            shared_x=True,
        ),
    ]
    if side_view:
        axes.append(
            SceneAxes(
                "side",
                x=PLAN_X,
                y=(0.0, 500.0),
                x_label=words("side_x"),
                y_label=words("side_y"),
                x_unit=METRES_PER_NAUTICAL_MILE,
                y_unit=METRES_PER_FOOT,
                share=1.0,
                shared_x=True,
            )
        )
    scene = Scene(
        [*axes, last],
        width=1000.0,
        height=620.0,
        alt=alt,
        preferences=context.preferences,
    )
    field = context.airfield
    scene.put(**plan_runway(scene, "plan", field.runway_length, field.runway_width, MARK))
    if side_view:
        scene.put(**side_runway(scene, "side", field.runway_length, MARK))
    return scene


def draw(scene, flight, values, context) -> None:
    """Put what moves: path, key points, window, band, wind and handles."""
    draw_approach(scene, flight, values, context)
    _from_the_side(scene, flight)
    scene.put(**_touchdown(flight, context))
    _scatter(scene, flight)


def draw_approach(scene, flight, values, context) -> None:
    """Put path, key points, touchdown, wind and handles into the plan view."""
    history, down = flight.approach.history, flight.approach.touchdown
    scene.put(
        path=line("plan", history.x, history.y),
        down_plan=points("plan", MARK + flight.beyond, down.y, role="main", size=6.0),
        **_key_points(scene, flight, context),
        **_wind(values, context),
        **_handles(values, context),
    )


def _from_the_side(scene, flight):
    history = flight.approach.history
    shown = [point for point in flight.points if point.key in LABELLED]
    scene.put(
        climb=line("side", history.x, history.height),
        down_side=points("side", MARK + flight.beyond, 0.0, role="main", size=6.0),
        abeam_height=horizontal("side", flight.approach.plan.abeam_height, role="muted"),
        keys_side=points("side", [p.x for p in shown], [p.height for p in shown], size=4.0),
    )


def wind_from_tip(x: float, y: float, side: float) -> dict[str, float]:
    """Return the wind controls' values for a place of the wind arrow's tip."""
    return {
        "headwind": -(x - WIND_PLACE[0]) / WIND_SCALE,
        "crosswind": (y + side * WIND_PLACE[1]) / WIND_SCALE,
    }


def _key_points(scene, flight, context):
    """Mark each key point and write its height and time beside it."""
    preferences, items = context.preferences, {}
    shown = [point for point in flight.points if point.key in LABELLED]
    items["keys_plan"] = points("plan", [p.x for p in shown], [p.y for p in shown], size=4.0)
    places = {
        "abeam": ("start", (10.0, -10.0)),
        "base_turn": ("middle", (0.0, -14.0)),
        "base": ("end", (-10.0, 0.0)),
        "final_turn": ("end", (-10.0, 6.0)),
        "final": ("start", (4.0, 20.0)),
    }
    for key in LABELLED:
        found = [p for p in shown if p.key == key]
        if not found:
            scene.remove(f"label_{key}")
            continue
        point, (anchor, offset) = found[0], places[key]
        text = say(
            f"{WORDS}.point.{key}",
            height=show(round(point.height, 1), "height", preferences),
            time=show(max(point.time, 0.0), "time_s", preferences),
            preferences=preferences,
        )
        items[f"label_{key}"] = label("plan", point.x, point.y, text, anchor=anchor, offset=offset)
    return items


def _wind(values, context):
    """Draw the wind as an arrow that flies with it; its tip can be moved."""
    side = context.airfield.side
    x, y = WIND_PLACE[0], -side * WIND_PLACE[1]
    tip = (x - WIND_SCALE * values["headwind"], y + WIND_SCALE * values["crosswind"])
    text = _wind_text(values, context.preferences)
    return {
        "wind_arrow": arrow("plan", x, y, *tip, role="reference"),
        "wind_tip": points(
            "plan",
            *tip,
            role="reference",
            size=6.0,
            grab=Grab(
                "wind",
                say(f"{WORDS}.grab_wind", preferences=context.preferences),
                step=(WIND_SCALE * MPS_PER_KNOT, WIND_SCALE * MPS_PER_KNOT),
                text=text,
            ),
        ),
        "wind_text": label(
            "plan", x, y, text, role="reference", anchor="middle", offset=(0.0, 46.0)
        ),
    }


def _wind_text(values, preferences):
    head, cross = values["headwind"], values["crosswind"]
    if abs(head) < CALM and abs(cross) < CALM:
        return say(f"{WORDS}.calm", preferences=preferences)
    along = "head" if head >= 0.0 else "tail"
    return say(
        f"{WORDS}.wind_{along}",
        along=show(abs(head), "wind_speed", preferences),
        across=show(abs(cross), "wind_speed", preferences),
        side=say(
            f"{WORDS}.{'from_left' if cross >= 0.0 else 'from_right'}", preferences=preferences
        ),
        preferences=preferences,
    )


def _handles(values, context):
    """Put the two points that can be moved on the downwind leg."""
    side, preferences = context.airfield.side, context.preferences
    foot = METRES_PER_FOOT
    return {
        "turn": points(
            "plan",
            MARK - values["base_turn"],
            -side * values["abeam"],
            role="reference",
            size=8.0,
            grab=Grab(
                "turn",
                say(f"{WORDS}.grab_turn", preferences=preferences),
                along="x",
                step=(50.0 * foot, 50.0 * foot),
                text=show(values["base_turn"], "distance_ft", preferences),
            ),
        ),
        "abeam": points(
            "plan",
            MARK,
            -side * values["abeam"],
            role="reference",
            size=8.0,
            grab=Grab(
                "abeam",
                say(f"{WORDS}.grab_abeam", preferences=preferences),
                along="y",
                step=(0.01 * METRES_PER_NAUTICAL_MILE,) * 2,
                text=show(values["abeam"], "distance_nm", preferences),
            ),
        ),
    }


def _touchdown(flight, context):
    """Draw window, band and touchdown on the enlarged runway."""
    window = tolerance("commercial", "power_off_180", "touchdown_ft_beyond")
    low, high = (m_from_ft(limit) for limit in (window.low, window.high))
    at = float(np.clip(flight.beyond, *STRIP)) if np.isfinite(flight.beyond) else np.nan
    left, right = np.clip([at - flight.short_band, at + flight.band], *STRIP)
    preferences = context.preferences

    def words(key):
        return say(f"{WORDS}.{key}", preferences=preferences)

    return {
        "window": area("strip", [low, high, high, low], [0.0, 0.0, 1.0, 1.0], role="good"),
        "window_text": label("strip", high, 0.88, words("window"), role="good", offset=(6.0, 0.0)),
        "mark": vertical("strip", 0.0, role="ink"),
        "mark_text": label(
            "strip", 0.0, 0.88, words("mark"), role="ink", anchor="end", offset=(-6.0, 0.0)
        ),
        "band": line("strip", [left, right], [0.35, 0.35], role="limit"),
        "band_ends": points("strip", [left, right], [0.35, 0.35], role="limit", size=5.0),
        "down_strip": points("strip", at, 0.35, role="main", size=7.0),
    }


def _scatter(scene, flight):
    """Put the touchdowns of many tries; a few hundred marks stand for all."""
    if flight.scatter is None:
        scene.remove("tries")
        return
    some = flight.scatter[:300]
    spread = 0.08 + 0.2 * ((np.arange(some.size) * 0.618) % 1.0)
    inside = (some >= STRIP[0]) & (some <= STRIP[1])
    scene.put(tries=points("strip", some[inside], spread[inside], role="muted", size=2.0))
