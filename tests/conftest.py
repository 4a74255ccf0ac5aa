"""Fixtures of the whole test run (for --published see lessonkit/pytest_published.py)."""

import logging

import pytest


class CallbackErrors(logging.Handler):
    """Collects what controls log when a callback of theirs fails: they survive it silently."""

    def __init__(self):
        super().__init__(logging.WARNING)
        self.found = []

    def emit(self, record):
        message = record.getMessage()
        if message.startswith(("Exception in callback", "Exception in interact callback")):
            self.found.append(message)


@pytest.fixture(autouse=True)
def callback_errors():
    """Turn a test red when a control's callback failed in it; what is expected is cleared."""
    watch = CallbackErrors()
    # The widgets' own logger is named traitlets; it need not hand on to the root.
    loggers = (logging.getLogger(), logging.getLogger("traitlets"))
    for logger in loggers:
        logger.addHandler(watch)
    yield watch.found
    for logger in loggers:
        logger.removeHandler(watch)
    assert not watch.found
