"""Shapes of single points on paper, one for each mark of the scenes' theme."""

from lessonkit.prints.markup import Markup, element


def mark_at(shape: str, x: float, y: float, size: float) -> Markup:
    """Return a mark.

    Parameters
    ----------
    shape : str
        One of the theme's ``MARKS``.
    x, y : float
        Its middle. [units of the drawing]
    size : float
        Half of its width. [units of the drawing]

    Returns
    -------
    Markup

    Raises
    ------
    KeyError
        Naming a shape that the theme lacks.
    """
    if shape == "circle":
        return element("circle", cx=f"{x:.1f}", cy=f"{y:.1f}", r=f"{size:.1f}", css="filled")
    strokes, css = _SHAPES[shape]
    path = " ".join(
        "M" + " L".join(f"{x + size * right:.1f} {y + size * down:.1f}" for right, down in stroke)
        for stroke in strokes
    )
    return element("path", d=path + (" Z" if css == "filled" else ""), css=css)


_SHAPES = {
    "diamond": ((((0, -1.3), (1.3, 0), (0, 1.3), (-1.3, 0)),), "filled"),
    "square": ((((-1, -1), (1, -1), (1, 1), (-1, 1)),), "filled"),
    "triangle": ((((0, -1.3), (1.2, 0.9), (-1.2, 0.9)),), "filled"),
    "plus": ((((-1.3, 0), (1.3, 0)), ((0, -1.3), (0, 1.3))), "stroke"),
    "cross": ((((-1.2, -1.2), (1.2, 1.2)), ((-1.2, 1.2), (1.2, -1.2))), "stroke"),
    "bar": ((((0, -1.6), (0, 1.6)),), "stroke"),
}
