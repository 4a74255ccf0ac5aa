"""Axes: places, equal scale, shared range, ticks, and an SVG that belongs to any page."""

import re
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.scenes.axes import SceneAxes, arrange, draw_background, rounded_for, tick_text, ticks
from lessonkit.units import METRES_PER_FOOT
from lessonkit.words import Preferences


def two(**plan):
    return [
        SceneAxes("side", x=(0.0, 900.0), y=(0.0, 300.0), shared_x=True, y_label="Height, ft"),
        SceneAxes("plan", x=(-100.0, 900.0), y=(100.0, -500.0), shared_x=True, **plan),
    ]


def texts(svg):
    return re.findall(r"<text[^>]*>([^<]*)<", svg)


def test_axes_stand_below_each_other_inside_the_scene():
    side, plan = arrange(two(), 900.0, 520.0)
    assert side.left == plan.left and side.width == plan.width
    assert side.top + side.height < plan.top
    assert plan.top + plan.height < 520.0


def test_equal_axes_have_one_scale_and_keep_their_ranges_inside():
    _, plan = arrange(two(equal=True), 900.0, 520.0)
    across, along = plan.pixel_size()
    assert across == pytest.approx(along)
    (x0, x1), (y0, y1) = plan.axes.x, plan.axes.y
    assert x0 <= -100.0 and x1 >= 900.0
    assert y0 >= 100.0 and y1 <= -500.0, "a turned axis stays turned"


def test_shared_axes_take_the_range_of_the_equal_one():
    side, plan = arrange(two(equal=True), 900.0, 520.0)
    assert side.axes.x == plan.axes.x


def test_only_the_lowest_shared_axes_have_x_numbers():
    frames = arrange(two(), 900.0, 520.0)
    side_alone = arrange(two()[:1], 900.0, 520.0)
    with_both = texts(draw_background(frames, 900.0, 520.0))
    alone = texts(draw_background(side_alone, 900.0, 520.0))
    assert with_both.count("800") == 1
    assert alone.count("800") == 1


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    low=st.floats(-1e4, 1e4),
    span=st.floats(1.0, 1e4),
    unit=st.sampled_from([1.0, METRES_PER_FOOT, -METRES_PER_FOOT, 1852.0]),
)
def test_ticks_are_inside_the_range_and_evenly_spaced(low, span, unit):
    values = ticks(low, low + span, unit, 6)
    assert 1 <= len(values) <= 8
    assert all(low - 1e-6 * span <= v <= low + span + 1e-6 * span for v in values)
    gaps = [b - a for a, b in zip(values, values[1:], strict=False)]
    assert all(gap == pytest.approx(gaps[0], rel=1e-6) for gap in gaps)


def test_a_negative_unit_shows_left_traffic_as_positive_distances():
    assert tick_text(-926.0, -1852.0) == "0.5"
    assert tick_text(-926.0, 1852.0) == "\u22120.5"


def test_tick_numbers_follow_the_decimal_mark():
    frames = arrange([SceneAxes("a", x=(0.0, 1.0), y=(0.0, 4000.0))], 400.0, 300.0)
    shown = texts(draw_background(frames, 400.0, 300.0, Preferences(decimal_mark=",")))
    assert "0,5" in shown and "4.000" in shown and "0.5" not in shown


def test_the_picture_changes_nothing_else_of_a_page():
    frames = arrange(two(), 900.0, 520.0)
    svg = draw_background(frames, 900.0, 520.0)
    assert "<style" not in svg and "<metadata" not in svg and "<script" not in svg
    assert "#fe01" not in svg, "a stand-in colour is left"
    assert "var(--lk-muted)" in svg and "var(--lk-scale)" in svg
    assert not re.search(r"(?:stroke|fill): #", svg), "a colour that no theme changes"
    assert "font-size: 13px" not in svg and "DejaVu" not in svg


def test_the_same_axes_give_the_same_svg():
    frames = arrange(two(), 900.0, 520.0)
    assert draw_background(frames, 900.0, 520.0) == draw_background(frames, 900.0, 520.0)


def test_labels_are_never_parsed_as_mathematics_or_markup():
    hostile = "$\\frac{1}{2}$ <script>x</script> & height"
    frames = arrange([SceneAxes("a", x=(0, 1), y=(0, 1), y_label=hostile)], 400.0, 300.0)
    svg = draw_background(frames, 400.0, 300.0)
    assert "$\\frac{1}{2}$ &lt;script&gt;" in svg
    assert "<script" not in svg


def test_fixed_curves_are_drawn_in_themed_colours():
    def draw(ax, colour):
        ax.plot([0.0, 2.0], [0.0, 1.0], color=colour("reference"))

    frames = arrange([SceneAxes("a", x=(0, 1), y=(0, 1), draw=draw)], 400.0, 300.0)
    assert "stroke: var(--lk-reference)" in draw_background(frames, 400.0, 300.0)


def test_rounding_is_finer_than_can_be_seen_and_gaps_are_kept():
    (frame,) = arrange([SceneAxes("a", x=(0.0, 1000.0), y=(0.0, 1.0))], 900.0, 300.0)
    values = [123.456789, float("nan"), -1e3]
    rounded = rounded_for(frame, values, "x")
    assert rounded[1] is None
    pixel = frame.pixel_size()[0]
    assert abs(rounded[0] - values[0]) < 0.05 * pixel
    assert len(repr(rounded[0])) < 8


@pytest.mark.parametrize("limits", [(1.0, 1.0), (0.0, float("nan")), (0.0, float("inf"))])
def test_empty_ranges_are_refused(limits):
    with pytest.raises(ValueError, match="range"):
        SceneAxes("a", x=limits, y=(0.0, 1.0))


def test_axes_need_room_and_names_of_their_own():
    with pytest.raises(ValueError, match="no room"):
        arrange(two(), 900.0, 150.0)
    with pytest.raises(ValueError, match="name of its own"):
        arrange([two()[0], two()[0]], 900.0, 520.0)


def test_matplotlib_is_loaded_late_and_never_as_pyplot():
    code = (
        "import sys, lessonkit.scenes as s; early = 'matplotlib' in sys.modules;"
        "s.Scene([s.SceneAxes('a', x=(0, 1), y=(0, 1))]);"
        "print(early, 'matplotlib.pyplot' in sys.modules, 'pandas' in sys.modules,"
        " 'scipy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False"] * 4


def test_columns_stand_beside_each_other_and_share_x_only_inside():
    axes = [
        SceneAxes("view", x=(-30.0, 30.0), y=(-15.0, 10.0), x_numbers=False, y_numbers=False),
        SceneAxes("bank", x=(0.0, 8.0), y=(0.0, 30.0), shared_x=True, column=1),
        SceneAxes("ball", x=(0.0, 6.0), y=(-5.0, 5.0), shared_x=True, column=1),
    ]
    view, bank, ball = arrange(axes, 1000.0, 500.0, columns=(3.0, 2.0))
    assert view.left + view.width < bank.left == ball.left
    assert bank.left + bank.width <= 1000.0 and bank.left > 600.0
    assert bank.axes.x == ball.axes.x == (0.0, 6.0) and view.axes.x == (-30.0, 30.0)
    assert "−10" not in texts(draw_background([view], 1000.0, 500.0)), "no numbers where none mean"
    with pytest.raises(ValueError, match="columns"):
        arrange(axes, 1000.0, 500.0)
