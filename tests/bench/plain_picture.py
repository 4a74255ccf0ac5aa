"""The approach bench as it is usually made: `interactive` and an inline picture drawn anew.

Same flights, same curves, marks and labels as the lesson's own picture, so that the two differ
only in how a moved slider becomes a picture. Used by browser.py.
"""

import ipywidgets
import matplotlib.pyplot as plt

from lessonkit.airplane import built_in_airfield, built_in_cards, fit_airplane
from lessonkit.lessons.power_off_approach.flights import MARK, Bench
from lessonkit.panels import LessonContext
from lessonkit.units import ft_from_m, nm_from_m

PICTURE_IN = (10.0, 6.2)  # as large as the lesson's at 100 dots to the inch


def show() -> ipywidgets.Widget:
    """Return the slider with its picture."""
    card = next(iter(built_in_cards().values()))
    context = LessonContext("plain", fit_airplane(card), built_in_airfield())
    bench = Bench(context)
    start = bench.start
    # matplotlib makes its list of fonts at the first picture; that is not what is measured.
    plt.close(plt.figure())

    def picture(base_turn):
        draw(bench.draft({**start, "base_turn": base_turn}), context.airfield)

    slider = ipywidgets.FloatSlider(
        value=start["base_turn"], min=0.0, max=1200.0, step=15.24, description="Base turn"
    )
    return ipywidgets.interactive(picture, base_turn=slider)


def draw(flight, airfield) -> None:
    """Draw plan, side view and touchdown with pyplot."""
    figure, (plan, side, strip) = plt.subplots(
        3, 1, figsize=PICTURE_IN, height_ratios=(2.7, 1.0, 0.4)
    )
    history, marked = flight.approach.history, flight.points
    runway = [0.0, nm_from_m(airfield.runway_length)]
    plan.plot(nm_from_m(history.x), nm_from_m(history.y))
    plan.plot(runway, [0.0, 0.0], linewidth=8)
    plan.plot([nm_from_m(p.x) for p in marked], [nm_from_m(p.y) for p in marked], "o")
    for point in marked:
        text = f"{point.key}: {ft_from_m(point.height):.0f} ft, {point.time:.0f} s"
        plan.annotate(text, (nm_from_m(point.x), nm_from_m(point.y)))
    plan.set(xlim=(-1.1, 1.1), ylim=(0.1, -0.9), ylabel="from the runway, nm")
    side.plot(nm_from_m(history.x), ft_from_m(history.height))
    side.plot([nm_from_m(p.x) for p in marked], [ft_from_m(p.height) for p in marked], "o")
    side.plot(runway, [0.0, 0.0], linewidth=8)
    side.set(xlim=(-1.1, 1.1), ylim=(0.0, 1640.0), xlabel="along the runway, nm", ylabel="ft")
    down = ft_from_m(flight.approach.touchdown.x - MARK)
    strip.plot([down - 400.0, down + 400.0], [0.35, 0.35])
    strip.plot([down], [0.35], "o")
    strip.axvspan(0.0, 200.0, alpha=0.3)
    strip.set(xlim=(-1000.0, 1500.0), ylim=(0.0, 1.0), xlabel="touchdown against the mark, ft")
    for axes in (plan, side):
        axes.grid(True)
    plt.show()
