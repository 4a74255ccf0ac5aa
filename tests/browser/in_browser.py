"""Steps that several browser tests take."""

LAPTOP = {"width": 1366, "height": 768}
LIVE_MS = 90_000


def wait_for(page, state):
    """Wait until the page says that its lesson is live, inert, stopped or failed."""
    page.wait_for_function(
        "state => document.body.dataset.lessonkit === state", arg=state, timeout=LIVE_MS
    )


def open_lesson(page, kit, key, state="live"):
    """Open a notebook and wait until it has come to rest."""
    page.goto(kit.lesson(key))
    wait_for(page, state)
