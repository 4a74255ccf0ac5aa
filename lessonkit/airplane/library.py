"""The invented airplanes and the airfield that come with the kit."""

from pathlib import Path

import lessonkit
from lessonkit.airplane.airfield import Airfield, read_airfield
from lessonkit.airplane.card import Card, CardError
from lessonkit.airplane.reading import read_card
from lessonkit.words import say

# The package stands beside its data in the unpacked kit.
DATA = Path(lessonkit.__file__).resolve().parent.parent / "data"
DEFAULT_KEY = "high_wing_four_seat"
DEFAULT_AIRFIELD = "willowmere"


def built_in_keys(folder: Path = DATA) -> list[str]:
    """Return the keys of the built-in airplanes, the default one first.

    Parameters
    ----------
    folder : path
        The kit's data folder.

    Returns
    -------
    list of str

    Raises
    ------
    CardError
        One sentence, when the kit's data folder is missing.

    Examples
    --------
    >>> built_in_keys()
    ['high_wing_four_seat', 'low_wing_four_seat', 'two_seat']
    """
    found = sorted(path.stem for path in (folder / "airplanes").glob("*.toml"))
    if not found:
        raise CardError(say("card.library.missing"))
    return sorted(found, key=lambda key: key != DEFAULT_KEY)


def built_in_card(key: str = DEFAULT_KEY, folder: Path = DATA) -> Card:
    """Return one built-in card.

    Parameters
    ----------
    key : str
        One of `built_in_keys`.
    folder : path
        The kit's data folder.

    Returns
    -------
    Card

    Raises
    ------
    CardError
        One sentence, when there is no such card or the data folder is missing.

    Examples
    --------
    >>> built_in_card("two_seat").name
    'Orchard T2'
    """
    known = built_in_keys(folder)
    if key not in known:
        raise CardError(say("card.library.unknown", known=", ".join(known)))
    return read_card(folder / "airplanes" / f"{key}.toml")


def built_in_cards(folder: Path = DATA) -> dict[str, Card]:
    """Return all built-in cards by key, the default one first.

    Parameters
    ----------
    folder : path
        The kit's data folder.

    Returns
    -------
    dict of str to Card

    Raises
    ------
    CardError
        One sentence, when the kit's data folder is missing.
    """
    return {key: built_in_card(key, folder) for key in built_in_keys(folder)}


def built_in_airfield(folder: Path = DATA) -> Airfield:
    """Return the built-in airfield.

    Parameters
    ----------
    folder : path
        The kit's data folder.

    Returns
    -------
    Airfield

    Raises
    ------
    CardError
        One sentence, when the kit's data folder is missing.

    Examples
    --------
    >>> built_in_airfield().traffic
    'left'
    """
    path = folder / "airfields" / f"{DEFAULT_AIRFIELD}.toml"
    if not path.is_file():
        raise CardError(say("card.library.missing"))
    return read_airfield(path)
