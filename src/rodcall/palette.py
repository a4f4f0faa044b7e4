"""Colours by height for screen and paper: ColorBrewer's diverging scheme PuOr, orange side high, purple side low.

PuOr is safe for the common kinds of colour blindness (Brewer, colorbrewer2.org). Colour never stands alone: sign,
word and mark say the same.
"""

from __future__ import annotations

import numpy as np

from rodcall.figures.ground.averages import Floats, Ints
from rodcall.figures.summary import Summary
from rodcall.figures.target import Tolerance

NEUTRAL = "#f7f7f7"
HIGH = ("#fee0b6", "#fdb863", "#e08214")
"""From near the target to far from it."""
LOW = ("#d8daeb", "#b2abd2", "#8073ac")

FILL_EVEN = "#f7f7f6"
FILL_HIGH = ("#fdd49e", "#fdb862", "#e08214", "#7f3b08")
"""To write on, from near the target to far from it: the first a little deeper than PuOr's own, so that it differs from
its fellow for everybody; PuOr's darkest last. None is the same as a colour to
write in: themes exchange them by their values."""
FILL_LOW = ("#cbc9e2", "#b2abd3", "#9a8fc4", "#542788")
LEVELS = len(FILL_HIGH)


def standing(summary: Summary, index: int) -> tuple[int, int, bool]:
    """How a shot position stands to the target: side (+1 high), depth (0 goal, 1 tolerance, 2 beyond), outside."""
    deviation = summary.deviation_at(index) or 0
    outside = bool(summary.out_mask[index])
    depth = 2 if outside else 0 if abs(deviation) <= summary.job.goal else 1
    return (deviation > 0) - (deviation < 0), depth, outside


def levels(summary: Summary, deviations: Ints | Floats) -> Ints:
    """How deep the shade of each deviation is: 0 on target, above 0 high, up to `LEVELS` on either side.

    1 within the crew tolerance, 2 within the tolerance, 3 beyond it, 4 beyond twice the tolerance.

    Args:
        summary: Has the limits.
        deviations: Height minus target, nanometres.
    """
    # A spot of a zone is shaded by the zone's limits; the ground between spots by the pad's.
    zone = summary.zone
    if zone is not None and deviations.shape == zone.inside.shape:
        shades: Ints = np.where(
            zone.inside, _levels(summary, deviations, zone.tolerance), _levels(summary, deviations, summary.tolerance)
        )
        return shades
    return _levels(summary, deviations, summary.tolerance)


def _levels(summary: Summary, deviations: Ints | Floats, tolerance: Tolerance) -> Ints:
    high, low = (
        np.searchsorted(
            np.array([min(summary.job.goal, limit), limit, max(2 * limit, summary.job.goal)], deviations.dtype),
            beyond,
        )
        for limit, beyond in ((tolerance.high_nm, deviations), (tolerance.low_nm, -deviations))
    )
    # Half a reading step and less is read as on target.
    even = 2 * np.abs(deviations) < summary.job.step
    deep: Ints = np.where(even, 0, np.where(deviations > 0, 1 + high, -1 - low))
    return deep
