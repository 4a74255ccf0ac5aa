"""Measures the lesson in a real browser: ``python tests/bench/browser.py --json``.

Starts the kit as a user does, opens lesson 07 in Chromium, moves the first slider of the approach
bench and looks at the true pixels, by the browser's own recording of its frames. The same is done
with a plain `interactive` version of the same picture in the same run. Run it on a quiet machine.
"""

import argparse
import base64
import io
import json
import shutil
import statistics
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from PIL import Image
from playwright.sync_api import sync_playwright

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent / "browser"))

from kit_server import Kit, copy_of_lessons  # noqa: E402

from lessonkit.words import say  # noqa: E402

LESSON = "07_power_off_approach"
PLAIN = "plain"
HANDLE = ".widget-slider .noUi-handle:visible"
PICTURE = "svg.lk-svg"
PLAIN_PICTURE = ".jp-OutputArea img"
VIEW = {"width": 1366, "height": 900}
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"]
FLAGS += ["--disable-background-networking", "--disable-component-update", "--disable-sync"]
PRESSES, WARM_UP, TURN_ROUND = 45, 5, 15
SETTLE_S, QUIET_S = 4.0, 1.0
DRAG_S, DRAG_HZ, DRAG_SWEEP_S = 4.0, 60.0, 1.5
STARTS = 3
# A pixel counts as changed beyond the recording's own JPEG noise; a picture from this many on.
PIXEL_CHANGE, CHANGED_PIXELS = 40, 15

NOTE_KEYS = """() => {
  window.pressed = [];
  const note = event => window.pressed.push(performance.timeOrigin + event.timeStamp);
  document.addEventListener('keydown', note, true);
}"""


@dataclass
class Recording:
    """Frames of a page: when each was shown, and how the picture looked in it."""

    page: object
    box: dict
    frames: list = field(default_factory=list)

    def __enter__(self):
        self.session = self.page.context.new_cdp_session(self.page)
        self.session.on("Page.screencastFrame", self._take)
        options = {"format": "jpeg", "quality": 60, "everyNthFrame": 1}
        self.session.send("Page.startScreencast", options)
        self.page.wait_for_timeout(400)
        return self

    def __exit__(self, *problem):
        self.session.remove_listener("Page.screencastFrame", self._take)
        self.session.send("Page.stopScreencast")
        self.session.detach()

    def _take(self, event):
        self.frames.append((event["metadata"]["timestamp"] * 1000.0, event["data"]))
        self.session.send("Page.screencastFrameAck", {"sessionId": event["sessionId"]})

    def wait_quiet(self, since):
        """Wait until a frame has followed `since` [s] and no further one has followed it."""
        while time.time() - since < SETTLE_S:
            self.page.wait_for_timeout(25)
            newest = self.frames[-1][0] / 1000.0 if self.frames else 0.0
            if newest > since and time.time() - newest > QUIET_S:
                return

    def pictures(self):
        """Return time in ms and grey picture of each frame."""
        return [(moment, self._cut(data)) for moment, data in sorted(self.frames)]

    def _cut(self, data):
        image = Image.open(io.BytesIO(base64.b64decode(data))).convert("L")
        scale = image.width / VIEW["width"]
        left, top = max(self.box["x"], 0.0), max(self.box["y"], 0.0)
        right = min(self.box["x"] + self.box["width"], VIEW["width"])
        bottom = min(self.box["y"] + self.box["height"], VIEW["height"])
        edges = [int(edge * scale) for edge in (left, top, right, bottom)]
        return np.asarray(image.crop(edges)).astype(np.int16)


def changed(before, after):
    """Tell whether two pictures differ to the eye."""
    return before.shape != after.shape or (
        np.count_nonzero(np.abs(after - before) > PIXEL_CHANGE) > CHANGED_PIXELS
    )


def percentile(values, share):
    """Return the value below which a share of the values lies."""
    return float(np.percentile(values, share))


def key_to_pixel(page, picture):
    """Return the times in ms from each key press on the slider to changed pixels."""
    handle = page.locator(HANDLE).first
    handle.focus()
    page.evaluate(NOTE_KEYS)
    with Recording(page, page.locator(picture).first.bounding_box()) as recording:
        for index in range(WARM_UP + PRESSES):
            there, pressed = (index // TURN_ROUND) % 2 == 0, time.time()
            page.keyboard.press("ArrowRight" if there else "ArrowLeft")
            recording.wait_quiet(pressed)
    frames = recording.pictures()
    moments = page.evaluate("window.pressed")
    found = []
    for moment, following in zip(moments, [*moments[1:], np.inf], strict=True):
        before = [image for shown, image in frames if shown <= moment]
        after = [frame for frame in frames if moment < frame[0] < following]
        delays = [shown - moment for shown, image in after if before and changed(before[-1], image)]
        found += delays[:1]
    if len(found) < 0.8 * len(moments):
        raise SystemExit(f"only {len(found)} of {len(moments)} key presses changed the picture")
    return found[WARM_UP:]


def drag_rate(page, picture):
    """Return how many different pictures a second appear while the slider is dragged."""
    handle = page.locator(HANDLE).first.bounding_box()
    track = page.locator(f"{HANDLE} >> xpath=ancestor::*[contains(@class,'noUi-target')]").first
    track = track.bounding_box()
    row, left = handle["y"] + handle["height"] / 2, track["x"] + 10
    with Recording(page, page.locator(picture).first.bounding_box()) as recording:
        page.mouse.move(handle["x"] + handle["width"] / 2, row)
        page.mouse.down()
        page.mouse.move(left, row)
        page.wait_for_timeout(600)
        begun, steps = time.time(), 0
        while (gone := time.time() - begun) < DRAG_S:
            phase = (gone / DRAG_SWEEP_S) % 2
            share = phase if phase < 1 else 2 - phase
            page.mouse.move(left + (track["width"] - 20) * share, row)
            steps += 1
            page.wait_for_timeout(max(1.0, 1000 * (begun + steps / DRAG_HZ - time.time())))
        ended = time.time()
        page.mouse.up()
        page.wait_for_timeout(500)
    during = [f for f in recording.pictures() if begun * 1000 <= f[0] <= ended * 1000]
    new = sum(changed(a[1], b[1]) for a, b in zip(during, during[1:], strict=False))
    return new / (ended - begun)


def open_bench(page, kit):
    """Open lesson 07 with the controls shown and the picture in view."""
    page.goto(kit.lesson(LESSON))
    wait_live(page)
    page.get_by_role("button", name=say("panels.prediction.skip")).first.click()
    page.wait_for_selector(HANDLE)
    page.locator(HANDLE).first.evaluate("node => node.scrollIntoView({block: 'center'})")
    page.wait_for_timeout(1500)


def wait_live(page):
    """Wait until the lesson's controls work."""
    page.wait_for_function("document.body.dataset.lessonkit === 'live'", timeout=120_000)
    page.wait_for_selector(PICTURE, state="attached")


def open_plain(page, kit):
    """Open the plain version; it is no lesson, so it has to be run from the menu."""
    page.goto(kit.lesson(PLAIN))
    page.wait_for_function("document.body.dataset.lessonkit === 'inert'", timeout=120_000)
    page.wait_for_selector(".jp-Notebook-ExecutionIndicator[data-status=idle]", timeout=60_000)
    page.locator("#jp-MainMenu >> text=Run").first.click()
    page.locator(".lm-Menu-item[data-command='runmenu:run-all']").click()
    page.wait_for_selector(PLAIN_PICTURE, timeout=60_000)
    page.locator(HANDLE).first.evaluate("node => node.scrollIntoView({block: 'start'})")
    page.wait_for_timeout(1500)


def write_plain(folder):
    """Write the notebook with the plain version."""
    lines = [
        "import sys",
        f"sys.path.insert(0, {str(HERE)!r})",
        "import plain_picture",
        "plain_picture.show()",
    ]
    cell = {"cell_type": "code", "id": "plain", "metadata": {}, "outputs": []}
    cell |= {"execution_count": None, "source": "\n".join(lines)}
    kernel = {"display_name": "Python 3", "language": "python", "name": "python3"}
    notebook = {"cells": [cell], "metadata": {"kernelspec": kernel}}
    notebook |= {"nbformat": 4, "nbformat_minor": 5}
    (folder / f"{PLAIN}.ipynb").write_text(json.dumps(notebook), encoding="utf-8")


def command_to_live(browser, folder):
    """Return the seconds from the command to live controls of lesson 07, for several starts."""
    found = []
    for _ in range(STARTS):
        page = browser.new_page(viewport=VIEW)
        page.goto("about:blank")
        kit = Kit(folder)
        try:
            page.goto(kit.lesson(LESSON))
            wait_live(page)
            found.append(time.monotonic() - kit.started)
        finally:
            page.close()
            kit.stop()
    return found


def measure(browser, folder):
    """Return all rows."""
    starts = command_to_live(browser, folder / "starts")
    lessons = copy_of_lessons(folder / "lessons")
    write_plain(lessons)
    kit = Kit(folder / "run", notebooks=lessons)
    try:
        page = browser.new_page(viewport=VIEW)
        open_bench(page, kit)
        own = key_to_pixel(page, PICTURE)
        rate = drag_rate(page, PICTURE)
        page.close()
        page = browser.new_page(viewport=VIEW)
        open_plain(page, kit)
        plain = key_to_pixel(page, PLAIN_PICTURE)
        page.close()
    finally:
        kit.stop()
    keys = f"{len(own)} key presses on the bench's first slider, to the first frame that differs"
    median, plain_median = statistics.median(own), statistics.median(plain)
    return [
        ("slider_to_pixel_median_ms", median, "ms", keys),
        ("slider_to_pixel_p95_ms", percentile(own, 95), "ms", keys),
        (
            "vs_interactive_ratio",
            plain_median / median,
            "1",
            f"median of the plain version, {plain_median:.0f} ms in the same run, over ours",
        ),
        ("drag_fps", rate, "1/s", f"different pictures while dragged for {DRAG_S:g} s"),
        (
            "command_to_live_s",
            statistics.median(starts),
            "s",
            f"median of {STARTS} starts, the first in a new folder "
            f"({', '.join(f'{one:.1f}' for one in starts)} s); browser already open",
        ),
    ]


def main():
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true", help="print rows as JSON")
    options = parser.parse_args()
    path = next(filter(None, map(shutil.which, BROWSERS)), None)
    if path is None:
        raise SystemExit("No Chromium was found: install it to measure in a browser.")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        rows = [
            dict(zip(("name", "value", "unit", "how"), (n, round(v, 2), u, h), strict=True))
            for n, v, u, h in measure(browser, Path(folder))
        ]
        browser.close()
    if options.json:
        print(json.dumps(rows, indent=1))
        return
    for row in rows:
        print("{name} {value} {unit}  ({how})".format(**row))


if __name__ == "__main__":
    main()
