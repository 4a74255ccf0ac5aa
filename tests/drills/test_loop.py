"""The real-time loop on a clock that is set by hand: no test here takes or depends on time."""

import asyncio
import time

import pytest

from lessonkit.drills.clock import VirtualClock
from lessonkit.drills.inputs import Hands
from lessonkit.drills.loop import _RUNNING, RealTimeLoop
from lessonkit.words import say


class Flight:
    """A loop that notes what it does."""

    def __init__(self, hands=False, **options):
        self.clock = VirtualClock(100.0)
        self.steps, self.drawn, self.stops = [], [], []
        self.hands = Hands(clock=self.clock) if hands else None
        self.loop = RealTimeLoop(
            lambda t, now: self.steps.append((t, now)),
            lambda: self.drawn.append(self.clock.now),
            name=options.pop("name", "test"),
            hands=self.hands,
            clock=self.clock,
            **options,
        )
        self.loop.on_stop(self.stops.append)

    def run(self, seconds, each=lambda: None, wait=None):
        """Take turns as the event loop would; `wait` lengthens the waiting, as a busy kernel."""
        end = self.clock.now + seconds - 1e-6  # due times add up with rounding
        while self.loop.running and self.clock.now < end:
            each()
            due = self.loop.turn(self.clock.now)
            self.clock.now = max(self.clock.now, due if wait is None else due + wait())
        return self

    @property
    def keys(self):
        return [stop.key for stop in self.stops]


@pytest.fixture(autouse=True)
def nothing_runs_on():
    yield
    for loop in list(_RUNNING.values()):
        loop.stop()


def answering(flight, touch=True):
    """A page that shows every picture at once, and a learner who moves something."""

    def each():
        flight.hands.receive({"event": "shown", "n": flight.hands.delay.asked})
        if touch:
            flight.hands._touch()

    return each


def test_fifty_steps_and_twenty_four_pictures_a_second():
    flight = Flight()
    flight.loop.start()
    flight.run(2.0)
    assert len(flight.steps) == 100
    assert [t for t, _ in flight.steps[:3]] == pytest.approx([0.0, 0.02, 0.04])
    assert len(flight.drawn) == 48
    assert flight.loop.dropped_s == 0.0
    assert max(flight.loop.lateness) == pytest.approx(0.0, abs=1e-9)


def test_a_little_late_is_made_up_for_and_pictures_are_not():
    flight = Flight()
    flight.loop.start()
    flight.run(1.0, wait=lambda: 0.2)
    assert flight.loop.dropped_s == 0.0
    assert flight.loop.t == pytest.approx(flight.clock.now - 100.0, abs=0.25)
    assert len(flight.drawn) < 8, "no burst of pictures after each wait"


def test_more_than_a_quarter_of_a_second_late_drops_the_time():
    flight = Flight()
    flight.loop.start()
    flight.run(1.0)
    flight.clock.now += 10.0  # a cell of the learner's own kept the kernel busy
    flight.run(1.0)
    assert flight.loop.dropped_s == pytest.approx(10.0, abs=0.05)
    assert flight.loop.t == pytest.approx(2.0, abs=0.05)
    assert flight.loop.running
    assert max(flight.loop.lateness) == pytest.approx(10.0, abs=0.05)


def test_a_turn_is_short_even_where_a_step_takes_long():
    flight = Flight()

    def slow(t, now):
        flight.steps.append((t, now))
        flight.clock.now += 0.03  # slower than real time

    flight.loop._step = slow
    flight.loop.start()
    flight.clock.now += 0.2
    begun = flight.clock.now
    flight.loop.turn(begun)
    assert len(flight.steps) == 1
    flight.run(10.0)
    assert flight.loop.dropped_s > 0.0, "it slows down"
    assert flight.loop.running


def test_the_run_ends_by_itself_at_its_time():
    flight = Flight(seconds=3.0)
    flight.loop.start()
    flight.run(5.0)
    assert flight.keys == ["finished"]
    assert len(flight.steps) == 150
    assert not flight.loop.running


def test_a_loop_of_the_same_name_stops_the_old_one():
    first = Flight()
    first.loop.start()
    second = Flight()
    assert first.keys == ["rerun"], "the cell was run again: the old run ends before a new start"
    second.loop.start()
    other = Flight(name="other")
    assert second.loop.running
    other.loop.start()
    assert second.keys == ["other"], "there is one pair of hands"
    assert other.loop.running


def test_an_error_in_a_step_stops_the_run_and_is_shown():
    flight = Flight(hands=True)

    def wrong(t, now):
        raise ZeroDivisionError("of a programmer")

    flight.loop._step = wrong
    flight.loop.start()
    flight.run(1.0)
    assert flight.keys == ["error"]
    assert isinstance(flight.stops[0].error, ZeroDivisionError)
    assert flight.hands.view.note == flight.stops[0].sentence == say("drill_inputs.stop.error")
    flight.loop._step = lambda t, now: None
    flight.loop.start()
    assert flight.loop.running
    assert flight.hands.view.note == ""


def test_an_error_of_drawing_that_is_meant_for_people_is_shown_as_it_is():
    flight = Flight(hands=True)

    def wrong():
        raise ValueError("The speed is below the stall: choose a higher one.")

    flight.loop._draw = wrong
    flight.loop.start()
    flight.run(1.0)
    assert flight.hands.view.note == "The speed is below the stall: choose a higher one."


def test_run_for_raises_what_went_wrong():
    flight = Flight()
    flight.loop._draw = lambda: 1 / 0
    with pytest.raises(ZeroDivisionError):
        flight.loop.run_for(1.0)


def test_run_for_flies_at_once_and_goes_on_where_it_was():
    flight = Flight(hands=True)
    before = time.perf_counter()
    flight.loop.run_for(30.0, lambda t: flight.hands.press("rudder+") if t > 29.0 else None)
    assert time.perf_counter() - before < 10.0
    assert flight.loop.t == pytest.approx(30.0)
    assert flight.steps[-1][1].rudder == 1.0
    assert flight.clock.now == 100.0, "the real clock was left alone"
    flight.loop.run_for(1.0)
    assert flight.loop.t == pytest.approx(31.0)


@pytest.mark.parametrize(
    ("message", "key"),
    [
        ({"event": "hidden", "on": True}, "hidden"),
        ({"event": "closed"}, "closed"),
    ],
)
def test_a_page_out_of_sight_or_gone_stops_it(message, key):
    flight = Flight(hands=True)
    flight.loop.start()
    flight.hands.press("rudder+")
    flight.run(1.0, answering(flight))
    flight.hands.receive(message)
    flight.run(0.1, answering(flight))
    assert flight.keys == [key]
    assert flight.hands.read(flight.clock.now).rudder == 0.0
    assert flight.hands.view.note == say(f"drill_inputs.stop.{key}")


def test_a_page_that_shows_no_picture_any_more_stops_it():
    flight = Flight(hands=True)
    flight.loop.start()
    flight.run(2.0, answering(flight))
    flight.run(20.0)
    assert flight.keys == ["closed"]
    assert flight.loop.t == pytest.approx(7.0, abs=0.2)


def test_a_busy_kernel_is_no_page_gone():
    flight = Flight(hands=True)
    flight.loop.start()
    flight.run(2.0, answering(flight))
    flight.clock.now += 60.0
    flight.run(1.0, answering(flight))
    assert flight.loop.running


def test_pictures_wait_for_a_page_that_cannot_show_so_many():
    flight = Flight(hands=True)
    flight.loop.start()
    flight.run(4.0)
    assert len(flight.drawn) == 4
    assert flight.loop.skipped > 80
    assert len(flight.steps) == 200, "the model goes on"


def test_it_stops_when_nobody_touches_a_control():
    flight = Flight(hands=True, idle_limit_s=30.0)
    flight.loop.start()
    flight.run(20.0, answering(flight))
    flight.run(60.0, answering(flight, touch=False))
    assert flight.keys == ["idle"]
    assert flight.loop.t == pytest.approx(50.0, abs=0.1)
    assert "30\u00a0s" in flight.hands.view.note


def leave(flight, **where):
    flight.hands.receive({"event": "focus", "on": False, **where})


def test_keys_that_do_not_reach_the_airplane_stop_it_and_say_so():
    flight = Flight(hands=True)
    flight.loop.start()
    flight.hands.receive({"event": "focus", "on": True})
    flight.run(2.0, answering(flight))
    leave(flight)
    flight.run(2.5, answering(flight, touch=False))
    flight.hands.receive({"event": "focus", "on": True})  # back in time
    flight.run(5.0, answering(flight))
    assert flight.loop.running
    leave(flight)
    flight.run(20.0, answering(flight, touch=False))
    assert flight.keys == ["keys"]
    assert flight.loop.t == pytest.approx(12.5, abs=0.1)
    assert flight.hands.view.note == say("drill_inputs.stop.keys")
    assert flight.hands.view.alarm
    flight.loop.start()
    flight.run(5.0, answering(flight))
    assert flight.loop.running, "a new run begins in the area"


@pytest.mark.parametrize("by", ["slider", "near", "pad"])
def test_sliders_and_pedals_need_no_keys(by):
    flight = Flight(hands=True)
    flight.loop.start()
    flight.run(1.0, answering(flight))
    leave(flight, near=by == "near")
    if by == "slider":
        flight.hands.slide("rudder", 0.2)
    elif by == "pad":
        flight.hands.plug(pedals=[0.0])
        flight.hands.receive({"event": "pad", "do": "assign", "control": "rudder"})
        for place in (0.0, 0.9, 0.5):
            flight.hands.plug(pedals=[place])
    flight.run(10.0, answering(flight))
    assert flight.loop.running
    assert flight.hands.read().source == {"slider": "sliders", "near": "keys", "pad": "pad"}[by]


def test_only_trouble_looks_like_trouble():
    calm, trouble = ["finished", "stopped", "rerun", "other", "idle"], ["keys", "pad", "hidden"]
    for reason in [*calm, *trouble, "closed", "error"]:
        flight = Flight(hands=True)
        flight.loop.start()
        flight.loop.stop(reason)
        assert flight.hands.view.note
        assert flight.hands.view.alarm == (reason not in calm), reason


def test_every_start_clears_what_the_last_run_left_also_a_replay():
    flight = Flight(hands=True)
    replay = RealTimeLoop(lambda t, now: None, lambda: None, name="test", clock=flight.clock)
    for start in (flight.loop.start, flight.loop.resume, replay.start, replay.resume):
        flight.loop.start()
        flight.loop.stop("hidden")
        assert flight.hands.view.note
        start()
        assert (flight.hands.view.note, flight.hands.view.alarm) == ("", False)
        replay.stop()


def test_resume_goes_on_and_start_begins_anew():
    flight = Flight(hands=True)
    flight.loop.start()
    flight.run(2.0, answering(flight))
    flight.loop.stop()
    assert flight.keys == ["stopped"]
    flight.loop.resume()
    flight.run(1.0, answering(flight))
    assert flight.loop.t == pytest.approx(3.0, abs=0.03)
    flight.loop.stop()
    flight.loop.start()
    assert flight.loop.t == 0.0


def test_stopping_twice_says_it_once():
    flight = Flight()
    flight.loop.start()
    flight.loop.stop()
    flight.loop.stop("idle")
    assert flight.keys == ["stopped"]


def test_the_measured_delay_is_the_median_way_there_and_back():
    flight = Flight(hands=True)
    flight.loop.start()
    assert flight.loop.input_delay_s is None
    for trip in (0.05, 0.05, 0.03, 0.03, 0.04, 0.04):
        flight.hands.picture(flight.clock.now)
        asked = flight.hands.delay.asked
        flight.clock.now += trip
        flight.hands.receive({"event": "shown", "n": asked})
    assert len(flight.hands.delay.trips) == 3, "every second picture is asked about"
    assert flight.hands.delay_s == pytest.approx(0.04)
    assert flight.loop.input_delay_s == pytest.approx(0.04 + 0.5 / 24.0)


def test_in_a_notebook_it_runs_by_itself_and_leaves_the_loop_free():
    async def cell():
        steps, turns = [], 0
        loop = RealTimeLoop(lambda t, now: steps.append(t), lambda: None, seconds=0.2)
        loop.start()
        while loop.running:
            turns += 1
            await asyncio.sleep(0.001)
        assert loop._task is not None
        await loop._task
        return steps, turns

    steps, turns = asyncio.run(cell())
    assert len(steps) == 10
    assert turns > 0
