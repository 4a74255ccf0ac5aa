"""Every row of the table: scalars, lists and arrays, gaps, ranges, and inputs by name."""

import math

import numpy as np
import pytest

from lessonkit.models.limits import LIMITS, checked
from lessonkit.models.quantities import QUANTITIES, input_range
from lessonkit.models.quantity_inputs import INPUTS

# One ordinary value of each input, in the unit of its name.
ORDINARY = {
    "tas_kt": 90.0, "new_tas_kt": 70.0, "cas_kt": 90.0, "speed_kt": 70.0, "stall_speed_kt": 48.0,
    "stall_speed_kcas": 50.0, "ground_speed_kt": 70.0, "wind_kt": 12.0, "headwind_kt": 10.0,
    "crosswind_kt": 8.0, "sink_fpm": 600.0, "altitude_ft": 2000.0, "pressure_altitude_ft": 3000.0,
    "elevation_ft": 700.0, "altimeter_inhg": 30.1, "oat_degc": 25.0, "bank_deg": 30.0,
    "turn_rate_dps": 4.0, "turn_deg": 180.0, "angle_deg": 40.0, "path_angle_deg": 4.0,
    "radius_ft": 1500.0, "load_factor": 1.6, "weight_lb": 2400.0, "new_weight_lb": 2000.0,
    "wing_area_ft2": 174.0, "aspect_ratio": 7.4, "cd0": 0.037, "oswald": 0.72,
    "lift_coefficient": 1.2, "lift_drag_ratio": 9.0, "drag_lift_ratio": 0.12, "h_over_b": 0.2,
    "height_ft": 500.0, "distance_ft": 4000.0, "distance_nm": 0.7, "runway_width_ft": 75.0,
    "power_coefficient_static": 0.058, "power_coefficient": 0.046, "density_ratio": 0.86,
    "dropoff": 0.12, "advance_ratio": 0.5, "static_rpm": 2300.0, "diameter_ft": 6.2,
    "rpm_ratio": 1.1, "target": 48.0, "flown": 52.0, "sideslip_deg": 8.0,
}  # fmt: skip
WORDS = {"certificate": "private", "task": "slow_flight", "measure": "airspeed_kt",
         "derivative_set": "B"}  # fmt: skip

rows = pytest.mark.parametrize("row", QUANTITIES.values(), ids=lambda row: row.name)


def numbers(row):
    return {name: ORDINARY[name] for name in row.inputs if name not in WORDS}


def words(row):
    return {name: WORDS[name] for name in row.inputs if name in WORDS}


@rows
def test_scalar_list_and_array_agree_and_lie_in_the_range(row):
    inputs = numbers(row)
    one = row.compute(**inputs, **words(row))
    assert np.ndim(one) == 0
    assert row.low <= float(one) <= row.high
    if not inputs:  # a row of words alone has one answer
        return
    lists = {name: [value, value] for name, value in inputs.items()}
    arrays = {name: np.full((2, 1), value) for name, value in inputs.items()}
    assert np.asarray(row.compute(**lists, **words(row))).tolist() == [one, one]
    assert np.asarray(row.compute(**arrays, **words(row))).tolist() == [[one], [one]]


@rows
def test_a_gap_stays_a_gap(row):
    """NaN in an input that matters gives NaN; its neighbour is untouched; nothing is raised."""
    inputs = numbers(row)
    one = row.compute(**inputs, **words(row))
    for name, value in inputs.items():
        gap = row.compute(**{**inputs, name: [math.nan, value]}, **words(row))
        matters = row.compute(**{**inputs, name: value * 1.01}, **words(row)) != one
        if row.name == "within_standard":
            assert gap.tolist() == [False, True]
        elif matters:
            assert np.isnan(gap[0]) and gap[1] == one, name


@rows
def test_refuses_what_lies_outside_with_one_sentence(row):
    inputs = numbers(row)
    for name in inputs:
        if INPUTS[name].limits is None:
            continue
        low, high = input_range(name)
        for wrong in (high + 0.01 * (high - low), low - 0.01 * (high - low)):
            with pytest.raises(ValueError, match=r"^The [^.]*must be .*, but it is .*\.$") as error:
                row.compute(**{**inputs, name: [inputs[name], wrong]}, **words(row))
            assert "\n" not in str(error.value)


@rows
def test_names_missing_and_unknown_inputs(row):
    inputs = {**numbers(row), **words(row)}
    first = row.inputs[0]
    with pytest.raises(ValueError, match=f"{row.name} needs the inputs .*{first}"):
        row.compute(**{name: value for name, value in inputs.items() if name != first})
    with pytest.raises(ValueError, match="given .*flap_angle"):
        row.compute(**inputs, flap_angle=10.0)


@rows
def test_row_is_complete(row):
    assert row.source and row.sign and row.unit
    assert row.low < row.high
    assert set(row.inputs) <= set(INPUTS)


def test_every_input_is_used_and_has_a_range():
    used = {name for row in QUANTITIES.values() for name in row.inputs}
    assert set(INPUTS) == used
    for name, entry in INPUTS.items():
        if entry.limits is not None:
            low, high = input_range(name)
            assert low < ORDINARY[name] < high
            there_and_back = entry.from_si(entry.to_si(ORDINARY[name]))
            assert there_and_back == pytest.approx(ORDINARY[name], rel=1e-12)
    assert input_range("altitude_ft")[1] == pytest.approx(36089.2, abs=0.1)  # tropopause
    with pytest.raises(ValueError, match="No range is known for flap_angle"):
        input_range("flap_angle")


@pytest.mark.parametrize("name", LIMITS)
def test_every_limit_has_words_and_holds_both_ends(name):
    limits = LIMITS[name]
    ends = [(limits.low, -1.0, limits.low_open), (limits.high, 1.0, limits.high_open)]
    for end, side, is_open in ends:
        just_outside = end if is_open else end + side * 1e-6 * (limits.high - limits.low)
        with pytest.raises(ValueError, match=r"^The "):
            checked(**{name: [math.nan, just_outside]})
        just_inside = end - side * 1e-9 * (limits.high - limits.low) if is_open else end
        assert checked(**{name: just_inside}) == just_inside
    assert np.isnan(checked(**{name: math.nan}))
