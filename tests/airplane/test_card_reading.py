"""Bad cards: one sentence with the thing and the cure, as CardError, and nothing else."""

import os
import re

import pytest
from airplane_cards import PLAIN, tables, toml
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.airplane import CardError, card_from_text, fit_airplane, numbers, read_card
from lessonkit.airplane.plain_files import LONGEST
from lessonkit.units import kg_from_lb, m2_from_ft2, mps_from_kt, mps_from_mph

GOOD = toml(PLAIN)
quick = settings(max_examples=60, deadline=None, derandomize=True)


def sentence_for(path):
    with pytest.raises(CardError) as caught:
        read_card(path)
    return checked_sentence(str(caught.value))


def sentence_of(text):
    with pytest.raises(CardError) as caught:
        card_from_text(text, "trainer.toml")
    return checked_sentence(str(caught.value))


def checked_sentence(sentence):
    assert sentence.endswith(".") and not sentence.endswith("..")
    assert "\n" not in sentence and len(sentence) < 500
    for word in ("Traceback", "Error", "None", "dict", "float", "str ", "<class"):
        assert word not in sentence, sentence
    return sentence


def test_a_good_card_is_read(tmp_path):
    path = tmp_path / "trainer.toml"
    path.write_text(GOOD, encoding="utf-8")
    card = read_card(path)
    assert card.name == "Test airplane"
    assert card.value("weights.max") == pytest.approx(kg_from_lb(2400.0))
    assert card.value("wing.area") == pytest.approx(m2_from_ft2(174.0))
    assert card.value("speeds.VS0") == pytest.approx(mps_from_kt(45.0))
    assert card.figure("speeds.VS0").airspeed == "CAS"
    assert card.figure("speeds.VS0").origin == "handbook"


def test_byte_order_mark_and_windows_lines_are_read(tmp_path):
    path = tmp_path / "trainer.toml"
    path.write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert read_card(path).name == "Test airplane"


# Files ------------------------------------------------------------------------------------------


def test_missing_file(tmp_path):
    sentence = sentence_for(tmp_path / "none.toml")
    assert "none.toml" in sentence and "does not exist" in sentence and "check" in sentence
    assert str(tmp_path) not in sentence
    assert "does not exist" in sentence_for(tmp_path / "none.toml" / "more.toml")
    assert "does not exist" in sentence_for("bad\0name.toml")


def test_folder(tmp_path):
    assert "not an ordinary file" in sentence_for(tmp_path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_named_pipe_is_refused_without_waiting(tmp_path):
    os.mkfifo(tmp_path / "pipe.toml")
    assert "not an ordinary file" in sentence_for(tmp_path / "pipe.toml")


@pytest.mark.skipif(not os.path.exists("/dev/zero"), reason="this system has no /dev/zero")
def test_endless_device_is_refused():
    assert "not an ordinary file" in sentence_for("/dev/zero")


@pytest.mark.skipif(
    os.name != "posix" or os.geteuid() == 0, reason="needs a user who can be refused"
)
def test_file_that_may_not_be_opened(tmp_path):
    path = tmp_path / "closed.toml"
    path.write_text(GOOD)
    path.chmod(0)
    assert "may not be opened" in sentence_for(path)


@pytest.mark.parametrize(
    ("data", "part"),
    [
        (b"", "is empty"),
        (b" \n\t\n", "is empty"),
        (b"\x89PNG\r\n\x1a\n\x00\xff", "no readable text"),
        (b"a = 1\x00", "no readable text"),
        (GOOD.encode("utf-16"), "UTF-16"),
        (GOOD.encode("utf-16-le"), "no readable text"),
        (b"\xef\xbb\xbf", "is missing"),
        (b"# nothing else\n", "is missing"),
        (b"<html><body>404</body></html>", "not a readable card"),
        (b"%PDF-1.4", "not a readable card"),
        (b"[weights\nmax = 2400", "not a readable card"),
        (b"[weights]\nmax = 2400\nmax = 2300", "not a readable card"),
        (b"x = " + b"[\n" * 30000, "nested far too deep|not a readable card"),
        (b"x = " + b"[\n" * 9000 + b"]\n" * 9000, "nested far too deep|not a readable card"),
        (b"x = " + b"{a=" * 9000 + b"1" + b"}" * 9000, "1000 characters"),
        (b".".join([b"a"] * 15000) + b" = 1", "1000 characters"),
        (b"x = " + b"9" * 6000, "1000 characters"),
        (b"\n".join(b".".join([b"a"] * 400) + b".b%d = 1" % i for i in range(75)), "not known"),
        (b"# " + b"x" * (LONGEST + 10), "larger than"),
    ],
)
def test_bytes_that_are_no_card(tmp_path, data, part):
    path = tmp_path / "trainer.toml"
    path.write_bytes(data)
    sentence = sentence_for(path)
    assert sentence.startswith("trainer.toml: ")
    assert re.search(part, sentence), sentence


@pytest.mark.parametrize("name", ["<b>x</b>.toml", "x" * 200 + ".toml", "a\nb.toml"])
def test_hostile_file_names_stay_one_short_line(tmp_path, name):
    try:
        (tmp_path / name).write_bytes(b"")
    except OSError:
        pytest.skip("this system does not allow the name")
    sentence_for(tmp_path / name)


# Lines ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "path",
    [
        "airplane__name",
        "airplane__wing",
        "airspeed__kind",
        "weights__max",
        "wing__area",
        "wing__span",
        "speeds__VS0",
        "speeds__VS1",
        "flaps__settings",
        "glide__speed",
    ],
)
def test_missing_line_is_named(path):
    sentence = sentence_of(toml(tables(**{path: None})))
    assert path.replace("__", ".") in sentence and "missing" in sentence
    section, _, name = path.partition("__")
    blank = sentence_of(toml(tables(**{path: "  "})))
    assert path.replace("__", ".") in blank


def test_missing_section():
    some = {name: table for name, table in PLAIN.items() if name != "wing"}
    assert "wing.area" in sentence_of(toml(some))


def test_neither_ratio_nor_distance():
    sentence = sentence_of(toml(tables(glide__ratio=None)))
    assert "glide.ratio" in sentence and "glide.distance_per_1000_ft" in sentence


@pytest.mark.parametrize(
    ("change", "part"),
    [
        ({"weights__max": "heavy"}, "weights.max"),
        ({"weights__max": True}, "not a number"),
        ({"weights__max": [2400]}, "not a number"),
        ({"weights__max": 0}, "weights on this card lie between"),
        ({"weights__max": -2400}, "−2,400 lb"),
        ({"weights__max": 1e9}, "lie between"),
        ({"weights__max": float("nan")}, "ordinary number"),
        ({"weights__max": float("inf")}, "ordinary number"),
        ({"weights__max": "nan"}, "ordinary number"),
        ({"weights__max": "2400 kt"}, "is a weight"),
        ({"weights__max": "2400 stones"}, "stones"),
        ({"weights__max": "2400 2300"}, "holds more"),
        ({"speeds__VS0": "45 kg"}, "is a speed"),
        ({"speeds__VS0": 5}, "stall between"),
        ({"speeds__VS0": 450}, "stall between"),
        ({"speeds__VS0": {"airspeed": "CAS"}}, "needs the value"),
        ({"speeds__VS0": {"value": 45, "colour": "red"}}, "may hold"),
        ({"speeds__VS0": {"value": 45, "airspeed": "TAS"}}, '"CAS", "IAS"'),
        ({"speeds__VS0": {"value": 45, "airspeed": 3}}, '"CAS", "IAS"'),
        ({"speeds__VS0": {"value": 45, "origin": "guessed"}}, "unknown origin"),
        ({"speeds__VS0": {"value": 45, "origin": "fitted"}}, "unknown origin"),
        ({"speeds__VS0": {"value": 45, "weight": "heavy"}}, "weight of VS0"),
        ({"speeds__VFE": {"value": 85, "weight": 2400}}, "belongs to no weight"),
        ({"weights__max": {"value": 2400, "airspeed": "IAS"}}, "is no airspeed"),
        ({"airplane__name": 7}, "quotation marks"),
        ({"airplane__name": "x" * 61}, "60 characters"),
        ({"airplane__wing": "middle"}, '"high", "low"'),
        ({"airplane__wing": 4}, '"high", "low"'),
        ({"airspeed__kind": "TAS"}, '"CAS", "IAS"'),
        ({"units__speed": "furlongs"}, '"kt", "mph"'),
        ({"units__mass": 3}, '"lb", "kg"'),
        ({"flaps__settings": 30}, "list"),
        ({"flaps__settings": []}, "list"),
        ({"flaps__settings": [0]}, "begin with 0"),
        ({"flaps__settings": [10, 20]}, "begin with 0"),
        ({"flaps__settings": [0, 20, 10]}, "begin with 0"),
        ({"flaps__settings": [0, 10, 10]}, "begin with 0"),
        ({"flaps__settings": [0, [10]]}, "not a number"),
        ({"flaps__settings": [0, 300]}, "flap settings lie between"),
        ({"flaps__settings": list(range(40))}, "1 to 30 entries"),
        ({"flaps__stall_speeds": [51, 45]}, "2 entries for 4"),
        ({"flaps__stall_speeds": [51, "x", "", 45]}, "flaps.stall_speeds"),
        ({"airspeed__flaps_up": [40, 47]}, "pairs"),
        ({"airspeed__flaps_up": [[40, 47]]}, "two pairs"),
        ({"airspeed__flaps_up": [[40, 47], [50, 47]]}, "rise"),
        ({"airspeed__flaps_up": [[50, 52], [40, 60]]}, "rise"),
        ({"airspeed__flaps_up": [[40, 47], [50, 5000]]}, "airspeed indicator"),
        ({"speeds__VSO": 45}, "VSO is not a line of .speeds."),
        ({"paint__colour": "red"}, ".paint. is not known"),
    ],
)
def test_bad_line_gets_its_sentence(change, part):
    sentence = sentence_of(toml(tables(**change)))
    assert re.search(part.replace("(", r"\("), sentence.replace("\u00a0", " ")), sentence


def test_number_without_end():
    assert "ordinary" in sentence_of(GOOD.replace("max = 2400", "max = 1" + "0" * 400))


def test_line_that_cannot_be_understood_is_named():
    assert "line 2 cannot" in sentence_of("format = 1\nVS0 54 kt\n" + GOOD)
    assert "ends in the middle" in sentence_of("x = [1,")


def test_date_is_no_number():
    assert "not a number" in sentence_of(GOOD.replace("max = 2400", "max = 2026-01-01"))


def test_section_that_is_no_section():
    assert "[wing]" in sentence_of(
        "wing = 3\n" + toml({k: v for k, v in PLAIN.items() if k != "wing"})
    )
    text = GOOD.replace("[wing]", "[[wing]]")
    assert "section" in sentence_of(text)


def test_newer_and_odd_formats():
    assert "newer version" in sentence_of("format = 2\n" + GOOD)
    for odd in ("true", '"1"', "0", "1.5"):
        assert "format" in sentence_of(f"format = {odd}\n" + GOOD)


# What may be typed -------------------------------------------------------------------------------


@pytest.mark.parametrize("typed", ["54", "54 kt", 54, 54.0, "54,0", "54.0 kts", " 54 KT "])
def test_speed_as_typed(typed):
    card = card_from_text(toml(tables(speeds__VS1=typed)))
    assert card.value("speeds.VS1") == pytest.approx(mps_from_kt(54.0))
    assert card.figure("speeds.VS1").typed == typed


def test_units_of_the_card_and_of_a_figure():
    card = card_from_text(
        toml(
            tables(
                units__speed="mph",
                units__mass="kg",
                units__length="m",
                weights__max=1100,
                weights__empty=650,
                weights__today="2,300 lb",
                wing__area="16,2",
                wing__span=11,
                speeds__VS0=55,
                speeds__VS1="52 kt",
                glide__speed=80,
            )
        )
    )
    assert card.value("weights.max") == 1100.0
    assert card.value("weights.today") == pytest.approx(kg_from_lb(2300.0))
    assert card.value("wing.area") == pytest.approx(16.2)
    assert card.value("speeds.VS0") == pytest.approx(mps_from_mph(55.0))
    assert card.value("speeds.VS1") == pytest.approx(mps_from_kt(52.0))
    assert card.preferences().speed_unit == "mph" and card.preferences().mass_unit == "kg"


def test_metric_area_with_its_own_unit():
    for typed in ("16.2 m2", "16.2 m²", "174.376 ft2"):
        card = card_from_text(toml(tables(units__length="m", wing__span=11, wing__area=typed)))
        assert card.value("wing.area") == pytest.approx(16.2, rel=1e-4)


HOSTILE = [
    "<script>alert(1)</script>",
    "$\\frac{1}{0}$",
    "a\u202eb",
    "a\x1b[31mb",
    "line\nline",
    "{name}",
    "'; drop",
]


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_name_is_kept_as_plain_text_in_one_line(name):
    card = card_from_text(toml(tables(airplane__name=name)))
    assert "\n" not in card.name and "\x1b" not in card.name and "\u202e" not in card.name
    assert numbers(fit_airplane(card))


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_text_in_other_places_gets_one_sentence(name):
    for change in ({"airplane__wing": name}, {"weights__max": name}, {"speeds__" + name: 3}):
        sentence = sentence_of(toml(tables(**change)))
        assert "\x1b" not in sentence and "\u202e" not in sentence


@quick
@given(st.text(max_size=300))
def test_any_text_is_a_card_or_one_sentence(text):
    try:
        card_from_text(text)
    except CardError as error:
        checked_length = str(error)
        assert checked_length.endswith(".") and "\n" not in checked_length


ANY = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=12),
    st.lists(st.one_of(st.integers(), st.floats(), st.text(max_size=4)), max_size=5),
    st.dictionaries(st.sampled_from(["value", "airspeed", "weight", "origin", "x"]), st.integers()),
)


@quick
@given(
    line=st.sampled_from([f"{s}__{n}" for s, table in PLAIN.items() for n in table]),
    typed=ANY,
)
def test_any_value_on_any_line_is_a_card_or_one_sentence(line, typed):
    from lessonkit.airplane.reading import card_from_tables

    try:
        card = card_from_tables(tables(**{line: typed}))
    except CardError as error:
        assert str(error).endswith(".") and "\n" not in str(error)
    else:
        fit_airplane(card)
