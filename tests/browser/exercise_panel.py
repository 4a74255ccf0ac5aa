"""Exercises with pictures for the tests in a browser; a notebook cell imports it."""

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "exercises"))
import sample_questions as samples

import lessonkit.words.sentences as sentences
from lessonkit.panels import LessonContext
from lessonkit.panels.deck import ExerciseDeck


def build():
    """Return the deck of the sample questions, with their texts beside the real ones."""
    folder = Path(tempfile.mkdtemp())
    (folder / "en").mkdir()
    for file in (sentences.FOLDER / "en").glob("*.toml"):
        (folder / "en" / file.name).write_text(file.read_text(encoding="utf-8"), "utf-8")
    (folder / "en" / "sample.toml").write_text(samples.TEXTS, "utf-8")
    sentences.FOLDER = folder
    sentences._flat.cache_clear()
    return ExerciseDeck(LessonContext("sample", samples.AIRPLANE), samples.QUESTIONS)
