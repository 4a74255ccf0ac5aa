"""What is said during and after a drill of the feet."""

import numpy as np

from lessonkit.lessons.coordination.hand_program import BANK_DEG, STRAIGHT
from lessonkit.words import say, show

WORDS = "hands_on.live"
LEAST_SHOWN_DEG, LEAST_SHOWN_SHARE = 0.5, 0.005


def sentence(review, context) -> str:
    """Return points, the one thing to change, and how far the nose was off the path."""
    words = context.preferences
    bare = "" if review.points is not None else "_bare"
    points = "" if bare else str(round(review.points))
    advice = review.advice.sentence(words)
    if not review.by_hand and not np.any(review.trace["rudder"]):
        told = say(f"{WORDS}.still{bare}", points=points, preferences=words)
    else:
        key = f"{'hand' if review.by_hand else 'set'}{bare}"
        told = say(f"{WORDS}.{key}", points=points, advice=advice, preferences=words)
    if review.program.task == STRAIGHT or review.score.points is None:
        return told
    return f"{told} {_off_path(review, context)}"


def _off_path(review, context) -> str:
    """Say how far the nose was off the path, in the one measure, beside still feet and none."""
    words = context.preferences

    def most(sideslip_deg):
        return show(float(np.abs(sideslip_deg).max()), "angle_deg", words, digits=0)

    return say(
        f"{WORDS}.off_path",
        off=most(review.trace["sideslip_deg"]),
        still=most(review.beside.still["sideslip_deg"]),
        preferences=words,
    )


def clean_name(review, context) -> str:
    """Return the name of the coordinated nose's line, with the swing that is no fault."""
    words = context.preferences
    swing = float(np.ptp(review.beside.ideal.heading_deg))
    return say(
        "hands_on.picture.line.clean.name",
        swing=show(swing, "angle_deg", words, digits=0),
        preferences=words,
    )


def flying(program, t: float, context) -> str:
    """Return what to do, and how far the run is."""
    words = context.preferences
    values = {
        "t": show(float(int(t)), "time_s", words),
        "whole": show(program.duration, "time_s", words),
        "preferences": words,
    }
    if "aileron" in program.flown_by_hand:
        bank = show(BANK_DEG, "bank", words)
        return say(f"{WORDS}.flying_both", bank=bank, **values)
    return say(f"{WORDS}.flying", **values)


def moment(review, t: float, context) -> str:
    """Return what the airplane and the feet did at a moment."""
    words = context.preferences
    time = review.trace["time"]
    index = int(np.clip(np.searchsorted(time, t), 0, len(time) - 1))

    def at(name):
        return float(review.trace[name][index])

    return say(
        f"{WORDS}.moment",
        t=show(float(time[index]), "time_s", words, digits=1),
        bank=sided(at("bank_deg"), "angle_deg", context),
        nose=sided(at("heading_deg"), "angle_deg", context),
        ball=sided(at("ball_deg"), "angle_deg", context),
        used=sided(at("rudder"), "percent", context),
        needed=sided(float(review.beside.needed[index]), "percent", context),
        preferences=words,
    )


def sided(value: float, kind: str, context) -> str:
    """Return an amount with its side, such as "4 deg left"."""
    least = LEAST_SHOWN_SHARE if kind == "percent" else LEAST_SHOWN_DEG
    words = context.preferences
    if abs(value) < least:
        return say("hands_on.side.none", preferences=words)
    side = "right" if value > 0.0 else "left"
    amount = show(abs(value), kind, words, digits=0)
    return say(f"hands_on.side.{side}", amount=amount, preferences=words)


def facts(review, context) -> str:
    """Return what was measured of the feet: amount by side, timing, swing; "" where nothing was."""
    words, found = context.preferences, review.diagnosis
    parts = []
    for side, gain in (("left", found.gain_left), ("right", found.gain_right)):
        if gain is not None:
            share = show(gain, "percent", words, digits=0)
            parts.append(say(f"hands_on.facts.{side}", share=share, preferences=words))
    if found.lag_s is not None:
        way = "late" if found.lag_s >= 0.0 else "early"
        lag = show(abs(found.lag_s), "time_s", words, digits=1)
        parts.append(say(f"hands_on.facts.{way}", lag=lag, preferences=words))
    if found.hunting_hz:
        period = show(1.0 / found.hunting_hz, "time_s", words, digits=1)
        parts.append(say("hands_on.facts.swing", period=period, preferences=words))
    return ", ".join(parts)


def traces_again(shown, context) -> str:
    """Return when the traces come again."""
    words = context.preferences
    if shown.next_traces == 1:
        return say(f"{WORDS}.later_one", preferences=words)
    return say(f"{WORDS}.later", number=shown.next_traces, preferences=words)
