"""Many tries of one pilot: how they are drawn, which count, and what each spread costs."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from lessonkit.models.approach_review import least_stall_margin
from lessonkit.models.habits import ASSUMED, MEASURED, Habit
from lessonkit.models.power_off_approach import DRAFT_STEP, fly, fly_many
from lessonkit.models.power_off_pilot import ApproachPlan, PowerOffPilot
from lessonkit.models.powered_approach import PoweredPlan
from lessonkit.models.stall_watch import StallWatch
from lessonkit.models.touchdown_spread import (
    Tries,
    costs,
    fly_tries,
    scattered,
    side_by_side,
    summary,
)
from lessonkit.models.touchdown_spread_draws import NODES, normal_scores, one_at_a_time
from lessonkit.models.wind_profile import Wind

from .approach_cases import TRAINER

PLAN = ApproachPlan(
    900.0, 305.0, 600.0, 40.0, 36.0, 36.0, 33.0, 27.5, base_flap_deg=10.0, final_flap_deg=30.0
)
CALM = Wind()
HALF_WIDTH = 9.0


def habit(name, spread):
    return Habit(f"{name}_spread", spread, 0.0, 10.0 * spread + 1.0, ASSUMED)


PILOT = [
    habit("abeam_distance", 40.0),
    habit("abeam_height", 10.0),
    habit("base_turn_delay", 1.2),
    habit("base_cas", 1.0),
    habit("headwind", 1.0),
]


def flown(habits, scores, plan=PLAN, wind=CALM):
    plan, wind = scattered(plan, wind, habits, scores)
    return fly_tries(plan, TRAINER, wind, HALF_WIDTH, DRAFT_STEP)


def test_scores_are_normal_independent_and_evenly_spread():
    scores = normal_scores(3, 400, 7)
    for row in scores:
        # One try in each of 400 equally likely parts.
        assert sorted(np.floor(400 * stats.norm.cdf(row)).astype(int)) == list(range(400))
    # Uncorrelated within three standard errors of 400 draws.
    assert np.abs(np.corrcoef(scores) - np.eye(3)).max() < 3.0 / np.sqrt(400)
    assert np.array_equal(scores, normal_scores(3, 400, 7))
    assert not np.array_equal(scores, normal_scores(3, 400, (7, 1)))


def test_tries_of_one_habit_stand_in_the_middle_of_equal_parts():
    scores = one_at_a_time(2, 5)
    middles = stats.norm.ppf([0.1, 0.3, 0.5, 0.7, 0.9])
    np.testing.assert_allclose(scores[0], [*middles, 0, 0, 0, 0, 0], atol=1e-12)
    np.testing.assert_allclose(scores[1], [0, 0, 0, 0, 0, *middles], atol=1e-12)


def test_a_spread_moves_what_it_names_and_nothing_else():
    names = ("base_cas", "headwind", "bank_deg", "rpm", "aim")
    scores = np.array([[-1.0, 2.0]] * 5)
    habits = [habit(name, 2.0) for name in names]
    off, wind = scattered(PLAN, Wind(along=-3.0), habits, scores)
    assert off.base_cas.tolist() == off.downwind_cas.tolist() == [34.0, 40.0]
    assert wind.along.tolist() == [-1.0, -7.0]  # more headwind: the air comes faster from ahead
    assert off.bank_deg.tolist() == [28.0, 34.0] and off.final_cas == PLAN.final_cas
    with_power = PoweredPlan(**vars(PLAN), base_rpm=1500.0, final_rpm=1600.0)
    on, _ = scattered(with_power, CALM, habits, scores)
    assert on.base_rpm.tolist() == [1498.0, 1504.0] and on.final_rpm.tolist() == [1598.0, 1604.0]
    assert on.downwind_rpm == 0.0  # a closed throttle has no error of RPM
    assert on.aim_x.tolist() == [-2.0, 4.0]


def test_banks_stay_between_ten_and_fifty_five_degrees():
    plan, _ = scattered(PLAN, CALM, [habit("bank_deg", 20.0)], np.array([[-3.0, 3.0]]))
    assert plan.bank_deg.tolist() == [10.0, 55.0]


def test_without_scatter_all_tries_touch_at_one_point():
    steady = [replace(one, value=0.0) for one in PILOT]
    tries = flown(steady, normal_scores(len(PILOT), 5, 1))
    assert np.ptp(tries.x) == 0.0
    alone = fly_many(PLAN, TRAINER, CALM, DRAFT_STEP).x[0]
    assert tries.x[0] == pytest.approx(alone, abs=0.01)
    spread = summary(tries, alone, (-1.0, 1.0))
    assert spread.inside == 1.0 and spread.nine_of_ten[1] - spread.nine_of_ten[0] < 0.01


def test_twice_the_spread_is_about_twice_the_scatter():
    scores = normal_scores(1, 60, 3)
    wide = [flown([habit("base_turn_delay", s)], scores) for s in (0.6, 1.2)]
    once, twice = (np.std(tries.x) for tries in wide)
    assert twice == pytest.approx(2.0 * once, rel=0.05)


def test_a_late_turn_falls_short_and_a_high_pass_abeam_goes_long():
    late = flown([habit("base_turn_delay", 1.0)], np.array([[0.0, 1.0]])).x
    high = flown([habit("abeam_height", 10.0)], np.array([[0.0, 1.0]])).x
    windy = flown([habit("headwind", 2.0)], np.array([[0.0, 1.0]])).x
    assert late[1] < late[0] - 20.0 and high[1] > high[0] + 50.0 and windy[1] < windy[0] - 20.0


@pytest.mark.long
def test_a_few_hundred_evenly_spread_tries_agree_with_thousands_drawn_by_chance():
    few = flown(PILOT, normal_scores(len(PILOT), 300, 20))
    by_chance = np.random.default_rng(5).standard_normal((len(PILOT), 2000))
    many = flown(PILOT, by_chance)
    mark = float(np.median(many.x))
    first, second = (summary(tries, mark, (-60.0, 60.0)) for tries in (few, many))
    deviation = np.std(many.x)
    assert few.x.mean() == pytest.approx(many.x.mean(), abs=3.0 * deviation / np.sqrt(2000))
    error = np.sqrt(second.inside * (1.0 - second.inside) * (1.0 / 300 + 1.0 / 2000))
    assert first.inside == pytest.approx(second.inside, abs=3.0 * error)
    assert np.std(few.x) == pytest.approx(deviation, rel=3.0 / np.sqrt(2 * 300))


@pytest.mark.long
def test_squares_of_single_spreads_add_up_to_the_whole():
    # Independent habits that each move the touchdown about in proportion.
    tries = flown(PILOT, one_at_a_time(len(PILOT)))
    alone = costs(tries, len(PILOT)) / (2.0 * stats.norm.ppf(0.9))
    together = flown(PILOT, normal_scores(len(PILOT), 300, 2))
    assert np.sqrt(np.sum(alone**2)) == pytest.approx(np.std(together.x), rel=0.08)


def test_cost_of_a_spread_that_moves_the_touchdown_in_proportion():
    yes = np.ones(2 * NODES, dtype=bool)
    place = np.concatenate([30.0 * one_at_a_time(1)[0], -5.0 * one_at_a_time(1)[0]])
    found = costs(Tries(place, yes, ~yes), 2)
    np.testing.assert_allclose(found, 2.0 * stats.norm.ppf(0.9) * np.array([30.0, 5.0]))
    gone = yes.copy()
    gone[: NODES - 3] = False
    assert np.isnan(costs(Tries(place, gone, ~yes), 2)[0])


def test_stalled_tries_and_those_beside_the_runway_are_counted_apart():
    x = np.array([100.0, 120.0, 130.0, 140.0, 190.0, np.nan])
    in_line = np.array([True, True, False, True, True, False])
    stalled = np.array([True, False, False, False, False, False])
    spread = summary(Tries(x, in_line, stalled), 100.0, (0.0, 60.0))
    assert spread.tries == 6 and spread.inside == pytest.approx(2 / 6)
    assert spread.stalled == pytest.approx(1 / 6) and spread.out_of_line == pytest.approx(2 / 6)
    assert spread.long == pytest.approx(1 / 6) and spread.short == 0.0
    assert spread.median == 40.0
    shares = spread.inside + spread.short + spread.long + spread.stalled + spread.out_of_line
    assert shares == pytest.approx(1.0)


def test_ranges_are_the_percentiles_of_the_tries_that_count():
    x = np.linspace(0.0, 100.0, 101)
    yes = np.ones(101, dtype=bool)
    spread = summary(Tries(x, yes, ~yes), 50.0, (0.0, 10.0))
    assert spread.eight_of_ten == (-40.0, 40.0) and spread.nine_of_ten == (-45.0, 45.0)


@pytest.mark.parametrize("habits", [PILOT, [habit("bank_deg", 6.0), habit("base_cas", 2.0)]])
def test_many_tries_stall_where_single_flights_have_no_margin(habits):
    scores = 1.6 * normal_scores(len(habits), 12, 4)
    slow = replace(PLAN, base_cas=30.0, downwind_cas=30.0, bank_deg=40.0)
    plan, wind = scattered(slow, CALM, habits, scores)
    found = fly_tries(plan, TRAINER, wind, HALF_WIDTH, DRAFT_STEP).stalled
    margins = []
    for case in range(12):
        one = {
            name: float(value[case]) for name, value in vars(plan).items() if np.ndim(value) == 1
        }
        air = Wind(along=float(wind.along[case]))
        approach = fly(replace(plan, **one), TRAINER, air, DRAFT_STEP)
        margins.append(least_stall_margin(approach, TRAINER, air)[0])
    sure = np.abs(margins) > 0.05  # m/s: single precision decides nothing closer
    assert sure.sum() >= 9 and 0 < found[sure].sum() < sure.sum()
    assert found[sure].tolist() == (np.array(margins)[sure] < 0.0).tolist()


def test_being_watched_changes_no_flight():
    plan, wind = scattered(PLAN, CALM, PILOT, normal_scores(len(PILOT), 6, 1))
    watch = StallWatch(6)
    watched = fly_many(watch.marked(plan), TRAINER, wind, DRAFT_STEP, watch.over(PowerOffPilot))
    assert np.array_equal(watched.x, fly_many(plan, TRAINER, wind, DRAFT_STEP).x)
    assert (watch.lift_share > 0.3).all()


def test_tries_flown_side_by_side_touch_where_they_do_alone():
    first = scattered(PLAN, CALM, PILOT, normal_scores(len(PILOT), 3, 1))
    other = replace(PLAN, base_turn_distance=500.0)
    second = scattered(other, CALM, PILOT, normal_scores(len(PILOT), 2, 2))
    plan, wind = (side_by_side(a, b) for a, b in zip(first, second, strict=True))
    both = fly_tries(plan, TRAINER, wind, HALF_WIDTH, DRAFT_STEP).x
    alone = [fly_tries(p, TRAINER, w, HALF_WIDTH, DRAFT_STEP).x for p, w in (first, second)]
    np.testing.assert_allclose(both, np.concatenate(alone), atol=0.02)


def test_how_a_habit_is_known_changes_nothing():
    scores = np.array([[1.0]])
    plans = [
        scattered(PLAN, CALM, [replace(habit("bank_deg", 2.0), origin=origin)], scores)[0]
        for origin in (ASSUMED, MEASURED)
    ]
    assert plans[0].bank_deg == plans[1].bank_deg
