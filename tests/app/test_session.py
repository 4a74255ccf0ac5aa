"""Opening a lesson: the chosen airplane is taken over, nothing is written, nothing is raised."""

import subprocess
import sys
from pathlib import Path

import pytest

from lessonkit.airplane import built_in_cards, card_to_toml
from lessonkit.app import open_lesson
from lessonkit.app.home import open_home
from lessonkit.app.lesson import UnknownPart
from lessonkit.app.session import lesson_keys
from lessonkit.app.shelf import CardExists, Shelf, slug_of

CARD = "01_airplane_card"
OWN = card_to_toml(built_in_cards()["two_seat"]).replace(
    built_in_cards()["two_seat"].name, "Club two-seat"
)


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("LESSONKIT_STRICT", "1")
    return open_home()


def test_a_first_start_uses_the_first_built_in_airplane_and_writes_nothing(home):
    lesson = open_lesson(CARD)
    assert lesson.context.airplane.card == next(iter(built_in_cards().values()))
    assert "(invented)" in lesson.airplane_line and "weight today" in lesson.airplane_line
    assert lesson.news == ""
    lesson.caution()
    lesson.panel("card")
    assert not home.folder.exists()


def test_a_card_chosen_in_another_notebook_is_taken_over(home):
    lesson = open_lesson(CARD)
    panel = lesson.panel("card")
    before = panel.shown
    key, _ = Shelf(home).save("Club two-seat", OWN)
    home.change(card=key, label="student 3", mass_unit="kg")
    header = lesson.caution()
    header.refresh_button.click()
    assert "Club two-seat (your card)" in lesson.airplane_line
    assert "kg" in lesson.airplane_line and "student 3" in lesson.airplane_line
    assert lesson.context.airplane.card.name == "Club two-seat"
    assert lesson.context.record.label == "student 3"
    assert panel.shown is not before
    assert "Club two-seat" in header.told.text
    header.refresh_button.click()
    assert "already" in header.told.text


def test_a_broken_chosen_card_is_one_sentence_and_the_default_airplane(home):
    key, _ = Shelf(home).save("Club two-seat", OWN)
    home.change(card=key)
    (home.cards / "club-two-seat.toml").write_text("name = [")
    lesson = open_lesson(CARD)
    assert lesson.context.airplane.card == next(iter(built_in_cards().values()))
    assert lesson.news.count("\n") == 0
    assert "club-two-seat.toml" in lesson.news and "until you correct or change it" in lesson.news
    (home.cards / "club-two-seat.toml").unlink()
    lesson = open_lesson(CARD)
    assert "no longer there" in lesson.news and lesson.news.count("\n") == 0


def test_a_torn_settings_file_is_one_sentence(home):
    home.change(label="student 3")
    home.settings_file.write_text('{"label": ')
    lesson = open_lesson(CARD)
    assert "settings.json" in lesson.news and "(invented)" in lesson.airplane_line


def test_an_unknown_lesson_panel_or_exercise_is_one_sentence_with_the_known_ones(home):
    with pytest.raises(UnknownPart, match=CARD) as raised:
        open_lesson("13_aerobatics")
    assert raised.value._render_traceback_() == [str(raised.value)]
    lesson = open_lesson(CARD)
    with pytest.raises(UnknownPart, match="it has card"):
        lesson.panel("nothing")
    with pytest.raises(UnknownPart, match="it has none"):
        open_lesson("00_start_here").exercise("nothing")


def test_every_lesson_opens_and_its_texts_hold_no_address_or_path(home):
    for key in lesson_keys():
        lesson = open_lesson(key)
        texts = [repr(lesson), repr(lesson.caution()), repr(lesson.exercises())]
        assert not any("0x" in text or str(home.folder) in text for text in texts), texts


def test_a_trial_leaves_the_learners_choices_alone(home):
    home.change(card="built_in:two_seat", speed_unit="mph", label="student 3")
    before = sorted((path, path.read_bytes()) for path in home.folder.rglob("*") if path.is_file())
    trial = open_lesson("00_start_here", trial=True)
    panel = trial.panel("start")
    panel.label.value = "somebody else"
    panel.mass_unit.value = "kg"
    after = sorted((path, path.read_bytes()) for path in home.folder.rglob("*") if path.is_file())
    assert after == before
    assert trial.context.airplane.card == next(iter(built_in_cards().values()))


def test_opening_the_top_layer_loads_neither_widgets_nor_the_plotter():
    code = (
        "import sys, lessonkit.app\n"
        "heavy = {'matplotlib', 'ipywidgets', 'numpy', 'tomlkit'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)


HOSTILE_NAMES = [
    "../../etc/passwd",
    "/etc/passwd",
    "..\\..\\windows",
    "con",
    "NUL",
    "a" * 300,
    "<script>alert(1)</script>",
    "\u0416\u0443\u043a",
    "\u0416\u0443\u0447",
    "...",
    "$(rm -rf x)",
]


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_a_name_never_becomes_a_path(home, name):
    shelf = Shelf(home)
    key, _ = shelf.save(name, OWN)
    files = [path for path in home.folder.rglob("*.toml")]
    assert [path.parent for path in files] == [home.cards]
    assert files[0].stem == slug_of(name) == key.partition(":")[2]
    assert len(files[0].name) < 60 and files[0].name.isascii()
    assert home.change(card=key)[0].card == key  # the settings accept every key that a name gives
    assert shelf.card(key).name == "Club two-seat"


def test_two_names_in_another_script_do_not_fall_together():
    assert slug_of("\u0416\u0443\u043a") != slug_of("\u0416\u0443\u0447")


def test_replacing_a_card_asks_first_and_keeps_a_copy(home):
    shelf = Shelf(home)
    shelf.save("Club two-seat", OWN)
    with pytest.raises(CardExists, match="Club two-seat"):
        shelf.save("Club two-seat", OWN + "\n# newer\n")
    path = home.cards / "club-two-seat.toml"
    assert path.read_text() == OWN
    _, messages = shelf.save("Club two-seat", OWN + "\n# newer\n", replace=True)
    kept = home.cards / "kept" / "club-two-seat-1.toml"
    assert kept.read_text() == OWN and kept.name in messages[0]
    assert [entry.key for entry in shelf.entries() if entry.own] == ["own:club-two-seat"]


def test_a_folder_that_cannot_be_written_keeps_the_card_in_this_window(tmp_path, monkeypatch):
    (tmp_path / "blocked").write_text("")
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path / "blocked" / "home"))
    home = open_home()
    shelf = Shelf(home)
    key, messages = shelf.save("Club two-seat", OWN)
    assert "download it to keep it" in messages[0]
    assert shelf.card(key).name == "Club two-seat"
    assert key in [entry.key for entry in shelf.entries()]


def test_a_file_that_is_no_card_is_listed_with_its_problem(home):
    home.cards.mkdir(parents=True)
    (home.cards / "half.toml").write_bytes(b"\xff\xfeh\x00")
    (home.cards / "Not A Slug.toml").write_text(OWN)
    entries = [entry for entry in Shelf(home).entries() if entry.own]
    assert [entry.key for entry in entries] == ["own:half"]
    assert "half.toml" in entries[0].problem


def test_lessons_are_those_that_have_a_notebook_and_a_folder():
    keys = lesson_keys()
    assert keys[:2] == ["00_start_here", "01_airplane_card"]
    folder = Path(__file__).parents[2] / "lessonkit" / "lessons"
    assert all((folder / key.partition("_")[2] / "panels.py").exists() for key in keys)
