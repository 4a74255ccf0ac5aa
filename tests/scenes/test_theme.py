"""Every colour can be read, and no role hangs on its colour alone."""

import itertools

import pytest

from lessonkit.scenes import theme

# WCAG 2.1 level AA: 4.5 for text, 3 for lines that carry meaning (from memory).
TEXT, LINES = 4.5, 3.0


def test_contrast_of_known_pairs():
    # Black on white is 21:1 by definition; #767676 is the well-known lightest grey that reaches
    # 4.5 on white (from memory).
    assert theme.contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert 4.5 <= theme.contrast("#767676", "#ffffff") < 4.6
    assert theme.contrast("#777777", "#ffffff") < 4.5


@pytest.mark.parametrize("role", theme.ROLES)
@pytest.mark.parametrize("ground", ["surface", "raised"])
def test_text_in_every_role_can_be_read_on_light_and_dark(role, ground):
    for index, look in enumerate(("light", "dark")):
        colour = getattr(theme.ROLES[role], look)
        assert theme.contrast(colour, theme.GROUNDS[ground][index]) >= TEXT, (role, look)


def test_edges_of_controls_can_be_seen():
    for index in (0, 1):
        edge, surface = theme.GROUNDS["edge"][index], theme.GROUNDS["surface"][index]
        assert theme.contrast(edge, surface) >= LINES


def test_pressed_buttons_can_be_read():
    for index, look in enumerate(("light", "dark")):
        main = getattr(theme.ROLES["main"], look)
        assert theme.contrast(main, theme.GROUNDS["surface"][index]) >= TEXT


def test_two_roles_always_differ_in_dash_and_mark():
    for first, second in itertools.combinations(theme.ROLES.values(), 2):
        assert first.dash != second.dash
        assert first.mark != second.mark


# Dichromat simulation in linear RGB: F. Vienot, H. Brettel, J. Mollon, "Digital video
# colourmaps for checking the legibility of displays by dichromats", Color Research and
# Application 24 (1999) 243-252 (matrices from memory).
PROTAN = ((0.11238, 0.88762, 0.0), (0.11238, 0.88762, 0.0), (0.00401, -0.00401, 1.0))
DEUTAN = ((0.29275, 0.70725, 0.0), (0.29275, 0.70725, 0.0), (-0.02234, 0.02234, 1.0))


def seen(colour, matrix):
    linear = [(int(colour[i : i + 2], 16) / 255) ** 2.2 for i in (1, 3, 5)]
    mixed = [sum(m * c for m, c in zip(row, linear, strict=True)) for row in matrix]
    return [max(value, 0.0) ** (1 / 2.2) for value in mixed]


@pytest.mark.parametrize("matrix", [PROTAN, DEUTAN], ids=["red-blind", "green-blind"])
@pytest.mark.parametrize("look", ["light", "dark"])
def test_main_good_and_limit_stay_apart_for_colour_blind_readers(matrix, look):
    colours = [seen(getattr(theme.ROLES[r], look), matrix) for r in ("main", "good", "limit")]
    for first, second in itertools.combinations(colours, 2):
        apart = sum((a - b) ** 2 for a, b in zip(first, second, strict=True)) ** 0.5
        # A tenth of the cube's edge is a step that is plain side by side; a practical choice,
        # no source. Dash and mark differ besides.
        assert apart > 0.1


def test_the_style_sheet_defines_every_colour_for_both_themes():
    sheet = theme.css()
    for name in [*theme.ROLES, *theme.GROUNDS]:
        assert sheet.count(f"--lk-{name}: #") == 2, name
    assert 'body[data-jp-theme-light="false"] .lk-scene' in sheet


def test_stand_in_colours_are_all_replaced():
    names = [*theme.ROLES, *theme.GROUNDS]
    assert len({theme.sentinel(name) for name in names}) == len(names)
    text = theme.themed(" ".join(theme.sentinel(name) for name in names))
    assert text.split() == [f"var(--lk-{name})" for name in names]
    with pytest.raises(ValueError, match="no colour 'pink'"):
        theme.sentinel("pink")
