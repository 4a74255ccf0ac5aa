"""The page around a lesson: quiet, safe against stray keys, never saved."""

import pytest
from in_browser import open_lesson, wait_for
from kit_server import NOTEBOOKS

from lessonkit.words import say

pytestmark = pytest.mark.browser

FRAME = "#jp-top-panel, #jp-menu-panel, .jp-NotebookPanel-toolbar, .jp-SideBar, #jp-bottom-panel"
START, CARD = "00_start_here", "01_airplane_card"


@pytest.fixture(scope="module")
def opened(page_of_module, kit):
    """The start page, opened once, with what it asked the server for since then."""
    page_of_module.asked = []
    page_of_module.on(
        "request",
        lambda request: page_of_module.asked.append((request.method, request.url)),
    )
    open_lesson(page_of_module, kit, START)
    return page_of_module


@pytest.fixture
def start(opened):
    """The same page for each test that leaves it as it found it."""
    cells = opened.locator(".jp-Cell").count()
    yield opened
    errors, opened.errors[:] = list(opened.errors), []
    assert not errors
    assert opened.locator(".jp-Cell").count() == cells


def status_line(page):
    return page.locator("#lessonkit-bar .lessonkit-status").inner_text()


def test_page_shows_no_editor(start):
    page = start
    for part in page.locator(FRAME).all():
        assert not part.is_visible()
    assert page.locator(".jp-InputPrompt:visible, .jp-Collapser:visible").count() == 0
    scrolled = page.locator(".jp-WindowedPanel-outer").first.evaluate("node => node.scrollTop")
    assert scrolled == 0


def test_menus_can_be_shown_and_hidden(start):
    page = start
    menus = page.get_by_role("button", name=say("app.page.more"))

    menus.click()
    assert page.locator("#jp-MainMenu").is_visible()
    menus.click()
    assert not page.locator("#jp-MainMenu").is_visible()


def test_save_saves_nothing_and_says_so(start):
    page = start
    before = {path.name: path.read_bytes() for path in NOTEBOOKS.glob("*.ipynb")}

    page.locator(".jp-Notebook").click(position={"x": 5, "y": 5})
    page.keyboard.press("Control+s")
    page.wait_for_timeout(500)

    assert status_line(page) == say("app.page.not_saved")
    assert page.asked
    writes = [one for one in page.asked if one[0] != "GET" and "/api/contents" in one[1]]
    assert writes == []
    assert {path.name: path.read_bytes() for path in NOTEBOOKS.glob("*.ipynb")} == before


@pytest.mark.parametrize(
    "method, path, body",
    [
        ("PUT", f"/api/contents/{START}.ipynb", {"type": "file", "format": "text", "content": ""}),
        ("PUT", "/api/contents/new.txt", {"type": "file", "format": "text", "content": "x"}),
        ("PATCH", f"/api/contents/{START}.ipynb", {"path": "other.ipynb"}),
        ("DELETE", f"/api/contents/{START}.ipynb", None),
        ("POST", "/api/contents", {"type": "notebook"}),
        ("POST", "/api/contents", {"copy_from": f"{START}.ipynb"}),
        ("POST", f"/api/contents/{START}.ipynb/checkpoints", {}),
        ("POST", f"/api/contents/{START}.ipynb/checkpoints/checkpoint", {}),
    ],
)
def test_server_refuses_every_change(kit, method, path, body):
    before = {path.name: path.read_bytes() for path in NOTEBOOKS.glob("*") if path.is_file()}

    status, answer = kit.ask(path, method, body)

    assert status == 403
    assert say("app.serve.read_only") in str(answer)
    assert {
        path.name: path.read_bytes() for path in NOTEBOOKS.glob("*") if path.is_file()
    } == before


def test_server_has_no_terminals(kit):
    assert kit.ask("/api/terminals")[0] == 404


def test_keys_pressed_on_a_control_change_no_cell(start):
    page = start
    cells = page.locator(".jp-Cell").count()
    page.locator(".jupyter-widgets button:visible, .jupyter-widgets select:visible").first.focus()

    for key in ("x", "a", "b", "d", "d", "y", "m", "Shift+Enter"):
        page.keyboard.press(key)

    assert page.locator(".jp-Cell").count() == cells


def test_double_click_does_not_open_the_text_for_editing(start):
    page = start
    page.locator(".jp-MarkdownCell h1").first.dblclick()
    page.wait_for_timeout(300)

    assert page.locator(".jp-MarkdownCell .cm-editor:visible").count() == 0


def test_dark_is_kept_for_the_next_page(page, kit):
    open_lesson(page, kit, START)
    assert page.get_attribute("body", "data-jp-theme-light") == "true"

    page.get_by_role("button", name=say("app.page.dark")).click()
    page.wait_for_selector("body[data-jp-theme-light=false]", state="attached")
    page.wait_for_timeout(500)
    open_lesson(page, kit, CARD)
    assert page.get_attribute("body", "data-jp-theme-light") == "false"

    page.get_by_role("button", name=say("app.page.light")).click()
    page.wait_for_selector("body[data-jp-theme-light=true]", state="attached")
    page.wait_for_timeout(500)


def test_link_leads_to_a_live_lesson_and_back(page, kit):
    open_lesson(page, kit, START)

    page.locator(f".jp-MarkdownOutput a[href*='{CARD}']").first.click()
    page.wait_for_url(f"**/doc/tree/{CARD}.ipynb")
    page.wait_for_selector("#lessonkit-bar")
    wait_for(page, "live")
    page.get_by_role("link", name=say("app.page.start")).click()
    page.wait_for_url(f"**/doc/tree/{START}.ipynb")
    page.wait_for_selector("#lessonkit-bar")
    wait_for(page, "live")
    page.wait_for_function("document.title === 'Start here'", timeout=10_000)


def test_start_again_gives_live_controls(page, kit):
    open_lesson(page, kit, START)
    before = set(kit.kernel_pids())

    page.get_by_role("button", name=say("app.page.again")).click()
    wait_for(page, "opening")
    wait_for(page, "live")

    assert set(kit.kernel_pids()) != before
    assert page.locator(".jupyter-widgets").count() > 0
