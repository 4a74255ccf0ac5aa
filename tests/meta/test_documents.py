"""README.md and DEVELOPERS.md say what is there."""

import re

import pytest

SET_UP = (
    "python3 -m venv .venv && .venv/bin/pip install -r requirements.txt && .venv/bin/python -m "
)


@pytest.fixture(scope="module")
def readme(root):
    return (root / "README.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def developers(root):
    return (root / "DEVELOPERS.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("module", ["lessonkit", "pytest"])
def test_readme_has_the_two_commands(readme, module):
    assert SET_UP + module in [line.strip() for line in readme.splitlines()]
    assert re.search(rf"\.venv\\Scripts\\python(\.exe)? -m {module}\b", readme)


def test_readme_has_the_commands_for_windows_without_and(readme):
    lines = [line.strip() for line in readme.splitlines()]
    assert any(re.fullmatch(r"(py|python)( -3[.\d]*)? -m venv \.venv", line) for line in lines)
    assert any(
        re.fullmatch(r"\.venv\\Scripts\\(pip|python -m pip) install -r requirements\.txt", line)
        for line in lines
    )


def test_pictures_and_links_of_the_readme_exist(readme, root):
    targets = re.findall(r"\]\(([^)#\s]+)", readme)
    local = [target for target in targets if not re.match(r"[a-z]+:", target)]
    assert [target for target in local if target.lower().endswith((".png", ".svg", ".webp"))]
    assert [target for target in local if not (root / target).exists()] == []


def answers(text):
    """Question and answer of every "Where do I change ...?" in the document."""
    parts = re.split(r"(?m)^[#>*\-|\s\d.]*(Where do I (?:change|add)[^?\n]*\?)", text)
    # An answer ends at the next heading, or at the blank line after it has begun.
    end = re.compile(r"\n\s*\n(?=\S)|\n#")
    return [
        (question, end.split(answer.strip("*_| \n"))[0])
        for question, answer in zip(parts[1::2], parts[2::2], strict=True)
    ]


def paths_in(answer):
    """Paths in backticks: what holds a slash or ends like a file."""
    ending = re.compile(r"\.(py|toml|md|ipynb|js|css|csv|txt)$")
    quoted = re.findall(r"`([^`\s]+)`", answer)
    return [name for name in quoted if "/" in name or ending.search(name)]


def test_answers_are_found():
    text = "## Rooms\n- Where do I change a text? In `lessonkit/words/en/`, `README.md`.\n\nMore."
    [(question, answer)] = answers(text)
    assert question == "Where do I change a text?"
    assert paths_in(answer) == ["lessonkit/words/en/", "README.md"]


def test_ten_answers_whose_paths_exist(developers, root):
    found = answers(developers)
    assert len(found) >= 10
    for question, answer in found:
        paths = [path for path in paths_in(answer) if "<" not in path and "*" not in path]
        assert paths, question
        missing = [path for path in paths if not (root / path).exists()]
        assert not missing, f"{question} {missing}"


def test_every_room_of_the_package_is_explained(developers, root):
    for folder in (root / "lessonkit").iterdir():
        if (folder / "__init__.py").is_file():
            assert f"{folder.name}/" in developers, folder.name


def test_every_dependency_has_its_reason(developers, root):
    listed = (root / "requirements.txt").read_text(encoding="utf-8").splitlines()
    names = [match[0] for line in listed if (match := re.match(r"[A-Za-z][\w.-]*", line))]
    assert len(names) > 5
    assert [name for name in names if name.lower() not in developers.lower()] == []


def test_requirements_have_an_upper_bound_and_no_fixed_build(root):
    for line in (root / "requirements.txt").read_text(encoding="utf-8").splitlines():
        line = line.partition("#")[0].strip()
        if line and line != "-e .":
            assert re.search(r"~=|<|==", line), line
