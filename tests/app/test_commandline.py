"""The command line: what it prints, and one sentence with exit 2 for what is wrong."""

import json
import os
import subprocess
import sys

import pytest

from lessonkit.airplane import built_in_cards, write_card
from lessonkit.app.commandline import main


def run(*words, **changes):
    """Run the command as a user does, in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "lessonkit", *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        env=os.environ | changes,
        timeout=60,
    )


def one_sentence(text):
    return len(text.strip().splitlines()) == 1 and text.strip().endswith(".")


@pytest.mark.parametrize(
    "words",
    [
        ["--port", "abc"],
        ["--port", "80"],
        ["--port", "65536"],
        ["--port"],
        ["fly"],
        ["--fast"],
        ["airplane"],
        ["airplane", "no_such_card.toml"],
        ["environment", "--form", "fish"],
    ],
)
def test_wrong_words_get_one_sentence_and_exit_2(words, capsys):
    try:
        code = main(words)
    except SystemExit as exit_:
        code = exit_.code
    shown = capsys.readouterr()

    assert code == 2
    assert shown.out == ""
    assert one_sentence(shown.err)


def test_help_names_every_word(capsys):
    with pytest.raises(SystemExit) as exit_:
        main(["--help"])
    text = capsys.readouterr().out

    assert exit_.value.code == 0
    for word in ("list", "airplane", "environment", "--no-browser", "--port", "Ground study only"):
        assert word in text


@pytest.fixture
def card_file(tmp_path):
    path = tmp_path / "trainer.toml"
    write_card(next(iter(built_in_cards().values())), path)
    return path


def test_airplane_shows_numbers_with_units_and_origins(card_file, capsys):
    assert main(["airplane", str(card_file)]) == 0
    text = capsys.readouterr().out

    assert "\u00a0kt" in text
    assert "rule of thumb" in text


def test_airplane_as_json_holds_the_same_numbers(card_file, capsys):
    assert main(["airplane", str(card_file), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)

    assert found["numbers"]
    for number in found["numbers"]:
        assert {"key", "label", "value", "unit", "origin"} <= set(number)


@pytest.mark.parametrize(
    "content", [b"", b"\x00\x01\xff", b"= nonsense", "weights = 1".encode("utf-16"), b"a = [" * 999]
)
def test_bad_cards_get_one_sentence_and_exit_2(content, tmp_path, capsys):
    path = tmp_path / "bad.toml"
    path.write_bytes(content)

    assert main(["airplane", str(path)]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert one_sentence(shown.err)
    assert "bad.toml" in shown.err


def test_list_is_printed_without_widgets_or_pictures(capsys):
    ended = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "lessonkit", "list", "--json"],
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=60,
    )
    loaded = {line.rpartition("|")[2].strip() for line in ended.stderr.splitlines()}

    assert json.loads(ended.stdout)["lessons"]
    assert not loaded & {"matplotlib", "ipywidgets", "anywidget", "scipy", "pandas", "jupyterlab"}


def test_a_reader_that_stops_early_causes_no_complaint():
    reader, writer = os.pipe()
    os.close(reader)
    with os.fdopen(writer, "w") as out:
        ended = subprocess.run(
            [sys.executable, "-m", "lessonkit", "list", "--json"],
            stdout=out,
            stderr=subprocess.PIPE,
            timeout=60,
        )

    assert ended.stderr == b""


def test_folder_that_cannot_be_made_is_named(tmp_path):
    blocked = tmp_path / "a file"
    blocked.write_text("in the way")

    for words in (["environment"], ["--no-browser"]):
        ended = run(*words, LESSONKIT_HOME=str(blocked / "kit"))
        assert ended.returncode == 2
        assert one_sentence(ended.stderr)
        assert "a file" in ended.stderr and "LESSONKIT_HOME" in ended.stderr


def test_missing_lessons_are_named(tmp_path):
    for words in (["list"], ["--no-browser"]):
        ended = run(*words, LESSONKIT_NOTEBOOKS=str(tmp_path))
        assert ended.returncode == 2
        assert one_sentence(ended.stderr)
