"""The published glide example: what goes in as handbook figures comes back as its results.

Expected values and tolerances are the rows GL-01, GL-03, GL-04 and GL-06 of the project's own
check file; their provenance stands there.
"""

import csv
from pathlib import Path

import pytest

from lessonkit.airplane import (
    built_in_cards,
    card_from_tables,
    card_from_text,
    card_to_tables,
    fit_airplane,
    read_card,
)
from lessonkit.airplane.fit import glide_ratio_of
from lessonkit.airplane.rules import glide_ratio_factor
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


def test_published_glide_at_another_weight_left_out_of_the_fit_is_found():
    """Row GL-19: best glide of the same airplane at 2,000 lb, by the root of the weight.

    The fit never sees it; the report shows it as left out, within 5 % (here 0.2 kt of 65.5).
    """
    expected, tolerance = check_row("GL-19")
    text = (HERE / "published_trainer.toml").read_text(encoding="utf-8")
    second = f"[second_glide]\nweight = 2000\nspeed = {expected:.1f}\nratio = 10.6\n"
    report = fit_airplane(card_from_text(text + second)).report
    rows = {row.key: row for row in report.left_out}
    assert set(rows) == {"second_glide_speed", "second_glide_ratio"}
    assert kt_from_mps(rows["second_glide_speed"].returned) == pytest.approx(
        expected, abs=tolerance
    )
    assert all(row.passed for row in rows.values()) and "did not see" in report.summary


@pytest.mark.parametrize("key", built_in_cards())
def test_figures_left_out_of_the_fit_come_back_within_5_percent(key):
    """The invented airplanes: glide at another weight and with flaps, where they print one.

    Where the card prints none, the figure is taken from the card's own rule and moved by 6 %: the
    report has to call that missed, so that the 5 % mean something.
    """
    card = built_in_cards()[key]
    report = fit_airplane(card).report
    assert all(row.passed for row in report.left_out)
    if report.left_out:
        assert "did not see" in report.summary and "missed" not in report.summary
    flap = card.flap_deg[-1]
    by_rule = glide_ratio_of(card)
    by_rule *= glide_ratio_factor(flap) / glide_ratio_factor(card.value("glide.flap") or 0.0)
    for share, passed in ((1.04, True), (0.96, True), (1.06, False), (0.94, False)):
        changed = card_to_tables(card)
        listed = [""] * (len(card.flap_deg) - 1) + [round(by_rule * share, 3)]
        changed["flaps"] = {**changed["flaps"], "glide_ratios": listed}
        changed["flaps"].pop("glide_speeds", None)
        rows = fit_airplane(card_from_tables(changed)).report.left_out
        (row,) = [row for row in rows if row.key == f"glide_ratio_{flap:g}_left_out"]
        assert row.passed is passed, (share, row.residual)
