"""Questions about the card's stall speeds, and about which airspeed a factor is taken on.

Air at sea level; the stall is slow, wings level or in a level turn, engine idling.
"""

from dataclasses import replace

from lessonkit.airplane import Card, fit_airplane
from lessonkit.airplane.airspeed_correction import AirspeedCorrection, correction_of
from lessonkit.airplane.rules import FINAL_FACTOR
from lessonkit.airplane.schema import CAS, IAS
from lessonkit.exercises import Fact, Misconception, Phrase, Question, Tolerance, Variable
from lessonkit.lessons.airplane_card.question_parts import (
    LESSON,
    greatest,
    has_own_stall,
    is_manned,
    kt,
    printed,
    result_fact,
    share,
    stall,
    stall_fact,
    weight,
)
from lessonkit.models.load_factor import load_factor_in_level_turn
from lessonkit.units import mps_from_kt
from lessonkit.words import say

A_KNOT = Tolerance(within=mps_from_kt(1.0), close=mps_from_kt(2.0))

# The stall with people and fuel left out ---------------------------------------------------------


def _light_stall(airplane, values):
    return stall(airplane, 0.0, weight(airplane, values))


def _heavy_stall(airplane):
    return stall(airplane, 0.0, greatest(airplane))


def _light_facts(airplane, values):
    most, light = _heavy_stall(airplane), _light_stall(airplane, values)
    return {
        "greatest": Fact(greatest(airplane), "mass"),
        "mass": Fact(weight(airplane, values), "mass"),
        "stall_heavy": stall_fact(airplane, most),
        "stall_cas": Fact(most, "speed", suffix=CAS),
        "weight_ratio": Fact(values["share"], "number", 3),
        "root": Fact(light / most, "number", 3),
        "lighter_by": Fact(1.0 - values["share"], "percent"),
        "slower_by": Fact(1.0 - light / most, "percent"),
        "result": result_fact(airplane, light),
    }


STALL_LIGHTER = Question(
    key="stall_lighter",
    lesson=LESSON,
    kind="number",
    level="application",
    quantity="speed",
    tolerance=A_KNOT,
    variables=(share(0.70, 0.90),),
    facts=_light_facts,
    answer=_light_stall,
    usable=is_manned,
    airspeeds=lambda airplane, values: _on_the_dial(airplane, _light_stall(airplane, values)),
    misconceptions=(
        Misconception(
            "as_the_weight",
            lambda airplane, values: values["share"] * _heavy_stall(airplane),
        ),
        Misconception("no_change", lambda airplane, values: _heavy_stall(airplane)),
        # The square root taken the wrong way round.
        Misconception(
            "lighter_is_faster",
            lambda airplane, values: _heavy_stall(airplane) ** 2 / _light_stall(airplane, values),
        ),
    ),
)


def _on_the_dial(airplane, cas, flap_deg=0.0):
    """Return the same speed as IAS where it is another number."""
    if not has_own_stall(airplane, flap_deg) or correction_of(airplane.card, flap_deg) is None:
        return {}
    return {"ias": airplane.shown_speed(cas, flap_deg)[0]}


# The stall in a level turn -----------------------------------------------------------------------


def _load(values):
    return float(load_factor_in_level_turn(values["bank"]))


def _turn_stall(airplane, values):
    return stall(airplane, 0.0, airplane.mass_today, _load(values))


def _level_stall(airplane):
    return stall(airplane, 0.0, airplane.mass_today)


def _turn_facts(airplane, values):
    level, turning = _level_stall(airplane), _turn_stall(airplane, values)
    return {
        "mass": Fact(airplane.mass_today, "mass"),
        "stall_level": stall_fact(airplane, level),
        "stall_cas": Fact(level, "speed", suffix=CAS),
        "load_factor": Fact(_load(values), "load_factor"),
        "root": Fact(turning / level, "number"),
        "rise": Fact(turning / level - 1.0, "percent"),
        "result": result_fact(airplane, turning),
    }


STALL_IN_TURN = Question(
    key="stall_in_turn",
    lesson=LESSON,
    kind="number",
    level="application",
    quantity="speed",
    tolerance=A_KNOT,
    variables=(Variable("bank", "bank", 30.0, 60.0, 5.0),),
    facts=_turn_facts,
    answer=_turn_stall,
    airspeeds=lambda airplane, values: _on_the_dial(airplane, _turn_stall(airplane, values)),
    misconceptions=(
        Misconception("no_change", lambda airplane, values: _level_stall(airplane)),
        Misconception(
            "times_load", lambda airplane, values: _load(values) * _level_stall(airplane)
        ),
        Misconception(
            "slower",
            lambda airplane, values: _level_stall(airplane) ** 2 / _turn_stall(airplane, values),
        ),
    ),
)

# 1.3 times the stall speed, on the dial ----------------------------------------------------------

LEAST_ERROR = mps_from_kt(1.75)  # a smaller one could not be told from rounding


def _landing_stall(airplane, values):
    return stall(airplane, airplane.landing_flap_deg, weight(airplane, values))


def _final_cas(airplane, values):
    return FINAL_FACTOR * _landing_stall(airplane, values)


def _table(airplane):
    """Return the correction table of the question, and whether it is the card's own.

    The card's own is taken where the dial differs enough to be asked about.
    """
    flap = airplane.landing_flap_deg
    own = correction_of(airplane.card, flap)
    slowest = stall(airplane, flap, SHARES.low * greatest(airplane))
    fastest = FINAL_FACTOR * stall(airplane, flap, greatest(airplane))
    if own is not None and has_own_stall(airplane, flap):
        grid = [slowest + (fastest - slowest) * part / 10.0 for part in range(11)]
        if all(cas - own.ias_from_cas(cas) >= LEAST_ERROR for cas in grid):
            return own, True
    # An example: 8 kt low at the slowest stall, 2 kt low near the approach speed.
    ias = slowest - mps_from_kt(8.0), fastest - mps_from_kt(2.0)
    return AirspeedCorrection(ias, (slowest, fastest)), False


SHARES = share(0.75, 0.95)


def _approach_facts(airplane, values):
    table, own = _table(airplane)
    low, final = _landing_stall(airplane, values), _final_cas(airplane, values)
    ias = IAS if own else say("airplane_card.example.table")
    certain = has_own_stall(airplane, airplane.landing_flap_deg)
    cas = CAS if certain else say("airplane_card.example.stall")
    shown = Fact(table.ias_from_cas(low), "speed", 1, suffix=ias)
    return {
        "own": _own_final(airplane),
        "mass": Fact(weight(airplane, values), "mass"),
        "factor": Fact(FINAL_FACTOR, "number", 1),
        "stall": Fact(low, "speed", 1, suffix=cas, also=shown),
        "stall_cas": Fact(low, "speed", 1, suffix=CAS),
        "final_cas": Fact(final, "speed", 1, suffix=CAS),
        "error": Fact(final - table.ias_from_cas(final), "speed", 1),
        "error_at_stall": Fact(low - table.ias_from_cas(low), "speed", 1),
    }


def _own_final(airplane):
    """Return what goes first: the card's own speed on final, where it has one."""
    figure = airplane.card.figure("approach.final")
    if figure is None:
        return Phrase("airplane_card.exercise.approach_on_dial.own.missing")
    facts = {"printed": printed(figure)}
    return Phrase("airplane_card.exercise.approach_on_dial.own.printed", facts)


def _final_ias(airplane, values):
    return _table(airplane)[0].ias_from_cas(_final_cas(airplane, values))


def _factor_on_ias(airplane, values):
    return FINAL_FACTOR * _table(airplane)[0].ias_from_cas(_landing_stall(airplane, values))


APPROACH_ON_DIAL = Question(
    key="approach_on_dial",
    lesson=LESSON,
    kind="number",
    level="correlation",
    quantity="speed",
    tolerance=A_KNOT,
    variables=(SHARES,),
    facts=_approach_facts,
    answer=_final_ias,
    usable=is_manned,
    airspeeds=lambda airplane, values: {"cas": _final_cas(airplane, values)},
    misconceptions=(
        Misconception("factor_on_dial", _factor_on_ias),
        Misconception("left_in_cas", _final_cas),
        Misconception(
            "wrong_way",
            lambda airplane, values: (
                2.0 * _final_cas(airplane, values) - _final_ias(airplane, values)
            ),
        ),
    ),
)

# A handbook in IAS without a correction table ----------------------------------------------------


def _without_table(airplane, values):
    """Return the learner's airplane with a VS0 in IAS and no correction table."""
    card = airplane.card
    left_out = ("airspeed.flaps_up", "airspeed.flaps_down")
    entries = {path: entry for path, entry in card.entries.items() if path not in left_out}
    vs0 = replace(card.figure("speeds.VS0"), value=values["vs0"], airspeed=IAS)
    return fit_airplane(Card({**entries, "speeds.VS0": vs0}))


def _base_of_final(airplane, values):
    other = _without_table(airplane, values)
    return "printed" if other.stall_cas(other.landing_flap_deg) is None else "times"


def _no_table_facts(airplane, values):
    more = mps_from_kt(10.0), mps_from_kt(15.0)  # size of the error: common experience, no source
    factor = FINAL_FACTOR
    return {
        "vs0": Fact(values["vs0"], "speed", suffix=IAS),
        "final": Fact(values["final"], "speed", suffix=IAS),
        "factor": Fact(factor, "number", 1),
        "product": Fact(factor * values["vs0"], "speed", suffix=IAS),
        "more": Fact(more[0], "speed"),
        "true_low": Fact(values["vs0"] + more[0], "speed", suffix=CAS),
        "true_high": Fact(values["vs0"] + more[1], "speed", suffix=CAS),
        "guess": Fact(factor * (values["vs0"] + more[0]), "speed"),
        "other_guess": Fact(factor * (values["vs0"] + more[1]), "speed"),
    }


NO_TABLE = Question(
    key="no_table",
    lesson=LESSON,
    kind="choice",
    level="application",
    options=("printed", "times", "guess", "warning"),
    variables=(kt("vs0", 32.0, 40.0, 1.0), kt("final", 60.0, 66.0, 1.0)),
    facts=_no_table_facts,
    answer=_base_of_final,
    misconceptions=(
        Misconception("times_dial", "times"),
        Misconception("guessed_error", "guess"),
        Misconception("warning_is_stall", "warning"),
    ),
)
