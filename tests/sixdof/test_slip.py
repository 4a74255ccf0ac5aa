"""Steady forward slips of the 6-DoF reference airplane against the kit's slip."""

import math

import numpy as np
import pytest

from lessonkit.models.slip import slip_drag_coefficient
from lessonkit.units import mps_from_kt
from sixdof.autopilot import Autopilot, Wanted
from sixdof.measures import SETTLING, TEST_HEIGHT, coefficients
from sixdof.reference import MASS, STEP, Look

pytestmark = pytest.mark.sixdof

IN, HELD, AVERAGED = 4.0, 22.0, 5.0  # s: rudder goes in, slip is held, and what counts of it
SPEEDS_KT = (65.0, 70.0, 75.0)
RUDDERS = (0.0, 0.5, 1.0)


class SlipPilot(Autopilot):
    """The autopilot with its feet pushed to one side; bank holds the track."""

    def __init__(self, sticks, command):
        super().__init__(sticks)
        self.command, self.share = command, 0.0

    def _rudder(self, wanted, seen):
        self.share = min(self.share + STEP / IN, 1.0) if seen.time > SETTLING else 0.0
        coordinated = super()._rudder(wanted, seen)
        return coordinated + self.share * (self.command - coordinated)


def slip(airplane, cas_kt, command):
    """Mean of a steady slip with one rudder command; + is nose left."""
    eas = mps_from_kt(cas_kt)
    airplane.start(eas=eas, height=TEST_HEIGHT)
    pilot, looks = SlipPilot(airplane.sticks, command), []
    while airplane.last.time < SETTLING + IN + HELD:
        seen = airplane.last
        bank = max(min(-3.0 * seen.heading, 0.5), -0.5)  # steady once the bank balances the slip
        wanted = Wanted(airspeed=eas * seen.airspeed / seen.eas, bank=bank)
        looks.append(airplane.step(pilot.sticks(wanted, seen)))
    end = Look(*np.array(looks[-round(AVERAGED / STEP) :]).T)
    lift, drag = coefficients(end, MASS)
    return {
        "sideslip_deg": math.degrees(end.beta.mean()),
        "bank_deg": math.degrees(end.bank.mean()),
        "turn_degps": math.degrees(np.ptp(end.heading)) / AVERAGED,
        "sink": -np.mean(end.airspeed * np.sin(end.path_angle)),
        "drag": drag.mean(),
        "eas": end.eas.mean(),
    }


@pytest.fixture(scope="module")
def slips(airplane):
    """Slips by speed in kt and rudder command."""
    flown = {(kt, rudder): slip(airplane, kt, rudder) for kt in SPEEDS_KT for rudder in RUDDERS}
    return flown | {(70.0, -1.0): slip(airplane, 70.0, -1.0)}


def added(slips, cas_kt, rudder):
    """Drag coefficient that the slip adds, and the rise of the sink."""
    straight, slipping = slips[cas_kt, 0.0], slips[cas_kt, rudder]
    return slipping["drag"] - straight["drag"], slipping["sink"] / straight["sink"] - 1.0


@pytest.mark.parametrize("cas_kt", SPEEDS_KT)
def test_full_rudder_is_about_twelve_degrees_of_sideslip(slips, cas_kt):
    """The kit says 12 deg at every speed; and the speed and the track are held meanwhile."""
    assert slips[cas_kt, 1.0]["sideslip_deg"] == pytest.approx(12.0, abs=1.0)
    assert abs(slips[cas_kt, 0.0]["sideslip_deg"]) < 0.3  # feet still: no slip, rudder sign right
    assert slips[cas_kt, 1.0]["eas"] == pytest.approx(mps_from_kt(cas_kt), rel=0.01)
    assert slips[cas_kt, 1.0]["turn_degps"] < 0.05


@pytest.mark.parametrize("cas_kt", SPEEDS_KT)
def test_the_kits_full_slip_claims_no_more_than_the_reference(slips, cas_kt):
    """Within 25 % of its drag, on the careful side: nobody counts on height that does not go.

    The file raises the idle sink by 28 to 41 % here, flaps up; the kit's factor holds the 24 to
    38 % of an earlier comparison at another loading.
    """
    drag, rise = added(slips, cas_kt, 1.0)
    kit = slip_drag_coefficient(slips[cas_kt, 1.0]["sideslip_deg"])
    assert 0.75 < kit / drag <= 1.0
    assert 0.24 < rise < 0.45


@pytest.mark.parametrize("cas_kt", SPEEDS_KT)
def test_half_a_slip_is_where_the_two_differ(slips, cas_kt):
    """The file's table grows in proportion to sideslip, the kit's drag with its square.

    So at half rudder the kit claims about 40 % of what the file shows: careful again, and said
    to the learner as the least certain figure.
    """
    drag, _ = added(slips, cas_kt, 0.5)
    kit = slip_drag_coefficient(slips[cas_kt, 0.5]["sideslip_deg"])
    assert 0.35 < kit / drag < 0.65


def test_a_slip_to_the_other_side_is_the_same_with_the_other_wing_low(slips):
    """Nose left of the path goes with the right wing low, in the kit as in the file."""
    left, right = slips[70.0, 1.0], slips[70.0, -1.0]
    assert left["sideslip_deg"] > 0.0 and left["bank_deg"] > 0.0
    assert right["bank_deg"] == pytest.approx(-left["bank_deg"], abs=0.2)
    assert right["sink"] == pytest.approx(left["sink"], rel=0.02)
