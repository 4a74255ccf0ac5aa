"""A browser and a running kit for the tests in this folder."""

import contextlib
import json
import shutil

import pytest
from in_browser import LAPTOP
from kit_server import Kit, copy_of_lessons

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
# Chromium without a screen, and without a single request of its own to the network.
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="module")
def browser():
    """One Chromium for a file of tests; its loop would be in the way of later tests' own."""
    from playwright.sync_api import sync_playwright

    path = next(filter(None, map(shutil.which, BROWSERS)))
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=path, headless=True, args=FLAGS)
        yield chromium
        chromium.close()


@contextlib.contextmanager
def fresh_page(browser):
    """Open a page that keeps its errors in `page.errors`."""
    context = browser.new_context(viewport=LAPTOP)
    page = context.new_page()
    page.errors = []
    page.on("pageerror", lambda error: page.errors.append(str(error)))
    page.on("dialog", lambda dialog: (page.errors.append(f"dialog {dialog.type}"), dialog.accept()))
    yield page
    context.close()


@pytest.fixture
def page(browser):
    """A fresh page that fails the test for an error of its own."""
    with fresh_page(browser) as page:
        yield page
        errors = page.errors
    assert not errors


@pytest.fixture(scope="module")
def page_of_module(browser):
    """A page for tests that leave it as they found it; `page.errors` is theirs to look at."""
    with fresh_page(browser) as page:
        yield page


@pytest.fixture(scope="session")
def kit(tmp_path_factory):
    """The kit as it is packaged."""
    kit = Kit(tmp_path_factory.mktemp("kit"))
    yield kit
    kit.stop()


@pytest.fixture(scope="session")
def altered_kit(tmp_path_factory):
    """The kit with one lesson changed by a character, and a notebook that is no lesson."""
    folder = tmp_path_factory.mktemp("altered")

    def add_a_line(cells):
        code = [cell for cell in cells if cell["cell_type"] == "code"]
        code[0]["source"] = "".join(code[0]["source"]) + "\nprint('altered')"

    lessons = copy_of_lessons(folder / "lessons", {"01_airplane_card": add_a_line})
    own = json.loads((lessons / "00_start_here.ipynb").read_text(encoding="utf-8"))
    # A file can bring widgets, and with them scripts.
    state = {"version_major": 2, "version_minor": 0, "state": {}}
    own["metadata"]["widgets"] = {"application/vnd.jupyter.widget-state+json": state}
    (lessons / "my_own.ipynb").write_text(json.dumps(own), encoding="utf-8")
    kit = Kit(folder / "run", notebooks=lessons)
    kit.lessons = lessons
    yield kit
    kit.stop()
