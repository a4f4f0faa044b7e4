"""The punch list: every item that is open before the pad is proven. The verdict is read off it and off nothing else.

`inspection` draws it up. Each item says what it is, at which spots or references, which entry opened it,
and the figures that its words need; the words themselves are in `words_punch`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from enum import StrEnum
from typing import TYPE_CHECKING

from rodcall.figures.ground.averages import Mask
from rodcall.frozen import Frozen
from rodcall.i18n import phrase

if TYPE_CHECKING:
    from rodcall.figures.outliers.line_mistakes import BadLine
    from rodcall.figures.outliers.outlier import Bust


class Verdict(StrEnum):
    """What the shots prove."""

    PASS = phrase("PASS")
    FAIL = phrase("FAIL")
    NOT_PROVEN = phrase("NOT PROVEN")


class Kind(StrEnum):
    """What can be open, gravest first; the words are codes that scripts may rely on."""

    OUT = "out of tolerance"
    DAMAGED = "book damaged"
    EDITED = "book edited outside"
    NO_BACKSIGHT = "no backsight"
    BAD_CHECK = "bad check"
    SUSPECT = "suspect"
    SUSPECT_ACCEPTED = "suspect accepted"
    CHECK_AGAIN = "check again"
    DOES_NOT_FIT = "does not fit"
    LINE_DOES_NOT_FIT = "line does not fit"
    READINGS_DISAGREE = "readings disagree"
    TABLETS_DISAGREE = "tablets disagree"
    NOT_SHOT = "not shot"
    LEFT_OUT = "left out"
    SETUP_NOT_CLOSED = "set-up not closed"
    LEVELS_NOT_CLOSED = "levels not closed"
    NO_CHECK = "no check after the last shot"
    CHECKED_ON_PAD = "checked on the pad"
    TIMES_APART = "check and shots too far apart"
    TARGET_SUGGESTED = "target only suggested"
    TARGET_CHANGED = "target changed after the final began"
    ZERO_MOVED = "zero moved after the final began"
    REFERENCE_CHANGED = "reference changed after the final began"
    TAKEN_OUT = "not pad after it was read"
    LIMIT_WIDENED = "limit widened"
    NO_FINAL_ROUND = "no final round"
    SPOTS_TOO_FAR = "spots too far apart"
    PLUS_MINUS = "plus/minus too large"
    TOO_CLOSE = "too close to call"


GRAVITY = {kind: place for place, kind in enumerate(Kind)}


class Item(Frozen):
    """One thing that is open."""

    kind: Kind
    spots: tuple[int, ...] = ()
    """Positions, in the order in which one would go there."""
    names: tuple[str, ...] = ()
    """References, limits or other things that are no positions."""
    opened_by: int | None = None
    """Number of the entry that opened it, where one did."""
    value: float | None = None
    """What was found, for its words: nanometres, hours, or a count."""
    limit: float | None = None
    """What is allowed."""

    @property
    def places(self) -> int:
        """How many things there are to do for it."""
        return max(len(self.spots), 1)


class PunchList(Frozen):
    """All that is open, gravest first."""

    items: tuple[Item, ...]

    @property
    def verdict(self) -> Verdict:
        """FAIL where a spot is out of tolerance, NOT PROVEN where anything else is open, PASS where nothing is.

        Out is by the absolute method of ASTM E29: any excess fails, a reading equal to the limit is inside.
        """
        if any(item.kind is Kind.OUT for item in self.items):
            return Verdict.FAIL
        return Verdict.NOT_PROVEN if self.items else Verdict.PASS

    @property
    def open(self) -> int:
        """How many things are left to do; each spot counts."""
        return sum(item.places for item in self.items)

    def of(self, kind: Kind) -> tuple[Item, ...]:
        """The items of one kind."""
        return tuple(item for item in self.items if item.kind is kind)

    def within(self, part: Mask) -> PunchList:
        """What of it concerns a part of the pad: its spots, and all that is open about the whole round."""
        kept: list[Item] = []
        for item in self.items:
            spots = tuple(spot for spot in item.spots if part[spot])
            if spots or not item.spots:
                kept.append(replace(item, spots=spots))
        return PunchList(tuple(kept))

    def with_out(self, out: Iterable[int]) -> PunchList:
        """The same with other spots out of tolerance, as by the crew's tighter one."""
        spots = tuple(out)
        rest = tuple(item for item in self.items if item.kind is not Kind.OUT)
        return PunchList((Item(Kind.OUT, spots), *rest) if spots else rest)


class Doubts(Frozen):
    """Readings and whole lines that do not fit, as known when the list is made."""

    busts: Sequence[Bust] = ()
    lines: Sequence[BadLine] = ()
