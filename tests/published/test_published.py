"""Check values against the table of quantities.

Rows with provenance `read` are published values: read in the source or in a public copy of it.
The others are reference values: `derived` from the cited formula, or from `memory`. The rows
stand in `checks.csv`; `--published FILE` adds those of another file of the same form.
"""

from pathlib import Path

import pytest

from .check_rows import fault, merge, read_checks

OWN = Path(__file__).parent / "checks.csv"


def pytest_generate_tests(metafunc):
    if "check" in metafunc.fixturenames:
        paths = [OWN, *metafunc.config.getoption("published", default=[])]
        checks = merge([(Path(path).name, read_checks(path)) for path in paths])
        metafunc.parametrize("check", checks, ids=lambda check: check.id)


def test_published(check):
    sentence = fault(check)
    if sentence:
        pytest.fail(sentence, pytrace=False)
