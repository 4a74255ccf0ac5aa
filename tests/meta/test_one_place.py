"""Things that have one place: conversion factors, the way to HTML, escaping."""

import ast

import pytest

# Well-known factors between units, rounded as people write them.
FACTORS = {
    1852.0: "metres per nautical mile",
    6076.12: "feet per nautical mile",
    1609.344: "metres per statute mile",
    0.3048: "metres per foot",
    3.28084: "feet per metre",
    0.0929030: "square metres per square foot",
    10.7639: "square feet per square metre",
    0.514444: "metres per second per knot",
    1.943844: "knots per metre per second",
    0.447040: "metres per second per mile per hour",
    2.236936: "miles per hour per metre per second",
    1.150779: "miles per hour per knot",
    0.868976: "knots per mile per hour",
    1.687810: "feet per second per knot",
    0.592484: "knots per foot per second",
    101.2686: "feet per minute per knot",
    0.00508: "metres per second per foot per minute",
    196.8504: "feet per minute per metre per second",
    0.45359237: "kilograms per pound",
    2.204623: "pounds per kilogram",
    4.448222: "newtons per pound-force",
    14.59390: "kilograms per slug",
    745.6999: "watts per horsepower",
    1.355818: "joules per foot-pound",
    3386.389: "pascals per inch of mercury",
    33.86389: "hectopascals per inch of mercury",
    9.80665: "standard gravity",
    32.17405: "standard gravity in feet",
    273.15: "kelvin at 0 degrees Celsius",
    57.29578: "degrees per radian",
    0.01745329: "radians per degree",
}
TOLERANCE = 2e-4  # catches factors written with four figures


def factors_in(tree):
    """Lines and meanings of the conversion factors among a module's numbers."""
    found = []
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or type(node.value) not in (int, float):
            continue
        for factor, meaning in FACTORS.items():
            if abs(node.value - factor) <= TOLERANCE * factor:
                found.append((node.lineno, meaning))
    return found


@pytest.mark.parametrize("line", ["v = 0.5144 * kt", "W = m * 9.80665", "ft = 3.2808 * h"])
def test_scan_finds_a_planted_factor(line):
    assert factors_in(ast.parse(line))


def test_scan_leaves_ordinary_numbers_alone():
    assert not factors_in(ast.parse("x = 0.5 * 1000 + 45 - 1.4 * 2300 + 100.0 + 1.225"))


def test_conversion_factors_live_in_units_only(modules):
    assert factors_in(modules["lessonkit/units.py"])
    found = {
        path: factors
        for path, tree in modules.items()
        if path != "lessonkit/units.py" and (factors := factors_in(tree))
    }
    assert not found


def called(tree, names):
    """Lines where one of these names is called, plain or as an attribute of anything."""
    lines = []
    # HTML().style is no text on a page: only the default style is asked for.
    asked = {
        id(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute) and node.attr == "style"
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            target = node.func
            name = target.attr if isinstance(target, ast.Attribute) else getattr(target, "id", "")
            if name in names and id(node) not in asked:
                lines.append(node.lineno)
    return lines


def imported(tree, module):
    """Lines where a module, or a name of it, is imported."""
    lines = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import) and any(name.name == module for name in node.names):
            lines.append(node.lineno)
        if isinstance(node, ast.ImportFrom) and node.module == module:
            lines.append(node.lineno)
    return lines


def test_html_widgets_are_made_in_one_place(modules):
    makers = {"HTML", "HTMLMath"}
    assert called(modules["lessonkit/panels/text.py"], makers)
    found = {
        path: lines
        for path, tree in modules.items()
        if path != "lessonkit/panels/text.py" and (lines := called(tree, makers))
    }
    assert not found


def test_html_is_escaped_in_one_place(modules):
    assert imported(modules["lessonkit/words/escape.py"], "html")
    found = {
        path: lines
        for path, tree in modules.items()
        if path != "lessonkit/words/escape.py" and (lines := imported(tree, "html"))
    }
    assert not found


def test_the_stateful_plotting_interface_is_not_used(modules):
    found = {
        path: lines
        for path, tree in modules.items()
        if (lines := imported(tree, "matplotlib.pyplot"))
    }
    assert not found


def test_errors_are_not_swallowed(modules):
    """An except clause that catches everything must do more than pass."""
    found = []
    for path, tree in modules.items():
        for node in ast.walk(tree):
            if isinstance(node, ast.ExceptHandler):
                broad = node.type is None or getattr(node.type, "id", "") in (
                    "Exception",
                    "BaseException",
                )
                if broad and all(isinstance(step, ast.Pass) for step in node.body):
                    found.append((path, node.lineno))
    assert not found


# An anywidget view is one file: it cannot be split without a build step.
LONGEST = {".py": 400, ".js": 600}


def test_modules_stay_small(root, project_files):
    long = {}
    for path in project_files:
        if path.suffix in LONGEST and path.is_relative_to(root / "lessonkit"):
            lines = len(path.read_text(encoding="utf-8").splitlines())
            if lines > LONGEST[path.suffix]:
                long[path.relative_to(root).as_posix()] = lines
    assert not long
