"""What the kit makes of a card: the fit, its picture, estimates, and the numbers that follow."""

import ipywidgets

from lessonkit.airplane import Airplane
from lessonkit.airplane.airspeed_correction import correction_of
from lessonkit.airplane.number_page import groups, numbers
from lessonkit.airplane.texts import origin_text
from lessonkit.lessons.airplane_card.guess import guess_sentence
from lessonkit.lessons.airplane_card.picture import GlidePicture
from lessonkit.panels.forms import TableBlock, TextBlock
from lessonkit.words import Preferences, say, show


class FitReport:
    """The lower part of the card panel.

    Parameters
    ----------
    preferences : Preferences
        Decimal mark and language; speeds and weights are shown as the card has them.
    record : EventStore or None
        Holds the learner's guess of the glide.
    """

    def __init__(self, preferences: Preferences, record: object = None):
        self._preferences, self._record = preferences, record
        self.summary, self.doubts = TextBlock("note"), TextBlock("bad")
        self.fit = TableBlock(
            say("airplane_card.report.fit"),
            [
                say(f"airplane_card.report.{k}")
                for k in ("figure", "typed", "returned", "difference")
            ],
        )
        self.picture = GlidePicture(preferences)
        self.guess = TextBlock("note")
        self.estimates_title = TextBlock("heading")
        self.estimates = TextBlock("plain")
        self.numbers_title = TextBlock("heading")
        heads = [say(f"airplane_card.report.{k}") for k in ("number", "value", "origin")]
        self.numbers = {
            group: TableBlock(say(f"card.numbers.{group}"), heads) for group in groups()
        }
        self.note = TextBlock("plain")
        self.widget = ipywidgets.VBox(
            [
                self.summary.widget,
                self.doubts.widget,
                self.fit.widget,
                self.picture.widget,
                self.guess.widget,
                self.estimates_title.widget,
                self.estimates.widget,
                self.numbers_title.widget,
                *(table.widget for table in self.numbers.values()),
                self.note.widget,
            ]
        )
        self.clear()

    def clear(self) -> None:
        """Show nothing, because the figures cannot be used yet."""
        self.summary.tell(say("airplane_card.picture.empty"), "plain")
        self.fit.show([])
        self.picture.clear()
        titles = (self.estimates_title, self.numbers_title)
        for block in (self.doubts, self.guess, *titles, self.estimates, self.note):
            block.tell("")
        for table in self.numbers.values():
            table.show([])

    def mark_stale(self) -> None:
        """Dim the picture: figures were changed since."""
        self.picture.mark_stale()

    def show(self, airplane: Airplane) -> None:
        """Show what the fit makes of a card."""
        preferences = airplane.card.preferences(self._preferences)
        report = airplane.report
        passed = all(row.passed for row in report.left_out)
        self.summary.tell(report.summary, "good" if passed and report.left_out else "note")
        self.doubts.tell([doubt.said(preferences) for doubt in airplane.doubts])
        self.fit.show([self._fit_row(row, airplane.card, preferences) for row in report.rows])
        self.picture.show(airplane, preferences)
        self.guess.tell(guess_sentence(airplane, preferences, self._record))
        sentences = [estimate.said(preferences) for estimate in airplane.estimates]
        sentences = [one for one in sentences if one not in self.doubts.text]
        self.estimates_title.tell(say("airplane_card.report.estimates") if sentences else "")
        self.estimates.tell(list(dict.fromkeys(sentences)))
        self.numbers_title.tell(say("airplane_card.report.numbers"))
        page = numbers(airplane, preferences)
        for group, table in self.numbers.items():
            table.show([_number_row(one, preferences) for one in page if one.group == group])
        self.note.tell(say("airplane_card.report.note"))

    def _fit_row(self, row, card, preferences):
        cells = []
        for value in (row.given, row.returned):
            text = show(value, row.kind, preferences, digits=1)
            cas = row.kind == "speed" and correction_of(card) is not None
            cells.append(f"{text} CAS" if cas else text)
        return [row.label, *cells, show(row.residual, "percent", preferences, digits=1, sign=True)]


def _number_row(number, preferences):
    value = show(number.value, number.kind, preferences)
    if number.airspeed and number.value is not None:
        value = f"{value} {number.airspeed}"
    return [number.label, value, origin_text(number.origin, preferences)]
