"""From one pilot's spreads to many touchdowns, and what each spread costs.

A spread is a `Habit` whose quantity ends in "_spread" and whose value is one standard deviation.
Each try draws every quantity anew, independently and normally distributed: a pilot who is late
is not for that reason also fast. Nobody corrects on the way unless the pilot's class does.
"""

from dataclasses import dataclass, fields, replace

import numpy as np

from lessonkit.models.approach_review import touches_in_line
from lessonkit.models.power_off_approach import COARSE_STEP, fly_many
from lessonkit.models.power_off_pilot import PowerOffPilot
from lessonkit.models.stall_watch import StallWatch
from lessonkit.models.touchdown_spread_draws import NODES

# Quantities of a pilot that stand in several fields of a plan, or under another name there.
FIELDS = {
    "base_cas": ("downwind_cas", "base_cas"),
    "rpm": ("downwind_rpm", "base_rpm", "final_rpm"),
    "aim": ("aim_x",),
}
BANK_DEG = (10.0, 55.0)  # whatever the spread, nobody banks less or more
EIGHT_OF_TEN, NINE_OF_TEN = (10.0, 90.0), (5.0, 95.0)  # percentiles


@dataclass(frozen=True)
class Tries:
    """Touchdowns of many tries, arrays of one length.

    Parameters
    ----------
    x : array
        Touchdown, from the threshold; NaN for a try that never came down. [m]
    in_line : array of bool
        Wheels on the runway's strip, wings level, about along it. [-]
    stalled : array of bool
        The try would have stalled above the round-out; all False where that was not asked. [-]
    """

    x: np.ndarray
    in_line: np.ndarray
    stalled: np.ndarray

    @property
    def good(self):
        """Tries whose touchdown counts: in line and not stalled."""
        return self.in_line & ~self.stalled & np.isfinite(self.x)


@dataclass(frozen=True)
class TouchdownSpread:
    """Where the touchdowns of many tries lie.

    Parameters
    ----------
    tries : int
        All of them. [-]
    inside, short, long : float
        Shares of all tries that touch within the window, before it and beyond it. [-]
    out_of_line, stalled : float
        Shares that meet the ground elsewhere or in a turn, and that stall. [-]
    median : float
        Of the tries that count, from the mark. [m]
    eight_of_ten, nine_of_ten : pair of float
        Ends of the range that holds as many of the tries that count, from the mark. [m]
    """

    tries: int
    inside: float
    short: float
    long: float
    out_of_line: float
    stalled: float
    median: float
    eight_of_ten: tuple[float, float]
    nine_of_ten: tuple[float, float]


def scattered(plan, wind, habits, scores):
    """Return a plan and an air as arrays of tries of one pilot.

    Parameters
    ----------
    plan : ApproachPlan
        What the pilot means to do; plain numbers. [SI]
    wind : Wind
        The air as expected. [SI]
    habits : sequence of Habit
        Spreads of fields of the plan, "base_cas_spread" for the glide speed on downwind and base
        together, "rpm_spread" for all legs together, "aim_spread" for the aiming point, and
        "headwind_spread" for the air. What a plan does not have is passed over. [SI]
    scores : array
        As from `touchdown_spread_draws.normal_scores`, shape (habits, tries). [standard deviations]

    Returns
    -------
    plan : ApproachPlan
        With arrays over tries. [SI]
    wind : Wind
        With its part along the runway as an array. [m/s]

    References
    ----------
    .. [1] One standard deviation times the score, added to what is meant.

    Examples
    --------
    >>> import numpy as np
    >>> from lessonkit.models.habits import ASSUMED, Habit
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> timing = Habit("base_turn_delay_spread", 1.5, 0.5, 4.0, ASSUMED)
    >>> tries, _ = scattered(plan, Wind(), [timing], np.array([[-2.0, 0.0, 2.0]]))
    >>> tries.base_turn_delay.tolist()
    [-3.0, 0.0, 3.0]
    """
    changed, along = {}, np.full(scores.shape[1], float(wind.along))
    for habit, score in zip(habits, scores, strict=True):
        name, off = habit.quantity.removesuffix("_spread"), habit.value * score
        if name == "headwind":
            along = along - off
            continue
        for field in FIELDS.get(name, (name,)):
            meant = getattr(plan, field, None)
            if meant is not None and not (name == "rpm" and meant <= 0.0):
                changed[field] = meant + off
    if "bank_deg" in changed:
        changed["bank_deg"] = np.clip(changed["bank_deg"], *BANK_DEG)
    return replace(plan, **changed), replace(wind, along=along)


def fly_tries(
    plan,
    parameters,
    wind,
    half_width,
    coarse_step=COARSE_STEP,
    pilot=PowerOffPilot,
    watch_stall=True,
):
    """Fly many tries and tell which of them count.

    Parameters
    ----------
    plan : ApproachPlan
        Arrays over tries, as from `scattered`. [SI]
    parameters : Parameters
        The airplane. [SI]
    wind : Wind
        The air; its part along the runway is an array over tries. [SI]
    half_width : float
        Half of the runway's width. [m]
    coarse_step : float
        As in `fly_many`. [s]
    pilot : callable
        As in `fly_many`. [-]
    watch_stall : bool
        False where the airplane's stall speed may not be stated. [-]

    Returns
    -------
    Tries
        Arrays over tries. [m, -]

    References
    ----------
    .. [1] As `power_off_approach.fly_many`.

    Examples
    --------
    >>> import numpy as np
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> tries = fly_tries(plan, airplane, Wind(along=np.array([-2.0, 0.0])), 9.0)
    >>> tries.good.tolist(), bool(tries.x[0] < tries.x[1])
    ([True, True], True)
    """
    watch = StallWatch(np.size(wind.along))
    if watch_stall:
        plan, pilot = watch.marked(plan), watch.over(pilot)
    down = fly_many(plan, parameters, wind, coarse_step, pilot)
    return Tries(down.x, touches_in_line(down, half_width), watch.stalled)


def summary(tries, mark_x, window):
    """Sum up where the touchdowns lie.

    Parameters
    ----------
    tries : Tries
        At least one. [m]
    mark_x : float
        The mark, from the threshold. [m]
    window : pair of float
        Nearest and farthest place within, from the mark. [m]

    Returns
    -------
    TouchdownSpread
        Places from the mark; shares of all tries. [m, -]

    References
    ----------
    .. [1] Counting and percentiles.

    Examples
    --------
    >>> import numpy as np
    >>> yes = np.ones(4, dtype=bool)
    >>> found = summary(Tries(np.array([90.0, 130.0, 150.0, 200.0]), yes, ~yes), 100.0, (0.0, 60.0))
    >>> found.inside, found.short, found.long, found.median
    (0.5, 0.25, 0.25, 40.0)
    """
    good, all_of_them = tries.good, tries.x.size
    beyond = tries.x[good] - mark_x
    low, high = window

    def share(chosen):
        return float(np.count_nonzero(chosen)) / all_of_them

    def ends(percentiles):
        if not beyond.size:
            return np.nan, np.nan
        return tuple(float(end) for end in np.percentile(beyond, percentiles))

    return TouchdownSpread(
        tries=all_of_them,
        inside=share((beyond >= low) & (beyond <= high)),
        short=share(beyond < low),
        long=share(beyond > high),
        out_of_line=share(~good & ~tries.stalled),
        stalled=share(tries.stalled),
        median=float(np.median(beyond)) if beyond.size else np.nan,
        eight_of_ten=ends(EIGHT_OF_TEN),
        nine_of_ten=ends(NINE_OF_TEN),
    )


def costs(tries, habits, nodes=NODES):
    """Length of runway that each habit's spread alone covers eight times out of ten.

    Assumes that the touchdown moves one way as the habit grows, or that its turning point is
    well seen by the few tries.

    Parameters
    ----------
    tries : Tries
        Flown with the scores of `touchdown_spread_draws.one_at_a_time`. [m]
    habits : int
        How many. [-]
    nodes : int
        Tries for each. [-]

    Returns
    -------
    array
        One length for each habit, shape (habits,); NaN where fewer than half of its tries count.
        [m]

    Notes
    -----
    The tries stand for equally likely parts: the share below the i-th of n is (i + 1/2) / n, and
    the ends at 10 and 90 % lie between two tries.

    References
    ----------
    .. [1] Percentiles with the plotting position (i + 1/2) / n (Hazen; from memory).

    Examples
    --------
    >>> import numpy as np
    >>> from lessonkit.models.touchdown_spread_draws import one_at_a_time
    >>> yes = np.ones(15, dtype=bool)
    >>> place = 100.0 * one_at_a_time(1)[0]  # one standard deviation moves it 100 m
    >>> round(float(costs(Tries(place, yes, ~yes), 1)[0]))  # 2 x 1.2816 x 100 m
    256
    """
    found = []
    for x, good in zip(
        tries.x.reshape(habits, nodes), tries.good.reshape(habits, nodes), strict=True
    ):
        place = np.sort(x[good])
        if place.size <= nodes // 2:
            found.append(np.nan)
            continue
        at = (np.arange(place.size) + 0.5) / place.size
        low, high = np.interp(np.array(EIGHT_OF_TEN) / 100.0, at, place)
        found.append(high - low)
    return np.array(found)


def side_by_side(first, second):
    """Join two plans, or two airs, into one of all their tries.

    Parameters
    ----------
    first, second : ApproachPlan or Wind
        Of one class, each with arrays over its tries. [SI]

    Returns
    -------
    ApproachPlan or Wind
        The tries of `first`, then those of `second`; a number that is the same in all stays one.
        [SI]

    References
    ----------
    .. [1] Bookkeeping; nothing to cite.

    Examples
    --------
    >>> import numpy as np
    >>> from lessonkit.models.wind_profile import Wind
    >>> both = side_by_side(Wind(along=np.array([-1.0, -2.0])), Wind(along=np.array([0.0])))
    >>> both.along.tolist(), both.across
    ([-1.0, -2.0, 0.0], 0.0)
    """
    sizes = [_tries_of(thing) for thing in (first, second)]
    joined = {}
    for field in fields(first):
        pair = getattr(first, field.name), getattr(second, field.name)
        if any(np.ndim(value) for value in pair) or pair[0] != pair[1]:
            joined[field.name] = np.concatenate(
                [np.broadcast_to(value, size) for value, size in zip(pair, sizes, strict=True)]
            )
    return replace(first, **joined)


def _tries_of(thing):
    return max(np.size(getattr(thing, field.name)) for field in fields(thing))
