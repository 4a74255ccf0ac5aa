"""Time of the consistency panel's computing: 10,000 power-off tries, and one step of a drag."""

import statistics
import time

from lessonkit.airplane import built_in_airfield, built_in_cards, fit_airplane
from lessonkit.lessons.power_off_approach.consistency_flights import (
    CORRECTED,
    FULL,
    HABITS,
    OFF,
    ConsistencyBench,
)
from lessonkit.panels import LessonContext


def consistency_times(quick=False):
    """Time the tries as the panel flies them, without its picture.

    Returns
    -------
    full_s : float
        From the rest of a control to the last of 10,000 power-off tries. [s]
    move_ms : float
        Median time of a move with both pilots, 300 tries each. [ms]
    """
    airplane = fit_airplane(built_in_cards()["high_wing_four_seat"])
    context = LessonContext("07_power_off_approach", airplane, built_in_airfield())
    bench = ConsistencyBench(context)
    values = {habit.quantity: habit.value for habit in HABITS}
    values |= {"headwind": bench.bench.start["headwind"], "power": OFF}
    start = time.perf_counter()
    for part in bench.full(values):
        if part.off.spread.tries == FULL:
            break
    full_s = time.perf_counter() - start
    moves = []
    for _ in range(2 if quick else 10):
        start = time.perf_counter()
        bench.draft({**values, "power": CORRECTED})
        moves.append(time.perf_counter() - start)
    return full_s, statistics.median(moves) * 1000.0
