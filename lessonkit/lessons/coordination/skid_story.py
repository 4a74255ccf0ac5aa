"""Live sentence of the panel on slip and skid."""

from lessonkit.lessons.coordination.panel_parts import side_name, side_of
from lessonkit.lessons.coordination.skid_flights import LEAST_TURN_DEG, FeltTurn
from lessonkit.words import say, show

WORDS = "slip_and_skid.story"
SEEN_LOAD = 0.005  # g, that a pilot could feel at all
SEEN_CUT = 0.005  # share of full pedal
SEEN_STICK = 0.03  # share of full aileron


def sentence(felt: FeltTurn, bench, context) -> str:
    """Return the live sentence: what the feet made of it, what yaw decides, seat, wings."""
    parts = [_instead(felt, context), _kind(felt, context), _mind(felt, bench, context)]
    if felt.kind != "coordinated":
        parts += [_stick(felt, context), _nose(felt, context), _seat(felt, context)]
    if bench.stall_known:
        parts.append(_wings(felt, context))
    return " ".join(part for part in parts if part)


def _say(context, key, **values):
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def _angle(context, value, **more):
    return show(abs(value), "angle_deg", context.preferences, **more)


def _instead(felt, context):
    """Say where something else is flown than the controls ask for."""
    parts = []
    if abs(felt.asked["bank"]) < LEAST_TURN_DEG:
        least = show(LEAST_TURN_DEG, "bank", context.preferences)
        parts.append(_say(context, "least", bank=least))
    if abs(felt.asked["pedal"]) > abs(felt.pedal) + SEEN_CUT:
        parts.append(_say(context, "full"))
    return " ".join(parts)


def _kind(felt, context):
    flight, preferences = felt.turn.flight, context.preferences
    said = {
        "bank": show(abs(felt.values["bank"]), "bank", preferences),
        "turn": side_of(felt.side, context),
        "rate": show(abs(flight.turn_rate_dps), "turn_rate", preferences),
        "ball": _angle(context, flight.ball_deg),
        "ball_side": side_of(flight.ball_deg, context),
        "clean": show(abs(felt.centred_turn_rate), "turn_rate", preferences),
        "pedal": show(abs(felt.pedal), "percent", preferences),
    }
    return _say(context, f"kind.{felt.kind}", **said)


def _stick(felt, context):
    aileron = float(felt.turn.flight.aileron)
    if abs(aileron) < SEEN_STICK:
        return ""
    return _say(context, "stick", side=side_of(aileron, context), down=side_of(-aileron, context))


def _nose(felt, context):
    sideslip = felt.turn.flight.sideslip_deg
    key = "into" if sideslip * felt.side < 0.0 else "out"
    return _say(context, f"nose.{key}", angle=_angle(context, sideslip))


def _seat(felt, context):
    load = felt.turn.flight.lateral_load
    if abs(load) < SEEN_LOAD:
        return ""
    # the seat pushes one way, so the pilot leans the other, with the ball
    return _say(
        context,
        "seat",
        side=side_of(-load, context),
        load=show(abs(load), "percent", context.preferences),
    )


def _wings(felt, context):
    wings = felt.turn.wings
    if felt.least_margin_deg <= 0.0:
        return _say(context, "wings.stalled")
    nearer = felt.nearer
    if nearer == "neither" and felt.kind != "coordinated":
        rough = {"left": wings.left_deg, "right": wings.right_deg}
        said = {side: _angle(context, value, digits=0) for side, value in rough.items()}
        return _say(context, "wings.rough", **said)
    said = {
        "left": _angle(context, wings.left_deg),
        "right": _angle(context, wings.right_deg),
    }
    if nearer == "neither":
        return _say(context, "wings.neither", **said)
    place = "inside" if nearer == felt.turn.inside else "outside"
    return _say(
        context,
        f"wings.{place}",
        side=side_name(nearer, context),
        angle=_angle(context, wings.difference_deg),
        **said,
    )


def _mind(felt, bench, context):
    if felt.kind == "coordinated":
        return "" if bench.stall_known else _say(context, "wings.unknown")
    return _say(
        context,
        f"mind.{felt.kind}",
        inside=side_name(felt.turn.inside, context),
        outside=side_name(felt.outside, context),
    )
