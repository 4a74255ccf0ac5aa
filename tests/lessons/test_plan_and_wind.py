"""The planner and the wind-and-weight panel without a browser."""

from dataclasses import replace

import numpy as np
import pytest

from lessonkit.airplane import built_in_airfield, built_in_cards, fit_airplane
from lessonkit.lessons.power_off_approach.flights import AIM, MARK, Bench
from lessonkit.lessons.power_off_approach.other_days import HEADWINDS
from lessonkit.lessons.power_off_approach.panels import PANELS
from lessonkit.lessons.power_off_approach.plan_it import sentence
from lessonkit.models.glide import maximum_lift_drag_ratio
from lessonkit.panels import LessonContext
from lessonkit.units import ft_from_m, m_from_ft, m_from_nm, mps_from_kt

CARDS = list(built_in_cards().values())


class Record:
    """A record that keeps what it is given."""

    def __init__(self):
        self.events = []

    def append(self, kind, data):
        self.events.append((kind, data))


def panel_of(key, card=CARDS[0]):
    context = LessonContext(
        lesson="07_power_off_approach",
        airplane=fit_airplane(card),
        airfield=built_in_airfield(),
        record=Record(),
    )
    return PANELS[key](context)


@pytest.fixture(scope="module")
def plan_built():
    panel = panel_of("plan_it")
    panel.skip_prediction()
    panel.settle()
    return panel


@pytest.fixture
def planner(plan_built):
    plan_built.reset()
    plan_built.settle()
    return plan_built


@pytest.fixture(scope="module")
def wind_built():
    panel = panel_of("wind_weight")
    panel.skip_prediction()
    panel.settle()
    return panel


@pytest.fixture
def sky(wind_built):
    wind_built.reset()
    wind_built.settle()
    return wind_built


def plain(text):
    return text.replace("\u00a0", " ")


def flown(panel, **values):
    """Fly on the bench what the planner found."""
    bench = Bench(panel.context)
    return bench.fly({**bench.start, **values})


@pytest.mark.parametrize("headwind_kt", [0.0, 15.0])
@pytest.mark.parametrize("beyond_ft", [0.0, 400.0])
def test_the_bench_lands_where_the_planner_promised(planner, headwind_kt, beyond_ft):
    with planner.hold():
        planner.control("headwind").set(mps_from_kt(headwind_kt))
        planner.control("beyond").set(m_from_ft(beyond_ft))
    planner.settle()
    found = planner.result.planned.value
    flight = flown(planner, base_turn=found, headwind=planner.values["headwind"])
    assert ft_from_m(flight.beyond) == pytest.approx(beyond_ft, abs=15.0)
    assert f"{round(ft_from_m(found), -1):,.0f} ft past abeam" in plain(planner.sentence)
    assert planner.last_error is None


def test_more_headwind_an_earlier_turn_and_the_prediction_hears_of_it():
    panel = panel_of("plan_it")
    panel.predict("earlier")
    panel.settle()
    calm = panel.result.planned.value
    panel.control("headwind").set(mps_from_kt(10.0))
    panel.settle()
    moved = ft_from_m(calm - panel.result.planned.value)
    assert moved > 300.0
    assert "earlier" in panel.prediction.text
    assert f"{round(moved, -1):,.0f} ft earlier" in plain(panel.prediction.text)
    assert panel.context.record.events[0][1]["panel"] == "plan_it"


def test_the_distance_abeam_can_be_planned_too(planner):
    planner.control("sought").pick("abeam")
    planner.settle()
    found = planner.result.planned.value
    flight = flown(planner, abeam=found, base_turn=planner.values["base_turn"])
    assert flight.beyond == pytest.approx(AIM, abs=5.0)
    assert "from the runway" in planner.sentence


def test_no_plan_names_the_miss_and_what_would_make_one(planner):
    with planner.hold():
        planner.control("headwind").set(mps_from_kt(24.0))
        planner.control("abeam").set(m_from_nm(0.8))
    planner.settle()
    answer = planner.result
    assert answer.planned.value is None
    assert answer.miss == "short"
    assert "No plan" in planner.sentence
    assert "One of these would make one" in planner.sentence
    assert answer.remedies
    for remedy in answer.remedies:
        values = {"headwind": planner.values["headwind"], "abeam": planner.values["abeam"]}
        values |= {remedy.key: remedy.value, "base_turn": remedy.sought}
        assert flown(planner, **values).beyond == pytest.approx(AIM, abs=6.0)


def test_no_plan_on_the_long_side_asks_for_the_other_direction(planner):
    with planner.hold():
        planner.control("height").set(m_from_ft(1500.0))
        planner.control("abeam").set(m_from_nm(0.3))
        planner.control("headwind").set(mps_from_kt(-8.0))
    planner.settle()
    answer = planner.result
    assert answer.miss == "long"
    assert {remedy.key for remedy in answer.remedies} >= {"abeam"}
    farther = next(r for r in answer.remedies if r.key == "abeam")
    assert farther.value > m_from_nm(0.3)


def test_hopeless_is_said(planner):
    with planner.hold():
        planner.control("height").set(m_from_ft(500.0))
        planner.control("abeam").set(m_from_nm(0.8))
        planner.control("headwind").set(mps_from_kt(25.0))
        planner.control("final_cas").set(planner.control("final_cas").high)
    planner.settle()
    assert planner.result.planned.value is None
    assert "the ground comes before you are lined up" in planner.sentence
    hopeless = replace(planner.result, remedies=())
    assert "power, in good time" in sentence(hopeless, planner.context)
    assert "go-around" in sentence(replace(hopeless, miss="long"), planner.context)


def test_the_wanted_place_can_be_dragged(planner):
    planner.scene.grab("wanted", 0.0, m_from_ft(300.0), "end")
    assert planner.values["beyond"] == pytest.approx(m_from_ft(300.0))
    crossing = planner.scene.item("crossing")
    assert crossing["y"] == [pytest.approx(m_from_ft(300.0), abs=0.1)]


def test_lines_agree_with_the_bench(sky):
    lines = sky.result.lines
    index = int(np.argmin(np.abs(HEADWINDS - mps_from_kt(10.0))))
    wind = float(HEADWINDS[index])
    turn = lines.planned_turn
    assert flown(sky, base_turn=turn, headwind=wind).beyond == pytest.approx(
        lines.kept[index], abs=5.0
    )
    back = flown(sky, base_turn=float(lines.turn[index]), headwind=wind)
    assert ft_from_m(back.beyond) == pytest.approx(ft_from_m(AIM), abs=40.0)
    bench = Bench(sky.context)
    faster = {key: bench.start[key] + 0.5 * wind for key in ("glide_cas", "final_cas")}
    half = flown(sky, base_turn=turn, headwind=wind, **faster)
    assert half.beyond == pytest.approx(lines.half_added[index], abs=5.0)


def test_headwind_shortens_and_the_turn_comes_earlier(sky):
    lines = sky.result.lines
    calm_on = HEADWINDS >= -0.01
    assert (np.diff(lines.kept[calm_on]) < 0.0).all()
    assert (np.diff(lines.turn[calm_on]) < 0.0).all()


def test_draft_and_full_lines_say_the_same(sky):
    sky.control("mass").set(sky.control("mass").high)
    draft = sky.result
    assert draft.lines.turn is None
    sky.settle()
    assert sky.result.lines.turn is not None
    for wind in (-4.0, 0.0, 3.0, 9.0):
        few = np.interp(wind, draft.lines.headwinds, draft.lines.kept)
        many = np.interp(wind, sky.result.lines.headwinds, sky.result.lines.kept)
        assert ft_from_m(few) == pytest.approx(ft_from_m(many), abs=80.0)


def test_weight_with_scaled_speeds_keeps_the_glide_ratio_but_turns_tighter(sky):
    """Best ratio is free of weight; the turn's radius goes with the square of the speed."""
    airplane = sky.context.airplane
    flown_light = airplane.parameters(sky.control("mass").low)
    assert maximum_lift_drag_ratio(
        flown_light.aspect_ratio, flown_light.cd0[0], flown_light.oswald[0]
    ) == pytest.approx(airplane.best_glide_ratio())
    with sky.hold():
        sky.control("mass").set(sky.control("mass").low)
        sky.control("speeds").pick("scaled")
    sky.settle()
    assert "speeds scaled with the weight" in sky.sentence
    assert sky.result.at(sky.result.lines.kept) > AIM
    assert "farther" in sky.sentence


def test_sentence_of_the_day(sky):
    assert "In calm air, nothing changed: touchdown 100 ft beyond the mark" in plain(sky.sentence)
    sky.control("headwind").set(mps_from_kt(10.0))
    assert "In 10 kt of headwind" in plain(sky.sentence)
    assert "With 5 kt added" in plain(sky.sentence)
    assert "earlier brings it back" in sky.sentence
    sky.scene.grab("headwind", mps_from_kt(-5.0), 0.0, "end")
    assert "In 5 kt of tailwind" in plain(sky.sentence)
    assert "added" not in sky.sentence


@pytest.mark.long
@pytest.mark.parametrize("card", CARDS[1:], ids=lambda card: card.name)
def test_other_airplanes_plan_and_fly(card):
    panel = panel_of("plan_it", card)
    panel.skip_prediction()
    panel.settle()
    assert panel.last_error is None
    assert panel.result.planned.approach.touchdown.x == pytest.approx(MARK + AIM, abs=1.5)


def test_a_calibrated_airplane_shifts_the_touchdown_everywhere_alike():
    """What two touchdowns taught about the float moves bench, planner and wind lines together."""
    context = LessonContext(
        lesson="07_power_off_approach", airplane=Shifted(CARDS[0]), airfield=built_in_airfield()
    )
    bench = Bench(context)
    plain_bench = Bench(replace(context, airplane=fit_airplane(CARDS[0])))
    values = plain_bench.start
    shifted, before = bench.fly(values), plain_bench.fly(values)
    assert shifted.beyond - before.beyond == pytest.approx(SHIFT)
    assert (shifted.band, shifted.short_band) == (90.0, 90.0)
    panel = PANELS["plan_it"](context)
    panel.skip_prediction()
    panel.settle()
    found = panel.result.planned.value
    assert bench.fly({**values, "base_turn": found}).beyond == pytest.approx(AIM, abs=3.0)
    assert "give or take 300 ft" in plain(panel.sentence)
    day = PANELS["wind_weight"](context)
    day.skip_prediction()
    day.settle()
    assert day.result.at(day.result.lines.kept) == pytest.approx(AIM, abs=6.0)


SHIFT = 25.0


class Shifted:
    """The airplane of a card, calibrated by hand: touchdowns 25 m farther, band 90 m."""

    touchdown_offset, touchdown_band = SHIFT, 90.0

    def __init__(self, card):
        self._airplane = fit_airplane(card)

    def __getattr__(self, name):
        return getattr(self._airplane, name)


def test_a_plan_that_is_lined_up_too_low_is_none(planner):
    planner.control("height").set(m_from_ft(600.0))
    planner.settle()
    assert planner.result.miss == "low"
    assert "No plan that is lined up by 300 ft" in plain(planner.sentence)
    assert planner.result.remedies  # closer in, or higher
    for remedy in planner.result.remedies:
        more = remedy.value > planner.values[remedy.key]
        assert more == (remedy.key == "height")
        values = {"height": planner.values["height"], remedy.key: remedy.value}
        flight = flown(planner, **{**values, "base_turn": remedy.sought})
        final = next(point for point in flight.points if point.key == "final")
        assert ft_from_m(final.height) >= 299.0


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.name)
def test_the_start_is_lined_up_by_the_gate(card):
    bench = Bench(panel_of("plan_it", card).context)
    final = next(point for point in bench.fly(bench.start).points if point.key == "final")
    assert ft_from_m(final.height) >= 300.0


def test_the_day_says_what_to_mind(sky):
    sky.control("headwind").set(mps_from_kt(-8.0))
    assert "tailwind is for looking only" in sky.sentence
    with sky.hold():
        sky.control("headwind").set(0.0)
        sky.control("height").set(m_from_ft(500.0))
    sky.settle()
    assert "means go around" in sky.sentence


def test_the_band_is_the_bench_s_where_it_is_slow_and_clean(planner):
    with planner.hold():
        planner.control("glide_cas").set(planner.control("glide_cas").low)
        planner.control("base_flap").set(0.0)
        planner.control("final_flap").set(0.0)
        planner.control("bank").set(45.0)
    planner.settle()
    assert not planner.result.miss
    assert "at most 400 ft farther or 850 ft shorter" in plain(planner.sentence)
    assert "glides worse than the kit reckons" in planner.sentence
