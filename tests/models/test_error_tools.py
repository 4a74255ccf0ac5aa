"""What a tool is worth: flown with and without, from any moment of the approach."""

import math
from dataclasses import replace

import numpy as np
import pytest

from lessonkit.models.error_tools import (
    ToolPilot,
    greatest_allowed,
    state_at,
    tool_plan,
    try_tool,
)
from lessonkit.models.power_off_approach import fly
from lessonkit.models.wind_profile import Wind
from lessonkit.units import m_from_ft

from .approach_cases import TRAINER
from .test_slip import BREEZE, exact_touchdown_of
from .test_slip import PLAN as SLIP_PLAN

PLAN = tool_plan(SLIP_PLAN)
HALF_WIDTH = 9.0


@pytest.fixture(scope="module")
def without():
    return fly(PLAN, TRAINER, BREEZE, pilot=ToolPilot)


def moved(without, **changes):
    result = try_tool(without, replace(PLAN, **changes), TRAINER, BREEZE, HALF_WIDTH)
    assert result.in_line
    assert result.moved == result.approach.touchdown.x - without.touchdown.x
    return result.moved


def test_no_change_moves_nothing(without):
    assert moved(without) == 0.0


def test_which_way_each_tool_moves_the_touchdown(without):
    height = m_from_ft(450.0)
    slip = moved(without, slip_rudder=1.0, slip_from_height=height, slip_to_height=30.0)
    flap = moved(without, more_flap_deg=30.0, more_flap_from_height=height)
    assert slip < 0.0 and flap < 0.0
    assert moved(without, base_turn_delay=3.0) < 0.0 < moved(without, base_turn_delay=-3.0)
    assert moved(without, final_turn_delay=-2.0) > 0.0
    assert moved(without, final_flap_deg=10.0) > 0.0


def test_a_later_base_turn_is_worth_the_ground_flown_out_and_back(without):
    """Three seconds out and the same way back, as the height for it is gone: about two legs.

    By hand: 3 s at 36 m/s, less and more the wind, is 106 m out; back takes the height that
    106 m out and 106 m back cost, so the touchdown comes some 2 * 106 m short.
    """
    assert moved(without, base_turn_delay=3.0) == pytest.approx(-2.0 * 106.0, rel=0.15)


def test_flap_earlier_is_worth_more_and_flaps_are_never_retracted(without):
    early = moved(without, more_flap_deg=30.0, more_flap_from_height=m_from_ft(600.0))
    late = moved(without, more_flap_deg=30.0, more_flap_from_height=m_from_ft(200.0))
    assert early < late < 0.0
    assert moved(without, more_flap_deg=10.0, more_flap_from_height=m_from_ft(200.0)) == 0.0
    plan = replace(PLAN, more_flap_deg=30.0, more_flap_from_height=m_from_ft(300.0))
    lever = fly(plan, TRAINER, BREEZE, pilot=ToolPilot).history.flap_lever_deg
    assert np.all(np.diff(lever) > -1e-9) and lever[-1] == pytest.approx(30.0)


def test_a_flight_goes_on_from_any_moment(without):
    """From the state at 20 s it touches where it would have, and so much farther when higher."""
    again = fly(PLAN, TRAINER, BREEZE, pilot=ToolPilot, start=state_at(without, 20.0))
    assert again.touchdown.x == pytest.approx(without.touchdown.x, abs=0.3)
    higher = state_at(without, 20.0, raised=30.0)
    raised = fly(PLAN, TRAINER, BREEZE, pilot=ToolPilot, start=higher)
    # The trainer glides some 8 to 10 : 1 with the flaps of this plan, less the headwind.
    assert 6.0 < (raised.touchdown.x - again.touchdown.x) / 30.0 < 9.5


def test_below_the_ground_is_refused(without):
    with pytest.raises(ValueError, match="smaller error"):
        state_at(without, 40.0, raised=-400.0)


def test_not_in_line_has_no_worth(without):
    result = try_tool(without, replace(PLAN, final_turn_delay=20.0), TRAINER, BREEZE, HALF_WIDTH)
    assert not result.in_line and math.isnan(result.moved)


def test_all_tools_at_once_converge_to_an_eighth_order_solution():
    plan = replace(
        PLAN,
        slip_rudder=0.8,
        slip_from_height=m_from_ft(250.0),
        slip_to_height=m_from_ft(80.0),
        s_turn_deg=15.0,
        s_turn_from_height=m_from_ft(500.0),
        s_turn_back_height=m_from_ft(430.0),
        s_turn_again_height=m_from_ft(430.0),
        more_flap_deg=30.0,
        more_flap_from_height=m_from_ft(300.0),
    )
    exact = exact_touchdown_of(plan, ToolPilot, Wind())
    off = fly(plan, TRAINER, Wind(), pilot=ToolPilot).touchdown.x - exact
    assert abs(off) < m_from_ft(0.5)


@pytest.mark.parametrize("limit", range(7))
def test_greatest_allowed_is_what_a_walk_through_finds(limit):
    values = [1, 2, 3, 4, 5]
    walked = max((value for value in values if value <= limit), default=None)
    assert greatest_allowed(values, lambda value: value <= limit) == walked
