"""The exercises of the airplane card; texts in ``words/en/airplane_card.toml``.

Speeds stand in `speed_questions`, the glide in `glide_questions`, pictures and controls in
`picture_questions`, here what is left. A speed is
shown as the card's airspeed indicator shows it wherever the card tells that.
"""

from dataclasses import replace

from lessonkit.airplane import Card, Figure, contradictions
from lessonkit.airplane.fit import glide_ratio_of
from lessonkit.airplane.schema import INVENTED
from lessonkit.exercises import Fact, Misconception, Question, Tolerance, Variable
from lessonkit.lessons.airplane_card.glide_questions import (
    GLIDE_FROM_CARD,
    LIGHTER_GLIDE,
    MEASURE_FIRST,
    NM_PER_SM,
    PROPELLER_STATE,
    REACH_WITH_FLAPS,
)
from lessonkit.lessons.airplane_card.picture_questions import BANK_FOR_MARGIN, BEST_GLIDE_POINT
from lessonkit.lessons.airplane_card.question_parts import (
    LESSON,
    dial,
    kt,
    printed,
    share,
    weight,
)
from lessonkit.lessons.airplane_card.speed_questions import (
    APPROACH_ON_DIAL,
    NO_TABLE,
    STALL_IN_TURN,
    STALL_LIGHTER,
)
from lessonkit.models.glide_distance import still_air_glide
from lessonkit.models.wind import crosswind_component, headwind_component
from lessonkit.units import m_from_ft, mps_from_kt
from lessonkit.words import say

# Which two figures contradict each other? --------------------------------------------------------

PAIRS = ("stalls", "glide", "distance", "weights")
THOUSAND_FEET = m_from_ft(1000.0)


def _sound(airplane, values):
    """Return the figures of the question as they should be: the card's own, and a weight."""
    card = airplane.card
    ratio = glide_ratio_of(card)
    per_1000_ft = float(still_air_glide(ratio, THOUSAND_FEET))
    return {
        "weights.max": card.figure("weights.max"),
        "weights.today": _figure(weight(airplane, values), "mass"),
        "speeds.VS0": card.figure("speeds.VS0"),
        "speeds.VS1": card.figure("speeds.VS1"),
        "glide.speed": card.figure("glide.speed"),
        "glide.ratio": _figure(ratio, "ratio"),
        "glide.distance_per_1000_ft": _figure(per_1000_ft, "distance_nm"),
    }


def _figure(value, kind):
    return Figure(value, kind, value, INVENTED)


def _slips(airplane, values):
    """Return for each pair the one figure that a slip of the pen would make of it."""
    sound = _sound(airplane, values)
    flaps_up, heaviest = sound["speeds.VS1"], sound["weights.max"].value
    distance = sound["glide.distance_per_1000_ft"].value
    return {
        "stalls": {"speeds.VS0": replace(flaps_up, value=flaps_up.value + values["off"])},
        "glide": {"glide.speed": replace(flaps_up, value=flaps_up.value - values["off"])},
        # Statute miles written down as nautical ones.
        "distance": {"glide.distance_per_1000_ft": _figure(NM_PER_SM * distance, "distance_nm")},
        "weights": {"weights.today": _figure(heaviest + values["over"], "mass")},
    }


def _typed(airplane, values):
    """Return the figures of the prompt, with the one slip that was drawn."""
    pair = PAIRS[round(values["which"])]
    return _sound(airplane, values) | _slips(airplane, values)[pair]


# What belongs to each pair; a figure of no pair stays as it is on the card.
_OF_PAIR = {
    "stalls": ("speeds.VS0", "speeds.VS1"),
    "glide": ("glide.speed", "speeds.VS1"),
    "distance": ("glide.ratio", "glide.distance_per_1000_ft"),
    "weights": ("weights.today", "weights.max"),
}


def _contradicting(airplane, values):
    """Return the pairs whose figures, put into the sound card alone, the kit refuses."""
    typed = _typed(airplane, values)
    sound = {**airplane.card.entries, **_sound(airplane, values)}
    return [
        pair
        for pair, paths in _OF_PAIR.items()
        if contradictions(Card(sound | {path: typed[path] for path in paths}))
    ]


def _contradiction(airplane, values):
    found = _contradicting(airplane, values)
    return found[0] if found else PAIRS[round(values["which"])]


def _typed_facts(airplane, values):
    typed = _typed(airplane, values)
    distance = typed["glide.distance_per_1000_ft"].value
    return {
        "greatest": Fact(typed["weights.max"].value, "mass"),
        "today": Fact(typed["weights.today"].value, "mass"),
        "vs0": printed(typed["speeds.VS0"]),
        "vs1": printed(typed["speeds.VS1"]),
        "glide": printed(typed["glide.speed"]),
        "ratio": Fact(typed["glide.ratio"].value, "ratio"),
        "distance": Fact(distance, "distance_nm"),
        "per": Fact(THOUSAND_FEET, "height"),
        "distance_ft": Fact(distance, "distance_ft", -1),
        "ratio_of_distance": Fact(distance / THOUSAND_FEET, "ratio"),
    }


CONTRADICTION = Question(
    key="contradiction",
    lesson=LESSON,
    kind="choice",
    level="correlation",
    options=PAIRS,
    variables=(
        Variable("which", "count", 0.0, len(PAIRS) - 1.0, 1.0),
        share(0.80, 0.95),
        kt("off", 3.0, 8.0, 1.0),
        Variable("over", "mass", 20.0, 60.0, 5.0),
    ),
    facts=_typed_facts,
    answer=_contradiction,
    usable=lambda airplane, values: len(_contradicting(airplane, values)) == 1,
    misconceptions=tuple(Misconception(f"{pair}_agree", pair) for pair in PAIRS),
)

# The wind across, and what the handbook has demonstrated ------------------------------------------

EXAMPLE_CROSSWIND = mps_from_kt(15.0)  # for a card without the figure; invented


def _across(airplane, values):
    return float(crosswind_component(values["angle"], values["wind"]))


def _along(airplane, values):
    return float(headwind_component(values["angle"], values["wind"]))


def _wind_facts(airplane, values):
    limit = airplane.card.value("limits.crosswind")
    in_knots = Fact(EXAMPLE_CROSSWIND if limit is None else limit, "wind_speed")
    shown = in_knots if limit is None else Fact(limit, "speed", also=in_knots)
    if limit is None:
        shown = replace(in_knots, suffix=say("airplane_card.example.crosswind"))
    return {
        "from": Fact(values["runway"] + values["angle"], "heading_deg"),
        "limit": shown,
        "along": Fact(_along(airplane, values), "wind_speed"),
        "share": Fact(_across(airplane, values) / values["wind"], "number"),
    }


CROSSWIND = Question(
    key="crosswind",
    lesson=LESSON,
    kind="number",
    level="application",
    quantity="wind_speed",
    tolerance=Tolerance(within=mps_from_kt(1.0), close=mps_from_kt(2.0)),
    variables=(
        Variable("runway", "heading_deg", 10.0, 360.0, 10.0),
        Variable("angle", "bank", 20.0, 70.0, 10.0),
        kt("wind", 10.0, 24.0, 1.0, kind="wind_speed"),
    ),
    facts=_wind_facts,
    answer=_across,
    misconceptions=(
        Misconception("headwind", _along),
        Misconception("whole_wind", lambda airplane, values: values["wind"]),
    ),
)

# A timed glide, in order -------------------------------------------------------------------------


TIMED = m_from_ft(2000.0)  # says more than 1,000 ft: errors of reading count half as much


def _steps(airplane, values):
    heat = ("heat",) if airplane.card.text("engine.induction") == "carburettor" else ()
    first = ("agree", "lookout", *heat, "throttle", "speed", "start", "stop", "recover")
    return (*first, "note", "card")


TIMED_GLIDE = Question(
    key="timed_glide",
    lesson=LESSON,
    kind="order",
    level="application",
    variables=(Variable("top", "height", *(m_from_ft(f) for f in (4500.0, 6000.0, 100.0))),),
    facts=lambda airplane, values: {
        "speed": dial(airplane, airplane.best_glide_cas()),
        "per": Fact(TIMED, "height"),
        "bottom": Fact(values["top"] - TIMED, "height"),
        "sink": Fact(airplane.sink_rate(airplane.best_glide_cas()), "vertical_speed", -1),
    },
    answer=_steps,
    misconceptions=(
        Misconception("clock_too_early", ("start", "speed")),
        Misconception("writing_while_low", ("note", "recover")),
        # Before the next one: whoever has not looked round is told that first.
        Misconception("nobody_looked", ("throttle", "lookout")),
        Misconception("heat_too_late", ("throttle", "heat")),
    ),
)

QUESTIONS = [
    CONTRADICTION,
    STALL_LIGHTER,
    STALL_IN_TURN,
    BANK_FOR_MARGIN,
    APPROACH_ON_DIAL,
    NO_TABLE,
    BEST_GLIDE_POINT,
    GLIDE_FROM_CARD,
    LIGHTER_GLIDE,
    REACH_WITH_FLAPS,
    PROPELLER_STATE,
    MEASURE_FIRST,
    CROSSWIND,
    TIMED_GLIDE,
]
