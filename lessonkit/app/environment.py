"""The one place that says how a Jupyter server must be set up to serve the lessons.

The launcher, the binder start script and a hub all use ``build_environment``. Everything that
Jupyter, IPython and matplotlib would write goes into the kit's own folder; the user's own
Jupyter home is neither read nor written.
"""

import json
import os
import shlex
import sys
import tempfile
from pathlib import Path

from lessonkit.app.home import home_folder
from lessonkit.app.places import (
    EXTENSION_FOLDER,
    FOLDER,
    START_LESSON,
    lesson_title,
    notebooks_folder,
)
from lessonkit.app.trust import trusted_lessons
from lessonkit.words import say, texts

SETTINGS_FILE = FOLDER / "lab_settings.json"
PAGE_FILE = FOLDER / "lab_page.json"
FORMS = ("posix", "cmd", "powershell")
# A kernel whose page was closed ends after this time; one with an open page never does.
IDLE_KERNEL_S = 15 * 60
IDLE_CHECK_S = 60


class FolderTrouble(Exception):
    """The kit's own folder cannot be written; the message is one sentence."""


def build_environment(home: Path | None = None) -> dict[str, str]:
    """Write the server's settings into the kit's own folder and return the variables to set.

    Parameters
    ----------
    home : Path, optional
        The learner's folder; `home_folder()` without it.

    Returns
    -------
    dict of str to str
        Environment variables. A Jupyter server started with them serves the lessons.

    Raises
    ------
    FolderTrouble
        One sentence, when the folder cannot be written.
    """
    home = home_folder() if home is None else home
    jupyter = home / "jupyter"
    config = jupyter / "config"
    try:
        _write(config / "jupyter_server_config.json", _server_settings())
        _write(config / "labconfig" / "page_config.json", _page_settings())
        _write(config / "labconfig" / "default_setting_overrides.json", _packaged(SETTINGS_FILE))
        for name in ("data", "runtime", "ipython", "matplotlib"):
            (jupyter / name).mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise FolderTrouble(say("app.error.folder", folder=home, reason=reason)) from error
    return {
        "LESSONKIT_HOME": str(home),
        "JUPYTER_CONFIG_DIR": str(config),
        "JUPYTER_CONFIG_PATH": str(config),
        "JUPYTER_DATA_DIR": str(jupyter / "data"),
        "JUPYTER_RUNTIME_DIR": str(jupyter / "runtime"),
        "JUPYTER_PATH": str(EXTENSION_FOLDER),
        "JUPYTERLAB_SETTINGS_DIR": str(jupyter / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(jupyter / "workspaces"),
        "IPYTHONDIR": str(jupyter / "ipython"),
        "MPLCONFIGDIR": str(jupyter / "matplotlib"),
    }


def as_lines(variables: dict[str, str], form: str = "posix") -> str:
    """Return the variables as lines that a command window runs.

    Parameters
    ----------
    variables : dict of str to str
    form : {"posix", "cmd", "powershell"}

    Returns
    -------
    str

    Examples
    --------
    >>> as_lines({"A": "b c"})
    "export A='b c'"
    >>> as_lines({"A": "b c"}, "cmd")
    'set "A=b c"'
    >>> as_lines({"A": "it's"}, "powershell")
    "$env:A = 'it''s'"
    """
    write = {
        "posix": lambda name, value: f"export {name}={shlex.quote(value)}",
        "cmd": lambda name, value: f'set "{name}={value}"',
        "powershell": lambda name, value: "$env:{} = '{}'".format(name, value.replace("'", "''")),
    }[form]
    return "\n".join(write(name, value) for name, value in variables.items())


def own_form() -> str:
    """Return the form of lines for this computer."""
    return "cmd" if sys.platform == "win32" else "posix"


def _server_settings() -> dict:
    # Imported here: `list` and `airplane` need no server.
    import zmq

    folder = str(notebooks_folder())
    is_root = hasattr(os, "geteuid") and os.geteuid() == 0
    return {
        "ServerApp": {
            "root_dir": folder,
            "default_url": f"/doc/tree/{START_LESSON}",
            "contents_manager_class": "lessonkit.app.contents.LessonContents",
            "terminals_enabled": False,
            # Jupyter refuses to run as root unless it is told to; a container often is root.
            "allow_root": is_root,
            "jpserver_extensions": {
                "jupyterlab": True,
                "jupyter_lsp": False,
                "jupyter_server_terminals": False,
                "notebook_shim": False,
            },
        },
        "LabApp": {
            "default_url": f"/doc/tree/{START_LESSON}",
            "extension_manager": "readonly",
            "news_url": None,
        },
        "MappingKernelManager": {
            "cull_idle_timeout": IDLE_KERNEL_S,
            "cull_interval": IDLE_CHECK_S,
            "cull_connected": False,
        },
        # Server and kernels talk over this computer's network, where other users could listen.
        "KernelManager": {"transport_encryption": "auto" if zmq.has("curve") else "disabled"},
    }


def _page_settings() -> dict:
    prefix = "app.page."
    words = {key.removeprefix(prefix): say(key) for key in texts("app") if key.startswith(prefix)}
    lessons = trusted_lessons()
    titles = {path: lesson_title(path.removesuffix(".ipynb")) for path in lessons}
    kit = {"lessons": lessons, "titles": titles, "start": START_LESSON, "words": words}
    # As one text, because JupyterLab keeps only the keys of a mapping that it does not know.
    return {**_packaged(PAGE_FILE), "lessonkit": json.dumps(kit)}


def _packaged(path: Path) -> dict:
    return json.loads(path.read_text(encoding="utf-8"))


def _write(path: Path, content: dict) -> None:
    """Write a settings file in one step: a second window never reads half of it."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=path.name, suffix=".new")
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            json.dump(content, file, indent=1)
        os.replace(name, path)
    except OSError:
        Path(name).unlink(missing_ok=True)
        raise
