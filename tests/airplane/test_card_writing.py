"""A card written and read again is the same card; a save is whole or does not happen."""

import os
import pickle

import pytest
from airplane_cards import card, tables, toml
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.airplane import (
    CardError,
    built_in_cards,
    card_from_tables,
    card_from_text,
    card_to_tables,
    card_to_toml,
    read_card,
    write_card,
)

quick = settings(max_examples=60, deadline=None, derandomize=True)


@pytest.mark.parametrize("key", ["high_wing_four_seat", "low_wing_four_seat", "two_seat"])
def test_built_in_cards_round_trip(key):
    original = built_in_cards()[key]
    again = card_from_text(card_to_toml(original))
    assert again == original and hash(again) == hash(original)
    assert card_to_toml(again) == card_to_toml(original)
    assert card_from_tables(card_to_tables(original)) == original


@quick
@given(
    name=st.text(min_size=1, max_size=50).filter(lambda text: text.strip(" \t\r\n")),
    note=st.text(max_size=60),
    vs0=st.floats(40.0, 46.0),
    typed=st.sampled_from([51, 51.0, "51", "51 kt", "58,7 mph", " 51 "]),
    origin=st.sampled_from(["handbook", "measured in flight", "rule of thumb", "invented"]),
    mass=st.one_of(st.none(), st.integers(1500, 2400), st.just("1 000 kg")),
    kind=st.sampled_from(["CAS", "IAS"]),
    listed=st.sampled_from([["", 48, "", ""], ["51", "", "46,5 kt", 45]]),
)
def test_any_card_round_trips_exactly(name, note, vs0, typed, origin, mass, kind, listed):
    speed = {"value": typed, "origin": origin, "airspeed": kind}
    if mass is not None:
        speed["weight"] = mass
    try:
        original = card(
            airplane__name=name,
            airplane__note=note,
            speeds__VS0=vs0,
            speeds__VS1=speed,
            flaps__stall_speeds=listed,
            airspeed__flaps_up=[[40, 45.5], ["50", "55 kt"]],
        )
    except CardError as error:
        # The name held control characters alone.
        assert "airplane.name" in str(error)
        return
    again = card_from_tables(card_to_tables(original))
    assert again == original
    from lessonkit.airplane.reading import card_without_checks

    from_text = card_without_checks(card_to_toml(original))
    assert from_text == original
    for path, entry in original.entries.items():
        assert from_text[path] == entry, path


def test_figures_keep_their_airspeed_weight_and_origin():
    original = card(
        speeds__VS1={"value": 47, "airspeed": "IAS", "weight": 2200, "origin": "measured in flight"}
    )
    figure = card_from_text(card_to_toml(original)).figure("speeds.VS1")
    assert (figure.airspeed, figure.origin, figure.mass.typed) == (
        "IAS",
        "measured in flight",
        2200,
    )


def test_a_changed_figure_makes_another_card():
    assert card() == card() and card() != card(speeds__VS0=46)
    assert card(speeds__VS0={"value": 45, "origin": "invented"}) != card(speeds__VS0=45)


def test_card_cannot_be_changed_and_can_be_copied():
    original = card()
    with pytest.raises(TypeError):
        original.entries["airplane.name"] = "other"
    assert pickle.loads(pickle.dumps(original)) == original
    with pytest.raises(KeyError, match="speeds.VSO"):
        original["speeds.VSO"]


def test_saved_card_is_read_again(tmp_path):
    path = tmp_path / "own.toml"
    write_card(card(), path)
    write_card(card(speeds__VS0=44), path)
    assert read_card(path) == card(speeds__VS0=44)
    assert [one.name for one in tmp_path.iterdir()] == ["own.toml"]


def test_failed_save_leaves_the_old_card_and_no_rubbish(tmp_path, monkeypatch):
    path = tmp_path / "own.toml"
    write_card(card(), path)

    def no_room(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", no_room)
    with pytest.raises(CardError, match="own.toml: .* could not be saved"):
        write_card(card(speeds__VS0=44), path)
    assert read_card(path) == card()
    assert [one.name for one in tmp_path.iterdir()] == ["own.toml"]


@pytest.mark.parametrize("place", ["none/own.toml", ".", "a\0b.toml"])
def test_places_where_no_card_can_be_saved(tmp_path, place):
    with pytest.raises(CardError) as caught:
        write_card(card(), f"{tmp_path}/{place}")
    assert str(caught.value).endswith(".") and "choose" in str(caught.value)


def test_an_entry_of_a_list_carries_its_own_origin():
    made = tables(flaps__glide_ratios=["", "", "", {"value": 7.2, "origin": "measured in flight"}])
    read = card_from_text(toml(made))
    assert read.per_flap("flaps.glide_ratios")[3].origin == "measured in flight"
    assert card_from_text(card_to_toml(read)) == read
