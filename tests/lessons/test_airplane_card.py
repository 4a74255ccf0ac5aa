"""The card form, driven without a browser: from an empty form to a fitted airplane."""

import pytest

from lessonkit.airplane import CardError, built_in_cards, card_from_text, card_to_toml, fit_airplane
from lessonkit.airplane.schema import FIELD_AT, FIELDS, FIGURE
from lessonkit.app import open_lesson
from lessonkit.app.home import open_home
from lessonkit.lessons.airplane_card.draft import Draft, draft_of, read_draft, split_list
from lessonkit.lessons.airplane_card.layout import FOLDED, GROUPS, NEEDED, is_observed, order
from lessonkit.lessons.airplane_card.self_check import TRAINER, run
from lessonkit.units import kg_from_lb, kt_from_mps, m2_from_ft2, m_from_ft, mps_from_mph
from lessonkit.words import Preferences

LESSON = "01_airplane_card"
COMMA = Preferences(decimal_mark=",")


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path / "home"))
    return open_home()


@pytest.fixture
def panel(home):
    panel = open_lesson(LESSON).panel("card")
    yield panel
    # An error in a button's handler vanishes in a log unless somebody looks.
    assert panel.errors.last_error is None


def type_in(panel, texts):
    for control, text in texts.items():
        panel.form.input(control).value = text


def test_every_line_of_the_card_stands_once_on_the_form():
    assert sorted(order()) == sorted(path for path in FIELD_AT if not is_observed(path))
    needed = {path for paths in NEEDED.values() for path in paths}
    assert {field.path for field in FIELDS if field.required} <= needed
    assert set(GROUPS) == set(NEEDED) | set(FOLDED)


def test_an_empty_form_says_what_is_needed(panel):
    panel.check.click()
    assert panel.status.text.startswith("Still needed: Name of the airplane")
    assert "VS0" in panel.status.text and panel.form.errors() == {}
    assert panel.report.fit.rows == [] and panel.download.children == ()


def test_the_published_trainer_typed_by_hand_glides_as_published(panel, home):
    """Lowry, Performance of Light Aircraft, example 9.1: CD0 .037, e .72 (read in a transcription).

    The form gets best glide only: 71.8 KCAS (76.2 KTAS at 4,000 ft, derived with the standard
    density ratio .88809) and 10.6; half of the last printed digit of the inputs moves CD0 by
    less than .0005 and e by less than .01.
    """
    type_in(panel, TRAINER)
    panel.save.click()
    assert panel.status.text == "Saved. All lessons now use Published trainer."
    lesson = open_lesson("00_start_here")
    assert "Published trainer (your card)" in lesson.airplane_line
    airplane = lesson.context.airplane
    flown = airplane.parameters(propeller=airplane.fit.propeller)
    assert flown.cd0[0] == pytest.approx(0.037, abs=0.0005)
    assert flown.oswald[0] == pytest.approx(0.72, abs=0.01)
    assert "ratio 10.6" in panel.report.picture.sentence


def test_a_built_in_card_typed_by_hand_is_that_airplane(panel):
    for card in built_in_cards().values():
        panel.form.fill(Draft())
        type_in(panel, draft_of(card, Preferences()).texts)
        panel.check.click()
        assert panel.status.text == "All figures can be used."
        typed = read_draft(panel.form.draft(), Preferences()).card
        assert fit_airplane(typed).parameters() == fit_airplane(card).parameters()
        assert set(typed.entries) == set(card.entries)


@pytest.mark.parametrize("key", list(built_in_cards()))
@pytest.mark.parametrize("preferences", [Preferences(), COMMA], ids=["point", "comma"])
def test_a_card_shown_in_the_form_and_read_back_is_the_same_card(key, preferences):
    card = built_in_cards()[key]
    reading = read_draft(draft_of(card, preferences), preferences)
    assert reading.errors == {} and reading.missing == ()
    assert reading.card == card
    assert card_from_text(card_to_toml(reading.card)) == card


def test_units_are_those_of_the_handbook(panel):
    type_in(panel, TRAINER)
    type_in(
        panel,
        {
            "units.speed": "mph",
            "units.mass": "kg",
            "units.length": "m",
            "weights.max": "1.089",
            "wing.area": "16,2",
            "wing.span": "10.92",
            "speeds.VS0": "53",
            "speeds.VS1": "60 mph",
            "glide.speed": "71,8 kt",
        },
    )
    reading = read_draft(panel.form.draft(), Preferences())
    assert reading.errors == {} and reading.missing == ()
    value = reading.card.value
    assert value("weights.max") == pytest.approx(1089.0)
    assert value("wing.area") == pytest.approx(16.2)
    assert value("wing.span") == pytest.approx(10.92)
    assert value("speeds.VS0") == pytest.approx(mps_from_mph(53.0))
    assert value("speeds.VS1") == pytest.approx(mps_from_mph(60.0))
    assert kt_from_mps(value("glide.speed")) == pytest.approx(71.8)
    assert panel.form.input("speeds.VS0").description.startswith("VS0, mph")
    assert panel.form.input("wing.area").description.startswith("Wing area, m\u00b2")
    panel.check.click()
    assert panel.status.text == "All figures can be used."
    assert "mph" in panel.report.picture.sentence


def test_a_new_form_begins_with_the_learners_units(home):
    home.change(speed_unit="mph", mass_unit="kg")
    panel = open_lesson(LESSON).panel("card")
    assert panel.form.input("units.speed").value == "mph"
    assert panel.form.input("units.mass").value == "kg"


def test_thousands_and_decimals_are_read_both_ways(panel):
    for text in ("2400", "2,400", "2.400", "2 400", "2'400", "2400 lb", "1088.6 kg"):
        panel.form.input("weights.max").value = text
        card_value = read_draft(Draft({**TRAINER, "weights.max": text}), Preferences()).card.value(
            "weights.max"
        )
        assert panel.form.errors() == {}, text
        assert card_value == pytest.approx(kg_from_lb(2400.0), rel=1e-4), text


FIGURES = [f.path for f in FIELDS if f.form == FIGURE and not is_observed(f.path)]


def test_a_wrong_value_is_one_sentence_at_its_own_line_and_stays(panel):
    """One message per field, which begins with its label; correcting it takes it away."""
    for path in FIGURES:
        for wrong in ("abc", "-7", "1e9", "nan", "12 parsecs", "5 5", "0"):
            if wrong == "0" and FIELD_AT[path].low <= 0.0:
                continue
            panel.form.input(path).value = wrong
            errors = panel.form.errors()
            assert list(errors) == [path], (path, wrong, errors)
            assert errors[path].endswith(".") and "\n" not in errors[path]
            assert panel.form.input(path).value == wrong
        panel.form.input(path).value = ""
        assert panel.form.errors() == {}


def test_wrong_lists_tables_and_weights_are_sentences_too(panel):
    wrong = {
        "flaps.settings": "10 20",
        "flaps.stall_speeds": "52 49 46",
        "airspeed.flaps_up#ias": "50 60 70",
        "speeds.VS0#weight": "9 lb",
    }
    type_in(panel, {"flaps.settings": "0 10 20", "speeds.VS0": "46"})
    type_in(panel, wrong)
    errors = panel.form.errors()
    assert set(errors) == {control.partition("#")[0] for control in wrong}
    assert "3 speeds in the IAS row and 0 in the CAS row" in errors["airspeed.flaps_up"]
    panel.check.click()
    assert panel.status.text.startswith("4 lines need correcting")
    folds = {group for group, fold in panel.form.folds.items() if fold.selected_index == 0}
    assert {"correction", "by_flap"} <= folds  # what is wrong is not left folded away


def test_a_final_speed_near_the_stall_is_told_loudly_and_once(panel):
    type_in(panel, draft_of(built_in_cards()["high_wing_four_seat"], Preferences()).texts)
    panel.check.click()
    assert panel.report.doubts.text == ""
    type_in(panel, {"approach.final": "40"})
    panel.check.click()
    told = panel.report.doubts.text
    assert "only 1.04 times VS0" in told and told not in panel.report.estimates.text
    assert panel.report.fit.rows
    type_in(panel, {"approach.final": "36"})
    panel.check.click()
    assert "VS0 37" in panel.status.text and "Speed on final 36" in panel.status.text


def test_swapped_stall_speeds_are_named(panel):
    type_in(panel, TRAINER | {"speeds.VS0": "52", "speeds.VS1": "46"})
    panel.save.click()
    assert "VS0 52" in panel.status.text and "VS1 46" in panel.status.text
    assert panel.status.text.count(".") == 1
    assert panel.form.input("speeds.VS0").value == "52"
    assert "(invented)" in open_lesson(LESSON).airplane_line  # nothing was saved


def test_ias_without_a_table_states_the_rule_and_asks_for_the_table(panel):
    type_in(panel, TRAINER | {"airspeed.kind": "IAS"})
    assert "no multiple of VS0" in panel.form._ias.text
    assert panel.form.folds["correction"].selected_index == 0
    panel.check.click()
    assert panel.status.text == "All figures can be used."
    stalls = panel.report.numbers["stall"].rows
    assert stalls == [] or all("not known" in row[1] for row in stalls)
    type_in(
        panel,
        {
            "airspeed.flaps_up#ias": "40 50 60 70 80",
            "airspeed.flaps_up#cas": "47 55 63 71,5 81",
        },
    )
    assert panel.form._ias.text == ""


def test_one_speed_of_another_kind_and_weight(panel):
    type_in(panel, TRAINER)
    type_in(panel, {"speeds.VS0#airspeed": "IAS", "speeds.VS1#weight": "2,000"})
    card = read_draft(panel.form.draft(), Preferences()).card
    assert card.figure("speeds.VS0").airspeed == "IAS"
    assert card.mass_of(card.figure("speeds.VS1")) == pytest.approx(kg_from_lb(2000.0))
    assert card_from_text(card_to_toml(card)) == card


def test_figures_of_a_built_in_card_stay_invented_until_they_are_changed(panel):
    panel.begin.source.value = "built_in:high_wing_four_seat"
    panel.begin.take.click()
    panel.form.input("airplane.origin").value = "handbook"
    panel.form.input("wing.area").value = "180"
    card = read_draft(panel.form.draft(), Preferences()).card
    assert card.figure("wing.area").origin == "handbook"
    assert card.figure("wing.area").value == pytest.approx(m2_from_ft2(180.0))
    assert card.figure("wing.span").origin == "invented"


def test_what_stood_in_the_form_can_be_brought_back(panel):
    type_in(panel, TRAINER)
    panel.begin.source.value = "built_in:two_seat"
    panel.begin.take.click()
    assert panel.form.input("airplane.name").value == built_in_cards()["two_seat"].name
    panel.begin.undo.click()
    assert panel.form.input("airplane.name").value == "Published trainer"
    assert panel.form.input("glide.ratio").value == "10.6"


def test_what_was_typed_survives_a_closed_page_and_a_killed_kernel(panel, home):
    type_in(panel, {"airplane.name": "Club trainer", "speeds.VS0": "abc", "weights.max": "2,4"})
    again = open_lesson(LESSON).panel("card")
    assert again.form.input("airplane.name").value == "Club trainer"
    assert again.form.input("speeds.VS0").value == "abc"
    assert "speeds.VS0" in again.form.errors()
    assert "What you typed last time is back" in again.begin.line.text


def test_a_torn_draft_is_no_trouble(home, panel):
    home.folder.mkdir(exist_ok=True)
    for content in (b"", b"[1]", b"\xff\xfe", b"[" * 5000):
        (home.folder / "card_draft.json").write_bytes(content)
        draft, trouble = panel.begin.kept_draft()
        assert draft is None and "card_draft.json" in trouble
    (home.folder / "card_draft.json").write_bytes(b'{"texts": 7}')
    assert panel.begin.kept_draft() == (None, "")


def test_a_card_file_is_brought_in_by_paste_and_by_upload(panel):
    text = card_to_toml(built_in_cards()["low_wing_four_seat"])
    panel.begin.paste.value = text
    panel.begin.read.click()
    assert panel.form.input("airplane.wing").value == "low"
    panel.begin.take.click()  # an empty form again
    assert panel.form.draft().is_empty
    panel.begin.read_text(text, "club.toml")
    assert panel.form.input("airplane.wing").value == "low"


def upload(panel, name, content):
    from datetime import UTC, datetime

    panel.begin.upload.value = (
        {
            "name": name,
            "type": "text/plain",
            "size": len(content),
            "content": memoryview(content),
            "last_modified": datetime(2026, 1, 1, tzinfo=UTC),
        },
    )


BAD_FILES = [
    b"",
    b"\x00\x01",
    "name = 1".encode("utf-16"),
    b"name = [",
    b"[airplane]\nname = 7\n",
    b"x" * 100_000,
    b"a = " + b"[" * 5000,
    b"[airplane]\nname = '<script>alert(1)</script>'\n",
]


def test_a_bad_file_is_one_sentence_and_the_form_stays(panel):
    type_in(panel, TRAINER)
    for content in BAD_FILES:
        panel.begin.line.tell("")
        upload(panel, "bad<b>.toml", content)
        assert panel.begin.line.text and "\n" not in panel.begin.line.text, content[:20]
        assert "<b>" not in panel.begin.line.widget.value
        assert panel.form.input("airplane.name").value == "Published trainer"
        assert panel.errors.last_error is None


def test_a_good_upload_fills_the_form(panel):
    upload(panel, "club.toml", card_to_toml(built_in_cards()["two_seat"]).encode())
    assert panel.form.input("airplane.name").value == built_in_cards()["two_seat"].name


def test_a_card_of_the_same_name_is_asked_about(panel, home):
    type_in(panel, TRAINER)
    panel.save.click()
    type_in(panel, {"weights.today": "2,100"})
    panel.save.click()
    assert "already saved" in panel.status.text and panel.question.layout.display == ""
    panel.keep.click()
    assert panel.status.text == "Nothing was changed." and panel.question.layout.display == "none"
    panel.save.click()
    panel.replace.click()
    assert panel.status.text.startswith("Saved.") and "kept" in panel.notes.text
    assert "2,100" in open_lesson(LESSON).airplane_line
    assert len(list((home.cards / "kept").iterdir())) == 1


def test_hostile_names_and_notes_are_only_text(panel, home):
    hostile = "<img src=x onerror=alert(1)> $x^2$"
    type_in(panel, TRAINER | {"airplane.name": hostile, "airplane.note": hostile})
    panel.save.click()
    assert panel.status.text.startswith("Saved.")
    assert "<img" not in panel.status.widget.value and "$" not in panel.status.widget.value
    assert [path.parent for path in home.folder.rglob("*.toml")] == [home.cards]
    header = open_lesson(LESSON).caution()
    assert not any("<img" in child.value for child in header.widget.children[1:2])


def test_a_folder_that_cannot_be_written_still_gives_the_airplane(tmp_path, monkeypatch):
    (tmp_path / "blocked").write_text("")
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path / "blocked" / "home"))
    lesson = open_lesson(LESSON)
    panel = lesson.panel("card")
    type_in(panel, TRAINER)
    assert "download" in panel.notes.text
    panel.save.click()
    assert panel.status.text == "All lessons opened from this window now use Published trainer."
    assert "LESSONKIT_HOME" in panel.notes.text
    assert "Published trainer (your card)" in lesson.airplane_line
    assert panel.errors.last_error is None


def test_the_download_is_the_card(panel):
    import base64
    import re

    type_in(panel, TRAINER)
    panel.check.click()
    html = panel.download.children[0].value
    data = re.search(r"base64,([A-Za-z0-9+/=]+)", html)[1]
    card = card_from_text(base64.b64decode(data).decode())
    assert card.name == "Published trainer" and 'download="published-trainer.toml"' in html


def test_a_change_after_the_check_marks_the_report_as_old(panel):
    type_in(panel, TRAINER)
    panel.check.click()
    assert panel.report.picture.scene._shown["stale"] is False
    type_in(panel, {"glide.ratio": "9"})
    assert "press" in panel.status.text and panel.report.picture.scene._shown["stale"] is True
    assert panel.download.children == ()


def test_the_picture_shows_the_handbook_point_on_the_curve(panel):
    type_in(panel, TRAINER)
    panel.check.click()
    scene = panel.report.picture.scene
    point, curve = scene.item("handbook_0"), scene.item("flap_0")
    assert kt_from_mps(point["x"][0]) == pytest.approx(71.8, abs=0.1)
    nearest = min(range(len(curve["x"])), key=lambda i: abs(curve["x"][i] - point["x"][0]))
    assert curve["y"][nearest] == pytest.approx(point["y"][0], rel=0.02)
    shaded = scene.item("unmeasured_1")
    assert min(shaded["x"]) > point["x"][0]
    assert scene.item("stall")["x"][0] == pytest.approx(52 * 1852 / 3600, abs=0.05)


def test_a_line_of_numbers_is_split_as_it_is_printed():
    assert split_list("0,10,20,30") == ["0", "10", "20", "30"]
    assert split_list("0\u00b0, 10\u00b0; 20\u00b0") == ["0\u00b0", "10\u00b0", "20\u00b0"]
    assert split_list("52 kt  -  46,5 kt") == ["52 kt", "", "46,5 kt"]
    assert split_list("  ") == []


def test_a_broken_card_on_the_shelf_is_a_sentence(panel, home):
    home.cards.mkdir(parents=True)
    (home.cards / "club.toml").write_text("[airplane]\nname = 'Club'\n")
    panel.begin.refresh()
    panel.begin.source.value = "own:club"
    panel.begin.take.click()
    assert "club.toml" in panel.begin.line.text
    with pytest.raises(CardError):
        panel._desk.card("own:club")


def test_the_self_check_runs_and_touches_nothing(home):
    assert "Best glide 72 kt CAS" in run(open_lesson(LESSON, trial=True))
    assert not home.folder.exists()


def test_span_and_area_in_feet_are_those_of_the_card():
    card = read_draft(Draft(TRAINER), Preferences()).card
    assert card.value("wing.span") == pytest.approx(m_from_ft(35.83))
