import numpy as np
import pytest

from lessonkit.models.standards import REGULATIONS, TOLERANCES, tolerance, within_standard
from lessonkit.units import ft_from_m, m_from_ft


@pytest.mark.parametrize(
    ("certificate", "task", "measure", "target", "inside", "outside"),
    [
        # plain reading of the tasks, limits inclusive (read in public transcriptions)
        ("private", "slow_flight", "airspeed_kt", 48.0, [48.0, 58.0], [47.9, 58.1]),
        ("private", "slow_flight", "altitude_ft", 3000.0, [2900.0, 3100.0], [2899.0, 3101.0]),
        ("private", "slow_flight", "bank_deg", 0.0, [-10.0, 10.0], [-10.1, 10.1]),
        ("private", "power_off_stall", "highest_bank_deg", 0.0, [20.0], [20.1]),
        ("private", "power_on_stall", "lowest_power_pct", 0.0, [65.0, 100.0], [64.9]),
        ("private", "steep_turn", "bank_deg", 45.0, [40.0, 50.0], [39.9, 50.1]),
        ("private", "normal_landing", "airspeed_kt", 65.0, [60.0, 75.0], [59.9, 75.1]),
        ("private", "normal_landing", "touchdown_ft_beyond", 0.0, [0.0, 400.0], [-0.1, 400.1]),
        ("private", "short_field_landing", "touchdown_ft_beyond", 0, [0.0, 200.0], [-1.0, 201.0]),
        ("private", "emergency_approach", "airspeed_kt", 70.0, [60.0, 80.0], [59.0, 81.0]),
        ("commercial", "slow_flight", "airspeed_kt", 48.0, [48.0, 53.0], [47.9, 53.1]),
        ("commercial", "steep_turn", "bank_deg", 50.0, [45.0, 55.0], [44.9, 55.1]),
        ("commercial", "steep_spiral", "highest_bank_deg", 0.0, [60.0], [60.5]),
        ("commercial", "steep_spiral", "lowest_turns", 0.0, [3.0, 4.0], [2.9]),
        ("commercial", "power_off_180", "touchdown_ft_beyond", 0.0, [0.0, 200.0], [-0.1, 200.1]),
    ],
)
def test_both_edges(certificate, task, measure, target, inside, outside):
    assert np.all(within_standard(certificate, task, measure, target, inside))
    assert not np.any(within_standard(certificate, task, measure, target, outside))


def test_headings_compare_the_short_way_round():
    flown = [350.0, 0.0, 10.0, 11.0, 349.0]
    met = within_standard("private", "steep_turn", "rollout_heading_deg", 360.0, flown)
    assert met.tolist() == [True, True, True, False, False]


def test_a_limit_met_in_feet_survives_metres():
    feet = ft_from_m(m_from_ft(np.arange(0.0, 401.0)))
    met = within_standard("private", "normal_landing", "touchdown_ft_beyond", 0.0, feet)
    assert np.all(met)


def test_a_missing_measurement_does_not_meet_a_standard():
    assert not within_standard("private", "slow_flight", "airspeed_kt", 48.0, np.nan)


def test_every_row_has_a_source_and_a_way_it_was_obtained():
    keys = [(row.certificate, row.task, row.measure) for row in TOLERANCES]
    assert len(set(keys)) == len(keys)
    for row in TOLERANCES:
        assert row.source.startswith("FAA-S-ACS-")
        assert row.provenance in ("read", "memory")
        assert row.low < row.high
    # remembered, not read: these three tasks alone
    remembered = {(row.certificate, row.task) for row in TOLERANCES if row.provenance == "memory"}
    assert remembered == {
        ("private", "traffic_pattern"),
        ("commercial", "normal_landing"),
        ("commercial", "short_field_landing"),
    }
    assert all(row.source and row.provenance == "read" for row in REGULATIONS.values())


@pytest.mark.parametrize(
    ("names", "sentence"),
    [
        (("sport", "slow_flight", "bank_deg"), "no certificate sport .* private, commercial"),
        (("private", "power_off_180", "bank_deg"), "no task power_off_180 .* slow_flight"),
        (("private", "slow_flight", "speed"), "has no limit on speed; .* airspeed_kt"),
    ],
)
def test_names_what_it_does_not_know(names, sentence):
    with pytest.raises(ValueError, match=sentence):
        tolerance(*names)
