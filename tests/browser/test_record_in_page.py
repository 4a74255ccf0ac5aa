"""Review and record on the start page as a learner uses them: answer, download, bring in, anew."""

import pytest
from in_browser import open_lesson
from kit_server import Kit

from lessonkit.lessons.power_off_approach.exercises import QUESTIONS
from lessonkit.records import EventStore
from lessonkit.records.events import new_event

pytestmark = pytest.mark.browser

START = "00_start_here"
LONG_AGO = "2026-01-05T10:00:00+00:00"


@pytest.fixture
def own_kit(tmp_path):
    kit = Kit(tmp_path)
    yield kit
    kit.stop()


def met(store, questions):
    """Let a learner have answered some questions wrongly, long ago."""
    for question in questions:
        data = {"exercise": question.record_key, "seed": 1, "status": "incorrect"}
        store.unsaved.append(new_event("attempt", data, LONG_AGO))
    store.save()
    return store


def expect_text(page, css, text):
    page.locator(f".{css}", has_text=text).first.wait_for(timeout=20_000)


def button(page, name):
    return page.get_by_role("button", name=name)


def test_a_due_question_is_answered_on_the_start_page(page, own_kit):
    store = met(EventStore(own_kit.home / "records", "learner"), QUESTIONS[:1])
    open_lesson(page, own_kit, START)
    count = len(QUESTIONS)
    expect_text(page, "lk-f-plain", f"{count} questions are due; this review asks 5 of them.")
    button(page, "Begin the review").click()
    expect_text(page, "lk-f-plain", "Question 1 of 5, from the lesson “Power-off approach”")
    button(page, "I don't know").click()
    expect_text(page, "lk-x-status", "Not answered yet")
    for number in range(2, 6):
        button(page, "Next question").click()
        expect_text(page, "lk-f-plain", f"Question {number} of 5")
    button(page, "Finish").click()
    expect_text(page, "lk-f-plain", "Review finished: 1 of 5 answered, 0 correct.")
    (said,) = [event for event in store.read().events if event.kind == "help"]
    assert said.data["exercise"] == QUESTIONS[0].record_key and said.data["seed"] == 2
    assert said.data["lesson"] == "07_power_off_approach"


def test_the_record_goes_to_another_machine_and_back(page, own_kit, tmp_path):
    store = met(EventStore(own_kit.home / "records", "learner"), QUESTIONS[:2])
    there = met(EventStore(tmp_path / "there", "learner"), QUESTIONS[2:3])
    open_lesson(page, own_kit, START)
    button(page, "Download the record").click()
    link = page.get_by_text("The file is ready")
    with page.expect_download() as download:
        link.click()
    assert download.value.suggested_filename == "record-learner.jsonl"
    mine = download.value.path().read_bytes()
    assert mine == store.path.read_bytes()
    assert there.merge_contents([("mine", mine)])[0] == 3

    with page.expect_file_chooser() as chooser:
        button(page, "Add a record file").click()
    chooser.value.set_files(str(there.path))
    expect_text(page, "lk-f-good", "2 entries of")
    row = page.locator(".lk-f-table tr", has_text="Power-off approach")
    assert row.locator("td").nth(1).inner_text() == "3"
    assert store.read().events == there.read().events

    before = store.path.read_bytes()
    button(page, "Begin anew").click()
    expect_text(page, "lk-f-note", "Begin a new record for “learner”?")
    assert store.path.read_bytes() == before
    button(page, "Yes, begin anew").click()
    expect_text(page, "lk-f-good", "The record begins anew.")
    assert row.locator("td").nth(1).inner_text() == "0"
    (kept,) = store.folder.glob("*.kept-*.jsonl")
    assert kept.read_bytes() == before
