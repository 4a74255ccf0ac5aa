"""The command itself: the user's own Jupyter home, a taken port, Ctrl-C."""

import os
import signal
import socket

import pytest
from in_browser import open_lesson
from kit_server import Kit, free_port, listing

from lessonkit.words import say

pytestmark = pytest.mark.browser


@pytest.fixture
def start(tmp_path):
    """Start kits that end with the test."""
    running = []

    def begin(**options):
        kit = Kit(tmp_path / f"run{len(running)}", **options)
        running.append(kit)
        return kit

    yield begin
    for kit in running:
        kit.stop()


def alive(pid):
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def test_users_own_folders_stay_untouched(page, tmp_path):
    own = tmp_path / "user"
    traps = {
        ".jupyter/jupyter_server_config.py": "raise SystemExit('own settings were read')",
        ".jupyter/jupyter_lab_config.py": "raise SystemExit('own settings were read')",
        ".ipython/profile_default/startup/own.py": "raise SystemExit('own start was read')",
        ".config/matplotlib/matplotlibrc": "figure.facecolor: red\n",
    }
    for name, text in traps.items():
        (own / name).parent.mkdir(parents=True, exist_ok=True)
        (own / name).write_text(text)
    before = listing(own)

    kit = Kit(tmp_path)
    try:
        open_lesson(page, kit, "00_start_here")
        assert page.locator(".jupyter-widgets").count() > 0
    finally:
        kit.stop()

    assert listing(own) == before


def test_taken_port_moves_on_and_says_so(start):
    port = free_port()
    with socket.socket() as other:
        other.bind(("127.0.0.1", port))
        other.listen()
        kit = start(port=port)

        assert not kit.base.endswith(f":{port}")
        used = kit.base.rpartition(":")[2]
        assert say("app.start.port_taken", wanted=port, used=used) in "".join(kit.lines)


def test_two_windows_run_side_by_side(start):
    first = start()
    second = start(port=first.port_asked)

    assert first.base != second.base
    assert first.ask("/api/status")[0] == second.ask("/api/status")[0] == 200


def test_answers_only_with_its_token(kit, monkeypatch):
    assert kit.ask("/api/contents")[0] == 200
    monkeypatch.setattr(kit, "token", "wrong")

    assert kit.ask("/api/contents")[0] == 403


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_ends_with_its_kernels_unasked(page, start, number):
    kit = start()
    open_lesson(page, kit, "00_start_here")
    kernels = kit.kernel_pids()
    assert kernels

    assert kit.stop(number) == 0
    assert not any(map(alive, kernels))
    assert say("app.start.stopping") in "".join(kit.lines)
    assert_plain_lines(kit)
    left = [path for path in (kit.home / "jupyter" / "runtime").iterdir() if "kernel" in path.name]
    assert left == []


def assert_plain_lines(kit):
    """From the start to the end, with a lesson opened between, it said its own lines alone."""
    beginnings = [
        say("app.start.starting"),
        say("app.start.address"),
        "  http://127.0.0.1:",
        say("app.start.stop", folder="")[:20],
        say("app.start.stopping"),
    ]
    lines = [line.rstrip("\n") for line in kit.lines if line.strip()]
    assert len(lines) == len(beginnings)
    for line, beginning in zip(lines, beginnings, strict=True):
        assert line.startswith(beginning)
