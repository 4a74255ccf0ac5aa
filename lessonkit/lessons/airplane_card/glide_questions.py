"""Questions about the card's glide: how far, at which weight, with which flaps and propeller.

Still air at sea level, so that true and calibrated airspeed are the same.
"""

from lessonkit.airplane.fit import glide_ratio_of
from lessonkit.airplane.schema import IDLE, STOPPED
from lessonkit.exercises import Fact, Misconception, Question, Tolerance, Variable
from lessonkit.lessons.airplane_card.question_parts import (
    LESSON,
    dial,
    greatest,
    is_manned,
    kt,
    share,
    weight,
)
from lessonkit.models.glide_distance import still_air_glide
from lessonkit.models.glide_path import glide_ratio_from_sink
from lessonkit.units import m_from_ft, m_from_nm, m_from_sm

NM_PER_SM = m_from_nm(1.0) / m_from_sm(1.0)


def _ft(key, low_ft, high_ft, step_ft):
    return Variable(key, "height", m_from_ft(low_ft), m_from_ft(high_ft), m_from_ft(step_ft))


def _distance(ratio, height):
    return float(still_air_glide(ratio, height))


def _ratio_at(airplane, cas, mass=None):
    """Return the glide ratio at a speed, flaps up, idling."""
    return float(glide_ratio_from_sink(cas, airplane.sink_rate(cas, mass)))


# How far with the handbook's ratio? --------------------------------------------------------------


def _above_ground(values):
    return values["altitude"] - values["elevation"]


def _reach(airplane, values):
    return _distance(glide_ratio_of(airplane.card), _above_ground(values))


GLIDE_FROM_CARD = Question(
    key="glide_from_card",
    lesson=LESSON,
    kind="number",
    level="application",
    quantity="distance_nm",
    tolerance=Tolerance(within=m_from_nm(0.12), close=m_from_nm(0.25)),
    variables=(_ft("altitude", 3500.0, 6000.0, 250.0), _ft("elevation", 600.0, 1800.0, 300.0)),
    facts=lambda airplane, values: {
        "ratio": Fact(glide_ratio_of(airplane.card), "ratio"),
        "height": Fact(_above_ground(values), "height"),
        "feet": Fact(_reach(airplane, values), "distance_ft", -1),
        "times": Fact(glide_ratio_of(airplane.card), "number", 1),
    },
    answer=_reach,
    misconceptions=(
        Misconception(
            "above_sea_level",
            lambda airplane, values: _distance(glide_ratio_of(airplane.card), values["altitude"]),
        ),
        Misconception(
            "statute_miles", lambda airplane, values: NM_PER_SM * _reach(airplane, values)
        ),
    ),
)

# What does less weight change? -------------------------------------------------------------------

SAME_RATIO = 0.01  # ratios within 1 % count as the same; a handbook prints them no finer


def _changes(airplane, values):
    heavy, light = (
        (airplane.best_glide_cas(mass), mass)
        for mass in (greatest(airplane), weight(airplane, values))
    )
    change = _ratio_at(airplane, *light) / _ratio_at(airplane, *heavy) - 1.0
    speed = "slower" if light[0] < heavy[0] else "faster"
    ratio = "same" if abs(change) < SAME_RATIO else "farther" if change > 0.0 else "shorter"
    return f"{speed}_{ratio}"


def _weight_facts(airplane, values):
    most, less = greatest(airplane), weight(airplane, values)
    heavy, light = airplane.best_glide_cas(most), airplane.best_glide_cas(less)
    return {
        "greatest": Fact(most, "mass"),
        "mass": Fact(less, "mass"),
        "speed_heavy": dial(airplane, heavy),
        "speed_light": dial(airplane, light),
        "ratio": Fact(_ratio_at(airplane, heavy, most), "ratio"),
        "ratio_light": Fact(_ratio_at(airplane, light, less), "ratio"),
        "sink_heavy": Fact(airplane.sink_rate(heavy, most), "vertical_speed", -1),
        "sink_light": Fact(airplane.sink_rate(light, less), "vertical_speed", -1),
        "ratio_unchanged_speed": Fact(_ratio_at(airplane, heavy, less), "ratio"),
        "lighter_by": Fact(1.0 - values["share"], "percent"),
    }


LIGHTER_GLIDE = Question(
    key="lighter_glide",
    lesson=LESSON,
    kind="choice",
    level="correlation",
    options=("slower_same", "slower_farther", "faster_same", "same_speed"),
    variables=(share(0.75, 0.90),),
    facts=_weight_facts,
    answer=_changes,
    usable=is_manned,
    misconceptions=(
        Misconception("light_floats", "slower_farther"),
        Misconception("light_is_fast", "faster_same"),
        Misconception("printed_speed", "same_speed"),
    ),
)

# Which flaps still reach? ------------------------------------------------------------------------


def _reaches(airplane, values):
    return tuple(
        _distance(airplane.best_glide_ratio(flap), values["height"])
        for flap in (0.0, airplane.landing_flap_deg)
    )


def _away(airplane, values):
    return values["part"] * _reaches(airplane, values)[0]


def _with_flaps(airplane, values):
    up, down = (reach >= _away(airplane, values) for reach in _reaches(airplane, values))
    return {(True, True): "both", (True, False): "up_only", (False, False): "neither"}.get(
        (up, down), "flaps_only"
    )


def _flap_facts(airplane, values):
    up, down = _reaches(airplane, values)
    flap = airplane.landing_flap_deg
    return {
        "distance": Fact(_away(airplane, values), "distance_nm"),
        "flap": Fact(flap, "flap_deg"),
        "ratio_up": Fact(airplane.best_glide_ratio(), "ratio"),
        "ratio_down": Fact(airplane.best_glide_ratio(flap), "ratio"),
        "times_up": Fact(airplane.best_glide_ratio(), "number", 1),
        "times_down": Fact(airplane.best_glide_ratio(flap), "number", 1),
        "speed_up": dial(airplane, airplane.best_glide_cas()),
        "speed_down": dial(airplane, airplane.best_glide_cas(flap_deg=flap), flap),
        "reach_up": Fact(up, "distance_nm"),
        "reach_down": Fact(down, "distance_nm"),
        "lost": Fact(1.0 - down / up, "percent"),
    }


def _clear_enough(airplane, values):
    """Tell whether no reach ends so near the point that rounding could decide."""
    away = _away(airplane, values)
    return all(abs(reach / away - 1.0) > 0.05 for reach in _reaches(airplane, values))


REACH_WITH_FLAPS = Question(
    key="reach_with_flaps",
    lesson=LESSON,
    kind="choice",
    level="application",
    options=("both", "up_only", "flaps_only", "neither"),
    variables=(
        _ft("height", 600.0, 1200.0, 100.0),
        Variable("part", "percent", 0.65, 1.15, 0.05),
    ),
    facts=_flap_facts,
    answer=_with_flaps,
    usable=_clear_enough,
    misconceptions=(
        Misconception("both_wrong", "both"),
        Misconception("up_only_wrong", "up_only"),
        Misconception("flaps_carry", "flaps_only"),
        Misconception("neither_wrong", "neither"),
    ),
)

# An idling propeller and one at rest -------------------------------------------------------------


def _stopped_against_idle(airplane, values):
    idle, stopped = (airplane.best_glide_ratio(propeller=state) for state in (IDLE, STOPPED))
    if abs(stopped / idle - 1.0) < SAME_RATIO:
        return "same"
    return "farther" if stopped > idle else "shorter"


def _propeller_facts(airplane, values):
    ratios = {
        name: airplane.best_glide_ratio(propeller=state)
        for name, state in (("idle", IDLE), ("stopped", STOPPED))
    }
    facts = {f"ratio_{name}": Fact(ratio, "ratio") for name, ratio in ratios.items()}
    reach = {name: _distance(ratio, values["height"]) for name, ratio in ratios.items()}
    facts |= {f"reach_{name}": Fact(one, "distance_nm") for name, one in reach.items()}
    return facts | {"gain": Fact(reach["stopped"] - reach["idle"], "distance_ft", -2)}


PROPELLER_STATE = Question(
    key="propeller_state",
    lesson=LESSON,
    kind="choice",
    level="understanding",
    options=("farther", "same", "shorter"),
    variables=(_ft("height", 2000.0, 5000.0, 250.0),),
    facts=_propeller_facts,
    answer=_stopped_against_idle,
    misconceptions=(
        Misconception("blades_in_the_wind", "shorter"),
        Misconception("no_thrust_no_difference", "same"),
    ),
)

# Which figure to pin down first? -----------------------------------------------------------------


def _flown(airplane, values):
    """Return the glide ratio when one thing is off and the others are as planned."""
    best, speed = airplane.best_glide_ratio(), airplane.best_glide_cas()
    lighter = airplane.mass_today - values["mass_off"]
    return {
        "ratio": best * (1.0 - values["ratio_off"]),
        "speed": _ratio_at(airplane, speed + values["speed_off"]),
        "weight": _ratio_at(airplane, speed, lighter),
    }


def _shifts(airplane, values):
    """Return by how much the end of the glide moves nearer, one cause at a time."""
    height, best = values["height"], airplane.best_glide_ratio()
    planned = _distance(best, height)
    shifts = {
        name: planned - _distance(ratio, height) for name, ratio in _flown(airplane, values).items()
    }
    return shifts | {"altimeter": _distance(best, values["height_off"])}


def _largest(airplane, values):
    shifts = _shifts(airplane, values)
    return max(shifts, key=shifts.get)


def _stands_out(airplane, values):
    *_, second, first = sorted(_shifts(airplane, values).values())
    return first > 1.3 * second


def _measure_facts(airplane, values):
    speed, shifts = airplane.best_glide_cas(), _shifts(airplane, values)
    flown = _flown(airplane, values)
    return {
        "planned": Fact(_distance(airplane.best_glide_ratio(), values["height"]), "distance_nm"),
        "best": Fact(airplane.best_glide_ratio(), "number", 2),
        "speed": dial(airplane, speed),
        "speed_fast": dial(airplane, speed + values["speed_off"]),
        **{f"flown_{name}": Fact(ratio, "number", 2) for name, ratio in flown.items()},
        **{f"shift_{name}": Fact(shift, "distance_ft", -1) for name, shift in shifts.items()},
        "most": Fact(max(shifts.values()), "distance_ft", -1),
    }


MEASURE_FIRST = Question(
    key="measure_first",
    lesson=LESSON,
    kind="choice",
    level="correlation",
    options=("ratio", "speed", "weight", "altimeter"),
    variables=(
        _ft("height", 2000.0, 4000.0, 500.0),
        Variable("ratio_off", "percent", 0.02, 0.12, 0.02),
        kt("speed_off", 4.0, 14.0, 2.0),
        Variable("mass_off", "mass", 40.0, 80.0, 10.0),
        _ft("height_off", 20.0, 120.0, 20.0),
    ),
    facts=_measure_facts,
    answer=_largest,
    usable=_stands_out,
    misconceptions=(
        Misconception("ratio_wrong", "ratio"),
        Misconception("speed_wrong", "speed"),
        Misconception("weight_wrong", "weight"),
        Misconception("altimeter_wrong", "altimeter"),
    ),
)
