"""Panels of the lesson on coordination; each in modules of its own."""

from lessonkit.lessons.coordination.demand_by_speed import demand_by_speed
from lessonkit.lessons.coordination.entry_figures import entry_figures
from lessonkit.lessons.coordination.power_and_rudder import power_and_rudder
from lessonkit.lessons.coordination.roll_in_bench import roll_in_bench
from lessonkit.lessons.coordination.rolls import hold_straight, rolls_by_hand
from lessonkit.lessons.coordination.slip_and_skid import slip_and_skid
from lessonkit.lessons.coordination.slips import slips

PANELS = {
    "entry_figures": entry_figures,
    "roll_in_bench": roll_in_bench,
    "demand_by_speed": demand_by_speed,
    "power_and_rudder": power_and_rudder,
    "slip_and_skid": slip_and_skid,
    "slips": slips,
    "rolls_by_hand": rolls_by_hand,
    "hold_straight": hold_straight,
}
