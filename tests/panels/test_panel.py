"""A panel built as a lesson builds it, driven without a browser."""

import asyncio
import logging
from types import SimpleNamespace

import pytest

from lessonkit.panels import Check, LessonContext, NumberControl, Panel, Prediction, caution_block
from lessonkit.scenes import Grab, Scene, SceneAxes, line, points
from lessonkit.units import METRES_PER_FOOT as FT
from lessonkit.units import METRES_PER_NAUTICAL_MILE as NM
from lessonkit.words import Preferences, escape_html, say, say_all, show

KNOTS = Preferences()
GLIDE = 9.0  # any ratio: the panel is under test, not the airplane


class Store:
    def __init__(self, broken=False):
        self.events, self.broken = [], broken

    def append(self, kind, data):
        if self.broken:
            raise OSError(30, "Read-only file system")
        self.events.append((kind, data))


def build(record=None, prediction=None, full=None, preferences=KNOTS, calls=None):
    calls = [] if calls is None else calls

    def control(key, kind, value, low, high, step):
        return NumberControl(
            key, key.title(), kind, value=value, low=low, high=high, step=step,
            preferences=preferences,
        )  # fmt: skip

    def compute(values):
        calls.append(dict(values))
        if values["height"] > 1400.0 * FT:
            raise ValueError("The glide is known up to 1,400 ft: choose less height.")
        if values["height"] < 600.0 * FT:
            raise ZeroDivisionError("float division by zero")
        return SimpleNamespace(reach=values["height"] * GLIDE - values["turn"], cases=300)

    def draw(scene, result, values):
        turn = Grab("turn", "Base turn", along="x", step=(20.0, 20.0))
        scene.put(
            path=line("side", [-values["turn"], result.reach], [values["height"], 0.0]),
            turn=points("side", -values["turn"], values["height"], grab=turn),
        )
        reach = show(result.reach, "distance_ft", preferences)
        return f"The glide reaches {reach} beyond, in {result.cases} cases."

    scene = Scene([SceneAxes("side", x=(-3000.0, 3000.0), y=(0.0, 500.0))], alt="Side view.")
    return Panel(
        LessonContext("07_power_off_approach", preferences=preferences, record=record),
        "bench",
        title="Bench",
        scene=scene,
        controls=[
            control("turn", "distance_nm", 0.5 * NM, 0.1 * NM, 1.5 * NM, 0.01 * NM),
            control("height", "height", 1000.0 * FT, 500.0 * FT, 1500.0 * FT, 10.0 * FT),
            Check("band", "Band"),
        ],
        compute=compute,
        draw=draw,
        full=full,
        prediction=prediction,
        grabs={"turn": lambda event: {"turn": -event.x}},
    )


@pytest.fixture(autouse=True)
def lenient(monkeypatch):
    monkeypatch.delenv("LESSONKIT_STRICT", raising=False)


def asked(**changes):
    settings = {
        "choices": [("short", "Shorter"), ("long", "Longer")],
        "outcome": lambda result: f"{result.reach:.0f} m",
    }
    return Prediction("Later turn: what happens to the reach?", **{**settings, **changes})


def test_it_starts_with_a_picture_and_a_sentence():
    panel = build()
    assert panel.scene.item("path")["y"] == [304.8, 0.0]
    # 1,000 ft at 9:1 are 9,000 ft, less 0.5 nm (3,038 ft).
    assert panel.sentence.replace("\u00a0", " ").startswith("The glide reaches 5,962 ft beyond")
    assert panel.scene.sentence == panel.sentence


def test_a_control_moves_picture_and_sentence_with_one_computation():
    calls = []
    panel = build(calls=calls)
    calls.clear()
    panel.control("height").slide(900.0 * FT)
    assert len(calls) == 1
    assert panel.scene.item("path")["y"][0] == pytest.approx(900.0 * FT, abs=0.05)
    # 100 ft less at 9:1: 900 ft less.
    assert "5,062" in panel.sentence


def test_one_change_is_one_message_to_the_page():
    panel = build()
    before = panel.scene.view.moved["n"]
    panel.control("height").slide(900.0 * FT)
    moved = panel.scene.view.moved
    assert moved["n"] == before + 1
    assert set(moved["set"]) == {"path", "turn"} and moved["sentence"] == panel.sentence


def test_dragging_the_item_moves_slider_and_typed_value():
    panel = build()
    panel.scene.grab("turn", -0.8 * NM, 0.0, "move")
    turn = panel.control("turn")
    assert turn.value == pytest.approx(0.8 * NM)
    assert turn.slider.value == pytest.approx(0.8)
    assert turn.field.value.replace("\u00a0", " ") == "0.80 nm"
    assert panel.scene.item("turn")["x"][0] == pytest.approx(-0.8 * NM, abs=0.5)


def test_moving_the_slider_or_typing_moves_the_item():
    panel = build()
    panel.control("turn").type("0,6")
    assert panel.scene.item("turn")["x"][0] == pytest.approx(-0.6 * NM, abs=0.5)


def test_a_drag_beyond_the_range_stops_at_its_end():
    panel = build()
    panel.scene.grab("turn", -99.0 * NM, 0.0)
    assert panel.values["turn"] == pytest.approx(1.5 * NM)
    assert panel.error == ""


def test_reset_puts_all_back_with_one_computation():
    calls = []
    panel = build(calls=calls)
    panel.control("turn").type("1,2")
    panel.control("height").type("1200")
    panel.control("band").tick(True)
    calls.clear()
    panel.reset_button.click()
    assert panel.values == {"turn": 0.5 * NM, "height": 1000.0 * FT, "band": False}
    assert len(calls) == 1


# ---------------------------------------------------------------- errors


def test_a_refused_value_becomes_one_sentence_and_the_old_picture_is_dimmed():
    panel = build()
    drawn = panel.scene.item("path")
    panel.control("height").type("1450")
    assert panel.error == "The glide is known up to 1,400 ft: choose less height."
    assert isinstance(panel.last_error, ValueError)
    assert panel.scene.item("path") == drawn
    assert panel.scene.view.get_state()["shown"]["stale"] is True
    panel.control("height").type("1000")
    assert panel.error == "" and panel.last_error is None
    assert panel.scene.view.get_state()["shown"]["stale"] is False


def test_a_defect_shows_no_programmers_words_but_is_kept_and_logged(caplog):
    panel = build()
    with caplog.at_level(logging.ERROR, "lessonkit.panels"):
        panel.control("height").type("550")
    assert panel.error == say("panels.error.unexpected")
    assert isinstance(panel.last_error, ZeroDivisionError)
    assert caplog.records[0].exc_info[0] is ZeroDivisionError


def test_strict_runs_see_the_error_itself(monkeypatch):
    panel = build()
    monkeypatch.setenv("LESSONKIT_STRICT", "1")
    with pytest.raises(ZeroDivisionError):
        panel.control("height").type("550")
    panel.control("height").type("1000")
    assert panel.error == ""


def test_an_unknown_grab_is_an_error_of_the_panel():
    panel = build()
    panel.scene.put(other=points("side", 0, 0, grab=Grab("other", "Other")))
    panel.scene.grab("other", 0.0, 0.0)
    assert "other" in str(panel.last_error)


def test_a_panel_that_cannot_even_start_says_so():
    panel = Panel(
        LessonContext("lesson"),
        "bench",
        compute=lambda values: 1 / 0,
        draw=lambda scene, result, values: "",
    )
    assert panel.error == say("panels.error.unexpected")


# ---------------------------------------------------------------- prediction


def test_controls_wait_for_the_prediction():
    panel = build(prediction=asked())
    assert panel._controls_box.layout.display == "none"
    panel.scene.grab("turn", -0.8 * NM, 0.0)
    assert panel.values["turn"] == 0.5 * NM, "the picture is locked too"
    panel.predict("long")
    assert panel._controls_box.layout.display is None
    assert panel.prediction.widget.layout.display == "none"
    panel.scene.grab("turn", -0.8 * NM, 0.0)
    assert panel.values["turn"] == pytest.approx(0.8 * NM)


@pytest.mark.parametrize("answer", ["record", "skip"])
def test_a_picture_that_would_answer_waits_for_the_prediction(answer):
    drawn = []

    def note(name):
        return lambda scene, result, values: drawn.append(name) or name

    panel = Panel(
        LessonContext("test"),
        "test",
        controls=[Check("band", "Band")],
        compute=lambda values: None,
        draw=note("all"),
        draw_asked=note("asked"),
        prediction=Prediction("Where?", choices=[("a", "Here"), ("b", "There")]),
    )
    panel.control("band").set(True)
    assert set(drawn) == {"asked"} and panel.asked and panel.sentence == "asked"
    panel.predict("a") if answer == "record" else panel.skip_prediction()
    assert drawn[-1] == "all" and not panel.asked and panel.sentence == "all"


def test_the_prediction_is_recorded_once_and_shown_beside_the_result():
    store = Store()
    panel = build(record=store, prediction=asked())
    assert store.events == [], "nothing is written without an act"
    panel.prediction.picker.value = "long"
    assert store.events == []
    panel.prediction.record_button.click()
    panel.prediction.record_button.click()
    assert store.events == [
        (
            "prediction",
            {
                "lesson": "07_power_off_approach",
                "panel": "bench",
                "answer": "long",
                "text": "Longer",
            },
        )
    ]
    panel.control("height").slide(900.0 * FT)
    reach = panel.result.reach
    assert panel.prediction.text == f"You predicted: Longer. Computed: {reach:.0f} m."
    assert escape_html(panel.prediction.text) in panel.prediction.shown_again.value


def test_skipping_opens_the_panel_and_writes_nothing():
    store = Store()
    panel = build(record=store, prediction=asked())
    panel.prediction.skip_button.click()
    assert panel._controls_box.layout.display is None and store.events == []
    assert panel.prediction.text == say("panels.prediction.skipped")


def test_recording_without_an_answer_asks_for_one():
    panel = build(prediction=asked())
    panel.prediction.record_button.click()
    assert panel.prediction.error == say("panels.prediction.choose")
    assert panel.prediction.status == "open"


def test_a_number_is_predicted_in_the_learners_units():
    store = Store()
    ask = Prediction("How far?", kind="distance_ft", low=0.0, high=5000.0)
    panel = build(record=store, prediction=ask)
    panel.predict("far")
    assert panel.prediction.status == "open" and panel.prediction.error.endswith(".")
    panel.predict("1200 ft")
    assert store.events[0][1]["answer"] == pytest.approx(1200.0 * FT)
    assert panel.prediction.text.replace("\u00a0", " ") == "You predicted: 1,200 ft."


def test_a_record_that_cannot_be_written_is_said_and_the_lesson_goes_on():
    panel = build(record=Store(broken=True), prediction=asked())
    panel.predict("long")
    assert panel.error == say("panels.error.file")
    assert panel._controls_box.layout.display is None
    assert panel.prediction.text.startswith("You predicted: Longer.")


@pytest.mark.parametrize(
    "wrong", [{"kind": "speed"}, {"choices": [("a", "A")]}, {"choices": (), "kind": ""}]
)
def test_a_prediction_asks_one_thing(wrong):
    with pytest.raises(ValueError, match="prediction"):
        asked(**wrong)


# ---------------------------------------------------------------- the full count


def full(values):
    return SimpleNamespace(reach=1.0, cases=10000)


def test_the_full_count_waits_until_asked_where_no_loop_runs():
    panel = build(full=full)
    assert "300 cases" in panel.sentence
    panel.settle()
    assert "10000 cases" in panel.sentence
    panel.control("height").slide(900.0 * FT)
    assert "300 cases" in panel.sentence


def test_the_full_count_waits_for_the_prediction():
    question = Prediction("Where?", choices=[("here", "Here"), ("there", "There")])
    panel = build(full=full, prediction=question)
    before = panel.result
    panel.settle()
    assert panel.result is before
    panel.predict("here")
    panel.settle()
    assert panel.result is not before


def test_the_end_of_a_drag_brings_the_full_count():
    panel = build(full=full)
    panel.scene.grab("turn", -0.8 * NM, 0.0, "move")
    assert "300 cases" in panel.sentence
    panel.scene.grab("turn", -0.8 * NM, 0.0, "end")
    assert "10000 cases" in panel.sentence


def test_quiet_brings_the_full_count_where_a_loop_runs():
    async def session():
        panel = build(full=full)
        for feet in (900.0, 950.0, 980.0):
            panel.control("height").slide(feet * FT)
        deadline = asyncio.get_running_loop().time() + 10.0
        while "10000" not in panel.sentence and asyncio.get_running_loop().time() < deadline:
            await asyncio.sleep(0.05)
        return panel.sentence

    assert "10000 cases" in asyncio.run(session())


def test_a_change_from_another_thread_reaches_the_loop():
    async def session():
        panel = build(full=full)
        await asyncio.to_thread(panel.control("height").slide, 900.0 * FT)
        deadline = asyncio.get_running_loop().time() + 10.0
        while "10000" not in panel.sentence and asyncio.get_running_loop().time() < deadline:
            await asyncio.sleep(0.05)
        return panel.sentence

    assert "10000 cases" in asyncio.run(session())


def test_changes_made_while_computing_run_once_more_not_once_each():
    calls = []
    panel = build()

    def meddling(values):
        calls.append(values["height"])
        if len(calls) == 1:
            for feet in (800.0, 810.0, 820.0):
                panel.control("height").slide(feet * FT)
        return SimpleNamespace(reach=0.0, cases=1)

    panel._compute = meddling
    panel.control("height").slide(900.0 * FT)
    assert calls == [pytest.approx(900.0 * FT), pytest.approx(820.0 * FT)]


# ---------------------------------------------------------------- looks


def test_large_type_reaches_panel_and_picture():
    panel = build()
    panel.large_button.value = True
    assert "lk-large" in panel.widget._dom_classes
    assert panel.scene.view.get_state()["shown"]["large"] is True
    panel.large_button.value = False
    assert "lk-large" not in panel.widget._dom_classes


def test_every_control_has_a_name_in_the_page():
    names = build(prediction=asked()).scene.view.get_state()["shown"]["names"]
    assert {"lk-c-turn", "lk-c-turn-typed", "lk-c-height", "lk-c-band"} <= set(names)
    assert names["lk-c-prediction"] == "Later turn: what happens to the reach?"


def test_its_text_in_a_notebook_never_changes():
    assert repr(build()) == "Panel bench"
    assert repr(build().scene.view) == "Scene"
    assert "application/vnd.jupyter.widget-view+json" in build()._repr_mimebundle_()


def test_two_controls_with_one_key_are_refused():
    twice = [Check("a", "A"), Check("a", "B")]
    with pytest.raises(ValueError, match="same key"):
        Panel(
            LessonContext("lesson"),
            "bench",
            controls=twice,
            compute=dict,
            draw=lambda *parts: "",
        )


def test_the_caution_holds_every_sentence():
    block = caution_block().value
    for sentence in say_all("common.caution"):
        assert escape_html(sentence) in block
