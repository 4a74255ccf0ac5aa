"""The record on the start page: what it shows, and nothing lost whatever is pressed."""

import base64
import logging
import os
import re
from datetime import UTC, datetime

import pytest

from lessonkit.app import open_lesson
from lessonkit.app.home import open_home
from lessonkit.panels.record import RecordPanel
from lessonkit.records import EventStore


@pytest.fixture(autouse=True)
def no_error_goes_unseen(caplog):
    yield
    assert [r.message for r in caplog.records if r.levelno >= logging.WARNING] == []


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path / "home"))
    return open_home()


@pytest.fixture
def lesson(home):
    return open_lesson("00_start_here")


@pytest.fixture
def panel(lesson):
    return lesson.panel("record").shown


def row_of(panel, title="Power-off approach"):
    (row,) = [row for row in panel.table.rows if row[0] == title]
    return [int(number) for number in row[1:]]


def uploaded(name, content):
    """A file as the page hands it over."""
    file = {"name": name, "type": "", "size": len(content), "content": memoryview(content)}
    return (file | {"last_modified": datetime(2026, 1, 1, tzinfo=UTC)},)


def is_shown(widget):
    return widget.layout.display != "none"


def other_machine(tmp_path, label="learner", count=2):
    other = EventStore(tmp_path / "other", label)
    for number in range(count):
        other.append(
            "attempt",
            {"exercise": "power_off_approach.glide_distance", "seed": number, "status": "correct"},
        )
    return other


def test_a_new_record_is_empty_and_nothing_is_written(home, panel):
    questions, *rest = row_of(panel)
    assert questions >= 5 and rest == [0, 0, 0, 0]
    assert "Nothing is kept under “learner” yet" in panel.text and str(home.records) in panel.text
    assert not is_shown(panel.save_button)
    assert not home.folder.exists()


def test_progress_by_lesson(home, panel):
    lesson = open_lesson("07_power_off_approach")
    gate = lesson.panel("approach_bench").prediction.prediction
    lesson.panel("approach_bench").predict(gate.choices[0][0])
    lesson.exercise("glide_distance").give("90 nm")
    question = lesson.exercise("turn_height")
    question.give("9 ft")
    question.give(question.item.written(question.item.answer))
    lesson.context.record.append("drill", {"lesson": lesson.key, "panel": "p", "points": 60})
    panel.look_button.click()
    assert row_of(panel)[1:] == [2, 1, 1, 1]
    assert EventStore(home.records, "learner").path.name in panel.text
    assert panel.download.children == ()


def test_another_label_is_another_record(home, lesson, panel):
    open_lesson("07_power_off_approach").exercise("glide_distance").give("90 nm")
    panel.look()
    assert row_of(panel)[1] == 1
    panel.anew_button.click()
    lesson.panel("start").label.value = "student <3>"
    assert row_of(panel)[1] == 0 and "“student <3>”" in panel.text
    assert "<3>" not in panel.where.widget.value and "&lt;3&gt;" in panel.where.widget.value
    # The question was about the other record: it is not asked any longer.
    assert not is_shown(panel._answer_box)


def downloaded(panel):
    (link,) = panel.download.children
    return re.search(r'download="([^"]+)"', link.value)[1], base64.b64decode(
        re.search(r"base64,([^\"]+)\"", link.value)[1]
    )


def test_the_download_is_the_file_byte_for_byte(home, lesson, panel, tmp_path):
    panel.download_button.click()
    assert "nothing to download" in panel.text and panel.download.children == ()
    lesson.context.desk.change(label="../Student 3")
    open_lesson("07_power_off_approach").exercise("glide_distance").give("90 nm")
    record = EventStore(home.records, "../Student 3")
    with record.path.open("ab") as file:
        file.write(b"\xff\xfe no event\n")
    panel.look()
    panel.download_button.click()
    name, content = downloaded(panel)
    assert name == "record-student-3.jsonl" and content == record.path.read_bytes()
    # On another machine it comes in whole.
    there = EventStore(tmp_path / "there", "../Student 3")
    assert there.merge_contents([(name, content)])[0] == len(record.read().events)


def test_a_record_from_another_machine_is_added_once(tmp_path, panel):
    content = other_machine(tmp_path).export()
    panel.upload.value = uploaded("<b>theirs.jsonl", content)
    assert "3 entries of <b>theirs.jsonl were added." in panel.text
    assert "<b>" not in panel.said.widget.value
    assert row_of(panel)[1:] == [1, 1, 0, 0] and panel.upload.value == ()
    panel.upload.value = uploaded("theirs.jsonl", content)
    assert "holds nothing that your record lacks" in panel.text


@pytest.mark.parametrize(
    ("content", "words"),
    [(b"a;b;c\n1;2;3\n", "holds no record"), (b"", "holds no record"), (None, "“Student 9”")],
)
def test_a_wrong_file_is_one_sentence_and_changes_nothing(tmp_path, panel, content, words):
    panel.add_file("good.jsonl", other_machine(tmp_path / "good").export())
    before = panel._record.path.read_bytes()
    content = other_machine(tmp_path, "Student 9").export() if content is None else content
    panel.add_file("theirs.jsonl", content)
    assert panel.said.kind == "bad" and words in panel.said.text and "\n" not in panel.said.text
    assert panel._record.path.read_bytes() == before


def test_oddities_of_an_added_file_are_said(tmp_path, panel):
    content = other_machine(tmp_path).export() + b"no event\n" + b'{"id": "torn'
    panel.add_file("theirs.jsonl", content)
    added, *oddities = panel.said.text.split("\n")
    assert "3 entries" in added and len(oddities) == 2


def test_beginning_anew_asks_first_and_keeps_a_copy(home, panel, tmp_path):
    panel.add_file("theirs.jsonl", other_machine(tmp_path).export())
    before = panel._record.path.read_bytes()
    panel.anew_button.click()
    assert "“learner”" in panel.question.text and is_shown(panel._answer_box)
    panel.keep_button.click()
    assert panel._record.path.read_bytes() == before and not is_shown(panel._answer_box)
    panel.anew_button.click()
    panel.sure_button.click()
    assert row_of(panel)[1:] == [0, 0, 0, 0] and not panel._record.path.exists()
    (kept,) = home.records.glob("*.kept-*.jsonl")
    assert kept.read_bytes() == before
    assert kept.name in panel.text and str(home.records) in panel.text
    # As the sentence says: adding that file brings it back.
    panel.add_file(kept.name, kept.read_bytes())
    assert row_of(panel)[1:] == [1, 1, 0, 0]


def test_beginning_anew_without_a_record(panel):
    panel.anew_button.click()
    panel.sure_button.click()
    assert "There was no record yet" in panel.text


def test_what_is_not_saved_is_shown_and_saved_later(home, lesson, panel):
    home.folder.mkdir(parents=True)
    home.records.write_text("in the way")
    question = open_lesson("07_power_off_approach").exercise("glide_distance")
    question.give("90 nm")
    assert "Not saved" in question.text
    panel.look_button.click()
    assert "One entry is not saved" in panel.text and is_shown(panel.save_button)
    assert row_of(panel)[1] == 1  # it counts all the same
    panel.save_button.click()
    assert panel.said.kind == "bad" and str(home.records) in panel.said.text
    # Beginning anew would lose it: it is refused.
    panel.anew_button.click()
    panel.sure_button.click()
    assert panel.said.kind == "bad" and len(panel._record.unsaved) == 1
    home.records.unlink()
    panel.save_button.click()
    assert "Saved." in panel.text and not is_shown(panel.save_button)
    assert len(EventStore(home.records, "learner").read().events) == 2


@pytest.mark.skipif(os.name != "posix", reason="pipes are a POSIX matter")
def test_a_pipe_in_the_place_of_the_record_is_one_sentence(home, panel):
    home.records.mkdir(parents=True)
    os.mkfifo(panel._record.path)
    panel.look_button.click()
    assert "not an ordinary file" in panel.oddities.text and "\n" not in panel.oddities.text
    panel.download_button.click()
    assert "not an ordinary file" in panel.said.text
    assert row_of(panel)[1:] == [0, 0, 0, 0]


def test_its_text_is_the_same_on_every_machine(panel):
    assert repr(panel) == "Panel record" and isinstance(panel, RecordPanel)
