"""The kit's power-off approach against the 6-DoF reference airplane on the same schedule.

An autopilot flies the reference airplane with the bank, the speed and the flaps that the kit's
approach has against time. Height, time and place then are its own. The kit's airplane comes from
a card with figures measured on the reference, as a learner would calibrate it.

The comparison begins abeam, level, with the propeller at idle, and ends at the round-out height:
below it speed follows height, and a schedule against time would compare two pilots instead of two
airplanes. From there to the ground both have the same pilot, the kit's. The seconds that a
propeller takes to slow down from cruise are left out; they are worth about 17 ft of height.
"""

import math
from typing import NamedTuple

import numpy as np
import pytest

from lessonkit.models.power_off_approach import fly
from lessonkit.models.power_off_pilot import ApproachPlan
from lessonkit.models.wind_profile import Wind
from lessonkit.units import ft_from_m, kt_from_mps, m_from_ft, mps_from_kt
from sixdof.approach import (
    Descent,
    fed_heights,
    level_at_idle,
    path_length,
    point_mass_descent,
    reference_descent,
    reference_touchdown,
)
from sixdof.card import airplane_of
from sixdof.reference import ELEVATION, MASS, STEP, Look

pytestmark = pytest.mark.sixdof

# Wind at 10 m along and across [kt], and what the plan changes. A head wind is negative along,
# wind from the left of final positive across.
CASES = {
    "still air": (0.0, 0.0, {}),
    "head wind": (-10.0, 0.0, {}),
    "strong head wind, steep turns": (
        -15.0,
        0.0,
        {"bank_deg": 40.0, "base_turn_distance": m_from_ft(1000.0)},
    ),
    "tail wind": (5.0, 0.0, {}),
    "wind from the left, flat turns": (0.0, 10.0, {"bank_deg": 20.0}),
    "wind from the right": (-5.0, -10.0, {}),
    "right traffic, flaps up": (
        -8.0,
        5.0,
        {
            "side": -1.0,
            "base_flap_deg": 0.0,
            "final_flap_deg": 0.0,
            "downwind_cas": mps_from_kt(76.0),
            "base_cas": mps_from_kt(74.0),
            "final_cas": mps_from_kt(72.0),
        },
    ),
}


def plan_of(kit, **changes):
    """An approach at the card's own speeds: 1.4 VS0, on final 1.3 VS0."""
    return ApproachPlan(
        **{
            "abeam_distance": m_from_ft(3000.0),
            "abeam_height": m_from_ft(1000.0),
            "base_turn_distance": m_from_ft(1500.0),
            "entry_cas": mps_from_kt(78.0),
            "downwind_cas": kit.approach_cas("downwind"),
            "base_cas": kit.approach_cas("base"),
            "final_cas": kit.approach_cas("final"),
            "touchdown_cas": 1.15 * kit.stall_cas(30.0),
            "base_flap_deg": 10.0,
            "final_flap_deg": 30.0,
        }
        | changes
    )


FLAPS_UP = {"base_flap_deg": 0.0, "final_flap_deg": 0.0}


class Both(NamedTuple):
    """One approach by both airplanes, and on what both rest."""

    plan: ApproachPlan
    wind: Wind
    parameters: object
    ours: Descent
    theirs: Look
    autopilot: object

    @property
    def off(self):
        """Distance between the places where both are at the round-out height. [m]"""
        return math.hypot(self.ours.x[-1] - self.theirs.x[-1], self.ours.y[-1] - self.theirs.y[-1])

    @property
    def height_error(self):
        """Greatest error of the point mass fed with what the reference really flew. [m]"""
        fed = fed_heights(self.theirs, self.parameters, self.wind)
        return np.abs(fed - self.theirs.height).max()


def fly_both(airplane, kit, along_kt=0.0, across_kt=0.0, propeller="idle", **changes):
    wind = Wind(mps_from_kt(along_kt), mps_from_kt(across_kt), elevation=ELEVATION)
    autopilot, plan = level_at_idle(airplane, plan_of(kit, **changes), wind)
    parameters = kit.parameters(mass=MASS, propeller=propeller)
    ours = point_mass_descent(plan, parameters, wind)
    theirs = reference_descent(airplane, autopilot, ours, plan)
    return Both(plan, wind, parameters, ours, theirs, autopilot)


@pytest.fixture(scope="module", params=CASES, ids=lambda name: name.replace(" ", "_"))
def both(request, airplane, measured):
    along_kt, across_kt, changes = CASES[request.param]
    flown = fly_both(airplane, airplane_of(measured), along_kt, across_kt, **changes)
    landing = reference_touchdown(
        airplane, flown.autopilot, flown.plan, flown.parameters, flown.wind
    )
    return flown, landing


def test_the_reference_flew_the_schedule(both):
    """Guard of the comparison: bank within 2 degrees, speed within 2 kt, no sideslip.

    A rudder of the wrong sign alone would cost a quarter of the glide without any error shown.
    """
    flown, landing = both
    ours, theirs = flown.ours, flown.theirs
    speed = np.interp(theirs.time, ours.time, ours.cas)
    bank = np.interp(theirs.time, ours.time, ours.bank)
    assert kt_from_mps(np.abs(theirs.eas - speed).max()) < 2.0
    assert math.degrees(np.abs(theirs.bank - bank).max()) < 2.0
    assert math.degrees(np.abs(theirs.beta).max()) < 1.0
    assert math.degrees(np.abs(landing.beta).max()) < 1.0
    assert math.degrees(np.abs(ours.bank).max()) > 18.0


def test_time_and_distance(both):
    """Abeam to the round-out height: way over the ground within 3 %, time within 4 %.

    The tolerances are those of a point mass whose drag is a parabola through one glide per flap
    setting; they are what the kit promises for such an approach.
    """
    flown, _ = both
    assert path_length(flown.ours) == pytest.approx(path_length(flown.theirs), rel=0.03)
    assert flown.ours.time[-1] == pytest.approx(flown.theirs.time[-1], rel=0.04)


def test_place_at_the_round_out_height(both):
    """Within 400 ft, along and across together.

    400 ft is the band that the kit draws around a touchdown (`approach_review`): 51 ft of height
    at 7.8 : 1. Most of what is found lies across: at zero sideslip the reference keeps a side
    force in its turns and turns some degrees less for the same bank.
    """
    flown, _ = both
    assert ft_from_m(flown.off) < 400.0


def test_touchdown(both):
    """Touchdown within 400 ft, time since abeam within 4 %, speed within 4 kt, float within 100 ft.

    The float is the way from the round-out height to the touchdown. The reference has its own
    ground effect there (on drag and lift, from a table in its file) and follows the pull that the
    kit's pilot asks for as well as its elevator can.
    """
    flown, landing = both
    touchdown = fly(flown.plan, flown.parameters, flown.wind).touchdown
    off = math.hypot(touchdown.x - landing.x[-1], touchdown.y - landing.y[-1])
    assert ft_from_m(off) < 400.0
    assert touchdown.time == pytest.approx(landing.time[-1], rel=0.04)
    our_float, their_float = touchdown.x - flown.ours.x[-1], landing.x[-1] - landing.x[0]
    assert our_float == pytest.approx(their_float, abs=m_from_ft(100.0))
    assert touchdown.calibrated_airspeed == pytest.approx(landing.eas[-1], abs=mps_from_kt(4.0))


def test_height_from_the_same_histories(both):
    """The point mass fed with the speed, bank and flaps that the reference really had.

    What is left is drag, load factor and wind alone. Tolerance 25 ft of 950 ft, all the way down.
    """
    flown, _ = both
    assert ft_from_m(flown.height_error) < 25.0


def test_a_card_without_glides_with_flaps(airplane, measured):
    """A handbook's figures only: best glide flaps up, the kit's rule of thumb for the flaps.

    Same tolerances. The rule comes from this very file, so for another airplane this shows no more
    than that nothing is lost on the way from the rule to the approach.
    """
    flown = fly_both(airplane, airplane_of(measured, with_flap_glides=False), along_kt=-10.0)
    assert path_length(flown.ours) == pytest.approx(path_length(flown.theirs), rel=0.03)
    assert ft_from_m(flown.off) < 400.0


def test_flaps_up_and_slow_is_outside_the_tolerance(airplane, measured):
    """The limit of the claim: flaps up at 1.26 and 1.17 times the stall speed, 30 degrees of bank.

    A parabola through best glide gives too little drag below that speed, so the kit's airplane
    glides too far, by 3 to 8 %. Who mends that may move these bounds.
    """
    flown = fly_both(airplane, airplane_of(measured), **FLAPS_UP)
    assert 1.03 < path_length(flown.ours) / path_length(flown.theirs) < 1.08
    assert 400.0 < ft_from_m(flown.off) < 800.0


def test_a_wrong_airplane_would_be_seen(airplane, measured):
    """The same comparison with the wrong propeller state on the card's airplane.

    A propeller that neither pulls nor brakes glides 8 % further than an idling one by the kit's
    own rule. The tolerances above have to refuse that, else they prove nothing.
    """
    flown = fly_both(airplane, airplane_of(measured), propeller="zero thrust")
    assert path_length(flown.ours) > 1.03 * path_length(flown.theirs)
    assert ft_from_m(flown.height_error) > 25.0


def test_the_wind_of_the_reference_is_the_kits(airplane, measured):
    """Guard: ground speed of the reference in a wind, against airspeed, heading and wind law."""
    wind = Wind(along=-5.0, across=4.0, elevation=ELEVATION)
    _, plan = level_at_idle(airplane, plan_of(airplane_of(measured)), wind)
    before, seen = airplane.last, airplane.step(airplane.sticks)
    assert (seen.x - before.x) / STEP == pytest.approx(seen.x_rate, abs=0.05)
    forward = seen.airspeed * math.cos(seen.path_angle)
    factor = ((plan.abeam_height + 2.0) / 10.0) ** (1.0 / 7.0)
    assert seen.x_rate - forward * math.cos(seen.heading) == pytest.approx(-5.0 * factor, abs=0.1)
    assert seen.y_rate - forward * math.sin(seen.heading) == pytest.approx(4.0 * factor, abs=0.1)
