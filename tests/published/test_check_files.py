"""Files of check values: what the option adds, and one sentence for what is wrong with them.

The expected values here are of the test itself, so that a faulty reader shows.
"""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from lessonkit.models.quantities import QUANTITIES

from .check_rows import COLUMNS, fault, merge, read_checks

HEADER = ",".join(COLUMNS)
GOOD = 'T-1,kinetic_height_ft,"{""tas_kt"": 60.0}",159.373,0.5,ft,by hand,derived'


def one(tmp_path, *rows, header=HEADER):
    path = tmp_path / "rows.csv"
    path.write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
    return read_checks(path)


def test_a_good_row_passes_and_a_wrong_value_does_not(tmp_path):
    (good,) = one(tmp_path, GOOD)
    assert fault(good) is None
    (wrong,) = one(tmp_path, GOOD.replace("159.373", "160.0"))
    assert fault(wrong).startswith("T-1: kinetic_height_ft is 159.37")
    (edge,) = one(tmp_path, GOOD.replace("159.373,0.5", "159.373,1e-9"))
    assert fault(edge) is not None


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        (GOOD.replace("kinetic_height_ft", "warp_factor"), "the kit has no quantity warp_factor."),
        (GOOD.replace(",ft,", ",m,"), "kinetic_height_ft is in 'ft', the row in 'm'."),
        (GOOD.replace("159.373", "many"), "expected and tolerance are not both numbers"),
        (GOOD.replace("159.373", "nan"), "expected and tolerance must be finite"),
        (GOOD.replace(",0.5,", ",-0.5,"), "expected and tolerance must be finite"),
        (GOOD.replace('"{""tas_kt"": 60.0}"', "tas_kt=60"), "the inputs are not a JSON object"),
        (GOOD.replace('"{""tas_kt"": 60.0}"', "[60]"), "the inputs are not a JSON object"),
        (GOOD.replace("tas_kt", "tas_mph"), "kinetic_height_ft needs the inputs tas_kt"),
        (GOOD.replace("60.0", '""fast""'), "The input tas_kt needs a number, not fast."),
        (GOOD.replace("60.0", "-60.0"), "The true airspeed must be above 0 kt|The speed must be"),
        (GOOD.replace("derived", "guessed"), "provenance 'guessed' is not read, derived or memory"),
        (GOOD + ",more", "does not have one value per column"),
        ("T-1,kinetic_height_ft", "does not have one value per column"),
    ],
)
def test_a_bad_row_says_what_is_wrong_in_one_sentence(tmp_path, row, sentence):
    (check,) = one(tmp_path, row)
    assert check.id == "T-1"
    assert re.search(sentence, fault(check)), fault(check)
    assert "\n" not in fault(check) and fault(check).endswith(".")


def test_a_bad_file_says_what_is_wrong(tmp_path):
    (check,) = one(tmp_path, GOOD, header="id,quantity")
    assert fault(check) == (
        "rows.csv has no column inputs, expected, tolerance, unit, source, provenance."
    )
    (check,) = one(tmp_path)
    assert fault(check) == "rows.csv has no rows."
    (check,) = read_checks(tmp_path / "nowhere.csv")
    assert "nowhere.csv cannot be opened" in fault(check)
    binary = tmp_path / "binary.csv"
    binary.write_bytes(b"\xff\xfe\x00\x81" * 20)
    (check,) = read_checks(binary)
    assert "binary.csv is not a CSV file in UTF-8" in fault(check)


def test_files_add_up_and_ids_stay_apart(tmp_path):
    first = one(tmp_path, GOOD)
    same = one(tmp_path, GOOD)
    changed = one(tmp_path, GOOD.replace("159.373", "1"))
    merged = merge([("a.csv", first), ("b.csv", same), ("c.csv", changed)])
    assert [check.id for check in merged] == ["T-1", "T-1@c.csv:1"]
    assert [fault(check) is None for check in merged] == [True, False]


def test_own_rows_are_many_and_only_read_ones_are_published():
    checks = read_checks(Path(__file__).with_name("checks.csv"))
    assert len(checks) > 100
    assert len({check.id for check in checks}) == len(checks)
    assert all(check.source for check in checks)
    assert {check.provenance for check in checks} == {"read", "derived", "memory"}
    assert len({check.quantity for check in checks}) > 40
    assert {check.quantity for check in checks} <= set(QUANTITIES)


def test_option_adds_a_file_from_anywhere(tmp_path):
    """The whole way: a file outside the project, after a space, in a run of its own."""
    path = tmp_path / "more.csv"
    rows = [HEADER, GOOD.replace("T-1", "ZZ-1"), GOOD.replace("T-1,kinetic", "ZZ-2,unknown")]
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    run = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:xdist", "-p", "no:nbval", "-o", "addopts=",
         "--published", str(path), "tests/published/test_published.py", "-k", "ZZ"],
        cwd=Path(__file__).parents[2], capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert run.returncode == 1, run.stdout + run.stderr
    assert "ZZ-2: the kit has no quantity unknown_height_ft." in run.stdout
    assert "1 failed, 1 passed" in run.stdout
