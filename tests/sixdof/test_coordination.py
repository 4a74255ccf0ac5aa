"""Rolls of the 6-DoF reference airplane against the kit's: which way, and more when slow."""

import math

import numpy as np
import pytest

from lessonkit.models.lateral_airplane import scaled
from lessonkit.models.lateral_demand import rudder_per_aileron
from lessonkit.models.lateral_run import lateral_run
from lessonkit.models.lateral_sets import SETS
from lessonkit.models.parameters import Parameters
from lessonkit.models.slip import FULL_RUDDER_SIDESLIP_DEG
from lessonkit.units import m2_from_ft2, m_from_ft, mps_from_kt
from sixdof.autopilot import RIGHT_RUDDER, Autopilot, Wanted
from sixdof.measures import TEST_HEIGHT
from sixdof.reference import MASS, SPAN_FT, STEP, WING_AREA_FT2, Look

pytestmark = pytest.mark.sixdof

SPEEDS_KT = (57.0, 64.0, 72.0, 85.0, 100.0)
SETTLED, BANKED = 12.0, 16.0  # s: speed and propeller steady; then steady in a left bank
LEFT_BANK = math.radians(-25.0)
AILERON = 0.5
DENSITY = 1.02  # kg/m3, about 6,000 ft: 3,000 ft above a field at 3,000 ft
FEET_SLOW, FEET_QUICK = 10.0, 2.5  # per rad of sideslip and rad/s of its rate


class RollPilot(Autopilot):
    """Holds a left bank, then half right aileron; feet keep the sideslip at zero or stay still."""

    def __init__(self, sticks, begin, feet):
        super().__init__(sticks)
        self.begin, self.feet = begin, feet
        self.still = self.before = None

    def _aileron(self, wanted, seen):
        if seen.time < self.begin:
            return super()._aileron(wanted, seen)
        self.aileron_now = AILERON
        return AILERON

    def _rudder(self, wanted, seen):
        clean = super()._rudder(wanted, seen)
        slipping = self._slipping(seen)
        if seen.time < self.begin:
            self.still = clean
        elif self.feet:  # quicker feet than the autopilot's: a roll is over in two seconds
            more = RIGHT_RUDDER * (FEET_SLOW * seen.beta + FEET_QUICK * slipping)
            self.still = min(max(clean + more, -1.0), 1.0)
        return self.still

    def _slipping(self, seen):
        """Rate of the sideslip, from the last look."""
        before, self.before = self.before, seen.beta
        return 0.0 if before is None else (seen.beta - before) / STEP


def roll(airplane, cas_kt, feet):
    """Looks and rudder (share of full travel, + right) from the moment the aileron goes in."""
    eas = mps_from_kt(cas_kt)
    begin = BANKED if feet else SETTLED
    airplane.start(eas=eas, height=TEST_HEIGHT)
    pilot, looks, rudder = RollPilot(airplane.sticks, begin, feet), [], []
    most = math.radians(25.0)
    while airplane.last.time < begin + 4.0 and airplane.last.bank < most:
        seen = airplane.last
        bank = LEFT_BANK * min(max(seen.time - SETTLED, 0.0) / 2.0, 1.0) if feet else 0.0
        wanted = Wanted(airspeed=eas * seen.airspeed / seen.eas, bank=bank)
        sticks = pilot.sticks(wanted, seen)
        if seen.time >= begin:
            looks.append(seen)
            rudder.append(RIGHT_RUDDER * sticks.rudder)
        airplane.step(sticks)
    return Look(*np.array(looks).T), np.array(rudder)


def _nose(look):
    """Where the nose points, from the start of the roll on: left of the path by the sideslip."""
    nose = look.heading - look.beta
    return nose - nose[0]


@pytest.fixture(scope="module")
def flown(airplane):
    """Arrays over speeds: rudder per aileron at wings level, and what still feet give."""
    rows = []
    for kt in SPEEDS_KT:
        clean, rudder = roll(airplane, kt, feet=True)
        level = int(np.argmax(clean.bank > 0.0))
        # what the feet had not yet taken out counts as pedal: full pedal holds about 12 deg
        left_over = math.degrees(clean.beta[level])
        still, _ = roll(airplane, kt, feet=False)
        rows.append(
            {
                "demand": (rudder[level] + left_over / FULL_RUDDER_SIDESLIP_DEG) / AILERON,
                "left_over": left_over,
                "roll_rate": clean.p[level],
                "sideslip": math.degrees(still.beta.max()),
                "per_rate": still.beta.max() / still.p.max(),
                "swing": math.degrees(_nose(still).min()),
                "wrong_way": math.degrees(still.beta.min()),
                "tas": clean.airspeed[level],
                "speed_kept": clean.eas[level] / mps_from_kt(kt),
            }
        )
    return {name: np.array([row[name] for row in rows]) for name in rows[0]}


@pytest.fixture(scope="module")
def kit():
    """The kit's airplane of the same size and mass, without a propeller as at idle."""
    size = m2_from_ft2(WING_AREA_FT2), m_from_ft(SPAN_FT)
    return scaled(SETS["B"], Parameters(MASS, *size, 2.0, (0.0,), (0.037,), (0.72,), (1.5,)))


def kit_runs(kit, speeds):
    aileron = np.minimum(np.arange(150) * 0.05, AILERON)
    return [lateral_run(kit, aileron, 0.0, float(tas), DENSITY) for tas in speeds]


def test_the_reference_was_flown_as_meant(flown):
    """Speed held, right roll, sideslip small where it was to be small: the rudder sign is right."""
    np.testing.assert_allclose(flown["speed_kept"], 1.0, atol=0.01)
    assert np.all(np.abs(flown["left_over"]) < 1.5) and np.all(flown["roll_rate"] > 0.1)


def test_both_need_right_rudder_for_right_aileron_and_more_when_slow(flown, kit):
    """Monotonic, and 1.7 to 3.5 times as much at 57 as at 100 kt; slower it stalls in the bank."""
    for demand in (flown["demand"], rudder_per_aileron(kit, flown["tas"], DENSITY)):
        assert np.all(demand > 0.0) and np.all(np.diff(demand) < 0.0)
        assert 1.7 <= demand[0] / demand[-1] <= 3.5


def test_the_kits_demand_is_of_the_references_size(flown, kit):
    """Both in shares of full travel; airplanes differ by far more than this."""
    ratio = rudder_per_aileron(kit, flown["tas"], DENSITY) / flown["demand"]
    assert np.all((ratio > 0.6) & (ratio < 1.6))


def test_feet_still_both_slip_toward_the_falling_wing_and_more_when_slow(flown, kit):
    """Sideslip per roll rate grows 2.5 to 6 times; wind from the right in a roll to the right."""
    runs = kit_runs(kit, flown["tas"])
    mine = np.array([run.sideslip_deg.max() / run.roll_rate_deg.max() for run in runs])
    for per_rate in (flown["per_rate"], mine):
        assert np.all(per_rate > 0.0) and np.all(np.diff(per_rate) < 0.0)
        assert 2.5 < per_rate[0] / per_rate[-1] < 6.0
    assert np.all((mine / flown["per_rate"] > 0.6) & (mine / flown["per_rate"] < 1.7))
    assert np.all(flown["wrong_way"] > -1.0)  # no proverse yaw to speak of


def test_the_nose_swings_away_from_the_roll_in_both_and_more_when_slow(flown, kit):
    """Half aileron, feet still: within a third of each other; 1.4 to 2.5 times as far at 57 kt."""
    mine = np.array([run.heading_deg.min() for run in kit_runs(kit, flown["tas"])])
    for swing in (flown["swing"], mine):
        assert np.all(swing < 0.0) and np.all(np.diff(swing) > 0.0)
        assert 1.4 < swing[0] / swing[-1] < 2.5
    np.testing.assert_allclose(mine / flown["swing"], 1.0, atol=1.0 / 3.0)
