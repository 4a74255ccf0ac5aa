"""Flights of the reference airplane that several tests of a module share."""

import contextlib

import pytest


@pytest.fixture(scope="module", autouse=True)
def folder(tmp_path_factory):
    """A working folder of the module's own: some model files write a table into it."""
    made = tmp_path_factory.mktemp("sixdof")
    with contextlib.chdir(made):
        yield made


@pytest.fixture(scope="module")
def airplane(folder):
    from sixdof.reference import ReferenceAirplane

    return ReferenceAirplane(folder)


@pytest.fixture(scope="module")
def measured(airplane):
    """Stall speeds and glides of the reference airplane, flown once for a module."""
    from sixdof.card import measure

    return measure(airplane)
