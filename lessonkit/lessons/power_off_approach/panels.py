"""Panels of the lesson on the power-off approach."""

from lessonkit.lessons.power_off_approach.flights import LATEST_TURN, MARK, Bench
from lessonkit.lessons.power_off_approach.picture import (
    ABEAM_RANGE,
    HEIGHT_RANGE,
    draw,
    make_scene,
    wind_from_tip,
)
from lessonkit.lessons.power_off_approach.story import place, sentence
from lessonkit.panels import Check, Choice, NumberControl, Panel, Prediction
from lessonkit.units import m_from_ft, m_from_nm, mps_from_kt
from lessonkit.words import say, show

WORDS = "power_off_approach.bench"
PREDICTED_HEADWIND = mps_from_kt(10.0)


def approach_bench(context) -> Panel:
    """Return the bench on which one power-off approach is flown from abeam to touchdown."""
    bench = Bench(context)
    first, more = _controls(bench, context)
    side = context.airfield.side

    def show_flight(scene, flight, values):
        draw(scene, flight, values, context)
        return sentence(flight, context)

    return Panel(
        context,
        "approach_bench",
        title=say(f"{WORDS}.title", preferences=context.preferences),
        scene=make_scene(context),
        controls=first,
        more=more,
        compute=bench.draft,
        full=bench.fly,
        draw=show_flight,
        prediction=_prediction(bench, context),
        grabs={
            "turn": lambda event: {"base_turn": MARK - event.x},
            "abeam": lambda event: {"abeam": -side * event.y},
            "wind": lambda event: wind_from_tip(event.x, event.y, side),
        },
    )


def _prediction(bench, context) -> Prediction:
    """Ask what ten knots of headwind do to an approach that fits in calm air."""
    preferences = context.preferences

    def outcome(flight):
        return place(flight.beyond, preferences) if _is_asked(bench.start, flight.values) else None

    return Prediction(
        say(
            f"{WORDS}.question",
            wind=show(PREDICTED_HEADWIND, "wind_speed", preferences),
            preferences=preferences,
        ),
        choices=[
            (key, say(f"{WORDS}.answer.{key}", preferences=preferences))
            for key in ("same", "little", "short", "long")
        ],
        outcome=outcome,
    )


def _is_asked(start, values) -> bool:
    """Tell whether the settings are the start's with the headwind of the prediction."""
    asked = {**start, "headwind": PREDICTED_HEADWIND}
    return all(abs(values[key] - value) < 0.01 for key, value in asked.items())


def _controls(bench, context):
    """Return the controls shown at once, and those that stay folded."""
    start, preferences, airplane = bench.start, context.preferences, context.airplane
    card = airplane.card

    def number(key, kind, low, high, step):
        text = say(f"{WORDS}.control.{key}", preferences=preferences)
        value = min(max(start[key], low), high)
        return NumberControl(
            key, text, kind, value=value, low=low, high=high, step=step, preferences=preferences
        )

    def flap(key):
        options = [(show(one, "flap_deg", preferences), one) for one in airplane.flap_deg]
        return Choice(
            key, say(f"{WORDS}.control.{key}", preferences=preferences), options, start[key]
        )

    knot, foot = mps_from_kt(1.0), m_from_ft(1.0)
    glide, final = start["glide_cas"], start["final_cas"]
    first = [
        number("base_turn", "distance_ft", 0.0, LATEST_TURN, 50.0 * foot),
        number("abeam", "distance_nm", *ABEAM_RANGE, m_from_nm(0.01)),
        number("headwind", "wind_speed", -10.0 * knot, 25.0 * knot, knot),
        number("crosswind", "wind_speed", -15.0 * knot, 15.0 * knot, knot),
        flap("final_flap"),
    ]
    more = [
        number("height", "height", *HEIGHT_RANGE, 10.0 * foot),
        number("glide_cas", "speed", 0.85 * glide, 1.3 * glide, knot),
        number("final_cas", "speed", 0.85 * final, 1.3 * final, knot),
        flap("base_flap"),
        number("bank", "bank", 15.0, 45.0, 1.0),
        number(
            "mass",
            "mass",
            bench.lightest,
            card.value("weights.max"),
            5.0,
        ),
        Check("scatter", say(f"{WORDS}.control.scatter", preferences=preferences)),
    ]
    return first, more


PANELS = {"approach_bench": approach_bench}
