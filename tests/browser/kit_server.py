"""Starts the kit as a user does, for tests in a browser."""

import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from pathlib import Path

PROJECT = Path(__file__).parents[2]
NOTEBOOKS = PROJECT / "notebooks"
START_S = 60.0
STOP_S = 20.0
# What a user's own Jupyter, matplotlib and IPython look at.
OWN_SETTINGS = re.compile(r"(JUPYTER|IPYTHON|MPL|XDG_|LESSONKIT)")


class Kit:
    """A running `python -m lessonkit`.

    Parameters
    ----------
    folder : Path
        Everything of this run lies below it: the user's home and the learner's folder.
    notebooks : Path, optional
        Lessons folder to serve; the packaged one without it.
    port : int, optional
        As on the command line.
    """

    def __init__(self, folder, notebooks=None, port=None):
        self.user_home = folder / "user"
        self.user_home.mkdir(parents=True, exist_ok=True)
        self.home = folder / "kit"
        environment = {
            name: value for name, value in os.environ.items() if not OWN_SETTINGS.match(name)
        }
        environment |= {"HOME": str(self.user_home), "USERPROFILE": str(self.user_home)}
        environment["LESSONKIT_HOME"] = str(self.home)
        if notebooks is not None:
            environment["LESSONKIT_NOTEBOOKS"] = str(notebooks)
        self.port_asked = port or free_port()
        self.started = time.monotonic()
        command = [sys.executable, "-m", "lessonkit", "--no-browser", "--port"]
        self.process = subprocess.Popen(
            [*command, str(self.port_asked)],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            env=environment,
            cwd=PROJECT,
        )
        self.lines = []
        self._listening = threading.Event()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()
        if not self._listening.wait(START_S):
            self.stop()
            raise AssertionError("the kit did not start:\n" + "".join(self.lines))
        self.address = re.search(r"http://\S+", "".join(self.lines))[0]
        self.base, self.token = re.fullmatch(r"(.*)/doc/tree/.*token=(\w+)", self.address).groups()

    def _read(self):
        for line in self.process.stdout:
            self.lines.append(line)
            if "http://" in line:
                self._listening.set()

    def lesson(self, key):
        """Return the address of a notebook."""
        return f"{self.base}/doc/tree/{key}.ipynb?token={self.token}"

    def ask(self, path, method="GET", body=None):
        """Return status and answer of the server, as the page would ask it."""
        request = urllib.request.Request(
            self.base + path,
            method=method,
            data=None if body is None else json.dumps(body).encode(),
            headers={"Authorization": f"token {self.token}"},
        )
        try:
            with urllib.request.urlopen(request, timeout=20) as answer:
                return answer.status, json.loads(answer.read() or b"null")
        except urllib.error.HTTPError as error:
            with error:
                return error.code, error.read().decode(errors="replace")

    def kernel_pids(self):
        """Return the live processes of the kernels."""
        import psutil

        def is_kernel(child):
            # One that ends between the listing and this question is no kernel any more.
            try:
                return "ipykernel_launcher" in " ".join(child.cmdline())
            except (psutil.ZombieProcess, psutil.NoSuchProcess):
                return False

        found = psutil.Process(self.process.pid).children(recursive=True)
        return [child.pid for child in found if is_kernel(child)]

    def stop(self, number=signal.SIGINT):
        """End it as Ctrl-C does and return the exit code; a kit that goes on is killed."""
        if self.process.poll() is None:
            self.process.send_signal(number)
            try:
                self.process.wait(STOP_S)
            except subprocess.TimeoutExpired:
                self.process.kill()
                self.process.wait()
                raise
        self._reader.join(5)
        self.process.stdout.close()
        return self.process.returncode


def free_port():
    """Return a port that was free a moment ago."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def copy_of_lessons(folder, change=None):
    """Copy the lessons to a folder; `change` maps a notebook's key to what to do with its cells."""
    shutil.copytree(NOTEBOOKS, folder, ignore=shutil.ignore_patterns(".*"))
    for key, alter in (change or {}).items():
        path = folder / f"{key}.ipynb"
        notebook = json.loads(path.read_text(encoding="utf-8"))
        alter(notebook["cells"])
        path.write_text(json.dumps(notebook), encoding="utf-8")
    return folder


def listing(folder):
    """Return every file below a folder with its content."""
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else b""
        for path in sorted(folder.rglob("*"))
    }
