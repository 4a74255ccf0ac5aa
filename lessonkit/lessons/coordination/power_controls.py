"""Controls and prediction of the panel on power and rudder."""

from lessonkit.lessons.coordination.panel_parts import number
from lessonkit.lessons.coordination.power_flights import DURATION, FEET, PowerBench, PowerFlight
from lessonkit.panels import Choice, Control, Prediction
from lessonkit.units import m_from_ft, mps_from_kt
from lessonkit.words import say, show

WORDS = "power_and_rudder"
FIRST = ("speed", "power", "feet", "moment")
MORE = ("altitude",)
STILL_DEG = 0.5  # a nose that moves less stays where it is


def control(bench: PowerBench, context, key: str) -> Control:
    """Return one control of the panel."""
    preferences = context.preferences
    text = say(f"{WORDS}.control.{key}", preferences=preferences)
    if key == "feet":
        options = [(say(f"{WORDS}.feet.{one}", preferences=preferences), one) for one in FEET]
        return Choice(key, text, options, bench.start[key])
    places = {
        "speed": ("speed", bench.slowest, bench.fastest, mps_from_kt(1.0)),
        "power": ("percent", 0.0, 1.0, 0.05),
        "moment": ("time_s", 0.0, DURATION, 0.1),
        "altitude": ("height", 0.0, m_from_ft(10000.0), m_from_ft(500.0)),
    }
    return number(context, WORDS, key, bench.start[key], places[key])


def prediction(bench: PowerBench, context) -> Prediction:
    """Ask where the nose goes when the feet come off at full power and low speed."""
    preferences = context.preferences
    asked = {key: bench.start[key] for key in ("speed", "power", "altitude")}

    def outcome(flight: PowerFlight) -> str | None:
        if flight.values["feet"] != "off" or any(flight.values[k] != v for k, v in asked.items()):
            return None
        swing = flight.swing_deg
        key = "stays" if abs(swing) < STILL_DEG else "right" if swing > 0.0 else "left"
        angle = show(abs(swing), "angle_deg", preferences)
        return say(f"{WORDS}.outcome.{key}", angle=angle, preferences=preferences)

    speed = show(asked["speed"], "speed", preferences)
    return Prediction(
        say(f"{WORDS}.question", speed=speed, preferences=preferences),
        choices=[
            (key, say(f"{WORDS}.answer.{key}", preferences=preferences))
            for key in ("right", "stays", "left")
        ],
        outcome=outcome,
    )
