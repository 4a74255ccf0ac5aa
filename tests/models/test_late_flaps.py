"""Landing flaps that wait for a height: when they come, and what they leave as it was."""

from dataclasses import replace

import numpy as np
import pytest

from lessonkit.models.late_flaps import SETTING, LateFlapPilot, LateFlapPlan
from lessonkit.models.parameters import Parameters
from lessonkit.models.power_off_approach import fly, fly_many
from lessonkit.models.wind_profile import Wind

DRAG = (0.037, 0.045, 0.062), (0.72, 0.72, 0.72)
TRAINER = Parameters(1089.0, 16.165, 10.92, 2.0, (0.0, 10.0, 30.0), *DRAG, (1.5, 1.7, 2.0))
PLAN = LateFlapPlan(
    700.0, 305.0, 800.0, 40.0, 37.0, 37.0, 33.0, 28.0, base_flap_deg=10.0, final_flap_deg=30.0
)


def flown(flaps_by):
    return fly(replace(PLAN, flaps_by=flaps_by), TRAINER, Wind(), pilot=LateFlapPilot)


def test_lever_waits_for_the_height():
    history = flown(50.0).history
    final = np.abs(history.heading_deg) < 5.0
    above = final & (history.height > 50.0 + SETTING)
    below = final & (history.height < 50.0) & (history.height > 1.0)
    assert above.any()
    assert history.flap_lever_deg[above] == pytest.approx(10.0, abs=0.1)
    assert history.flap_lever_deg[below] == pytest.approx(30.0, abs=0.1)


def test_a_height_above_the_final_changes_nothing():
    usual = fly(PLAN, TRAINER, Wind())
    assert flown(250.0).touchdown.x == pytest.approx(usual.touchdown.x, abs=0.01)


def test_flaps_that_come_later_carry_farther():
    places = [flown(height).touchdown.x for height in (250.0, 60.0, 30.0, 0.0)]
    assert places == sorted(places)
    assert places[-1] - places[0] > 50.0


def test_flaps_up_to_the_ground_are_those_of_the_base_leg():
    never = flown(-SETTING).touchdown.x
    base = fly(replace(PLAN, final_flap_deg=10.0), TRAINER, Wind()).touchdown.x
    assert never == pytest.approx(base, abs=0.5)


def test_many_fly_as_one():
    heights = np.array([20.0, 60.0, 250.0])
    many = fly_many(replace(PLAN, flaps_by=heights), TRAINER, Wind(), pilot=LateFlapPilot)
    assert many.x == pytest.approx([flown(height).touchdown.x for height in heights], abs=0.1)
