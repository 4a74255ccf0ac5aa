"""The caution that stands at the top of each lesson."""

import ipywidgets

from lessonkit.panels.text import text_list
from lessonkit.words import Preferences, say_all
from lessonkit.words.preferences import STANDARD


def caution_block(preferences: Preferences = STANDARD) -> ipywidgets.HTML:
    """Return the caution as a block of text."""
    sentences = say_all("common.caution", preferences=preferences)
    block = text_list(sentences, css="lk-caution", first_strong=True)
    block.add_class("lk-block")
    return block
