"""The only conversion factors of the kit: SI inside, other units at the edges.

Names read result-first: ``mps_from_kt(60.0)`` is metres per second from knots.
Factors are exact by definition (international yard and pound agreement of 1959, international
nautical mile, standard gravity of 9.80665 m/s2) except where a line says otherwise.

Examples
--------
>>> round(kt_from_mps(mps_from_kt(60.0)), 9)
60.0
"""

STANDARD_GRAVITY = 9.80665  # m/s2, by definition (CGPM 1901)

METRES_PER_FOOT = 0.3048
METRES_PER_NAUTICAL_MILE = 1852.0
METRES_PER_STATUTE_MILE = 1609.344
KILOGRAMS_PER_POUND = 0.45359237
SECONDS_PER_MINUTE = 60.0
SECONDS_PER_HOUR = 3600.0
PASCALS_PER_INHG = 3386.389  # conventional, 0 degC mercury
WATTS_PER_HORSEPOWER = 550.0 * METRES_PER_FOOT * KILOGRAMS_PER_POUND * STANDARD_GRAVITY
KELVIN_AT_0_DEGC = 273.15
NEWTONS_PER_POUND_FORCE = KILOGRAMS_PER_POUND * STANDARD_GRAVITY
MPS_PER_KNOT = METRES_PER_NAUTICAL_MILE / SECONDS_PER_HOUR
MPS_PER_MPH = METRES_PER_STATUTE_MILE / SECONDS_PER_HOUR
MPS_PER_KMH = 1000.0 / SECONDS_PER_HOUR
MPS_PER_FPM = METRES_PER_FOOT / SECONDS_PER_MINUTE


def mps_from_kt(speed_kt):
    """Metres per second from knots."""
    return speed_kt * MPS_PER_KNOT


def kt_from_mps(speed):
    """Knots from metres per second."""
    return speed / MPS_PER_KNOT


def mps_from_mph(speed_mph):
    """Metres per second from statute miles per hour."""
    return speed_mph * MPS_PER_MPH


def mph_from_mps(speed):
    """Statute miles per hour from metres per second."""
    return speed / MPS_PER_MPH


def mps_from_kmh(speed_kmh):
    """Metres per second from kilometres per hour."""
    return speed_kmh * MPS_PER_KMH


def kmh_from_mps(speed):
    """Kilometres per hour from metres per second."""
    return speed / MPS_PER_KMH


def mps_from_fpm(speed_fpm):
    """Metres per second from feet per minute."""
    return speed_fpm * MPS_PER_FPM


def fpm_from_mps(speed):
    """Feet per minute from metres per second."""
    return speed / MPS_PER_FPM


def m_from_ft(length_ft):
    """Metres from feet."""
    return length_ft * METRES_PER_FOOT


def ft_from_m(length):
    """Feet from metres."""
    return length / METRES_PER_FOOT


def m_from_nm(length_nm):
    """Metres from nautical miles."""
    return length_nm * METRES_PER_NAUTICAL_MILE


def nm_from_m(length):
    """Nautical miles from metres."""
    return length / METRES_PER_NAUTICAL_MILE


def m_from_sm(length_sm):
    """Metres from statute miles."""
    return length_sm * METRES_PER_STATUTE_MILE


def sm_from_m(length):
    """Statute miles from metres."""
    return length / METRES_PER_STATUTE_MILE


def m2_from_ft2(area_ft2):
    """Square metres from square feet."""
    return area_ft2 * METRES_PER_FOOT**2


def ft2_from_m2(area):
    """Square feet from square metres."""
    return area / METRES_PER_FOOT**2


def kg_from_lb(mass_lb):
    """Kilograms from pounds."""
    return mass_lb * KILOGRAMS_PER_POUND


def lb_from_kg(mass):
    """Pounds from kilograms."""
    return mass / KILOGRAMS_PER_POUND


def n_from_lbf(force_lbf):
    """Newtons from pounds-force."""
    return force_lbf * NEWTONS_PER_POUND_FORCE


def lbf_from_n(force):
    """Pounds-force from newtons."""
    return force / NEWTONS_PER_POUND_FORCE


def w_from_hp(power_hp):
    """Watts from mechanical horsepower (550 ft lbf/s)."""
    return power_hp * WATTS_PER_HORSEPOWER


def hp_from_w(power):
    """Mechanical horsepower (550 ft lbf/s) from watts."""
    return power / WATTS_PER_HORSEPOWER


def pa_from_inhg(pressure_inhg):
    """Pascals from inches of mercury."""
    return pressure_inhg * PASCALS_PER_INHG


def inhg_from_pa(pressure):
    """Inches of mercury from pascals."""
    return pressure / PASCALS_PER_INHG


def k_from_degc(temperature_degc):
    """Kelvin from degrees Celsius."""
    return temperature_degc + KELVIN_AT_0_DEGC


def degc_from_k(temperature):
    """Degrees Celsius from kelvin."""
    return temperature - KELVIN_AT_0_DEGC


def degc_from_degf(temperature_degf):
    """Degrees Celsius from degrees Fahrenheit."""
    return (temperature_degf - 32.0) / 1.8
