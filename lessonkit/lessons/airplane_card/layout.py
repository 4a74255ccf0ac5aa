"""Which lines of the card stand where on the form. What a line is, says the card's own table."""

from lessonkit.airplane.schema import FIELD_AT, IN_FLIGHT

# The figures that no rule can stand in for, in the order in which a handbook prints them.
NEEDED: dict[str, tuple[str, ...]] = {
    "airplane": (
        "airplane.name",
        "airplane.wing",
        "airspeed.kind",
        "units.speed",
        "units.mass",
        "units.length",
    ),
    "weights_wing": ("weights.max", "wing.area", "wing.span"),
    "stall": ("speeds.VS0", "speeds.VS1"),
    "flaps": ("flaps.settings",),
    "glide": (
        "glide.speed",
        "glide.ratio",
        "glide.distance_per_1000_ft",
    ),
}

# The others, folded. The first fold is asked for whenever speeds are IAS.
FOLDED: dict[str, tuple[str, ...]] = {
    "correction": ("airspeed.flaps_up", "airspeed.flaps_down"),
    "more_weights": ("weights.today", "weights.empty", "wing.height"),
    "approach": ("approach.downwind", "approach.base", "approach.final"),
    "more_glide": (
        "glide.flap",
        "glide.propeller",
        "second_glide.speed",
        "second_glide.ratio",
        "second_glide.weight",
    ),
    "by_flap": ("flaps.stall_speeds", "flaps.glide_speeds", "flaps.glide_ratios"),
    "more_speeds": (
        "speeds.VFE",
        "speeds.VA",
        "speeds.VY",
        "climb.rate",
        "stall_warning.margin",
    ),
    "engine": (
        "engine.power",
        "engine.cruise_rpm",
        "engine.idle_rpm",
        "engine.induction",
        "propeller.kind",
        "propeller.diameter",
        "propeller.rpm_per_kt",
        "propeller.turns",
    ),
    "coordination": ("coordination.adverse_yaw", "coordination.full_rudder_sideslip"),
    "runway": (
        "landing.ground_roll",
        "landing.over_50_ft",
        "limits.crosswind",
        "limits.slips",
        "limits.flap_note",
    ),
    "seat": ("cockpit.eye_height", "cockpit.nose_cutoff"),
    "note": ("airplane.origin", "airplane.note"),
}

GROUPS = NEEDED | FOLDED
UNIT_LINES = ("units.speed", "units.mass", "units.length")
# One of these two is needed, so both carry no star of their own.
EITHER = ("glide.ratio", "glide.distance_per_1000_ft")
METRIC_UNITS = {"span": "m", "area": "m²", "runway_length": "m"}


def group_of(control: str) -> str:
    """Return the group in which a control stands.

    Examples
    --------
    >>> group_of("speeds.VS0#weight")
    'stall'
    """
    path = control.partition("#")[0]
    return next(group for group, paths in GROUPS.items() if path in paths)


def is_observed(control: str) -> bool:
    """Tell whether a control belongs to an observation in flight, which has a panel of its own.

    Examples
    --------
    >>> is_observed("timed_glide.speed#airspeed"), is_observed("glide.speed")
    (True, False)
    """
    return control.partition(".")[0] in IN_FLIGHT


def order() -> tuple[str, ...]:
    """Return all paths in the order of the form."""
    return tuple(path for paths in GROUPS.values() for path in paths if path in FIELD_AT)
