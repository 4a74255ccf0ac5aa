"""What no file of the project may hold, and what every data file has to say."""

import csv
import re
import tomllib

import pytest

# Put together from halves, so that this file does not hold what it looks for.
FOREIGN = {
    "a path of one machine": [
        "/wo" + "rk/",
        r"(?<![\w.])/ro" + r"ot\b",
        r"(?<![\w.])/ho" + r"me/",
        r"(?<![\w.$}])/t" + r"mp\b",
        r"/Use" + r"rs/\w",
        r"[A-Z]:\\Use" + r"rs",
    ],
    "a host of a package registry": [
        "py" + r"pi\.org",
        "python" + r"hosted\.org",
        "artif" + "actory",
        r"registry\.n" + r"pmjs",
        "nex" + r"us\.",
        "--index" + "-url",
        "PIP_" + "INDEX",
        "ana" + r"conda\.org",
    ],
    "how the work was organised": [
        "sha" + r"red/[A-Za-z]",
        r"\biss" + r"ues? \d",
        "CONT" + r"RACT\.md",
    ],
}
TEXT = {".py", ".toml", ".md", ".txt", ".ipynb", ".json", ".js", ".css", ".csv", ".yml", ".yaml"}


def foreign_in(text):
    """What kinds of foreign things a text holds."""
    return {
        meaning: match[0]
        for meaning, patterns in FOREIGN.items()
        for pattern in patterns
        if (match := re.search(pattern, text))
    }


@pytest.mark.parametrize(
    "text",
    [
        "see /wo" + "rk/main",
        "cd /ro" + "ot",
        "open('/ho" + "me/me/x')",
        "at https://py" + "pi.org/simple",
        "from sha" + "red/DESIGN.md",
        "C:\\Use" + "rs\\me",
        "/t" + "mp/x",
    ],
)
def test_foreign_things_are_found(text):
    assert foreign_in(text)


def test_ordinary_text_is_left_alone():
    assert not foreign_in("share/jupyter, $HOME, network/, .venv/bin/python, 127.0.0.1:8888")


def test_no_file_holds_foreign_things(root, project_files):
    found = {}
    for path in project_files:
        if path.suffix in TEXT or not path.suffix:
            what = foreign_in(path.read_text(encoding="utf-8", errors="replace"))
            if what:
                found[path.relative_to(root).as_posix()] = what
    assert not found


def test_text_files_are_utf8_without_windows_line_ends(root, project_files):
    for path in project_files:
        if path.suffix in TEXT:
            data = path.read_bytes()
            data.decode("utf-8")
            assert b"\r\n" not in data, path.relative_to(root)


def test_files_stay_small(root, project_files):
    large = {
        path.relative_to(root).as_posix(): path.stat().st_size
        for path in project_files
        if path.stat().st_size > 600_000
    }
    assert not large


def listed_sources(readme):
    """File name and source of every row of the table in data/README.md that names sources."""
    table = re.search(r"(?m)^\|[^\n]*\bSource\b[^\n]*\n(?:\|[^\n]*\n?)+", readme)[0]
    rows = [
        [cell.strip() for cell in line.strip().strip("|").split("|")] for line in table.splitlines()
    ]
    at = rows[0].index("Source")
    return {row[0].strip("`"): row[at] for row in rows[2:]}


def test_every_data_file_has_a_source(root, project_files):
    data = root / "data"
    sources = listed_sources((data / "README.md").read_text(encoding="utf-8"))
    files = {
        path.relative_to(data).as_posix()
        for path in project_files
        if path.is_relative_to(data) and path.name != "README.md"
    }
    assert files == set(sources)
    assert all(len(source) > 5 for source in sources.values())


def test_invented_data_say_so_themselves(root, project_files):
    for path in project_files:
        if path.is_relative_to(root / "data") and path.suffix == ".toml":
            text = path.read_text(encoding="utf-8")
            tomllib.loads(text)
            assert re.search(r"invented|source", text, re.IGNORECASE), path.name


def test_every_check_value_has_a_source(project_files):
    tables = [path for path in project_files if path.suffix == ".csv" and "tests" in path.parts]
    assert tables
    for path in tables:
        with path.open(encoding="utf-8", newline="") as stream:
            rows = list(csv.DictReader(stream))
        assert rows, path.name
        for number, row in enumerate(rows, start=2):
            assert row.get("source", "").strip(), f"{path.name} row {number} has no source"
            assert row.get("provenance", "").strip(), f"{path.name} row {number} has no provenance"
