"""Nothing a user or file says becomes a tag, an attribute or a formula."""

import html
from html.parser import HTMLParser

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.words import escape_html


class Seen(HTMLParser):
    """Collects the tags and the text that a page would see."""

    def __init__(self):
        super().__init__()
        self.tags = []
        self.shown = ""

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, attrs))

    def handle_data(self, data):
        self.shown += data


@pytest.mark.parametrize(
    ("text", "escaped"),
    [
        ("<script>", "&lt;script&gt;"),
        ('a" onload="x', "a&quot; onload=&quot;x"),
        ("it's", "it&#x27;s"),
        ("A & B", "A &amp; B"),
        ("bell\x07 null\x00 end", "bell null end"),
        ("two\nlines\tkept", "two\nlines\tkept"),
        ("\u202eturned", "turned"),
        ("half \ud800", "half "),
        ("Zoë ½ 20°", "Zoë ½ 20°"),
        (54, "54"),
    ],
)
def test_escaped(text, escaped):
    assert escape_html(text) == escaped


@pytest.mark.parametrize("formula", ["$x^2$", "$$x$$", r"\(x\)", r"\[x\]", r"\begin{equation}"])
def test_formulas_lose_what_opens_them(formula):
    # The page looks for formulas after it has resolved the entities.
    shown = html.unescape(escape_html(formula))
    assert "$" not in shown
    assert "\\" not in shown


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.text(alphabet=st.sampled_from("<>&\"'/ab=\n $\\\x00\u202e"), max_size=40))
def test_no_text_makes_a_tag_or_leaves_its_attribute(text):
    page = Seen()
    page.feed(f'<p title="{escape_html(text)}">{escape_html(text)}</p>')
    page.close()
    assert [tag for tag, _ in page.tags] == ["p"]
    assert [name for name, _ in page.tags[0][1]] == ["title"]
    escape_html(text).encode("utf-8")
