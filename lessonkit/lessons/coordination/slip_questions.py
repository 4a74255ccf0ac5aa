"""Questions about slips: crosswind, angle, the end of the rudder, the order of actions."""

import math

import numpy as np

from lessonkit.exercises import (
    Fact,
    Misconception,
    Phrase,
    Question,
    Tolerance,
    Variable,
    remembered,
)
from lessonkit.exercises.picture import Horizontal, Label, Line, Picture, PictureAxes, Points
from lessonkit.exercises.question import Mark
from lessonkit.lessons.coordination.question_parts import (
    LESSON,
    SLIPS,
    angle,
    dial,
    lateral_of,
    share,
    side,
    speed,
    straight,
    times_stall,
    ways,
    word,
)
from lessonkit.models.steady_sideslip import (
    crosswind_limit,
    crosswind_slip,
    steady_sideslip_of_rudder,
)
from lessonkit.units import kt_from_mps, mps_from_kt


def _wind(key, low_kt, high_kt, step_kt):
    return Variable(
        key, "wind_speed", mps_from_kt(low_kt), mps_from_kt(high_kt), mps_from_kt(step_kt)
    )


def wind(value):
    """Return a wind for the texts: in knots, and in the learner's unit where that differs."""
    return Fact(value, "wind_speed", also=Fact(value, "speed"))


def _whose(airplane, key):
    """Return whose slip is asked for: not the learner's airplane's, where its card prohibits them.

    A landing with the wing low in a crosswind is asked of every card.
    """
    prohibited = airplane.card.text("limits.slips") == "prohibited"
    return Phrase(f"coordination.exercise.{key}.whose.{'other' if prohibited else 'own'}")


# What angle does a crosswind ask for? -----------------------------------------------------------


APART = 1.5  # between the right answer and the one of a mistake


def _angle(airplane, values):
    ratio = values["crosswind"] / speed(airplane, values["factor"])
    return math.degrees(math.asin(ratio))


SIDESLIP_ANGLE = Question(
    key="sideslip_angle",
    lesson=LESSON,
    kind="number",
    level="application",
    quantity="angle_deg",
    digits=1,
    tolerance=Tolerance(within=0.8, close=2.0),
    variables=(_wind("crosswind", 5.0, 14.0, 1.0), times_stall("factor", 1.3, 1.5, 0.1)),
    facts=lambda airplane, values: {
        "crosswind": wind(values["crosswind"]),
        "speed": dial(airplane, speed(airplane, values["factor"])),
        "true_speed": Fact(speed(airplane, values["factor"]), "speed"),
        "ratio": Fact(values["crosswind"] / speed(airplane, values["factor"]), "number", 2),
    },
    answer=_angle,
    # the knots of the wind must not happen to be the degrees
    usable=lambda airplane, values: (
        3.5 <= _angle(airplane, values) <= 15.0
        and abs(kt_from_mps(values["crosswind"]) - _angle(airplane, values)) > APART
    ),
    misconceptions=(
        Misconception("knots", lambda airplane, values: kt_from_mps(values["crosswind"])),
        Misconception(
            "per_cent",
            lambda airplane, values: (
                100.0 * values["crosswind"] / speed(airplane, values["factor"])
            ),
        ),
    ),
)

# Which wing, which foot? ------------------------------------------------------------------------


@remembered
def _side_slip(airplane, values):
    tas = speed(airplane, values["factor"])
    return crosswind_slip(lateral_of(airplane), tas, values["side"] * values["crosswind"])


def _pedal(airplane, values):
    """Return the pedal beyond the one that holds straight without wind."""
    level = straight(airplane, speed(airplane, values["factor"]))
    return _side_slip(airplane, values).rudder - level.rudder


def _wing_and_foot(airplane, values):
    """Return which wing is low, and whether the pedal is on the side of the low wing."""
    flight = _side_slip(airplane, values)
    wing = "into" if flight.bank_deg * values["side"] > 0.0 else "away"
    foot = "same" if flight.bank_deg * _pedal(airplane, values) > 0.0 else "opposite"
    return f"{wing}_{foot}"


def _side_facts(airplane, values):
    flight = _side_slip(airplane, values)
    return {
        **ways(values["side"]),
        "crosswind": wind(values["crosswind"]),
        "speed": dial(airplane, speed(airplane, values["factor"])),
        "bank": angle(flight.bank_deg, 0),
        "sideslip": angle(flight.sideslip_deg, 0),
        "pedal": share(_pedal(airplane, values)),
        "pedal_side": word(_pedal(airplane, values)),
    }


CROSSWIND_SIDE = Question(
    key="crosswind_side",
    lesson=LESSON,
    kind="choice",
    level="application",
    options=("into_opposite", "into_same", "away_opposite", "away_same"),
    variables=(
        side(),
        _wind("crosswind", 5.0, 9.0, 1.0),
        times_stall("factor", 1.3, 1.5, 0.1),
    ),
    facts=_side_facts,
    answer=_wing_and_foot,
    usable=lambda airplane, values: bool(_side_slip(airplane, values).can_be_held),
    misconceptions=(
        Misconception("turns_into_wind", "into_same"),
        Misconception("lifted_away", "away_opposite"),
        Misconception("blown_along", "away_same"),
    ),
)

# Where does the rudder end? ---------------------------------------------------------------------

SHOWN = 0.55  # of the way to full pedal: so far the line is drawn
DRAWN = 9  # points of it
AXIS_KT = 24.0
HALF_KT, TWICE_KT = 1.2, 2.8


@remembered
def _stop(airplane, values):
    """Return the crosswind at which a side slip takes all of the pedal, in m/s."""
    tas = speed(airplane, values["factor"])
    held = steady_sideslip_of_rudder(lateral_of(airplane), tas, -1.0)
    return tas * math.sin(math.radians(held.sideslip_deg))


@remembered
def _stop_from_the_left(airplane, values):
    """Return the same for wind from the left: the fin, set for cruise, makes the sides differ."""
    tas = speed(airplane, values["factor"])
    return crosswind_limit(lateral_of(airplane), tas, -1)


@remembered
def _drawn(airplane, values):
    """Return crosswinds and the pedal they take, as far as the line is drawn."""
    tas = speed(airplane, values["factor"])
    winds = np.linspace(0.0, _stop(airplane, values) * SHOWN, DRAWN)
    pedals = -crosswind_slip(lateral_of(airplane), tas, winds).rudder
    return tuple(winds.tolist()), tuple(pedals.tolist())


def _limit_picture(airplane, values):
    winds, pedals = _drawn(airplane, values)
    axes = PictureAxes(
        "pedal",
        x=(0.0, mps_from_kt(AXIS_KT)),
        y=(-0.2, 1.3),
        x_kind="wind_speed",
        y_kind="percent",
        x_label="wind",
        y_label="pedal",
    )
    return Picture(
        axes=(axes,),
        items=(
            Horizontal(1.0, "limit"),
            Label(mps_from_kt(0.4), 1.0, "full", "limit", offset=(0.0, -6.0)),
            Line(winds, pedals),
            Points((winds[-1],), (pedals[-1],)),
            Label(winds[-1], pedals[-1], "needed", "main", offset=(8.0, 14.0)),
        ),
        height=300.0,
    )


RUDDER_LIMIT = Question(
    key="rudder_limit",
    lesson=LESSON,
    kind="mark",
    level="correlation",
    quantity="wind_speed",
    tolerance=Tolerance(within=mps_from_kt(HALF_KT), close=mps_from_kt(TWICE_KT)),
    variables=(times_stall("factor", 1.2, 1.6, 0.05),),
    facts=lambda airplane, values: {
        "speed": dial(airplane, speed(airplane, values["factor"])),
        "shown_wind": Fact(_drawn(airplane, values)[0][-1], "wind_speed", 1),
        "shown_pedal": share(_drawn(airplane, values)[1][-1]),
        "whose": _whose(airplane, "rudder_limit"),
        "from_left": Fact(_stop_from_the_left(airplane, values), "wind_speed"),
        "no_wind": share(_drawn(airplane, values)[1][0]),
        "sideslip": angle(
            math.degrees(math.asin(_stop(airplane, values) / speed(airplane, values["factor"])))
        ),
    },
    answer=lambda airplane, values: (_stop(airplane, values), 1.0),
    picture=_limit_picture,
    mark=Mark(start=lambda airplane, values: (mps_from_kt(AXIS_KT - 1.5), 1.0), along="x"),
    misconceptions=(
        Misconception(
            "end_of_line", lambda airplane, values: (_drawn(airplane, values)[0][-1], 1.0)
        ),
        Misconception("speed_helps_not", lambda airplane, values: (mps_from_kt(1.0), 1.0)),
    ),
)

# In what order? ---------------------------------------------------------------------------------


def _card_on_slips(airplane):
    """Return what the card says about slips, as a phrase."""
    said = airplane.card.text("limits.slips")
    if not said:
        return Phrase("coordination.entry.silent")
    return Phrase(f"coordination.entry.slips.{SLIPS[said]}")


SLIP_STEPS = Question(
    key="slip_steps",
    lesson=LESSON,
    kind="order",
    level="understanding",
    variables=(side(), times_stall("factor", 1.3, 1.5, 0.1)),
    facts=lambda airplane, values: {
        **ways(values["side"]),
        "speed": dial(airplane, speed(airplane, values["factor"])),
        "card": _card_on_slips(airplane),
        "whose": _whose(airplane, "slip_steps"),  # names the airplane
    },
    answer=lambda airplane, values: (
        "allowed",
        "idle",
        "bank",
        "hold",
        "out",
        "round_out",
    ),
    misconceptions=(
        Misconception("power_later", ("bank", "idle")),
        Misconception("too_late", ("round_out", "out")),
        Misconception("ask_later", ("idle", "allowed")),
    ),
)

QUESTIONS = (SIDESLIP_ANGLE, CROSSWIND_SIDE, RUDDER_LIMIT, SLIP_STEPS)
