"""Importing the models loads numpy and nothing heavier, and no notebook or drawing library."""

import pkgutil
import subprocess
import sys

import lessonkit.models

HEAVY = ["matplotlib", "pandas", "scipy", "ipywidgets", "IPython", "anywidget", "traitlets"]


def test_models_load_nothing_heavy():
    names = [
        info.name for info in pkgutil.walk_packages(lessonkit.models.__path__, "lessonkit.models.")
    ]
    assert len(names) > 20
    code = (
        "import sys, importlib\n"
        f"for name in {['lessonkit.models', *names]}: importlib.import_module(name)\n"
        f"loaded = [name for name in {HEAVY} if name in sys.modules]\n"
        "print(','.join(loaded) or 'clean', 'numpy' in sys.modules)"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    assert run.stdout.split() == ["clean", "True"]
