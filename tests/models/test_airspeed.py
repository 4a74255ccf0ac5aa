import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.models import airspeed
from lessonkit.models.atmosphere import speed_of_sound, standard_density, standard_pressure
from lessonkit.units import m_from_ft, mps_from_kt

from .common import quick, speeds


def compressible_tas(cas, altitude):
    """True airspeed by the impact pressure of compressible air (independent of the kit)."""
    impact = 101325.0 * ((1.0 + 0.2 * (cas / 340.294) ** 2) ** 3.5 - 1.0)
    mach = np.sqrt(5.0 * ((impact / standard_pressure(altitude) + 1.0) ** (2.0 / 7.0) - 1.0))
    return mach * speed_of_sound(altitude)


@pytest.mark.parametrize(
    ("cas_kt", "altitude_ft", "error"), [(100, 5000, 1e-3), (150, 10000, 5e-3), (200, 10000, 1e-2)]
)
def test_states_its_error_against_compressible_air(cas_kt, altitude_ft, error):
    cas, altitude = mps_from_kt(cas_kt), m_from_ft(altitude_ft)
    exact = compressible_tas(cas, altitude)
    ours = airspeed.tas_from_cas(cas, altitude)
    assert exact < ours < exact * (1.0 + error)


@quick
@given(speeds, st.floats(-1000.0, 6000.0))
def test_round_trip(cas, altitude):
    tas = airspeed.tas_from_cas(cas, altitude)
    assert airspeed.cas_from_tas(tas, altitude) == pytest.approx(cas, rel=1e-12)
    density = standard_density(altitude)
    assert airspeed.tas_from_eas(cas, density) == pytest.approx(tas, rel=1e-12)
    assert airspeed.eas_from_tas(tas, density) == pytest.approx(cas, rel=1e-12)


def test_true_airspeed_grows_with_height():
    tas = airspeed.tas_from_cas(40.0, np.linspace(-500.0, 8000.0, 20))
    assert np.all(np.diff(tas) > 0.0)
