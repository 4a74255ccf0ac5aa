"""Turns with too much or too little rudder: ball, rate and which wing is nearer the stall."""

from dataclasses import replace

import numpy as np
import pytest

from lessonkit.models.lateral_airplane import scaled
from lessonkit.models.lateral_sets import SETS
from lessonkit.models.parameters import Parameters
from lessonkit.models.steady_flight import steady_flight
from lessonkit.models.turning import ball_angle_deg, rate_of_turn_dps
from lessonkit.models.wing_margins import DIHEDRAL_DEG, steady_turn, wing_margins
from lessonkit.units import mps_from_kt

LIGHT = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
PLAIN = scaled(SETS["B"], LIGHT)
SIXTY = mps_from_kt(60.0)


def turn(bank_deg=30.0, tas=SIXTY, **given):
    return steady_turn(PLAIN, tas, bank_deg, **given)


@pytest.mark.parametrize("bank_deg", [-20.0, -10.0, 10.0, 20.0])
@pytest.mark.parametrize("sideslip_deg", [-6.0, 0.0, 6.0])
def test_ball_follows_from_bank_and_turn_rate(bank_deg, sideslip_deg):
    # ball = bank - arctan(V omega / g), the balance of forces (lessonkit.models.turning); 0.4 deg:
    # the pilot of the motion pulls 1 / cos(bank) whatever the side force, so that a slipping turn
    # is not quite level; the effect grows with bank
    flight = turn(bank_deg, 36.0, sideslip_deg=sideslip_deg).flight
    expected = ball_angle_deg(36.0, bank_deg, flight.turn_rate_dps)
    assert flight.ball_deg == pytest.approx(float(expected), abs=0.4)


@pytest.mark.parametrize("bank_deg", [-30.0, 15.0, 30.0])
def test_coordinated_turn_has_the_rate_of_the_handbook(bank_deg):
    # FAA-H-8083-25: g tan(bank) / V (from memory); 3 %: no sideslip is not quite a centred ball
    flight = turn(bank_deg).coordinated
    assert flight.turn_rate_dps == pytest.approx(float(rate_of_turn_dps(SIXTY, bank_deg)), rel=0.03)
    assert flight.sideslip_deg == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_too_much_inside_rudder_is_a_skid(side):
    held = turn(side * 30.0).coordinated.rudder
    skid = turn(side * 30.0, rudder=held + side * 0.4)
    assert skid.ball_to_inside_deg < -0.5  # the ball goes to the outside
    assert side * skid.flight.sideslip_deg < -1.0  # nose inside its path
    assert abs(skid.flight.turn_rate_dps) > abs(skid.coordinated.turn_rate_dps)
    assert side * skid.flight.aileron < side * skid.coordinated.aileron  # hands hold the bank
    assert side * skid.flight.lateral_load > 0.0  # pressed from outside: one leans outward


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_too_little_inside_rudder_is_a_slip(side):
    held = turn(side * 30.0).coordinated.rudder
    slip = turn(side * 30.0, rudder=held - side * 0.4)
    assert slip.ball_to_inside_deg > 0.5
    assert side * slip.flight.sideslip_deg > 1.0
    assert abs(slip.flight.turn_rate_dps) < abs(slip.coordinated.turn_rate_dps)


def test_a_skid_takes_margin_from_the_inside_wing_and_a_slip_gives_some_back():
    differences = [
        turn(sideslip_deg=beta).wings.difference_deg for beta in (-8.0, -4.0, 0.0, 4.0, 8.0)
    ]
    assert np.all(np.diff(differences) < 0.0)
    assert turn(sideslip_deg=-8.0).wings.nearer == "right"


def test_left_and_right_turns_are_mirrored():
    one, other = turn(30.0, sideslip_deg=-5.0), turn(-30.0, sideslip_deg=5.0)
    assert one.wings.left_deg == pytest.approx(other.wings.right_deg)
    assert one.flight.aileron == pytest.approx(-other.flight.aileron)
    assert (one.inside, other.inside) == ("right", "left")


def test_parts_of_the_margin():
    wings = turn(sideslip_deg=-5.0).wings
    parts = wings.yaw_deg + wings.roll_deg + wings.dihedral_deg + wings.aileron_deg
    assert wings.right_deg == pytest.approx(wings.middle_deg - parts)
    assert wings.left_deg == pytest.approx(wings.middle_deg + parts)
    assert wings.yaw_deg > 0.0  # the inside wing meets slower air
    assert wings.aileron_deg > 0.0  # its aileron hangs down to hold the bank
    # nose right of the path, wind from the left: the right wing of a dihedral has less. By hand:
    # 2 deg in rad x -5 deg = -0.175 deg
    assert wings.dihedral_deg == pytest.approx(-0.1745, abs=1e-3)


def test_yaw_part_by_hand():
    # alpha = (CL - CLref) / a, r = omega cos(bank), y = 0.75 x 5.5 m at 36 m/s: see the numbers
    flight = turn(30.0, 36.0).coordinated
    alpha_deg = np.degrees((flight.lift_coefficient - 0.307) / 4.41)
    slower = np.radians(flight.turn_rate_dps) * np.cos(np.radians(30.0)) * 4.125 / 36.0
    wings = turn(30.0, 36.0).coordinated_wings
    assert wings.yaw_deg == pytest.approx(alpha_deg * slower * (PLAIN.span / 11.0), rel=0.01)


def test_at_the_greatest_lift_no_margin_is_left():
    slow = np.sqrt(PLAIN.weight / (0.5 * 1.225 * 16.0 * PLAIN.cl_max))
    level = steady_flight(PLAIN, float(slow), straight=True, sideslip=0.0)
    assert wing_margins(PLAIN, level, float(slow)).middle_deg == pytest.approx(0.0, abs=1e-6)


def test_a_descending_turn_brings_the_inside_wing_nearer():
    down, level = (turn(path_angle_deg=angle).wings for angle in (-6.0, 0.0))
    assert down.right_deg < level.right_deg


def test_small_differences_are_not_called():
    level = steady_flight(PLAIN, 36.0, straight=True, sideslip=0.0)
    assert wing_margins(PLAIN, level, 36.0).nearer == "neither"
    left = replace(turn(-30.0, sideslip_deg=8.0).wings)
    assert left.nearer == "left"


def test_dihedral_by_wing_position_and_refusals():
    assert DIHEDRAL_DEG["low"] > DIHEDRAL_DEG["high"]
    with pytest.raises(ValueError, match="one of the two"):
        turn(rudder=0.1, sideslip_deg=2.0)
    with pytest.raises(ValueError, match="60"):
        turn(75.0)
