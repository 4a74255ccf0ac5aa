"""The one browser test of every test run: from the command to live controls."""

import pytest
from in_browser import open_lesson


@pytest.mark.smoke
def test_command_opens_the_start_page_alive(page, kit):
    open_lesson(page, kit, "00_start_here")

    # JupyterLab writes the file's name there at times of its own; the lesson's comes back.
    page.evaluate("document.title = '00_start_here.ipynb - JupyterLab'")
    page.wait_for_function("document.title === 'Start here'", timeout=10_000)
    assert page.locator(".jupyter-widgets").count() > 0
    assert page.locator(".jp-CodeCell .jp-Cell-inputWrapper:visible").count() == 0
