"""The layers of the package, as the contract in pyproject.toml states them."""

import shutil
import subprocess
import sys

LINT = (
    "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_cache=True))"
)


def lint(folder):
    """Run the contract on the package in a folder."""
    return subprocess.run(
        [sys.executable, "-c", LINT], cwd=folder, capture_output=True, text=True, timeout=120
    )


def test_layers_are_kept(root):
    result = lint(root)
    assert result.returncode == 0, result.stdout[-3000:] + result.stderr[-3000:]
    assert "0 broken" in result.stdout


def test_contract_can_fail(root, project_files, tmp_path):
    for path in project_files:
        if path.suffix == ".py" and path.is_relative_to(root / "lessonkit"):
            target = tmp_path / path.relative_to(root)
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, target)
    shutil.copyfile(root / "pyproject.toml", tmp_path / "pyproject.toml")
    package = tmp_path / "lessonkit"
    planted = {
        "units": "lessonkit.words",
        "models.stall": "lessonkit.airplane",
        "records.store": "lessonkit.exercises",  # neighbours on one line
        "flights.recording": "lessonkit.scenes",
        "lessons.start_here.panels": "lessonkit.lessons.power_off_approach",
    }
    for module, forbidden in planted.items():
        path = package.joinpath(*module.split(".")).with_suffix(".py")
        path.write_text(path.read_text(encoding="utf-8") + f"\nimport {forbidden}\n", "utf-8")
    result = lint(tmp_path)
    assert result.returncode == 1, result.stdout[-3000:] + result.stderr[-3000:]
    for module, forbidden in planted.items():
        assert f"lessonkit.{module} -> {forbidden}" in " ".join(result.stdout.split())


HEAVY = {"matplotlib", "pandas", "scipy", "ipywidgets", "IPython", "anywidget", "jupyterlab"}
# Lowest layer first: what one loads stays loaded for the next.
LIGHT = {
    "words": HEAVY | {"numpy", "tomlkit"},
    "models": HEAVY | {"tomlkit"},
    "records": HEAVY | {"tomlkit"},
    "airplane": HEAVY,
    "exercises": HEAVY,
    "flights": HEAVY,
}
LOAD = """
import importlib, pkgutil, sys
for name in sys.argv[1:]:
    package = importlib.import_module("lessonkit." + name)
    for found in pkgutil.walk_packages(package.__path__, "lessonkit." + name + "."):
        importlib.import_module(found.name)
    print(name, *sys.modules)
"""


def test_imports_stay_light():
    result = subprocess.run(
        [sys.executable, "-c", LOAD, *LIGHT], capture_output=True, text=True, timeout=60
    )
    assert result.returncode == 0, result.stderr
    seen = {}
    for line in result.stdout.splitlines():
        name, *loaded = line.split()
        seen[name] = LIGHT[name] & set(loaded)
    assert seen == {name: set() for name in LIGHT}
