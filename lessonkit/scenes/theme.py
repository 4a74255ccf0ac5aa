"""Colours, line styles and marks of every scene, light and dark, and their CSS.

A drawn thing has a *role*, never a colour: the theme gives each role a colour, a dash and a mark
that differ from every other role's, so that nothing hangs on colour alone. The hues follow the
colour-blind-safe order of M. Okabe and K. Ito, "Color Universal Design" (2008; from memory),
darkened on white and lightened on near-black until text in them reads at 4.5:1 or better.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Role:
    """How one role looks: colour on light and dark ground, dash, mark and line width.

    Parameters
    ----------
    light, dark : str
        Colour as #rrggbb on the light and on the dark surface.
    dash : str
        SVG dash pattern in scene pixels; empty for a solid line.
    mark : str
        Mark of single points: one of ``MARKS``.
    width : float
        Line width. [scene pixels]
    """

    light: str
    dark: str
    dash: str
    mark: str
    width: float


MARKS = ("circle", "diamond", "square", "plus", "triangle", "cross", "bar")

ROLES: dict[str, Role] = {
    "main": Role("#0b57a4", "#6db8ff", "", "circle", 3.0),
    "reference": Role("#6b3fa0", "#c4a7ff", "10 5", "diamond", 2.2),
    "limit": Role("#a63c06", "#ff9f5e", "3 3", "square", 2.6),
    "good": Role("#00664c", "#4fd0a0", "14 4 3 4", "triangle", 2.6),
    "warn": Role("#a0195b", "#ff8ec6", "2 5", "cross", 3.0),
    "muted": Role("#59626d", "#a5afba", "1 3", "plus", 1.4),
    "ink": Role("#1b1f24", "#eceff2", "18 6", "bar", 1.6),
}

# Colours that carry no meaning of their own: (light, dark).
GROUNDS: dict[str, tuple[str, str]] = {
    "surface": ("#ffffff", "#14171a"),
    "raised": ("#f3f5f7", "#1e2328"),
    "grid": ("#dfe3e8", "#30373e"),
    "edge": ("#7d8792", "#7f8a95"),
    "pavement": ("#b9c0c7", "#4a525b"),
    "sky": ("#e9f0f6", "#1a222b"),
    "land": ("#d9dccb", "#33372a"),
}

PRESENTATION_SCALE = 1.45
PREFIX = "--lk-"


def variable(name: str) -> str:
    """Return the CSS use of a role's or a ground's colour, such as ``var(--lk-main)``.

    Raises
    ------
    ValueError
        Naming a colour that the theme lacks.

    Examples
    --------
    >>> variable("main")
    'var(--lk-main)'
    """
    if name not in ROLES and name not in GROUNDS:
        known = ", ".join([*ROLES, *GROUNDS])
        raise ValueError(f"the theme has no colour {name!r}; it has {known}")
    return f"var({PREFIX}{name})"


def sentinel(name: str) -> str:
    """Return the stand-in colour that the plotter draws with and ``themed`` replaces.

    Examples
    --------
    >>> sentinel("main")
    '#fe01a0'
    """
    names = [*ROLES, *GROUNDS]
    if name not in names:
        variable(name)  # raises with the list of names
    return f"#fe01{0xA0 + names.index(name):02x}"


def themed(svg: str) -> str:
    """Return an SVG text with every stand-in colour replaced by its CSS variable."""
    for name in [*ROLES, *GROUNDS]:
        svg = svg.replace(sentinel(name), variable(name))
    return svg


def relative_luminance(colour: str) -> float:
    """Return the relative luminance of an #rrggbb colour, 0 (black) to 1 (white).

    References
    ----------
    .. [1] W3C, Web Content Accessibility Guidelines 2.1, "relative luminance" (from memory).

    Examples
    --------
    >>> relative_luminance("#ffffff")
    1.0
    """
    parts = [int(colour[start : start + 2], 16) / 255.0 for start in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: str, second: str) -> float:
    """Return the contrast ratio of two colours, 1 (same) to 21 (black on white).

    Examples
    --------
    >>> round(contrast("#000000", "#ffffff"), 6)
    21.0
    """
    bright, dim = sorted((relative_luminance(first), relative_luminance(second)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def css() -> str:
    """Return the style sheet's first part: the variables of both themes and the roles' styles."""
    light = _block({**{n: r.light for n, r in ROLES.items()}, **{n: g[0] for n, g in _grounds()}})
    dark = _block({**{n: r.dark for n, r in ROLES.items()}, **{n: g[1] for n, g in _grounds()}})
    roles = "\n".join(
        f".lk-scene .lk-r-{name} {{ --lk-role: {variable(name)}; --lk-dash: "
        f"{role.dash or 'none'}; --lk-width: {role.width}px; }}"
        for name, role in ROLES.items()
    )
    rooms = ".lk-panel, .lk-scene, .lk-block"
    under_dark = ", ".join(
        f'body[data-jp-theme-light="false"] {room}' for room in rooms.split(", ")
    )
    return (
        f"{rooms} {{ {light} --lk-scale: 1; color-scheme: light; }}\n"
        f"{under_dark} {{ {dark} color-scheme: dark; }}\n"
        f".lk-large, .lk-large .lk-scene, .lk-large .lk-block "
        f"{{ --lk-scale: {PRESENTATION_SCALE}; }}\n"
        f"{roles}\n"
    )


def _grounds():
    return GROUNDS.items()


def _block(colours: dict[str, str]) -> str:
    return " ".join(f"{PREFIX}{name}: {colour};" for name, colour in colours.items())
