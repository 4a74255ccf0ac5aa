"""One line for what went wrong: shown to the learner, kept for tests, never swallowed."""

import contextlib
import logging
import os
from collections.abc import Iterator

from lessonkit.panels.text import set_text, text_block
from lessonkit.words import Preferences, say
from lessonkit.words.preferences import STANDARD

STRICT = "LESSONKIT_STRICT"
_LOG = logging.getLogger("lessonkit.panels")


def sentence_of(error: BaseException, preferences: Preferences = STANDARD) -> str:
    """Return one sentence for an error.

    Errors of the kit that are meant for people are whole sentences: they end with a full stop.
    Anything else is a defect, and gets a sentence with the cure instead of a programmer's message.

    Examples
    --------
    >>> sentence_of(ValueError("Bank must be below 90 degrees."))
    'Bank must be below 90 degrees.'
    """
    message = str(error).strip()
    if isinstance(error, ValueError) and message.endswith("."):
        return message
    if isinstance(error, OSError):
        return say("panels.error.file", preferences=preferences)
    return say("panels.error.unexpected", preferences=preferences)


class ErrorLine:
    """The error line of a panel.

    Attributes
    ----------
    widget : ipywidgets.HTML
        The line; takes no room while nothing is wrong.
    last_error : BaseException or None
        The error shown, for tests.
    """

    def __init__(self, preferences: Preferences = STANDARD) -> None:
        self.preferences = preferences
        self.widget = text_block(css="lk-error", alert=True)
        self.last_error: BaseException | None = None
        self.text = ""

    def show(self, error: BaseException) -> None:
        """Show an error as one sentence and keep it; its traceback goes to the log."""
        self.last_error = error
        self.text = sentence_of(error, self.preferences)
        set_text(self.widget, self.text)
        _LOG.error("%s", self.text, exc_info=error)

    def clear(self) -> None:
        """Take the sentence away."""
        self.last_error, self.text = None, ""
        set_text(self.widget, "")

    @contextlib.contextmanager
    def guard(self) -> Iterator[None]:
        """Show any error raised inside; with LESSONKIT_STRICT set, raise it again."""
        try:
            yield
        except Exception as error:
            self.show(error)
            if os.environ.get(STRICT):
                raise
