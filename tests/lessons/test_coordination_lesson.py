"""Lesson 02 without a browser: its panels, the figures for the entry, its self-check."""

import json
import math
from dataclasses import replace
from pathlib import Path

import pytest

from lessonkit.airplane import built_in_cards, fit_airplane
from lessonkit.airplane.card import Card
from lessonkit.app import open_lesson
from lessonkit.lessons.coordination.entry_figures import entry_rows
from lessonkit.lessons.coordination.self_check import run
from lessonkit.units import kt_from_mps
from lessonkit.words import Preferences

PLAIN = Preferences()


@pytest.fixture
def lesson(tmp_path, monkeypatch):
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path))
    monkeypatch.setenv("LESSONKIT_STRICT", "1")
    return open_lesson("02_coordination")


@pytest.fixture(params=list(built_in_cards()))
def card(request):
    return built_in_cards()[request.param]


def changed(card, **entries):
    """Return a card with some lines changed; None takes a line out."""
    kept = {**card.entries, **{path.replace("__", "."): value for path, value in entries.items()}}
    return Card({path: value for path, value in kept.items() if value is not None})


def test_manoeuvring_speed_goes_with_the_root_of_the_weight(card):
    """The glossary of FAA-H-8083-3C has the higher speed at the higher weight; root from memory."""
    at_max, mass = card.value("speeds.VA"), card.value("weights.max")
    if card.value("weights.today") in (None, mass):  # flown a tenth lighter, so that it differs
        lighter = replace(card.entries["weights.max"], value=0.9 * mass)
        card = changed(card, weights__today=lighter)
    airplane = fit_airplane(card)
    rows = entry_rows(airplane, PLAIN)
    today = airplane.mass_today
    assert today < mass
    scaled = kt_from_mps(at_max) * math.sqrt(today / mass)
    assert rows[0][1].startswith(f"{kt_from_mps(at_max):.0f}\u00a0kt")
    assert rows[1][1].startswith(f"{scaled:.0f}\u00a0kt")
    assert rows[1][2] == "computed"


def test_what_the_card_does_not_have_is_not_stated(card):
    airplane = fit_airplane(changed(card, speeds__VA=None, limits__slips=None))
    rows = {row[0]: row[1] for row in entry_rows(airplane, PLAIN)}
    assert rows["Slips"] == "not stated"
    assert [value for label, value in rows.items() if "handbook" in label] == ["not stated"]


def test_slips_as_on_the_card(card):
    said = {row[0]: row[1] for row in entry_rows(fit_airplane(card), PLAIN)}
    assert said["Slips"] == card.text("limits.slips")


def test_the_self_check_runs_and_touches_nothing(lesson, tmp_path):
    assert "is within" in run(open_lesson("02_coordination", trial=True))
    assert list(tmp_path.iterdir()) == []


def notebook_text():
    path = Path(__file__).parents[2] / "notebooks" / "02_coordination.ipynb"
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return "\n".join("".join(c["source"]) for c in cells if c["cell_type"] == "markdown")


def test_a_stall_is_ended_with_the_nose_before_the_wings():
    """Recovery template of FAA-H-8083-3C ch. 5: pitch down, then wings level, then power."""
    stop = notebook_text().partition("**When to stop.**")[2].partition("\n")[0]
    warning, _, other = stop.partition("In all other cases")
    order = [
        warning.index(word)
        for word in ("stall warning", "nose down until the warning stops", "wings level", "power")
    ]
    assert order == sorted(order) and "spin entry" in warning
    assert "warning" not in other and "ball in the middle" in other


def test_the_notebook_promises_what_the_panels_show():
    text = notebook_text()
    assert "which wing is nearer" not in text and "does not grow with the fault" not in text
    assert "the pedal that keeps the ball in the middle" not in text
    assert "even with coordinated feet" in text and "differs from side to side" in text
