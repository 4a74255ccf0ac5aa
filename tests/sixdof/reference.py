"""The reference airplane of the 6-DoF tests, as something that can be set up and stepped.

See README.md in this folder. SI units and radians; axes and signs are those of
`lessonkit.models.point_mass`: x along the landing direction (here north), y to the right of it,
height above the runway, bank positive right wing down, path angle positive up, both of the motion
through the air. Speeds are true airspeeds unless the name says equivalent (eas).
"""

import math
from typing import NamedTuple

from lessonkit.models.numeric import SCALAR
from lessonkit.models.wind_profile import Wind, wind_growth
from lessonkit.units import ft_from_m, kg_from_lb, kt_from_mps, lb_from_kg, m_from_ft

MODEL = "c172p"
MASS = kg_from_lb(2400.0)
WING_AREA_FT2, SPAN_FT = 174.0, 35.8  # of the file: what a handbook prints
FULL_FLAP_DEG = 30.0
ELEVATION = m_from_ft(3000.0)
STEP = 1.0 / 60.0  # s; half of it changes no figure here by more than 0.1 %
STILL_AIR = Wind(exponent=0.0, elevation=ELEVATION)

# What the file already carries: empty weight, pilot and fuel, as weight [lb] and arm [in]. The
# rest of the weight goes where the centre of gravity comes to `CENTRE_OF_GRAVITY`: at 2,400 lb
# the two rear seats. Of the loadings tried this one comes nearest to the glides that the kit's
# rules quote (9.6 : 1 clean at 70 kt); 2 in further forward the ratio is 3 to 4 % less.
FILE_LOADS = ((1500.0, 41.0), (180.0, 36.0), (200.0, 56.0))
CENTRE_OF_GRAVITY = 48.16  # in
CABIN = 2  # number of the load that is set
WIND_GROWS = 8.0  # s, from still air to the wind of the test
WHEELS_BELOW = m_from_ft(52.0 / 12.0)  # of the point whose height the simulation gives

READ = {
    "airspeed_fps": "velocities/vt-fps",
    "alpha": "aero/alpha-rad",
    "beta": "aero/beta-rad",
    "roll": "attitude/phi-rad",
    "pitch": "attitude/theta-rad",
    "p": "velocities/p-rad_sec",
    "q": "velocities/q-rad_sec",
    "r": "velocities/r-rad_sec",
    "north_fps": "velocities/v-north-fps",
    "east_fps": "velocities/v-east-fps",
    "down_fps": "velocities/v-down-fps",
    "x_lbf": "forces/fbx-total-lbs",
    "y_lbf": "forces/fby-total-lbs",
    "z_lbf": "forces/fbz-total-lbs",
    "weight_lb": "inertia/weight-lbs",
    "height_ft": "position/h-agl-ft",
    "density": "atmosphere/rho-slugs_ft3",
    "sea_level_density": "atmosphere/rho-sl-slugs_ft3",
    "flap_deg": "fcs/flap-pos-deg",
}
WRITE = {
    "aileron": "fcs/aileron-cmd-norm",
    "elevator": "fcs/elevator-cmd-norm",
    "rudder": "fcs/rudder-cmd-norm",
    "flap": "fcs/flap-cmd-norm",
    "wind_north_fps": "atmosphere/wind-north-fps",
    "wind_east_fps": "atmosphere/wind-east-fps",
}


class Look(NamedTuple):
    """What is measured at one moment. [SI, rad; flap angle in deg]

    Path angle, heading and bank are those of the motion through the air. `load_factor` is lift
    over weight, `along` the force along the path over weight (minus the drag of the airplane and
    its idling propeller), `side` the side force to the right over weight.
    """

    time: float
    x: float
    y: float
    height: float
    airspeed: float
    eas: float
    path_angle: float
    heading: float
    bank: float
    alpha: float
    beta: float
    p: float
    q: float
    r: float
    load_factor: float
    along: float
    side: float
    flap_deg: float
    x_rate: float
    y_rate: float
    climb: float


Reading = NamedTuple("Reading", [(name, float) for name in READ])


class Sticks(NamedTuple):
    """Where the controls stand, -1 to 1 as the file takes them; the flap lever in deg."""

    aileron: float
    elevator: float
    rudder: float
    flap_deg: float


class ReferenceAirplane:
    """The simulation with one loading, at idle."""

    def __init__(self, folder, mass=MASS):
        import jsbsim

        self.simulation = jsbsim.FGFDMExec(None)
        self.simulation.set_debug_level(0)
        self.simulation.set_output_path(str(folder))  # a file may write a table when it runs
        if not self.simulation.load_model(MODEL):
            raise RuntimeError(f"{MODEL} could not be loaded")
        self.simulation.set_dt(STEP)
        total = lb_from_kg(mass)
        load = total - sum(weight for weight, _ in FILE_LOADS)
        moment = CENTRE_OF_GRAVITY * total - sum(weight * arm for weight, arm in FILE_LOADS)
        self[f"inertia/pointmass-weight-lbs[{CABIN}]"] = load
        self[f"inertia/pointmass-location-X-inches[{CABIN}]"] = moment / load
        self[f"inertia/pointmass-location-Y-inches[{CABIN}]"] = 0.0
        manager = self.simulation.get_property_manager()
        self._read = [manager.get_node(path) for path in READ.values()]
        self._write = {name: manager.get_node(path) for name, path in WRITE.items()}
        if any(node is None for node in [*self._read, *self._write.values()]):
            raise RuntimeError("a property of the simulation was not found")

    def __getitem__(self, path):
        return self.simulation[path]

    def __setitem__(self, path, value):
        self.simulation[path] = value

    def start(self, eas, height, flap_deg=0.0, wind=STILL_AIR, heading=0.0):
        """Begin in level, trimmed flight and close the throttle.

        The propeller takes some ten seconds from there to its idle speed; in that time the wind
        grows from still air, in which the start is trimmed.
        """
        self.wind, self.time, self.x, self.y = wind, 0.0, 0.0, 0.0
        self.wind_share = 0.0
        self._place(eas, height, flap_deg, heading)
        self._wind_x = self._wind_y = 0.0
        self["simulation/do_simple_trim"] = 0
        self["fcs/throttle-cmd-norm"] = 0.0
        trim, self["fcs/pitch-trim-cmd-norm"] = self["fcs/pitch-trim-cmd-norm"], 0.0
        self.sticks = Sticks(0.0, trim, 0.0, flap_deg)
        self.last = self.look()

    def _place(self, eas, height, flap_deg, heading):
        self.simulation.reset_to_initial_conditions(0)
        self["atmosphere/wind-north-fps"] = self["atmosphere/wind-east-fps"] = 0.0
        self["ic/terrain-elevation-ft"] = ft_from_m(ELEVATION)
        self["ic/h-agl-ft"] = ft_from_m(height + WHEELS_BELOW)
        self["ic/psi-true-deg"] = math.degrees(heading)
        self["ic/phi-deg"] = 0.0
        self["ic/ve-kts"] = kt_from_mps(eas)
        self["ic/gamma-deg"] = 0.0
        self["ic/alpha-rad"] = 0.0
        self["fcs/flap-cmd-norm"] = self["fcs/flap-pos-norm"] = flap_deg / FULL_FLAP_DEG
        self["fcs/flap-pos-deg"] = flap_deg
        self["fcs/mixture-cmd-norm"] = 1.0
        self["fcs/throttle-cmd-norm"] = 0.6
        self["propulsion/set-running"] = -1
        if not self.simulation.run_ic():
            raise RuntimeError("the start was refused")
        self["propulsion/fuel_freeze"] = 1

    def _blow(self):
        self.wind_share = min(self.wind_share + STEP / WIND_GROWS, 1.0)
        factor = float(wind_growth(self.last.height, self.wind.exponent, SCALAR)[0])
        factor *= self.wind_share
        self._wind_x, self._wind_y = factor * self.wind.along, factor * self.wind.across
        self._write["wind_north_fps"].set_double_value(ft_from_m(self._wind_x))
        self._write["wind_east_fps"].set_double_value(ft_from_m(self._wind_y))

    def step(self, sticks):
        """Hold the controls for one step and look again."""
        self.sticks, write = sticks, self._write
        write["aileron"].set_double_value(sticks.aileron)
        write["elevator"].set_double_value(sticks.elevator)
        write["rudder"].set_double_value(sticks.rudder)
        write["flap"].set_double_value(sticks.flap_deg / FULL_FLAP_DEG)
        before = self.last
        self._blow()
        self.simulation.run()
        self.time += STEP
        after = self.look()
        self.x += 0.5 * STEP * (before.x_rate + after.x_rate)
        self.y += 0.5 * STEP * (before.y_rate + after.y_rate)
        self.last = after._replace(x=self.x, y=self.y)
        return self.last

    def look(self):
        """Read what an instrumented airplane would show."""
        a = Reading(*(node.get_double_value() for node in self._read))
        sin_alpha, cos_alpha = math.sin(a.alpha), math.cos(a.alpha)
        sin_beta, cos_beta = math.sin(a.beta), math.cos(a.beta)
        # Axes of the motion through the air, in the airplane's own axes: ahead, right, below.
        ahead = cos_alpha * cos_beta, sin_beta, sin_alpha * cos_beta
        right = -cos_alpha * sin_beta, cos_beta, -sin_alpha * sin_beta
        below = -sin_alpha, 0.0, cos_alpha
        gravity = (
            -math.sin(a.pitch),
            math.cos(a.pitch) * math.sin(a.roll),
            math.cos(a.pitch) * math.cos(a.roll),
        )
        force = a.x_lbf / a.weight_lb, a.y_lbf / a.weight_lb, a.z_lbf / a.weight_lb
        airspeed = m_from_ft(a.airspeed_fps)
        x_rate, y_rate = m_from_ft(a.north_fps), m_from_ft(a.east_fps)
        return Look(
            time=self.time,
            x=self.x,
            y=self.y,
            height=m_from_ft(a.height_ft) - WHEELS_BELOW,
            airspeed=airspeed,
            eas=airspeed * math.sqrt(a.density / a.sea_level_density),
            path_angle=math.asin(-_dot(gravity, ahead)),
            heading=math.atan2(y_rate - self._wind_y, x_rate - self._wind_x),
            bank=math.atan2(_dot(gravity, right), _dot(gravity, below)),
            alpha=a.alpha,
            beta=a.beta,
            p=a.p,
            q=a.q,
            r=a.r,
            load_factor=-_dot(force, below),
            along=_dot(force, ahead),
            side=_dot(force, right),
            flap_deg=a.flap_deg,
            x_rate=x_rate,
            y_rate=y_rate,
            climb=-m_from_ft(a.down_fps),
        )


def _dot(one, other):
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]
