"""Pictures of exercises on paper: places, ticks, dashes, marks, and texts that stay texts."""

import re

import pytest
from print_reading import assert_harmless

from lessonkit.exercises.picture import (
    Area,
    Arrow,
    Horizontal,
    Label,
    Line,
    Picture,
    PictureAxes,
    Points,
    Vertical,
    runway_from_above,
)
from lessonkit.prints.picture import WIDTH, drawing, ticks
from lessonkit.prints.shell import Head, document
from lessonkit.scenes.theme import MARKS, ROLES
from lessonkit.units import m_from_ft, m_from_nm
from lessonkit.words import Preferences

COMMA = Preferences(speed_unit="mph", decimal_mark=",")
SIDE = PictureAxes(
    "side", (-2000.0, 500.0), (0.0, 300.0), "distance_nm", "height", "along", "height"
)
PLAN = PictureAxes(
    "plan", (-2000.0, 2000.0), (500.0, -1500.0), "distance_nm", "distance_nm", "along", "out",
    y_sign=-1.0, equal=True,
)  # fmt: skip


def drawn(picture, preferences=COMMA, say=lambda key: f"text of {key}"):
    """Return a picture's drawing, read as a part of a print."""
    made = drawing(picture, say, preferences, "p1")
    return made, assert_harmless(document(Head("x"), made))


def polylines(made):
    """Return the points of each line that was drawn, as pairs of numbers."""
    found = re.findall(r'<polyline points="([^"]*)"', made)
    return [[tuple(map(float, point.split(","))) for point in line.split()] for line in found]


def test_line_runs_in_its_direction_on_paper():
    made, _ = drawn(Picture((SIDE,), (Line((-2000.0, 500.0), (300.0, 0.0)),)))
    ((start, end),) = polylines(made)
    assert start[0] < end[0]  # beyond the threshold is to the right
    assert start[1] < end[1]  # lower is further down


def test_place_is_in_proportion_between_the_ends():
    made, _ = drawn(Picture((SIDE,), (Line((-2000.0, -750.0, 500.0), (0.0, 150.0, 300.0)),)))
    ((low, middle, high),) = polylines(made)
    assert middle == pytest.approx([(low[i] + high[i]) / 2.0 for i in (0, 1)], abs=0.11)


def test_turned_axis_grows_downward():
    made, _ = drawn(Picture((PLAN,), (Line((0.0, 0.0), (0.0, -1000.0)),)))
    ((centreline, downwind),) = polylines(made)
    # The left of the runway, y < 0, is the top of a plan view whose first value is the larger.
    assert downwind[1] < centreline[1]


def test_equal_axes_have_one_scale():
    made, _ = drawn(Picture((PLAN,), (Line((0.0, 1000.0, 1000.0), (0.0, 0.0, -1000.0)),)))
    ((corner, along, across),) = polylines(made)
    assert along[0] - corner[0] == pytest.approx(abs(across[1] - along[1]), abs=0.21)


def test_lines_stay_inside_their_axes():
    """Each set of axes is an inner drawing that cuts off what reaches beyond it."""
    picture = Picture((PLAN, SIDE), (Line((-9e4, 9e4), (9e4, -9e4), axes="side"),))
    made, read = drawn(picture)
    assert read.tags.count("svg") == 3
    inner = re.findall(r'<svg x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)"', made)
    for x, y, width, height in (map(float, box) for box in inner):
        assert 0 <= x and x + width <= WIDTH
        assert 0 <= y and y + height <= picture.height
    (one, other) = inner
    assert float(one[1]) + float(one[3]) < float(other[1])


@pytest.mark.parametrize(
    ("low", "high", "kind", "sign", "preferences", "texts"),
    [
        (0.0, m_from_ft(1000), "height", 1, COMMA, ["0", "200", "400", "600", "800", "1.000"]),
        (m_from_nm(-1), m_from_nm(0.5), "distance_nm", 1, COMMA, ["−1,0", "−0,5", "0,0", "0,5"]),
        (0.0, m_from_nm(-1.0), "distance_nm", -1, Preferences(),
         ["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]),
        (0.0, 44.704, "speed", 1, COMMA, ["0", "20", "40", "60", "80", "100"]),
    ],
)  # fmt: skip
def test_ticks_are_round_in_the_unit_shown(low, high, kind, sign, preferences, texts):
    found = ticks(low, high, kind, sign, preferences)
    assert [text for _, text in found] == texts
    low, high = sorted((low, high))
    assert all(low - 1e-6 <= value <= high + 1e-6 for value, _ in found)


def test_tick_with_the_other_sign_stands_at_its_value():
    found = dict((text, value) for value, text in ticks(0.0, -1852.0, "distance_nm", -1, COMMA))
    assert found["0,6"] == pytest.approx(m_from_nm(-0.6))


def test_axes_have_names_units_numbers_and_what_is_seen():
    made, read = drawn(Picture((SIDE,)))
    assert "text of along (nm)" in read.text
    assert "text of height (ft)" in read.text
    assert ("svg", "aria-label", "text of alt") in read.attributes


def test_roles_differ_by_dash_and_mark_not_by_colour():
    lines = tuple(Line((-1000.0, 0.0), (100.0, 100.0), role) for role in ROLES)
    made, read = drawn(Picture((SIDE,), lines))
    dashes = [
        re.search(r'stroke-dasharray="([^"]*)"', tag)
        for tag in re.findall(r"<polyline[^>]*>", made)
    ]
    assert len({found[1] if found else "" for found in dashes}) == len(ROLES)
    shapes = set()
    for role in ROLES:
        made, _ = drawn(Picture((SIDE,), (Points((0.0,), (100.0,), role),)))
        shapes.add(re.search(r"<(circle|path) [^>]*>", made)[0])
    assert len(shapes) == len(MARKS)
    assert not re.search(r"#[0-9a-f]{6}|rgb", made)


def test_every_item_is_drawn():
    items = (
        *runway_from_above(900.0, 60.0, "plan"),
        Line((0.0, 1.0), (0.0, 1.0)),
        Points((0.0, 5.0), (0.0, 5.0)),
        Area((0.0, 9.0, 9.0), (0.0, 0.0, 9.0), "good"),
        Label(0.0, 0.0, "a"),
        Arrow(0.0, 0.0, 100.0, 0.0),
        Vertical(0.0),
        Horizontal(0.0),
    )
    before = drawn(Picture((PLAN,)))[1].tags
    for item in items:
        assert len(drawn(Picture((PLAN,), (item,)))[1].tags) > len(before), item
    made, _ = drawn(Picture((PLAN,), items))
    assert 'fill="url(#p1-hatch)"' in made and 'id="p1-hatch"' in made


def test_points_that_are_no_numbers_are_left_out():
    made, _ = drawn(Picture((SIDE,), (Line((0.0, float("nan"), 5.0), (0.0, 1.0, 2.0)),)))
    assert "nan" not in made
    assert len(polylines(made)[0]) == 2


@pytest.mark.parametrize("text", ["<script>x</script>", '"><b', "</text></svg>", "\u202ea"])
def test_texts_of_a_picture_stay_texts(text):
    picture = Picture((SIDE,), (Label(0.0, 0.0, "a"),))
    _, hostile = drawn(picture, say=lambda key: text)
    _, tame = drawn(picture, say=lambda key: "a")
    assert hostile.tags == tame.tags
