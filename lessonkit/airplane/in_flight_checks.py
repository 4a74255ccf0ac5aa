"""Which observations on a card are incomplete or contradict the card's own figures."""

from lessonkit.airplane.airspeed_correction import cas_of
from lessonkit.airplane.card import Card
from lessonkit.airplane.schema import FIELD_AT, IN_FLIGHT, TOUCHDOWNS, fields_of
from lessonkit.units import mps_from_kt
from lessonkit.words import say, show

_NEEDED_OF_TOUCHDOWN = (
    "beyond",
    "abeam_distance",
    "abeam_height",
    "entry_speed",
    "base_turn",
    "headwind",
)
NEEDED = {
    "timed_glide": ("speed", "height_lost", "seconds", "altitude", "temperature"),
    "rpm_pair": ("slow_speed", "slow_rpm", "fast_speed", "fast_rpm"),
    **dict.fromkeys(TOUCHDOWNS, _NEEDED_OF_TOUCHDOWN),
}
LIGHT_STALL = 0.85  # of the printed stall speed: at three quarters of the weight
RPM_SPEEDS_APART = mps_from_kt(10.0)  # nearer, the errors of reading drown the slope; our choice


def observed(card: Card, section: str) -> bool:
    """Tell whether anything of an observation is on the card."""
    return any(field.path in card and field.kind for field in fields_of(section))


def in_flight_contradictions(card: Card):
    """Give one sentence per thing of an observation that is missing or cannot be.

    Parameters
    ----------
    card : Card

    Yields
    ------
    str
    """
    for section in IN_FLIGHT:
        yield from contradictions_of(card, section)
    if "propeller.rpm_per_kt" in card and not observed(card, "rpm_pair"):
        yield from _constant_speed(card)


def contradictions_of(card: Card, section: str):
    """Give the sentences about one observation, by its section of the card."""
    if not observed(card, section):
        return
    yield from _incomplete(card, section)
    yield from _flaps_and_weights(card, section)
    if section == "rpm_pair":
        yield from _rpm(card)
        yield from _constant_speed(card)
    else:
        yield from _too_slow(card, section)


def _incomplete(card, section):
    missing = [name for name in NEEDED[section] if f"{section}.{name}" not in card]
    if missing:
        labels = [say(FIELD_AT[f"{section}.{name}"].label_key) for name in missing]
        yield say(
            "card.contradiction.in_flight",
            what=say(f"card.in_flight.{section}"),
            labels=", ".join(f"\u201c{label}\u201d" for label in labels),
        )


def _flaps_and_weights(card, section):
    for field in fields_of(section):
        value = card.value(field.path) if field.kind else None
        if value is None:
            continue
        if field.kind == "flap_deg" and value not in card.flap_deg:
            yield _say(card, "in_flight_flap", field, flap=(value, "flap_deg"))
        if field.kind == "mass" and value > card.value("weights.max"):
            words = {"weight": (value, "mass"), "max": (card.value("weights.max"), "mass")}
            yield _say(card, "in_flight_weight", field, **words)
        empty = card.value("weights.empty")
        if field.kind == "mass" and empty is not None and value < empty:
            words = {"weight": (value, "mass"), "empty": (empty, "mass")}
            yield _say(card, "in_flight_empty", field, **words)


def _too_slow(card, section):
    """Compare speeds with the stall, where both are calibrated."""
    lowest = card.figure("speeds.VS0")
    stall = cas_of(card, lowest, card.flap_deg[-1])
    for field in fields_of(section):
        figure = card.figure(field.path) if field.kind == "speed" else None
        speed = cas_of(card, figure, 0.0)
        if None not in (stall, speed) and speed < LIGHT_STALL * stall:
            words = {"speed": (figure.value, "speed"), "stall": (lowest.value, "speed")}
            yield _say(card, "in_flight_slow", field, **words)


def _rpm(card):
    slow, fast = card.value("rpm_pair.slow_speed"), card.value("rpm_pair.fast_speed")
    if slow is not None and fast is not None and fast - slow < RPM_SPEEDS_APART:
        words = {"slow": slow, "fast": fast, "apart": RPM_SPEEDS_APART}
        yield _say(card, "rpm_speeds", None, **{k: (v, "speed") for k, v in words.items()})


def _constant_speed(card):
    if card.text("propeller.kind") == "constant speed":
        yield say("card.contradiction.constant_speed")


def _say(card, key, field, **figures):
    words = {} if field is None else {"label": say(field.label_key)}
    for name, (value, kind) in figures.items():
        words[name] = show(value, kind, card.preferences())
    return say(f"card.contradiction.{key}", **words)
