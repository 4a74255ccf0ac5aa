"""From a card to the roll-yaw motion: the set, what is typed, what is estimated and said."""

import pytest
from airplane_cards import card

from lessonkit.airplane.airplane import fit_airplane
from lessonkit.airplane.card import CardError
from lessonkit.airplane.library import built_in_card, built_in_keys
from lessonkit.airplane.reading import card_from_text
from lessonkit.airplane.writing import card_to_toml
from lessonkit.models.lateral_motion import STRAIGHT, LateralControls, lateral_rates
from lessonkit.models.lateral_run import coordinated_run, settled_rudder
from lessonkit.models.lateral_sets import SETS
from lessonkit.models.numeric import SCALAR
from lessonkit.units import mps_from_kt

SEA_LEVEL = 1.225


def said(airplane):
    return " ".join(one.sentence for one in airplane.coordination_estimates)


@pytest.mark.parametrize(("wing", "key"), [("high", "B"), ("low", "C")])
def test_the_set_goes_with_the_wing_and_is_named(wing, key):
    airplane = fit_airplane(card(airplane__wing=wing))
    lateral = airplane.lateral()
    assert lateral.set_key == key and lateral.reference_cl == SETS[key].lift_coefficient
    assert {"B": "Roskam", "C": "Seckel"}[key] in said(airplane)
    assert set(airplane.coordination_estimates) <= set(airplane.estimates)


def test_size_and_weight_are_the_cards():
    airplane = fit_airplane(card())
    light, heavy = airplane.lateral(800.0), airplane.lateral(1000.0)
    assert (light.mass, heavy.mass) == (800.0, 1000.0)
    assert airplane.lateral().mass == airplane.mass_today
    assert heavy.ix / light.ix == pytest.approx(1.25)
    assert light.span == airplane.card.value("wing.span")
    assert light.cl_max == airplane.parameters().cl_max[0]


def test_what_is_typed_counts_and_is_no_estimate():
    plain = fit_airplane(card())
    typed = fit_airplane(card(coordination__adverse_yaw=0.2, coordination__full_rudder_sideslip=15))
    assert plain.lateral().adverse_yaw_factor == 0.12
    assert typed.lateral().adverse_yaw_factor == 0.2
    assert plain.full_rudder_sideslip_deg == 12.0 and typed.full_rudder_sideslip_deg == 15.0
    ratio = typed.lateral().full_rudder_deg / plain.lateral().full_rudder_deg
    assert 1.1 < ratio < 1.25  # 15/12 less what the opposite aileron's stronger yaw does
    assert "0.12" in said(plain) and "12" in said(plain)
    assert "0.12" not in said(typed) and "of sideslip" not in said(typed)


@pytest.mark.parametrize("line", ["adverse_yaw", "full_rudder_sideslip"])
def test_unbelievable_figures_are_refused_with_the_reason(line):
    with pytest.raises(CardError, match="between") as raised:
        card(**{f"coordination__{line}": 40})
    assert str(raised.value).count(". ") == 0


def test_lines_survive_writing_and_reading():
    written = card_to_toml(
        card(
            propeller__turns="counterclockwise",
            coordination__adverse_yaw=0.15,
            coordination__full_rudder_sideslip=14,
        )
    )
    again = card_from_text(written)
    assert again.text("propeller.turns") == "counterclockwise"
    assert again.value("coordination.adverse_yaw") == 0.15
    assert again.value("coordination.full_rudder_sideslip") == 14.0


def test_the_propeller_pulls_left_unless_it_turns_the_other_way():
    slow = LateralControls(0.0, 0.0, mps_from_kt(60.0), SEA_LEVEL, 1.0)
    engine = {"engine__power": 160, "engine__cruise_rpm": 2450, "propeller__diameter": 6.2}
    left = fit_airplane(card(**engine))
    right = fit_airplane(card(**engine, propeller__turns="counterclockwise"))
    assert settled_rudder(left.lateral(), STRAIGHT, slow) > 0.1
    assert settled_rudder(right.lateral(), STRAIGHT, slow) < -0.1
    assert "counterclockwise" in said(right) and "clockwise" in said(left)
    without = fit_airplane(card())
    assert without.lateral().propeller is None and "yaws nothing" in said(without)


@pytest.mark.parametrize("key", built_in_keys())
def test_each_invented_airplane_rolls_as_an_airplane_does(key):
    """No pedal in cruise; some right pedal slow with full power; a clean roll within the stops."""
    airplane = fit_airplane(built_in_card(key))
    one = airplane.lateral()
    slow = 1.3 * airplane.stall_cas(0.0)
    climbing = LateralControls(0.0, 0.0, slow, SEA_LEVEL, 1.0)
    assert 0.1 < settled_rudder(one, STRAIGHT, climbing) < 0.5
    idle = LateralControls(0.0, 0.0, slow, SEA_LEVEL, 0.0)
    assert -0.3 < settled_rudder(one, STRAIGHT, idle) < 0.0
    run = coordinated_run(one, [0.5] * 60, slow)
    assert 0.2 < run.rudder.max() <= 1.0 and run.bank_deg[-1] > 5.0
    full = lateral_rates(STRAIGHT, LateralControls(1.0, 0.0, slow, SEA_LEVEL), one, SCALAR)
    assert 1.0 < full.roll_rate < 6.0  # rad/s2: a roll rate is there within half a second
