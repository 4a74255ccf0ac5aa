"""A plain card for the tests, and a way to change single lines of it."""

import copy

from lessonkit.airplane import card_from_tables

PLAIN = {
    "airplane": {"name": "Test airplane", "wing": "high"},
    "airspeed": {"kind": "CAS"},
    "weights": {"max": 2400, "empty": 1450, "today": 2200},
    "wing": {"area": 174, "span": 36},
    "speeds": {"VS0": 45, "VS1": 51},
    "flaps": {"settings": [0, 10, 20, 30]},
    "glide": {"speed": 70, "ratio": 9.5},
}


def tables(**changes):
    """Return the typed tables of the plain card; `speeds_VS0=50` changes, None removes a line."""
    changed = copy.deepcopy(PLAIN)
    for name, value in changes.items():
        section, _, line = name.partition("__")
        if value is None:
            changed[section].pop(line, None)
        else:
            changed.setdefault(section, {})[line] = value
    return changed


def card(**changes):
    """Return the plain card with changes, not looked through for contradictions."""
    return card_from_tables(tables(**changes))


def toml(text_or_tables):
    """Return tables as TOML text, written without the kit's own writer."""
    import tomlkit

    return tomlkit.dumps(text_or_tables)
