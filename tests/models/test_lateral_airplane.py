"""How the answer to the controls changes with speed, and what the scaling keeps."""

import math
from dataclasses import replace

import numpy as np
import pytest

from lessonkit.models.lateral_airplane import (
    CL_R_SLOPE,
    CN_P_SLOPE,
    path_derivatives_at,
    rudder_per_sideslip,
    scaled,
)
from lessonkit.models.lateral_demand import rudder_per_aileron
from lessonkit.models.lateral_run import coordinated_run, lateral_run
from lessonkit.models.lateral_sets import SETS
from lessonkit.models.parameters import Parameters
from lessonkit.models.slip import FULL_RUDDER_SIDESLIP_DEG, sideslip_of_rudder

from .approach_cases import TRAINER
from .common import SEA_LEVEL
from .lateral_cases import FAST, LEFT_ALONE, PULLED, SLOW, SPEEDS

keys = pytest.mark.parametrize("key", ["B", "C"])
HALF = np.minimum(np.arange(100) * 0.05, 0.5)  # half aileron, put in over 0.2 s


def test_the_three_that_grow_do_so_in_a_straight_line():
    """At the set's own lift the set itself; slopes as wing theory gives (bounds from memory)."""
    b, one = SETS["B"].derivatives, LEFT_ALONE["B"]
    own = path_derivatives_at(one, SETS["B"].lift_coefficient)
    assert own._replace(cn_aileron=b.cn_aileron) == pytest.approx(b)
    more = path_derivatives_at(one, SETS["B"].lift_coefficient + 0.5)
    assert more.cn_p - b.cn_p == pytest.approx(0.5 * CN_P_SLOPE)
    assert more.cl_r - b.cl_r == pytest.approx(0.5 * CL_R_SLOPE)
    assert -0.10 <= CN_P_SLOPE <= -0.06 and 0.20 <= CL_R_SLOPE <= 0.25
    same = {"cn_p", "cl_r", "cn_aileron"}
    for name in set(b._fields) - same:
        assert getattr(more, name) == getattr(b, name), name


@keys
def test_rudder_per_aileron_grows_as_the_airplane_slows(key):
    """1.7 to 3.5 times from 100 to 55 kt, and monotonic; bounds from 6-DoF comparisons."""
    demand = rudder_per_aileron(LEFT_ALONE[key], np.array(SPEEDS))
    assert np.all(np.diff(demand) < 0.0) and np.all(demand > 0.0)
    assert 1.7 <= demand[0] / demand[-1] <= 3.5


@keys
def test_the_flown_demand_agrees_with_the_formula(key):
    """Perfect feet, flown: a fast settled roll at wings level needs what the formula says."""
    one = replace(LEFT_ALONE[key], rudder_rate=1e3, full_rudder_deg=100.0)
    for tas in (SLOW, FAST):
        # begun in a left bank, wings level comes when the roll rate has settled
        back = np.concatenate([np.full(60, -0.3), np.full(160, 0.3)])
        run = coordinated_run(one, back, tas)
        late = np.arange(len(back)) > 70
        level = np.argmax(late & (run.bank_deg > 0.0))
        flown = run.rudder[level] / 0.3
        assert flown == pytest.approx(rudder_per_aileron(one, tas), rel=0.12)


@keys
def test_half_aileron_is_within_reach_of_the_pedal(key):
    """A roll with half aileron at 55 kt takes less than full rudder, in truth and by formula."""
    assert 0.3 < 0.5 * rudder_per_aileron(LEFT_ALONE[key], SLOW) < 0.9
    run = coordinated_run(LEFT_ALONE[key], HALF, SLOW)
    rolling = (run.time > 0.8) & (run.bank_deg < 8.0)
    assert np.any(rolling) and 0.3 < run.rudder[rolling].max() < 1.0
    assert np.abs(run.sideslip_deg).max() < 0.3


@keys
def test_the_nose_swings_farther_the_wrong_way_when_slow(key):
    """Aileron alone: the heading goes away from the roll, and more so the slower; so does slip."""
    runs = [lateral_run(LEFT_ALONE[key], HALF, 0.0, tas) for tas in SPEEDS]
    swing = [run.heading_deg.min() for run in runs]
    assert np.all(np.diff(swing) > 0.0) and swing[0] < 1.5 * swing[-1] < 0.0
    per_rate = [run.sideslip_deg.max() / run.roll_rate_deg.max() for run in runs]
    assert np.all(np.diff(per_rate) < 0.0) and per_rate[0] > 2.5 * per_rate[-1]
    # ... and the sideways load for a sideslip falls with the dynamic pressure meanwhile
    load = [np.abs(run.lateral_load).max() / run.sideslip_deg.max() for run in runs]
    assert np.all(np.diff(load) > 0.0)


def test_with_constant_derivatives_it_would_be_the_other_way_round():
    """Why the three depend on lift: held at the set's own lift, the swing shrinks with slowness."""
    one = replace(LEFT_ALONE["B"], cn_p_slope=0.0, cl_r_slope=0.0, adverse_yaw_factor=0.0)
    slow, fast = (lateral_run(one, HALF, 0.0, tas).heading_deg.min() for tas in (SLOW, FAST))
    assert fast < -0.1 and slow > fast


@keys
def test_full_pedal_holds_the_sideslip_of_lesson_seven(key):
    """Twelve degrees at idle, best glide; sign as in `slip`: left pedal, wind from the right."""
    one = LEFT_ALONE[key]
    held = one.full_rudder_deg / rudder_per_sideslip(one, 0.8)
    assert held == pytest.approx(FULL_RUDDER_SIDESLIP_DEG, rel=1e-9)
    assert sideslip_of_rudder(-1.0) == pytest.approx(held)
    more = scaled(SETS[key], TRAINER, full_rudder_sideslip_deg=15.0)
    assert more.full_rudder_deg == pytest.approx(one.full_rudder_deg * 15.0 / 12.0)


@keys
def test_full_aileron_rolls_at_the_stated_helix_angle(key):
    """pb/2V 0.08: a single degree of freedom in roll, sideslip kept at zero by hand."""
    one = LEFT_ALONE[key]
    d = one.reference
    helix = d.cl_aileron * math.radians(one.full_aileron_deg) / -d.cl_p
    assert helix == pytest.approx(0.08)


def test_scaling_keeps_the_radii_of_gyration_over_span():
    b = SETS["B"]
    one = scaled(b, Parameters(800.0, 14.0, 10.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,)))
    for mine, published in ((one.ix, b.ix), (one.iz, b.iz)):
        assert math.sqrt(mine / 800.0) / 10.0 == pytest.approx(
            math.sqrt(published / b.mass) / b.span
        )


def test_roll_due_to_rudder_that_is_in_doubt_is_not_used():
    assert LEFT_ALONE["C"].reference.cl_rudder == pytest.approx(-0.0123, abs=2e-4)
    assert LEFT_ALONE["B"].reference.cl_rudder == SETS["B"].derivatives.cl_rudder


def test_the_propellers_air_makes_fin_and_rudder_work_harder():
    plain, blown = (path_derivatives_at(PULLED, 1.0, ratio) for ratio in (1.0, 1.5))
    assert blown.cn_rudder == pytest.approx(1.5 * plain.cn_rudder)
    assert blown.cn_beta > plain.cn_beta and blown.cn_r < plain.cn_r
    assert blown.cl_beta == plain.cl_beta and blown.cl_p == plain.cl_p
    assert rudder_per_aileron(PULLED, SLOW, SEA_LEVEL, 1.0) < rudder_per_aileron(PULLED, SLOW)
