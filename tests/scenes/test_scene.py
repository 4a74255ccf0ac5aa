"""The scene: only what changed travels, the whole state is kept, grabs arrive."""

import json
import math

import numpy as np
import pytest

from lessonkit.scenes import (
    Grab,
    Scene,
    SceneAxes,
    area,
    arrow,
    band,
    circle,
    horizontal,
    label,
    line,
    plan_runway,
    points,
    side_runway,
    vertical,
    wind_arrow,
)


@pytest.fixture
def scene():
    return Scene(
        [
            SceneAxes("side", x=(-1000.0, 1000.0), y=(0.0, 300.0)),
            SceneAxes("plan", x=(-1000.0, 1000.0), y=(100.0, -500.0), equal=True),
        ],
        alt="Two views.",
    )


def sent(scene):
    return scene.view.moved


def test_only_changed_items_are_sent(scene):
    scene.put(path=line("side", [0, 1], [10, 20]), aim=vertical("side", 300.0))
    assert set(sent(scene)["set"]) == {"path", "aim"}
    before = sent(scene)["n"]
    scene.put(path=line("side", [0, 1], [10, 20]), aim=vertical("side", 350.0))
    assert set(sent(scene)["set"]) == {"aim"}
    scene.put(path=line("side", [0, 1], [10, 20]))
    assert sent(scene)["n"] == before + 1, "nothing changed, nothing sent"


def test_a_page_that_loads_later_gets_the_whole_state(scene):
    scene.put(path=line("side", [0, 1], [10, 20]))
    scene.put(aim=vertical("side", 300.0))
    scene.tell(sentence="Touchdown on the aiming point.")
    state = scene.view.get_state()["shown"]
    assert set(state["items"]) == {"path", "aim"}
    assert state["sentence"] == "Touchdown on the aiming point."
    scene.remove("path")
    assert set(scene.view.get_state()["shown"]["items"]) == {"aim"}
    assert sent(scene)["gone"] == ["path"]


def test_a_batch_is_one_message(scene):
    with scene.batch():
        scene.put(path=line("side", [0, 1], [10, 20]))
        scene.put(path=line("side", [0, 1], [10, 30]))
        scene.tell(sentence="Higher.")
        scene.put(other=line("side", [0, 1], [10, 30]))
        scene.remove("other")
    assert sent(scene)["n"] == 1
    assert sent(scene)["set"]["path"]["y"] == [10.0, 30.0]
    assert "other" not in sent(scene)["set"] and sent(scene)["gone"] == ["other"]
    assert sent(scene)["sentence"] == "Higher."


def test_an_item_taken_away_and_put_back_in_one_batch_stays(scene):
    scene.put(path=line("side", [0, 1], [10, 20]))
    with scene.batch():
        scene.remove("path")
        scene.put(path=line("side", [0, 1], [10, 20]))
    assert sent(scene)["gone"] == [] and "path" in sent(scene)["set"]


def test_every_kind_of_item_travels_as_plain_json(scene):
    scene.put(
        line=line("side", np.arange(3), [0.0, math.nan, 2.0]),
        points=points("side", 1.0, 2.0, role="good"),
        label=label("side", 0, 0, "<b>Key</b>", anchor="middle"),
        area=area("plan", [0, 1, 1], [0, 0, 1], role="limit"),
        band=band("side", [0, 1], [0, 0], [1, 2]),
        arrow=arrow("plan", 0, 0, 10, 0),
        circle=circle("plan", 0, 0, 50.0),
        vertical=vertical("side", 1.0),
        horizontal=horizontal("side", 1.0, grab=Grab("h", "Height", along="y")),
    )
    text = json.dumps(sent(scene), allow_nan=False)
    assert json.loads(text)["set"]["line"]["y"] == [0.0, None, 2.0]
    assert scene.item("label")["text"] == "<b>Key</b>"  # the page sets it as text, never as HTML
    assert scene.item("area")["hatch"] is True
    assert scene.item("band")["x"] == [0.0, 1.0, 1.0, 0.0]
    assert scene.item("band")["y"] == [0.0, 0.0, 2.0, 1.0]
    assert scene.item("points")["mark"] == "triangle"


@pytest.mark.parametrize(
    "make, word",
    [
        (lambda: line("side", [0], [0], role="pink"), "no role 'pink'"),
        (lambda: line("side", [0, 1], [0]), "2 x values, but 1 y"),
        (lambda: points("side", 0, 0, mark="star"), "no mark 'star'"),
        (lambda: label("side", 0, 0, "a", anchor="left"), "no anchor"),
        (lambda: circle("side", 0, 0, -1.0), "negative"),
        (lambda: Grab("a", "A", along="z"), "along"),
        (lambda: Grab("a", "A", step=(0.0, 1.0)), "steps"),
        (lambda: area("side", [0], [0], fill="pink"), "no colour"),
    ],
)
def test_wrong_items_are_refused(make, word):
    with pytest.raises(ValueError, match=word):
        make()


def test_unknown_axes_items_and_texts_are_named(scene):
    with pytest.raises(ValueError, match="no axes 'top'"):
        scene.put(a=line("top", [0], [0]))
    with pytest.raises(KeyError, match="no item 'a'"):
        scene.item("a")
    with pytest.raises(ValueError, match="does not know titel"):
        scene.tell(titel="x")


def test_a_grab_reaches_the_handler_and_is_acknowledged(scene):
    events = []
    scene.on_grab(events.append)
    scene.put(turn=points("plan", 0, 0, grab=Grab("turn", "Base turn")))
    scene.grab("turn", 10.0, 20.0, "move")
    scene.grab("turn", 10.0, 20.0, "end")
    assert [(e.name, e.x, e.y, e.phase) for e in events] == [
        ("turn", 10.0, 20.0, "move"),
        ("turn", 10.0, 20.0, "end"),
    ]
    assert scene.view.grab_done == 2


def test_the_page_and_the_helper_take_the_same_way(scene):
    events = []
    scene.on_grab(events.append)
    scene.put(turn=points("plan", 0, 0, grab=Grab("turn", "Base turn")))
    scene.view.set_state({"grabbed": {"name": "turn", "x": 1, "y": 2, "phase": "end", "n": 7}})
    assert events[0].x == 1.0 and scene.view.grab_done == 7


def test_a_locked_scene_cannot_be_grabbed(scene):
    events = []
    scene.on_grab(events.append)
    scene.put(turn=points("plan", 0, 0, grab=Grab("turn", "Base turn")))
    scene.tell(locked=True)
    scene.grab("turn", 1.0, 2.0)
    assert events == [] and scene.view.grab_done == 1


@pytest.mark.parametrize(
    "event", [{"name": "x", "phase": "end"}, {"name": "turn", "phase": "jump"}, {}]
)
def test_a_malformed_grab_is_refused_and_still_acknowledged(scene, event):
    scene.put(turn=points("plan", 0, 0, grab=Grab("turn", "Base turn")))
    with pytest.raises(ValueError, match="no grab"):
        scene.view.grabbed = {"x": 0.0, "y": 0.0, **event, "n": 5}
    assert scene.view.grab_done == 5


def test_the_alternative_text_holds_the_live_sentence(scene):
    scene.tell(sentence="Touchdown 120 ft long.")
    assert scene.alt == "Two views. Touchdown 120 ft long."


def test_the_wind_arrow_points_where_the_air_goes_and_grows_with_it(scene):
    def shape(wind_x, wind_y):
        scene.put(**wind_arrow(scene, "plan", 0.0, -200.0, wind_x, wind_y, "Wind"))
        item = scene.item("wind_arrow")
        return item["x"][1] - item["x"][0], item["y"][1] - item["y"][0]

    headwind = shape(-5.0, 0.0)
    assert headwind[0] < 0.0 and headwind[1] == pytest.approx(0.0)
    assert shape(0.0, 5.0)[1] > 0.0, "from the left: the air moves to the right, y grows"
    assert abs(shape(-10.0, 0.0)[0]) > abs(headwind[0])
    shape(0.0, 0.0)
    assert len(scene.item("wind_calm")["x"]) == 1
    shape(-5.0, 0.0)
    assert scene.item("wind_calm")["x"] == []


def test_the_runway_lies_between_threshold_and_end_and_can_be_seen(scene):
    scene.put(**plan_runway(scene, "plan", 900.0, 1.0, aiming_point=150.0))
    scene.put(**side_runway(scene, "side", 900.0, aiming_point=150.0))
    runway = scene.item("runway")
    assert (min(runway["x"]), max(runway["x"])) == (0.0, 900.0)
    wide = (max(runway["y"]) - min(runway["y"])) / scene.pixel_size("plan")[1]
    assert wide == pytest.approx(8.0, abs=0.2)
    assert scene.item("side_aiming_point")["x"] == [150.0]


def test_new_axes_replace_the_old_ones(scene):
    old = scene.view.background
    scene.set_axes([SceneAxes("side", x=(0.0, 10.0), y=(0.0, 1.0))])
    assert scene.view.background != old
    assert [a["name"] for a in scene.view.frame["axes"]] == ["side"]


def test_a_page_that_missed_changes_can_ask_for_everything(scene, monkeypatch):
    asked = []
    scene.put(path=line("side", [0, 1], [10, 20]))
    monkeypatch.setattr(scene.view, "send_state", asked.append)
    scene.view._handle_custom_msg({"ask": "shown"}, [])
    scene.view._handle_custom_msg({"ask": "anything"}, [])
    assert asked == ["shown"]
    assert scene.view.shown["n"] == scene.view.moved["n"], "it knows which change it has seen last"
