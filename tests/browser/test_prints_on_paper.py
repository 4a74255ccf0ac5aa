"""Each print becomes a PDF of the right paper in a real browser, and asks nobody for anything."""

import functools
import re

import pytest

from lessonkit.airplane import (
    built_in_card,
    built_in_cards,
    card_from_tables,
    card_to_tables,
    fit_airplane,
)
from lessonkit.app.print_choice import OF_EXERCISES, PRINTS, PrintChoice
from lessonkit.lessons.power_off_approach.exercises import QUESTIONS
from lessonkit.words import Preferences

pytestmark = pytest.mark.browser

POINTS = {"letter": (612.0, 792.0), "A4": (594.96, 841.92)}  # as the browser rounds A4
MOST_PAGES = {"numbers": 2, "kneeboard": 1}
COMMA = Preferences(speed_unit="mph", mass_unit="kg", decimal_mark=",")


def long_named():
    """An airplane with the longest name a card takes, in wide letters."""
    tables = card_to_tables(next(iter(built_in_cards().values())))
    tables["airplane"]["name"] = "W" * 60
    return fit_airplane(card_from_tables(tables))


AIRPLANES = {"two_seat": fit_airplane(built_in_card("two_seat")), "long_name": long_named()}


@functools.cache
def made(what, airplane, paper):
    """Return a print's file name and text; a long one takes seconds to make."""
    choice = PrintChoice(what, AIRPLANES[airplane], COMMA, paper, QUESTIONS, seed=3)
    return choice.file_name, choice.make()


def boxes(pdf):
    """Return width and height of each page, read from the file itself."""
    found = re.findall(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]", pdf)
    return [(float(width), float(height)) for width, height in found]


@pytest.fixture
def paper_page(browser):
    context = browser.new_context(java_script_enabled=True)
    page = context.new_page()
    page.asked, page.said = [], []
    page.on("request", lambda request: page.asked.append(request.url))
    page.on("console", lambda message: page.said.append(message.text))
    yield page
    context.close()


# The long prints take seconds each: of those, each paper and each airplane once.
CASES = [
    (what, paper, airplane)
    for what in PRINTS
    for paper in POINTS
    for airplane in AIRPLANES
    if what not in OF_EXERCISES or (paper == "letter") == (airplane == "two_seat")
]


@pytest.mark.parametrize(("what", "paper", "airplane"), CASES)
def test_print_fits_its_paper(what, paper, airplane, paper_page, tmp_path):
    name, text = made(what, airplane, paper)
    file = tmp_path / name
    file.write_text(text, encoding="utf-8")
    paper_page.goto(file.as_uri())
    pdf = paper_page.pdf(prefer_css_page_size=True)

    pages = boxes(pdf)
    size = POINTS[paper][::-1] if what == "kneeboard" else POINTS[paper]
    assert pages
    for found in pages:
        assert found == pytest.approx(size, abs=1.0)
    assert len(pages) <= MOST_PAGES.get(what, len(QUESTIONS))
    assert paper_page.asked == [file.as_uri()]
    assert paper_page.said == []  # the policy had nothing to refuse


@pytest.mark.parametrize("what", PRINTS)
def test_nothing_stands_out_over_the_side(what, paper_page, tmp_path):
    name, text = made(what, "long_name", "A4")
    file = tmp_path / name
    file.write_text(text, encoding="utf-8")
    paper_page.emulate_media(media="print")
    # A4 less its margins, at 96 pixels to the inch.
    wide = (297 - 14) if what == "kneeboard" else (210 - 28)
    paper_page.set_viewport_size({"width": int(wide / 25.4 * 96), "height": 900})
    paper_page.goto(file.as_uri())
    assert paper_page.evaluate(
        "() => document.documentElement.scrollWidth <= document.documentElement.clientWidth"
    )
    clipped = paper_page.evaluate(
        """() => [...document.querySelectorAll("td, th, h1, .altitudes > div")]
            .filter(e => e.scrollWidth > e.clientWidth + 2).map(e => e.textContent)"""
    )
    assert clipped == []


def test_policy_stops_what_somebody_adds_by_hand(paper_page, tmp_path):
    """A script or picture put into the saved file stays dead."""
    choice = PrintChoice("numbers", AIRPLANES["two_seat"], COMMA)
    altered = choice.make().replace(
        "<main>",
        "<main><script>document.title = 'ran'</script>"
        "<img src='http://127.0.0.1:9/x.png' onerror=\"document.title = 'ran'\">",
    )
    file = tmp_path / "altered.html"
    file.write_text(altered, encoding="utf-8")
    paper_page.goto(file.as_uri())
    paper_page.wait_for_timeout(300)
    assert paper_page.title() != "ran"
    assert len(paper_page.said) >= 2
