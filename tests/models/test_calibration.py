"""The calibration: limits, an independent solution, shrinking, contradiction, coverage."""

import math
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import least_squares

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY, standard_density, standard_temperature
from lessonkit.models.calibration import (
    BAND_BEFORE,
    DRAG,
    FLAP_DRAG,
    LEAST_BAND,
    MODEL_SPREAD,
    RPM_PER_KT,
    TOUCHDOWN,
    Measurement,
    belief_before,
    calibrated,
    slopes_of,
    touchdown_band,
    updated,
)
from lessonkit.models.calibration_glide import (
    TimedGlide,
    glide_measurement,
    rpm_measurement,
    timed_sink,
    with_drag,
)
from lessonkit.models.calibration_touchdown import (
    PLACE_SPREADS,
    ObservedTouchdown,
    computed_touchdown,
    place_errors,
    touchdown_measurement,
)
from lessonkit.models.drag import drag_coefficient, lift_coefficient, polar_at_flap
from lessonkit.models.parameters import Parameters
from lessonkit.models.power_off_pilot import ApproachPlan
from lessonkit.models.propeller import rpm_at_fixed_throttle
from lessonkit.models.wind_profile import Wind
from lessonkit.units import STANDARD_GRAVITY, ft_from_m, m_from_ft, mps_from_kt

quick = settings(max_examples=25, deadline=None, derandomize=True)
AIRPLANE = Parameters(
    *(1000.0, 16.2, 11.0, 2.0),
    *((0.0, 10.0, 30.0), (0.042, 0.048, 0.065), (0.72, 0.72, 0.72), (1.5, 1.7, 2.0)),
)
PLAN = ApproachPlan(
    *(m_from_ft(3000.0), m_from_ft(1000.0), m_from_ft(1000.0)),
    *(38.0, 35.0, 35.0, 32.0, 28.0),
    base_flap_deg=10.0,
    final_flap_deg=30.0,
)
GLIDE = TimedGlide(35.0, m_from_ft(2000.0), 170.0, 0.0, m_from_ft(3000.0), 282.2)
BEFORE = belief_before()


@cache
def slopes(plan=PLAN):
    return slopes_of(computed_touchdown(AIRPLANE, plan, Wind()), BEFORE.mean)[1]


@cache  # a measurement remembers the approaches that it flew
def measurements():
    return {
        "glide": glide_measurement(AIRPLANE, GLIDE, "glide"),
        "one": touchdown_measurement(AIRPLANE, ObservedTouchdown(PLAN, Wind(), 0.0), "one"),
        "other": touchdown_measurement(
            AIRPLANE, ObservedTouchdown(PLAN, Wind(along=-3.0), 0.0), "other"
        ),
        "rpm": rpm_measurement(31.0, 2200.0, 46.0, 2400.0, "rpm"),
    }


def seen_with(truth, keys=("glide", "one", "other"), share=1.0):
    """Measurements without errors of an airplane with these unknowns; spreads times a share."""
    made = measurements()
    return [
        Measurement(key, made[key].predict(truth), share * made[key].spread, made[key].predict)
        for key in keys
    ]


# Limits ---------------------------------------------------------------------------------------


def test_the_band_before_is_the_one_that_is_shown():
    """400 ft from 1,000 ft with landing flaps, within 10 %: the spreads were derived from it."""
    assert touchdown_band(slopes(), BEFORE.covariance) == pytest.approx(BAND_BEFORE, rel=0.1)


def test_without_observations_nothing_is_known():
    found = calibrated([])
    assert found.belief.mean.tolist() == BEFORE.mean.tolist()
    assert found.belief.covariance.tolist() == BEFORE.covariance.tolist()
    assert found.steps == () and found.refused == ()


def test_perfect_observations_give_the_truth():
    """Glides with both flap settings, a touchdown and a pair of readings fix four unknowns."""
    truth = np.array([0.03, -0.02, 25.0, 6.0])
    made = seen_with(truth, ("glide", "one", "rpm"), share=1e-4)
    landing = glide_measurement(
        AIRPLANE, TimedGlide(33.0, 600.0, 120.0, 30.0, 900.0, 282.2), "landing"
    )
    made.append(Measurement("landing", landing.predict(truth), 1e-4, landing.predict))
    found = calibrated(made)
    assert found.refused == ()
    assert found.belief.mean == pytest.approx(truth, rel=0.02, abs=5e-4)
    assert touchdown_band(slopes(), found.belief.covariance) == LEAST_BAND


# An independent solution ----------------------------------------------------------------------


def test_against_a_general_solver_of_least_squares():
    """scipy minimises the same sum of squares without any linearising; its own Jacobian.

    Tolerance: a tenth of a spread of what is known afterwards; the estimate keeps the slopes of
    the handbook's airplane.
    """
    truth = np.array([0.035, 0.02, -15.0, 8.0])
    made = seen_with(truth)
    draw = np.random.default_rng(5)
    made = [
        Measurement(m.key, m.observed + m.spread * draw.standard_normal(), m.spread, m.predict)
        for m in made
    ]
    before = np.sqrt(np.diag(BEFORE.covariance))

    def residuals(scaled):
        unknowns = BEFORE.mean + scaled * before
        return [*scaled, *((m.observed - m.predict(unknowns)) / m.spread for m in made)]

    solved = least_squares(
        residuals, np.zeros(4), diff_step=0.02, x_scale=1.0, xtol=1e-4, ftol=1e-4
    )
    found = calibrated(made)
    covariance = np.linalg.inv(solved.jac.T @ solved.jac) * np.outer(before, before)
    after = np.sqrt(np.diag(found.belief.covariance))
    assert (found.belief.mean - BEFORE.mean - solved.x * before) / after == pytest.approx(
        np.zeros(4), abs=0.1
    )
    assert after == pytest.approx(np.sqrt(np.diag(covariance)), rel=0.05)


def test_the_rate_of_a_timed_glide_against_an_integration():
    """Equations of motion along the path at a held CAS, integrated by scipy. Tolerance 0.1 %."""
    height_lost, middle = 600.0, 1500.0
    glide = TimedGlide(35.0, height_lost, 1.0, 0.0, middle, float(standard_temperature(middle)))
    weight = AIRPLANE.weight

    def rates(_, state):
        (height,) = state
        air = float(standard_density(height))
        speed = 35.0 * math.sqrt(SEA_LEVEL_DENSITY / air)
        step = 1.0
        faster = 35.0 * math.sqrt(SEA_LEVEL_DENSITY / float(standard_density(height + step)))
        cd0, induced = polar_at_flap(AIRPLANE, 0.0)
        sine = 0.1
        for _ in range(30):
            load = math.sqrt(1.0 - sine * sine)
            lift = lift_coefficient(load, weight, air, speed, AIRPLANE.wing_area)
            drag = drag_coefficient(lift, cd0, induced) * 0.5 * air * speed**2 * AIRPLANE.wing_area
            # m dV/dt = W sin - D with dV/dt = dV/dh * (-V sin)
            change = (faster - speed) / step * -speed * sine
            sine = (drag + weight / STANDARD_GRAVITY * change) / weight
        return [-speed * sine]

    def down(_, state):
        return state[0] - (middle - height_lost / 2.0)

    down.terminal = True
    flown = solve_ivp(rates, (0, 600), [middle + height_lost / 2.0], events=down, rtol=1e-8)
    assert timed_sink(AIRPLANE, glide) == pytest.approx(height_lost / flown.t[-1], rel=1e-3)


# Signs, sizes ---------------------------------------------------------------------------------


def test_more_drag_sinks_faster_and_lands_shorter():
    at = computed_touchdown(AIRPLANE, PLAN, Wind())
    more = np.array([0.05, 0.0, 0.0, 8.0])
    assert at(more) < at(BEFORE.mean)
    long = BEFORE.mean + np.array([0.0, 0.0, 25.0, 0.0])
    assert at(long) - at(BEFORE.mean) == pytest.approx(25.0)  # beyond the computed one is positive
    assert calibrated(seen_with(long, ("one", "other"))).belief.mean[TOUCHDOWN] > 0.0
    assert timed_sink(with_drag(AIRPLANE, 0.05, 0.0), GLIDE) > timed_sink(AIRPLANE, GLIDE)
    found = calibrated(seen_with(more))
    assert 0.0 < found.belief.mean[DRAG] < 0.05
    # Flap drag does nothing with flaps up, drag does at every setting.
    up = with_drag(AIRPLANE, 0.0, 0.1)
    assert up.cd0[0] == AIRPLANE.cd0[0] and up.cd0[2] == pytest.approx(1.1 * AIRPLANE.cd0[2])
    assert with_drag(AIRPLANE, 0.1, 0.0).induced_factors[0] == pytest.approx(
        1.1 * AIRPLANE.induced_factors[0]
    )


def test_warm_air_and_a_longer_time():
    """In warm air an altimeter shows too small a loss: ten degrees are 3.5 % (ratio of kelvins)."""
    cold = glide_measurement(AIRPLANE, GLIDE)
    warm = glide_measurement(
        AIRPLANE, TimedGlide(**{**vars(GLIDE), "temperature": GLIDE.temperature + 10.0})
    )
    assert warm.observed / cold.observed == pytest.approx(1.0 + 10.0 / GLIDE.temperature, rel=1e-6)
    half = glide_measurement(
        AIRPLANE, TimedGlide(**{**vars(GLIDE), "height_lost": GLIDE.height_lost / 2, "seconds": 85})
    )
    assert half.spread > cold.spread


def test_what_an_error_of_judging_costs():
    """Signs: farther out, a later turn or more headwind land shorter; higher or faster, longer."""
    found = place_errors(AIRPLANE, ObservedTouchdown(PLAN, Wind(), 0.0))
    assert found["abeam_distance"] < 0.0 and found["base_turn_distance"] < 0.0
    assert found["abeam_height"] > 0.0 and found["entry_cas"] > 0.0 and found["along"] > 0.0
    # 20 ft of height at a glide of about 7.5 to 1 with flaps are 150 ft of runway.
    assert ft_from_m(found["abeam_height"]) == pytest.approx(150.0, rel=0.15)
    by_eye = touchdown_measurement(AIRPLANE, ObservedTouchdown(PLAN, Wind(), 0.0, "eye"))
    known = touchdown_measurement(AIRPLANE, ObservedTouchdown(PLAN, Wind(), 0.0, "recording"))
    assert PLACE_SPREADS["recording"] < PLACE_SPREADS["eye"] and known.spread < by_eye.spread


def test_the_rpm_law_and_its_slope():
    """RPM^2 = RPM0^2 + (kappa V)^2 by hand: 2,000 static and kappa 14 rpm/kt."""

    def rpm(knots):
        return math.sqrt(2000.0**2 + (14.0 * knots) ** 2)

    slope = 14.0**2 * 85.0 / rpm(85.0)
    there = rpm_at_fixed_throttle(rpm(85.0), mps_from_kt(85.0), slope, mps_from_kt(60.0))
    assert float(there) == pytest.approx(rpm(60.0), rel=1e-9)
    pair = rpm_measurement(mps_from_kt(65.0), rpm(65.0), mps_from_kt(90.0), rpm(90.0))
    alone = calibrated([Measurement("rpm", pair.observed, 1e-3, pair.predict)])
    mean_slope = 14.0**2 * 77.5 / (0.5 * (rpm(65.0) + rpm(90.0)))
    assert alone.belief.mean[RPM_PER_KT] == pytest.approx(mean_slope, rel=1e-3)
    with pytest.raises(ValueError, match="stand still"):
        rpm_at_fixed_throttle(2000.0, mps_from_kt(90.0), 60.0, 1.0)


# Shrinking ------------------------------------------------------------------------------------


@quick
@given(
    rows=st.lists(
        st.tuples(*[st.floats(-3000.0, 3000.0)] * 3, st.floats(1.0, 500.0)), min_size=1, max_size=5
    )
)
def test_every_observation_narrows_the_band(rows):
    """Whatever is observed and with whatever error: never wider, and a better one narrower."""
    asked, band, belief = slopes(), [], BEFORE
    for drag, flap_drag, offset, spread in rows:
        row = np.array([[drag, flap_drag, offset / 3000.0, 0.0]])
        belief = updated(belief, row, np.zeros(1), np.array([spread]))
        band.append(float(asked @ belief.covariance @ asked))
        better = updated(belief, row, np.zeros(1), np.array([spread / 2.0]))
        assert asked @ better.covariance @ asked <= band[-1] * (1.0 + 1e-9)
    assert all(later <= earlier * (1.0 + 1e-9) for earlier, later in pairwise(band))
    assert np.linalg.eigvalsh(belief.covariance).min() > 0.0


def test_the_band_grows_again_for_an_approach_unlike_those_observed():
    """Seen with flaps up only, an approach with landing flaps is less surely known."""
    clean = ApproachPlan(**{**vars(PLAN), "base_flap_deg": 0.0, "final_flap_deg": 0.0})
    made = touchdown_measurement(AIRPLANE, ObservedTouchdown(clean, Wind(), 0.0))
    exact = Measurement("clean", made.predict(BEFORE.mean), 1.0, made.predict)
    covariance = calibrated([exact]).belief.covariance
    assert touchdown_band(slopes(clean), covariance) == LEAST_BAND
    assert touchdown_band(slopes(), covariance) > 1.3 * LEAST_BAND


# Contradiction --------------------------------------------------------------------------------


def test_an_observation_that_contradicts_is_left_out_and_named():
    good = seen_with(np.array([0.02, 0.01, 10.0, 8.0]))
    glide = good[0]
    wrong = Measurement("glide", glide.observed * 1.4, glide.spread, glide.predict)
    found = calibrated([wrong, *good[1:]])
    assert [one.key for one in found.refused] == ["glide"]
    assert found.refused[0].spreads > 3.0
    assert [key for key, _ in found.steps] == ["one", "other"]
    alone = calibrated(good[1:])
    assert found.belief.mean == pytest.approx(alone.belief.mean)
    assert calibrated(good).refused == ()


# Coverage -------------------------------------------------------------------------------------


def test_the_claimed_band_holds_nine_times_in_ten():
    """Airplanes drawn from what is known before, read with the stated errors, asked elsewhere.

    The truth flies the point mass; the estimate sees straight lines about the handbook. 400 draws:
    a true share of 90 % stays within 85 and 95 % in more than 99.9 % of all seeds.
    """
    draw = np.random.default_rng(11)
    size = 400
    truths = draw.multivariate_normal(BEFORE.mean, BEFORE.covariance, size)
    seen = seen_with(BEFORE.mean)
    rows = np.array([slopes_of(one.predict, BEFORE.mean)[1] for one in seen])
    spreads = np.array([one.spread for one in seen])
    asked_wind = Wind(along=-5.0, across=3.0)
    asked_at = computed_touchdown(AIRPLANE, PLAN, asked_wind)
    asked_row = slopes_of(asked_at, BEFORE.mean)[1]
    # Each flight of the truth on a grid of drags, for speed; between them a surface of 2nd degree.
    nodes = np.linspace(-0.08, 0.08, 3)

    def flown(predict):
        table = np.array([[predict(np.array([d, f, 0.0, 8.0])) for f in nodes] for d in nodes])
        d, f = np.meshgrid(nodes, nodes, indexing="ij")
        basis = [np.ones_like(d), d, f, d * d, d * f, f * f]
        fit, *_ = np.linalg.lstsq(
            np.stack([b.ravel() for b in basis], 1), table.ravel(), rcond=None
        )
        a, b = truths[:, DRAG], truths[:, FLAP_DRAG]
        return fit @ [np.ones(size), a, b, a * a, a * b, b * b]

    read = []
    for index, one in enumerate(seen):
        offset = truths[:, TOUCHDOWN] if index else 0.0
        read.append(flown(one.predict) + offset + one.spread * draw.standard_normal(size))
    surprises = np.array(read).T - [one.observed for one in seen]
    touched = flown(asked_at) + truths[:, TOUCHDOWN] + MODEL_SPREAD * draw.standard_normal(size)
    inside = []
    for surprise, place in zip(surprises, touched, strict=True):
        after = updated(BEFORE, rows, surprise, spreads)
        computed = asked_at(BEFORE.mean) + asked_row @ (after.mean - BEFORE.mean)
        inside.append(abs(place - computed) <= touchdown_band(asked_row, after.covariance))
    assert 0.85 <= np.mean(inside) <= 0.95
    assert touchdown_band(asked_row, after.covariance) < 0.8 * BAND_BEFORE
