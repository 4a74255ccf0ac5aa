"""A question that shows a whole approach and asks for a judgement of it."""

import numpy as np

from lessonkit.exercises import Fact, Misconception, Question, Variable, remembered
from lessonkit.exercises.picture import (
    Horizontal,
    Label,
    Line,
    Picture,
    PictureAxes,
    Points,
    runway_from_above,
    runway_from_side,
)
from lessonkit.exercises.question import Aspect
from lessonkit.lessons.power_off_approach.flights import MARK
from lessonkit.lessons.power_off_approach.question_parts import (
    LESSON,
    SHOWN_LENGTH,
    SHOWN_WIDTH,
    bench_of,
    flown,
    from_the_mark,
    kt,
    plan_view,
    wind_on_final,
)
from lessonkit.models.approach_review import (
    GATE_HEIGHT,
    UNCALIBRATED_BAND,
    key_point,
    lined_up_height,
)
from lessonkit.units import m_from_ft, m_from_nm

GATE_TEXT = 1250.0, GATE_HEIGHT  # where its height is written in the side view [m]
THIN = 3  # one point of the history out of so many is drawn
HALF_STEP = m_from_nm(0.04)
TIMELY = m_from_ft(200.0)


@remembered
def _flight_shown(airplane, values):
    bench = bench_of(airplane)
    return flown(
        airplane,
        abeam=bench.start["abeam"] + values["wider"],
        base_turn=bench.start["base_turn"] + values["later"],
        headwind=values["headwind"],
    )


def _verdicts(airplane, values):
    flight = _flight_shown(airplane, values)
    wider, later = values["wider"], values["later"]
    return {
        "abeam": "as_planned" if abs(wider) < HALF_STEP else "wide" if wider > 0.0 else "close",
        "turn": "as_planned" if abs(later) < TIMELY else "late" if later > 0.0 else "early",
        "at_gate": "go_on" if _makes_it(flight) else "go_around",
    }


def _makes_it(flight):
    """Tell whether the approach is lined up by 300 ft and ends in the first part of the runway."""
    down = MARK + flight.beyond
    return (
        lined_up_height(flight.points) >= GATE_HEIGHT
        and flight.in_line
        and 0.0 <= down <= FIRST_PART
    )


FIRST_PART = m_from_ft(1500.0)  # half of the runway that is shown; a limit of this lesson
CLEAR_OF_GATE = m_from_ft(40.0)  # a height that is read off the picture without doubt


def _clear(airplane, values):
    """Leave out verdicts that the band of the models could turn, and flights never lined up."""
    flight = _flight_shown(airplane, values)
    if not flight.in_line:
        return False
    down, above = MARK + flight.beyond, lined_up_height(flight.points) - GATE_HEIGHT
    outside = max(-down, down - FIRST_PART)  # of the part of the runway, in m
    if _makes_it(flight):
        return outside <= -UNCALIBRATED_BAND and above >= CLEAR_OF_GATE
    return outside >= UNCALIBRATED_BAND or above <= -CLEAR_OF_GATE


def _judged_picture(airplane, values):
    flight = _flight_shown(airplane, values)
    bench = bench_of(airplane)
    side = bench.airfield.side
    history = flight.approach.history
    beside = PictureAxes(
        "side",
        x=(-1900.0, 1300.0),
        y=(m_from_ft(-260.0), m_from_ft(1100.0)),  # room for the name of the mark
        x_kind="distance_nm",
        y_kind="height",
        x_label="along",
        y_label="height",
    )
    planned = -side * bench.start["abeam"]
    turn = MARK - bench.start["base_turn"]
    flown_out, turned = planned - side * values["wider"], turn - values["later"]
    final = key_point(flight.points, "final")
    items = [
        *runway_from_above(SHOWN_LENGTH, SHOWN_WIDTH, "plan"),
        Points((MARK,), (0.0,), role="ink", axes="plan"),
        Label(MARK, 0.0, "mark", "ink", "plan", "middle", (0.0, 22.0)),
        Line((MARK, turn), (planned, planned), role="reference", axes="plan"),
        Label(turn, planned, "planned_turn", "reference", "plan", "start", (4.0, 16.0)),
        Line(tuple(history.x[::THIN]), tuple(history.y[::THIN]), axes="plan"),
        Points((turned,), (flown_out,), axes="plan"),
        Label(turned, flown_out, "turn", "ink", "plan", "middle", (0.0, -10.0)),
        *runway_from_side(SHOWN_LENGTH, 5.0, "side"),
        Points((MARK,), (0.0,), role="ink", axes="side"),
        Label(MARK, 0.0, "mark", "ink", "side", "middle", (0.0, 18.0)),
        Horizontal(GATE_HEIGHT, "muted", "side"),
        Label(*GATE_TEXT, "gate", "muted", "side", "end", (0.0, -6.0)),
        Line(tuple(history.x[::THIN]), tuple(history.height[::THIN]), axes="side"),
    ]
    down = MARK + flight.beyond
    if np.isfinite(down):
        items += [
            Points((down,), (0.0,), axes="side"),
            Label(down, 0.0, "touchdown", "main", "side", "start", (8.0, -8.0)),
        ]
    if final is not None:
        items += [
            Points((final.x,), (final.height,), axes="side"),
            Label(final.x, final.height, "lined_up", "ink", "side", "start", (10.0, -10.0)),
        ]
    return Picture(
        axes=(plan_view((-1900.0, 1300.0), "distance_nm", share=1.6, lowest=200.0), beside),
        items=tuple(items),
        height=430.0,
    )


def _judged_facts(airplane, values):
    flight, bench = _flight_shown(airplane, values), bench_of(airplane)
    return {
        "planned_abeam": Fact(bench.start["abeam"], "distance_nm"),
        "abeam": Fact(bench.start["abeam"] + values["wider"], "distance_nm"),
        "planned_turn": Fact(bench.start["base_turn"], "distance_ft", -1),
        "turn": Fact(bench.start["base_turn"] + values["later"], "distance_ft", -1),
        "lined_up": Fact(lined_up_height(flight.points), "height", -1),
        "gate": Fact(GATE_HEIGHT, "height"),
        "where": from_the_mark(flight.beyond),
        "part": Fact(FIRST_PART, "distance_ft"),
        "mark_at": Fact(MARK, "distance_ft"),
        "wind": wind_on_final(values["headwind"]),
    }


JUDGE_APPROACH = Question(
    key="judge_approach",
    lesson=LESSON,
    kind="judge",
    level="correlation",
    variables=(
        Variable("wider", "distance_nm", m_from_nm(-0.1), m_from_nm(0.15), m_from_nm(0.05)),
        Variable("later", "distance_ft", m_from_ft(-800.0), m_from_ft(800.0), m_from_ft(400.0)),
        kt("headwind", 0.0, 8.0, 4.0),
    ),
    facts=_judged_facts,
    answer=_verdicts,
    usable=_clear,
    picture=_judged_picture,
    aspects=(
        Aspect("abeam", ("close", "as_planned", "wide")),
        Aspect("turn", ("early", "as_planned", "late")),
        Aspect("at_gate", ("go_on", "go_around")),
    ),
    misconceptions=(
        Misconception("carry_on", ("at_gate", "go_on")),
        Misconception("give_up", ("at_gate", "go_around")),
        Misconception("turn_fits", ("turn", "as_planned")),
    ),
)

QUESTIONS = (JUDGE_APPROACH,)
