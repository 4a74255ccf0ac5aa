"""Questions about the glide: reach, turns, wind, speed, slip; texts in the lesson's TOML.

Steady glides in standard air at sea level, propeller idling, at today's weight.
"""

from lessonkit.exercises import Fact, Misconception, Phrase, Question, Tolerance, Variable
from lessonkit.lessons.power_off_approach.question_parts import LESSON, dial, ft, kt, polar, wind
from lessonkit.models.glide_distance import (
    glide_ratio_over_ground,
    speed_to_fly_in_wind,
    still_air_glide,
)
from lessonkit.models.glide_path import glide_path_angle_deg
from lessonkit.models.gliding_turn import gliding_turn
from lessonkit.models.slip import steady_slip
from lessonkit.models.wind import ground_speed
from lessonkit.units import m_from_ft, m_from_nm, mps_from_kt

ROLL_RATE_DPS = 15.0  # a brisk, ordinary roll; common practice, no source
HALF_TURN_DEG = 180.0
RAISED_FURTHER = mps_from_kt(3.0)  # how much slower "a little more nose up" makes it
HALF = 0.5  # of the headwind, by the rule of the trade


# How far does this height carry? ----------------------------------------------------------------


def _reach(airplane, height, headwind, flap_deg=0.0):
    speed = airplane.best_glide_cas(flap_deg=flap_deg)
    ratio = glide_ratio_over_ground(airplane.best_glide_ratio(flap_deg), speed, headwind)
    return float(still_air_glide(ratio, height))


def _glide_facts(airplane, values):
    speed, ratio = airplane.best_glide_cas(), airplane.best_glide_ratio()
    over_ground = glide_ratio_over_ground(ratio, speed, values["headwind"])
    return {
        "headwind": wind(values["headwind"]),
        "speed": dial(airplane, speed),
        "true_speed": Fact(speed, "speed"),
        "ground_speed": Fact(float(ground_speed(speed, values["headwind"], 0.0)), "speed"),
        "ratio": Fact(ratio, "ratio"),
        "ground_ratio": Fact(float(over_ground), "ratio"),
        "still_air": Fact(_reach(airplane, values["height"], 0.0), "distance_nm"),
    }


GLIDE_DISTANCE = Question(
    key="glide_distance",
    lesson=LESSON,
    kind="number",
    level="application",
    quantity="distance_nm",
    tolerance=Tolerance(within=m_from_nm(0.07), close=m_from_nm(0.14)),
    variables=(ft("height", 1000.0, 3000.0, 250.0), kt("headwind", 8.0, 20.0, 2.0)),
    facts=_glide_facts,
    answer=lambda airplane, values: _reach(airplane, values["height"], values["headwind"]),
    misconceptions=(
        Misconception(
            "still_air",
            lambda airplane, values: _reach(airplane, values["height"], 0.0),
        ),
        Misconception(
            "wind_helps",
            lambda airplane, values: _reach(airplane, values["height"], -values["headwind"]),
        ),
    ),
)


# How much height does a turn cost? --------------------------------------------------------------


def _turn(airplane, bank_deg, delay, turn_deg=HALF_TURN_DEG):
    cl_max = airplane.parameters().cl_max[0]
    speed = airplane.best_glide_cas()
    return gliding_turn(
        *polar(airplane), cl_max, speed, bank_deg, turn_deg, ROLL_RATE_DPS, delay, 0.0
    )


def _turn_height(airplane, values, **changes):
    turn = _turn(airplane, **{"bank_deg": values["bank"], "delay": values["delay"], **changes})
    return float(turn.total_height)


def _turn_facts(airplane, values):
    speed = airplane.best_glide_cas()
    turn = _turn(airplane, values["bank"], values["delay"])
    moving = _turn(airplane, values["bank"], 0.0)
    return {
        "speed": dial(airplane, speed),
        "roll_rate": Fact(ROLL_RATE_DPS, "turn_rate", 0),
        "sink": Fact(airplane.sink_rate(speed), "vertical_speed", -1),
        "sink_in_turn": Fact(
            airplane.sink_rate(speed, bank_deg=values["bank"]), "vertical_speed", -1
        ),
        "delay_height": Fact(float(turn.delay_height), "height", -1),
        "turn_height": Fact(float(moving.total_height), "height", -1),
        "turn_time": Fact(float(moving.time), "time_s"),
        "load_factor": Fact(float(turn.load_factor), "load_factor"),
    }


TURN_HEIGHT = Question(
    key="turn_height",
    lesson=LESSON,
    kind="number",
    level="application",
    quantity="height",
    tolerance=Tolerance(within=m_from_ft(25.0), close=m_from_ft(60.0)),
    variables=(
        Variable("bank", "bank", 25.0, 45.0, 5.0),
        Variable("delay", "time_s", 3.0, 6.0, 1.0),
    ),
    facts=_turn_facts,
    answer=_turn_height,
    digits=-1,
    misconceptions=(
        Misconception(
            "no_delay", lambda airplane, values: _turn_height(airplane, values, delay=0.0)
        ),
        Misconception(
            "whole_circle",
            lambda airplane, values: _turn_height(airplane, values, turn_deg=2.0 * HALF_TURN_DEG),
        ),
        Misconception(
            "one_quarter",
            lambda airplane, values: _turn_height(airplane, values, turn_deg=0.5 * HALF_TURN_DEG),
        ),
    ),
)


# Where to turn base when the wind has changed? --------------------------------------------------


def _final_reach(airplane, height, headwind):
    return _reach(airplane, height, headwind, airplane.landing_flap_deg)


def _base_turn(airplane, values):
    before = _final_reach(airplane, values["height"], values["before"])
    today = _final_reach(airplane, values["height"], values["today"])
    return "earlier" if today < before else "later"


def _wind_facts(airplane, values):
    flap = airplane.landing_flap_deg
    speed, ratio = airplane.best_glide_cas(flap_deg=flap), airplane.best_glide_ratio(flap)
    reach = {key: _final_reach(airplane, values["height"], values[key]) for key in _WINDS}
    return {
        **{key: wind(values[key]) for key in _WINDS},
        "speed": dial(airplane, speed, flap),
        "ratio": Fact(ratio, "ratio"),
        "reach_before": Fact(reach["before"], "distance_ft", -1),
        "reach_today": Fact(reach["today"], "distance_ft", -1),
        "shift": Fact(abs(reach["today"] - reach["before"]), "distance_ft", -1),
        **{
            f"ratio_{key}": Fact(float(glide_ratio_over_ground(ratio, speed, values[key])), "ratio")
            for key in _WINDS
        },
    }


_WINDS = ("before", "today")

BASE_TURN_IN_WIND = Question(
    key="base_turn_in_wind",
    lesson=LESSON,
    kind="choice",
    level="correlation",
    options=("earlier", "later", "same", "sink"),
    variables=(
        ft("height", 300.0, 500.0, 50.0),
        kt("before", 2.0, 18.0, 2.0),
        kt("today", 2.0, 18.0, 2.0),
    ),
    facts=_wind_facts,
    answer=_base_turn,
    usable=lambda airplane, values: abs(values["today"] - values["before"]) > mps_from_kt(7.0),
    misconceptions=(
        Misconception("earlier_wrong", "earlier"),
        Misconception("later_wrong", "later"),
        Misconception("airspeed_only", "same"),
        Misconception("wind_and_sink", "sink"),
    ),
)


# Too slow and short of the point: what now? -----------------------------------------------------


def _speeds(airplane, values):
    best = airplane.best_glide_cas()
    slow = best - values["slow_by"]
    return {
        "raise": slow - RAISED_FURTHER,
        "hold": slow,
        "lower": best,
        "dive": best + values["slow_by"],
    }


def _path(airplane, cas):
    return float(glide_path_angle_deg(*polar(airplane), cas, 0.0))


def _flattest(airplane, values):
    speeds = _speeds(airplane, values)
    return max(speeds, key=lambda key: _path(airplane, speeds[key]))


def _slow_facts(airplane, values):
    speeds = _speeds(airplane, values)
    dials = {f"speed_{key}": dial(airplane, cas) for key, cas in speeds.items()}
    paths = {
        f"path_{key}": Fact(-_path(airplane, cas), "angle_deg", 2) for key, cas in speeds.items()
    }
    return {**dials, **paths}


def _above_the_stall(airplane, values):
    stall = airplane.stall_cas(0.0)
    return stall is None or _speeds(airplane, values)["raise"] > stall


SLOW_ON_FINAL = Question(
    key="slow_on_final",
    lesson=LESSON,
    kind="choice",
    level="correlation",
    options=("raise", "hold", "lower", "dive"),
    variables=(
        Variable("slow_by", "speed", mps_from_kt(5.0), mps_from_kt(10.0), mps_from_kt(1.0)),
    ),
    facts=_slow_facts,
    answer=_flattest,
    usable=_above_the_stall,
    misconceptions=(
        Misconception("stretch", "raise"),
        Misconception("slow_is_flat", "hold"),
        Misconception("point_at_it", "dive"),
    ),
)


# How much faster into the wind? -----------------------------------------------------------------


def _flattest_in(airplane, headwind):
    return float(speed_to_fly_in_wind(*polar(airplane), headwind))


def _faster(airplane, values):
    return _flattest_in(airplane, values["headwind"]) - _flattest_in(airplane, 0.0)


def _faster_facts(airplane, values):
    best, ratio = airplane.best_glide_cas(), airplane.best_glide_ratio()
    fast = _flattest_in(airplane, values["headwind"])
    ruled = best + HALF * values["headwind"]

    def over_ground(cas):
        through_air = 1.0 / abs(_slope(airplane, cas))
        over = float(glide_ratio_over_ground(through_air, cas, values["headwind"]))
        return Fact(over, "ratio", 2)

    lost = 1.0 - over_ground(ruled).value / over_ground(fast).value
    return {
        "headwind": wind(values["headwind"]),
        "best": dial(airplane, best),
        "ratio": Fact(ratio, "ratio"),
        "half": Fact(HALF * values["headwind"], "speed"),
        "ground_best": over_ground(best),
        "ground_fast": over_ground(fast),
        "ground_ruled": over_ground(ruled),
        "lost": Fact(lost, "percent", 1),
        "so": Phrase(_LITTLE if lost < LITTLE else _MUCH),
    }


LITTLE = 0.02  # of the distance; a limit of this lesson, no source
_LITTLE = "power_off_approach.exercise.faster_into_wind.lost.little"
_MUCH = "power_off_approach.exercise.faster_into_wind.lost.much"


def _slope(airplane, cas):
    """Height lost for each distance flown through the air."""
    return airplane.sink_rate(cas) / cas


FASTER_INTO_WIND = Question(
    key="faster_into_wind",
    lesson=LESSON,
    kind="number",
    level="correlation",
    quantity="speed",
    tolerance=Tolerance(within=mps_from_kt(1.5), close=mps_from_kt(3.0)),
    variables=(kt("headwind", 20.0, 34.0, 2.0),),
    facts=_faster_facts,
    answer=_faster,
    misconceptions=(
        Misconception("half", lambda airplane, values: HALF * values["headwind"]),
        Misconception("whole", lambda airplane, values: values["headwind"]),
    ),
)


# What is a slip worth? --------------------------------------------------------------------------


def _slip(airplane, rudder=1.0):
    full = airplane.full_rudder_sideslip_deg
    parameters, cas = airplane.parameters(), airplane.best_glide_cas()
    return steady_slip(parameters, cas, rudder, full_sideslip_deg=full)


def _carried(airplane, values, sink):
    return values["height"] * airplane.best_glide_cas() / sink


def _slip_worth(airplane, values):
    slip = _slip(airplane)
    straight = _carried(airplane, values, slip.straight_sink_rate)
    return straight - _carried(airplane, values, slip.sink_rate)


def _slip_facts(airplane, values):
    slip = _slip(airplane)
    return {
        "speed": dial(airplane, airplane.best_glide_cas()),
        "sink": Fact(slip.straight_sink_rate, "vertical_speed", -1),
        "slip_sink": Fact(slip.sink_rate, "vertical_speed", -1),
        "rise": Fact(slip.sink_rise, "percent"),
        "straight": Fact(_carried(airplane, values, slip.straight_sink_rate), "distance_ft", -2),
        "slipped": Fact(_carried(airplane, values, slip.sink_rate), "distance_ft", -2),
    }


SLIP_WORTH = Question(
    key="slip_worth",
    lesson=LESSON,
    kind="number",
    level="application",
    quantity="distance_ft",
    digits=-1,
    tolerance=Tolerance(within=m_from_ft(100.0), close=m_from_ft(250.0)),
    variables=(ft("height", 250.0, 450.0, 25.0),),
    facts=_slip_facts,
    answer=_slip_worth,
    misconceptions=(
        Misconception(
            "all_of_it",
            lambda airplane, values: _carried(airplane, values, _slip(airplane).sink_rate),
        ),
        Misconception(
            "share_of_height",
            lambda airplane, values: _slip(airplane).sink_rise * values["height"],
        ),
    ),
)

QUESTIONS = (
    GLIDE_DISTANCE,
    TURN_HEIGHT,
    BASE_TURN_IN_WIND,
    SLOW_ON_FINAL,
    FASTER_INTO_WIND,
    SLIP_WORTH,
)
