"""One spot read several times: what counts, and whether the readings agree. Whole nanometres.

Two readings within a reading step agree, and the first stands. Of two that do not, a third decides: the middle one
counts, since one misreading cannot move it; or, where the job says so, the mean of all (common practice for both).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from rodcall.lengths import round_half_even

MIDDLE, MEAN = "middle", "mean"
WAYS = (MIDDLE, MEAN)


def counted_height(heights: Sequence[int], way: str) -> int:
    """The height that counts of one spot, from all that were read there.

    Args:
        heights: One or more, in the order read.
        way: MIDDLE, or MEAN.
    """
    if way == MEAN:
        return round_half_even(Fraction(sum(heights), len(heights)), 1)
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
