"""The command print: a file, or one sentence."""

import pytest
from print_reading import assert_harmless

from lessonkit.airplane import built_in_card, write_card
from lessonkit.app.commandline import main


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*words):
    try:
        return main(["print", *words])
    except SystemExit as exit_:
        return exit_.code


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (["numbers"], "numbers-orchard-h4-letter.html"),
        (["kneeboard", "--paper", "A4"], "kneeboard-orchard-h4-a4.html"),
        (
            ["sheet", "--lesson", "07", "--seed", "7", "--exercises", "1"],
            "sheet-orchard-h4-7-letter.html",
        ),
        (
            ["key", "--lesson", "power_off_approach", "--exercises", "2"],
            "key-orchard-h4-1-letter.html",
        ),
        (["sheet", "--lesson", "01_airplane_card", "--paper", "a4"], None),
    ],
)
def test_print_is_written_where_the_user_is(words, name, folder, capsys):
    assert run(*words) == 0
    said = capsys.readouterr().out
    (file,) = folder.glob("*.html")
    assert name in (None, file.name)
    assert file.name in said and said.strip().endswith("print it.")
    assert_harmless(file.read_text(encoding="utf-8"))


def test_sheet_and_key_of_the_command_agree(folder, capsys):
    for what in ("sheet", "key"):
        assert run(what, "--lesson", "07", "--seed", "5", "--exercises", "1-2") == 0
    for file in folder.glob("*.html"):
        read = assert_harmless(file.read_text(encoding="utf-8"))
        assert "Sheet 5" in read.text and read.tags.count("article") == 2


def test_card_of_a_file_and_another_output(folder, capsys):
    write_card(built_in_card("two_seat"), folder / "mine.toml")
    assert run("numbers", "--airplane", "mine.toml", "--output", "mine.html") == 0
    assert built_in_card("two_seat").name in (folder / "mine.html").read_text(encoding="utf-8")
    assert run("numbers", "--airplane", "mine.toml", "--output", "mine.html") == 0


def test_print_to_the_window(folder, capsys):
    assert run("numbers", "--output", "-") == 0
    assert_harmless(capsys.readouterr().out)
    assert not list(folder.glob("*.html"))


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (["poster"], "poster"),
        ([], "what"),
        (["sheet"], "--lesson"),
        (["sheet", "--lesson", "99"], "99"),
        (["key", "--lesson", "00_start_here"], "00_start_here"),
        (["sheet", "--lesson", "07", "--seed", "x"], "x"),
        (["sheet", "--lesson", "07", "--seed", "-1"], "-1"),
        (["sheet", "--lesson", "07", "--exercises", "99"], "99"),
        (["numbers", "--paper", "A3"], "A3"),
        (["numbers", "--airplane", "none.toml"], "none.toml"),
        (["numbers", "--output", "no_folder/x.html"], "x.html"),
        (["numbers", "--output", "card.toml"], "card.toml"),
    ],
)
def test_what_is_wrong_is_one_sentence(words, named, folder, capsys):
    (folder / "card.toml").write_text("my own work", encoding="utf-8")
    assert run(*words) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert named in shown.err
    assert len(shown.err.strip().splitlines()) == 1 and shown.err.strip().endswith(".")
    assert (folder / "card.toml").read_text(encoding="utf-8") == "my own work"
