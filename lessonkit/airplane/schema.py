"""The one table of what an airplane card holds.

Reader, writer, checks and the form in notebook 01 all go through `FIELDS`: a line added here is
read, validated, written and asked for. The texts that belong to a line are in
``words/en/card.toml``: ``card.label.<key>`` and ``card.help.<key>`` with the path's point replaced
by an underscore, and ``card.range.<reason>`` for the bounds.
"""

from dataclasses import dataclass

from lessonkit.units import (
    k_from_degc,
    kg_from_lb,
    m2_from_ft2,
    m_from_ft,
    m_from_nm,
    mps_from_fpm,
    mps_from_kt,
    w_from_hp,
)

FORMAT = 1  # of the file; a larger number was written by a newer kit

HANDBOOK = "handbook"
FITTED = "fitted"
RULE_OF_THUMB = "rule of thumb"
MEASURED = "measured in flight"
INVENTED = "invented"
COMPUTED = "computed"  # from a definition or plain geometry: nothing of the airplane in it
ORIGINS = (HANDBOOK, FITTED, RULE_OF_THUMB, MEASURED, INVENTED, COMPUTED)
TYPED_ORIGINS = (HANDBOOK, MEASURED, RULE_OF_THUMB, INVENTED)  # a card cannot claim "fitted"

CAS = "CAS"
IAS = "IAS"
AIRSPEEDS = (CAS, IAS)

# Propeller states of a glide figure, and of the glide the models are asked for.
IDLE = "idle"  # engine running at idle
WINDMILLING = "windmilling"  # engine dead, propeller turned by the air
STOPPED = "stopped"
ZERO_THRUST = "zero thrust"  # neither pulls nor brakes
PROPELLER_STATES = (IDLE, WINDMILLING, STOPPED, ZERO_THRUST)

# Forms of an entry. A "figure" is one number with unit and origin.
TEXT = "text"
CHOICE = "choice"
FIGURE = "figure"
FLAP_LIST = "flap list"  # the flap settings themselves
FIGURE_LIST = "figure list"  # one number for each flap setting, "" where none is printed
CORRECTION = "correction"  # pairs of [IAS, CAS]


@dataclass(frozen=True)
class Field:
    """One line of the card.

    Parameters
    ----------
    path : str
        Where it stands in the TOML file, "section.key".
    form : str
        `TEXT`, `CHOICE`, `FIGURE`, `FLAP_LIST`, `FIGURE_LIST` or `CORRECTION`.
    kind : str
        Kind of quantity of the number formatter (``lessonkit.words.KINDS``); empty for words.
    required : bool
        True where no rule can stand in for it.
    low, high : float
        Believable range. [SI; degrees for angles; characters for a text]
    reason : str
        Key below ``card.range`` of the half sentence that explains the range.
    airspeed : bool
        True for an airspeed, which is CAS or IAS.
    weight : bool
        True where the figure belongs to a weight: the greatest one unless it says otherwise.
    choices : tuple of str
        Allowed words.
    default : str
        Word that is taken when a choice is left out; empty when there is none.
    rule : str
        Key below ``card.rule`` of the named rule that stands in for a figure left out.
    origin : str
        Origin of the figure unless it states one; empty for that of the whole card.
    """

    path: str
    form: str = FIGURE
    kind: str = ""
    required: bool = False
    low: float = 0.0
    high: float = 0.0
    reason: str = ""
    airspeed: bool = False
    weight: bool = False
    choices: tuple[str, ...] = ()
    default: str = ""
    rule: str = ""
    origin: str = ""

    @property
    def section(self):
        """Name of the TOML table."""
        return self.path.partition(".")[0]

    @property
    def name(self):
        """Key inside the TOML table."""
        return self.path.partition(".")[2]

    @property
    def key(self):
        """Path as it stands in the keys of texts: "speeds_vs0"."""
        return self.path.replace(".", "_").lower()

    @property
    def label_key(self):
        """Key of the label: "card.label.speeds_vs0"."""
        return f"card.label.{self.key}"

    @property
    def help_key(self):
        """Key of the sentence that says what to type: "card.help.speeds_vs0"."""
        return f"card.help.{self.key}"


def _speed(path, low_kt, high_kt, reason, **more):
    more = {"airspeed": True, "weight": True} | more
    low, high = mps_from_kt(low_kt), mps_from_kt(high_kt)
    return Field(path, FIGURE, "speed", low=low, high=high, reason=reason, **more)


def _figure(path, kind, low, high, reason, **more):
    return Field(path, FIGURE, kind, low=low, high=high, reason=reason, **more)


def _choice(path, *choices, **more):
    return Field(path, CHOICE, choices=choices, **more)


_LB, _FT, _FT2, _HP = kg_from_lb(1.0), m_from_ft(1.0), m2_from_ft2(1.0), w_from_hp(1.0)

# What was observed in flight, for the calibration; the form of the handbook's figures carries these
# sections along without showing them.
TOUCHDOWNS = ("touchdown_1", "touchdown_2")
IN_FLIGHT = ("timed_glide", "rpm_pair", *TOUCHDOWNS)
KNOWN_BY = ("recording", "landmarks", "eye")  # how distances over the ground were known
LEFT, RIGHT = "left", "right"
CLOCKWISE, COUNTERCLOCKWISE = "clockwise", "counterclockwise"  # seen from the cockpit


def _touchdown(section):
    def speed(name, reason):
        return _speed(f"{section}.{name}", 35, 140, reason, weight=False, origin=MEASURED)

    def figure(name, kind, low, high, reason):
        return _figure(f"{section}.{name}", kind, low, high, reason, origin=MEASURED)

    wind = mps_from_kt(-20), mps_from_kt(40)
    return (
        figure("beyond", "distance_ft", -3000 * _FT, 5000 * _FT, "beyond"),
        figure("abeam_distance", "distance_nm", m_from_nm(0.2), m_from_nm(1.5), "abeam_distance"),
        figure("abeam_height", "height", 400 * _FT, 2500 * _FT, "abeam_height"),
        figure("base_turn", "distance_ft", 0, 9000 * _FT, "base_turn"),
        figure("headwind", "wind_speed", *wind, "wind"),
        figure("crosswind", "wind_speed", -wind[1], wind[1], "wind"),
        speed("entry_speed", "approach"),
        speed("glide_speed", "approach"),
        speed("final_speed", "approach"),
        figure("base_flap", "flap_deg", 0, 60, "flap"),
        figure("final_flap", "flap_deg", 0, 60, "flap"),
        figure("bank", "bank", 10, 50, "bank"),
        figure("weight", "mass", 400 * _LB, 6000 * _LB, "weight"),
        figure("elevation", "height", -1000 * _FT, 10000 * _FT, "elevation"),
        _choice(f"{section}.traffic", LEFT, RIGHT, default=LEFT),
        _choice(f"{section}.known_by", *KNOWN_BY, default="landmarks"),
    )


FIELDS: tuple[Field, ...] = (
    # The airplane and how its handbook is printed
    Field("airplane.name", TEXT, required=True, low=1, high=60),
    _choice("airplane.wing", "high", "low", required=True),
    _choice("airplane.origin", *TYPED_ORIGINS, default=HANDBOOK),
    Field("airplane.note", TEXT, low=0, high=400),
    _choice("units.speed", "kt", "mph", default="kt"),
    _choice("units.mass", "lb", "kg", default="lb"),
    _choice("units.length", "ft", "m", default="ft"),
    _choice("airspeed.kind", *AIRSPEEDS, required=True),
    Field("airspeed.flaps_up", CORRECTION, "speed", low=mps_from_kt(20), high=mps_from_kt(250)),
    Field("airspeed.flaps_down", CORRECTION, "speed", low=mps_from_kt(20), high=mps_from_kt(250)),
    # Weights and wing
    _figure("weights.max", "mass", 600 * _LB, 6000 * _LB, "weight", required=True),
    _figure("weights.empty", "mass", 300 * _LB, 5000 * _LB, "weight"),
    _figure("weights.today", "mass", 400 * _LB, 6000 * _LB, "weight", rule="today_is_max"),
    _figure("wing.area", "area", 60 * _FT2, 400 * _FT2, "area", required=True),
    _figure("wing.span", "span", 18 * _FT, 70 * _FT, "span", required=True),
    _figure("wing.height", "span", 1 * _FT, 12 * _FT, "wing_height", rule="wing_height"),
    # Speeds
    _speed("speeds.VS0", 20, 75, "stall", required=True),
    _speed("speeds.VS1", 22, 80, "stall", required=True),
    _speed("speeds.VFE", 40, 180, "limit", weight=False),
    _speed("speeds.VA", 50, 200, "limit"),
    _speed("speeds.VY", 40, 130, "climb"),
    _figure("climb.rate", "vertical_speed", mps_from_fpm(100), mps_from_fpm(3000), "climb_rate"),
    # Flaps: settings, and what the handbook prints for each of them
    Field("flaps.settings", FLAP_LIST, "flap_deg", required=True, low=0, high=60, reason="flap"),
    Field(
        "flaps.stall_speeds",
        FIGURE_LIST,
        "speed",
        low=mps_from_kt(20),
        high=mps_from_kt(80),
        reason="stall",
        airspeed=True,
        rule="flap_lift",
    ),
    Field(
        "flaps.glide_speeds",
        FIGURE_LIST,
        "speed",
        low=mps_from_kt(35),
        high=mps_from_kt(130),
        reason="glide_speed",
        airspeed=True,
        rule="flap_glide",
    ),
    Field(
        "flaps.glide_ratios",
        FIGURE_LIST,
        "ratio",
        low=3.0,
        high=25.0,
        reason="glide_ratio",
        rule="flap_glide",
    ),
    # Best glide: one of ratio and distance
    _speed("glide.speed", 35, 130, "glide_speed", required=True),
    _figure("glide.ratio", "ratio", 4.0, 25.0, "glide_ratio"),
    _figure(
        "glide.distance_per_1000_ft",
        "distance_nm",
        m_from_nm(0.6),
        m_from_nm(4.2),
        "glide_distance",
    ),
    _figure("glide.flap", "flap_deg", 0, 60, "flap", rule="glide_flap"),
    _choice("glide.propeller", *PROPELLER_STATES, rule="glide_propeller"),
    # A second glide figure, which the fit leaves out and must find
    _speed("second_glide.speed", 30, 130, "glide_speed", weight=False),
    _figure("second_glide.ratio", "ratio", 4.0, 25.0, "glide_ratio"),
    _figure("second_glide.weight", "mass", 400 * _LB, 6000 * _LB, "weight"),
    # Approach speeds by phase
    _speed("approach.downwind", 40, 140, "approach", rule="approach_14"),
    _speed("approach.base", 40, 130, "approach", rule="approach_14"),
    _speed("approach.final", 35, 120, "approach", rule="approach_13"),
    _speed("stall_warning.margin", 1, 20, "margin", airspeed=False, weight=False),
    # Engine and propeller
    _figure("engine.power", "power", 40 * _HP, 600 * _HP, "power"),
    _figure("engine.cruise_rpm", "rpm", 1500, 6000, "rpm"),
    _figure("engine.idle_rpm", "rpm", 400, 2500, "rpm"),
    _choice("engine.induction", "carburettor", "injected"),
    _choice("propeller.kind", "fixed pitch", "constant speed"),
    _figure("propeller.diameter", "span", 4 * _FT, 9 * _FT, "diameter"),
    _figure("propeller.rpm_per_kt", "number", 4, 12, "rpm_per_kt", rule="rpm_per_kt"),
    _choice("propeller.turns", CLOCKWISE, COUNTERCLOCKWISE, rule="propeller_yaw"),
    # Roll and yaw
    _figure("coordination.adverse_yaw", "number", 0.0, 0.35, "adverse_yaw", rule="adverse_yaw"),
    _figure(
        "coordination.full_rudder_sideslip",
        "angle_deg",
        6,
        20,
        "full_rudder_sideslip",
        rule="full_rudder_sideslip",
    ),
    # Landing, limits, view
    _figure("landing.ground_roll", "runway_length", 100 * _FT, 4000 * _FT, "landing"),
    _figure("landing.over_50_ft", "runway_length", 300 * _FT, 6000 * _FT, "landing"),
    _speed("limits.crosswind", 3, 40, "crosswind", airspeed=False, weight=False),
    _choice("limits.slips", "allowed", "not with full flaps", "not with flaps", "prohibited"),
    Field("limits.flap_note", TEXT, low=0, high=200),
    _figure("cockpit.eye_height", "span", 2 * _FT, 12 * _FT, "eye_height", rule="eye_height"),
    _figure("cockpit.nose_cutoff", "angle_deg", 0, 20, "nose_cutoff", rule="nose_cutoff"),
    # Observed in flight: one timed glide, two RPM readings, two touchdowns
    _speed("timed_glide.speed", 35, 130, "glide_speed", weight=False, origin=MEASURED),
    _figure("timed_glide.height_lost", "height", 300 * _FT, 6000 * _FT, "lost", origin=MEASURED),
    _figure("timed_glide.seconds", "time_s", 20, 900, "seconds", origin=MEASURED),
    _figure("timed_glide.flap", "flap_deg", 0, 60, "flap", origin=MEASURED),
    _figure("timed_glide.weight", "mass", 400 * _LB, 6000 * _LB, "weight", origin=MEASURED),
    _figure("timed_glide.altitude", "height", 0, 12000 * _FT, "altitude", origin=MEASURED),
    _figure(
        "timed_glide.temperature",
        "temperature",
        k_from_degc(-30.0),
        k_from_degc(45.0),
        "temperature",
        origin=MEASURED,
    ),
    _speed("rpm_pair.slow_speed", 40, 140, "rpm_speed", weight=False, origin=MEASURED),
    _figure("rpm_pair.slow_rpm", "rpm", 1000, 6000, "rpm", origin=MEASURED),
    _speed("rpm_pair.fast_speed", 45, 180, "rpm_speed", weight=False, origin=MEASURED),
    _figure("rpm_pair.fast_rpm", "rpm", 1000, 6000, "rpm", origin=MEASURED),
    *(field for section in TOUCHDOWNS for field in _touchdown(section)),
)

FIELD_AT: dict[str, Field] = {field.path: field for field in FIELDS}


def fields_of(section):
    """Return the lines of one section, in the order of the table.

    Parameters
    ----------
    section : str
        Name of the TOML table, such as "speeds".

    Returns
    -------
    tuple of Field

    Examples
    --------
    >>> [field.name for field in fields_of("weights")]
    ['max', 'empty', 'today']
    """
    return tuple(field for field in FIELDS if field.section == section)


def sections():
    """Return the names of all sections, in the order of the table.

    Examples
    --------
    >>> sections()[:3]
    ['airplane', 'units', 'airspeed']
    """
    return list(dict.fromkeys(field.section for field in FIELDS))
