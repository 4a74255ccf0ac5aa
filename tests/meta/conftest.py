"""The tree of the project as the meta tests see it."""

import ast
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="session")
def root():
    """The folder of the project."""
    return ROOT


@pytest.fixture(scope="session")
def project_files(root):
    """Every file of the project: tracked, or new and not ignored."""
    try:
        listed = subprocess.run(
            ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
            cwd=root,
            capture_output=True,
            check=True,
        ).stdout.decode()
        paths = [root / name for name in listed.split("\0") if name]
    except (OSError, subprocess.CalledProcessError):
        # Downloaded without its history: take what lies in the folders of the project.
        folders = ("lessonkit", "tests", "notebooks", "data", "binder", ".ci")
        paths = [path for path in root.iterdir() if path.is_file()]
        paths += [path for folder in folders for path in (root / folder).rglob("*")]
        paths = [path for path in paths if "__pycache__" not in path.parts]
    return sorted(path for path in paths if path.is_file())


@pytest.fixture(scope="session")
def modules(root, project_files):
    """Syntax trees of the package by path relative to the project."""
    return {
        path.relative_to(root).as_posix(): ast.parse(path.read_text(encoding="utf-8"))
        for path in project_files
        if path.suffix == ".py" and path.is_relative_to(root / "lessonkit")
    }
