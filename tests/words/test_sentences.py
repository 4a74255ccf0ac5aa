"""Sentences by key, their values, and languages."""

import pytest

from lessonkit.words import Preferences, say, say_all, sentences, texts


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A small set of texts in two languages, instead of the kit's own."""
    (tmp_path / "en").mkdir()
    (tmp_path / "de").mkdir()
    (tmp_path / "en" / "demo.toml").write_text(
        "[part]\nfirst = 'At {height}, {{sic}}.'\nsecond = ['One.', 'Two.']\nminutes = 40\n",
        encoding="utf-8",
    )
    (tmp_path / "de" / "demo.toml").write_text("[part]\nfirst = 'In {height}.'\n", encoding="utf-8")
    monkeypatch.setattr(sentences, "FOLDER", tmp_path)
    sentences._flat.cache_clear()
    yield tmp_path
    sentences._flat.cache_clear()


def test_values_replace_their_places(folder):
    assert say("demo.part.first", height="800 ft") == "At 800 ft, {sic}."


def test_braces_inside_a_value_are_left_alone(folder):
    assert say("demo.part.first", height="{height.__class__}") == "At {height.__class__}, {sic}."


def test_missing_key_names_itself(folder):
    with pytest.raises(KeyError, match="demo.part.third"):
        say("demo.part.third")


def test_section_is_no_sentence(folder):
    with pytest.raises(KeyError, match="demo.part"):
        say("demo.part")


def test_missing_value_names_key_and_value(folder):
    with pytest.raises(KeyError, match="demo.part.first needs the value height"):
        say("demo.part.first")


@pytest.mark.parametrize("key", ["", "demo", "../demo.part.first", "nowhere.part.first"])
def test_key_that_leads_nowhere(folder, key):
    with pytest.raises(KeyError):
        say(key)


def test_other_language_and_fallback_for_what_it_lacks(folder):
    german = Preferences(language="de")
    assert say("demo.part.first", preferences=german, height="800 ft") == "In 800 ft."
    assert say_all("demo.part.second", preferences=german) == ["One.", "Two."]
    absent = Preferences(language="fr")
    assert say("demo.part.first", preferences=absent, height="1 ft") == "At 1 ft, {sic}."


def test_numbers_and_lists_are_texts(folder):
    assert say("demo.part.minutes") == "40"
    assert list(texts("demo")) == [
        "demo.part.first",
        "demo.part.second.1",
        "demo.part.second.2",
        "demo.part.minutes",
    ]


def test_all_sentences_of_a_section_that_is_not_there(folder):
    with pytest.raises(KeyError, match="demo.nothing"):
        say_all("demo.nothing")


def test_texts_of_a_language_without_the_file_are_none(folder):
    assert texts("demo", "fr") == {}


def test_a_file_is_read_once(folder):
    say("demo.part.minutes")
    (folder / "en" / "demo.toml").write_text("[part]\nminutes = 50\n", encoding="utf-8")
    assert say("demo.part.minutes") == "40"


def test_caution_says_what_this_is_not_for():
    caution = " ".join(say_all("common.caution"))
    for part in ("Ground study only.", "Not for use in flight", "handbook is right", "instructor"):
        assert part in caution
    assert len(say_all("common.caution")) == 6
