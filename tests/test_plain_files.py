"""Ordinary files only, never waiting; and the only place of the package that cares for it."""

import os
import socket
from pathlib import Path

import pytest

from lessonkit.plain_files import NotPlainFile, open_plain, read_plain

POSIX = pytest.mark.skipif(os.name != "posix", reason="links and pipes are a POSIX matter")
PACKAGE = Path(__file__).parents[1] / "lessonkit"


def test_no_more_than_one_byte_over_the_limit(tmp_path):
    path = tmp_path / "file"
    path.write_bytes(b"a\r\nb\x1a\x00")
    assert read_plain(path, 100) == b"a\r\nb\x1a\x00"
    assert read_plain(path, 6) == b"a\r\nb\x1a\x00"
    assert read_plain(path, 2) == b"a\r\n"


@pytest.mark.parametrize("name", ["none", "none/below", "zero\x00character"])
def test_what_is_not_there_is_missing(tmp_path, name):
    with pytest.raises(FileNotFoundError):
        read_plain(tmp_path / name, 10)


def test_a_file_where_a_folder_should_be_is_told_apart(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(NotADirectoryError):
        read_plain(tmp_path / "file" / "below", 10)


@POSIX
@pytest.mark.parametrize("flags", [os.O_RDONLY, os.O_RDWR | os.O_APPEND | os.O_CREAT])
@pytest.mark.parametrize("trap", ["folder", "pipe", "device", "socket", "loop"])
def test_what_is_no_ordinary_file_is_refused_without_waiting(tmp_path, trap, flags, monkeypatch):
    monkeypatch.chdir(tmp_path)  # a socket's name must be short
    path = Path("trap")
    if trap == "folder":
        path.mkdir()
    elif trap == "pipe":
        os.mkfifo(path)
    elif trap == "device":
        path = Path(os.devnull)
    elif trap == "loop":
        path.symlink_to(path)
    else:
        listener = socket.socket(socket.AF_UNIX)
        listener.bind(str(path))
        listener.close()
    before = len(os.listdir("/dev/fd")) if os.path.isdir("/dev/fd") else 0
    with pytest.raises(NotPlainFile):
        open_plain(path, flags)
    after = len(os.listdir("/dev/fd")) if os.path.isdir("/dev/fd") else 0
    assert after == before  # its handle was given back


@POSIX
def test_a_link_is_followed_only_where_the_caller_allows_it(tmp_path):
    (tmp_path / "target").write_text("precious")
    link = tmp_path / "link"
    link.symlink_to(tmp_path / "target")
    assert read_plain(link, 10) == b"precious"
    with pytest.raises(NotPlainFile):
        read_plain(link, 10, follow_links=False)


@POSIX
def test_a_new_file_is_the_owners_alone(tmp_path):
    previous = os.umask(0)
    try:
        os.close(open_plain(tmp_path / "new", os.O_RDWR | os.O_CREAT))
    finally:
        os.umask(previous)
    assert (tmp_path / "new").stat().st_mode & 0o777 == 0o600


def test_nobody_else_in_the_package_does_it_again():
    doing = [
        path.name
        for path in PACKAGE.rglob("*.py")
        if any(word in path.read_text("utf-8") for word in ("S_ISREG", "O_NONBLOCK"))
    ]
    assert doing == ["plain_files.py"]
