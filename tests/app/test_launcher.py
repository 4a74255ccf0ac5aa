"""The launcher's own decisions; the running server is tested in tests/browser."""

import socket
from pathlib import Path

import pytest

from lessonkit.app import launcher
from lessonkit.app.launcher import ADDRESS, LaunchTrouble, free_port, shown_folder


@pytest.fixture
def taken():
    with socket.socket() as other:
        other.bind((ADDRESS, 0))
        other.listen()
        yield other.getsockname()[1]


def test_free_port_is_taken_as_it_is():
    with socket.socket() as probe:
        probe.bind((ADDRESS, 0))
        port = probe.getsockname()[1]

    assert free_port(port) == port


def test_taken_port_moves_on(taken):
    assert free_port(taken) > taken


def test_no_free_port_is_one_sentence(taken, monkeypatch):
    monkeypatch.setattr(launcher, "PORTS_TRIED", 1)

    with pytest.raises(LaunchTrouble, match=rf"{taken}.*--port\.$"):
        free_port(taken)


def test_last_port_is_not_passed():
    with socket.socket() as other:
        other.bind((ADDRESS, launcher.HIGHEST_PORT))
        other.listen()
        with pytest.raises(LaunchTrouble):
            free_port(launcher.HIGHEST_PORT)


def test_folder_is_shown_as_people_write_it():
    assert shown_folder(Path.home() / "kit") == str(Path("~") / "kit")
    assert shown_folder(Path("/elsewhere/kit")) == str(Path("/elsewhere/kit"))


def test_missing_browser_is_told(monkeypatch, capsys):
    def none_found():
        raise launcher.webbrowser.Error("none")

    monkeypatch.setattr(launcher.webbrowser, "get", none_found)
    launcher._announce("http://x", browser=True)

    assert "No browser" in capsys.readouterr().out
