"""Many synthetic pilots diagnosed: the confusion table, and whether the advice helps."""

from collections import Counter
from dataclasses import dataclass, field

import numpy as np
from pilot_cases import (
    AIRPLANES,
    FAULTS,
    SPEEDS_KT,
    any_pilot,
    course,
    following_advice,
    pilot_with,
    straight_demand,
)

from lessonkit.drills.diagnosis import KINDS, diagnose
from lessonkit.drills.trace import Trace
from lessonkit.models.lateral_run import STEP

RHYTHMS = 4
LAG, GAIN = 0.1, 0.15  # what is asked of the diagnosis: seconds, share


@dataclass
class Confusion:
    """What was found against what was put in."""

    pairs: Counter = field(default_factory=Counter)
    lags: list = field(default_factory=list)
    gains: list = field(default_factory=list)
    hunting: list = field(default_factory=list)
    flown: Counter = field(default_factory=Counter)

    def add(self, kind, pilot, what, place):
        """Count one pilot."""
        self.pairs[kind, what.kind] += 1
        self.flown[place] += 1
        if what.lag_s is not None:
            self.lags.append(abs(what.lag_s - pilot.late_s))
        for found, side in ((what.gain_left, "left_gain"), (what.gain_right, "right_gain")):
            if found is not None:
                self.gains.append(abs(found - pilot.gain * getattr(pilot, side)))
        if kind == "hunting" and what.hunting_hz is not None:
            self.hunting.append(abs(what.hunting_hz - pilot.hunting_hz))

    @property
    def right(self):
        """Share of kinds that were right."""
        same = sum(count for (kind, said), count in self.pairs.items() if kind == said)
        return same / sum(self.pairs.values())

    @property
    def lag_within(self):
        """Share of lags within 0.1 s, of those that were told."""
        return float(np.mean(np.array(self.lags) < LAG))

    @property
    def gain_within(self):
        """Share of gains by side within 0.15."""
        return float(np.mean(np.array(self.gains) < GAIN))

    @property
    def text(self):
        """The table: a line for each kind that was put in."""
        columns = [kind for kind in KINDS if any(said == kind for _, said in self.pairs)]
        lines = ["put in \\ found  " + " ".join(f"{kind:>11}" for kind in columns) + "   right"]
        for kind in KINDS:
            row = {said: self.pairs[kind, said] for said in columns}
            if total := sum(row.values()):
                counts = " ".join(f"{row[said] or '.':>11}" for said in columns)
                lines.append(f"{kind:15} {counts}   {row.get(kind, 0) / total:.0%} of {total}")
        for name, errors, unit in (
            ("lag", self.lags, "s"),
            ("gain by side", self.gains, ""),
            ("hunting", self.hunting, "Hz"),
        ):
            middle, most, all_of_them = np.percentile(errors, [50, 95, 100])
            lines.append(
                f"error of {name}: median {middle:.3f}, 95 % {most:.3f}, "
                f"greatest {all_of_them:.3f} {unit}".rstrip()
            )
        return "\n".join(lines)


def confusion(count, seed, through_motion=False):
    """Diagnose pilots with single faults, in each airplane at each speed in turn.

    Parameters
    ----------
    count : int
        Pilots.
    seed : int
        Of the draw; each pilot has a tremor of its own.
    through_motion : bool
        Fly the feet through airplane and pedal limits, or judge them as they are.
    """
    draw, table = np.random.default_rng(seed), Confusion()
    places = [(key, kt) for key in AIRPLANES for kt in SPEEDS_KT]
    for turn in range(count):
        place = places[turn // len(FAULTS) % len(places)]
        here = course(*place, int(draw.integers(RHYTHMS)))
        kind, pilot = pilot_with(FAULTS[turn % len(FAULTS)], draw, here.needed)
        feet = pilot.rudder(here.needed, STEP, here.bank_deg)
        if through_motion:
            trace = here.fly(feet)
        else:
            columns = {"time": here.coordinated.time, "bank_deg": here.coordinated.bank_deg}
            trace = Trace.from_arrays({**columns, "rudder": feet})
        table.add(kind, pilot, diagnose(trace, here.needed), place)
    return table


def straight_confusion(count, seed):
    """The same for the nose held straight while the power changes; one foot does nearly all.

    Parameters
    ----------
    count : int
        Pilots.
    seed : int
        Of the draw.
    """
    draw, table = np.random.default_rng(seed), Confusion()
    faults = [fault for fault in FAULTS if fault not in ("one_sided", "held_in")]
    places = [(key, kt) for key in AIRPLANES for kt in SPEEDS_KT]
    for turn in range(count):
        place = places[turn // len(faults) % len(places)]
        needed = straight_demand(*place, int(draw.integers(RHYTHMS)))
        kind, pilot = pilot_with(faults[turn % len(faults)], draw, needed)
        feet = pilot.rudder(needed, STEP)
        trace = Trace.from_arrays({"time": np.arange(feet.size) * STEP, "rudder": feet})
        table.add(kind, pilot, diagnose(trace, needed), place)
    return table


@dataclass
class Followed:
    """Points before and after following the advice, of many pilots."""

    pairs: list  # (before, after), same rhythm and same tremor
    as_flown: list  # (before, after), as flown one after another: luck is in it

    def gains(self, pairs):
        """Changes of the starts below 90 points, and of the others."""
        low = sorted(after - before for before, after in pairs if before < 90.0)
        high = sorted(after - before for before, after in pairs if before >= 90.0)
        return low, high

    @property
    def text(self):
        """What happened, in two lines."""
        lines = []
        for name, pairs in (("same rhythm", self.pairs), ("as flown", self.as_flown)):
            low, high = self.gains(pairs)
            better = sum(change > 0.0 for change in low)
            lines.append(
                f"{name}: {better} of {len(low)} starts below 90 improve (least {low[0]:+.1f}, "
                f"median {np.median(low):+.1f}); worst of {len(high)} others "
                f"{high[0] if high else 0.0:+.1f}"
            )
        return "\n".join(lines)


def followed(low_starts, seed, runs=7):
    """Let pilots with no to three faults follow the advice until enough began below 90 points."""
    draw, result, turn = np.random.default_rng(seed), Followed([], []), 0
    places = [(key, kt) for key in AIRPLANES for kt in SPEEDS_KT]
    while sum(before < 90.0 for before, _ in result.pairs) < low_starts:
        place = places[turn % len(places)]
        pilot = any_pilot(draw, float(np.std(course(*place, 0).needed)))
        flown, pair = following_advice(pilot, *place, runs, first_seed=turn, seeds=RHYTHMS)
        result.pairs.append(pair)
        result.as_flown.append((flown[0][0], flown[-1][0]))
        turn += 1
    return result
