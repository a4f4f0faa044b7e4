"""Colours by height for screen and paper: ColorBrewer's diverging scheme PuOr, orange side high, purple side low.

PuOr is safe for the common kinds of colour blindness (Brewer, colorbrewer2.org). Colour never stands alone: sign,
word and mark say the same.
"""

from __future__ import annotations

from rodcall.figures.summary import Summary

NEUTRAL = "#f7f7f7"
HIGH = ("#fee0b6", "#fdb863", "#e08214")
"""From near the target to far from it."""
LOW = ("#d8daeb", "#b2abd2", "#8073ac")


def standing(summary: Summary, index: int) -> tuple[int, int, bool]:
    """How a shot position stands to the target: side (+1 high), depth (0 goal, 1 tolerance, 2 beyond), outside."""
    deviation = summary.deviation_at(index) or 0
    outside = bool(summary.out_mask[index])
    depth = 2 if outside else 0 if abs(deviation) <= summary.job.goal else 1
    return (deviation > 0) - (deviation < 0), depth, outside
