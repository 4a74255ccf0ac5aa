"""The panel that plans: name the touchdown you want, and see where to turn or how far out to fly.

Compute: `planning.Planner`. Draw: the approach as on the bench, and below it the touchdown for
every turn or distance that could be flown; where that line crosses the wanted place is the plan.
"""

import numpy as np

from lessonkit.lessons.power_off_approach.controls import bench_controls
from lessonkit.lessons.power_off_approach.flights import AIM, MARK, Bench
from lessonkit.lessons.power_off_approach.picture import (
    approach_scene,
    draw_approach,
    wind_from_tip,
)
from lessonkit.lessons.power_off_approach.planning import LOW, SOUGHT, Answer, Planner
from lessonkit.lessons.power_off_approach.story import cautions, place
from lessonkit.models.approach_review import GATE_HEIGHT, key_point, lined_up_height
from lessonkit.models.standards import tolerance
from lessonkit.panels import Choice, NumberControl, Panel, Prediction
from lessonkit.scenes import Grab, SceneAxes, area, horizontal, label, line, points
from lessonkit.units import (
    METRES_PER_FOOT,
    METRES_PER_NAUTICAL_MILE,
    m_from_ft,
    m_from_nm,
    mps_from_kt,
)
from lessonkit.words import say, show

WORDS = "power_off_approach.plan_it"
MORE = ("height", "glide_cas", "final_cas", "base_flap", "bank", "mass")
WANTED = (m_from_ft(-200.0), m_from_ft(1000.0))
CURVE_X = (0.0, m_from_nm(0.85))
CURVE_Y = (m_from_ft(-1600.0), m_from_ft(1800.0))
PREDICTED_HEADWIND = mps_from_kt(10.0)
LITTLE = m_from_ft(300.0)


def plan_it(context) -> Panel:
    """Return the panel that finds the turn or the distance for a wanted touchdown."""
    bench = Bench(context)
    planner = Planner(bench)
    side = context.airfield.side

    controls = _controls(bench, context)

    def show_plan(scene, answer, values):
        for control in controls:  # what is sought is not set as well
            control.widget.layout.display = "none" if control.key == answer.sought else None
        draw(scene, answer, context)
        return sentence(answer, context)

    return Panel(
        context,
        "plan_it",
        title=_say(context, "title"),
        scene=_scene(context),
        controls=controls,
        more=bench_controls(bench, context, MORE),
        compute=planner.draft,
        full=planner.plan,
        draw=show_plan,
        prediction=_prediction(bench, context),
        grabs={
            "wanted": lambda event: {"beyond": event.y},
            "wind": lambda event: wind_from_tip(event.x, event.y, side),
            "turn": lambda event: {"sought": "abeam", "base_turn": MARK - event.x},
            "abeam": lambda event: {"sought": "base_turn", "abeam": -side * event.y},
        },
    )


def _say(context, key, **values):
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def _controls(bench, context):
    words = [(_say(context, f"sought.{key}"), key) for key in SOUGHT]
    return [
        NumberControl(
            "beyond",
            _say(context, "wanted"),
            "distance_ft",
            value=AIM,
            low=WANTED[0],
            high=WANTED[1],
            step=m_from_ft(50.0),
            preferences=context.preferences,
        ),
        Choice("sought", _say(context, "find"), words, "base_turn"),
        *bench_controls(bench, context, ("headwind", "crosswind", "abeam", "base_turn")),
        *bench_controls(bench, context, ("final_flap",)),
    ]


def _prediction(bench, context):
    """Ask how far the base turn moves for ten knots of headwind."""
    calm = bench.start["base_turn"]
    asked = {"headwind": PREDICTED_HEADWIND, "beyond": AIM, "sought": "base_turn"}
    settings = {key: bench.start[key] for key in ("abeam", "crosswind", "final_flap", *MORE)}

    def outcome(answer):
        wanted = {**settings, **asked}
        same = all(
            answer.values[key] == value
            if isinstance(value, str)
            else abs(answer.values[key] - value) < 0.01
            for key, value in wanted.items()
        )
        if not same:
            return None
        if answer.planned.value is None:
            return _say(context, "outcome.none")
        earlier = show(calm - answer.planned.value, "distance_ft", context.preferences, digits=-1)
        return _say(context, "outcome.earlier", distance=earlier)

    return Prediction(
        _say(
            context,
            "question",
            wind=show(PREDICTED_HEADWIND, "wind_speed", context.preferences),
            calm=show(calm, "distance_ft", context.preferences, digits=-1),
        ),
        choices=[
            (key, _say(context, f"answer.{key}", little=_feet(context, LITTLE)))
            for key in ("later", "little", "earlier", "none")
        ],
        outcome=outcome,
    )


def _scene(context):
    curve = SceneAxes(
        "curve",
        x=CURVE_X,
        y=CURVE_Y,
        x_label=_say(context, "curve_x"),
        y_label=_say(context, "curve_y"),
        x_unit=METRES_PER_NAUTICAL_MILE,
        y_unit=METRES_PER_FOOT,
        share=2.0,
    )
    return approach_scene(context, curve, _say(context, "alt"), side_view=False)


def draw(scene, answer: Answer, context) -> None:
    """Put the planned approach, and the line of touchdowns with the wanted place."""
    draw_approach(scene, answer.flight, answer.flight.values, context)
    if answer.miss and not answer.flight.in_line:
        scene.remove("down_plan")
    wanted, planned = answer.values["beyond"], answer.planned
    window = tolerance("commercial", "power_off_180", "touchdown_ft_beyond")
    low, high = m_from_ft(window.low), m_from_ft(window.high)
    beyond = planned.touchdown_x - answer.mark
    text = _say(context, f"curve.{answer.sought}")
    inside = np.flatnonzero(np.isfinite(beyond) & (beyond < CURVE_Y[1]) & (beyond > CURVE_Y[0]))
    scene.put(
        window=area(
            "curve",
            [CURVE_X[0], CURVE_X[1], CURVE_X[1], CURVE_X[0]],
            [low, low, high, high],
            role="good",
        ),
        touchdowns=line("curve", *_curve(planned, answer.mark)),
        wanted=horizontal("curve", wanted, role="reference"),
        wanted_handle=points(
            "curve",
            0.03 * CURVE_X[1],
            wanted,
            role="reference",
            size=8.0,
            grab=Grab(
                "wanted",
                _say(context, "wanted"),
                along="y",
                step=(m_from_ft(50.0), m_from_ft(50.0)),
                text=_feet(context, wanted),
            ),
        ),
        wanted_text=label(
            "curve",
            CURVE_X[1],
            wanted,
            _say(context, "wanted_label", distance=_feet(context, wanted)),
            role="reference",
            anchor="end",
            offset=(-6.0, -8.0),
        ),
    )
    if inside.size:
        first = inside[0]
        scene.put(
            touchdowns_text=label(
                "curve", planned.tried[first], beyond[first], text, offset=(10.0, 0.0)
            )
        )
    else:
        scene.remove("touchdowns_text")
    if planned.value is None:
        scene.remove("crossing")
    else:
        scene.put(crossing=points("curve", planned.value, wanted, role="main", size=7.0))


def _curve(planned, mark):
    """Return the line of touchdowns, cut off where it leaves the picture."""
    across = np.linspace(planned.tried[0], planned.tried[-1], 121)
    beyond = np.interp(across, planned.tried, planned.touchdown_x) - mark
    return across, np.where((beyond >= CURVE_Y[0]) & (beyond <= CURVE_Y[1]), beyond, np.nan)


def sentence(answer: Answer, context) -> str:
    """Say the plan, what a small error in it costs, and what to mind; or what would make one."""
    if answer.miss:
        return _none(answer, context)
    if answer.flight.margin is not None and answer.flight.margin <= 0.0:
        return say("power_off_approach.story.stalled", preferences=context.preferences)
    where = place(answer.values["beyond"], context.preferences)
    band, short_band = (_feet(context, b) for b in (answer.flight.band, answer.flight.short_band))
    parts = [
        _say(context, f"plan.{answer.sought}", **_planned(answer, context)),
        _say(
            context,
            "touchdown" if short_band == band else "touchdown_slow",
            where=where,
            band=band,
            short_band=short_band,
        ),
        _cost(answer, context),
        cautions(answer.flight, context),
    ]
    return " ".join(part for part in parts if part)


def _planned(answer, context):
    value, preferences = answer.planned.value, context.preferences
    turn = key_point(answer.flight.points, "base_turn")
    return {
        "distance": _feet(context, value),
        "abeam": show(value, "distance_nm", preferences),
        "time": show(0.0 if turn is None else turn.time, "time_s", preferences),
    }


def _cost(answer, context):
    """Say how far the touchdown moves for a small error of the planned quantity."""
    error = m_from_ft(100.0)
    planned = answer.planned
    low, high = planned.value - error, planned.value + error
    at = np.interp([low, high], planned.tried, planned.touchdown_x)
    if low < planned.tried[0] or high > planned.tried[-1] or not np.isfinite(at).all():
        return ""
    per_error = 0.5 * (at[0] - at[1])
    return _say(
        context,
        f"cost.{answer.sought}",
        error=_feet(context, error),
        moved=_feet(context, abs(per_error)),
    )


def _none(answer, context):
    end = f"{answer.miss}.{answer.sought}"
    if answer.miss == LOW:
        nearest = _low(answer, context)
    elif np.isfinite(answer.nearest):
        nearest = _say(context, f"none.{end}", where=place(answer.nearest, context.preferences))
    else:
        nearest = _say(context, "none.ground")
    if answer.remedies is None:
        return nearest
    if not answer.remedies:
        return f"{nearest} {_say(context, f'none.hopeless.{answer.miss}')}"
    texts = [_remedy(answer, remedy, context) for remedy in answer.remedies]
    return f"{nearest} {_say(context, 'none.remedies')} {'; '.join(texts)}."


def _low(answer, context):
    """Say that the touchdown could be had, but not with a final that is long enough."""
    return _say(
        context,
        f"none.low.{answer.sought}",
        **_planned(answer, context),
        gate=show(GATE_HEIGHT, "height", context.preferences),
        height=show(
            lined_up_height(answer.flight.points), "height", context.preferences, digits=-1
        ),
    )


def _remedy(answer, remedy, context):
    kinds = {"final_flap": "flap_deg", "base_flap": "flap_deg", "abeam": "distance_nm"}
    kind = kinds.get(remedy.key, "height" if remedy.key == "height" else "distance_ft")
    digits = -1 if kind in ("distance_ft", "height") else None
    value = show(remedy.value, kind, context.preferences, digits=digits)
    then = show(
        remedy.sought,
        SOUGHT_KINDS[answer.sought],
        context.preferences,
        digits=-1 if answer.sought == "base_turn" else None,
    )
    change = _say(context, f"remedy.{remedy.key}", value=value)
    return f"{change} {_say(context, f'then.{answer.sought}', value=then)}"


SOUGHT_KINDS = {"base_turn": "distance_ft", "abeam": "distance_nm"}


def _feet(context, distance):
    return show(distance, "distance_ft", context.preferences, digits=-1)
