"""Airplanes for the tests of roll and yaw: the two sets on a light trainer, without a propeller."""

from lessonkit.models.lateral_airplane import scaled
from lessonkit.models.lateral_sets import SETS
from lessonkit.models.propeller_yaw import propeller_yaw
from lessonkit.units import mps_from_kt, w_from_hp

from .approach_cases import TRAINER

LEFT_ALONE = {key: scaled(SETS[key], TRAINER) for key in ("B", "C")}
PULLED = scaled(
    SETS["B"],
    TRAINER,
    propeller=propeller_yaw(w_from_hp(160.0), 1.9, 2690.0, TRAINER.wing_area, TRAINER.span, 0.0645),
)
SLOW, FAST = mps_from_kt(55.0), mps_from_kt(100.0)
SPEEDS = tuple(mps_from_kt(kt) for kt in (55.0, 68.0, 82.0, 100.0))
