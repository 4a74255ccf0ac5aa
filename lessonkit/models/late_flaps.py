"""The pilot of the power-off approach who sets the landing flaps at a height, not at the turn."""

from dataclasses import dataclass

from lessonkit.models.numeric import smooth_step
from lessonkit.models.power_off_pilot import ApproachPlan, PowerOffPilot
from lessonkit.units import m_from_ft

SETTING = m_from_ft(30.0)  # height passed while the lever is moved; common practice, no source


@dataclass(frozen=True)
class LateFlapPlan(ApproachPlan):
    """An approach whose landing flaps wait for a height; each number may be an array over cases.

    Parameters
    ----------
    flaps_by : float or array
        Height above the runway by which the lever is at the landing setting, on final; until then
        it stays where it was on base. [m]
    """

    flaps_by: float = 1.0e4


class LateFlapPilot(PowerOffPilot):
    """The pilot of the power-off approach with the landing flaps set by height."""

    def __call__(self, state, flow):
        """Return the controls at a state."""
        plan, controls = self.plan, super().__call__(state, flow)
        track, x_rate, _ = self._over_ground(state, flow)
        final = self.legs(state, track, x_rate)[1]
        low, high = plan.flaps_by, plan.flaps_by + SETTING
        waiting = smooth_step(state.height, low, high, self.functions)
        missing = (plan.final_flap_deg - plan.base_flap_deg) * final * waiting
        return controls._replace(flap_deg=controls.flap_deg - missing)
