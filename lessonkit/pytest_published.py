"""The option ``pytest --published FILE``: more check values for the table of quantities.

It is an entry point of the package and not part of tests/conftest.py because of the space: until
an option is known, pytest takes FILE for a path to collect and looks for its settings, and for
conftest.py, beside FILE instead of here.
"""

from pathlib import Path

PROJECT = Path(__file__).resolve().parents[1]
SETTINGS = PROJECT / "pyproject.toml"


def pytest_addoption(parser):
    """Add the option."""
    parser.addoption(
        "--published",
        action="append",
        default=[],
        metavar="FILE",
        help="add the check values of this CSV, columns as in tests/published/checks.csv; "
        "may be given several times",
    )


def pytest_cmdline_main(config):
    """Start again with the project's settings where pytest took those beside FILE."""
    here = config.invocation_params.dir
    lost = config.inipath != SETTINGS and config.known_args_namespace.inifilename is None
    if not (config.option.published and lost and SETTINGS.is_file()):
        return None
    if here != PROJECT and PROJECT not in here.parents:
        return None
    import pytest

    arguments = [f"--config-file={SETTINGS}", f"--rootdir={PROJECT}"]
    return pytest.main([*arguments, *map(str, config.invocation_params.args)])


def pytest_configure(config):
    """Make the paths absolute, since parallel workers may start elsewhere."""
    here = config.invocation_params.dir
    config.option.published = [str(here / path) for path in config.option.published]
