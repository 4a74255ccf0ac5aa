"""The numbers page: what a learner takes to the airplane, each with its origin."""

from dataclasses import dataclass

from lessonkit.airplane.airplane import Airplane
from lessonkit.airplane.approach_speeds import PHASES
from lessonkit.airplane.rules import BASE_FACTOR, FINAL_FACTOR, STALL_WARNING_MARGIN
from lessonkit.airplane.schema import (
    COMPUTED,
    FIELD_AT,
    FITTED,
    INVENTED,
    MEASURED,
    RULE_OF_THUMB,
)
from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.calibration import BAND_BEFORE
from lessonkit.models.glide_distance import still_air_glide
from lessonkit.models.gliding_turn import gliding_turn
from lessonkit.models.load_factor import load_factor_in_level_turn
from lessonkit.models.power_off_pilot import ROLL_RATE_DEG
from lessonkit.models.wind import crosswind_component
from lessonkit.units import m_from_ft, mps_from_kt
from lessonkit.words import Preferences, say, show

BANKS_DEG = (0.0, 20.0, 30.0, 45.0, 60.0)
TURN_BANKS_DEG = (20.0, 30.0, 45.0)
TURNS_DEG = (90.0, 180.0, 270.0)
REACTION_DELAY = 4.0  # s, a common teaching value, no source
RESERVE = 0.25  # older handbook advice to add about 25 %, from memory
WINDS_KT = (10.0, 15.0, 20.0)
WIND_ANGLES_DEG = (30.0, 45.0, 60.0, 90.0)
_GROUPS = ("speeds", "stall", "glide", "turn", "calibration", "wind", "limits")


@dataclass(frozen=True)
class Number:
    """One number of the numbers page.

    Parameters
    ----------
    key : str
        Stable name.
    label : str
        What it is.
    value : float or None
        None where it may not be stated. [SI; degrees for angles]
    kind : str
        Kind of quantity of the number formatter.
    origin : str
        One of `schema.ORIGINS`.
    group : str
        Heading under which it stands: "speeds", "stall", "glide", "turn", "calibration", "wind" or
        "limits".
    airspeed : str
        "IAS" or "CAS" for an airspeed, else empty.
    """

    key: str
    label: str
    value: float | None
    kind: str
    origin: str
    group: str
    airspeed: str = ""


def numbers(airplane: Airplane, preferences: Preferences | None = None) -> list[Number]:
    """Return the numbers page of an airplane, engine idling, sea level.

    Parameters
    ----------
    airplane : Airplane
    preferences : Preferences, optional
        Units inside the labels; the card's without it.

    Returns
    -------
    list of Number
        By group: speeds, stall, glide, turn, calibration, wind, limits.
    """
    preferences = preferences or airplane.card.preferences()
    return [
        number
        for make in (_speeds, _stalls, _glide, _turns, _calibration, _wind, _limits)
        for number in make(airplane, preferences)
    ]


def groups() -> tuple[str, ...]:
    """Return the names of the groups in the order of the page."""
    return _GROUPS


def weakest(*origins: str) -> str:
    """Return the origin of a number made from several others.

    Examples
    --------
    >>> weakest("fitted", "rule of thumb")
    'rule of thumb'
    """
    for origin in (RULE_OF_THUMB, INVENTED, MEASURED):
        if origin in origins:
            return origin
    return FITTED


def _speed(airplane, key, label, cas, origin, group, flap_deg=0.0):
    if cas is None:
        return Number(key, label, None, "speed", origin, group)
    value, airspeed = airplane.shown_speed(cas, flap_deg)
    return Number(key, label, value, "speed", origin, group, airspeed)


def _speeds(airplane, preferences):
    landing = airplane.landing_flap_deg
    for phase in PHASES:
        speed = airplane.approach_speed(phase)
        flap = landing if phase == "final" else 0.0
        label = say(FIELD_AT[f"approach.{phase}"].label_key)
        yield _speed(airplane, phase, label, speed.cas, speed.origin, "speeds", flap)
    stall = airplane.stall_cas(landing)
    weight = show(airplane.mass_today, "mass", preferences)
    for factor, key in ((FINAL_FACTOR, "vs0_1_3"), (BASE_FACTOR, "vs0_1_4")):
        label = say("card.number.multiple", factor=f"{factor:.1f}", weight=weight)
        cas = None if stall is None else factor * stall
        yield _speed(airplane, key, label, cas, RULE_OF_THUMB, "speeds", landing)


def _weights(airplane):
    greatest = airplane.card.value("weights.max")
    masses = {"today": airplane.mass_today}
    return masses if masses["today"] == greatest else masses | {"max": greatest}


def _stalls(airplane, preferences):
    for name, mass in _weights(airplane).items():
        for flap in (0.0, airplane.landing_flap_deg):
            for bank in BANKS_DEG:
                label = say(
                    "card.number.stall" if bank == 0.0 else "card.number.stall_turn",
                    flaps=_flaps(flap, preferences),
                    weight=show(mass, "mass", preferences),
                    bank=show(bank, "bank", preferences),
                )
                cas = airplane.stall_cas(flap, mass, float(load_factor_in_level_turn(bank)))
                origin = airplane.stall_origin(flap)
                key = f"stall_{name}_flap_{flap:g}_bank_{bank:g}"
                yield _speed(airplane, key, label, cas, origin, "stall", flap)


def _flaps(flap, preferences):
    if flap == 0.0:
        return say("card.number.flaps_up")
    return say("card.number.flaps", flap=show(flap, "flap_deg", preferences))


def _glide_origin(airplane):
    fit = airplane.fit
    idling = fit.propeller in ("idle", "windmilling")
    found = weakest(fit.drag[0].origin, FITTED if idling else RULE_OF_THUMB)
    return weakest(found, airplane.calibration.origin) if airplane.calibrated else found


def _glide(airplane, preferences):
    weight = show(airplane.mass_today, "mass", preferences)
    origin = _glide_origin(airplane)
    cas, ratio = airplane.best_glide_cas(), airplane.best_glide_ratio()

    def say_it(key):
        return say(f"card.number.{key}", weight=weight)

    yield _speed(airplane, "glide_speed", say_it("glide_speed"), cas, origin, "glide")
    yield Number("glide_ratio", say_it("glide_ratio"), ratio, "ratio", origin, "glide")
    distance = float(still_air_glide(ratio, m_from_ft(1000.0)))
    label = say_it("glide_distance")
    yield Number("glide_distance", label, distance, "distance_nm", origin, "glide")
    sink = airplane.sink_rate(cas)
    yield Number("glide_sink", say_it("glide_sink"), sink, "vertical_speed", origin, "glide")
    yield from _worse_ratio(airplane)
    slowest, stall = airplane.minimum_sink_cas(), airplane.stall_cas(0.0)
    key = "minimum_sink"
    if stall is None:
        slowest = None  # so near the stall no speed is certain without a calibrated one
    elif slowest <= stall:
        slowest, key = None, "minimum_sink_stalled"  # the wing stalls before it gets there
    elif _in_stall_warning(airplane, slowest, stall):
        slowest, key = None, "minimum_sink_warned"
    yield _speed(airplane, "minimum_sink", say_it(key), slowest, origin, "glide")


def _in_stall_warning(airplane, cas, stall):
    """Tell whether the stall warning sounds at a speed, flaps up, by CAS or by the dial."""
    margin = airplane.card.value("stall_warning.margin") or STALL_WARNING_MARGIN
    dial, dial_at_stall = (airplane.shown_speed(speed)[0] for speed in (cas, stall))
    return cas < stall + margin or dial < dial_at_stall + margin


def _worse_ratio(airplane):
    """Give the ratio of a timed glide, flaps up, that was worse than the card's and left out."""
    found = airplane.calibration
    if found is None or found.worse_glide is None or airplane.card.value("timed_glide.flap"):
        return
    # More drag at every speed: the sink at one speed and the best ratio change by one factor.
    ratio = airplane.printed.best_glide_ratio() / (1.0 + found.worse_glide)
    label = say("card.number.worse_ratio")
    yield Number("worse_ratio", label, ratio, "ratio", found.origin, "glide")


def _turn(airplane, cas, bank, turn):
    """Return the gliding turn, or None where it is over before the full bank is reached."""
    flown = airplane.parameters()
    polar = flown.aspect_ratio, flown.cd0[0], flown.oswald[0]
    air = SEA_LEVEL_DENSITY, flown.cl_max[0], cas, bank, turn
    try:
        return gliding_turn(
            flown.mass, flown.wing_area, *polar, *air, ROLL_RATE_DEG, REACTION_DELAY, RESERVE
        )
    except ValueError:
        return None


# Name of the number, part of the gliding turn, and whether a rule of thumb is in it.
_TURN_PARTS = (
    ("turn_height", "steady_height", False),
    ("turn_reserve", "reserve_height", True),
    ("turn_total", "total_height", True),
)


def _turns(airplane, preferences):
    cas = airplane.best_glide_cas()
    origin = _glide_origin(airplane)
    shown, airspeed = airplane.shown_speed(cas)
    words = {
        "speed": f"{show(shown, 'speed', preferences)} {airspeed}",
        "delay": show(REACTION_DELAY, "time_s", preferences),
        "reserve": show(RESERVE, "percent", preferences),
    }
    delay = airplane.sink_rate(cas) * REACTION_DELAY
    label = say("card.number.turn_delay", **words)
    yield Number("turn_delay", label, delay, "height", RULE_OF_THUMB, "turn")
    for bank in TURN_BANKS_DEG:
        words["bank"] = show(bank, "bank", preferences)
        yield from _each_turn(airplane, cas, bank, origin, words)
        for turn in TURNS_DEG:
            words["turn"] = show(turn, "bank", preferences)
            flown = _turn(airplane, cas, bank, turn)
            for name, part, ruled in _TURN_PARTS:
                value = None if flown is None else float(getattr(flown, part))
                why = RULE_OF_THUMB if ruled else origin
                key = f"{name}_{turn:g}_bank_{bank:g}"
                yield Number(key, say(f"card.number.{name}", **words), value, "height", why, "turn")


def _each_turn(airplane, cas, bank, origin, words):
    """Give what no heading change alters: the speed above the stall, the rolls in and out."""
    flown = _turn(airplane, cas, bank, TURNS_DEG[-1])
    certain = flown is not None and airplane.stall_cas(0.0) is not None
    margin = float(flown.stall_margin) if certain else None
    why = weakest(origin, airplane.stall_origin(0.0))
    label = say("card.number.turn_margin", **words)
    yield Number(f"turn_margin_bank_{bank:g}", label, margin, "speed", why, "turn", "CAS")
    roll = None if flown is None else float(flown.roll_height)
    label = say("card.number.turn_roll", **words)
    yield Number(f"turn_roll_bank_{bank:g}", label, roll, "height", RULE_OF_THUMB, "turn")


def _calibration(airplane, preferences):
    """Give the touchdown band, and what the observations in flight have changed."""
    found = airplane.calibration
    origin = found.origin if airplane.calibrated else RULE_OF_THUMB
    before = show(BAND_BEFORE, "distance_ft", preferences)
    worse = None if found is None else found.worse_glide
    key = "band" if airplane.calibrated else "band_before"
    label = say(f"card.number.{key}", before=before)
    yield Number(
        "touchdown_band", label, airplane.touchdown_band, "distance_ft", origin, "calibration"
    )
    if worse is not None:
        label = say("card.number.worse_glide")
        yield Number("worse_glide", label, worse, "percent", found.origin, "calibration")
    if airplane.calibrated:
        factors = found.drag_factor, found.landing_drag_factor
        for key, factor in zip(("drag", "landing_drag"), factors, strict=True):
            label = say(f"card.number.{key}")
            yield Number(key, label, factor - 1.0, "percent", origin, "calibration")
        label = say("card.number.touchdown_offset")
        offset = airplane.touchdown_offset
        yield Number("touchdown_offset", label, offset, "distance_ft", origin, "calibration")
    if airplane.rpm_per_kt is not None:
        label = say(FIELD_AT["propeller.rpm_per_kt"].label_key)
        slope, origin = airplane.rpm_per_kt, airplane.rpm_per_kt_origin
        yield Number("rpm_per_kt", label, slope, "number", origin, "calibration")


def _wind(airplane, preferences):
    limit = airplane.card.figure("limits.crosswind")
    if limit is not None:
        label = say(FIELD_AT["limits.crosswind"].label_key)
        yield Number("crosswind_limit", label, limit.value, "speed", limit.origin, "wind")
    for wind_kt in WINDS_KT:
        for angle in WIND_ANGLES_DEG:
            wind = mps_from_kt(wind_kt)
            label = say(
                "card.number.crosswind",
                wind=show(wind, "wind_speed", preferences),
                angle=show(angle, "bank", preferences),
            )
            across = abs(float(crosswind_component(angle, wind)))
            key = f"crosswind_{wind_kt:g}_at_{angle:g}"
            yield Number(key, label, across, "wind_speed", COMPUTED, "wind")


def _limits(airplane, preferences):
    for path in ("speeds.VFE", "speeds.VA", "speeds.VY", "climb.rate"):
        figure = airplane.card.figure(path)
        if figure is not None:
            key = path.partition(".")[2].lower() if path != "climb.rate" else "climb_rate"
            label = say(FIELD_AT[path].label_key)
            yield Number(
                key, label, figure.value, figure.kind, figure.origin, "limits", figure.airspeed
            )
