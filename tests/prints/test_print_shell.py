"""The shell of all prints: paper, policy, caution, and texts that stay texts."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from print_reading import Print, assert_harmless

from lessonkit.prints.markup import Markup, element, join, lines, table
from lessonkit.prints.shell import PAPERS, Head, caution, document, paper_of, running_head
from lessonkit.words import Preferences, preferences, say_all

HOSTILE = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</style><script>alert(1)</script>",
    "</title></table><b>",
    "{color:red} @import url(http://x)",
    "\u202etxt.exe\u202c & \u2066x",
    "a' b\" c<!-- -->",
    "$x^2$ \\(y\\)",
    "W" * 4000,
]


def test_papers_are_those_of_the_preferences():
    assert tuple(PAPERS) == preferences.PAPERS


def test_unknown_paper_is_one_sentence_with_the_cure():
    with pytest.raises(ValueError, match=r"^There is no paper A3: choose one of letter, A4\.$"):
        paper_of("A3")


@pytest.mark.parametrize(
    ("paper", "landscape", "size"),
    [
        ("letter", False, "8.5in 11in"),
        ("letter", True, "11in 8.5in"),
        ("A4", False, "210mm 297mm"),
        ("A4", True, "297mm 210mm"),
    ],
)
def test_size_of_the_page_is_the_papers(paper, landscape, size):
    text = document(Head("x"), paper=paper, landscape=landscape)
    assert f"size: {size};" in assert_harmless(text).style


def test_paper_of_the_preferences_is_taken_without_a_choice():
    assert "size: 210mm 297mm;" in document(Head("x"), preferences=Preferences(paper="A4"))
    assert "size: 8.5in 11in;" in document(Head("x"))


def test_caution_stands_whole_on_each_print():
    read = assert_harmless(document(Head("x")))
    for sentence in say_all("common.caution"):
        assert read.text.count(sentence) == 1
    assert "Page " in read.style and "counter(pages)" in read.style


def test_head_is_repeated_and_date_left_blank_or_given():
    read = Print(document(Head("Title of it", ("An airplane",))))
    assert "thead" in read.tags
    assert ("span", "class", "blank short") in read.attributes
    dated = Print(document(Head("Title of it", ("An airplane",), "1 May")))
    assert "1 May" in dated.text
    assert ("span", "class", "blank short") not in dated.attributes


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_texts_stay_texts(text):
    made = document(
        Head(text, (text,), text),
        element("p", text, css=text),
        lines(text),
        table([text], [[text, text]], caption=text),
    )
    plain = document(
        Head("t", ("t",), "t"),
        element("p", "t", css="t"),
        lines("t"),
        table(["t"], [["t", "t"]], caption="t"),
    )
    read = assert_harmless(made)
    assert read.tags == Print(plain).tags
    assert not set("\u202e\u2066$\\") & set("".join(read.pieces))


@given(st.text(max_size=60))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_any_text_leaves_the_tags_as_they_are(text):
    assert Print(document(Head(text, (text,)))).tags == Print(document(Head("t", ("t",)))).tags


def test_sentences_of_any_language_stay_inside_the_style(monkeypatch):
    from lessonkit.prints import shell

    def say(key, **values):
        return 'a "b" </style>\n\\ {c} ä' if key.startswith("prints.shell.foot") else "x"

    monkeypatch.setattr(shell, "say", say)
    read = assert_harmless(document(Head("x")))
    assert read.style.count("{") == read.style.count("}")
    assert "a \\22 b\\22  \\3c " in read.style


@pytest.mark.parametrize("name", ["script", "a", "img", "iframe", "style", "SCRIPT", "p onclick"])
def test_no_other_elements_can_be_made(name):
    with pytest.raises(ValueError, match="no print holds"):
        element(name, "x")


@pytest.mark.parametrize("name", ["onclick", "href", "src", "style", "xlink:href", "a b"])
def test_no_other_attributes_can_be_made(name):
    with pytest.raises(ValueError, match="no print holds"):
        element("p", "x", **{name: "y"})


def test_only_what_was_made_here_is_no_text():
    assert join("<b>", Markup("<b>")) == "&lt;b&gt;<b>"
    assert caution().startswith("<aside")
    assert "&lt;i&gt;" in running_head(Head("<i>"))


def test_same_input_same_print():
    assert document(Head("x", ("y",))) == document(Head("x", ("y",)))
