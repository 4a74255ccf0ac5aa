"""Fixtures of the whole test run (for --published see lessonkit/pytest_published.py)."""

import atexit
import importlib.util
import logging
import os
import shutil
import tempfile
from pathlib import Path

import pytest

if "PYTEST_XDIST_WORKER" not in os.environ:
    # A run of the tests reads and writes a folder of its own; the kernels of the notebooks and
    # the other processes of the run inherit it.
    from lessonkit.app.environment import build_environment

    _folder = tempfile.mkdtemp(prefix="lessonkit-tests-")
    atexit.register(shutil.rmtree, _folder, ignore_errors=True)
    os.environ.update(build_environment(Path(_folder)))

collect_ignore = ["bench"]  # measures on demand; needs packages that a test run does not
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
MARKERS = (
    "smoke: one lesson in a real browser; runs in every test run where a browser is found",
    "browser: in a real browser; runs only with -m browser",
    "long: the whole of what another test samples; runs only with -m long",
    "scaffold: a new lesson in a copy of the checkout; runs only with -m scaffold",
    "sixdof: against the six-degree-of-freedom simulation; runs only where jsbsim is installed",
)


def pytest_configure(config):
    for marker in MARKERS:
        config.addinivalue_line("markers", marker)


def why_no_browser():
    """Say what is missing for tests in a browser; None if nothing is."""
    if importlib.util.find_spec("playwright") is None:
        return "playwright is not installed (pip install -e .[browser])"
    if not any(shutil.which(name) for name in BROWSERS):
        return "no Chromium was found"
    return None


def left_out(config):
    """Return each marker whose tests are not run, with the reason."""
    found = {}
    if (missing := why_no_browser()) is not None:
        found["smoke"] = f"the browser smoke test was not run: {missing}"
        found["browser"] = f"the browser tests were not run: {missing}"
    elif "browser" not in config.option.markexpr:
        found["browser"] = "the other browser tests run with -m browser"
    if "long" not in config.option.markexpr:
        found["long"] = "the long forms of some tests run with -m long"
    if "scaffold" not in config.option.markexpr:
        found["scaffold"] = (
            "the test of a new lesson in a copy of the checkout runs with -m scaffold"
        )
    if importlib.util.find_spec("jsbsim") is None:
        found["sixdof"] = (
            "the 6-DoF tests were not run: jsbsim is not installed (pip install -e .[sixdof])"
        )
    return found


def pytest_collection_modifyitems(config, items):
    out = left_out(config)
    dropped = [item for item in items if any(item.get_closest_marker(name) for name in out)]
    if dropped:
        config.hook.pytest_deselected(items=dropped)
        items[:] = [item for item in items if item not in dropped]


def pytest_terminal_summary(terminalreporter, config):
    for reason in left_out(config).values():
        terminalreporter.write_line(reason)


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
