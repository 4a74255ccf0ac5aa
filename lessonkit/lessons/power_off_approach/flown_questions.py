"""Questions whose answers are flown: on the bench of this page, with the learner's airplane."""

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
from lessonkit.exercises.picture import (
    Label,
    Line,
    Picture,
    PictureAxes,
    Points,
    runway_from_above,
    runway_from_side,
)
from lessonkit.exercises.question import Mark, Setting
from lessonkit.lessons.power_off_approach.flights import AIM, LATEST_TURN, MARK
from lessonkit.lessons.power_off_approach.question_parts import (
    LESSON,
    SHOWN_LENGTH,
    SHOWN_WIDTH,
    bench_of,
    flown,
    from_the_mark,
    from_the_threshold,
    kt,
    plan_view,
    planned_turn,
    wind_on_final,
)
from lessonkit.models.approach_review import key_point
from lessonkit.models.standards import tolerance
from lessonkit.units import m_from_ft

WINDOW = tolerance("commercial", "power_off_180", "touchdown_ft_beyond")

# A few seconds late: how far shorter? -----------------------------------------------------------


@remembered
def _on_time_and_late(airplane, values):
    """Return the flight as planned, the one turned late, and the distance flown in between."""
    headwind = values["headwind"]
    turn = planned_turn(airplane, headwind)
    on_time = flown(airplane, headwind=headwind, base_turn=turn)
    along = np.gradient(on_time.approach.history.x, on_time.approach.history.time)
    before = on_time.approach.history.time <= key_point(on_time.points, "base_turn").time
    late = -float(along[before][-1]) * values["late"]
    return on_time, flown(airplane, headwind=headwind, base_turn=turn + late), late


def _late_shift(airplane, values):
    on_time, late, _ = _on_time_and_late(airplane, values)
    return on_time.beyond - late.beyond


def _late_facts(airplane, values):
    on_time, late, flown_on = _on_time_and_late(airplane, values)
    shift = on_time.beyond - late.beyond
    return {
        "flown_on": Fact(flown_on, "distance_ft", -1),
        "back": Fact(shift - flown_on, "distance_ft", -1),
        "again": Fact(shift / flown_on - 1.0, "percent", 0),
        "wind": wind_on_final(values["headwind"]),
        "per_second": Fact(shift / values["late"], "distance_ft", -1),
        "lost": Fact(_sink_in(airplane, values), "height", -1),
    }


def _sink_in(airplane, values):
    return airplane.sink_rate(airplane.best_glide_cas()) * values["late"]


TURN_LATE = Question(
    key="turn_late",
    lesson=LESSON,
    kind="number",
    level="correlation",
    quantity="distance_ft",
    digits=-1,
    tolerance=Tolerance(within=m_from_ft(150.0), close=m_from_ft(300.0)),
    variables=(Variable("late", "time_s", 4.0, 7.0, 1.0), kt("headwind", 0.0, 8.0, 4.0)),
    facts=_late_facts,
    answer=_late_shift,
    misconceptions=(
        Misconception("one_way", lambda airplane, values: _on_time_and_late(airplane, values)[2]),
        Misconception("height_for_distance", _sink_in),
    ),
)

# Where do the wheels touch? ----------------------------------------------------------------------

SEEN_FROM, SEEN_TO = m_from_ft(450.0), m_from_ft(200.0)  # part of the final that is shown


@remembered
def _final_seen(airplane, values):
    """Return flight, and places and heights of the part of the final that is shown."""
    flight = flown(airplane, headwind=values["headwind"], base_turn=_turn_drawn(airplane, values))
    history = flight.approach.history
    final = key_point(flight.points, "final")
    seen = (history.height <= min(SEEN_FROM, final.height)) & (history.height >= SEEN_TO)
    return flight, history.x[seen], history.height[seen]


def _turn_drawn(airplane, values):
    return bench_of(airplane).start["base_turn"] - values["earlier"]


def _straight_on(airplane, values):
    """Return where the path that is shown, drawn on, meets the ground."""
    _, x, height = _final_seen(airplane, values)
    slope = (height[-1] - height[-2]) / (x[-1] - x[-2])
    return float(x[-1] - height[-1] / slope), 0.0


def _final_picture(airplane, values):
    _, x, height = _final_seen(airplane, values)
    axes = PictureAxes(
        "side",
        x=(-1400.0, 1400.0),
        y=(m_from_ft(-60.0), m_from_ft(500.0)),
        x_kind="distance_ft",
        y_kind="height",
        x_label="along",
        y_label="height",
    )
    return Picture(
        axes=(axes,),
        items=(
            *runway_from_side(SHOWN_LENGTH, 4.0),
            Points((MARK,), (0.0,), role="ink"),
            Label(MARK, 0.0, "mark", anchor="middle", offset=(0.0, 22.0)),
            Line(tuple(x), tuple(height)),
            Label(float(x[0]), float(height[0]), "path", anchor="end", offset=(-8.0, -4.0)),
        ),
        height=320.0,
    )


def _touchdown(airplane, values):
    return float(MARK + _final_seen(airplane, values)[0].beyond), 0.0


def _final_facts(airplane, values):
    flight, _, _ = _final_seen(airplane, values)
    straight = _straight_on(airplane, values)[0]
    return {
        "aim": from_the_threshold(straight),
        "float": Fact(MARK + flight.beyond - straight, "distance_ft", -1),
        "wind": wind_on_final(values["headwind"]),
        "against_mark": from_the_mark(flight.beyond),
        "so": Phrase(_SHORT if MARK + flight.beyond < 0.0 else _ON_THE_RUNWAY),
    }


_SHORT = "power_off_approach.exercise.touchdown_from_final.so.short"
_ON_THE_RUNWAY = "power_off_approach.exercise.touchdown_from_final.so.on_the_runway"
NEAREST = m_from_ft(150.0)  # from the threshold: closer to it nobody can tell which side it is


def _touchdown_tells(airplane, values):
    """Leave out finals too short to read, and touchdowns far off or at the threshold itself."""
    if _final_seen(airplane, values)[1].size <= 3:
        return False
    down = _touchdown(airplane, values)[0]
    return -m_from_ft(300.0) < down < 1300.0 and abs(down) > NEAREST


TOUCHDOWN_FROM_FINAL = Question(
    key="touchdown_from_final",
    lesson=LESSON,
    kind="mark",
    level="correlation",
    quantity="distance_ft",
    tolerance=Tolerance(within=m_from_ft(140.0), close=m_from_ft(300.0)),
    variables=(
        kt("headwind", 0.0, 12.0, 4.0),
        Variable("earlier", "distance_ft", m_from_ft(150.0), m_from_ft(550.0), m_from_ft(50.0)),
    ),
    facts=_final_facts,
    answer=_touchdown,
    picture=_final_picture,
    mark=Mark(start=lambda airplane, values: (-1000.0, 0.0), along="x"),
    reads=from_the_threshold,
    usable=_touchdown_tells,
    misconceptions=(
        Misconception("straight_on", _straight_on),
        Misconception("on_the_mark", lambda airplane, values: (MARK, 0.0)),
    ),
)

# Set the turn for the wind ----------------------------------------------------------------------

SHOWN_STEP = m_from_ft(50.0)


@remembered
def _outcome(airplane, values, settings):
    flight = flown(airplane, headwind=values["headwind"], base_turn=settings["base_turn"])
    return flight.beyond if flight.in_line else np.nan


def _planned(airplane, values):
    found = planned_turn(airplane, values["headwind"])
    return None if found is None else round(found / SHOWN_STEP) * SHOWN_STEP


def _calm_turn(airplane):
    return bench_of(airplane).start["base_turn"]


def _turn_facts(airplane, values):
    planned, calm = _planned(airplane, values), _calm_turn(airplane)
    unchanged = _outcome(airplane, values, {"base_turn": calm})
    return {
        "calm": Fact(calm, "distance_ft", -1),
        "abeam": Fact(bench_of(airplane).start["abeam"], "distance_nm"),
        "height": Fact(bench_of(airplane).start["height"], "height"),
        "earlier": Fact(calm - planned, "distance_ft", -1),
        "shorter": Fact(AIM - unchanged, "distance_ft", -1),
        "turned": Fact(_TURNED, "distance_ft"),
        "gives": Fact(_TURNED * (AIM - unchanged) / (calm - planned), "distance_ft", 0),
        "window": Fact(m_from_ft(WINDOW.high), "distance_ft"),
    }


def _settings(airplane, values):
    calm = round(_calm_turn(airplane) / SHOWN_STEP) * SHOWN_STEP
    return (Setting("base_turn", "distance_ft", 0.0, LATEST_TURN, SHOWN_STEP, start=calm),)


NEAR_CALM = m_from_ft(150.0)
_TURNED = m_from_ft(100.0)  # of turn, for "each 100 ft of it gives so many of touchdown"


def _turn_picture(airplane, values, settings):
    """Return the pattern from above up to the turn that is set; where it ends is left out."""
    bench = bench_of(airplane)
    side = bench.airfield.side
    downwind, turn = -side * bench.start["abeam"], MARK - settings["base_turn"]
    return Picture(
        axes=(plan_view((-1400.0, 1300.0), "distance_ft", highest=1250.0),),
        items=(
            *runway_from_above(SHOWN_LENGTH, SHOWN_WIDTH),
            Points((MARK,), (0.0,), role="ink"),
            Label(MARK, 0.0, "mark", anchor="middle", offset=(0.0, 24.0)),
            Line((MARK, MARK), (0.0, downwind), role="reference"),
            Label(MARK, downwind, "abeam", "reference", "", "middle", (0.0, -10.0)),
            Line((MARK, turn), (downwind, downwind)),
            Points((turn,), (downwind,)),
            Label(turn, downwind, "turn", "ink", "", "middle", (0.0, 24.0)),
        ),
        height=380.0,
    )


TURN_FOR_WIND = Question(
    key="turn_for_wind",
    lesson=LESSON,
    kind="set",
    level="application",
    quantity="distance_ft",
    digits=-1,
    tolerance=Tolerance(within=m_from_ft(100.0), close=m_from_ft(300.0)),
    variables=(kt("headwind", 7.0, 15.0, 2.0),),
    facts=_turn_facts,
    answer=lambda airplane, values: AIM,
    settings=_settings,
    picture=_turn_picture,
    reads=from_the_mark,
    outcome=_outcome,
    reference=lambda airplane, values: {"base_turn": _planned(airplane, values)},
    usable=lambda airplane, values: _planned(airplane, values) is not None,
    misconceptions=(
        Misconception(
            "not_moved",
            lambda airplane, values, settings: (
                abs(settings["base_turn"] - _calm_turn(airplane)) < NEAR_CALM
            ),
            example=lambda airplane, values: {
                "base_turn": round(_calm_turn(airplane) / SHOWN_STEP) * SHOWN_STEP
            },
        ),
        Misconception(
            "later",
            lambda airplane, values, settings: (
                settings["base_turn"] >= _calm_turn(airplane) + NEAR_CALM
            ),
            example=lambda airplane, values: {
                "base_turn": round((_calm_turn(airplane) + 150.0) / SHOWN_STEP) * SHOWN_STEP
            },
        ),
    ),
)

QUESTIONS = (TURN_LATE, TOUCHDOWN_FROM_FINAL, TURN_FOR_WIND)
