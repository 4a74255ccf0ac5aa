"""Tells which of many approaches would have stalled, while they are flown side by side."""

from dataclasses import fields, make_dataclass

import numpy as np

from lessonkit.models.drag import lift_coefficient


class StallWatch:
    """Keeps the greatest share of the wing's lift that each of many approaches asked for.

    Looked at once in each step, above the round-out only: below it the airplane is meant to
    come near the stall. A share of 1 is the stall; the motion itself knows none.

    Parameters
    ----------
    cases : int
        How many approaches. [-]

    Attributes
    ----------
    lift_share : array
        Greatest lift coefficient over the one at the stall, shape (cases,). [-]

    Examples
    --------
    >>> import numpy as np
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_approach import fly_many
    >>> from lessonkit.models.power_off_pilot import ApproachPlan, PowerOffPilot
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, np.array([35.0, 28.0]), 33.0, 28.0,
    ...                     bank_deg=45.0)
    >>> watch = StallWatch(2)
    >>> _ = fly_many(watch.marked(plan), airplane, Wind(), pilot=watch.over(PowerOffPilot))
    >>> watch.stalled.tolist()
    [False, True]
    """

    def __init__(self, cases):
        self.cases = cases
        self.lift_share = np.zeros(cases)

    @property
    def stalled(self):
        """True for each approach that would have stalled, shape (cases,)."""
        return self.lift_share >= 1.0

    def marked(self, plan):
        """Return the plan with a number for each case, so that it is known after others landed."""
        numbered = make_dataclass(
            "Watched", [("case", float, 0.0)], bases=(type(plan),), frozen=True
        )
        held = {field.name: getattr(plan, field.name) for field in fields(plan)}
        return numbered(**held, case=np.arange(self.cases, dtype=float))

    def over(self, pilot):
        """Return a class of pilot that flies like `pilot` and is watched."""
        watch = self

        class Watched(pilot):
            """Looks at the lift of the first state it is asked about, the one of the step."""

            looked = False

            def __call__(self, state, flow):
                controls = super().__call__(state, flow)
                if not self.looked:
                    self.looked = True
                    watch.look(self.plan, self.parameters, state, flow, controls.load_factor)
                return controls

        return Watched

    def look(self, plan, parameters, state, flow, load_factor):
        """Note the lift that the pilot asks for at a state, in SI."""
        lift = lift_coefficient(
            load_factor,
            parameters.weight,
            flow.density,
            state.true_airspeed,
            parameters.wing_area,
        )
        most = np.interp(state.flap_deg, parameters.flap_deg, parameters.cl_max)
        high = state.height > plan.round_out_height
        case = plan.case[high].astype(int)
        self.lift_share[case] = np.maximum(self.lift_share[case], (lift / most)[high])
