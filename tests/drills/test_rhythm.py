"""The demand of a drill: random enough that lag means something, the same for the same seed."""

import numpy as np
import pytest

from lessonkit.drills.diagnosis import LAGS
from lessonkit.drills.rhythm import power_changes, rolls

SEEDS = range(60)


@pytest.mark.parametrize("made", [rolls, power_changes])
def test_spacing_is_within_bounds_and_uneven(made):
    spreads = []
    for seed in SEEDS:
        gaps = np.diff([change.time for change in made(seed).changes])
        assert gaps.min() >= 2.0 - 1e-9 and gaps.max() <= 5.0
        spreads.append(np.std(gaps))
    assert np.median(spreads) > 0.5  # nobody falls into a beat


def test_the_least_spacing_is_longer_than_the_lags_looked_at():
    assert LAGS[1] - LAGS[0] < 2.0


def test_both_sides_are_asked_for_equally_often():
    first = []
    for seed in SEEDS:
        sides = [np.sign(change.to) for change in rolls(seed).changes]
        assert len(sides) == 8 and sum(sides) == 0.0
        assert all(a == -b for a, b in zip(sides, sides[1:], strict=False))
        first.append(sides[0])
    assert 15 < first.count(1.0) < 45


def test_the_last_change_leaves_time_for_late_feet():
    for seed in SEEDS:
        rhythm = rolls(seed)
        assert rhythm.changes[0].time >= 1.0
        assert rhythm.time[-1] - rhythm.changes[-1].time > LAGS[1]


def test_the_demand_arrives_where_it_leads_and_is_smooth():
    rhythm = rolls(4, bank_deg=20.0)
    rate = np.gradient(rhythm.bank_deg, rhythm.time)
    assert np.abs(rate).max() == pytest.approx(40.0 / 2.0 / 0.75, rel=0.02)
    assert np.abs(np.diff(rate)).max() < 1.2  # deg/s in a fiftieth of a second
    for change in rhythm.changes:
        at = np.searchsorted(rhythm.time, change.time + 2.0)
        assert rhythm.bank_deg[at] == pytest.approx(change.to, abs=0.1)


def test_power_goes_up_and_down_and_speed_from_end_to_end():
    slow_first = 0
    for seed in SEEDS:
        rhythm = power_changes(seed)
        assert rhythm.power.min() >= 0.0 and rhythm.power.max() <= 1.0
        steps = np.diff([rhythm.power[0], *(change.to for change in rhythm.changes)])
        assert np.abs(steps).min() > 0.35
        assert {rhythm.speed[0], rhythm.speed[-1]} == {0.0, 1.0}
        slow_first += rhythm.speed[0] == 0.0
    assert 15 < slow_first < 45


def test_the_same_seed_gives_the_same_and_another_another():
    assert np.array_equal(rolls(1).bank_deg, rolls(1).bank_deg)
    assert not np.array_equal(rolls(1).bank_deg, rolls(2).bank_deg)


def test_a_run_too_short_for_two_rolls_is_refused():
    with pytest.raises(ValueError, match="too short"):
        rolls(1, duration_s=5.0)
