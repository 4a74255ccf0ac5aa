"""The drag parabola from a best glide: exact inverse inside the bounds, nearest at them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.airplane.polar import (
    CD0_BOUNDS,
    OSWALD_BOUNDS,
    glide_lift_coefficient,
    polar_from_best_glide,
)
from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.glide import (
    best_glide_tas,
    lift_coefficient_at_best_glide,
    maximum_lift_drag_ratio,
)

quick = settings(max_examples=60, deadline=None, derandomize=True)


@quick
@given(
    cd0=st.floats(0.0201, 0.0599),
    oswald=st.floats(0.501, 0.949),
    mass=st.floats(500.0, 1800.0),
    area=st.floats(9.0, 20.0),
    aspect=st.floats(5.0, 12.0),
)
def test_polar_to_handbook_figures_and_back(cd0, oswald, mass, area, aspect):
    speed = float(best_glide_tas(mass, area, aspect, cd0, oswald, SEA_LEVEL_DENSITY))
    ratio = float(maximum_lift_drag_ratio(aspect, cd0, oswald))
    polar = polar_from_best_glide(glide_lift_coefficient(mass, speed, area, ratio), ratio, aspect)
    # Closed form both ways: round-off only.
    assert polar.cd0 == pytest.approx(cd0, rel=1e-9)
    assert polar.oswald == pytest.approx(oswald, rel=1e-9)
    assert not polar.bounded


@quick
@given(
    lift=st.floats(0.2, 2.0),
    ratio=st.floats(4.0, 25.0),
    aspect=st.floats(4.0, 14.0),
)
def test_bounds_always_hold(lift, ratio, aspect):
    polar = polar_from_best_glide(lift, ratio, aspect)
    slack = 1e-12
    assert CD0_BOUNDS[0] - slack <= polar.cd0 <= CD0_BOUNDS[1] + slack
    assert OSWALD_BOUNDS[0] - slack <= polar.oswald <= OSWALD_BOUNDS[1] + slack


@pytest.mark.parametrize(("lift", "oswald"), [(1.3, 0.95), (0.45, 0.5)])
def test_ratio_is_kept_where_only_the_speed_does_not_fit(lift, oswald):
    polar = polar_from_best_glide(lift, 10.0, 7.4)
    assert polar.bounded
    assert polar.oswald == pytest.approx(oswald, rel=0.2)
    ratio = float(maximum_lift_drag_ratio(7.4, polar.cd0, polar.oswald))
    assert ratio == pytest.approx(10.0, rel=1e-9)


@pytest.mark.parametrize(
    ("ratio", "cd0", "oswald"), [(4.0, CD0_BOUNDS[1], 0.5), (25.0, CD0_BOUNDS[0], 0.95)]
)
def test_impossible_ratio_ends_in_the_corner(ratio, cd0, oswald):
    polar = polar_from_best_glide(0.8, ratio, 7.4)
    assert (polar.cd0, polar.oswald) == pytest.approx((cd0, oswald))
    best = float(lift_coefficient_at_best_glide(7.4, polar.cd0, polar.oswald))
    assert best > 0.0
