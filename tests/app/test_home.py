"""The learner's folder: nothing lost, nothing raised, one sentence for each trouble."""

import json
import os
import stat
import subprocess
import sys
import threading

import pytest

from lessonkit.app import files
from lessonkit.app.home import Home, Settings, home_folder, open_home, tidy_label


@pytest.fixture
def home(tmp_path):
    return Home(tmp_path / "home")


def test_reading_an_absent_folder_writes_nothing(home):
    assert home.read() == (Settings(), [])
    assert not home.folder.exists()


def test_a_choice_is_there_for_the_next_window(home):
    settings, messages = home.change(card="built_in:two_seat", label="student 3", speed_unit="mph")
    assert messages == []
    again, messages = Home(home.folder).read()
    assert messages == [] and again == settings
    assert (again.card, again.label, again.preferences.speed_unit) == (
        "built_in:two_seat",
        "student 3",
        "mph",
    )


def test_the_last_writer_wins_per_field_not_per_file(home):
    one, two = Home(home.folder), Home(home.folder)
    one.read()
    two.read()
    one.change(card="own:trainer")
    two.change(speed_unit="mph")
    one.change(label="student 1")
    two.change(label="student 2")
    settings, _ = home.read()
    assert (settings.card, settings.speed_unit, settings.label) == (
        "own:trainer",
        "mph",
        "student 2",
    )


def test_many_windows_at_once_lose_no_field(home):
    changes = [
        {"card": "own:x"},
        {"label": "x"},
        {"speed_unit": "mph"},
        {"mass_unit": "kg"},
        {"decimal_mark": ","},
        {"presentation": True},
    ]
    threads = [
        threading.Thread(target=lambda c=change: Home(home.folder).change(**c))
        for change in changes
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert home.read() == (Settings("own:x", "x", "mph", "kg", ",", "en", True), [])


TORN = {
    "empty": b"",
    "half": b'{"card": "own:trai',
    "binary": bytes(range(256)),
    "utf16": '{"label": "x"}'.encode("utf-16"),
    "list": b"[1, 2]",
    "number": b"7",
    "deep": b'{"x": ' + b"[" * 30000 + b"]" * 30000 + b"}",
    "deep enough to read": b'{"x": ' + b"[" * 300 + b"]" * 300 + b"}",
    "large": b'{"label": "' + b"x" * 70000 + b'"}',
    "huge number": b'{"version": 1' + b"0" * 6000 + b"}",
}


@pytest.mark.parametrize("content", TORN.values(), ids=TORN)
def test_an_unreadable_file_is_one_sentence_and_kept_aside(home, content):
    home.folder.mkdir()
    home.settings_file.write_bytes(content)
    settings, messages = home.read()
    assert settings == Settings()
    assert len(messages) == 1 and "settings.json" in messages[0]
    assert home.settings_file.read_bytes() == content  # reading changes nothing
    settings, messages = home.change(label="student 3")
    assert settings.label == "student 3"
    assert messages == ["The unreadable settings file was put aside as settings.kept-1.json."]
    assert (home.folder / "settings.kept-1.json").read_bytes() == content
    assert home.read() == (settings, [])


def test_a_folder_in_the_files_place_is_one_sentence(home):
    home.settings_file.mkdir(parents=True)
    settings, messages = home.read()
    assert settings == Settings() and len(messages) == 1


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes on this system")
def test_a_pipe_in_the_files_place_does_not_hold_the_lesson_up(home):
    home.folder.mkdir()
    os.mkfifo(home.settings_file)
    settings, messages = home.read()
    assert settings == Settings() and "not a plain file" in messages[0]


def test_a_newer_file_is_used_and_what_is_unknown_is_kept(home):
    home.folder.mkdir()
    newer = {"version": 9, "label": "student 3", "seat": {"left": True}, "speed_unit": "km/h"}
    home.settings_file.write_text(json.dumps(newer))
    settings, messages = home.read()
    assert (settings.label, settings.speed_unit) == ("student 3", "kt")
    assert any("newer kit" in message for message in messages)
    assert any("speed_unit" in message for message in messages)
    home.change(mass_unit="kg")
    stored = json.loads(home.settings_file.read_text())
    assert stored["seat"] == {"left": True} and stored["version"] == 9
    assert stored["speed_unit"] == "km/h" and stored["mass_unit"] == "kg"


HOSTILE = {
    "card": ["../../etc/passwd", "own:../x", "own:", "own:A", "other:x", 7, None, ["own:x"]],
    "label": ["x" * 41, "two\nlines", "bell\x07", "\ud800", "right\u202eleft", 3, {}],
    "speed_unit": ["km/h", "", 1, None],
    "mass_unit": ["stone", False],
    "decimal_mark": [";", ""],
    "language": ["english", "../en", 1],
    "presentation": ["yes", 1, None],
}


@pytest.mark.parametrize(
    ("name", "value"),
    [(name, value) for name, values in HOSTILE.items() for value in values],
)
def test_a_hostile_value_gives_the_usual_one_and_a_sentence(home, name, value):
    home.folder.mkdir()
    home.settings_file.write_text(json.dumps({name: value, "version": 1}))
    settings, messages = home.read()
    assert getattr(settings, name) == getattr(Settings(), name)
    assert len(messages) == 1 and name in messages[0]
    with pytest.raises((ValueError, TypeError)):
        home.change(**{name: value})


def test_a_folder_that_cannot_be_written_keeps_the_choice_in_this_window(tmp_path):
    # A file in the place of the folder: no user, not even root, can write below it.
    (tmp_path / "blocked").write_text("")
    home = Home(tmp_path / "blocked" / "home")
    settings, messages = home.change(card="own:trainer", speed_unit="mph")
    assert (settings.card, settings.speed_unit) == ("own:trainer", "mph")
    assert len(messages) == 1 and "LESSONKIT_HOME" in messages[0]
    assert home.read()[0] == settings


def test_a_read_only_folder_keeps_the_choice_and_the_old_file(home, monkeypatch):
    home.change(label="student 3")
    before = home.settings_file.read_bytes()

    def refuse(*args, **kwargs):
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr(files.tempfile, "mkstemp", refuse)
        settings, messages = home.change(label="student 4", speed_unit="mph")
    assert settings.label == "student 4" and "no permission" in messages[0]
    assert home.settings_file.read_bytes() == before
    # Once the folder can be written again, the next choice saves what was waiting too.
    home.change(mass_unit="kg")
    again, messages = Home(home.folder).read()
    assert (again.label, again.speed_unit, again.mass_unit) == ("student 4", "mph", "kg")
    assert messages == [] and home.unsaved == {}


def test_a_full_disk_leaves_no_half_file(home, monkeypatch):
    home.change(label="student 3")
    before = home.settings_file.read_bytes()

    def full(handle):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(files.os, "fsync", full)
        settings, messages = home.change(label="student 4")
    assert settings.label == "student 4" and "disk is full" in messages[0]
    assert home.settings_file.read_bytes() == before
    left = {path.name for path in home.folder.iterdir()} - {"settings.lock"}
    assert left == {"settings.json"}


def test_a_window_that_holds_the_lock_is_waited_for_and_then_named(home, monkeypatch):
    from filelock import FileLock

    home.change(label="student 3")
    monkeypatch.setattr(files.locked.__wrapped__, "__defaults__", (0.05,))
    with FileLock(home.folder / "settings.lock"):
        settings, messages = home.change(label="student 4")
    assert settings.label == "student 4" and "Another window" in messages[0]
    assert Home(home.folder).read()[0].label == "student 3"


def test_a_killed_process_leaves_neither_a_lock_nor_a_torn_file(home):
    home.change(label="before")
    code = (
        "import os, pathlib, sys\n"
        "from lessonkit.app import files\n"
        "from lessonkit.app.home import Home\n"
        "files.os.replace = lambda *names: os._exit(9)\n"  # dies with the new file half in place
        "Home(pathlib.Path(sys.argv[1])).change(label='after')\n"
    )
    result = subprocess.run([sys.executable, "-c", code, str(home.folder)], timeout=60)
    assert result.returncode == 9
    assert home.read() == (Settings(label="before"), [])
    settings, messages = home.change(label="next")
    assert messages == [] and Home(home.folder).read() == (settings, [])


@pytest.mark.skipif(os.name != "posix", reason="POSIX permissions")
def test_only_the_owner_may_read(home):
    old = os.umask(0)
    try:
        home.change(label="student 3")
    finally:
        os.umask(old)
    modes = {path: stat.S_IMODE(path.stat().st_mode) for path in (home.folder, home.settings_file)}
    assert list(modes.values()) == [0o700, 0o600]


def test_the_variable_decides_where_the_folder_is(tmp_path, monkeypatch):
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path / "mine"))
    assert home_folder() == tmp_path / "mine"
    assert open_home() is open_home()
    monkeypatch.setenv("LESSONKIT_HOME", "  ")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    assert "lessonkit" in home_folder().name
    assert home_folder().is_absolute()


def test_a_label_is_one_short_line():
    assert tidy_label(" a \t b\n") == "a b"
    with pytest.raises(ValueError, match="at most 40"):
        tidy_label("x" * 41)


def test_a_refused_change_changes_nothing(home):
    home.change(label="student 3")
    with pytest.raises(ValueError, match="kt"):
        home.change(label="student 4", speed_unit="furlongs")
    assert home.read()[0].label == "student 3"
