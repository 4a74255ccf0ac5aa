"""Elements of a print: every text is escaped here, and only harmless elements can be made."""

from lessonkit.words import escape_html

# What a print may hold. Nothing here loads, links or runs anything.
_TAGS = frozenset(
    "article aside caption dd div dl dt em footer h1 h2 h3 header li main ol p section span strong"
    " table tbody td tfoot th thead tr ul".split()
)
_SVG_TAGS = frozenset(
    "svg g line polyline polygon rect circle path text title desc defs pattern".split()
)
_ATTRIBUTES = frozenset(
    "class id lang role scope colspan rowspan start aria-label".split()
    + "viewBox width height x y x1 y1 x2 y2 cx cy r d points transform".split()
    + "fill stroke stroke-width stroke-dasharray stroke-linecap text-anchor font-size".split()
    + "font-weight patternUnits patternTransform".split()
)
_EMPTY = frozenset(("line", "polyline", "polygon", "rect", "circle", "path"))


class Markup(str):
    """HTML that was made by `element`; a plain string is a text and gets escaped."""

    __slots__ = ()


def element(name: str, *children: object, **attributes: object) -> Markup:
    """Return an element of HTML or SVG.

    Parameters
    ----------
    name : str
        One of the harmless elements of a print.
    *children : str, Markup, number or None
        Texts, which are escaped, and elements, which are not; None is left out.
    **attributes : str or number
        ``css`` stands for ``class``; an underscore for a dash, and ``viewBox`` for itself. An
        empty text or None leaves the attribute out.

    Returns
    -------
    Markup

    Raises
    ------
    ValueError
        For an element or attribute that no print needs, such as a script or a link: a defect
        of the caller.

    Examples
    --------
    >>> element("p", "flaps < 20", css="note")
    '<p class="note">flaps &lt; 20</p>'
    """
    if name not in _TAGS and name not in _SVG_TAGS:
        raise ValueError(f"no print holds the element {name!r}")
    head = name + "".join(_attribute(*one) for one in attributes.items())
    if name in _EMPTY and not children:
        return Markup(f"<{head}/>")
    return Markup(f"<{head}>{join(*children)}</{name}>")


def join(*children: object) -> Markup:
    """Return elements and escaped texts one behind the other.

    Examples
    --------
    >>> join("a & ", element("strong", "b"))
    'a &amp; <strong>b</strong>'
    """
    return Markup(
        "".join(
            child if isinstance(child, Markup) else escape_html(child)
            for child in children
            if child is not None
        )
    )


def lines(text: str, tag: str = "p", css: str = "") -> Markup:
    """Return a text with one element for each of its lines."""
    return join(*(element(tag, line, css=css) for line in str(text).splitlines() if line.strip()))


def table(heads, rows, caption: str = "", css: str = "") -> Markup:
    """Return a table whose first column names the rows.

    Parameters
    ----------
    heads : sequence of str
        Heads of the columns; without any no head row is made.
    rows : sequence of sequence of str or Markup
        Cells; the first one of a row is its head.
    caption : str
        Stands above the table.
    css : str
        Class of the table.

    Returns
    -------
    Markup
    """
    top = [element("caption", caption)] if caption else []
    if heads:
        cells = (element("th", head, scope="col") for head in heads)
        top.append(element("thead", element("tr", *cells)))
    return element("table", *top, element("tbody", *(_row(row) for row in rows)), css=css)


def _row(row):
    first, *rest = row
    return element("tr", element("th", first, scope="row"), *(element("td", cell) for cell in rest))


def _attribute(name, value):
    if value is None or value == "":
        return ""
    name = "class" if name == "css" else name.replace("_", "-")
    if name not in _ATTRIBUTES:
        raise ValueError(f"no print holds the attribute {name!r}")
    return f' {name}="{escape_html(value)}"'
