"""One spot read several times in a round: which height counts, and whether a third reading is due. Whole nanometres.

Two readings within a reading step agree, and the first counts. Where a further one disagrees, the ground was dug
meanwhile or one of the two is wrong: it counts for the time being and a third is due. Then the middle of the three
counts, since one misreading cannot move it; or, where the job says so, the mean of all (common practice for both).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from rodcall.units import round_half_even

MIDDLE, MEAN = "middle", "mean"
WAYS = (MIDDLE, MEAN)


class Settled(NamedTuple):
    """What several readings of one spot come to."""

    height: int
    third_due: bool
    """The last reading disagrees with what counted before it, and nothing has settled that yet."""


def settled(heights: Sequence[int], step_nm: int, way: str = MIDDLE) -> Settled:
    """Settle the readings of one spot in the order read.

    Args:
        heights: One or more, nanometres.
        step_nm: Readings no further apart than this agree.
        way: MIDDLE, or MEAN: then all count alike once nothing is open.

    >>> settled([0, 9, 9], step_nm=2)
    Settled(height=9, third_due=False)
    >>> settled([0, 9], step_nm=2)
    Settled(height=9, third_due=True)
    """
    counts, doubted = heights[0], None
    for height in heights[1:]:
        if doubted is not None:
            counts, doubted = sorted((counts, doubted, height))[1], None
        elif abs(height - counts) > step_nm:
            doubted = height
    if doubted is not None:
        return Settled(doubted, third_due=True)
    return Settled(_mean(heights) if way == MEAN else counts, third_due=False)


def counted_height(heights: Sequence[int], way: str) -> int:
    """The height that counts of one spot by the rule of older books: the first of two, the middle of more.

    Args:
        heights: One or more, in the order read.
        way: MIDDLE, or MEAN.
    """
    if way == MEAN:
        return _mean(heights)
    if len(heights) < 3:
        return heights[0]
    in_order, half = sorted(heights), len(heights) // 2
    if len(heights) % 2:
        return in_order[half]
    return round_half_even(Fraction(in_order[half - 1] + in_order[half], 2), 1)


def agree(heights: Sequence[int], step_nm: int) -> bool:
    """Do two of the readings lie within a step of each other?"""
    in_order = sorted(heights)
    return any(above - below <= step_nm for below, above in pairwise(in_order))


def among_agreeing(heights: Sequence[int], step_nm: int) -> list[int]:
    """The readings that agree with another one within a step, in the order read; all where none do.

    >>> among_agreeing([50, 0, 1], step_nm=2)
    [0, 1]
    """
    alone = {
        place
        for place, height in enumerate(heights)
        if not any(abs(height - other) <= step_nm for at, other in enumerate(heights) if at != place)
    }
    return [height for place, height in enumerate(heights) if place not in alone] or list(heights)


def _mean(heights: Sequence[int]) -> int:
    return round_half_even(Fraction(sum(heights), len(heights)), 1)
