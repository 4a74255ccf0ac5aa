"""Planning: the solution lands where it should, "none" is said, the smallest change is found."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from lessonkit.models.approach_planning import changes_that_reach, plan_touchdown
from lessonkit.models.parameters import Parameters
from lessonkit.models.power_off_approach import fly
from lessonkit.models.power_off_pilot import ApproachPlan
from lessonkit.models.wind_profile import Wind

TRAINER = Parameters(
    1089.0, 16.165, 10.92, 2.0, (0.0, 30.0), (0.037, 0.062), (0.72, 0.72), (1.5, 2.0)
)
PLAN = ApproachPlan(850.0, 305.0, 800.0, 40.0, 35.0, 35.0, 32.0, 27.0, final_flap_deg=30.0)
LIMITS = (0.0, 1500.0)
HALF_WIDTH = 12.0


def planned(target, plan=PLAN, wind=None, quantity="base_turn_distance", limits=LIMITS):
    return plan_touchdown(plan, quantity, limits, TRAINER, wind or Wind(), target, HALF_WIDTH)


def test_turn_agrees_with_a_root_finder_of_another_make():
    found = planned(180.0)
    miss = brentq(
        lambda turn: (
            fly(replace(PLAN, base_turn_distance=turn), TRAINER, Wind()).touchdown.x - 180.0
        ),
        *LIMITS,
        xtol=0.1,
    )
    assert found.value == pytest.approx(miss, abs=1.0)  # 1 m of touchdown, which moves faster


@pytest.mark.parametrize(
    "quantity, limits",
    [
        ("base_turn_distance", LIMITS),
        ("abeam_distance", (550.0, 1500.0)),
        ("abeam_height", (150.0, 450.0)),
    ],
)
def test_planned_quantity_lands_on_the_place(quantity, limits):
    found = planned(180.0, quantity=quantity, limits=limits)
    again = fly(replace(PLAN, **{quantity: found.value}), TRAINER, Wind())
    assert again.touchdown.x == pytest.approx(180.0, abs=1.0)
    assert limits[0] <= found.value <= limits[1]


@pytest.mark.long
@settings(max_examples=8, deadline=None)
@given(headwind=st.floats(0.5, 6.0), target=st.floats(120.0, 300.0))
def test_more_headwind_asks_for_an_earlier_turn(headwind, target):
    calm, windy = planned(target), planned(target, wind=Wind(along=-headwind))
    assert windy.value < calm.value - 10.0


def test_none_where_no_turn_reaches_and_the_curve_says_which_way():
    far = planned(5000.0)
    assert far.value is None and far.approach is None
    assert np.nanmax(far.touchdown_x) < 5000.0
    short = planned(-3000.0)
    assert short.value is None
    assert np.nanmin(short.touchdown_x) > -3000.0


def test_a_touchdown_in_the_turn_is_no_solution():
    low = replace(PLAN, abeam_height=60.0)
    assert planned(180.0, plan=low).value is None
    assert np.isnan(planned(180.0, plan=low).touchdown_x).any()


def test_changes_are_flown_each_for_itself():
    far = replace(PLAN, abeam_distance=2600.0, base_turn_distance=0.0, abeam_height=200.0)
    changes = [
        ("abeam_distance", 2200.0),
        ("abeam_distance", 900.0),
        ("abeam_height", 210.0),
        ("abeam_height", 500.0),
        ("final_flap_deg", 0.0),
    ]
    found = changes_that_reach(far, changes, TRAINER, Wind(), 180.0, True, HALF_WIDTH)
    alone = [
        fly(replace(far, **{name: value}), TRAINER, Wind()).touchdown for name, value in changes
    ]
    assert found.tolist() == [down.x >= 180.0 and abs(down.y) < HALF_WIDTH for down in alone]
    assert found.any()
    assert not found.all()
    assert changes_that_reach(far, [], TRAINER, Wind(), 180.0, True, HALF_WIDTH).size == 0


def test_the_other_way_asks_for_at_most_the_wanted_place():
    near = replace(PLAN, base_turn_distance=1500.0, abeam_height=600.0)
    changes = [("abeam_height", height) for height in np.arange(580.0, 200.0, -60.0)]
    found = changes_that_reach(near, changes, TRAINER, Wind(), 180.0, False, HALF_WIDTH)
    first = changes[int(np.argmax(found))][1]
    assert fly(replace(near, abeam_height=first), TRAINER, Wind()).touchdown.x <= 181.0
    assert fly(replace(near, abeam_height=first + 60.0), TRAINER, Wind()).touchdown.x > 180.0
