"""The table of lines is complete: every line has its texts, its range and its place in the docs."""

from pathlib import Path

import pytest

from lessonkit.airplane.airfield import AIRFIELD_FIELDS
from lessonkit.airplane.library import DATA
from lessonkit.airplane.schema import CHOICE, FIELD_AT, FIELDS, ORIGINS, TEXT, fields_of, sections
from lessonkit.words import KINDS, texts

TEXTS = texts("card")
ALL = (*FIELDS, *AIRFIELD_FIELDS)


@pytest.mark.parametrize("field", ALL, ids=lambda field: field.path)
def test_every_line_has_its_texts(field):
    assert field.label_key in TEXTS and field.help_key in TEXTS
    if field.reason:
        assert f"card.range.{field.reason}" in TEXTS
    if field.rule and field.rule not in ("approach_13", "approach_14"):
        assert f"card.rule.{field.rule}" in TEXTS
    for choice in field.choices:
        assert f"card.choice.{choice.replace(' ', '_').lower()}" in TEXTS


@pytest.mark.parametrize("field", ALL, ids=lambda field: field.path)
def test_every_number_has_kind_range_and_reason(field):
    if field.form in (TEXT, CHOICE):
        assert not field.kind
        return
    assert field.kind in KINDS and field.low < field.high
    assert field.reason or field.form == "correction"


def test_paths_are_unique_and_sections_together():
    assert len(FIELD_AT) == len(FIELDS)
    assert [field.path for name in sections() for field in fields_of(name)] == [
        field.path for field in FIELDS
    ]


def test_every_origin_has_its_mark():
    for origin in ORIGINS:
        assert f"card.origin.{origin.replace(' ', '_')}" in TEXTS


def test_every_line_is_described_beside_the_data():
    described = (Path(DATA) / "README.md").read_text(encoding="utf-8")
    for field in ALL:
        assert field.name in described, field.path
        assert f"`[{field.section}]`" in described
