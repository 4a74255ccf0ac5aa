"""The two profiles: their limits at the edges, and each criterion broken alone."""

from dataclasses import replace

import numpy as np
import pytest

from lessonkit.models.stabilised_approach import CRITERIA, POWER_OFF, POWERED, Final, assess
from lessonkit.units import ft_from_m, kt_from_mps, m_from_ft, mps_from_fpm, mps_from_kt

CAS, FLAP = 33.0, 30.0
HEIGHT = np.linspace(m_from_ft(900.0), 0.0, 361)


def final(**changes):
    one = np.ones(HEIGHT.size)
    rows = {
        "height": HEIGHT,
        "offset": 0.0 * one,
        "bank_deg": 0.0 * one,
        "flap_deg": FLAP * one,
        "cas": CAS * one,
        "sink_rate": mps_from_fpm(450.0) * one,
    }
    return Final(**{**rows, **changes})


def met(flown, profile):
    return {one.key: one.met for one in assess(flown, profile, CAS, FLAP)}


def test_limits_are_those_of_the_sources():
    """+10/-5 kt: FAA-S-ACS-6B/6C IV.B, read; 500 ft and 300 ft: see the module."""
    assert kt_from_mps(POWERED.fast) == pytest.approx(10.0)
    assert kt_from_mps(POWERED.slow) == pytest.approx(5.0)
    assert ft_from_m(POWERED.gate_height) == pytest.approx(500.0)
    assert ft_from_m(POWER_OFF.gate_height) == pytest.approx(300.0)
    assert POWER_OFF.sink_limit is None


def test_a_steady_final_meets_both():
    assert all(met(final(), POWERED).values())
    assert all(met(final(), POWER_OFF).values())
    assert tuple(met(final(), POWERED)) == CRITERIA


@pytest.mark.parametrize("profile", [POWERED, POWER_OFF], ids=lambda p: p.key)
@pytest.mark.parametrize(
    ("off_kt", "holds"), [(10.0, True), (10.1, False), (-5.0, True), (-5.1, False)]
)
def test_speed_at_the_edges(profile, off_kt, holds):
    flown = final(cas=np.full(HEIGHT.size, CAS + mps_from_kt(off_kt)))
    assert met(flown, profile) == {"lined_up": True, "speed": holds, "flaps": True, "sink": True}
    speed = assess(flown, profile, CAS, FLAP)[1]
    assert kt_from_mps(speed.value) == pytest.approx(off_kt)


def test_speed_above_the_gate_is_not_judged():
    fast = np.where(m_from_ft(510.0) < HEIGHT, CAS + mps_from_kt(30.0), CAS)
    assert met(final(cas=fast), POWERED)["speed"]
    low = np.where(m_from_ft(490.0) < HEIGHT, CAS + mps_from_kt(30.0), CAS)
    assert not met(final(cas=low), POWERED)["speed"]
    assert met(final(cas=low), POWER_OFF)["speed"]


def test_the_worse_side_is_named():
    both = np.where(m_from_ft(250.0) < HEIGHT, CAS + mps_from_kt(8.0), CAS - mps_from_kt(6.0))
    speed = assess(final(cas=both), POWERED, CAS, FLAP)[1]
    assert kt_from_mps(speed.value) == pytest.approx(-6.0)
    assert not speed.met


def test_sink_is_limited_with_power_only():
    """900 ft/min with full flap is normal at idle (6-DoF comparison)."""
    flown = final(sink_rate=np.full(HEIGHT.size, mps_from_fpm(900.0)))
    assert not met(flown, POWERED)["sink"]
    assert met(flown, POWER_OFF)["sink"]
    at_limit = final(sink_rate=np.full(HEIGHT.size, POWERED.sink_limit))
    assert met(at_limit, POWERED)["sink"]


@pytest.mark.parametrize(
    ("name", "bad"),
    [("bank_deg", 20.0), ("bank_deg", -20.0), ("offset", 40.0), ("offset", -40.0)],
)
def test_lined_up_means_level_and_on_the_centreline(name, bad):
    late = final(**{name: np.where(m_from_ft(400.0) < HEIGHT, bad, 0.0)})
    lined_up = assess(late, POWERED, CAS, FLAP)[0]
    assert not lined_up.met
    assert ft_from_m(lined_up.value) == pytest.approx(400.0, abs=5.0)
    assert met(late, POWER_OFF)["lined_up"]


def test_flaps_are_looked_at_when_the_gate_is_passed():
    late = final(flap_deg=np.where(m_from_ft(400.0) < HEIGHT, 10.0, FLAP))
    assert not met(late, POWERED)["flaps"]
    assert met(late, POWER_OFF)["flaps"]


def test_nothing_is_judged_in_the_round_out():
    last = m_from_ft(25.0) > HEIGHT
    flown = final(cas=np.where(last, CAS - 10.0, CAS), bank_deg=np.where(last, 20.0, 0.0))
    assert all(met(flown, POWERED).values())


def test_a_final_below_the_gate_is_refused():
    low = HEIGHT < m_from_ft(400.0)
    rows = {name: getattr(final(), name)[low] for name in final().__dict__}
    with pytest.raises(ValueError, match="begin it higher"):
        assess(Final(**rows), POWERED, CAS, FLAP)
    assert all(one.met for one in assess(Final(**rows), POWER_OFF, CAS, FLAP))


def test_gate_is_a_setting():
    late = final(bank_deg=np.where(m_from_ft(400.0) < HEIGHT, 20.0, 0.0))
    assert met(late, replace(POWERED, gate_height=m_from_ft(390.0)))["lined_up"]
