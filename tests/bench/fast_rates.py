"""The approach's rates of change for one case, written out by hand to be as fast as Python goes.

Only for the comparison with scipy: the kit must not look better because its rival was given a
slow right-hand side. `run.py` checks that both give the same rates.
"""

from math import asin, atan, cos, pi, radians, sin, sqrt, tan

from lessonkit.models.atmosphere import (
    DENSITY_EXPONENT,
    LAPSE_RATE,
    SEA_LEVEL_DENSITY,
    SEA_LEVEL_TEMPERATURE,
)
from lessonkit.models.ground_effect import BLEND_END, BLEND_START
from lessonkit.models.point_mass import FLAP_TIME_CONSTANT, GRAVITY
from lessonkit.models.power_off_pilot import (
    BASE_BY_TRACK,
    CENTRELINE_SOFTNESS,
    FINAL_BY_TRACK,
    FINAL_LEAD_TIME,
    FINAL_TURN_SHARE,
    HOLD_OFF_BAND,
    HOLD_OFF_SINK,
    NO_CLIMB_SOFTNESS,
    PATH_TIME_CONSTANT,
    ROLL_RATE_DEG,
    ROLL_TIME_CONSTANT,
    SPEED_CHANGE_LIMIT,
    SPEED_TIME_CONSTANT,
    STEEPEST_COS_BANK,
    TOUCHDOWN_SINK,
    TRACK_GAIN,
    TURN_START_DISTANCE,
)
from lessonkit.models.wind_profile import REFERENCE_HEIGHT, WING_ABOVE_WHEELS

NOT_A_STATE = (float("nan"),) * 8


def rates_of(plan, airplane, wind):
    """Return ``rates(t, state)`` for one case, everything constant worked out beforehand."""
    half_pi, root_half = 0.5 * pi, sqrt(0.5)
    weight, mass, area = airplane.weight, airplane.mass, airplane.wing_area
    span_inverse, wing_height = 1.0 / airplane.span, airplane.wing_height
    cd0_up, k_up, flap_steps = airplane.cd0[0], airplane.induced_factors[0], airplane.flap_steps
    along, across, exponent, elevation = wind.along, wind.across, wind.exponent, wind.elevation
    side, bank_limit = plan.side, radians(plan.bank_deg)
    arc = FINAL_TURN_SHARE * GRAVITY * tan(bank_limit)
    roll_limit = radians(ROLL_RATE_DEG)
    turn_x, turn_delay = plan.mark_x - plan.base_turn_distance, plan.base_turn_delay
    lead = FINAL_LEAD_TIME - plan.final_turn_delay
    top, soft2, no_climb2 = plan.round_out_height, CENTRELINE_SOFTNESS**2, NO_CLIMB_SOFTNESS**2
    theta_slope = LAPSE_RATE / SEA_LEVEL_TEMPERATURE
    base_start, base_width = BASE_BY_TRACK[0], BASE_BY_TRACK[1] - BASE_BY_TRACK[0]
    final_start, final_width = FINAL_BY_TRACK[0], FINAL_BY_TRACK[1] - FINAL_BY_TRACK[0]
    v1, v2, v3 = plan.downwind_cas, plan.base_cas, plan.final_cas
    f1, f2, f3 = plan.downwind_flap_deg, plan.base_flap_deg, plan.final_flap_deg
    touchdown_cas, sink_rise = plan.touchdown_cas, TOUCHDOWN_SINK - HOLD_OFF_SINK

    def step(u):
        if u <= 0.0:
            return 0.0
        if u >= 1.0:
            return 1.0
        return u * u * u * (10.0 - u * (15.0 - 6.0 * u))

    def rates(_, state):
        x, y, h, v, gamma, psi, phi, flap = state.tolist()
        sin_g, cos_g, sin_h, cos_h = sin(gamma), cos(gamma), sin(psi), cos(psi)
        sin_b, cos_b = sin(phi), cos(phi)
        above = (h if h > 0.0 else 0.0) + WING_ABOVE_WHEELS
        factor = (above / REFERENCE_HEIGHT) ** exponent
        slope = factor * exponent / above
        density = SEA_LEVEL_DENSITY * (1.0 - theta_slope * (elevation + h)) ** DENSITY_EXPONENT
        pressure = 0.5 * density * v * v * area
        cd0, k = cd0_up, k_up
        for start, width, cd0_rise, k_rise in flap_steps:
            if flap <= start:
                break
            share = (flap - start) / width
            if share > 1.0:
                share = 1.0
            cd0 += share * cd0_rise
            k += share * k_rise
        ratio = ((h if h > 0.0 else 0.0) + wing_height) * span_inverse
        if ratio < BLEND_END:
            sigma = (1.0 - 1.32 * ratio) / (1.05 + 7.4 * ratio)
            k *= 1.0 - sigma * (1.0 - step((ratio - BLEND_START) / (BLEND_END - BLEND_START)))
        ahead_10, right_10 = along * cos_h + across * sin_h, across * cos_h - along * sin_h
        forward = v * cos_g
        ahead, right = forward + ahead_10 * factor, right_10 * factor
        track = side * (psi + atan(right / ahead))
        x_rate = ahead * cos_h - right * sin_h
        y_rate = ahead * sin_h + right * cos_h
        by_place = step((turn_x + turn_delay * x_rate - x) / TURN_START_DISTANCE)
        by_track = step((pi - track - base_start) / base_width)
        base = 1.0 - (1.0 - by_place) * (1.0 - by_track)
        final = step((half_pi - track - final_start) / final_width)
        u = (-side * y - side * y_rate * lead) / (v * v / arc)
        half_sine = u / sqrt(sqrt(u * u + soft2)) * root_half
        fourth = 4.0 * (half_sine * half_sine) ** 2
        eighth = fourth * fourth
        angle = 2.0 * asin(half_sine / sqrt(sqrt(sqrt(1.0 + eighth))))
        turn = TRACK_GAIN * (track - (pi + base * (angle - pi)))
        q = turn / bank_limit
        q *= q
        turn /= sqrt(sqrt(1.0 + q * q))
        roll = (-side * turn - phi) / ROLL_TIME_CONSTANT
        q = roll / roll_limit
        q *= q
        roll /= sqrt(sqrt(1.0 + q * q))
        u = h / top
        u = 0.0 if u < 0.0 else 1.0 if u > 1.0 else u
        glide_share = u * u * u * (10.0 - u * (15.0 - 6.0 * u))
        share_slope = 30.0 * (u * (1.0 - u)) ** 2 / top
        to_true = sqrt(SEA_LEVEL_DENSITY / density)
        cas = v1 + (v2 - v1) * base + (v3 - v2) * final
        change = (to_true * cas - v) / SPEED_TIME_CONSTANT
        q = change / SPEED_CHANGE_LIMIT
        q *= q
        change /= sqrt(sqrt(1.0 + q * q))
        bounded = cos_b if cos_b > STEEPEST_COS_BANK else STEEPEST_COS_BANK
        cl = cos_g / bounded * weight / pressure
        sine = pressure * (cd0 + k * cl * cl) / weight + change * glide_share / GRAVITY
        sine = 0.5 * (sine + sqrt(sine * sine + no_climb2))
        slow = step((to_true * touchdown_cas + HOLD_OFF_BAND - v) / HOLD_OFF_BAND)
        low = HOLD_OFF_SINK + sink_rise * slow
        extra = v * sine - low
        sine = (low + extra * glide_share) / v
        path_rate = (-sine * (1.0 + sine * sine / 6.0) - gamma) / PATH_TIME_CONSTANT
        n = (cos_g + v / GRAVITY * (path_rate - extra * share_slope * sin_g)) / bounded
        cl = n * weight / pressure
        climb = v * sin_g
        met = climb * slope
        shear = met * ahead_10
        drag = pressure * (cd0 + k * cl * cl)
        lift = GRAVITY * n
        return (
            x_rate,
            y_rate,
            climb,
            -drag / mass - GRAVITY * sin_g - shear * cos_g,
            (lift * cos_b - GRAVITY * cos_g + shear * sin_g) / v,
            (lift * sin_b - met * right_10) / forward,
            roll,
            (f1 + (f2 - f1) * base + (f3 - f2) * final - flap) / FLAP_TIME_CONSTANT,
        )

    def guarded(time, state):
        """Let a trial step that leaves all sense be refused by its error, as NaN is."""
        try:
            return rates(time, state)
        except (ArithmeticError, TypeError, ValueError):
            return NOT_A_STATE

    return guarded
