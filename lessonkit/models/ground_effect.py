"""Less induced drag close to the ground."""

from lessonkit.models.numeric import ARRAY, smooth_step

BLEND_START = 0.5  # h/b where Wieselsberger's formula stops being valid
BLEND_END = 0.75  # h/b just below the formula's own zero at 1 / 1.32 = 0.758


def induced_drag_reduction(height_over_span, functions=ARRAY):
    """Share of the induced drag that the ground takes away.

    Assumes a wing with near-elliptical lift over level ground.

    Parameters
    ----------
    height_over_span : float or array
        Height of the wing above the ground over the wing span, 0 or more. [-]
    functions : namespace
        `ARRAY`, or `SCALAR` for one plain float inside a time step. [-]

    Returns
    -------
    float or array
        Reduction as a fraction of the induced drag far from the ground. [-]

    Notes
    -----
    sigma = (1 - 1.32 h/b) / (1.05 + 7.4 h/b), valid for h/b from about 1/30 to 1/2; from there
    it is blended to zero at h/b 0.75, where the formula itself has all but vanished.

    References
    ----------
    .. [1] C. Wieselsberger, "Wing resistance near the ground", NACA TM 77, 1922 (formula and
       range as quoted in public copies). The pilot's handbook FAA-H-8083-25 prints 23.5 % at a
       quarter and 47.6 % at a tenth of the span (from memory); this formula gives 23.1 and 48.5.

    Examples
    --------
    >>> round(float(induced_drag_reduction(0.1)), 3)
    0.485
    >>> float(induced_drag_reduction(1.0))
    0.0
    """
    ratio = functions.minimum(height_over_span, BLEND_END)
    sigma = (1.0 - 1.32 * ratio) / (1.05 + 7.4 * ratio)
    return sigma * (1.0 - smooth_step(height_over_span, BLEND_START, BLEND_END, functions))
