"""The picture of a calibration: the touchdown band, observation by observation, and the glide."""

import numpy as np

from lessonkit.airplane import Airplane
from lessonkit.airplane.airspeed_correction import best_cas_of
from lessonkit.airplane.calibration import OF_THE_TOUCHDOWN
from lessonkit.airplane.observations import glide_of
from lessonkit.models.calibration import BAND_BEFORE
from lessonkit.scenes import Scene, SceneAxes, label, line, points, vertical
from lessonkit.units import METRES_PER_FOOT, MPS_PER_FPM, m_from_ft
from lessonkit.words import from_shown, say, show, unit_of

WIDEST = m_from_ft(650.0)
ROWS = 1 + len(OF_THE_TOUCHDOWN)
POINTS = 60


class CalibrationPicture:
    """Bars of the band on top, sink against speed below.

    Parameters
    ----------
    preferences : Preferences
        Units, decimal mark and language of the card.
    airplane : Airplane
        As printed; it settles the ranges.
    """

    def __init__(self, preferences, airplane: Airplane):
        self.preferences = preferences
        mass = airplane.mass_today
        best = airplane.best_glide_cas(mass)
        stall = airplane.stall_cas(0.0, mass) or 0.7 * best
        self.speeds = np.linspace(1.02 * stall, 1.45 * best, POINTS)
        low, top = airplane.sink_rate(best), 1.15 * airplane.sink_rate(float(self.speeds[-1]))
        self.scene = Scene(
            [self._bands(), self._glide(0.75 * low, top)],
            width=760.0,
            height=430.0,
            alt=self._say("alt"),
            preferences=preferences,
        )

    def show(self, airplane: Airplane, sentence: str) -> None:
        """Draw an airplane with its observations."""
        with self.scene.batch():
            self.scene.remove(*self.scene.names())
            self._put_bands(airplane.calibration)
            self._put_glide(airplane)
            self.scene.tell(sentence=sentence, stale=False)

    def _say(self, key, **values):
        return say(f"calibration.picture.{key}", preferences=self.preferences, **values)

    def _bands(self):
        return SceneAxes(
            "bands",
            x=(-WIDEST, WIDEST),
            y=(0.4 - ROWS, 0.6),
            x_label=self._say("bands_x"),
            x_unit=METRES_PER_FOOT,
            y_numbers=False,
            share=1.0,
        )

    def _glide(self, low, top):
        unit = unit_of("speed", self.preferences)
        return SceneAxes(
            "glide",
            x=(float(self.speeds[0]), float(self.speeds[-1])),
            y=(float(top), float(low)),
            x_label=self._say("glide_x", unit=unit),
            y_label=self._say("glide_y"),
            x_unit=from_shown(1.0, "speed", self.preferences),
            y_unit=MPS_PER_FPM,
            share=1.25,
        )

    def _put_bands(self, calibration):
        steps = [("", BAND_BEFORE)] if calibration is None else calibration.bands
        steps = [(key, band) for key, band in steps if not key or key in OF_THE_TOUCHDOWN]
        items = {"computed": vertical("bands", 0.0, role="muted")}
        for row, (key, band) in enumerate(steps):
            role = "main" if row == len(steps) - 1 else "reference"
            name = key or "before"
            ends = [-band, band]
            items[f"{name}_bar"] = line("bands", ends, [-row, -row], role=role)
            items[f"{name}_ends"] = points("bands", ends, [-row, -row], role=role, size=5.0)
            text = self._say(name, band=show(band, "distance_ft", self.preferences))
            items[f"{name}_text"] = label(
                "bands",
                0.0,
                -row,
                text,
                role=role,
                anchor="middle",
                offset=(0.0, -9.0),
                strong=role == "main",
            )
        self.scene.put(**items)

    def _put_glide(self, airplane):
        card, mass = airplane.card, airplane.card.value("timed_glide.weight")
        flap = card.value("timed_glide.flap") or 0.0
        before, after = (
            one.sink_rate(self.speeds, mass=mass, flap_deg=flap)
            for one in (airplane.printed, airplane)
        )
        items = {"printed": line("glide", self.speeds, before, role="reference")}
        middle = POINTS * 2 // 3
        items["printed_text"] = label(
            "glide",
            float(self.speeds[middle]),
            float(before[middle]),
            self._say("printed"),
            role="reference",
            offset=(8.0, -8.0),
        )
        if airplane.calibrated:
            items["mine"] = line("glide", self.speeds, after, role="main")
            items["mine_text"] = label(
                "glide",
                float(self.speeds[middle]),
                float(after[middle]),
                self._say("mine"),
                role="main",
                anchor="end",
                offset=(-8.0, 14.0),
                strong=True,
            )
        self.scene.put(**items, **self._timed(airplane, mass, flap))

    def _timed(self, airplane, mass, flap):
        """Mark the timed glide with one spread of its error, brought to sea level."""
        timed = glide_of(airplane.printed)
        if timed is None:
            return {}
        cas = best_cas_of(airplane.card, airplane.card.figure("timed_glide.speed"), flap)
        level = airplane.printed.sink_rate(cas, mass=mass, flap_deg=flap)
        level = level / timed.predict(np.zeros(4))
        sink, spread = timed.observed * level, timed.spread * level
        return {
            "timed": points("glide", cas, sink, role="ink", mark="diamond", size=6.0),
            "timed_error": line("glide", [cas, cas], [sink - spread, sink + spread], role="ink"),
            "timed_text": label(
                "glide", cas, sink, self._say("timed"), role="ink", offset=(8.0, -12.0)
            ),
        }
