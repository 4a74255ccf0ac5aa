"""Every sentence a user sees, and how numbers are written and read."""

from lessonkit.words.escape import escape_html
from lessonkit.words.kinds import KINDS, from_shown, to_shown, unit_of
from lessonkit.words.numbers import show
from lessonkit.words.preferences import Preferences
from lessonkit.words.reading import NumberError, read_number
from lessonkit.words.sentences import say, say_all, texts

__all__ = [
    "KINDS",
    "NumberError",
    "Preferences",
    "escape_html",
    "from_shown",
    "read_number",
    "say",
    "say_all",
    "show",
    "texts",
    "to_shown",
    "unit_of",
]
