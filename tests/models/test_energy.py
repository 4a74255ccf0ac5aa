import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.models import energy
from lessonkit.units import STANDARD_GRAVITY, kt_from_mps

from .common import quick


@quick
@given(st.floats(0.0, 80.0), st.floats(0.0, 80.0), st.floats(100.0, 1000.0))
def test_a_zoom_keeps_the_energy(tas, new_tas, height):
    gained = energy.zoom_height(tas, new_tas)
    before = energy.specific_energy(height + 400.0, tas)
    after = energy.specific_energy(height + 400.0 + gained, new_tas)
    assert after == pytest.approx(before, rel=1e-12)
    assert energy.zoom_height(new_tas, tas) == pytest.approx(-gained, abs=1e-9)
    assert (gained >= 0.0) == (tas >= new_tas) or abs(tas - new_tas) < 1e-6


def test_twice_the_speed_four_times_the_height():
    ratio = energy.kinetic_height(60.0) / energy.kinetic_height(30.0)
    assert ratio == pytest.approx(4.0, rel=1e-12)
    assert energy.kinetic_height(0.0) == 0.0


@quick
@given(st.floats(-500.0, 3000.0), st.floats(300.0, 3000.0), st.floats(20.0, 60.0))
def test_excess_power_is_climb_plus_acceleration(thrust, drag, tas):
    mass, step = 1000.0, 1e-3
    # level flight: all of it goes into speed (finite difference of the energy height)
    faster = tas + (thrust - drag) / mass * step
    gain = energy.kinetic_height(faster) - energy.kinetic_height(tas)
    ps = energy.specific_excess_power(thrust, drag, tas, mass)
    assert ps == pytest.approx(gain / step, rel=1e-3, abs=1e-4)
    assert (ps > 0.0) == (thrust > drag)


def test_level_idle_flight_loses_two_knots_a_second():
    loss = energy.level_deceleration(9.0)
    assert kt_from_mps(loss) == pytest.approx(2.118, abs=0.001)  # derived by hand
    idle = energy.specific_excess_power(0.0, 1000.0 * STANDARD_GRAVITY / 9.0, 30.0, 1000.0)
    assert -idle * STANDARD_GRAVITY / 30.0 == pytest.approx(loss, rel=1e-12)
