"""Live sentence of the panel on slips."""

from lessonkit.lessons.coordination.panel_parts import side_of
from lessonkit.lessons.coordination.slip_flights import FORWARD, Slip
from lessonkit.units import mps_from_kt
from lessonkit.words import say, show

WORDS = "slips.story"
SEEN_DEG = 0.3  # a slip that is less is none
SEEN_LOWER_DEG = 0.5  # of the nose: less rounds to none
NEAR_STOP = 0.85  # share of full pedal from which little is left


def sentence(slip: Slip, bench, context) -> str:
    """Return the live sentence: what is held, what it gives, where it ends, what the card says."""
    if slip.refused:
        return _say(context, f"refused.{slip.refused}")
    if abs(slip.flight.sideslip_deg) < SEEN_DEG:
        parts = [_say(context, f"none.{slip.values['use']}", **_sinks(slip, context))]
    elif slip.values["use"] == "height":
        parts = [_held(slip, context), _say(context, "height", **_sinks(slip, context))]
        parts += [_stop(slip, context), _attitude(slip, context)]
    else:
        parts = [_wind(slip, context), _stop(slip, context), _demonstrated(slip, bench, context)]
    parts.append(_card(bench, context))
    return " ".join(part for part in parts if part)


def _say(context, key, **values):
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def _sinks(slip, context):
    preferences, descent = context.preferences, slip.descent
    straight, sink = float(descent.straight_sink_rate), float(descent.sink_rate)
    return {
        "speed": show(slip.values["speed"], "speed", preferences),
        "straight": show(straight, "vertical_speed", preferences, digits=-1),
        "sink": show(sink, "vertical_speed", preferences, digits=-1),
        "rise": show(float(descent.sink_rise), "percent", preferences),
        "forward": show(FORWARD, "distance_ft", preferences),
        "lost": show(slip.lost(sink), "height", preferences),
        "lost_straight": show(slip.lost(straight), "height", preferences),
    }


def _held(slip, context):
    flight, preferences = slip.flight, context.preferences
    return _say(
        context,
        "held",
        pedal=show(abs(flight.rudder), "percent", preferences),
        side=side_of(flight.rudder, context),
        wing=side_of(flight.bank_deg, context),
        bank=show(abs(flight.bank_deg), "bank", preferences),
        angle=show(abs(flight.sideslip_deg), "angle_deg", preferences, digits=0),
    )


def _attitude(slip, context):
    """Say how much lower the nose goes: the dial may not be trusted to tell it."""
    if slip.lower_deg < SEEN_LOWER_DEG:
        return _say(context, "dial.little")
    delta = show(slip.lower_deg, "angle_deg", context.preferences, digits=0)
    return _say(context, "dial.lower", delta=delta)


def _wind(slip, context):
    flight, preferences = slip.flight, context.preferences
    said = {
        "wind": show(slip.crosswind, "wind_speed", preferences),
        "from_side": side_of(-slip.values["crosswind"], context),
        "speed": show(slip.values["speed"], "speed", preferences),
    }
    if not slip.held:
        return _say(context, "wind.beyond", **said)
    # a light wind on the side of the fin's offset: less of the same foot, not yet the other one
    key = "held" if slip.pedal_away > 0.0 else "offset"
    return _say(
        context,
        f"wind.{key}",
        wing=side_of(flight.bank_deg, context),
        bank=show(abs(flight.bank_deg), "bank", preferences),
        pedal=show(abs(flight.rudder), "percent", preferences),
        side=side_of(flight.rudder, context),
        **said,
    )


def _stop(slip, context):
    if slip.values["use"] == "height":
        return _say(context, "stop.height") if abs(slip.flight.rudder) > NEAR_STOP else ""
    return _say(
        context,
        "stop.wind",
        limit=show(slip.limit, "wind_speed", context.preferences),
        other=show(slip.other_limit, "wind_speed", context.preferences),
        from_side=side_of(slip.wind_side, context),
        other_side=side_of(-slip.wind_side, context),
    )


def _demonstrated(slip, bench, context):
    card = bench.demonstrated
    if card is None:
        return _say(context, "card.no_crosswind")
    wind = show(card, "wind_speed", context.preferences)
    # half a knot either way is the same, for an estimate
    key = "crosswind_above" if card > slip.limit + mps_from_kt(0.5) else "crosswind"
    return _say(context, f"card.{key}", wind=wind)


def _card(bench, context):
    text = bench.airplane.card.text("limits.slips")
    if not text:
        return _say(context, "card.silent")
    key = {"allowed": "allowed", "not with full flaps": "full", "not with flaps": "any"}[text]
    return _say(context, f"card.{key}")
