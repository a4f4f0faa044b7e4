"""The first shots of a round: a jump that no ground has in that distance, and the mistake that would explain it.

With fewer than six shots little is known of the ground, so only what is gross is asked about: a slash that was not
typed, a foot, ten times. The two stories are weighed as in `outlier`; what is asked about lies further off than ground
goes from one spot to the next, and is more surely wrong than a reading among many has to be.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from rodcall.book.model.entries import Readings
from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.figures.outliers.expectation import expect, nearest
from rodcall.figures.outliers.mistakes import Mistake, Way
from rodcall.figures.outliers.outlier import Bust, log_odds, weigh
from rodcall.figures.target import metres

FEWEST = 2
"""So many shots tell of a jump; one has nothing beside it."""
ASK_FROM = 0.1
"""The chance of being wrong from which one is asked about (by simulation: tests/benchmarks/plausible.py)."""
LEAST_JUMP_M = 0.15
"""Natural ground may differ by less from what the shots beside lead one to expect."""
GROSS = frozenset(Mistake) - {
    *(Mistake.TENTH, Mistake.INCH, Mistake.DECIMETRE, Mistake.CENTIMETRE),
    *(Mistake.INCHES_FOR_TENTHS, Mistake.TENTHS_FOR_INCHES),
}
"""Mistakes that make such a jump."""

_AS_LIKELY = np.log(2.0)
"""Log odds nearer to each other than this do not tell which of two readings is the wrong one."""


def judge(
    heights: Ints,
    counts: Mask,
    index: int,
    along_m: Floats,
    across_m: Floats,
    way: Way,
    said: str = "",
    last: int | None = None,
    zero: int | None = None,
) -> Bust | None:
    """Hold one of few readings against the others; None where there is no jump, or another one is rather to blame.

    Args:
        heights: Nanometres above the zero, (along, across).
        counts: Which of them count; whether the judged one does makes no difference.
        index: Flat index of the reading that is judged.
        along_m: Distance of each line from A1, metres.
        across_m: Distance of each column from A1, metres.
        way: How the readings were taken.
        said: The reading as it was typed; empty where that is not known.
        last: Flat index of the reading that came last; the judged one, when None.
        zero: Flat index of the zero where it lies on the pad.
    """
    some = counts.copy()
    some.flat[index] = True
    found = search(
        heights, some, along_m, across_m, lambda _: way, index if last is None else last, zero, {index: said}
    )
    return next((bust for bust in found if bust.index == index), None)


def search(
    heights: Ints,
    counts: Mask,
    along_m: Floats,
    across_m: Floats,
    way_at: Callable[[int], Way],
    last: int | None = None,
    zero: int | None = None,
    said: dict[int, str] | None = None,
) -> tuple[Bust, ...]:
    """All of few readings that make a jump, by index; arguments as for `judge`, and how and as what each was read.

    Of two readings that are a jump apart either may be wrong. The one that a mistake explains is, else the one that
    the zero speaks against, else the last one. It is set aside, and the others are looked at again.
    """
    sound, aside = counts.copy(), []
    while np.count_nonzero(sound) >= FEWEST:
        page = _Page(heights, sound, along_m, across_m, way_at, said or {})
        wrong = page.to_blame(last, zero)
        if wrong is None:
            break
        aside.append(wrong)
        sound.flat[wrong.index] = False
    return tuple(sorted(aside, key=lambda bust: bust.index))


class _Page:
    """Few readings, each weighed against the others."""

    def __init__(
        self,
        heights: Ints,
        counts: Mask,
        along_m: Floats,
        across_m: Floats,
        way_at: Callable[[int], Way],
        said: dict[int, str],
    ) -> None:
        self.heights, self.counts = heights, counts
        self.along_m, self.across_m = along_m, across_m
        self.way_at, self.said = way_at, said

    def to_blame(self, last: int | None, zero: int | None) -> Bust | None:
        """The reading that makes the jump, if there is one."""
        jumps = [
            bust
            for index in np.flatnonzero(self.counts).tolist()
            if (bust := self.weighed(index, log_odds(ASK_FROM))) is not None
            and abs(bust.height_nm - bust.expected_nm) >= LEAST_JUMP_M * 1e9
        ]
        jumps = [bust for bust in jumps if bust.explanations] or jumps
        jumps = self._likeliest(jumps)
        if len(jumps) > 1 and zero is not None and not self.counts.flat[zero] and self._zero_tells():
            against = [self.weighed(bust.index, -np.inf, zero) for bust in jumps]
            likeliest = {bust.index for bust in self._likeliest([bust for bust in against if bust is not None])}
            jumps = [bust for bust in jumps if bust.index in likeliest]
        return next((bust for bust in jumps if bust.index == last), jumps[-1] if jumps else None)

    def weighed(self, index: int, least: float, zero: int | None = None) -> Bust | None:
        """What speaks against one reading, given the others, and the height 0 at the zero."""
        known, heights = self.counts.copy(), self.heights
        if zero is not None:
            known.flat[zero], heights = True, self.heights.copy()
            heights.flat[zero] = 0
        around, offsets = nearest(known, divmod(index, known.shape[1]), self.along_m, self.across_m)
        if not around.size:
            return None
        # Few shots say nothing of how the ground jumps: LEAST_JUMP_M stands for that.
        expected = expect(metres(heights.flat[around]), offsets, jumps=False)
        way, said = self.way_at(index), self.said.get(index, "")
        return weigh(expected, index, int(self.heights.flat[index]), way, said, least, GROSS, gross_weight=1.0)

    def _zero_tells(self) -> bool:
        """A rod may be read from anywhere, but heights are said from the zero, which is a spot on the pad."""
        return all(self.way_at(int(at)).readings is Readings.HEIGHT for at in np.flatnonzero(self.counts))

    @staticmethod
    def _likeliest(busts: list[Bust]) -> list[Bust]:
        most = max((bust.score for bust in busts), default=0.0)
        return [bust for bust in busts if bust.score > most - _AS_LIKELY]
