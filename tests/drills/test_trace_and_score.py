"""What a run leaves behind, what is shown of it, and its points."""

from types import SimpleNamespace

import numpy as np
import pytest

from lessonkit.drills.feedback import shown_after
from lessonkit.drills.score import points_of, score
from lessonkit.drills.trace import Trace

TIME = np.arange(0.0, 30.0, 0.02)
BEST = 0.3 * np.sin(TIME)  # the coordinated run has a sideslip of its own
STILL = BEST + 4.0 * np.sin(1.3 * TIME)


def run(sideslip_deg):
    return {"sideslip_deg": sideslip_deg}


def test_a_trace_holds_what_was_added_and_no_more():
    trace = Trace(("time", "rudder"), duration_s=0.06, step=0.02)
    assert [trace.add(time=0.02 * i, rudder=float(i)) for i in range(5)] == [True] * 4 + [False]
    assert trace.full and len(trace) == 4
    assert trace["rudder"].tolist() == [0.0, 1.0, 2.0, 3.0]


def test_a_column_that_was_not_given_is_no_number():
    trace = Trace(("time", "rudder"))
    trace.add(time=0.0)
    assert np.isnan(trace.arrays()["rudder"]).all()


def test_an_unknown_column_or_source_is_refused():
    with pytest.raises(KeyError, match="pedal"):
        Trace(("time",)).add(pedal=1.0)
    with pytest.raises(ValueError, match="keys, sliders, pad"):
        Trace(source="feet")


def test_a_trace_of_a_computed_run_has_its_columns():
    flown = SimpleNamespace(time=TIME, rudder=np.sin(TIME), sideslip_deg=BEST)
    trace = Trace.from_arrays(flown, source="sliders", input_delay_s=0.1)
    assert set(trace.arrays()) == {"time", "rudder", "sideslip_deg"}
    assert len(trace) == TIME.size and trace.step == pytest.approx(0.02)
    assert (trace.source, trace.input_delay_s) == ("sliders", 0.1)


def test_points_fall_strictly_and_are_flat_nowhere():
    errors = np.linspace(0.0, 3.0, 301)
    points = points_of(errors)
    assert points[0] == 100.0
    assert np.all(np.diff(points) < 0.0)
    inside = (errors > 0.1) & (errors < 1.5)
    assert np.all(np.diff(points)[inside[1:]] < -0.05)


def test_coordinated_still_and_between():
    middle = BEST + 0.5 * (STILL - BEST)
    points = [score(run(one), run(BEST), run(STILL)).points for one in (BEST, middle, STILL)]
    assert points[0] == 100.0
    assert points[2] == pytest.approx(25.0)
    assert points[2] + 15.0 < points[1] < 80.0


def test_the_sideslip_of_the_coordinated_run_is_not_held_against_anybody():
    moved = 2.0 * np.sin(0.5 * TIME)
    with_it = score(run(STILL + moved), run(BEST + moved), run(STILL + moved))
    assert with_it.points == pytest.approx(score(run(STILL), run(BEST), run(STILL)).points)


def test_samples_that_are_no_numbers_are_left_out():
    holed = STILL.copy()
    holed[100:200] = np.nan
    assert score(run(holed), run(BEST), run(STILL)).points == pytest.approx(25.0, abs=1.5)


@pytest.mark.parametrize("flown", [np.full(TIME.size, np.nan), BEST])
def test_no_points_without_samples_or_without_a_task(flown):
    reference = run(STILL) if np.isnan(flown).all() else run(BEST)
    assert score(run(flown), run(BEST), reference).points is None


def test_no_points_for_an_empty_run_and_an_error_for_unequal_ones():
    nothing = run(np.array([]))
    assert score(nothing, nothing, nothing).points is None
    with pytest.raises(ValueError, match="one for each"):
        score(run(BEST[:5]), run(BEST), run(STILL))


def test_traces_fade_and_the_advice_does_not():
    shown = [shown_after(number) for number in range(1, 31)]
    assert all(one.advice for one in shown)
    assert all(one.traces for one in shown[:3])
    assert not any(one.traces for one in shown[3:5])
    assert 0 < sum(one.traces for one in shown[3:]) < 12
    for number, one in enumerate(shown[:-3], start=1):
        assert shown[number + one.next_traces - 1].traces
    with pytest.raises(ValueError, match="from 1"):
        shown_after(0)
