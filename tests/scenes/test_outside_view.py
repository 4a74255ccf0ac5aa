"""The view outside: which way the horizon, the far marks and the ball go, and how much is sent."""

import json
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.models.view_geometry import level_path_pitch_deg, seen_in_windscreen
from lessonkit.scenes import OutsideView, Scene, outside_axes, outside_items
from lessonkit.scenes.outside import FAR, TUBE_BELOW_DEG, TUBE_END_DEG, TUBE_RADIUS_DEG

CUTOFF = 7.0
ANGLE = st.floats(-40.0, 40.0)
CASES = settings(max_examples=25, deadline=None, derandomize=True)


def view(**more):
    scene = Scene([outside_axes(nose_cutoff_deg=CUTOFF)], width=700, height=330)
    outside = OutsideView(nose_cutoff_deg=CUTOFF)
    at = {"bank_deg": 0.0, "heading_deg": 0.0, "ball_deg": 0.0, **more}
    scene.put(**outside.items(**at))
    return scene, outside


def middle(scene, name):
    item = scene.item(f"outside_{name}")
    x, y = (np.array([v for v in item[key] if v is not None]) for key in ("x", "y"))
    return float(x.mean()), float(y.mean())


def horizon_at(scene, x):
    """Height of the horizon in the picture above a place along its width."""
    (x0, x1), (y0, y1) = (scene.item("outside_horizon")[key][:2] for key in ("x", "y"))
    return y0 + (x - x0) / (x1 - x0) * (y1 - y0)


def test_right_wing_down_the_horizon_rises_towards_the_right():
    scene, _ = view(bank_deg=20.0)
    # A rigid picture turned about its middle: the slope is tan(bank), by geometry.
    assert horizon_at(scene, 10.0) == pytest.approx(10.0 * math.tan(math.radians(20.0)), abs=0.05)
    assert horizon_at(scene, -10.0) == pytest.approx(-10.0 * math.tan(math.radians(20.0)), abs=0.05)


def test_nose_up_the_horizon_sinks_and_the_ground_stays_below_it():
    scene, _ = view(pitch_deg=5.0)
    assert horizon_at(scene, 0.0) == pytest.approx(-5.01, abs=0.05)
    assert middle(scene, "ground")[1] < -20.0


def test_nose_left_of_the_tower_the_tower_stands_right_of_the_nose():
    scene, _ = view(heading_deg=-6.0)
    x, _y = middle(scene, "tower")
    assert x == pytest.approx(6.0, abs=0.1)
    assert middle(scene, "pin")[0] == pytest.approx(0.0, abs=0.05), "the nose stays in the middle"
    scene, _ = view(heading_deg=6.0)
    assert middle(scene, "tower")[0] == pytest.approx(-6.0, abs=0.1)


def test_marks_stand_on_the_horizon_every_ten_degrees():
    scene, _ = view(bank_deg=25.0, heading_deg=4.0, pitch_deg=2.0)
    item = scene.item("outside_marks")
    feet = np.array([[item["x"][i], item["y"][i]] for i in range(0, len(item["x"]), 5)])
    for x, y in feet:
        if abs(x) < 30.0:
            assert y == pytest.approx(horizon_at(scene, x), abs=0.15)
    scene, _ = view()
    item = scene.item("outside_marks")
    near = sorted(x for x in item["x"][::5] if abs(x) < 25.0)
    assert near == pytest.approx([-20.94, -10.19, 10.0, 20.75], abs=0.3)  # tan, less half a post


def test_the_texts_say_how_far_from_the_tower():
    scene, _ = view(heading_deg=18.0)
    texts = {
        scene.item(name)["text"]: scene.item(name)["x"][0]
        for name in scene.names()
        if "_text_" in name and scene.item(name)["text"]
    }
    assert texts["tower"] < 0.0 < texts["20° right"]
    assert "40° right" in texts
    # 27 degrees off the nose half of its text, in large type, would leave the picture.
    scene, _ = view(heading_deg=13.0)
    assert "40° right" not in {scene.item(n)["text"] for n in scene.names() if "_text_" in n}
    scene, _ = view(heading_deg=-12.0)
    assert "20° left" in {scene.item(n)["text"] for n in scene.names() if "_text_" in n}


def test_the_ball_goes_out_to_the_right_and_stops_at_the_end():
    lowest = -CUTOFF - TUBE_BELOW_DEG
    scene, _ = view(ball_deg=0.0)
    assert middle(scene, "ball") == pytest.approx((0.0, lowest), abs=0.05)
    scene, _ = view(ball_deg=4.0)
    right, up = middle(scene, "ball")
    assert right > 2.5 and up > lowest, "the tube is curved upward"
    scene, _ = view(ball_deg=-4.0)
    assert middle(scene, "ball") == pytest.approx((-right, up), abs=0.05)
    scene, _ = view(ball_deg=60.0)
    assert middle(scene, "ball")[0] < TUBE_RADIUS_DEG * math.sin(math.radians(TUBE_END_DEG))


@CASES
@given(azimuth=ANGLE, elevation=st.floats(0.0, 5.0), heading=ANGLE, pitch=ANGLE, bank=ANGLE)
def test_the_view_is_a_rotation(azimuth, elevation, heading, pitch, bank):
    """Against the same turn made with three rotation matrices, multiplied."""

    def about(axis, angle):
        c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        i, j = [k for k in range(3) if k != axis]
        matrix = np.eye(3)
        matrix[i, i] = matrix[j, j] = c
        sign = 1.0 if axis != 1 else -1.0
        matrix[i, j], matrix[j, i] = sign * s, -sign * s
        return matrix

    a, e = math.radians(azimuth), math.radians(elevation)
    far = np.array([math.cos(e) * math.cos(a), math.cos(e) * math.sin(a), -math.sin(e)])
    x, y, z = about(0, bank) @ about(1, pitch) @ about(2, heading) @ far
    right, up = seen_in_windscreen(azimuth, elevation, heading, pitch, bank)
    if x > 0.1:
        assert right == pytest.approx(math.degrees(y / x), abs=1e-6)
        assert up == pytest.approx(math.degrees(-z / x), abs=1e-6)


@CASES
@given(
    bank=ANGLE,
    heading=ANGLE,
    pitch=st.floats(-5.0, 10.0),
    azimuth=st.floats(-30.0, 30.0),
)
def test_left_and_right_are_mirrored(bank, heading, pitch, azimuth):
    one = seen_in_windscreen(azimuth, 1.0, heading, pitch, bank)
    other = seen_in_windscreen(-azimuth, 1.0, -heading, pitch, -bank)
    if np.isfinite(one[0]):
        assert one[0] == pytest.approx(-other[0]) and one[1] == pytest.approx(other[1])


def test_what_is_behind_is_not_seen():
    assert np.isnan(seen_in_windscreen(180.0, 0.0, 0.0, 0.0, 0.0)[0])


@CASES
@given(alpha=st.floats(0.0, 12.0), bank=ANGLE, sideslip=st.floats(-10.0, 10.0))
def test_the_path_of_level_flight_lies_on_the_horizon(alpha, bank, sideslip):
    pitch = level_path_pitch_deg(alpha, bank, sideslip)
    items = outside_items(
        "outside",
        bank_deg=bank,
        heading_deg=3.0,
        ball_deg=0.0,
        pitch_deg=pitch,
        path=(alpha, sideslip),
        nose_cutoff_deg=CUTOFF,
    )
    cross, edge = items["outside_path"], items["outside_horizon"]
    (x0, x1), (y0, y1) = edge.x[:2], edge.y[:2]
    along = np.array([x1 - x0, y1 - y0]) / (2.0 * FAR)
    off = np.array([cross.x[0] - x0, cross.y[0] - y0])
    assert abs(off[0] * along[1] - off[1] * along[0]) < 1e-6


def test_a_cross_shows_where_the_airplane_goes_only_when_asked():
    scene, _ = view()
    assert scene.item("outside_path")["x"] == []
    scene, _ = view(path=(0.0, 5.0))
    assert scene.item("outside_path")["x"][0] > 4.0, "wind from the right: it drifts to the right"


def test_only_what_moves_is_sent_and_little_of_it():
    scene, outside = view()
    scene.put(**outside.moving(bank_deg=3.0, heading_deg=-1.0, ball_deg=1.0))
    sent = set(scene.view.moved["set"])
    assert sent.isdisjoint(outside.fixed) and "outside_ball" in sent
    assert len(json.dumps(scene.view.moved)) < 3500


def test_the_cowling_hides_what_the_card_says():
    scene, _ = view()
    edge = scene.item("outside_cowling")
    assert max(edge["y"]) == pytest.approx(-CUTOFF, abs=0.05)
    names = scene.names()
    assert (
        names.index("outside_ground") < names.index("outside_cowling") < names.index("outside_ball")
    ), "the airplane is nearer than the ground"


def test_two_views_can_share_a_scene():
    items = outside_items(
        "a", bank_deg=0.0, heading_deg=0.0, ball_deg=0.0, nose_cutoff_deg=5.0, prefix="left_"
    )
    assert all(name.startswith("left_") for name in items)
    assert {item.axes for item in items.values()} == {"a"}
