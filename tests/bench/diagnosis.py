"""How well the feet of synthetic pilots are diagnosed, and whether the advice helps them.

python tests/bench/diagnosis.py [--quick]

Prints the confusion table of pilots with one fault each (late 0.1 to 0.8 s, early, 0.3 to 2 times
the rudder needed, one foot weak, hunting at 0.3 to 1 Hz, feet still, none), all with a tremor of
2 to 5 % of travel, in three airplanes at two speeds, first by the feet alone and then through the
motion of the airplane with its limits of pedal travel and rate, and those of pilots who hold the
nose straight while the power changes. Then the points of pilots with up
to three faults before and after seven runs in which they followed the advice.
"""

import argparse
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests/drills")]

from pilot_bench import confusion, followed, straight_confusion  # noqa: E402

SEED = 11


def diagnosis_tables(quick=False):
    """Return three confusions (feet alone, through the motion, nose held straight) and the help."""
    by_feet = confusion(168 if quick else 1008, SEED)
    by_motion = confusion(42 if quick else 168, SEED + 1, through_motion=True)
    straight = straight_confusion(72 if quick else 504, SEED + 2)
    helped = followed(6 if quick else 50, SEED + 3)
    return by_feet, by_motion, straight, helped


def main():
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="fewer pilots, for a first look")
    options = parser.parse_args()
    start = time.process_time()
    by_feet, by_motion, straight, helped = diagnosis_tables(options.quick)
    print(f"the feet alone: {by_feet.right:.1%} of the kinds right\n{by_feet.text}\n")
    print(f"through the motion: {by_motion.right:.1%} of the kinds right\n{by_motion.text}\n")
    print(f"nose held straight: {straight.right:.1%} of the kinds right\n{straight.text}\n")
    print(f"following the advice\n{helped.text}")
    print(f"{time.process_time() - start:.0f} s of processor time")


if __name__ == "__main__":
    main()
