"""The airspeed correction table: exact inverses, rising, the right table for the flaps."""

import pytest
from airplane_cards import card
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.airplane.airspeed_correction import (
    AirspeedCorrection,
    best_cas_of,
    cas_of,
    correction_of,
)
from lessonkit.units import kt_from_mps, mps_from_kt

quick = settings(max_examples=60, deadline=None, derandomize=True)
UP, DOWN = [[40, 47], [60, 63], [80, 81]], [[35, 45], [60, 62]]


@quick
@given(
    steps=st.lists(st.tuples(st.floats(1.0, 10.0), st.floats(1.0, 10.0)), min_size=2, max_size=8),
    speed=st.floats(1.0, 120.0),
)
def test_both_ways_are_inverses_and_rise(steps, speed):
    ias, cas = [20.0], [24.0]
    for ias_step, cas_step in steps:
        ias.append(ias[-1] + ias_step)
        cas.append(cas[-1] + cas_step)
    table = AirspeedCorrection(tuple(ias), tuple(cas))
    assert table.ias_from_cas(table.cas_from_ias(speed)) == pytest.approx(speed, rel=1e-9)
    assert table.cas_from_ias(table.ias_from_cas(speed)) == pytest.approx(speed, rel=1e-9)
    assert table.cas_from_ias(speed + 0.5) > table.cas_from_ias(speed)


def test_rows_and_ends():
    table = correction_of(card(airspeed__flaps_up=UP))
    for ias, cas in [*UP, (50, 55), (30, 37), (100, 101)]:
        assert kt_from_mps(table.cas_from_ias(mps_from_kt(ias))) == pytest.approx(cas)
    assert table.covers_cas(mps_from_kt(47)) and not table.covers_cas(mps_from_kt(46))


def test_table_for_flaps_down():
    both = card(airspeed__flaps_up=UP, airspeed__flaps_down=DOWN)
    assert kt_from_mps(correction_of(both, 0.0).cas[0]) == pytest.approx(47)
    assert kt_from_mps(correction_of(both, 20.0).cas[0]) == pytest.approx(45)
    one = card(airspeed__flaps_down=DOWN)
    assert correction_of(one, 0.0) == correction_of(one, 30.0)
    assert correction_of(card()) is None


def test_cas_of_a_figure():
    plain = card(speeds__VS1={"value": 45, "airspeed": "IAS"})
    figure = plain.figure("speeds.VS1")
    assert cas_of(plain, figure) is None
    assert best_cas_of(plain, figure) == figure.value
    corrected = card(speeds__VS1={"value": 50, "airspeed": "IAS"}, airspeed__flaps_up=UP)
    assert kt_from_mps(cas_of(corrected, corrected.figure("speeds.VS1"))) == pytest.approx(55)
    assert kt_from_mps(cas_of(corrected, corrected.figure("speeds.VS0"))) == pytest.approx(45)
    assert cas_of(plain, None) is None and best_cas_of(plain, None) is None
