import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from lessonkit.models import atmosphere as air
from lessonkit.models.numeric import SCALAR
from lessonkit.units import STANDARD_GRAVITY, k_from_degc, m_from_ft, pa_from_inhg

from .common import quick

altitudes = st.floats(-1000.0, 11000.0)


def test_pressure_follows_the_hydrostatic_equation():
    """Independent: integrate dp/dh = -rho g with the ideal gas law and the lapse rate."""
    heights = np.linspace(0.0, 11000.0, 12)

    def slope(height, pressure):
        return -pressure * STANDARD_GRAVITY / (287.05287 * (288.15 - 0.0065 * height))

    column = solve_ivp(slope, (0.0, 11000.0), [101325.0], t_eval=heights, rtol=1e-10, atol=1e-6)
    # the exponent 5.25588 is rounded to six digits: 2e-6 of the logarithm of the ratio
    assert air.standard_pressure(heights) == pytest.approx(column.y[0], rel=5e-6)


@quick
@given(altitudes)
def test_density_obeys_the_ideal_gas_law(altitude):
    law = air.standard_pressure(altitude) / (287.05287 * air.standard_temperature(altitude))
    assert air.standard_density(altitude) == pytest.approx(law, rel=2e-6)


@quick
@given(altitudes)
def test_altitude_of_pressure_turns_back(altitude):
    back = air.altitude_of_pressure(air.standard_pressure(altitude))
    assert back == pytest.approx(altitude, abs=1e-6)


@quick
@given(altitudes)
def test_density_altitude_of_a_standard_day_is_the_altitude(altitude):
    temperature = air.standard_temperature(altitude)
    assert air.density_altitude(altitude, temperature) == pytest.approx(altitude, abs=0.05)


def test_density_falls_with_height_and_is_the_same_for_one_float():
    heights = np.linspace(-1000.0, 11000.0, 50)
    assert np.all(np.diff(air.standard_density(heights)) < 0.0)
    scalars = [air.standard_density(float(h), functions=SCALAR) for h in heights]
    assert scalars == pytest.approx(air.standard_density(heights), rel=1e-14)
    assert type(scalars[0]) is float


def test_warm_air_is_thin():
    warm = air.density_altitude(m_from_ft(3000.0), k_from_degc(30.0))
    # cockpit rule: 120 ft per degC above the standard 9.06 degC (derived row of the trade facts)
    assert warm == pytest.approx(m_from_ft(5512.8), rel=0.03)


@pytest.mark.parametrize(("setting", "shift_ft"), [(29.70, 205.0), (30.10, -165.0)])
def test_altimeter_settings_of_the_handbook(setting, shift_ft):
    """Printed corrections, read in FAA-H-8083-25 (performance chapter), to the nearest 5 ft."""
    shift = air.pressure_altitude(0.0, pa_from_inhg(setting))
    assert shift == pytest.approx(m_from_ft(shift_ft), abs=m_from_ft(5.0))


@pytest.mark.parametrize("functions", [air.ARRAY, SCALAR])
def test_refuses_the_stratosphere(functions):
    with pytest.raises(ValueError, match="altitude must be at least .* ft .*4.921e.04 ft"):
        air.standard_density(15000.0, functions=functions)
