"""Starts JupyterLab on this computer, set up for the lessons, and ends it with Ctrl-C."""

import logging
import os
import secrets
import signal
import socket
import sys
import webbrowser
from pathlib import Path

import lessonkit.app.quick_start  # noqa: F401  (before Jupyter)
from lessonkit.app.environment import build_environment
from lessonkit.app.home import home_folder
from lessonkit.app.places import START_LESSON, lesson_files, notebooks_folder
from lessonkit.words import say

ADDRESS = "127.0.0.1"
DEFAULT_PORT = 8888
PORTS_TRIED = 50
TOKEN_BYTES = 24
LOWEST_PORT, HIGHEST_PORT = 1024, 65535


class LaunchTrouble(Exception):
    """The lessons cannot be opened; the message is one sentence."""


def launch(port: int = DEFAULT_PORT, browser: bool = True) -> None:
    """Serve the lessons until Ctrl-C.

    Parameters
    ----------
    port : int
        Port to begin with; the next free one is taken.
    browser : bool
        Open the start page in the user's browser.

    Raises
    ------
    LaunchTrouble, FolderTrouble
        One sentence, when the lessons cannot be served.
    """
    if not lesson_files():
        raise LaunchTrouble(say("app.error.no_lessons", folder=notebooks_folder()))
    # First, so that not even the import of Jupyter looks into the user's own Jupyter home.
    os.environ.update(build_environment())
    tell(say("app.start.starting"))
    free = free_port(port)
    if free != port:
        tell(say("app.start.port_taken", wanted=port, used=free))
    server = _prepare(free)
    _end_on_signals(server)
    address = lesson_address(server.port, server.identity_provider.token)
    server.io_loop.add_callback(_announce, address, browser)
    server.start()


def free_port(first: int) -> int:
    """Return the first port from `first` on at which this computer can listen.

    Parameters
    ----------
    first : int

    Returns
    -------
    int

    Raises
    ------
    LaunchTrouble
        When none of the next ports is free.
    """
    for port in range(first, min(first + PORTS_TRIED, HIGHEST_PORT + 1)):
        with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
            if os.name != "nt":  # as the server itself does; on Windows it would share the port
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind((ADDRESS, port))
            except OSError:
                continue
            return port
    raise LaunchTrouble(say("app.error.no_port", port=first))


def lesson_address(port: int, token: str, lesson: str = START_LESSON) -> str:
    """Return the address of a lesson.

    Examples
    --------
    >>> lesson_address(8888, "abc", "00_start_here.ipynb")
    'http://127.0.0.1:8888/doc/tree/00_start_here.ipynb?token=abc'
    """
    return f"http://{ADDRESS}:{port}/doc/tree/{lesson}?token={token}"


def tell(sentence: str) -> None:
    """Say something on the command line at once, even into a pipe."""
    print(sentence, flush=True)


def _prepare(port: int):
    """Return the server, ready to start."""
    from jupyterlab.labapp import LabApp
    from traitlets.config import Config

    settings = Config()
    settings.ServerApp.ip = ADDRESS
    settings.ServerApp.port = port
    settings.ServerApp.port_retries = PORTS_TRIED
    settings.ServerApp.open_browser = False  # _announce does it, with one line in plain words
    settings.Application.log_level = logging.ERROR
    # Given, not left to Jupyter, because Jupyter announces a token of its own in its own words.
    settings.IdentityProvider.token = secrets.token_hex(TOKEN_BYTES)
    return LabApp.initialize_server(argv=[], config=settings)


def _end_on_signals(server) -> None:
    """Let Ctrl-C and a polite end from outside stop the server and its kernels, unasked."""

    def end(number, frame):
        if not getattr(server, "_stopping", False):
            tell("\n" + say("app.start.stopping"))
            server.stop(from_signal=True)

    for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), end)


def _announce(address: str, browser: bool) -> None:
    """Say where the lessons are, once the server listens."""
    tell(say("app.start.address"))
    tell(f"  {address}")
    tell(say("app.start.stop", folder=shown_folder(home_folder())))
    if browser and not _open_browser(address):
        tell(say("app.start.no_browser"))


def shown_folder(folder: Path) -> str:
    """Return a folder as a person writes it: the part below the user's own as ``~``."""
    try:
        return str(Path("~") / folder.relative_to(Path.home()))
    except (ValueError, RuntimeError):
        return str(folder)


def _open_browser(address: str) -> bool:
    try:
        return webbrowser.get().open(address)
    except webbrowser.Error as error:
        print(error, file=sys.stderr)
        return False
