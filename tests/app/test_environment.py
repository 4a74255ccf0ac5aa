"""The one function that sets up a server for the lessons."""

import json
import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from lessonkit.app import environment
from lessonkit.app.environment import as_lines, build_environment
from lessonkit.app.trust import trusted_lessons

FOLDERS = [
    "JUPYTER_CONFIG_DIR",
    "JUPYTER_DATA_DIR",
    "JUPYTER_RUNTIME_DIR",
    "JUPYTERLAB_SETTINGS_DIR",
    "JUPYTERLAB_WORKSPACES_DIR",
    "IPYTHONDIR",
    "MPLCONFIGDIR",
]


def test_everything_that_is_written_lies_in_the_kits_own_folder(tmp_path):
    variables = build_environment(tmp_path / "kit")

    assert variables["LESSONKIT_HOME"] == str(tmp_path / "kit")
    for name in FOLDERS:
        assert Path(variables[name]).is_relative_to(tmp_path / "kit")
    assert set(os.listdir(tmp_path)) == {"kit"}


def test_jupyter_takes_its_folders_from_it(tmp_path):
    variables = build_environment(tmp_path / "kit")
    code = (
        "from jupyter_core import paths as p; from jupyterlab import commands as c;"
        "print(p.jupyter_config_dir(), p.jupyter_data_dir(), p.jupyter_runtime_dir(),"
        " c.get_user_settings_dir(), c.get_workspaces_dir(), p.jupyter_config_path()[0])"
    )
    shown = subprocess.run(
        [sys.executable, "-c", code], env=os.environ | variables, capture_output=True, text=True
    ).stdout.split()

    names = [*FOLDERS[:5], "JUPYTER_CONFIG_DIR"]
    assert shown == [variables[name] for name in names]


def read(variables, *parts):
    path = Path(variables["JUPYTER_CONFIG_DIR"], *parts)
    return json.loads(path.read_text(encoding="utf-8"))


def test_page_gets_the_packaged_list(tmp_path):
    variables = build_environment(tmp_path)

    kit = json.loads(read(variables, "labconfig", "page_config.json")["lessonkit"])
    assert kit["lessons"] == trusted_lessons()
    assert kit["titles"].keys() == kit["lessons"].keys()
    assert all(kit["words"].values())


def test_server_is_read_only_and_without_terminals(tmp_path):
    server = read(build_environment(tmp_path), "jupyter_server_config.json")["ServerApp"]

    assert server["terminals_enabled"] is False
    assert server["contents_manager_class"] == "lessonkit.app.contents.LessonContents"
    assert Path(server["root_dir"]).name == "notebooks"
    # Nothing of the address is fixed here: a hub and the launcher each give their own.
    assert not {"ip", "port", "token", "allow_origin"} & set(server)


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="no root user on this system")
@pytest.mark.parametrize("user, allowed", [(0, True), (1000, False)])
def test_root_is_allowed_only_for_root(tmp_path, monkeypatch, user, allowed):
    monkeypatch.setattr(environment.os, "geteuid", lambda: user)

    server = read(build_environment(tmp_path), "jupyter_server_config.json")["ServerApp"]
    assert server["allow_root"] is allowed


def test_settings_keep_the_page_quiet(tmp_path):
    settings = read(build_environment(tmp_path), "labconfig", "default_setting_overrides.json")

    notices = settings["@jupyterlab/apputils-extension:notification"]
    assert notices["fetchNews"] == "false" and notices["checkForUpdates"] is False
    assert settings["@jupyterlab/docmanager-extension:plugin"]["autosave"] is False
    kernels = settings["@jupyterlab/apputils-extension:kernels-settings"]
    assert kernels["commsOverSubshells"] == "disabled"
    tracker = settings["@jupyterlab/notebook-extension:tracker"]
    assert tracker["windowingMode"] in ("none", "defer")


def test_settings_have_names_that_jupyterlab_knows(tmp_path):
    schemas = Path(sys.prefix, "share", "jupyter", "lab", "schemas")
    others = Path(sys.prefix, "share", "jupyter", "labextensions")
    settings = read(build_environment(tmp_path), "labconfig", "default_setting_overrides.json")

    for plugin, values in settings.items():
        package, _, name = plugin.partition(":")
        places = [schemas / package, others / package / "schemas" / package]
        files = [place / f"{name}.json" for place in places]
        schema = json.loads(next(filter(Path.is_file, files)).read_text(encoding="utf-8"))
        assert set(values) <= set(schema["properties"]), plugin


@pytest.mark.skipif(os.name == "nt", reason="a POSIX shell is needed")
def test_posix_lines_survive_a_shell(tmp_path):
    hostile = {"LESSONKIT_HOME": f'{tmp_path}/it\'s $HOME `x` "q"', "B": "two words"}
    script = as_lines(hostile) + '\nprintf "%s\\n%s" "$LESSONKIT_HOME" "$B"'

    shown = subprocess.run(["sh", "-c", script], capture_output=True, text=True).stdout
    assert shown == "\n".join(hostile.values())
    assert [shlex.split(line)[0] for line in as_lines(hostile).splitlines()] == ["export"] * 2


def test_two_windows_at_once_leave_whole_files(tmp_path):
    code = "from lessonkit.app.environment import build_environment as b\nfor _ in range(40): b()"
    variables = os.environ | {"LESSONKIT_HOME": str(tmp_path)}
    writers = [subprocess.Popen([sys.executable, "-c", code], env=variables) for _ in range(2)]

    assert [writer.wait(60) for writer in writers] == [0, 0]
    files = [path for path in tmp_path.rglob("*") if path.is_file()]
    assert len(files) == 3
    for path in files:
        json.loads(path.read_text(encoding="utf-8"))
