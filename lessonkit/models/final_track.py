"""The way from base onto a final that falls on a steady path, with the turn begun late or not."""

from dataclasses import dataclass

import numpy as np

from lessonkit.models.point_mass import GRAVITY

LONGEST_SHARE = 2.0  # of the radius: an overshoot beyond it is no longer a turn to this final
STEP = 4.0  # m along the track


@dataclass(frozen=True)
class FinalTrack:
    """A track over the ground against distance, arrays of one length, in the order flown.

    Parameters
    ----------
    x : array
        Along the landing direction, from the threshold. [m]
    offset : array
        From the centreline, on the side of the pattern; negative beyond it. [m]
    height : array
        Above the runway. [m]
    bank_deg : array
        Toward the runway positive, as at the turn to final. [deg]
    """

    x: np.ndarray
    offset: np.ndarray
    height: np.ndarray
    bank_deg: np.ndarray


def track_onto_final(aim_x, path_deg, lined_up_height, ground_speed, late, bank_deg, top):
    """Track of a turn to final that is begun late, and back onto the centreline.

    Assumes arcs of one radius, no time to roll, and a height that falls with the distance to go.

    Parameters
    ----------
    aim_x : float
        Where the path meets the ground, from the threshold. [m]
    path_deg : float
        Steepness of the path over the ground, positive down. [deg]
    lined_up_height : float
        Height at the end of a turn that is begun on time. [m]
    ground_speed : float
        In the turn. [m/s]
    late : float
        How late the turn is begun, 0 or more. [s]
    bank_deg : float
        In the turns. [deg]
    top : float
        Height at which the track begins, on base. [m]

    Returns
    -------
    FinalTrack
        From `top` to the ground. [m, deg]

    Notes
    -----
    Late by t at ground speed V, the turn ends d = V t beyond the centreline. Two arcs of radius
    R = V^2/(g tan(bank)) and angle a lead back, with 1 - cos(a) = d/(2 R).

    References
    ----------
    .. [1] Geometry of tangent arcs; radius of a level turn.

    Examples
    --------
    >>> on_time = track_onto_final(150.0, 3.5, 180.0, 34.0, 0.0, 30.0, 240.0)
    >>> late = track_onto_final(150.0, 3.5, 180.0, 34.0, 2.0, 30.0, 240.0)
    >>> round(float(on_time.offset.min())), round(float(late.offset.min()))
    (0, -68)
    """
    slope = np.tan(np.radians(path_deg))
    radius = ground_speed**2 / (GRAVITY * np.tan(np.radians(bank_deg)))
    beyond = min(ground_speed * late, LONGEST_SHARE * radius)
    back = float(np.arccos(1.0 - beyond / (2.0 * radius)))
    turned_at = aim_x - lined_up_height / slope
    on_line = turned_at + 2.0 * radius * np.sin(back)
    turn, weave = 0.5 * np.pi + back, back
    lengths = np.array([radius * turn, radius * weave, max(aim_x - on_line, 0.0)])
    base = max(top / slope - lengths.sum(), 0.0)
    ends = np.cumsum([base, *lengths])
    flown = np.union1d(np.arange(0.0, ends[-1], STEP), ends)
    angle = (flown - ends[0]) / radius  # through the turn to final and beyond
    left = (ends[2] - flown) / radius  # of the turn back
    legs = [flown < ends[0], flown < ends[1], flown < ends[2]]
    x = [turned_at - radius, turned_at - radius * np.cos(angle), on_line - radius * np.sin(left)]
    offset = [
        radius - beyond + ends[0] - flown,
        radius - beyond - radius * np.sin(angle),
        -radius * (1.0 - np.cos(left)),
    ]
    return FinalTrack(
        x=np.select(legs, x, on_line + flown - ends[2]),
        offset=np.select(legs, offset, 0.0),
        height=slope * (ends[-1] - flown),
        bank_deg=np.select(legs, [0.0, bank_deg, -bank_deg], 0.0),
    )
