"""Recordings through their CSV form, good files and bad ones."""

import csv
import io
import math
import os

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.flights import (
    Recording,
    RecordingError,
    csv_reading,
    csv_writing,
    read_recording,
    recording_from_text,
    recording_text,
    write_recording,
)
from lessonkit.flights.schema import NUMBER_COLUMNS, OTHER_NAMES, TEXT_COLUMNS
from lessonkit.flights.validation import FEWEST_POINTS

NAMES = "time_s,lat_deg,lon_deg,alt_m"


def rows(count=12, more=""):
    """Lines of a flight northwards, a point a second."""
    return [f"{i}.0,{47 + i * 1e-4:.4f},8.5,{500 + i}{more}" for i in range(count)]


def file_text(names=NAMES, lines=None, header=""):
    return header + "\n".join([names, *(rows() if lines is None else lines)]) + "\n"


def changed(at, line, names=NAMES):
    """A flight whose row `at`, counted from 0, is replaced."""
    lines = rows()
    lines[at] = line
    return file_text(names, lines)


def assert_same(first, second):
    assert dict(first.texts) == dict(second.texts)
    assert dict(first.header) == dict(second.header)
    assert set(first.columns) == set(second.columns)
    for name in first.columns:
        np.testing.assert_array_equal(first[name], second[name], strict=True)


class TestGoodFiles:
    def test_required_columns_and_header(self, tmp_path):
        path = tmp_path / "lap.csv"
        path.write_bytes(
            ("\ufeff" + file_text(header="#alt_datum: msl\n#rwy_true_deg: 270\n")).encode()
        )
        flight = read_recording(path)
        assert len(flight) == 12
        assert flight.altitude_datum == "msl"
        assert flight.header_number("rwy_true_deg") == 270.0
        assert flight["alt_m"][3] == 503.0
        assert flight["lat_deg"][1] == 47.0001

    def test_other_units_are_converted(self):
        text = file_text(NAMES.replace("alt_m", "alt_ft") + ",ias_kt,vs_fpm", rows(more=",60,-500"))
        flight = recording_from_text(text)
        # 1 ft = 0.3048 m and 1 nm = 1852 m by definition.
        assert flight["alt_m"][0] == pytest.approx(500 * 0.3048)
        assert flight["ias_mps"][0] == pytest.approx(60 * 1852 / 3600)
        assert flight["vs_mps"][0] == pytest.approx(-500 * 0.3048 / 60)

    def test_missing_is_not_zero(self):
        lines = rows(more=",")
        lines[4] += "2300"
        flight = recording_from_text(file_text(NAMES + ",rpm", lines))
        assert math.isnan(flight["rpm"][0])
        assert flight["rpm"][4] == 2300.0

    def test_unknown_columns_are_kept_as_they_are(self):
        flight = recording_from_text(file_text(NAMES + ",cabin light,Alt_m", rows(more=",007,1")))
        assert flight.texts["cabin light"][0] == "007"
        assert flight.texts["Alt_m"][0] == "1"

    def test_utc_times_give_seconds(self):
        lines = [f"2030-05-01T09:30:{i:02d}.500Z,47.{i:02d},8.5,500" for i in range(12)]
        flight = recording_from_text(file_text("time_utc,lat_deg,lon_deg,alt_m", lines))
        np.testing.assert_allclose(flight["time_s"], np.arange(12.0))
        assert flight.texts["time_utc"][0] == "2030-05-01T09:30:00.500Z"

    def test_quoted_names_windows_line_ends_and_blank_lines(self):
        text = "\r\n" + file_text().replace("\n", "\r\n").replace("alt_m", '"alt_m"') + "\r\n\r\n"
        assert len(recording_from_text(text)) == 12

    def test_header_lines_that_a_spreadsheet_filled_up(self):
        flight = recording_from_text(file_text(header="#alt_datum: msl,,,\n"))
        assert flight.altitude_datum == "msl"

    def test_points_without_a_fix_are_empty(self):
        flight = recording_from_text(changed(3, "3.0,,,503"))
        assert math.isnan(flight["lat_deg"][3])


BAD_TEXTS = {
    "empty": ("", "holds no rows"),
    "only header": ("#alt_datum: msl\n", "holds no rows"),
    "only names": (NAMES + "\n", "has 0 points"),
    "few": (file_text(lines=rows(3)), f"at least {FEWEST_POINTS}"),
    "page": ("<!doctype html><html><body>Sign in</body></html>", "lacks the columns time_s"),
    "semicolons": (file_text().replace(",", ";"), "by semicolons: save it again with commas"),
    "tabs": (file_text().replace(",", "\t"), "by tabs"),
    "missing": (file_text("time_s,lat_deg,lon_deg,height"), "row 1 lacks the columns alt_m"),
    "twice": (file_text("time_s,lat_deg,lon_deg,alt_m,alt_m", rows(more=",5")), "two columns"),
    "twice in units": (file_text(NAMES + ",alt_ft", rows(more=",5")), "same quantity as alt_m"),
    "unnamed": (file_text(NAMES + ",", rows(more=",5")), "no name for column 5"),
    "wide": (file_text(NAMES + ",x" * 300), "304 columns"),
    "word": (changed(2, "2.0,47.0,8.5,high"), "row 4 has “high” in alt_m: write a number"),
    "comma": (changed(2, '2.0,47.0,8.5,"500,5"'), "row 4 has “500,5” in alt_m: write decimal"),
    "NaN": (changed(2, "2.0,NaN,8.5,500"), "row 4 has “NaN” in lat_deg"),
    "infinite": (changed(2, "2.0,47.0,8.5,inf"), "“inf” in alt_m"),
    "too large for a number": (changed(2, "2.0,47.0,8.5,1e999"), "“1e999” in alt_m"),
    "underscore": (changed(2, "2.0,47.0,8.5,1_0"), "“1_0” in alt_m"),
    "latitude": (changed(2, "2.0,95,8.5,500"), "row 4 has 95 in lat_deg"),
    "altitude": (changed(2, "2.0,47.0,8.5,1e9"), "row 4 has 1e+09 in alt_m"),
    "zero position": (changed(2, "2.0,0.0,0,500"), "row 4 lies at latitude 0"),
    "half position": (changed(2, "2.0,47.0,,500"), "row 4 has a latitude without longitude"),
    "no time": (changed(2, ",47.0,8.5,500"), "row 4 has no time"),
    "time back": (changed(2, "0.5,47.0,8.5,500"), "row 4 has the time 0.5 s after 1 s"),
    "time repeated": (changed(2, "1.0,47.0,8.5,500"), "row 4 has the time 1 s after 1 s"),
    "cut off": (file_text()[:-5], "row 13 has 3 fields where 4 belong"),
    "open quote": (changed(2, '2.0,47.0,8.5,"500'), "ends inside a quoted text"),
    "far too few": (changed(11, "11,,,5").replace(",47", ",").replace("8.5", ""), None),
    "bad datum": (file_text(header="#alt_datum: sea\n"), "altitudes from “sea”"),
    "bad runway": (file_text(header="#rwy_true_deg: 400\n"), "rwy_true_deg “400”"),
    "runway no number": (file_text(header="#rwy_elev_m: NaN\n"), "rwy_elev_m “NaN”"),
    "header without value": (file_text(header="#hello\n"), "row 1 begins with “#hello”"),
    "header twice": (file_text(header="#a: 1\n#a: 2\n"), "row 2 gives a a second time"),
    "bad utc": (
        file_text("time_utc,lat_deg,lon_deg,alt_m", rows()),
        "row 2 has the time “0.0”: write it as",
    ),
    "local time": (
        file_text(
            "time_utc,lat_deg,lon_deg,alt_m",
            [f"2030-05-01T09:30:{i:02d}+02:00,47,8,500" for i in range(12)],
        ),
        "2030-05-01T09:30:00Z",
    ),
    "hostile name": (file_text("time_s,lat_deg,lon_deg,<script>\x07" + "x" * 500), "lacks"),
}


@pytest.mark.parametrize("case", BAD_TEXTS)
def test_bad_text_gets_one_sentence(case):
    text, part = BAD_TEXTS[case]
    with pytest.raises(RecordingError) as caught:
        recording_from_text(text, "lap.csv")
    sentence = str(caught.value)
    assert sentence.startswith("lap.csv")
    assert part is None or part in sentence
    assert sentence.endswith(".")
    assert "\n" not in sentence
    assert len(sentence) < 250


@pytest.mark.parametrize(
    ("data", "part"),
    [
        (file_text().encode("utf-16"), "saved as UTF-16"),
        (file_text().encode("utf-16-le"), "no readable text"),
        (b"\x89PNG\r\n\x1a\n\x00\x00" + bytes(range(256)), "no readable text"),
        (b"", "holds no rows"),
        (file_text().encode() + b"\xff\xfe", "no readable text"),
    ],
)
def test_bad_bytes_get_one_sentence(tmp_path, data, part):
    path = tmp_path / "lap.csv"
    path.write_bytes(data)
    with pytest.raises(RecordingError, match=part) as caught:
        read_recording(path)
    assert str(caught.value).startswith("lap.csv ")


class TestFilesThatAreNone:
    def test_missing(self, tmp_path):
        with pytest.raises(RecordingError, match="lap.csv does not exist"):
            read_recording(tmp_path / "lap.csv")

    def test_impossible_name(self):
        with pytest.raises(RecordingError, match="does not exist"):
            read_recording("lap\x00.csv")

    def test_folder(self, tmp_path):
        with pytest.raises(RecordingError, match="not an ordinary file"):
            read_recording(tmp_path)

    @pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes by name")
    def test_pipe_does_not_hold_up(self, tmp_path):
        os.mkfifo(tmp_path / "lap.csv")
        with pytest.raises(RecordingError, match="not an ordinary file"):
            read_recording(tmp_path / "lap.csv")

    def test_too_large(self, tmp_path, monkeypatch):
        monkeypatch.setattr(csv_reading, "LARGEST", 300)
        path = tmp_path / "lap.csv"
        path.write_text(file_text(lines=rows(40)))
        with pytest.raises(RecordingError, match="larger than 0 MB: cut the recording"):
            read_recording(path)

    def test_unnamed_text(self):
        with pytest.raises(RecordingError, match="^The recording holds no rows"):
            recording_from_text("")


class TestWriting:
    def flight(self, **texts):
        count = 12
        columns = {
            "time_s": np.arange(count) / 3.0,
            "lat_deg": 47.0 + np.arange(count) * 1.1e-5,
            "lon_deg": np.full(count, -8.1),
            "alt_m": np.linspace(300.0, 0.0, count),
            "rpm": np.where(np.arange(count) % 2, np.nan, 0.0),
        }
        return Recording(columns, {k: [v] * count for k, v in texts.items()}, {"alt_datum": "agl"})

    def test_round_trip_is_exact(self, tmp_path):
        flight = self.flight(event="flaps 20", custom="x, “y”")
        write_recording(flight, tmp_path / "lap.csv")
        assert_same(read_recording(tmp_path / "lap.csv"), flight)

    def test_missing_is_written_empty(self):
        lines = recording_text(self.flight()).splitlines()
        assert lines[1] == "time_s,lat_deg,lon_deg,alt_m,rpm"
        assert lines[2].endswith(",300.0,0.0")
        assert lines[3].endswith(",")

    @pytest.mark.parametrize(
        "cell",
        [
            "=1+1",
            "+cmd",
            "-cmd|' /C calc'!A0",
            "@SUM(A1)",
            "\t=1+1",
            '"=1+1"',
            "a;=1+1",
            "a,=1+1",
            'a;"=1+1"',
            "\uff1d1+1",
            "\r=1+1",
            "late\n=1+1",
            "  =1+1",
        ],
    )
    def test_no_cell_is_computed_by_a_spreadsheet(self, cell):
        flight = Recording(
            self.flight().columns, {cell: [cell] * 12}, {"alt_datum": "agl", "note": cell}
        )
        text = recording_text(flight)
        for separator in ",;\t":
            for row in csv.reader(io.StringIO(text), delimiter=separator):
                for found in row:
                    first = found.strip().strip('"').strip()[:1]
                    number = found.strip().replace(".", "").replace("-", "").isdigit()
                    assert number or first not in tuple("=+-@\uff1d\uff0b\uff0d\uff20"), found

    def test_numbers_are_left_as_they_are(self):
        assert csv_writing.harmless("-5.5") == "-5.5"
        assert csv_writing.harmless("+1e-3") == "+1e-3"
        assert csv_writing.harmless("-") == "'-"

    def test_what_cannot_be_read_is_not_written(self, tmp_path):
        path = tmp_path / "lap.csv"
        path.write_text("before")
        with pytest.raises(RecordingError, match="lap.csv lacks the columns"):
            write_recording(Recording({"time_s": [0.0]}), path)
        assert path.read_text() == "before"

    def test_folder_that_does_not_exist(self, tmp_path):
        with pytest.raises(RecordingError, match="lap.csv could not be saved"):
            write_recording(self.flight(), tmp_path / "nowhere" / "lap.csv")

    def test_nothing_is_left_behind_when_saving_fails(self, tmp_path):
        (tmp_path / "lap.csv").mkdir()
        with pytest.raises(RecordingError, match="could not be saved"):
            write_recording(self.flight(), tmp_path / "lap.csv")
        assert [path.name for path in tmp_path.iterdir()] == ["lap.csv"]


def test_schema_has_no_name_twice():
    assert set(TEXT_COLUMNS).isdisjoint(NUMBER_COLUMNS)
    assert set(OTHER_NAMES).isdisjoint(NUMBER_COLUMNS)


def values(name):
    low, high = NUMBER_COLUMNS[name]
    return st.one_of(st.just(math.nan), st.floats(low, high))


@settings(max_examples=30, deadline=None, derandomize=True)
@given(data=st.data(), count=st.integers(FEWEST_POINTS, 15))
def test_any_recording_reads_back_exactly(data, count):
    some = data.draw(st.lists(st.sampled_from(["rpm", "ias_mps", "roll_deg"]), unique=True))
    columns = {
        "time_s": np.cumsum(
            data.draw(st.lists(st.floats(0.01, 50), min_size=count, max_size=count))
        ),
        "lat_deg": data.draw(st.lists(st.floats(0.1, 90), min_size=count, max_size=count)),
        "lon_deg": data.draw(st.lists(st.floats(-180, 180), min_size=count, max_size=count)),
        "alt_m": data.draw(st.lists(st.floats(-999, 9999), min_size=count, max_size=count)),
    }
    for name in some:
        columns[name] = data.draw(st.lists(values(name), min_size=count, max_size=count))
    cells = st.text(max_size=12).map(csv_writing.harmless)
    texts = {"event": data.draw(st.lists(cells, min_size=count, max_size=count))}
    flight = Recording(columns, texts, {"note": data.draw(cells).replace('"', "'").rstrip(", ")})
    assert_same(recording_from_text(recording_text(flight)), flight)


@settings(max_examples=80, deadline=None, derandomize=True)
@given(cut=st.integers(0, 400), at=st.integers(0, 400), put=st.text(max_size=6))
def test_a_damaged_text_is_a_recording_or_one_sentence(cut, at, put):
    text = file_text(header="#alt_datum: msl\n")
    text = text[:at] + put + text[at + cut % 9 :]
    try:
        flight = recording_from_text(text)
    except RecordingError as error:
        assert str(error).endswith(".")
    else:
        assert len(flight) >= FEWEST_POINTS
