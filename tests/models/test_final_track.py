"""The turn onto a final begun late: arcs against geometry by hand, heights against distance."""

import numpy as np
import pytest

from lessonkit.models.final_track import track_onto_final

AIM, PATH, LINED_UP, SPEED, BANK, TOP = 100.0, 3.5, 200.0, 34.0, 30.0, 300.0
SLOPE = np.tan(np.radians(PATH))
RADIUS = SPEED**2 / (9.80665 * np.tan(np.radians(BANK)))  # level turn, closed form [D]


def track(late=0.0, **changes):
    given = {"aim_x": AIM, "path_deg": PATH, "lined_up_height": LINED_UP, "ground_speed": SPEED,
             "late": late, "bank_deg": BANK, "top": TOP}  # fmt: skip
    return track_onto_final(**{**given, **changes})


def lined_up_height(found):
    return found.height[np.flatnonzero(found.bank_deg)[-1] + 1]


@pytest.mark.parametrize("late", [0.0, 0.7, 2.0, 5.0])
def test_height_falls_with_the_distance_flown_and_ends_at_the_aiming_point(late):
    found = track(late)
    flown = np.hypot(np.diff(found.x), np.diff(found.offset))
    assert -np.diff(found.height) == pytest.approx(SLOPE * flown, abs=1e-3)
    assert (found.x[-1], found.offset[-1], found.height[-1]) == pytest.approx((AIM, 0.0, 0.0))
    assert found.height[0] == pytest.approx(TOP)
    assert found.offset[0] > 0.0


def test_on_time_it_is_lined_up_where_it_was_meant():
    found = track()
    assert lined_up_height(found) == pytest.approx(LINED_UP, abs=0.3)
    assert found.offset.min() == pytest.approx(0.0, abs=1e-6)
    assert set(np.unique(found.bank_deg)) == {0.0, BANK}


def test_late_by_two_seconds_it_flies_beyond_by_speed_times_time_and_back_on_two_arcs():
    found = track(2.0)
    beyond = 2.0 * SPEED
    assert found.offset.min() == pytest.approx(-beyond, abs=0.1)
    angle = np.arccos(1.0 - beyond / (2.0 * RADIUS))
    lost = SLOPE * 2.0 * RADIUS * np.sin(angle)  # along the centreline, on the same path
    assert lined_up_height(found) == pytest.approx(LINED_UP - lost, abs=0.3)
    assert found.bank_deg.min() == -BANK


def test_later_is_lower_and_an_absurd_delay_stays_a_track():
    heights = [lined_up_height(track(late)) for late in (0.0, 0.5, 1.0, 2.0, 4.0)]
    assert heights == sorted(heights, reverse=True)
    far = track(60.0)
    assert np.isfinite(far.x).all()
    assert far.offset.min() == pytest.approx(-2.0 * RADIUS, abs=0.2)
