"""Kinds of quantities: in which unit each is shown and typed, and its believable range.

Inside the kit a value is SI; angles are in degrees, RPM in revolutions per minute, a percentage
is a fraction (0.05 is 5 %), a load factor is in g. Only this table knows how they are shown.
"""

from collections.abc import Callable
from dataclasses import dataclass

from lessonkit import units
from lessonkit.words.preferences import STANDARD, Preferences


@dataclass(frozen=True)
class Unit:
    """One unit of a dimension: how it is shown, typed and converted."""

    symbol: str
    dimension: str
    to_si: Callable[[float], float]
    from_si: Callable[[float], float] | None  # None: read, never shown
    words: tuple[str, ...] = ()  # other spellings that are read, in small letters
    joined: bool = False  # shown without a space, such as the degree sign


@dataclass(frozen=True)
class Kind:
    """One kind of quantity. `low`, `high` and `example` are in SI, as inside the kit."""

    unit: str  # key of UNITS, or the name of the preference that chooses it
    digits: int
    low: float
    high: float
    example: float


def _same(value):
    return value


def _times_100(value):
    return value * 100.0


def _over_100(value):
    return value / 100.0


def _times_1000(value):
    return value * 1000.0


def _over_1000(value):
    return value / 1000.0


def _seconds_from_minutes(value):
    return value * units.SECONDS_PER_MINUTE


def _minutes_from_seconds(value):
    return value / units.SECONDS_PER_MINUTE


def _k_from_degf(value):
    return units.k_from_degc(units.degc_from_degf(value))


UNITS: dict[str, Unit] = {
    unit.symbol: unit
    for unit in (
        Unit(
            "kt",
            "speed",
            units.mps_from_kt,
            units.kt_from_mps,
            ("kts", "kn", "knot", "knots"),
        ),
        Unit(
            "mph",
            "speed",
            units.mps_from_mph,
            units.mph_from_mps,
            ("mi/h", "miles per hour"),
        ),
        Unit(
            "km/h",
            "speed",
            units.mps_from_kmh,
            units.kmh_from_mps,
            ("kmh", "kph", "km per hour"),
        ),
        Unit("m/s", "speed", _same, _same, ("mps", "ms-1", "metres per second")),
        Unit(
            "fpm",
            "speed",
            units.mps_from_fpm,
            units.fpm_from_mps,
            ("ft/min", "ft/mn", "feet per minute", "ft per min"),
        ),
        Unit("ft", "length", units.m_from_ft, units.ft_from_m, ("foot", "feet", "'")),
        Unit("m", "length", _same, _same, ("metre", "metres", "meter", "meters")),
        Unit("km", "length", _times_1000, _over_1000, ("kilometres", "kilometers")),
        Unit(
            "nm",
            "length",
            units.m_from_nm,
            units.nm_from_m,
            ("nmi", "nautical mile", "nautical miles"),
        ),
        Unit("sm", "length", units.m_from_sm, units.sm_from_m, ("statute mile", "statute miles")),
        Unit("lb", "mass", units.kg_from_lb, units.lb_from_kg, ("lbs", "pound", "pounds")),
        Unit("kg", "mass", _same, _same, ("kgs", "kilo", "kilos", "kilogram", "kilograms")),
        Unit("°", "angle", _same, _same, ("deg", "degree", "degrees"), joined=True),
        Unit("°/s", "turn rate", _same, _same, ("deg/s", "degrees per second", "deg per s")),
        Unit("s", "time", _same, _same, ("sec", "secs", "second", "seconds")),
        Unit(
            "min",
            "time",
            _seconds_from_minutes,
            _minutes_from_seconds,
            ("mins", "minute", "minutes"),
        ),
        Unit(": 1", "ratio", _same, _same, (":1", "to 1")),
        Unit(
            "%",
            "percentage",
            _over_100,
            _times_100,
            ("percent", "per cent", "pct"),
        ),
        Unit("g", "load factor", _same, _same),
        Unit("rpm", "engine speed", _same, _same, ("rev/min", "revs")),
        Unit("hp", "power", units.w_from_hp, units.hp_from_w, ("bhp", "horsepower")),
        Unit("kw", "power", _times_1000, _over_1000),
        Unit(
            "ft²",
            "area",
            units.m2_from_ft2,
            units.ft2_from_m2,
            ("ft2", "sq ft", "sqft", "square feet", "square foot"),
        ),
        Unit("m²", "area", _same, _same, ("m2", "sq m", "square metres", "square meters")),
        Unit(
            "°C",
            "temperature",
            units.k_from_degc,
            units.degc_from_k,
            ("c", "degc", "deg c", "celsius", "degrees celsius"),
        ),
        Unit(
            "°F",
            "temperature",
            _k_from_degf,
            None,
            ("f", "degf", "deg f", "fahrenheit", "degrees fahrenheit"),
        ),
        Unit(
            "inHg",
            "pressure",
            units.pa_from_inhg,
            units.inhg_from_pa,
            ("inhg", "in hg", "in", '"', '"hg'),
        ),
        Unit("hPa", "pressure", _times_100, _over_100, ("hpa", "mb", "mbar")),
        Unit("lbf", "force", units.n_from_lbf, units.lbf_from_n, ("lb", "lbs", "pounds")),
        Unit("N", "force", _same, _same, ("n", "newton", "newtons")),
        Unit("", "number", _same, _same),
    )
}


def _kinds() -> dict[str, Kind]:
    kt, ft, fpm = units.mps_from_kt, units.m_from_ft, units.mps_from_fpm
    nm, lb, hp = units.m_from_nm, units.kg_from_lb, units.w_from_hp
    inhg, ft2, degc = units.pa_from_inhg, units.m2_from_ft2, units.k_from_degc
    return {
        "speed": Kind("speed_unit", 0, 0.0, kt(300.0), kt(65.0)),
        "wind_speed": Kind("kt", 0, kt(-100.0), kt(100.0), kt(10.0)),
        "vertical_speed": Kind("fpm", 0, fpm(-9999.0), fpm(9999.0), fpm(500.0)),
        "height": Kind("ft", 0, ft(-2000.0), ft(30000.0), ft(800.0)),
        "distance_ft": Kind("ft", 0, ft(-60000.0), ft(60000.0), ft(1500.0)),
        "distance_nm": Kind("nm", 2, nm(-100.0), nm(100.0), nm(0.75)),
        "runway_length": Kind("ft", 0, 0.0, ft(20000.0), ft(3000.0)),
        "span": Kind("ft", 1, 0.0, ft(200.0), ft(36.0)),
        "area": Kind("ft²", 0, 0.0, ft2(2000.0), ft2(174.0)),
        "height_m": Kind("m", 0, -600.0, 9000.0, 250.0),
        "distance_m": Kind("m", 0, -20000.0, 20000.0, 450.0),
        "mass": Kind("mass_unit", 0, 0.0, lb(20000.0), lb(2300.0)),
        "force": Kind("lbf", 0, units.n_from_lbf(-20000.0), units.n_from_lbf(20000.0), 1000.0),
        "angle_deg": Kind("°", 1, -360.0, 360.0, 3.0),
        "heading_deg": Kind("°", 0, 0.0, 360.0, 270.0),
        "bank": Kind("°", 0, -90.0, 90.0, 30.0),
        "flap_deg": Kind("°", 0, 0.0, 90.0, 20.0),
        "turn_rate": Kind("°/s", 1, -360.0, 360.0, 3.0),
        "time_s": Kind("s", 0, 0.0, 36000.0, 12.0),
        "time_min": Kind("min", 0, 0.0, 360000.0, 2700.0),
        "ratio": Kind(": 1", 1, 0.0, 100.0, 9.0),
        "percent": Kind("%", 0, -10.0, 10.0, 0.2),
        "load_factor": Kind("g", 2, -10.0, 10.0, 1.4),
        "rpm": Kind("rpm", 0, 0.0, 9999.0, 2300.0),
        "power": Kind("hp", 0, 0.0, hp(2000.0), hp(160.0)),
        "temperature": Kind("°C", 0, degc(-90.0), degc(70.0), degc(15.0)),
        "pressure": Kind("inHg", 2, inhg(15.0), inhg(35.0), inhg(29.92)),
        "number": Kind("", 2, -1e6, 1e6, 1.5),
        "count": Kind("", 0, -1e6, 1e6, 3.0),
    }


KINDS: dict[str, Kind] = _kinds()


def kind_of(kind: str) -> Kind:
    """Return the entry of a kind.

    Raises
    ------
    KeyError
        Naming a kind that the table lacks: a defect of the caller.
    """
    if kind not in KINDS:
        raise KeyError(f"no kind of quantity {kind}")
    return KINDS[kind]


def unit_object(kind: str, preferences: Preferences) -> Unit:
    """Return the unit in which a kind is shown to this learner."""
    unit = kind_of(kind).unit
    return UNITS[getattr(preferences, unit) if unit.endswith("_unit") else unit]


def unit_of(kind: str, preferences: Preferences = STANDARD) -> str:
    """Return the symbol of the unit in which a kind is shown.

    Examples
    --------
    >>> unit_of("speed", Preferences(speed_unit="mph"))
    'mph'
    """
    return unit_object(kind, preferences).symbol


def to_shown(value, kind: str, preferences: Preferences = STANDARD):
    """Return a value in the unit in which it is shown, from SI; floats and arrays.

    Examples
    --------
    >>> round(to_shown(304.8, "height"), 6)
    1000.0
    """
    return unit_object(kind, preferences).from_si(value)


def from_shown(value, kind: str, preferences: Preferences = STANDARD):
    """Return the SI value of a number in the unit in which it is shown; floats and arrays.

    Examples
    --------
    >>> round(from_shown(1000.0, "height"), 6)
    304.8
    """
    return unit_object(kind, preferences).to_si(value)
