"""The consistency panel without a browser: spreads, shares, costs, with and without power."""

import asyncio
from dataclasses import replace

import numpy as np
import pytest

from lessonkit.airplane import (
    built_in_airfield,
    built_in_cards,
    card_from_tables,
    card_to_tables,
    fit_airplane,
)
from lessonkit.lessons.power_off_approach import consistency_flights as flights
from lessonkit.lessons.power_off_approach.consistency import KINDS, consistency
from lessonkit.lessons.power_off_approach.consistency_flights import (
    ALONE,
    CORRECTED,
    HABITS,
    OFF,
    ConsistencyBench,
    propeller_of,
)
from lessonkit.lessons.power_off_approach.flights import AIM, FEW
from lessonkit.models.habits import MEASURED, OBSERVED
from lessonkit.models.power_off_approach import DRAFT_STEP, fly
from lessonkit.models.power_off_pilot import PowerOffPilot
from lessonkit.models.powered_approach import PoweredPilot
from lessonkit.models.touchdown_spread import scattered
from lessonkit.models.touchdown_spread_draws import normal_scores
from lessonkit.models.wind_profile import Wind
from lessonkit.panels import LessonContext
from lessonkit.units import ft_from_m, m_from_ft, mps_from_kt
from lessonkit.words import Preferences

CARDS = built_in_cards()
CARD = CARDS["high_wing_four_seat"]
SMALL_FULL, SMALL_PORTION = 600, 300


class Record:
    """A record that keeps what it is given."""

    def __init__(self):
        self.events = []

    def append(self, kind, data):
        self.events.append((kind, data))


def context_of(card=CARD, **changes):
    return LessonContext(
        lesson="07_power_off_approach",
        airplane=fit_airplane(card),
        airfield=built_in_airfield(),
        **changes,
    )


@pytest.fixture(autouse=True)
def fewer(monkeypatch):
    """Keep the whole run to fewer tries in longer steps; the number shown follows."""
    monkeypatch.setattr(flights, "FULL", SMALL_FULL)
    monkeypatch.setattr(flights, "PORTION", SMALL_PORTION)
    monkeypatch.setattr(flights, "HALVED", SMALL_PORTION)
    monkeypatch.setattr(flights, "RESTING_STEP", flights.MOVING_STEP)
    monkeypatch.setattr("lessonkit.lessons.power_off_approach.consistency_story.FULL", SMALL_FULL)


@pytest.fixture(scope="module")
def built():
    panel = consistency(context_of())
    panel.skip_prediction()
    return panel


@pytest.fixture
def panel(built):
    if any(control.value != control.start for control in built.controls.values()):
        built.reset()
    elif built.result.complete:
        built.update()
    return built


def said(panel):
    return panel.sentence.replace("\u00a0", " ")


def feet(text):
    """The number before "ft" at the start of a text such as "720 ft short of the mark"."""
    number = float(text.split(" ft")[0].replace(",", ""))
    return -number if "short" in text else number


def test_nothing_is_flown_before_the_prediction_and_it_is_kept():
    record = Record()
    panel = consistency(context_of(record=record))
    panel.control("power").pick(OFF)
    assert panel.result is None and "Predict first" in panel.sentence
    assert "off_bars" not in panel.scene.names() and "off_window" in panel.scene.names()
    panel.settle()
    assert panel.result is None
    panel.predict("60")
    assert record.events[0][0] == "prediction" and record.events[0][1]["answer"] == 60.0
    assert panel.result.off.spread.tries == FEW
    count = round(100.0 * panel.result.off.spread.inside)
    assert f"{count} of 100" in panel.prediction.text.replace("\u00a0", " ")
    panel.control("abeam_height_spread").slide(m_from_ft(80.0))
    assert f"{count} of 100" not in panel.prediction.text  # other settings, another question


def test_the_sentence_says_what_was_counted(panel):
    result, text = panel.result, said(panel)
    off, on = text.split("Power on, corrected on final: ")
    for pilot, part in ((result.off, off), (result.on, on)):
        beyond = ft_from_m(pilot.beyond)
        inside = np.count_nonzero((beyond >= 0.0) & (beyond <= 200.0)) / FEW
        assert f"{100.0 * inside:.0f} of 100" in part
        low, high = part.split("nine of ten between ")[1].split(".")[0].split(" and ")
        expected = np.percentile(beyond, [5.0, 95.0])
        assert [feet(low), feet(high)] == pytest.approx(expected, abs=5.01)
    assert "300 tries each; more follow." in text
    assert "Turn to base costs most" in off and "400 ft farther or nearer" in text


def test_the_full_count_arrives_in_portions(panel):
    values = {**panel.values, "power": OFF}
    seen = [
        (part.off.spread.tries, part.complete, part.off.halved is not None)
        for part in ConsistencyBench(panel.context).full(values)
    ]
    assert seen[:2] == [(300, False, False), (600, False, False)] and seen[-1] == (600, True, True)


def test_the_whole_run_says_so_and_agrees_with_the_few_hundred(panel):
    few = panel.result
    panel.settle()
    full = panel.result
    assert full.complete and not panel.error
    assert "600 tries each." in said(panel) and "were it half as large" in said(panel)
    for a, b in ((few.off.spread, full.off.spread), (few.on.spread, full.on.spread)):
        p = b.inside
        error = np.sqrt(p * (1.0 - p) * (1.0 / FEW + 1.0 / SMALL_FULL))
        assert a.inside == pytest.approx(p, abs=3.0 * error)
        # The ends at 5 and 95 % of 300 normal draws are known to an eighth of a deviation each.
        widths = [ends[1] - ends[0] for ends in (a.nine_of_ten, b.nine_of_ten)]
        assert widths[0] == pytest.approx(widths[1], rel=0.2)


@pytest.mark.long
def test_the_longer_steps_of_a_moving_control_do_not_show(panel):
    bench = ConsistencyBench(panel.context)
    plans, habits = bench._plans(panel.values), bench._habits(panel.values)
    for plan, pilot in zip(plans, (PowerOffPilot, PoweredPilot), strict=True):
        tries = scattered(plan, Wind(), habits, normal_scores(len(habits), 12, 3))
        fine, coarse = (
            bench._fly(*tries, step, pilot).x for step in (DRAFT_STEP, flights.MOVING_STEP)
        )
        assert np.abs(ft_from_m(coarse - fine)).max() < 25.0  # half a bar of the picture


@pytest.mark.long
def test_half_the_costliest_spread_by_hand_gives_what_the_sentence_promises(panel):
    panel.control("power").pick(OFF)
    panel.settle()
    promised, worst = panel.result.off.halved, panel.result.off.costs[0][0]
    panel.control(worst).slide(0.5 * panel.control(worst).value)
    # Three standard errors of 300 tries against 300.
    assert panel.result.off.spread.inside == pytest.approx(promised, abs=0.09)
    assert promised > 0.1


@pytest.mark.parametrize(
    "power",
    [
        OFF,
        pytest.param(ALONE, marks=pytest.mark.long),
        pytest.param(CORRECTED, marks=pytest.mark.long),
    ],
)
def test_a_wider_spread_costs_more_and_lands_fewer_in_the_window(panel, power):
    panel.control("power").pick(power)
    before = panel.result.on or panel.result.off
    key = {OFF: "base_turn_delay_spread", ALONE: "rpm_spread", CORRECTED: "aim_spread"}[power]
    habit = next(habit for habit in HABITS if habit.quantity == key)
    panel.control(key).slide(habit.high)
    after = panel.result.on or panel.result.off
    assert dict(after.costs)[key] > 1.8 * dict(before.costs)[key]
    assert after.spread.inside < before.spread.inside
    others = [name for name, _ in before.costs if name != key]
    assert {n: dict(after.costs)[n] for n in others} == {n: dict(before.costs)[n] for n in others}


def test_costs_come_longest_first_and_only_for_habits_a_pilot_has(panel):
    off = [cost for _, cost in panel.result.off.costs]
    assert off == sorted(off, reverse=True)
    assert "rpm_spread" not in dict(panel.result.off.costs)
    assert "aim_spread" in dict(panel.result.on.costs)
    panel.control("power").pick(ALONE)
    assert "aim_spread" not in dict(panel.result.on.costs)
    assert panel.result.on.costs[0][0] == "rpm_spread"


def test_the_picture_holds_the_tries_and_the_longest_bar_on_top(panel):
    bars = panel.scene.item("off_bars")
    top, bins = np.array(bars["y"]), np.array(bars["x"])
    counts, _ = np.histogram(panel.result.off.beyond, np.unique(bins))
    # One height for each bin, in proportion to how many touch there.
    heights = top[1:-1:2]
    assert heights / heights.max() == pytest.approx(counts / counts.max(), abs=0.02)
    text = panel.scene.item("cost_text_0")["text"].replace("\u00a0", " ")
    assert text.startswith("Turn to base: ")
    length = feet(text.split(": ")[1].split(",")[0])
    assert max(panel.scene.item("cost_off_0")["x"]) == pytest.approx(m_from_ft(length), abs=2.0)
    low, high = panel.result.off.spread.nine_of_ten
    assert panel.scene.item("off_nine")["x"] == pytest.approx([low, high], abs=1.0)
    window = panel.scene.item("off_window")["x"]
    assert [min(window), max(window)] == pytest.approx([0.0, m_from_ft(200.0)], abs=0.3)
    private = panel.scene.item("off_private")["x"]
    assert private == pytest.approx([0.0, m_from_ft(400.0)], abs=0.3)


def test_power_off_alone_shows_no_power(panel):
    panel.control("power").pick(OFF)
    assert panel.result.on is None and "Power on" not in panel.sentence
    assert "on_bars" not in panel.scene.names() and "on_none" in panel.scene.names()
    assert panel.control("rpm_spread").widget.layout.display == "none"
    panel.control("power").pick(ALONE)
    assert panel.control("rpm_spread").widget.layout.display is None
    assert panel.control("aim_spread").widget.layout.display == "none"
    assert "No pilot would leave the throttle alone" in panel.sentence


def test_a_try_as_meant_touches_in_the_middle_of_the_window_with_and_without_power(panel):
    bench = ConsistencyBench(panel.context)
    headwind = mps_from_kt(10.0)
    wind = bench.bench.wind({**bench.bench.start, "headwind": headwind})
    for key, near in ((OFF, 3.0), (ALONE, 3.0), (CORRECTED, 15.0)):
        flown = {"pilot": PoweredPilot} if key != OFF else {}
        down = fly(bench.plan(key, headwind), bench.parameters, wind, **flown).touchdown
        assert down.x - bench.bench.mark == pytest.approx(AIM, abs=near)


def test_a_headwind_in_which_nothing_fits_is_one_sentence_with_the_cure(panel, monkeypatch):
    monkeypatch.delenv("LESSONKIT_STRICT", raising=False)
    monkeypatch.setattr(flights, "LATEST_TURN", 1.0)
    panel.control("headwind").slide(mps_from_kt(-4.0))
    assert panel.error.startswith("No turn to base") and panel.error.endswith("less wind.")
    panel.reset()
    assert panel.error == ""


def test_spreads_say_how_they_are_known_and_keep_to_the_habits_bounds():
    known = [replace(h, origin=MEASURED) for h in HABITS[:3]]
    known += [replace(h, origin=OBSERVED, value=h.low) for h in HABITS[3:]]
    panel = consistency(context_of(), known)
    for habit in known:
        control = panel.control(habit.quantity)
        assert f"({habit.origin})" in control.label
        assert control.value == pytest.approx(habit.value)
        control.slide(1e4)
        assert control.value == pytest.approx(habit.high, rel=1e-6)
    assert set(KINDS) == {habit.quantity for habit in HABITS}


def test_more_headwind_than_forecast_is_a_habit_of_the_air_not_of_the_plan(panel):
    panel.control("power").pick(OFF)
    bench = ConsistencyBench(panel.context)
    only_wind = tuple(
        replace(h, value=h.value if h.quantity == "headwind_spread" else 0.0, low=0.0)
        for h in HABITS
    )
    bench.habits = only_wind
    values = {h.quantity: h.value for h in only_wind} | {"headwind": 0.0, "power": OFF}
    off = bench.draft(values).off
    assert [name for name, cost in off.costs if cost > 0.5] == ["headwind_spread"]


@pytest.mark.parametrize(
    ("section", "values"),
    [("propeller", {"kind": "constant speed"}), ("propeller", {"diameter": ""})],
)
def test_without_a_fixed_pitch_propeller_power_is_not_shown_and_the_sentence_says_why(
    section, values
):
    tables = card_to_tables(CARD)
    for key, value in values.items():
        if value == "":
            del tables[section][key]
        else:
            tables[section][key] = value
    panel = consistency(context_of(card_from_tables(tables)))
    panel.skip_prediction()
    assert panel.result.on is None and panel.result.off.spread.tries == FEW
    assert "needs a fixed-pitch propeller" in panel.sentence and not panel.error


@pytest.mark.long
@pytest.mark.parametrize("name", sorted(CARDS))
def test_every_airplane_has_believable_power_settings(name):
    context = context_of(CARDS[name])
    propeller = propeller_of(context.airplane)
    assert propeller.zero_thrust_ratio < propeller.idle_ratio < 1.5
    bench = ConsistencyBench(context)
    plan = bench.plan(ALONE, 0.0)
    # 1,300 to 2,000 rpm are usual in the pattern of such airplanes; common practice, no source.
    assert 1200.0 < plan.downwind_rpm < plan.base_rpm < plan.final_rpm < 2200.0


def test_where_the_stall_speed_is_uncertain_nothing_is_said_to_stall():
    tables = card_to_tables(CARD)
    del tables["airspeed"]["flaps_up"], tables["airspeed"]["flaps_down"]
    panel = consistency(context_of(card_from_tables(tables)))
    panel.skip_prediction()
    assert panel.result.off.spread.stalled == 0.0
    assert "No stall speed is certain" in panel.sentence


def test_steep_slow_tries_that_stall_are_told_apart():
    wild = {"bank_deg_spread": 15.0, "base_cas_spread": mps_from_kt(8.0)}
    habits = [replace(h, value=v, high=v) for h in HABITS if (v := wild.get(h.quantity))]
    panel = consistency(context_of(), habits)
    panel.control("power").pick(OFF)
    panel.skip_prediction()
    spread = panel.result.off.spread
    assert spread.stalled > 0.01
    assert f"{100.0 * spread.stalled:.0f} of 100 would stall" in said(panel)
    counted = spread.inside + spread.short + spread.long + spread.out_of_line + spread.stalled
    assert counted == pytest.approx(1.0)


def test_a_handbook_in_miles_per_hour_shows_its_spreads_so():
    panel = consistency(context_of(preferences=Preferences(speed_unit="mph")))
    assert panel.control("final_cas_spread").text.endswith("mph")


def test_a_moved_control_abandons_the_full_run(monkeypatch):
    monkeypatch.setattr(flights, "FULL", 16_000)
    monkeypatch.setattr(flights, "PORTION", 400)

    async def run():
        panel = consistency(context_of())
        panel.control("power").pick(OFF)
        panel.skip_prediction()
        for _ in range(2000):
            if panel.result.off.spread.tries > FEW:
                break
            await asyncio.sleep(0.01)
        assert panel.result.off.spread.tries == 400
        panel.control("abeam_height_spread").slide(m_from_ft(60.0))
        assert panel.result.off.spread.tries == FEW
        wanted = panel.result
        await asyncio.sleep(0.2)  # less than the quiet before the next full run
        assert panel.result is wanted
        panel._long.abandon()
        panel._timer.cancel()

    asyncio.run(run())
