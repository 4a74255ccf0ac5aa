"""Natural motions: the published sets, the scaled airplanes, and the motion itself linearised."""

import math

import numpy as np
import pytest

from lessonkit.models.lateral_airplane import derivatives_at, path_derivatives_at
from lessonkit.models.lateral_modes import lateral_matrix, lateral_modes, modes_of_set
from lessonkit.models.lateral_motion import LateralControls, derivatives
from lessonkit.models.lateral_sets import SETS, lift_coefficient_of_flight
from lessonkit.models.numeric import SCALAR
from lessonkit.units import STANDARD_GRAVITY, m_from_ft

from .common import SEA_LEVEL
from .lateral_cases import LEFT_ALONE, SPEEDS


def linearised(airplane, tas, density=SEA_LEVEL):
    """Rates per state of the motion flown, by central differences about straight flight."""
    held, small, columns = LateralControls(0.0, 0.0, tas, density), 1e-6, []
    for row in range(4):
        ends = []
        for way in (small, -small):
            state = [0.0] * 5
            state[row] = way
            ends.append(np.array(derivatives(state, held, airplane, None, SCALAR)[:4]))
        columns.append((ends[0] - ends[1]) / (2.0 * small))
    return np.array(columns).T


@pytest.mark.parametrize(
    ("key", "printed"),
    # Dimensional derivatives as Nelson prints them for set A, in 1/s and 1/s2 (from memory).
    [("A", {"y_beta": -0.254, "l_beta": -16.02, "l_p": -8.40, "n_beta": 4.488, "n_r": -0.760})],
)
def test_dimensional_derivatives_of_a_set(key, printed):
    s = SETS[key]
    m = lateral_matrix(s.derivatives, s.mass, s.wing_area, s.span, s.ix, s.iz, s.tas, s.density)
    found = {
        "y_beta": m[0, 0], "l_beta": m[1, 0], "l_p": m[1, 1], "n_beta": m[2, 0], "n_r": m[2, 2]
    }  # fmt: skip
    for name, value in printed.items():
        assert found[name] == pytest.approx(value, rel=0.015), name


@pytest.mark.parametrize(
    ("key", "roll", "dutch_roll_frequency", "damping"),
    # A: Nelson's worked modes; B: Roskam's (both from memory); C: computed elsewhere from the set.
    [("A", -8.43, None, None), ("B", -1.0 / 0.077, 3.245, 0.207), ("C", -7.41, None, None)],
)
def test_modes_of_the_published_sets(key, roll, dutch_roll_frequency, damping):
    modes = modes_of_set(SETS[key])
    assert modes.roll == pytest.approx(roll, rel=0.01)
    assert abs(modes.spiral) < 0.03
    if dutch_roll_frequency:
        assert modes.dutch_roll_frequency == pytest.approx(dutch_roll_frequency, rel=0.005)
        assert modes.dutch_roll_damping == pytest.approx(damping, rel=0.01)
    if key == "A":
        assert modes.dutch_roll.real == pytest.approx(-0.487, rel=0.005)


@pytest.mark.parametrize(("key", "within"), [("A", 0.02), ("B", 0.01)])
def test_weight_and_speed_of_a_set_give_its_printed_lift(key, within):
    """A slip in a conversion would show here."""
    assert lift_coefficient_of_flight(SETS[key]) == pytest.approx(
        SETS[key].lift_coefficient, rel=within
    )


@pytest.mark.parametrize("key", ["B", "C"])
@pytest.mark.parametrize("tas", [SPEEDS[0], SPEEDS[-1]])
def test_the_motion_linearised_has_the_modes_of_its_derivatives(key, tas):
    """Two ways to the same roots: the motion in body axes, and the textbook matrix along the path.

    Turning the axes turns the moments of inertia too.
    """
    one = LEFT_ALONE[key]
    cl = one.lift_coefficient(tas, SEA_LEVEL)
    s, c = math.sin(one.alpha(cl)), math.cos(one.alpha(cl))
    inertia = {
        "ix": one.ix * c * c + one.iz * s * s,
        "iz": one.iz * c * c + one.ix * s * s,
        "ixz": (one.ix - one.iz) * s * c,
    }
    d = path_derivatives_at(one, cl)
    textbook = lateral_modes(
        lateral_matrix(d, one.mass, one.wing_area, one.span, tas=tas, density=SEA_LEVEL, **inertia)
    )
    flown = lateral_modes(linearised(one, tas))
    assert flown.roll == pytest.approx(textbook.roll, rel=1e-6)
    assert flown.dutch_roll == pytest.approx(textbook.dutch_roll, rel=1e-6)
    assert flown.spiral == pytest.approx(textbook.spiral, rel=1e-4, abs=1e-7)


def test_at_its_own_flight_an_airplane_of_a_sets_size_has_the_sets_modes():
    from lessonkit.models.lateral_airplane import scaled
    from lessonkit.models.parameters import Parameters

    b = SETS["B"]
    same = scaled(b, Parameters(b.mass, b.wing_area, b.span, 2.0, (0.0,), (0.03,), (0.7,), (1.5,)))
    flown, published = lateral_modes(linearised(same, b.tas, b.density)), modes_of_set(b)
    assert flown.roll == pytest.approx(published.roll, rel=1e-3)
    assert flown.dutch_roll == pytest.approx(published.dutch_roll, rel=1e-3)
    assert flown.spiral == pytest.approx(published.spiral, rel=0.01)


@pytest.mark.parametrize("key", ["B", "C"])
def test_nothing_diverges_fast_at_any_speed(key):
    """Roll fast, dutch roll damped, spiral slow enough for hands (MIL-F-8785C, from memory).

    Light airplane: roll time constant below 1.4 s, dutch roll damping above 0.08; a spiral that
    doubles in 12 s or more is good, in 4 s or less beyond what is called controllable. At 55 kt,
    just above the stall, the kit's lies between.
    """
    for tas in SPEEDS:
        modes = lateral_modes(linearised(LEFT_ALONE[key], tas))
        assert modes.roll_time_constant < 1.0
        assert modes.dutch_roll_damping > 0.15 and modes.dutch_roll_frequency > 1.0
        assert modes.spiral < math.log(2.0) / 6.0
        if tas > SPEEDS[1]:
            assert modes.spiral < math.log(2.0) / 12.0


def test_turning_the_axes_there_and_back_changes_nothing():
    one = LEFT_ALONE["B"]
    along, body = path_derivatives_at(one, 1.1), derivatives_at(one, 1.1)
    # the trace of the damping matrix does not depend on the axes
    assert body.cl_p + body.cn_r == pytest.approx(along.cl_p + along.cn_r, rel=1e-12)
    assert body.cl_r - body.cn_p == pytest.approx(along.cl_r - along.cn_p, rel=1e-12)
    size = math.hypot(body.cl_rudder, body.cn_rudder)
    assert size == pytest.approx(math.hypot(along.cl_rudder, along.cn_rudder), rel=1e-12)
    assert body.cn_p < along.cn_p  # about the body's axis a roll yaws more


def test_no_oscillation_is_one_sentence():
    with pytest.raises(ValueError, match="dutch roll"):
        lateral_modes(np.diag([-1.0, -2.0, -3.0, -4.0]))


def test_unit_of_inertia():
    """One slug ft2 is 1.3558 kg m2 (from memory)."""
    assert SETS["A"].ix / 1048.0 == pytest.approx(1.3558, rel=1e-4)
    assert SETS["A"].span == pytest.approx(33.4 * m_from_ft(1.0))
    assert STANDARD_GRAVITY / SETS["A"].tas == pytest.approx(32.174 / 176.0, rel=1e-4)
