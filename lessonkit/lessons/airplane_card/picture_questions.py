"""Questions answered in a picture or with controls: best glide on the curve, bank and margin.

Steady glides and level turns in air at sea level, engine idling, flaps up.
"""

import numpy as np

from lessonkit.airplane.schema import CAS
from lessonkit.exercises import Fact, Misconception, Question, Tolerance
from lessonkit.exercises.picture import Label, Line, Picture, PictureAxes, Points, Vertical
from lessonkit.exercises.question import Mark, Setting
from lessonkit.lessons.airplane_card.question_parts import (
    LESSON,
    dial,
    has_own_stall,
    is_manned,
    kt,
    share,
    stall,
    stall_fact,
    weight,
)
from lessonkit.models.load_factor import (
    bank_for_load_factor_deg,
    load_factor_at_stall,
    load_factor_in_level_turn,
)
from lessonkit.units import mps_from_kt

# Where on the curve of sink against speed is best glide? -----------------------------------------

CURVE_POINTS = 60
FASTEST = 1.7  # times best glide
SLOWEST = 1.03  # times the stall speed, where the curve begins


def _best(airplane, values):
    """Return speed and sink of the best glide at the weight drawn."""
    mass = weight(airplane, values)
    cas = airplane.best_glide_cas(mass)
    return cas, airplane.sink_rate(cas, mass)


def _slow_end(airplane, values):
    """Return the slowest speed of the curve: just above the stall, where that is certain."""
    mass = weight(airplane, values)
    slowest = 0.95 * airplane.minimum_sink_cas(mass)
    certain = airplane.stall_cas(0.0, mass)
    return slowest if certain is None else SLOWEST * certain


def _least_sink(airplane, values):
    """Return speed and sink where the curve is highest, at least sink."""
    mass = weight(airplane, values)
    cas = max(airplane.minimum_sink_cas(mass), _slow_end(airplane, values))
    return cas, airplane.sink_rate(cas, mass)


def _fast_end(airplane, values):
    cas = FASTEST * _best(airplane, values)[0]
    return cas, airplane.sink_rate(cas, weight(airplane, values))


def _bottom(airplane, values):
    return 1.1 * _fast_end(airplane, values)[1]


def _curve(airplane, values):
    fastest, _ = _fast_end(airplane, values)
    speeds = np.linspace(_slow_end(airplane, values), fastest, CURVE_POINTS)
    sinks = airplane.sink_rate(speeds, weight(airplane, values))
    bottom = _bottom(airplane, values)
    axes = PictureAxes(
        "glide",
        x=(0.0, 1.05 * fastest),
        y=(bottom, 0.0),
        x_kind="speed",
        y_kind="vertical_speed",
        x_label="speed",
        y_label="sink",
    )
    items = [
        Line(tuple(speeds), tuple(sinks)),
        Points((0.0,), (0.0,), role="ink"),
        Label(0.0, 0.0, "origin", offset=(8.0, 18.0)),
    ]
    certain = airplane.stall_cas(0.0, weight(airplane, values))
    if certain is not None:
        items += [
            Vertical(certain),
            Label(certain, bottom, "stall", role="limit", anchor="end", offset=(-6.0, -10.0)),
        ]
    return Picture((axes,), tuple(items), height=440.0)


def _curve_facts(airplane, values):
    cas, sink = _best(airplane, values)
    slow, least = _least_sink(airplane, values)
    return {
        "mass": Fact(weight(airplane, values), "mass"),
        "best": Fact(cas, "speed", suffix=CAS, also=dial(airplane, cas)),
        "best_sink": Fact(sink, "vertical_speed", -1),
        "ratio": Fact(airplane.best_glide_ratio(), "ratio"),
        "slow": Fact(slow, "speed", suffix=CAS),
        "least": Fact(least, "vertical_speed", -1),
    }


BEST_GLIDE_POINT = Question(
    key="best_glide_point",
    lesson=LESSON,
    kind="mark",
    level="correlation",
    quantity="speed",
    tolerance=Tolerance(within=mps_from_kt(3.0), close=mps_from_kt(6.0)),
    variables=(share(0.75, 1.0),),
    facts=_curve_facts,
    answer=_best,
    usable=is_manned,
    picture=_curve,
    mark=Mark(
        start=lambda airplane, values: (
            0.3 * _best(airplane, values)[0],
            0.7 * _bottom(airplane, values),
        ),
    ),
    misconceptions=(
        Misconception("least_sink", _least_sink),
        Misconception("fast_is_far", _fast_end),
    ),
)

# How much bank leaves this margin? ---------------------------------------------------------------

STEEPEST_DEG = 60.0
STEEPEST_ASKED_DEG = 57.0
NEAR_DEG = 1.5  # a setting this near a wrong bank shows the idea that leads there


def _level(airplane):
    return stall(airplane, 0.0, airplane.mass_today)


def _speed(airplane, values):
    return _level(airplane) + values["above"]


def _margin(airplane, values, settings):
    load = float(load_factor_in_level_turn(settings["bank"]))
    return _speed(airplane, values) - stall(airplane, 0.0, airplane.mass_today, load)


def _bank_to_stall_at(airplane, cas):
    """Return the level bank in which the stall speed has come up to a speed."""
    return float(bank_for_load_factor_deg(load_factor_at_stall(cas, _level(airplane))))


def _right_bank(airplane, values):
    return _bank_to_stall_at(airplane, _speed(airplane, values) - values["margin"])


def _bank_by_load(airplane, values):
    """Return the bank of someone who multiplies the stall speed by the load factor itself."""
    allowed = (_speed(airplane, values) - values["margin"]) / _level(airplane)
    return float(bank_for_load_factor_deg(allowed))


def _bank_by_rise(airplane, values):
    """Return the bank that uses up the margin instead of leaving it."""
    return _bank_to_stall_at(airplane, _level(airplane) + values["margin"])


def _shows(wrong_bank):
    return lambda airplane, values, settings: (
        abs(settings["bank"] - wrong_bank(airplane, values)) <= NEAR_DEG
    )


def _example(wrong_bank):
    return lambda airplane, values: {"bank": float(round(wrong_bank(airplane, values)))}


def _banks_apart(airplane, values):
    """Tell whether the right bank and the two wrong ones can be told apart, and are not extreme."""
    banks = [find(airplane, values) for find in (_right_bank, _bank_by_load, _bank_by_rise)]
    gaps = np.diff(sorted(banks))
    return max(banks) < STEEPEST_ASKED_DEG and min(gaps) > 2.0 * NEAR_DEG + 1.0


def _margin_facts(airplane, values):
    level, speed = _level(airplane), _speed(airplane, values)
    allowed = speed - values["margin"]
    known = has_own_stall(airplane, 0.0)
    return {
        "mass": Fact(airplane.mass_today, "mass"),
        "stall": stall_fact(airplane, level),
        "speed": Fact(speed, "speed", suffix=CAS, also=dial(airplane, speed) if known else None),
        "allowed": Fact(allowed, "speed", suffix=CAS),
        "load_factor": Fact(float(load_factor_at_stall(allowed, level)), "load_factor"),
        "share": Fact(allowed / level, "number"),
    }


BANK_FOR_MARGIN = Question(
    key="bank_for_margin",
    lesson=LESSON,
    kind="set",
    level="correlation",
    quantity="speed",
    tolerance=Tolerance(within=mps_from_kt(1.0), close=mps_from_kt(2.5)),
    variables=(kt("above", 18.0, 28.0, 1.0), kt("margin", 7.0, 13.0, 1.0)),
    facts=_margin_facts,
    answer=lambda airplane, values: values["margin"],
    usable=_banks_apart,
    settings=(Setting("bank", "bank", 0.0, STEEPEST_DEG, 1.0, 0.0),),
    outcome=_margin,
    reference=lambda airplane, values: {"bank": float(round(_right_bank(airplane, values)))},
    misconceptions=(
        Misconception("times_load", _shows(_bank_by_load), example=_example(_bank_by_load)),
        Misconception("margin_used_up", _shows(_bank_by_rise), example=_example(_bank_by_rise)),
    ),
)
