"""Live sentence of the panel on power and rudder."""

import math

import numpy as np

from lessonkit.lessons.coordination.panel_parts import side_name, side_of
from lessonkit.lessons.coordination.power_flights import WATCHED, PowerFlight
from lessonkit.words import say, show

WORDS = "power_and_rudder.story"
NO_PEDAL = 0.015  # share of full pedal that counts as none
SEEN_DEG = 0.5  # a swing that is less is none
BANKS_DEG = 1.0
MOST = 1.0  # of the pedal


def sentence(flight: PowerFlight, bench, context) -> str:
    """Return the live sentence: the need, where it comes from, and what letting go does."""
    if bench.lateral.propeller is None:
        return _say(context, "no_propeller")
    parts = [_need(flight, context), _elsewhere(flight, context)]
    parts.append(_let_go(flight, context) if flight.values["feet"] == "off" else "")
    parts.append(_why(flight, context))
    return " ".join(part for part in parts if part)


def _say(context, key, **values):
    return say(f"{WORDS}.{key}", preferences=context.preferences, **values)


def pedal_text(share: float, context) -> str:
    """Return a pedal in words: amount and side, or none."""
    if abs(share) < NO_PEDAL:
        return _say(context, "pedal.none")
    side = side_of(share, context)
    amount = show(abs(share), "percent", context.preferences)
    return _say(context, "pedal.some", amount=amount, side=side)


def _need(flight, context):
    speed = show(flight.values["speed"], "speed", context.preferences)
    if abs(flight.needed) > MOST:
        return _say(context, "need.beyond", speed=speed)
    power = show(flight.values["power"], "percent", context.preferences)
    key = "need.idle" if flight.values["power"] == 0.0 else "need.power"
    pedal = pedal_text(flight.needed, context)
    return _say(context, key, speed=speed, power=power, pedal=pedal)


def _elsewhere(flight, context):
    """Say what the same power asks for at the other end of the speeds."""
    here, ends = flight.values["speed"], (flight.speeds[0], flight.speeds[-1])
    other = ends[1] if abs(ends[1] - here) > abs(here - ends[0]) else ends[0]
    there = float(np.interp(other, flight.speeds, flight.curve))
    if abs(there - flight.needed) < NO_PEDAL:
        return _say(context, "other.same")
    pedal = pedal_text(there, context)
    speed = show(float(other), "speed", context.preferences)
    key = "faster" if other > here else "slower"
    return _say(context, f"other.{key}", speed=speed, pedal=pedal)


def _let_go(flight, context):
    preferences = context.preferences
    time = show(WATCHED, "time_s", preferences)
    if abs(flight.swing_deg) < SEEN_DEG:
        return _say(context, "off.still", time=time)
    side = "right" if flight.swing_deg > 0.0 else "left"
    angle = show(abs(flight.swing_deg), "angle_deg", preferences)
    said = {"time": time, "angle": angle, "side": side_name(side, context)}
    follows = flight.wing_deg * flight.swing_deg > 0.0 and abs(flight.wing_deg) > BANKS_DEG
    bank = show(abs(flight.wing_deg), "bank", preferences)
    key = "off.wing" if follows else "off.nose"
    return _say(context, key, bank=bank, **said)


def _why(flight, context):
    share = flight.slipstream_share
    if math.isnan(share):
        return _say(context, "why.idle")
    preferences = context.preferences
    swirl = show(share, "percent", preferences)
    return _say(context, "why.power", swirl=swirl, rest=show(1.0 - share, "percent", preferences))
