"""A lesson runs on opening only if it is on the list and its code is the packaged code."""

import json
import os
import signal

import pytest
from in_browser import open_lesson, wait_for

from lessonkit.app.trust import code_hash
from lessonkit.words import say

pytestmark = pytest.mark.browser

SUMS = """
async ([base, lists]) => {
  const trust = await import(base + '/lab/extensions/lessonkit/static/trust.js');
  return lists.map(list => trust.codeHash(list));
}
"""


def outputs(page):
    """Return what the notebook's code has produced, beside what was stored in the file."""
    return page.locator(".jupyter-widgets, .jp-mod-error").count()


def test_changed_lesson_stays_inert_and_says_why(page, altered_kit):
    open_lesson(page, altered_kit, "01_airplane_card", state="inert")

    page.wait_for_timeout(2000)
    assert page.locator(".lessonkit-notice").inner_text() == say("app.page.changed")
    assert outputs(page) == 0
    assert page.get_by_text("altered").count() == 0


def test_unknown_notebook_stays_inert_and_says_why(page, altered_kit):
    open_lesson(page, altered_kit, "my_own", state="inert")

    page.wait_for_timeout(2000)
    assert page.locator(".lessonkit-notice").inner_text() == say("app.page.not_listed")
    assert outputs(page) == 0


def test_unchanged_lesson_beside_them_is_live(page, altered_kit):
    open_lesson(page, altered_kit, "00_start_here")

    assert outputs(page) > 0
    assert page.locator(".lessonkit-notice").count() == 0


def test_self_check_is_neither_run_nor_shown(page, kit):
    sent = []
    page.on("websocket", lambda socket: socket.on("framesent", lambda frame: sent.append(frame)))

    open_lesson(page, kit, "00_start_here")

    run = [frame for frame in map(as_text, sent) if "execute_request" in frame]
    assert len(run) == page.locator(".jp-CodeCell").count() - 1
    assert any("open_lesson" in frame for frame in run)
    assert not any("self_check" in frame for frame in run)
    cell = page.locator(".lessonkit-self-check")
    assert cell.count() == 1
    assert not cell.is_visible()


def as_text(frame):
    return frame if isinstance(frame, str) else frame.decode("utf-8", errors="replace")


def test_page_and_package_sum_alike(page, kit):
    open_lesson(page, kit, "00_start_here")
    lists = [
        [],
        [""],
        ["a", "b"],
        ["ab"],
        ['# 50° left, ½ nm \u2708 \U0001f6e9\n\t"x\\y" \u2028 \x7f'],
        ["x" * length for length in range(50, 70)],
    ]

    assert page.evaluate(SUMS, [kit.base, lists]) == [code_hash(one) for one in lists]


def test_stored_widgets_of_a_file_are_not_handed_to_the_page(altered_kit):
    stored = json.loads((altered_kit.lessons / "my_own.ipynb").read_text(encoding="utf-8"))
    status, model = altered_kit.ask("/api/contents/my_own.ipynb")

    assert status == 200
    assert "widgets" in stored["metadata"]
    assert "widgets" not in model["content"]["metadata"]


def test_lesson_comes_back_after_its_kernel_died(page, kit):
    open_lesson(page, kit, "00_start_here")
    before = set(kit.kernel_pids())
    for pid in before:
        os.kill(pid, signal.SIGKILL)

    wait_for(page, "opening")
    wait_for(page, "live")
    assert not before & set(kit.kernel_pids())
    assert page.locator(".jupyter-widgets").count() > 0
    assert page.locator(".jp-Dialog:visible").count() == 0
