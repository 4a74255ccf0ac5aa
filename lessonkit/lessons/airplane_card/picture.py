"""The picture of a fitted card: sink against speed, and where the handbook measured it."""

import ipywidgets
import numpy as np

from lessonkit.airplane import Airplane
from lessonkit.airplane.airspeed_correction import best_cas_of
from lessonkit.airplane.fit import glide_ratio_of
from lessonkit.models.glide_path import sink_rate_from_ratio
from lessonkit.scenes import Scene, SceneAxes, area, label, line, points, vertical
from lessonkit.units import MPS_PER_FPM
from lessonkit.words import Preferences, from_shown, say, show, unit_of

POINTS = 80
# A glide figure says something about the curve near its speed only; common practice, no source.
MEASURED_SHARE = 0.08
_ROLES = ("main", "reference")


class GlidePicture:
    """Sink against speed of a glide at maximum weight, flaps up and with landing flaps.

    Parameters
    ----------
    preferences : Preferences
    """

    def __init__(self, preferences: Preferences):
        self._preferences = preferences
        self.scene: Scene | None = None  # drawn when there is something to show
        self.widget = ipywidgets.VBox()
        self.clear()

    @property
    def sentence(self) -> str:
        """The sentence under the picture."""
        return self.scene.sentence if self.scene else ""

    def clear(self) -> None:
        """Take the picture away."""
        if self.scene:
            self.scene.remove(*self.scene.names())
            self.scene.tell(sentence="", stale=False)
        self.widget.layout.display = "none"

    def mark_stale(self) -> None:
        """Dim the picture."""
        if self.scene:
            self.scene.tell(stale=True)

    def show(self, airplane: Airplane, preferences: Preferences) -> None:
        """Draw an airplane's glide."""
        card = airplane.card
        mass = card.mass_of(card.figure("glide.speed"))
        flaps = list(dict.fromkeys((airplane.flap_deg[0], airplane.landing_flap_deg)))
        given = _given_points(airplane)
        speeds = _speeds(airplane, mass, given)
        sinks = {flap: self._sinks(airplane, speeds, mass, flap) for flap in flaps}
        top = 1.15 * max(float(np.nanmax(values)) for values in sinks.values())
        self._begin(_axes(preferences, (speeds[0], speeds[-1]), top))
        with self.scene.batch():
            self._shade(speeds, top, [cas for _, cas, _ in given])
            for role, flap in zip(_ROLES, flaps, strict=False):
                self._curve(speeds, sinks[flap], flap, role, preferences)
            self._points(given, preferences)
            self._stall(airplane, mass)
            self.scene.tell(sentence=self._sentence(airplane, mass, preferences), stale=False)
        self.widget.layout.display = None

    def _begin(self, axes):
        if self.scene:
            self.scene.remove(*self.scene.names())
            self.scene.set_axes([axes])
            return
        self.scene = Scene(
            [axes],
            width=760,
            height=330,
            alt=say("airplane_card.picture.alt"),
            preferences=self._preferences,
        )
        self.widget.children = (self.scene.view,)

    def _sinks(self, airplane, speeds, mass, flap):
        sinks = airplane.sink_rate(
            speeds, mass=mass, flap_deg=flap, propeller=airplane.fit.propeller
        )
        stall = airplane.stall_cas(flap, mass)
        return np.where(speeds >= (stall or 0.0), sinks, np.nan)

    def _shade(self, speeds, top, measured):
        """Shade the speeds near which the handbook gives no glide figure."""
        edges = [float(speeds[0])]
        for cas in sorted(measured):
            edges += [cas * (1.0 - MEASURED_SHARE), cas * (1.0 + MEASURED_SHARE)]
        edges.append(float(speeds[-1]))
        spans = [
            (low, high) for low, high in zip(edges[::2], edges[1::2], strict=True) if high > low
        ]
        for index, (low, high) in enumerate(spans):
            name = f"unmeasured_{index}"
            corners = ([low, high, high, low], [0.0, 0.0, top, top])
            self.scene.put(**{name: area("glide", *corners, role="muted", hatch=False)})
        if spans:
            low, high = max(spans, key=lambda span: span[1] - span[0])
            text = say("airplane_card.picture.unmeasured")
            self.scene.put(
                unmeasured_text=label(
                    "glide", (low + high) / 2.0, 0.04 * top, text, role="muted", anchor="middle"
                )
            )

    def _curve(self, speeds, sinks, flap, role, preferences):
        text = say("airplane_card.picture.flaps_up")
        if flap > 0.0:
            text = say("airplane_card.picture.flaps", flap=show(flap, "flap_deg", preferences))
        end = np.flatnonzero(np.isfinite(sinks))[-1] if np.isfinite(sinks).any() else 0
        name = f"flap_{flap:g}".replace(".", "_")
        self.scene.put(
            **{
                name: line("glide", speeds, sinks, role=role),
                f"{name}_text": label(
                    "glide",
                    float(speeds[end]),
                    float(sinks[end]),
                    text,
                    role=role,
                    anchor="end",
                    offset=(-6.0, 4.0),
                    strong=True,
                ),
            }
        )

    def _points(self, given, preferences):
        for index, (ratio, cas, sink) in enumerate(given):
            text = say("airplane_card.picture.handbook", ratio=show(ratio, "ratio", preferences))
            self.scene.put(
                **{
                    f"handbook_{index}": points("glide", cas, sink, role="ink", mark="diamond"),
                    f"handbook_{index}_text": label(
                        "glide", cas, sink, text, anchor="middle", offset=(0.0, -12.0)
                    ),
                }
            )

    def _stall(self, airplane, mass):
        stall = airplane.stall_cas(0.0, mass)
        if stall is not None:
            text = say("airplane_card.picture.stall")
            self.scene.put(
                stall=vertical("glide", stall, role="limit"),
                stall_text=label("glide", stall, 0.0, text, role="limit", offset=(5.0, 16.0)),
            )

    def _sentence(self, airplane, mass, preferences):
        flap = airplane.card.value("glide.flap") or 0.0
        propeller = airplane.fit.propeller
        cas = airplane.best_glide_cas(mass, flap, propeller)
        return say(
            "airplane_card.picture.sentence",
            speed=show(cas, "speed", preferences) + " CAS",
            mass=show(mass, "mass", preferences),
            ratio=show(airplane.best_glide_ratio(flap, propeller), "ratio", preferences),
            sink=show(
                airplane.sink_rate(cas, mass, flap, propeller), "vertical_speed", preferences
            ),
        )


def _axes(preferences, x, top):
    return SceneAxes(
        "glide",
        x=(float(x[0]), float(x[1])),
        y=(float(top), 0.0),
        x_label=say("airplane_card.picture.x", unit=unit_of("speed", preferences)),
        y_label=say("airplane_card.picture.y"),
        x_unit=from_shown(1.0, "speed", preferences),
        y_unit=MPS_PER_FPM,
    )


def _given_points(airplane):
    """Return ratio, CAS and sink of each glide that the card states at the same weight."""
    card = airplane.card
    flap = card.value("glide.flap") or 0.0
    figure = card.figure("glide.speed")
    found = [(glide_ratio_of(card), best_cas_of(card, figure, flap))]
    ratios, speeds = card.per_flap("flaps.glide_ratios"), card.per_flap("flaps.glide_speeds")
    for index in (-1,):
        if ratios[index] is not None and speeds[index] is not None:
            cas = best_cas_of(card, speeds[index], card.flap_deg[index])
            found.append((ratios[index].value, cas))
    return [(ratio, cas, float(sink_rate_from_ratio(cas, ratio))) for ratio, cas in found]


def _speeds(airplane, mass, given):
    stall = airplane.stall_cas(airplane.landing_flap_deg, mass)
    slowest = 0.95 * stall if stall is not None else 0.7 * given[0][1]
    return np.linspace(slowest, 1.6 * max(cas for _, cas, _ in given), POINTS)
