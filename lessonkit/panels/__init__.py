"""Parts that panels are made of: controls, live sentence, prediction, reset, errors."""

from lessonkit.panels.caution import caution_block
from lessonkit.panels.context import LessonContext
from lessonkit.panels.controls import Check, Choice, Control, NumberControl
from lessonkit.panels.panel import Panel
from lessonkit.panels.prediction import Prediction

__all__ = [
    "Check",
    "Choice",
    "Control",
    "LessonContext",
    "NumberControl",
    "Panel",
    "Prediction",
    "caution_block",
]
