"""The table of quantities: what the models compute, in the units that pilots use.

One row per quantity: name, unit, sign, range, inputs, source and the model behind it. The
check values, the ranges of controls and the nomenclature page come from this table. Inputs are
named with their unit (`tas_kt`); the model behind a row works in SI.
"""

import inspect
from collections.abc import Callable
from dataclasses import dataclass

from lessonkit.models import (
    airspeed,
    approach_geometry,
    atmosphere,
    energy,
    glide,
    glide_distance,
    ground_effect,
    lateral_modes,
    lateral_sets,
    level_flight,
    load_factor,
    minimum_sink,
    optimum_bank,
    propeller,
    stall,
    standards,
    turning,
    wind,
)
from lessonkit.models.limits import LIMITS, checked, sentence
from lessonkit.models.quantity_inputs import INPUTS, from_si


@dataclass(frozen=True)
class Quantity:
    """One row of the table.

    Parameters
    ----------
    name : str
        Name with its unit. [text]
    unit : str
        Unit of the result. [text]
    sign : str
        What a positive value means. [text]
    low, high : float
        Range in which results lie for light single-engine airplanes. [unit]
    inputs : tuple of str
        Names of the inputs, each with its unit; the keys of `INPUTS`. [text]
    source : str
        Where the relation stands. [text]
    model : callable
        The model behind the row, in SI. [-]

    Examples
    --------
    >>> float(QUANTITIES["kinetic_height_ft"].compute(tas_kt=0.0))
    0.0
    """

    name: str
    unit: str
    sign: str
    low: float
    high: float
    inputs: tuple[str, ...]
    source: str
    model: Callable

    def compute(self, **inputs):
        """Compute the quantity from inputs in the units of their names.

        Parameters
        ----------
        **inputs : float, list, array or str
            Exactly the inputs of this row. [unit in each name]

        Returns
        -------
        float or array
            The result. [unit of the row]

        Raises
        ------
        ValueError
            If an input is missing, unknown or outside its range.

        Examples
        --------
        >>> round(float(QUANTITIES["load_factor_in_level_turn"].compute(bank_deg=60.0)), 6)
        2.0
        """
        missing = [name for name in self.inputs if name not in inputs]
        unknown = [name for name in inputs if name not in self.inputs]
        if missing or unknown:
            raise ValueError(
                sentence(
                    "quantity.inputs",
                    name=self.name,
                    needs=", ".join(self.inputs),
                    given=", ".join(inputs) or sentence("quantity.nothing"),
                )
            )
        arguments = {INPUTS[name].argument: _to_si(name, inputs[name]) for name in inputs}
        return from_si(self.model(**arguments), self.unit)


def _to_si(name, value):
    try:
        return INPUTS[name].to_si(value)
    except (ValueError, TypeError):
        raise ValueError(sentence("quantity.not_a_number", name=name, given=value)) from None


def _polar(model, as_cas=False):
    """Bind a model of the drag polar to an altitude in the standard atmosphere."""
    accepted = inspect.signature(model).parameters

    def at_altitude(altitude, **arguments):
        arguments["density"] = atmosphere.standard_density(altitude)
        for name in ("mass", "wing_area", "aspect_ratio", "cd0", "oswald"):
            checked(**{name: arguments[name]})  # also those that this model does not need
        result = model(**{name: arguments[name] for name in accepted})
        return airspeed.cas_from_tas(result, altitude) if as_cas else result

    return at_altitude


def _mode(read):
    """Bind a figure of the lateral modes to the name of a published set."""

    def of_set(derivative_set):
        return read(lateral_modes.modes_of_set(lateral_sets.published_set(derivative_set)))

    return of_set


def _sideslip(read):
    """Bind a figure of the steady sideslip to the name of a published set."""

    def of_set(derivative_set, sideslip_deg):
        published = lateral_sets.published_set(derivative_set)
        return read(published, checked(sideslip_deg=sideslip_deg))

    return of_set


def _slip_controls(published, sideslip_deg):
    return lateral_sets.controls_for_sideslip_deg(published.derivatives, sideslip_deg)


def _ground_effect(height_over_span):
    return ground_effect.induced_drag_reduction(checked(height_over_span=height_over_span))


_POLAR = "weight_lb wing_area_ft2 aspect_ratio cd0 oswald altitude_ft"
_PHAK_LOAD = "FAA-H-8083-25C ch. 5, load factors"
_ISA = "U.S. Standard Atmosphere 1976 / ICAO Doc 7488"
_LOWRY = "J. T. Lowry, Performance of Light Aircraft, Example 9.1"
_ANDERSON = "J. D. Anderson, Introduction to Flight, ch. 6 (from memory)"
_TURN = "FAA-H-8083-25C ch. 5, turns, with exact constants"
_GEOMETRY = "geometry"
_ENERGY = "FAA-H-8083-3C ch. 4 (from memory)"
_LATERAL = "eigenvalues of the linearised lateral motion of a published set"
_SLIP = "rolling and yawing moment zero, side force in balance; a published set"
_INF = float("inf")

# fmt: off
_ROWS = [
    # name, unit, sign, low, high,
    #  inputs, source, model
    # load factor and stall
    ("load_factor_in_level_turn", "g", "lift over weight, upward in the airplane", 1, 12,
     "bank_deg", _PHAK_LOAD, load_factor.load_factor_in_level_turn),
    ("bank_for_load_factor_deg", "deg", "magnitude", 0, 90,
     "load_factor", _PHAK_LOAD, load_factor.bank_for_load_factor_deg),
    ("stall_speed_increase_in_level_turn_pct", "%", "increase positive", 0, 250,
     "bank_deg", _PHAK_LOAD, stall.stall_speed_increase_in_level_turn),
    ("stall_speed_at_load_factor_kt", "kt", "magnitude", 0, 150,
     "stall_speed_kt load_factor", _PHAK_LOAD, stall.stall_speed_at_load_factor),
    ("stall_speed_at_weight_kt", "kt", "magnitude", 0, 150,
     "stall_speed_kt weight_lb new_weight_lb", "FAA-H-8083-25C ch. 11 (from memory)",
     stall.stall_speed_at_weight),
    ("maximum_lift_coefficient", "-", "lift upward", 0.5, 4,
     "stall_speed_kcas weight_lb wing_area_ft2", "definition at the condition of 14 CFR 23.49",
     stall.maximum_lift_coefficient),
    # turns
    ("rate_of_turn_dps", "deg/s", "positive to the right", -90, 90,
     "tas_kt bank_deg", _TURN, turning.rate_of_turn_dps),
    ("radius_of_turn_ft", "ft", "magnitude", 0, _INF,
     "tas_kt bank_deg", _TURN, turning.radius_of_turn),
    ("standard_rate_bank_deg", "deg", "magnitude", 0, 45,
     "tas_kt", "definition of the standard rate", turning.standard_rate_bank_deg),
    ("bank_for_turn_radius_deg", "deg", "magnitude", 0, 90,
     "ground_speed_kt radius_ft", "ground-reference maneuvers, FAA-H-8083-3C (from memory)",
     turning.bank_for_turn_radius_deg),
    ("inclinometer_angle_deg", "deg, positive toward the inside of the turn",
     "positive toward the inside of the turn: a slip", -90, 90,
     "tas_kt bank_deg turn_rate_dps", "balance of forces across the airplane",
     turning.inclinometer_angle_deg),
    ("tan_bank_ratio_tailwind_to_headwind", "-", "magnitude", 1, _INF,
     "tas_kt wind_kt", "ground-reference maneuvers, FAA-H-8083-3C (from memory)",
     turning.tan_bank_ratio_tailwind_to_headwind),
    # air
    ("standard_temperature_degc", "degC", "above freezing positive", -56.5, 21.5,
     "altitude_ft", _ISA, atmosphere.standard_temperature),
    ("standard_pressure_inhg", "inHg", "magnitude", 6.6, 33.7,
     "altitude_ft", _ISA, atmosphere.standard_pressure),
    ("standard_density_ratio", "-", "magnitude", 0.29, 1.11,
     "altitude_ft", _ISA, atmosphere.standard_density_ratio),
    ("standard_density_kgm3", "kg/m3", "magnitude", 0.36, 1.35,
     "altitude_ft", _ISA, atmosphere.standard_density),
    ("speed_of_sound_kt", "kt", "magnitude", 570, 670,
     "altitude_ft", _ISA, atmosphere.speed_of_sound),
    ("pressure_altitude_ft", "ft", "above standard sea level positive", -5000, 23000,
     "elevation_ft altimeter_inhg", "FAA-H-8083-25, performance chapter, Sample Problem 1",
     atmosphere.pressure_altitude),
    ("density_altitude_ft", "ft", "above standard sea level positive", -15000, 45000,
     "pressure_altitude_ft oat_degc", "ideal gas law; " + _ISA, atmosphere.density_altitude),
    ("tas_from_cas_kt", "kt", "magnitude", 0, 540,
     "cas_kt altitude_ft", "14 CFR 1.1, true airspeed", airspeed.tas_from_cas),
    # glide
    ("best_glide_tas_kt", "kt", "magnitude", 20, 200,
     _POLAR, _LOWRY, _polar(glide.best_glide_tas)),
    ("best_glide_cas_kt", "kt", "magnitude", 20, 200,
     _POLAR, _LOWRY, _polar(glide.best_glide_tas, as_cas=True)),
    ("best_glide_path_angle_deg", "deg", "negative descending", -45, 0,
     _POLAR, _LOWRY, _polar(glide.best_glide_path_angle_deg)),
    ("maximum_lift_drag_ratio", "-", "magnitude", 1, 60,
     _POLAR, _LOWRY, _polar(glide.maximum_lift_drag_ratio)),
    ("drag_at_best_glide_lbf", "lbf", "positive backward", 0, 5000,
     _POLAR, _LOWRY, _polar(glide.drag_at_best_glide)),
    ("lift_coefficient_at_best_glide", "-", "lift upward", 0, 4,
     _POLAR, _ANDERSON, _polar(glide.lift_coefficient_at_best_glide)),
    ("minimum_sink_tas_kt", "kt", "magnitude", 15, 150,
     _POLAR, _ANDERSON, _polar(minimum_sink.minimum_sink_tas)),
    ("minimum_sink_rate_fpm", "fpm", "positive down", 0, 3000,
     _POLAR, _ANDERSON, _polar(minimum_sink.minimum_sink_rate)),
    ("minimum_power_required_hp", "hp", "magnitude", 0, 500,
     _POLAR, _ANDERSON, _polar(minimum_sink.minimum_power_required)),
    ("lift_coefficient_in_level_flight", "-", "lift upward", 0, 4,
     _POLAR + " tas_kt", _ANDERSON, _polar(level_flight.lift_coefficient_in_level_flight)),
    ("drag_coefficient_in_level_flight", "-", "drag backward", 0, 2,
     _POLAR + " tas_kt", _ANDERSON, _polar(level_flight.drag_coefficient_in_level_flight)),
    ("drag_in_level_flight_lbf", "lbf", "positive backward", 0, 20000,
     _POLAR + " tas_kt", _ANDERSON, _polar(level_flight.drag_in_level_flight)),
    ("speed_to_fly_in_wind_kcas", "KCAS", "magnitude", 15, 250,
     _POLAR + " headwind_kt", "tangent to the glide polar",
     _polar(glide_distance.speed_to_fly_in_wind, as_cas=True)),
    ("glide_ratio_over_ground", "-", "forward positive", 0, 200,
     "lift_drag_ratio tas_kt headwind_kt", _GEOMETRY, glide_distance.glide_ratio_over_ground),
    ("still_air_glide_nm", "nm", "magnitude", 0, 400,
     "lift_drag_ratio height_ft", "FAA-H-8083-3C ch. 3", glide_distance.still_air_glide),
    ("speed_scaled_to_weight_kt", "kt", "magnitude", 0, 300,
     "speed_kt weight_lb new_weight_lb", "FAA-H-8083-25C ch. 11 (from memory)",
     glide_distance.speed_scaled_to_weight),
    # gliding turn
    ("gliding_turn_height_loss_ft", "ft", "lost positive", 0, _INF,
     _POLAR + " bank_deg lift_coefficient turn_deg", "balance of forces in a steady gliding turn",
     _polar(optimum_bank.height_loss_at_lift_coefficient)),
    ("optimum_gliding_turn_bank_deg", "deg", "magnitude", 45, 60,
     "drag_lift_ratio", "balance of forces in a steady gliding turn",
     optimum_bank.optimum_bank_deg),
    # ground effect
    ("induced_drag_reduction_in_ground_effect_pct", "%", "less drag positive", 0, 95.3,
     "h_over_b", "C. Wieselsberger, NACA TM 77", _ground_effect),
    # wind
    ("crosswind_component_kt", "kt", "positive from the right", -100, 100,
     "angle_deg wind_kt", "FAA-H-8083-3C Fig. 9-19", wind.crosswind_component),
    ("headwind_component_kt", "kt", "headwind positive", -100, 100,
     "angle_deg wind_kt", "FAA-H-8083-3C Fig. 9-19", wind.headwind_component),
    ("crab_angle_deg", "deg", "positive to the right, into a crosswind from the right", -90, 90,
     "crosswind_kt tas_kt", _GEOMETRY, wind.crab_angle_deg),
    # energy
    ("kinetic_height_ft", "ft", "magnitude", 0, 3800,
     "tas_kt", _ENERGY, energy.kinetic_height),
    ("zoom_height_ft", "ft", "height gained positive", -3800, 3800,
     "tas_kt new_tas_kt", _ENERGY, energy.zoom_height),
    # roll and yaw of the published sets
    ("roll_mode_root_per_s", "1/s", "negative dies out", -30, 1,
     "derivative_set", _LATERAL, _mode(lambda modes: modes.roll)),
    ("roll_time_constant_s", "s", "positive dies out", 0, 5,
     "derivative_set", _LATERAL, _mode(lambda modes: modes.roll_time_constant)),
    ("dutch_roll_real_part_per_s", "1/s", "negative dies out", -5, 5,
     "derivative_set", _LATERAL, _mode(lambda modes: modes.dutch_roll.real)),
    ("dutch_roll_frequency_rads", "rad/s", "damped frequency, magnitude", 0, 10,
     "derivative_set", _LATERAL, _mode(lambda modes: modes.dutch_roll.imag)),
    ("dutch_roll_natural_frequency_rads", "rad/s", "undamped frequency, magnitude", 0, 10,
     "derivative_set", _LATERAL, _mode(lambda modes: modes.dutch_roll_frequency)),
    ("dutch_roll_damping_ratio", "-", "positive dies out", -1, 1,
     "derivative_set", _LATERAL, _mode(lambda modes: modes.dutch_roll_damping)),
    ("rudder_for_steady_sideslip_deg", "deg", "trailing edge left (left pedal) positive", -30, 30,
     "derivative_set sideslip_deg", _SLIP,
     _sideslip(lambda one, beta: -_slip_controls(one, beta)[1])),
    ("aileron_for_steady_sideslip_deg", "deg", "rolls right positive", -30, 30,
     "derivative_set sideslip_deg", _SLIP,
     _sideslip(lambda one, beta: _slip_controls(one, beta)[0])),
    ("bank_for_steady_sideslip_deg", "deg", "right wing down positive", -90, 90,
     "derivative_set sideslip_deg", _SLIP, _sideslip(lateral_sets.bank_for_sideslip_deg)),
    # approach
    ("descent_rate_on_path_fpm", "fpm", "positive down", 0, _INF,
     "ground_speed_kt path_angle_deg", _GEOMETRY, approach_geometry.descent_rate_on_path),
    ("height_above_aiming_point_ft", "ft", "above positive", 0, _INF,
     "distance_nm path_angle_deg", _GEOMETRY, approach_geometry.height_above_aiming_point),
    ("path_angle_over_ground_deg", "deg", "descending positive", 0, 90,
     "tas_kt sink_fpm headwind_kt", "FAA-H-8083-3C Fig. 9-4",
     approach_geometry.path_angle_over_ground_deg),
    ("depression_below_horizon_deg", "deg", "below the horizon positive", 0, 90,
     "height_ft distance_ft", "FAA-H-8083-3C p. 9-5",
     approach_geometry.depression_below_horizon_deg),
    ("runway_edge_slope_from_vertical_deg", "deg", "magnitude", 0, 90,
     "runway_width_ft height_ft", "central projection",
     approach_geometry.runway_edge_slope_from_vertical_deg),
    # propeller
    ("rpm_ratio_at_constant_torque", "x static rpm", "magnitude", 0, 3,
     "power_coefficient_static power_coefficient", "NACA Report 594",
     propeller.rpm_ratio_at_constant_torque),
    ("engine_power_ratio", "-", "magnitude", 0, 1.6,
     "density_ratio dropoff", "J. T. Lowry, Performance of Light Aircraft (from memory)",
     propeller.engine_power_ratio),
    ("airspeed_at_advance_ratio_kt", "kt", "forward positive", 0, 300,
     "advance_ratio static_rpm diameter_ft rpm_ratio", "definition of the advance ratio",
     propeller.airspeed_at_advance_ratio),
    # standards
    ("within_standard", "1 within, 0 outside", "1 within, 0 outside", 0, 1,
     "certificate task measure target flown", "FAA-S-ACS-6B/6C and 7A/7B, limits inclusive",
     standards.within_standard),
]
# fmt: on

QUANTITIES: dict[str, Quantity] = {
    row[0]: Quantity(*row[:5], inputs=tuple(row[5].split()), source=row[6], model=row[7])
    for row in _ROWS
}


def input_range(name: str) -> tuple[float, float]:
    """Range of an input in the unit of its name, for a control or a table.

    Parameters
    ----------
    name : str
        Key of `INPUTS`, such as `tas_kt`. [text]

    Returns
    -------
    tuple of float
        Lowest and highest value. [unit in the name]

    Raises
    ------
    ValueError
        If no model has this input, or the input is a word.

    Examples
    --------
    >>> input_range("bank_deg")
    (-90.0, 90.0)
    """
    entry = INPUTS.get(name)
    if entry is None or entry.limits is None:
        raise ValueError(sentence("quantity.no_range", name=name))
    limits = LIMITS[entry.limits]
    return float(entry.from_si(limits.low)), float(entry.from_si(limits.high))
