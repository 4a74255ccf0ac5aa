import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.models import glide, glide_distance, glide_path
from lessonkit.units import kt_from_mps, mps_from_kt

from .common import SEA_LEVEL, TRAINER, airplanes, quick

TRAINER_SL = {**TRAINER, "density": SEA_LEVEL}


@quick
@given(airplanes, st.floats(-15.0, 12.0))
def test_no_speed_glides_farther_than_the_speed_to_fly(airplane, headwind):
    """Independent: brute force over speed with the exact glide path."""
    best = float(glide_distance.speed_to_fly_in_wind(**airplane, headwind=headwind))
    speeds = best * np.linspace(0.7, 1.5, 4001)
    gamma = np.radians(-glide_path.glide_path_angle_deg(**airplane, tas=speeds, bank_deg=0.0))
    reach = (speeds * np.cos(gamma) - headwind) / (speeds * np.sin(gamma))
    assert best == pytest.approx(speeds[np.argmax(reach)], rel=4e-4)


def test_still_air_is_best_glide_and_wind_moves_it_both_ways():
    headwinds = mps_from_kt(np.array([-20.0, -10.0, 0.0, 10.0, 20.0, 30.0]))
    to_fly = glide_distance.speed_to_fly_in_wind(**TRAINER_SL, headwind=headwinds)
    assert np.all(np.diff(to_fly) > 0.0)
    assert to_fly[2] == pytest.approx(glide.best_glide_tas(**TRAINER_SL), rel=1e-6)
    # the rule "add half the headwind" overstates it
    assert kt_from_mps(to_fly[3] - to_fly[2]) == pytest.approx(2.8, abs=0.1)
    assert kt_from_mps(to_fly[5] - to_fly[2]) == pytest.approx(11.2, abs=0.1)


@quick
@given(st.floats(4.0, 15.0), st.floats(25.0, 60.0), st.floats(-20.0, 20.0))
def test_ground_ratio(ratio, tas, headwind):
    ours = glide_distance.glide_ratio_over_ground(ratio, tas, headwind)
    seconds = 300.0 / (tas / ratio)  # time to lose 300 m
    assert ours == pytest.approx((tas - headwind) * seconds / 300.0, rel=1e-12)
    assert (ours < ratio) == (headwind > 0.0) or abs(headwind) < 1e-9


def test_weight_scales_speed_with_its_root():
    assert glide_distance.speed_scaled_to_weight(36.0, 1000.0, 1000.0) == 36.0
    assert glide_distance.speed_scaled_to_weight(36.0, 1000.0, 810.0) == pytest.approx(32.4)
    back = glide_distance.speed_scaled_to_weight(32.4, 810.0, 1000.0)
    assert back == pytest.approx(36.0, rel=1e-12)


def test_reach_is_ratio_times_height():
    assert glide_distance.still_air_glide(10.0, [0.0, 100.0, 304.8]) == pytest.approx(
        [0.0, 1000.0, 3048.0]
    )


def test_refuses_a_headwind_as_strong_as_the_airspeed():
    with pytest.raises(ValueError, match="headwind of 68.03 kt .* airspeed of 58.32 kt"):
        glide_distance.glide_ratio_over_ground(9.0, [40.0, 30.0], 35.0)
