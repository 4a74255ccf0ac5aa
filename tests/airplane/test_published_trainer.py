"""The published glide example: what goes in as handbook figures comes back as its results.

Expected values and tolerances are the rows GL-01, GL-03, GL-04 and GL-06 of the project's own
check file; their provenance stands there.
"""

import csv
from pathlib import Path

import pytest

from lessonkit.airplane import fit_airplane, read_card
from lessonkit.models.airspeed import tas_from_cas
from lessonkit.units import kt_from_mps, m_from_ft

HERE = Path(__file__).parent
ALTITUDE = m_from_ft(4000.0)


def check_row(name):
    with (HERE.parent / "published" / "checks.csv").open(encoding="utf-8", newline="") as file:
        (row,) = [row for row in csv.DictReader(file) if row["id"] == name]
    return float(row["expected"]), float(row["tolerance"])


@pytest.fixture(scope="module")
def trainer():
    return fit_airplane(read_card(HERE / "published_trainer.toml"))


def test_published_best_glide_speed_comes_back(trainer):
    expected, tolerance = check_row("GL-01")
    cas = trainer.best_glide_cas(propeller="zero thrust")
    tas_kt = kt_from_mps(float(tas_from_cas(cas, ALTITUDE)))
    assert tas_kt == pytest.approx(expected, abs=tolerance)


def test_published_path_angle_comes_back(trainer):
    from math import asin, degrees

    expected, tolerance = check_row("GL-03")
    cas = trainer.best_glide_cas(propeller="zero thrust")
    sink = trainer.sink_rate(cas, propeller="zero thrust")
    assert -degrees(asin(sink / cas)) == pytest.approx(expected, abs=tolerance)


def test_published_ratio_comes_back(trainer):
    expected, tolerance = check_row("GL-04")
    ratio = trainer.best_glide_ratio(propeller="zero thrust")
    assert ratio == pytest.approx(expected, abs=tolerance)


def test_published_least_sink_speed_is_found_though_it_did_not_go_in(trainer):
    expected, tolerance = check_row("GL-06")
    cas = trainer.minimum_sink_cas(propeller="zero thrust")
    tas_kt = kt_from_mps(float(tas_from_cas(cas, ALTITUDE)))
    assert tas_kt == pytest.approx(expected, abs=tolerance)


def test_polar_of_the_example_is_found(trainer):
    # CD0 .037 and e .72 are the example's inputs; the printed results have three figures.
    flown = trainer.parameters(propeller="zero thrust")
    assert flown.cd0[0] == pytest.approx(0.037, rel=0.01)
    assert flown.oswald[0] == pytest.approx(0.72, rel=0.01)
    assert flown.aspect_ratio == pytest.approx(7.38, abs=0.005)
