"""An error inside a control's callback turns the test red, although the control survives it."""

import os
import shutil
import subprocess
import sys
import textwrap

CASES = """
import ipywidgets


def broken(*_):
    raise RuntimeError("broken on purpose")


def test_button():
    button = ipywidgets.Button()
    button.on_click(broken)
    button.click()


def test_interact():
    slider = ipywidgets.IntSlider()
    ipywidgets.interactive(lambda x: 1 / x, x=slider)
    slider.value = 0


def test_quiet():
    button = ipywidgets.Button()
    button.on_click(lambda _: None)
    button.click()
"""


def test_error_in_a_callback_turns_the_test_red(root, tmp_path):
    shutil.copyfile(root / "tests" / "conftest.py", tmp_path / "conftest.py")
    (tmp_path / "test_cases.py").write_text(textwrap.dedent(CASES), encoding="utf-8")
    result = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-rEf", str(tmp_path)],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=100,
        env=os.environ | {"PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"},
    )
    assert "ERROR test_cases.py::test_button" in result.stdout, result.stdout
    assert "ERROR test_cases.py::test_interact" in result.stdout, result.stdout
    assert "test_cases.py::test_quiet" not in result.stdout
    assert "broken on purpose" in result.stdout
