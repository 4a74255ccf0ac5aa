"""A print read back strictly: balanced tags, its texts, and everything that could act or load."""

import base64
import hashlib
import re
from html.parser import HTMLParser

VOID = {"meta", "line", "polyline", "polygon", "rect", "circle", "path"}
LOADING = {
    "script", "link", "img", "iframe", "object", "embed", "audio", "video", "source", "base",
    "form", "input", "button", "a", "use", "image", "foreignobject", "animate", "set",
}  # fmt: skip


class Print(HTMLParser):
    """What a print holds; raises for a tag that is not closed where it should be."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.source, self.open, self.tags, self.attributes = text, [], [], []
        self.pieces, self.style, self.cells, self.metas = [], "", [], []
        self.inside = []  # places of the cells that are open
        self.feed(text)
        self.close()
        assert not self.open, f"not closed: {self.open}"

    def handle_starttag(self, tag, attributes):
        self._begin(tag, attributes)
        if tag == "meta":
            self.metas.append(dict(attributes))
        else:
            self.open.append(tag)

    def handle_startendtag(self, tag, attributes):
        assert tag in VOID, tag
        self._begin(tag, attributes)

    def _begin(self, tag, attributes):
        names = [name for name, _ in attributes]
        assert len(names) == len(set(names)), f"{tag} has an attribute twice"
        self.tags.append(tag)
        self.attributes += [(tag, name, value) for name, value in attributes]
        if tag in ("td", "th"):
            self.inside.append(len(self.cells))
            self.cells.append("")

    def handle_endtag(self, tag):
        assert self.open and self.open.pop() == tag, f"</{tag}> closes nothing"
        if tag in ("td", "th"):
            self.inside.pop()

    def handle_data(self, data):
        inside = self.open[-1] if self.open else ""
        if inside == "style":
            self.style += data
        elif inside != "title" or "svg" in self.open:
            self.pieces.append(data)
            if self.inside:
                self.cells[self.inside[-1]] += data

    def handle_comment(self, data):
        raise AssertionError(f"a comment: {data}")

    @property
    def text(self):
        """All that is read, with plain spaces."""
        return " ".join(" ".join(self.pieces).replace("\u00a0", " ").split())


def assert_harmless(text):
    """Assert that nothing in a print runs, loads, links or asks; return it read."""
    read = Print(text)
    assert not LOADING & set(read.tags)
    for tag, name, value in read.attributes:
        assert not name.startswith("on"), (tag, name)
        assert name not in ("src", "href", "xlink:href", "style", "srcset", "action", "data")
        if name in ("class", "aria-label"):  # names and words only
            continue
        for address in re.findall(r"url\(([^)]*)\)", value or ""):
            assert address.startswith("#"), (tag, name, value)
    assert not re.search(r"@import|url\(|expression|https?:|//", read.style)
    policies = [
        meta["content"]
        for meta in read.metas
        if meta.get("http-equiv", "").lower() == "content-security-policy"
    ]
    digest = base64.b64encode(hashlib.sha256(read.style.encode("utf-8")).digest()).decode()
    assert policies == [
        f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    ]
    # The policy comes before anything that it is to hold back.
    assert text.index("Content-Security-Policy") < text.index("<style")
    return read
