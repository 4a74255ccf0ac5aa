"""Keys, sliders and pads become controls; nothing runs away."""

import pytest

from lessonkit.drills.clock import VirtualClock
from lessonkit.drills.controls import CONTROLS
from lessonkit.drills.inputs import Hands, KeyFeel
from lessonkit.drills.loop import RealTimeLoop
from lessonkit.words import Preferences

STEP = 0.02


@pytest.fixture
def hands():
    made = Hands(("aileron", "rudder", "elevator", "throttle"), clock=VirtualClock())
    made.read(0.0)
    return made


def after(hands, seconds):
    """Read the hands step by step, as a run does."""
    now = hands.clock.now
    for _ in range(round(seconds / STEP)):
        hands.clock.now += STEP
        now = hands.read(hands.clock.now)
    return now


# ------------------------------------------------------------------ keys


@pytest.mark.parametrize("name", ["aileron", "rudder", "elevator"])
@pytest.mark.parametrize(("way", "sign"), [("+", 1.0), ("-", -1.0)])
def test_a_key_moves_a_control_at_its_rate_and_it_returns(hands, name, way, sign):
    hands.press(name + way)
    assert getattr(after(hands, 0.2), name) == pytest.approx(sign * 0.5)
    assert getattr(after(hands, 1.0), name) == sign
    hands.release(name + way)
    assert getattr(after(hands, 0.1), name) == pytest.approx(sign * 0.6)
    now = after(hands, 1.0)
    assert getattr(now, name) == 0.0
    assert all(getattr(now, other) == 0.0 for other in CONTROLS)


def test_both_keys_of_a_control_cancel(hands):
    hands.press("rudder-")
    after(hands, 0.2)
    hands.press("rudder+")
    assert after(hands, 1.0).rudder == 0.0
    hands.release("rudder-")
    assert after(hands, 1.0).rudder == 1.0


def test_the_other_key_brings_it_back_first(hands):
    hands.press("rudder+")
    after(hands, 1.0)
    hands.release()
    hands.press("rudder-")
    # Back from full at four a second, then on to the other side at two and a half.
    assert after(hands, 0.24).rudder == pytest.approx(0.04)
    assert after(hands, 0.2).rudder == pytest.approx(-0.19 * 2.5)


def test_power_stays_where_its_keys_leave_it(hands):
    hands.press("throttle+")
    after(hands, 0.2)
    hands.release("throttle+")
    assert after(hands, 5.0).throttle == pytest.approx(0.5)
    hands.press("throttle-")
    assert after(hands, 5.0).throttle == 0.0


def test_a_feel_of_its_own_limits_what_a_key_does():
    hands = Hands(("rudder",), feel={"rudder": KeyFeel(1.0, 2.0, 0.4)}, clock=VirtualClock())
    hands.read(0.0)
    hands.press("rudder-")
    assert after(hands, 0.2).rudder == pytest.approx(-0.2)
    assert after(hands, 2.0).rudder == pytest.approx(-0.4)


def test_keys_do_not_run_on_over_time_that_was_left_out(hands):
    hands.press("rudder+")
    assert hands.read(50.0).rudder == pytest.approx(0.25)
    assert hands.read(49.0).rudder == pytest.approx(0.25), "time never goes back"


@pytest.mark.parametrize(
    "message",
    [
        {"event": "held", "held": [], "touched": False},
        {"event": "focus", "on": False},
        {"event": "hidden", "on": True},
        {"event": "closed"},
        {"event": "opened"},
        {"event": "centre"},
    ],
)
def test_no_key_stays_down_once_the_page_lost_it(hands, message):
    hands.press("rudder+")
    hands.press("aileron-")
    after(hands, 0.5)
    hands.receive(message)
    now = after(hands, 1.0)
    assert (now.rudder, now.aileron) == (0.0, 0.0)


def test_focus_and_sight_are_told(hands):
    assert not hands.read().focused
    hands.receive({"event": "focus", "on": True})
    assert hands.read().focused
    hands.receive({"event": "hidden", "on": True})
    assert hands.read().hidden


def test_a_blur_is_no_touch(hands):
    hands.press("rudder+")
    touches = hands.touches
    hands.receive({"event": "held", "held": [], "touched": False})
    assert hands.touches == touches


def test_the_keys_lie_on_different_places(hands):
    codes = [code for c in CONTROLS.values() for code in (c.less, c.more)]
    assert len(set(codes)) == len(codes)


@pytest.mark.parametrize(
    "message",
    [None, [], "x", {}, {"event": "no"}, {"event": "held"}, {"event": "held", "held": 5}]
    + [{"event": "held", "held": ["", "rudder", "no+", 7, None]}, {"event": "shown", "n": "x"}]
    + [{"event": "pads", "present": [1]}, {"event": "pad", "control": "no", "do": "assign"}]
    + [{"event": "stored", "kept": {"rudder": {"pad": 1}}}, {"event": "stored", "kept": 3}]
    + [{"event": "pad", "control": "rudder", "do": "dead_band", "share": "wide"}],
)
def test_what_is_no_message_is_passed_over(hands, message):
    hands.receive(message)
    assert after(hands, 0.5).rudder == 0.0
    assert hands.pads.assigned == {}


# ------------------------------------------------------------------ sliders and typed values


def test_a_slider_stays_where_it_is_put_and_keys_take_over(hands):
    hands.slide("rudder", -0.4)
    now = after(hands, 3.0)
    assert (now.rudder, now.source, now.sources["aileron"]) == (-0.4, "sliders", "keys")
    hands.press("rudder+")
    assert after(hands, 1.0).rudder == 1.0
    assert hands.read().source == "keys"


def test_a_slider_keeps_within_its_travel(hands):
    hands.slide("throttle", -3.0)
    hands.slide("aileron", 7.0)
    assert (hands.read().throttle, hands.read().aileron) == (0.0, 1.0)
    hands.slide("aileron", float("nan"))
    assert hands.read().aileron == 1.0


def test_a_typed_value_moves_its_control_and_nonsense_is_answered():
    hands = Hands(preferences=Preferences(decimal_mark=","), clock=VirtualClock())

    def typed(text):
        hands.receive({"event": "typed", "control": "rudder", "text": text})
        return hands.read().rudder

    assert typed("-12,5 %") == pytest.approx(-0.125)
    assert hands.view.note == ""
    assert typed("much") == pytest.approx(-0.125)
    assert hands.view.note.startswith("Pedals")
    assert hands.view.alarm
    typed("250")
    assert hands.view.note.startswith("Pedals")
    assert typed("30") == pytest.approx(0.3)
    assert hands.view.note == ""


def test_what_the_kit_flies_cannot_be_moved_by_hand(hands):
    hands.fly("rudder")
    hands.press("aileron+")
    hands.slide("elevator", 0.5)
    hands.receive({"event": "typed", "control": "throttle", "text": "50"})
    now = after(hands, 1.0)
    assert (now.aileron, now.elevator, now.throttle) == (0.0, 0.0, 0.0)
    hands.press("rudder+")
    assert after(hands, 1.0).rudder == 1.0
    with pytest.raises(ValueError, match="only"):
        hands.fly("flaps")


def sent(hands, act):
    """Messages to the page while something happens."""
    found = []
    hands.view.send = found.append
    act()
    return found


def test_the_page_is_shown_where_the_controls_are(hands):
    hands.fly("rudder")
    hands.slide("rudder", 0.25)
    hands.show(aileron=-0.5)
    (message,) = sent(hands, lambda: [hands.picture(1.0), hands.picture(1.04)])
    assert message["at"] == {"aileron": -0.5, "rudder": 0.25, "elevator": 0.0, "throttle": 0.0}
    assert message["text"]["aileron"].startswith("\u221250")
    assert message["n"] == 2


def test_the_start_of_a_run_takes_the_keyboard_and_puts_all_neutral(hands):
    hands.slide("rudder", 0.5)
    hands.set("throttle", 0.75)
    messages = sent(hands, hands.begin)
    assert {"do": "focus"} in messages
    now = hands.read()
    assert (now.rudder, now.throttle) == (0.0, 0.75)


# ------------------------------------------------------------------ pads


def assigned(hands, name="rudder", pad="pedals", axis=2, to=1.0, rest=0.0):
    """Assign an axis by moving it, as a learner does."""
    axes = [0.0] * 4
    axes[axis] = rest
    hands.plug(**{pad: axes})
    hands.receive({"event": "pad", "do": "assign", "control": name})
    hands.plug(**{pad: axes})
    axes[axis] = to
    hands.plug(**{pad: axes})
    axes[axis] = rest
    hands.plug(**{pad: axes})
    return hands


def place(hands, value, pad="pedals", axis=2):
    axes = [0.0] * 4
    axes[axis] = value
    hands.plug(**{pad: axes})
    return hands.read().rudder


def test_an_axis_is_assigned_by_moving_it(hands):
    hands.plug(pedals=[0.0, 0.0, 0.0])
    place(hands, 0.9)
    assert hands.read().rudder == 0.0, "nothing is assigned"
    hands.receive({"event": "pad", "do": "assign", "control": "rudder"})
    assert "right pedal" in hands.view.desk["rows"]["rudder"]["text"]
    assert hands.view.listen is None, "every axis is watched"
    place(hands, 0.0)
    place(hands, 0.3)
    assert hands.pads.assigning == "rudder", "a little is not enough"
    place(hands, 0.8)
    assert hands.pads.assigning is None
    assert hands.view.listen == [0]
    assert hands.read().source == "pad"
    assert place(hands, 1.0) == 1.0
    assert place(hands, -1.0) == -1.0
    assert place(hands, 0.0) == 0.0


def test_the_way_it_is_moved_counts_as_positive_and_can_be_reversed(hands):
    assigned(hands, to=-1.0)
    assert place(hands, -1.0) == 1.0
    hands.receive({"event": "pad", "do": "reverse", "control": "rudder"})
    assert hands.read().rudder == -1.0
    assert hands.view.desk["rows"]["rudder"]["reversed"] is False


def test_the_present_place_becomes_the_centre(hands):
    assigned(hands)
    assert place(hands, 0.4) > 0.3
    hands.receive({"event": "pad", "do": "centre", "control": "rudder"})
    assert hands.read().rudder == 0.0
    assert place(hands, 1.0) == 1.0
    assert place(hands, -1.0) == -1.0


def test_within_the_dead_band_nothing_moves_and_there_is_no_jump(hands):
    assigned(hands)
    hands.receive({"event": "pad", "do": "dead_band", "control": "rudder", "share": 0.2})
    place(hands, 0.9)
    assert place(hands, 0.19) == 0.0
    assert 0.0 < place(hands, 0.21) < 0.03
    assert place(hands, -0.6) == pytest.approx(-0.5)
    hands.receive({"event": "pad", "do": "dead_band", "control": "rudder", "share": 5.0})
    assert hands.pads.assigned["rudder"].dead_band == 0.5


def test_a_throttle_has_two_ends_and_no_centre(hands):
    assigned(hands, name="throttle", rest=1.0, to=-1.0)
    for raw, wanted in ((1.0, 0.0), (0.0, 0.5), (-1.0, 1.0)):
        place(hands, raw)
        assert hands.read().throttle == pytest.approx(wanted)


def test_one_axis_moves_one_control(hands):
    assigned(hands, name="aileron")
    assigned(hands, name="rudder")
    assert list(hands.pads.assigned) == ["rudder"]


def test_a_second_pad_that_is_not_assigned_counts_for_nothing(hands):
    assigned(hands)
    hands.plug(pedals=[0.0, 0.0, 0.5], gamepad=[1.0, 1.0, -1.0, 1.0])
    assert hands.read().rudder == pytest.approx(0.47, abs=0.01)
    assert hands.view.listen == [0]
    hands.plug(pedals=[0.0, 0.0, 0.5])  # the other one is unplugged
    assert hands.read().source == "pad"
    assert hands.lost is None


def test_pedals_and_stick_may_be_two_devices(hands):
    assigned(hands)
    hands.plug(pedals=[0.0] * 4, stick=[0.0] * 2)
    hands.receive({"event": "pad", "do": "assign", "control": "aileron"})
    hands.plug(pedals=[0.0] * 4, stick=[0.0] * 2)
    hands.plug(pedals=[0.0] * 4, stick=[1.0, 0.2])
    assert hands.view.listen == [0, 1]
    hands.plug(pedals=[0.0, 0.0, -1.0, 0.0], stick=[0.5, 0.0])
    now = hands.read()
    assert (now.rudder, now.aileron) == (-1.0, pytest.approx(0.47, abs=0.01))


def test_of_two_alike_the_assigned_one_counts_also_at_another_place(hands):
    hands.receive({"event": "pads", "present": {"0": "pedals", "1": "pedals"}})
    hands.receive({"event": "pad", "do": "assign", "control": "rudder"})
    still = {"name": "pedals", "axes": [0.0]}
    hands.view.axes_now = {"n": 1, "devices": {"0": still, "1": still}}
    moved = {"name": "pedals", "axes": [0.9]}
    hands.view.axes_now = {"n": 2, "devices": {"0": still, "1": moved}}
    assert hands.view.listen == [1]
    hands.view.axes_now = {"n": 3, "devices": {"0": {"name": "pedals", "axes": [-0.5]}, "1": still}}
    assert hands.read().rudder == 0.0
    hands.receive({"event": "pads", "present": {"3": "pedals"}})
    assert hands.view.listen == [3]


def test_keys_still_work_beside_a_pad_at_rest_that_trembles(hands):
    assigned(hands)
    hands.press("rudder-")
    for tremble in (0.06, 0.0, 0.07):
        place(hands, tremble)
    now = after(hands, 1.0)
    assert (now.rudder, now.source) == (-1.0, "keys")
    place(hands, 0.5)
    assert hands.read().source == "pad"


def test_unplugged_in_flight_all_goes_neutral_the_run_stops_and_says_so(hands):
    loop = RealTimeLoop(
        lambda t, now: None, lambda: None, name="pads", hands=hands, clock=hands.clock
    )
    assigned(hands)
    loop.run_for(0.5)
    place(hands, 0.8)
    loop.run_for(0.5)
    assert hands.read().rudder > 0.7
    hands.receive({"event": "pads", "present": {}})
    assert hands.read().rudder == 0.0
    loop.run_for(0.1)
    assert loop.last.key == "pad"
    assert "pedals was unplugged" in hands.view.note
    assert hands.pads.assigned, "plugged in again it works again"
    hands.plug(pedals=[0.0] * 4)
    loop.start()
    assert place(hands, 0.8) > 0.7
    loop.stop()


def test_unplugged_while_it_moves_nothing_the_run_goes_on(hands):
    loop = RealTimeLoop(
        lambda t, now: None, lambda: None, name="pads", hands=hands, clock=hands.clock
    )
    assigned(hands)
    loop.run_for(0.5)
    hands.press("rudder+")
    hands.receive({"event": "pads", "present": {}})
    flown = []
    loop._step = lambda t, now: flown.append(now.rudder)
    loop.run_for(1.0)
    assert loop.running
    assert flown[-1] == 1.0
    loop.stop()


def test_assigning_can_be_given_up_and_removed(hands):
    hands.plug(pedals=[0.0])
    for _ in range(2):
        hands.receive({"event": "pad", "do": "assign", "control": "rudder"})
    assert hands.pads.assigning is None
    assigned(hands)
    place(hands, 0.8)
    hands.receive({"event": "pad", "do": "forget", "control": "rudder"})
    assert hands.pads.assigned == {}
    assert hands.read().rudder == 0.0


def test_the_page_keeps_the_assignments_and_gives_them_back(hands):
    assigned(hands, to=-1.0)
    kept = hands.view.kept
    other = Hands(clock=VirtualClock())
    other.receive({"event": "stored", "kept": {**kept, "no": {}, "aileron": {"pad": "x"}}})
    assert other.pads.assigned == hands.pads.assigned
    assert "not plugged in" in other.view.desk["rows"]["rudder"]["text"]


def test_what_another_area_of_the_page_assigned_goes_before_its_own(hands):
    assigned(hands, to=-1.0)
    other = assigned(Hands(clock=VirtualClock()), axis=1)
    other.receive({"event": "stored", "kept": hands.view.kept})
    assert other.pads.assigned["rudder"].axis == 1
    other.receive({"event": "stored", "kept": hands.view.kept, "newer": True})
    assert other.pads.assigned["rudder"].axis == 2
    other.receive({"event": "stored", "kept": {}, "newer": True})
    assert other.pads.assigned == {}


def test_without_pads_the_page_is_told_what_to_do(hands):
    assert "plug it in" in hands.view.desk["sentence"]
    assert hands.view.listen == []


def test_hands_know_their_controls():
    for wrong in ((), ("flaps",), ("rudder", "rudder")):
        with pytest.raises(ValueError, match="aileron"):
            Hands(wrong)
