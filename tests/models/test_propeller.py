import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.models import propeller

from .common import quick

# NACA Report 594, propeller C at 15 degrees (read in a public digitised copy)
J = np.array([0.0, 0.1, 0.2, 0.3, 0.4, 0.5])
CP = np.array([0.0584, 0.0578, 0.0564, 0.0543, 0.0514, 0.0461])


def test_rpm_rises_with_speed_at_a_fixed_throttle():
    ratio = propeller.rpm_ratio_at_constant_torque(CP[0], CP)
    assert ratio[0] == 1.0
    assert np.all(np.diff(ratio) > 0.0)
    assert CP * ratio**2 == pytest.approx(np.full(6, CP[0]), rel=1e-12)  # torque is constant


@quick
@given(st.floats(0.1, 1.2), st.floats(800.0, 2700.0), st.floats(1.5, 2.0), st.floats(1.0, 1.3))
def test_advance_ratio_turns_back(j, rpm, diameter, ratio):
    speed = propeller.airspeed_at_advance_ratio(j, rpm, diameter, ratio)
    assert speed / (rpm * ratio / 60.0 * diameter) == pytest.approx(j, rel=1e-12)


def test_power_falls_faster_than_density():
    sigma = np.array([0.7, 0.8, 0.9])
    power = propeller.engine_power_ratio(sigma, 0.12)
    assert np.all(power < sigma) and np.all(np.diff(power) > 0.0)
    assert propeller.engine_power_ratio(0.8, 0.0) == pytest.approx(0.8)
    assert propeller.engine_power_ratio(1.0, 0.3) == pytest.approx(1.0)
