"""Measures a run by hand in a real page: ``python tests/bench/realtime.py --json``.

Starts the kit as a user does, opens lesson 02, begins the drill of rolls by its button and rolls
with the keys for a while. Pictures are counted in the page, and only those the kernel computed:
nothing in the page moves by itself. Meanwhile a second client of the same kernel times a cell.
Run it on a quiet machine; the load is told in every row.
"""

import argparse
import json
import os
import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path

import psutil
from jupyter_client import BlockingKernelClient
from playwright.sync_api import sync_playwright

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent / "browser"))
sys.path.insert(0, str(HERE))

from browser import BROWSERS, FLAGS, VIEW, percentile, wait_live  # noqa: E402
from kit_server import Kit  # noqa: E402

from lessonkit.words import say  # noqa: E402

LESSON = "02_coordination"
AREA = ".lk-hand-area:visible"
RUN_S, WARM_UP_S, ROLL_S = 20.0, 2.0, 1.2
CELLS = 25
CELL_LIMIT_S = 10.0

# One time stamp for each frame of the page in which something in the picture had changed.
COUNT_PICTURES = """() => {
  const area = [...document.querySelectorAll('.lk-hand-area')].find(e => e.offsetParent);
  const picture = area.closest('.lk-panel').querySelector('.lk-svg');
  window.shown = [];
  let due = 0;
  new MutationObserver(() => {
    due = due || requestAnimationFrame(now => { due = 0; window.shown.push(now); });
  }).observe(picture, {subtree: true, attributes: true, childList: true, characterData: true});
}"""
FIND_LOOP = """
from lessonkit.drills.loop import _RUNNING as _running
_loop = next(iter(_running.values()))
"""
# What the loop itself has noted, asked of the kernel while it runs.
ASK_LOOP = """
import json as _json
print(_json.dumps({
    'late': _loop.lateness, 't': _loop.t, 'dropped': _loop.dropped_s, 'pictures': _loop.pictures,
    'skipped': _loop.skipped, 'delay': _loop.hands.delay_s,
}))
"""


def second_client(kit):
    """Return a client of the newest kernel of a running kit."""
    files = sorted(kit.home.parent.rglob("kernel-*.json"), key=lambda path: path.stat().st_mtime)
    client = BlockingKernelClient(connection_file=str(files[-1]))
    client.load_connection_file()
    client.start_channels()
    # Not `wait_for_ready`: that waits for a pause in the pictures, and a run has none.
    client.kernel_info()
    client.get_shell_msg(timeout=CELL_LIMIT_S)
    client.execute_interactive(FIND_LOOP, store_history=False, timeout=CELL_LIMIT_S)
    return client


def cell_times(client):
    """Return how long an ordinary cell takes while the loop runs. [ms]"""
    found = []
    for _ in range(CELLS):
        begun = time.perf_counter()
        client.execute("6 * 7", silent=False, store_history=False)
        reply = client.get_shell_msg(timeout=CELL_LIMIT_S)
        found.append(1000.0 * (time.perf_counter() - begun))
        if reply["content"]["status"] != "ok":
            raise SystemExit(f"the cell failed: {reply['content']}")
        time.sleep(0.1)
    return found


def ask_loop(client):
    """Return what the loop has noted of itself."""
    lines = []

    def take(message):
        if message["msg_type"] == "stream":
            lines.append(message["content"]["text"])

    client.execute_interactive(
        ASK_LOOP, store_history=False, output_hook=take, timeout=CELL_LIMIT_S
    )
    return json.loads("".join(lines))


def begin(page, kit):
    """Open the lesson and start the first drill in it."""
    page.goto(kit.lesson(LESSON))
    wait_live(page)
    panel = page.locator(".lk-panel", has=page.locator(".lk-hand-area")).first
    skip = panel.get_by_role("button", name=say("panels.prediction.skip"))
    if skip.count():
        skip.first.click()
    start = panel.get_by_role("button", name=say("hands_on.button.fly"), exact=True)
    start.evaluate("node => node.scrollIntoView({block: 'start'})")
    page.wait_for_timeout(1500)
    page.evaluate(COUNT_PICTURES)
    start.click()
    page.wait_for_timeout(1000 * WARM_UP_S)


def roll(page, seconds):
    """Roll to and fro by the keys for some time."""
    begun, turn = time.time(), 0
    while time.time() - begun < seconds:
        stick = ("ArrowLeft", "ArrowRight")[turn % 2]
        foot = ("z", "x")[turn % 2]
        page.keyboard.down(stick)
        page.keyboard.down(foot)
        page.wait_for_timeout(500 * ROLL_S)
        page.keyboard.up(stick)
        page.keyboard.up(foot)
        page.wait_for_timeout(500 * ROLL_S)
        turn += 1


def measure(browser, folder):
    """Return all rows, without the load."""
    kit = Kit(folder / "run")
    try:
        page = browser.new_page(viewport=VIEW)
        begin(page, kit)
        client = second_client(kit)
        page.evaluate("() => { window.shown = []; window.begun = performance.now(); }")
        roll(page, RUN_S)
        shown, gone = page.evaluate("() => [window.shown, performance.now() - window.begun]")
        loop = ask_loop(client)
        memory = max(psutil.Process(pid).memory_info().rss for pid in kit.kernel_pids())
        cells = cell_times(client)
        client.stop_channels()
        page.close()
    finally:
        kit.stop()
    gaps = [b - a for a, b in zip(shown, shown[1:], strict=False)]
    late = [1000.0 * value for value in loop["late"]]
    run = f"the drill of rolls in lesson 02, {RUN_S:g} s of keys"
    return [
        ("realtime_fps", 1000.0 * len(shown) / gone, "1/s", f"pictures computed and shown; {run}"),
        ("realtime_gap_p95_ms", percentile(gaps, 95), "ms", "between two pictures in the page"),
        ("realtime_late_p95_ms", percentile(late, 95), "ms", "start of a turn after its due time"),
        ("realtime_dropped_s", loop["dropped"], "s", f"time left out in {loop['t']:.0f} s flown"),
        ("realtime_skipped", loop["skipped"], "1", f"held back, of {loop['pictures']} pictures"),
        (
            "picture_delay_ms",
            1000.0 * loop["delay"],
            "ms",
            "median way of a picture to the page, drawn, and of the answer back",
        ),
        (
            "cell_while_running_ms",
            statistics.median(cells),
            "ms",
            f"median of {CELLS} cells by a second client; longest {max(cells):.0f} ms",
        ),
        (
            "realtime_kernel_rss_mb",
            memory / 1e6,
            "MB",
            "kernel of lesson 02 with the run under way",
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
    before = os.getloadavg()[0]
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        found = measure(browser, Path(folder))
        browser.close()
    load = f"load {before:.1f} before, {os.getloadavg()[0]:.1f} after, {os.cpu_count()} cores"
    rows = [
        {"name": name, "value": round(value, 2), "unit": unit, "how": f"{how}; {load}"}
        for name, value, unit, how in found
    ]
    if options.json:
        print(json.dumps(rows, indent=1))
        return
    for row in rows:
        print("{name} {value} {unit}  ({how})".format(**row))


if __name__ == "__main__":
    main()
