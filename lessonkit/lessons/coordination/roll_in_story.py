"""The roll-in bench's live sentence: which way the nose went, why, and what clean feet would do."""

import numpy as np

from lessonkit.lessons.coordination.panel_parts import side_of
from lessonkit.lessons.coordination.roll_in_flights import BEGIN, RollIn
from lessonkit.words import say, show

WORDS = "roll_in_bench.story"
NO_MOVE = 0.025  # share of travel that counts as none
SAME_TIME = 0.05  # s between hands and feet that counts as together
SEEN_DEG = 0.3  # a ball or nose that is less off counts as in the middle
MINOR = 0.35  # of the stronger cause: a weaker one is not named


def sentence(flight: RollIn, context) -> str:
    """Return the live sentence."""
    if not moves(flight.values["aileron"]) and not moves(flight.values["rudder"]):
        return _say(context, "nothing")
    parts = [_nose(flight, context), _now(flight, context)]
    parts += [_ball_of_clean(flight, context), _caution(flight, context)]
    return " ".join(part for part in parts if part)


def moves(share: float) -> bool:
    """Tell whether a control is moved at all."""
    return abs(share) > NO_MOVE


def _say(context, key, **values):
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def _angle(value, context):
    return show(abs(value), "angle_deg", context.preferences)


def _nose(flight, context):
    """Say what was done, which way the nose went first, and why."""
    values = flight.values
    if not moves(values["aileron"]):
        side = side_of(values["rudder"], context)
        return _say(context, "pedal_only", side=side)
    action = _action(values, context)
    roll, other = side_of(values["aileron"], context), side_of(-values["aileron"], context)
    if flight.swing_deg > 0.0:
        angle = _angle(flight.swing_deg, context)
        why = _why(flight, context)
        return _say(context, "wrong_way", action=action, angle=angle, other=other, why=why)
    if leads(flight):
        return _say(context, "too_much", action=action, roll=roll)
    return _say(context, "no_swing", action=action, roll=roll, other=other)


def leads(flight: RollIn) -> bool:
    """Tell whether the nose runs ahead of the roll: the ball goes out on the high side."""
    side = flight.side
    first = flight.run.time < BEGIN + flight.values["hold"] + 2.0 * flight.values["aileron_time"]
    toward = side * flight.run.sideslip_deg
    clean = side * (flight.run.heading_deg - flight.clean.heading_deg)
    return bool(-toward[first].min() > 1.0 and clean[first].max() > SEEN_DEG)


def _action(values, context):
    aileron = side_of(values["aileron"], context)
    if not moves(values["rudder"]):
        return _say(context, "alone", aileron=aileron)
    lag = values["lag"]
    values = {
        "aileron": aileron,
        "pedal": side_of(values["rudder"], context),
        "amount": show(abs(values["rudder"]), "percent", context.preferences),
    }
    if abs(lag) < SAME_TIME:
        return _say(context, "together", **values)
    values["lag"] = show(abs(lag), "time_s", context.preferences, digits=1)
    return _say(context, "late" if lag > 0.0 else "early", **values)


def pulls(flight: RollIn) -> dict[str, float]:
    """Return what pulls the nose away from the roll, strongest moment before it is farthest off.

    Returns
    -------
    dict of str to float
        "aileron", "roll" and, where the learner's foot pulls that way, "pedal"; shares of full
        pedal, above zero.
    """
    upto = slice(0, flight.wrong_way + 1)
    away = {
        "aileron": -flight.side * flight.parts.aileron[upto],
        "roll": -flight.side * flight.parts.roll_rate[upto],
        "pedal": -flight.side * flight.parts.rudder[upto],
    }
    at = int(np.argmax(sum(away.values())))
    return {key: float(values[at]) for key, values in away.items() if values[at] > 0.0}


def _why(flight, context):
    found = pulls(flight)
    strongest = max(found.values())
    named = [key for key in ("pedal", "aileron", "roll") if found.get(key, 0) > MINOR * strongest]
    causes = [_say(context, f"cause.{key}") for key in named]
    whole = show(sum(found[key] for key in named), "percent", context.preferences)
    listed = causes[0]
    for cause in causes[1:]:
        listed = _say(context, "and", first=listed, second=cause)
    other = side_of(-flight.values["aileron"], context)
    feet = "feet_short" if moves(flight.values["rudder"]) else "feet_still"
    if flight.values["rudder"] * flight.side < 0.0 and "pedal" in named:
        feet = "feet_wrong"
    elif moves(flight.values["rudder"]) and flight.values["lag"] > SAME_TIME:
        feet = "feet_late"
    number = "plural" if len(named) > 1 else "single"
    return _say(
        context,
        f"why.{number}",
        causes=listed,
        whole=whole,
        other=other,
        feet=_say(context, feet),
    )


def _now(flight, context):
    """Say what the ball shows at the moment chosen, and what clean feet hold there."""
    run, at, preferences = flight.run, flight.at, context.preferences
    time = show(float(run.time[at]), "time_s", preferences, digits=1)
    ball = float(run.ball_deg[at])
    shown = (
        _say(context, "ball.middle")
        if abs(ball) < SEEN_DEG
        else _say(context, "ball.out", angle=_angle(ball, context), side=side_of(ball, context))
    )
    needed = float(flight.clean.rudder[at]) - flight.held[1]
    if moves(needed):
        clean = _say(
            context,
            "clean.pedal",
            amount=show(abs(needed), "percent", preferences),
            side=side_of(needed, context),
        )
    else:
        clean = _say(context, "clean.none")
    return _say(context, "now", time=time, ball=shown, clean=clean)


def _ball_of_clean(flight, context):
    """Say how far the ball goes with clean feet: a side force of the rudder, a seat that swings."""
    out = float(np.abs(flight.clean.ball_deg[flight.rolling]).max())
    if not moves(flight.values["aileron"]) or out < SEEN_DEG:
        return ""
    return _say(context, "ball_of_clean", angle=_angle(out, context))


def _caution(flight, context):
    if flight.stalled:
        return _say(context, "stalled")
    if float(np.abs(flight.clean.rudder).max()) >= 0.999:
        return _say(context, "full_pedal")
    return ""
