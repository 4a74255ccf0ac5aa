"""Wind and weight: the same plan on another day, and what brings it back."""

import numpy as np

from lessonkit.lessons.power_off_approach.controls import bench_controls
from lessonkit.lessons.power_off_approach.flights import LATEST_TURN, Bench
from lessonkit.lessons.power_off_approach.other_days import (
    HALF,
    HEADWINDS,
    SAME,
    SCALED,
    SHAPE,
    Day,
    Sky,
)
from lessonkit.lessons.power_off_approach.story import cautions, place
from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.glide_distance import speed_to_fly_in_wind
from lessonkit.models.standards import tolerance
from lessonkit.panels import Choice, Panel, Prediction
from lessonkit.scenes import Grab, Scene, SceneAxes, area, label, line, points, vertical
from lessonkit.units import METRES_PER_FOOT, MPS_PER_KNOT, m_from_ft, mps_from_kt
from lessonkit.words import say, show

WORDS = "power_off_approach.wind_weight"
TOUCHDOWN_Y = (m_from_ft(-3000.0), m_from_ft(1500.0))
TURN_Y = (0.0, LATEST_TURN)
SPEEDS = ("downwind_cas", "base_cas", "final_cas")
HARDLY = m_from_ft(100.0)
SAID_FROM = mps_from_kt(5.0)  # in less wind half of it is not worth a sentence


def wind_weight(context) -> Panel:
    """Return the panel that shows one plan in other winds and at other weights."""
    bench = Bench(context)
    sky = Sky(bench)
    headwind, mass = bench_controls(bench, context, ("headwind", "mass"))

    def show_day(scene, day, values):
        draw(scene, day, context)
        return sentence(day, bench, context)

    return Panel(
        context,
        "wind_weight",
        title=_say(context, "title"),
        scene=_scene(context),
        controls=[
            headwind,
            mass,
            Choice(
                "speeds",
                _say(context, "speeds"),
                [(_say(context, f"keep.{key}"), key) for key in (SAME, SCALED)],
                SAME,
            ),
        ],
        more=bench_controls(bench, context, SHAPE),
        compute=sky.draft,
        full=sky.full,
        draw=show_day,
        prediction=_prediction(mass.low, bench, context),
        grabs={"headwind": lambda event: {"headwind": event.x}},
    )


def _say(context, key, **values):
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def _feet(context, distance):
    return show(abs(distance), "distance_ft", context.preferences, digits=-1)


# Drawing ----------------------------------------------------------------------------------------


def _scene(context):
    across = {"x": (HEADWINDS[0], HEADWINDS[-1]), "x_unit": MPS_PER_KNOT, "y_unit": METRES_PER_FOOT}
    return Scene(
        [
            SceneAxes(
                "touchdown",
                y=TOUCHDOWN_Y,
                y_label=_say(context, "touchdown_y"),
                share=1.7,
                shared_x=True,
                **across,
            ),
            SceneAxes(
                "turn",
                y=TURN_Y,
                x_label=_say(context, "x"),
                y_label=_say(context, "turn_y"),
                share=1.0,
                shared_x=True,
                **across,
            ),
        ],
        width=1000.0,
        height=620.0,
        alt=_say(context, "alt"),
        preferences=context.preferences,
    )


def draw(scene, day: Day, context) -> None:
    """Put the lines, the headwind that is set, and where it meets them."""
    lines, headwind = day.lines, day.values["headwind"]
    window = tolerance("commercial", "power_off_180", "touchdown_ft_beyond")
    low, high = m_from_ft(window.low), m_from_ft(window.high)
    ends = [HEADWINDS[0], HEADWINDS[-1], HEADWINDS[-1], HEADWINDS[0]]
    scene.put(
        window=area("touchdown", ends, [low, low, high, high], role="good"),
        unchanged=line("touchdown", lines.headwinds, _clip(lines.unchanged), role="muted"),
        half_added=line("touchdown", lines.headwinds, _clip(lines.half_added), role="reference"),
        kept=line("touchdown", lines.headwinds, _clip(lines.kept)),
        at_touchdown=vertical("touchdown", headwind, role="ink"),
        at_turn=vertical("turn", headwind, role="ink"),
        here=points("touchdown", headwind, _clip(day.at(lines.kept)), size=6.0),
        headwind=points(
            "turn",
            headwind,
            0.93 * TURN_Y[1],
            role="ink",
            size=8.0,
            grab=Grab(
                "headwind",
                _say(context, "grab"),
                along="x",
                step=(MPS_PER_KNOT, MPS_PER_KNOT),
                text=show(headwind, "wind_speed", context.preferences),
            ),
        ),
        **_labels(lines, context),
    )
    if lines.turn is None:
        scene.remove("turn", "here_turn")
    else:
        scene.put(
            turn=line("turn", lines.headwinds, lines.turn),
            here_turn=points("turn", headwind, day.at(lines.turn), size=6.0),
        )


def _clip(beyond):
    return np.clip(beyond, *TOUCHDOWN_Y)


def _labels(lines, context):
    """Write on each line what it is, where the lines have room around them."""
    items = {}
    at = mps_from_kt(15.0)
    for name, values, role, anchor, offset in (
        ("kept", lines.kept, "main", "start", (8.0, -6.0)),
        ("half_added", lines.half_added, "reference", "end", (-10.0, 16.0)),
    ):
        y = float(np.interp(at, lines.headwinds, values))
        if np.isfinite(y):
            text = _say(context, f"line.{name}")
            items[f"{name}_text"] = label(
                "touchdown", at, _clip(y), text, role=role, anchor=anchor, offset=offset
            )
    items["window_text"] = label(
        "touchdown",
        HEADWINDS[-1],
        m_from_ft(200.0),
        _say(context, "line.window"),
        role="good",
        anchor="end",
        offset=(-6.0, -6.0),
    )
    return items


# Saying -----------------------------------------------------------------------------------------


def sentence(day: Day, bench, context) -> str:
    """Say where the plan ends on this day, and what each cure is worth."""
    parts = [_unchanged(day, bench, context)]
    if abs(day.values["headwind"]) >= mps_from_kt(0.5):
        parts.append(_half_added(day, bench, context))
    if day.lines.turn is not None:
        parts.append(_turned(day, context))
    if abs(day.values["mass"] - bench.start["mass"]) > 1.0:
        parts.append(_weight(day, bench, context))
    parts.append(cautions(day.flight, context))
    return " ".join(part for part in parts if part)


def _unchanged(day, bench, context):
    beyond = day.at(day.lines.kept)
    wind = _wind(day, context)
    if not np.isfinite(beyond):
        return _say(context, "say.ground", wind=wind)
    band = show(bench.band, "distance_ft", context.preferences, digits=-1)
    where = place(beyond, context.preferences)
    return _say(context, "say.unchanged", wind=wind, where=where, band=band)


def _wind(day, context):
    headwind = day.values["headwind"]
    if abs(headwind) < mps_from_kt(0.5):
        return _say(context, "say.calm")
    key = "head" if headwind > 0.0 else "tail"
    return _say(context, f"say.{key}", wind=show(abs(headwind), "wind_speed", context.preferences))


def _half_added(day, bench, context):
    headwind = day.values["headwind"]
    if headwind < SAID_FROM:
        return ""
    beyond = day.at(day.lines.half_added)
    best = _best_gain(bench, day.values["mass"], headwind)
    preferences = context.preferences
    if not np.isfinite(beyond):
        return ""
    return _say(
        context,
        "say.half",
        added=show(HALF * headwind, "speed", preferences),
        where=place(beyond, preferences),
        best=show(best, "speed", preferences, digits=0),
    )


def _best_gain(bench, mass, headwind):
    """Return how much faster the flattest glide over the ground is than in still air (m/s)."""
    flown = bench.airplane.parameters(mass)
    polar = flown.mass, flown.wing_area, flown.aspect_ratio, flown.cd0[0], flown.oswald[0]
    speeds = [
        float(speed_to_fly_in_wind(*polar, SEA_LEVEL_DENSITY, wind)) for wind in (headwind, 0.0)
    ]
    return speeds[0] - speeds[1]


def _turned(day, context):
    turn = day.at(day.lines.turn)
    if not np.isfinite(turn):
        return _say(context, "say.no_turn")
    moved = turn - day.lines.planned_turn
    if abs(moved) < m_from_ft(25.0):
        return _say(context, "say.same_turn")
    key = "earlier" if moved < 0.0 else "later"
    return _say(context, f"say.turn.{key}", distance=_feet(context, moved))


def _weight(day, bench, context):
    here, there = day.at(day.lines.kept), day.at(day.lines.unchanged)
    if not np.isfinite(here - there):
        return ""
    moved = here - there
    key = "hardly" if abs(moved) < HARDLY else "longer" if moved > 0.0 else "shorter"
    preferences = context.preferences
    return _say(
        context,
        f"say.weight.{key}",
        mass=show(day.values["mass"], "mass", preferences),
        planned=show(bench.start["mass"], "mass", preferences),
        speeds=_say(context, f"say.speeds.{day.values['speeds']}"),
        distance=_feet(context, moved),
    )


def _prediction(lightest, bench, context):
    """Ask what a much lighter airplane does at the same speeds."""

    def outcome(day):
        values = day.values
        asked = values["mass"] <= lightest + 3.0 and abs(values["headwind"]) < 0.1
        if not asked or values["speeds"] != SAME:
            return None
        moved = day.at(day.lines.kept) - day.at(day.lines.unchanged)
        key = "same" if abs(moved) < HARDLY else "longer" if moved > 0.0 else "shorter"
        return _say(context, f"outcome.{key}", distance=_feet(context, moved))

    preferences = context.preferences
    return Prediction(
        _say(
            context,
            "question",
            planned=show(bench.start["mass"], "mass", preferences),
            light=show(lightest, "mass", preferences),
        ),
        choices=[
            (key, _say(context, f"answer.{key}", distance=_feet(context, HARDLY)))
            for key in ("longer", "same", "shorter")
        ],
        outcome=outcome,
    )
