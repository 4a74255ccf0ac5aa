"""Airplanes and ways of checking that several tests of the models share."""

import math

from hypothesis import settings
from hypothesis import strategies as st

from lessonkit.units import STANDARD_GRAVITY, kg_from_lb, m2_from_ft2

SEA_LEVEL = 1.225
quick = settings(max_examples=40, deadline=None, derandomize=True)

# The light trainer of a published glide example (inputs read in a public copy).
TRAINER = {
    "mass": kg_from_lb(2400.0),
    "wing_area": m2_from_ft2(174.0),
    "aspect_ratio": 7.38,
    "cd0": 0.037,
    "oswald": 0.72,
}
TRAINER_CL_MAX = 1.54

airplanes = st.fixed_dictionaries(
    {
        "mass": st.floats(400.0, 1700.0),
        "wing_area": st.floats(9.0, 22.0),
        "aspect_ratio": st.floats(5.0, 11.0),
        "cd0": st.floats(0.02, 0.06),
        "oswald": st.floats(0.5, 0.95),
        "density": st.floats(0.8, 1.3),
    }
)
banks = st.floats(-80.0, 80.0)
speeds = st.floats(20.0, 80.0)


def sink_by_force_balance(airplane, tas, bank_deg):
    """Sink rate by iterating lift and path angle, without the closed form of the kit."""
    weight = airplane["mass"] * STANDARD_GRAVITY
    q_area = 0.5 * airplane["density"] * float(tas) ** 2 * airplane["wing_area"]
    induced = 1.0 / (math.pi * airplane["oswald"] * airplane["aspect_ratio"])
    gamma, bank_cosine = 0.0, math.cos(math.radians(bank_deg))
    for _ in range(60):
        cl = weight * math.cos(gamma) / bank_cosine / q_area
        cd = airplane["cd0"] + induced * cl**2
        gamma = 0.5 * (gamma + math.asin(min(cd * q_area / weight, 1.0)))
    return tas * math.sin(gamma)
