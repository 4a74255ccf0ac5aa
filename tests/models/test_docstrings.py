"""Every public function of the models says what it takes, in which unit, and where it is from."""

import importlib
import inspect
import pkgutil
import re

import pytest

import lessonkit.models

# Functions that need no source, each with its reason.
NO_REFERENCE = {
    "limits.checked": "reads a table of ranges, no physics",
    "limits.outside": "words a sentence",
    "limits.sentence": "fetches a sentence",
    "numeric.smooth_step": "a polynomial that the docstring derives in full",
    "quantities.input_range": "reads the table of ranges",
    "quantity_inputs.from_si": "converts units; the factors have their source in units.py",
}
UNIT = re.compile(r"\[[^\]]+\]")


def public_functions():
    for info in pkgutil.walk_packages(lessonkit.models.__path__, "lessonkit.models."):
        module = importlib.import_module(info.name)
        for name, member in vars(module).items():
            if name.startswith("_") or not inspect.isfunction(member):
                continue
            if member.__module__ == info.name:
                yield pytest.param(
                    member, id=f"{info.name.removeprefix('lessonkit.models.')}.{name}"
                )


def sections(function):
    """Split a docstring into its sections; the text before the first is called Summary."""
    found, current = {"Summary": []}, "Summary"
    lines = inspect.getdoc(function).splitlines() if function.__doc__ else []
    for line, following in zip(lines, [*lines[1:], ""], strict=True):
        if re.fullmatch(r"-{3,}", following) and line.strip():
            current = line.strip()
            found[current] = []
        elif not re.fullmatch(r"-{3,}", line):
            found[current].append(line)
    return {name: "\n".join(text).strip("\n") for name, text in found.items()}


def entries(text):
    """Map each documented name to its description."""
    found, names = {}, []
    for line in text.splitlines():
        if line and not line.startswith(" "):
            names = [name.strip().lstrip("*") for name in line.partition(" : ")[0].split(",")]
            found.update(dict.fromkeys(names, line))
        else:
            for name in names:
                found[name] += " " + line.strip()
    return found


def problems(function):
    if not function.__doc__:
        return ["has no docstring"]
    parts = sections(function)
    documented = entries(parts.get("Parameters", ""))
    found = []
    for name in inspect.signature(function).parameters:
        if name not in documented:
            found.append(f"does not document {name}")
        elif not UNIT.search(documented[name]):
            found.append(f"gives no unit in square brackets for {name}")
    found += [
        f"documents {name}, which it does not take"
        for name in documented
        if name not in inspect.signature(function).parameters
    ]
    if not UNIT.search(parts.get("Returns", "")):
        found.append("has no Returns section with a unit")
    if ">>>" not in parts.get("Examples", ""):
        found.append("has no example")
    name = f"{function.__module__.removeprefix('lessonkit.models.')}.{function.__name__}"
    if ("References" not in parts) == (name not in NO_REFERENCE):
        found.append("needs a References section (or a place in the list with its reason)")
    return found


@pytest.mark.parametrize("function", list(public_functions()))
def test_docstring(function):
    assert not problems(function), f"{function.__qualname__}: {'; '.join(problems(function))}"


def test_waivers_name_functions_that_exist():
    known = {param.id for param in public_functions()}
    assert set(NO_REFERENCE) <= known


def test_the_check_sees_what_is_missing():
    def bare(tas, bank_deg):
        """Do something.

        Parameters
        ----------
        tas : float
            True airspeed.
        wind : float
            Wind. [m/s]
        """

    def silent():
        pass

    assert problems(silent) == ["has no docstring"]
    assert problems(bare) == [
        "gives no unit in square brackets for tas",
        "does not document bank_deg",
        "documents wind, which it does not take",
        "has no Returns section with a unit",
        "has no example",
        "needs a References section (or a place in the list with its reason)",
    ]
