"""The scaffold of a lesson: whole or not at all, and right at once."""

import ast
import json
import os
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import lessonkit.app.new_lesson as scaffold
from lessonkit.app.commandline import main
from lessonkit.app.new_lesson import NewLessonTrouble, make_lesson

ROOT = Path(__file__).parents[2]
KEY, NAME = "95_aiming_for_a_test", "aiming_for_a_test"
FOLDERS = ("lessonkit", "tests", "notebooks", "data")


def one_sentence(text):
    return len(text.strip().splitlines()) == 1 and text.strip().endswith(".")


def everything_in(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() if path.is_file() else None
        for path in folder.rglob("*")
    }


@pytest.fixture
def root(tmp_path):
    """As much of a checkout as the command looks at."""
    root = tmp_path / "checkout"
    for part in ("notebooks", "tests/lessons", "tests/airplane", "lessonkit/lessons"):
        (root / part).mkdir(parents=True)
    (root / "lessonkit/lessons/stalls").mkdir()
    (root / "lessonkit/words/en").mkdir(parents=True)
    (root / "lessonkit/words/en/card.toml").write_text("")
    (root / "tests/airplane/test_card_fit.py").write_text("")
    (root / "lessonkit/app").mkdir()
    (root / "lessonkit/app/trusted_lessons.json").write_text("{}\n")
    (root / "pyproject.toml").write_text("")
    shutil.copy(ROOT / "notebooks/00_start_here.ipynb", root / "notebooks")
    return root


def test_files_are_what_they_say(root):
    made = make_lesson(KEY, root)
    assert all((root / path).is_file() for path in made)
    for path in made:
        text = (root / path).read_text(encoding="utf-8")
        assert "$" not in text and text.endswith("\n"), path
        if path.suffix == ".py":
            ast.parse(text)
        elif path.suffix == ".toml":
            assert tomllib.loads(text)["lesson"]["title"] == "Aiming for a test"
        else:
            heads = [cell["source"][0] for cell in json.loads(text)["cells"]]
            assert heads[0] == "# Aiming for a test\n" and len(heads) == 13
    trusted = json.loads((root / "lessonkit/app/trusted_lessons.json").read_text())
    assert list(trusted) == ["00_start_here.ipynb", f"{KEY}.ipynb"]


@pytest.mark.parametrize(
    "key",
    ["", "aiming_point", "5_aiming", "05-aiming", "05_Aiming", "05__aiming", "05_", "05_class"]
    + ["05_aiming_", "../05_aiming", "05_aim/../../x", "05_ziel\u00e9", "05_" + "a" * 60]
    + ["05_aiming\n", "00_other", "05_stalls", "05_card", "05_card_fit"],
)
def test_a_malformed_or_taken_key_is_one_sentence_and_nothing_is_written(root, key):
    before = everything_in(root)
    with pytest.raises(NewLessonTrouble) as trouble:
        make_lesson(key, root)
    assert one_sentence(str(trouble.value))
    assert everything_in(root) == before


def test_twice_is_refused_and_the_first_stays(root):
    make_lesson(KEY, root)
    before = everything_in(root)
    with pytest.raises(NewLessonTrouble, match="belongs to the lesson"):
        make_lesson(KEY, root)
    assert everything_in(root) == before


@pytest.mark.parametrize("fail_at", range(1, 9))
def test_what_cannot_be_written_leaves_nothing_behind(root, monkeypatch, fail_at):
    before = everything_in(root)
    real, calls = Path.open, []

    def full(text):
        raise OSError(28, "No space left on device")

    def failing(path, mode="r", *arguments, **named):
        file = real(path, mode, *arguments, **named)
        if mode in ("x", "w"):
            calls.append(path)
            if len(calls) == fail_at:
                file.write = full
        return file

    monkeypatch.setattr(Path, "open", failing)
    with pytest.raises(NewLessonTrouble, match="No space left") as trouble:
        make_lesson(KEY, root)
    monkeypatch.undo()
    assert one_sentence(str(trouble.value)) and len(calls) == fail_at
    assert everything_in(root) == before


def test_without_the_source_it_is_one_sentence(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(scaffold, "FOLDER", tmp_path / "site-packages" / "lessonkit" / "app")
    assert main(["new-lesson", KEY]) == 2
    shown = capsys.readouterr()
    assert shown.out == "" and one_sentence(shown.err) and "download the source" in shown.err


def test_the_command_refuses_a_taken_lesson_in_one_sentence(capsys):
    assert main(["new-lesson", "07_power_off_approach"]) == 2
    shown = capsys.readouterr()
    assert shown.out == "" and one_sentence(shown.err)


# In a copy of the whole checkout ------------------------------------------------------------------


def run(copy, *words, timeout=300):
    done = subprocess.run(
        [sys.executable, "-m", *words],
        cwd=copy,
        env=os.environ | {"PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=timeout,
    )
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-2000:]
    return done.stdout


@pytest.mark.scaffold
def test_a_new_lesson_passes_the_checks_of_the_project_at_once(tmp_path):
    copy = tmp_path / "copy"
    ignored = shutil.ignore_patterns("__pycache__", ".*", "*.egg-info")
    for folder in FOLDERS:
        shutil.copytree(ROOT / folder, copy / folder, ignore=ignored)
    for path in ROOT.iterdir():
        if path.is_file():
            shutil.copy(path, copy)
    others = [path.stem for path in (copy / "notebooks").glob("*.ipynb")]
    out = run(copy, "lessonkit", "new-lesson", KEY)
    assert out.count("Made ") == 7
    assert any(line.startswith(KEY) for line in run(copy, "lessonkit", "list").splitlines())
    out = run(
        copy,
        "pytest",
        *("-q", "-n0", "-o", "addopts=", "-p", "no:cacheprovider", "--nbval-lax", "-rf"),
        *("-k", " and ".join(f"not {name}" for name in [*others, "hidden_errors", "can_fail"])),
        *("tests/meta/test_words_in_use.py", "tests/meta/test_layers.py"),
        *("tests/meta/test_one_place.py", "tests/meta/test_files.py"),
        *("tests/meta/test_notebooks.py", "tests/meta/test_documents.py"),
        *("tests/app/test_trust.py", f"tests/lessons/test_{NAME}.py", f"notebooks/{KEY}.ipynb"),
    )
    assert " passed" in out
    out = run(
        copy,
        *("pytest", "-q", "-n0", "-o", "addopts=", "-p", "no:cacheprovider", "-rs"),
        *("-k", NAME, "tests/exercises/test_lesson_questions.py"),
    )
    assert " passed" in out
    if shutil.which("ruff", path=str(Path(sys.executable).parent)):
        run(copy, "ruff", "check", "--no-cache", f"lessonkit/lessons/{NAME}", "tests/lessons")
        made = [f"lessonkit/lessons/{NAME}", f"tests/lessons/test_{NAME}.py"]
        run(copy, "ruff", "format", "--no-cache", "--check", *made)
