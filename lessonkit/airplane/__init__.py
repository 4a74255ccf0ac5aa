"""The airplane card: schema, validation, fit, origins, numbers."""

from lessonkit.airplane.airfield import Airfield, airfield_from_text, read_airfield
from lessonkit.airplane.airplane import Airplane, fit_airplane
from lessonkit.airplane.approach_speeds import ApproachSpeed
from lessonkit.airplane.calibration import Calibration
from lessonkit.airplane.card import Card, CardError, Figure
from lessonkit.airplane.checks import contradictions
from lessonkit.airplane.library import (
    built_in_airfield,
    built_in_card,
    built_in_cards,
    built_in_keys,
)
from lessonkit.airplane.number_page import Number, numbers
from lessonkit.airplane.reading import card_from_tables, card_from_text, read_card
from lessonkit.airplane.texts import airplane_json, airplane_text, origin_text
from lessonkit.airplane.writing import card_to_tables, card_to_toml, write_card

__all__ = [
    "Airfield",
    "Airplane",
    "ApproachSpeed",
    "Calibration",
    "Card",
    "CardError",
    "Figure",
    "Number",
    "airfield_from_text",
    "airplane_json",
    "airplane_text",
    "built_in_airfield",
    "built_in_card",
    "built_in_cards",
    "built_in_keys",
    "card_from_tables",
    "card_from_text",
    "card_to_tables",
    "card_to_toml",
    "contradictions",
    "fit_airplane",
    "numbers",
    "origin_text",
    "read_airfield",
    "read_card",
    "write_card",
]
