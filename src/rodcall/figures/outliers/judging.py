"""One reading held against all others of its round, by the way that their number allows."""

from __future__ import annotations

import numpy as np

from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.figures.outliers import first_shots
from rodcall.figures.outliers.expectation import Expectation, expect
from rodcall.figures.outliers.mistakes import Way
from rodcall.figures.outliers.outlier import (
    ASK_FROM,
    FEWEST_SHOTS,
    Bust,
    expected_at,
    heard_around,
    log_odds,
    weigh,
)
from rodcall.frozen import Frozen
from rodcall.units import Unit


def judge(
    heights: Ints,
    counts: Mask,
    index: int,
    along_m: Floats,
    across_m: Floats,
    way: Way,
    said: str = "",
    ask_from: float = ASK_FROM,
    last: int | None = None,
    zero: int | None = None,
    awaited: Awaited | None = None,
) -> Bust | None:
    """Hold one reading against all other shots of the round; None where it fits, or no other is there.

    Costs the same on any page: the nearest shots are listened to, without those far off the plane of the others. One
    that smooth ground leads one to expect is not held against ground that jumps here; `search` holds all against it.
    With few of them only a gross mistake is seen: see `plausible`.

    Args:
        heights: Nanometres above the zero, (along, across).
        counts: Which of them count; whether the judged one does makes no difference.
        index: Flat index of the reading that is judged.
        along_m: Distance of each line from A1, metres.
        across_m: Distance of each column from A1, metres.
        way: How it was read.
        said: The reading as it was typed; as it would be written, when empty.
        ask_from: The least chance of being wrong that makes a bust, above 0 and below 1; among few it is set.
        last: Flat index of the reading that came last, the judged one when None; only told among few.
        zero: Flat index of the zero where it lies on the pad; likewise.
        awaited: What was worked out while the reading was typed; ignored where it is of another spot or other shots.
    """
    others = np.count_nonzero(counts) - bool(counts.flat[index])
    if others < FEWEST_SHOTS:
        return first_shots.judge(heights, counts, index, along_m, across_m, way, said, last, zero)
    height = int(heights.flat[index])
    if awaited is not None and awaited.is_of(heights, counts, index):
        expected: Expectation | None = awaited.expected(height * 1e-9)
    else:
        expected = expected_at(heights, counts, index, along_m, across_m, height * 1e-9)
    if expected is None:
        return None
    return weigh(expected, index, height, way, said, log_odds(ask_from))


class Awaited(Frozen, eq=False):
    """What is expected at a position where a reading is being typed: all but the reading is known before its Enter."""

    heights: Ints
    """Of all shots, (along, across)."""
    counts: Mask
    index: int
    smooth: Expectation
    whole: Expectation
    """With jumps of the ground."""

    def is_of(self, heights: Ints, counts: Mask, index: int) -> bool:
        """Whether it is what is expected at this position: nothing differs but what is read there."""
        if index != self.index or heights.shape != self.heights.shape:
            return False
        differs = (counts != self.counts) | (heights != self.heights) & counts
        differs.flat[index] = False
        return not differs.any()

    def expected(self, read_m: float) -> Expectation:
        """As `expectation.expect` tells it of a reading."""
        return self.smooth if self.smooth.is_just(read_m) else self.whole


def awaited(heights: Ints, counts: Mask, index: int, along_m: Floats, across_m: Floats) -> Awaited | None:
    """What will be expected at a position, arguments as for `judge`; None where it is judged as one of few."""
    around_m, offsets = heard_around(heights, counts, index, along_m, across_m)
    if around_m.size < FEWEST_SHOTS:
        return None
    smooth, whole = expect(around_m, offsets, jumps=False), expect(around_m, offsets)
    return Awaited(heights, counts, index, smooth, whole)


def get_ready() -> None:
    """Judge a reading of nobody's: the first judgement takes many times longer, since numpy loads what it needs."""
    even = np.arange(4.0)
    # Half of the ground lies higher, so that edges are looked for too.
    heights = np.where(np.arange(16).reshape(4, 4) % 4 < 2, Unit.M.nm, 0).astype(np.int64)
    for few in (np.arange(16) < 2, np.ones(16, np.bool_)):
        judge(heights, few.reshape(4, 4), 0, even, even, Way(Unit.MM, Unit.MM.default_step))
