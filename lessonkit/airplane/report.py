"""What the fit gives back for each figure that went in, and for figures it did not see."""

from dataclasses import dataclass

from lessonkit.airplane.airspeed_correction import best_cas_of, cas_of
from lessonkit.airplane.card import Card, Figure
from lessonkit.airplane.fit import Fit, glide_ratio_of, model_parameters
from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.glide import best_glide_tas, maximum_lift_drag_ratio
from lessonkit.models.stall import stall_eas
from lessonkit.words import say, show

LEFT_OUT_WITHIN = 0.05  # share by which a figure the fit did not see may be missed


@dataclass(frozen=True)
class ReportRow:
    """One figure of the card against what the fitted airplane gives.

    Parameters
    ----------
    key : str
        Stable name of the row.
    label : str
        What it is.
    kind : str
        Kind of quantity of the number formatter.
    given, returned : float
        The card's figure and the model's. Speeds as CAS. [SI]
    left_out : bool
        True where the fit did not use the figure, so that the row tests it.
    """

    key: str
    label: str
    kind: str
    given: float
    returned: float
    left_out: bool = False

    @property
    def residual(self) -> float:
        """Difference as a share of the card's figure, positive when the model gives more."""
        return self.returned / self.given - 1.0

    @property
    def passed(self) -> bool:
        """True where a figure left out is met within 5 %; rows of the fit always are."""
        return not self.left_out or abs(self.residual) <= LEFT_OUT_WITHIN


@dataclass(frozen=True)
class FitReport:
    """The rows of a fit, and one sentence on how far it was tested.

    Parameters
    ----------
    rows : tuple of ReportRow
        First the figures that went in, then those left out.
    summary : str
        One sentence.
    """

    rows: tuple[ReportRow, ...]
    summary: str

    @property
    def left_out(self) -> tuple[ReportRow, ...]:
        """The rows that test the fit."""
        return tuple(row for row in self.rows if row.left_out)


def fit_report(card: Card, fit: Fit) -> FitReport:
    """Return what the fitted airplane gives for each figure of the card.

    Parameters
    ----------
    card : Card
    fit : Fit
        Of this card.

    Returns
    -------
    FitReport
    """
    rows = (*_stall_rows(card, fit), *_glide_rows(card, fit), *_left_out_rows(card, fit))
    return FitReport(rows, _summary([row for row in rows if row.left_out], card))


def _stall_rows(card, fit):
    printed = list(card.per_flap("flaps.stall_speeds"))
    printed[0], printed[-1] = card.figure("speeds.VS1"), card.figure("speeds.VS0")
    for index, figure in enumerate(printed):
        flap = card.flap_deg[index]
        cas = cas_of(card, figure, flap)
        # Without a calibrated stall speed there is nothing that could be given back.
        if cas is None:
            continue
        mass = card.mass_of(figure)
        returned = stall_eas(mass, card.value("wing.area"), fit.lift[index].cl_max, 1.0)
        label = _label("stall", card, flap)
        yield ReportRow(f"stall_{flap:g}", label, "speed", cas, float(returned))


def _label(key, card, flap, **values):
    shown = say("card.number.flaps_up")
    if flap > 0.0:
        shown = say("card.number.flaps", flap=show(flap, "flap_deg", card.preferences()))
    return say(f"card.report.{key}", flaps=shown, **values)


def _glide(card, fit, index, mass, by_rule=False):
    """Return best-glide CAS and ratio of a flap setting in the handbook's propeller state."""
    flown = model_parameters(card, fit, mass, fit.propeller, by_rule)
    polar = flown.aspect_ratio, flown.cd0[index], flown.oswald[index]
    speed = best_glide_tas(mass, flown.wing_area, *polar, SEA_LEVEL_DENSITY)
    return float(speed), float(maximum_lift_drag_ratio(*polar))


def _glide_rows(card, fit):
    flap = card.value("glide.flap") or 0.0
    figure = card.figure("glide.speed")
    mass = card.mass_of(figure)
    speed, ratio = _glide(card, fit, card.flap_deg.index(flap), mass)
    given = best_cas_of(card, figure, flap)
    yield ReportRow("glide_speed", _label("glide_speed", card, flap), "speed", given, speed)
    label = _label("glide_ratio", card, flap)
    yield ReportRow("glide_ratio", label, "ratio", glide_ratio_of(card), ratio)
    for index in range(1, len(card.flap_deg)):
        if card.flap_deg[index] != flap:
            yield from _flap_rows(card, fit, index, mass, left_out=False)


def _flap_rows(card, fit, index, mass, left_out):
    flap = card.flap_deg[index]
    ratio = card.per_flap("flaps.glide_ratios")[index]
    speed = card.per_flap("flaps.glide_speeds")[index]
    given_by_model = _glide(card, fit, index, mass, by_rule=left_out)
    mark = "_left_out" if left_out else ""
    if speed is not None and not left_out:
        label = _label("glide_speed", card, flap)
        cas = best_cas_of(card, speed, flap)
        yield ReportRow(f"glide_speed_{flap:g}{mark}", label, "speed", cas, given_by_model[0])
    if ratio is not None:
        label = _label("rule_ratio" if left_out else "glide_ratio", card, flap)
        yield ReportRow(
            f"glide_ratio_{flap:g}{mark}", label, "ratio", ratio.value, given_by_model[1], left_out
        )


def _left_out_rows(card, fit):
    """Figures the fit did not use: glide at another weight, and with flaps by the rule alone."""
    glide_flap = card.value("glide.flap") or 0.0
    weight: Figure | None = card.figure("second_glide.weight")
    if weight is not None:
        words = {"weight": show(weight.value, "mass", card.preferences())}
        speed, ratio = _glide(card, fit, card.flap_deg.index(glide_flap), weight.value)
        given = best_cas_of(card, card.figure("second_glide.speed"), glide_flap)
        if given is not None:
            label = _label("second_speed", card, glide_flap, **words)
            yield ReportRow("second_glide_speed", label, "speed", given, speed, True)
        given = card.value("second_glide.ratio")
        if given is not None:
            label = _label("second_ratio", card, glide_flap, **words)
            yield ReportRow("second_glide_ratio", label, "ratio", given, ratio, True)
    mass = card.mass_of(card.figure("glide.speed"))
    for index in range(1, len(card.flap_deg)):
        if card.flap_deg[index] != glide_flap:
            yield from _flap_rows(card, fit, index, mass, left_out=True)


def _summary(left_out, card):
    if not left_out:
        return say("card.report.untested")
    worst = max(left_out, key=lambda row: abs(row.residual))
    return say(
        "card.report.tested" if worst.passed else "card.report.missed",
        label=worst.label,
        given=_shown(card, worst, worst.given),
        returned=_shown(card, worst, worst.returned),
        share=show(abs(worst.residual), "percent", digits=1),
    )


def _shown(card, row, value):
    text = show(value, row.kind, card.preferences(), digits=1)
    return f"{text} CAS" if row.kind == "speed" else text
