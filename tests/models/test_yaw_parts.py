"""The yawing moments by cause add up to the moment that the motion itself has."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.airplane import built_in_cards, fit_airplane
from lessonkit.models.lateral_motion import STRAIGHT, LateralControls, LateralState, lateral_rates
from lessonkit.models.numeric import SCALAR
from lessonkit.models.yaw_parts import yaw_parts

AIRPLANES = [fit_airplane(card).lateral() for card in built_in_cards().values()]
SHARE, RATE = st.floats(-1.0, 1.0), st.floats(-0.5, 0.5)


@settings(max_examples=30, deadline=None, derandomize=True)
@given(
    which=st.integers(0, len(AIRPLANES) - 1),
    state=st.builds(LateralState, st.floats(-0.2, 0.2), RATE, RATE, st.floats(-0.7, 0.7),
                    st.just(0.0)),
    controls=st.builds(LateralControls, SHARE, SHARE, st.floats(27.0, 60.0), st.just(1.225),
                       st.floats(0.0, 1.0)),
    held=SHARE,
)  # fmt: skip
def test_parts_add_up_to_the_yaw_across_the_path(which, state, controls, held):
    """Against r' and p' of the motion, turned into axes along the path."""
    airplane = AIRPLANES[which]
    rates = lateral_rates(state, controls, airplane, SCALAR)
    load = rates.load_factor
    alpha = airplane.alpha(airplane.lift_coefficient(controls.tas, controls.density, load))
    whole = airplane.iz * rates.yaw_rate * math.cos(alpha)
    whole -= airplane.ix * rates.roll_rate * math.sin(alpha)
    # Full pedal's own moment, by pressing it: the difference that the motion makes of it.
    pressed = lateral_rates(
        state, controls._replace(rudder=controls.rudder + 1.0), airplane, SCALAR
    )
    pedal = airplane.iz * (pressed.yaw_rate - rates.yaw_rate) * math.cos(alpha)
    pedal -= airplane.ix * (pressed.roll_rate - rates.roll_rate) * math.sin(alpha)
    parts = yaw_parts(airplane, state, controls, held, SCALAR)
    assert sum(parts) == pytest.approx(whole / pedal, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("airplane", AIRPLANES)
def test_each_cause_pulls_its_own_way(airplane):
    controls = LateralControls(0.5, 0.2, 33.0, 1.225)
    rolling = LateralState(0.05, 0.3, 0.1, 0.0, 0.0)
    parts = yaw_parts(airplane, rolling, controls, functions=SCALAR)
    assert parts.aileron < 0.0, "right aileron drags the nose left"
    assert parts.roll_rate < 0.0, "the roll to the right swings it left too"
    assert parts.sideslip > 0.0, "wind from the right: the fin turns the nose right"
    assert parts.yaw_rate < 0.0, "a yaw to the right is damped"
    assert parts.rudder == pytest.approx(0.2)
    slow = yaw_parts(airplane, STRAIGHT, controls._replace(tas=28.0), functions=SCALAR)
    fast = yaw_parts(airplane, STRAIGHT, controls._replace(tas=55.0), functions=SCALAR)
    assert slow.aileron < fast.aileron < 0.0, "adverse yaw grows in pedal as the airplane slows"
