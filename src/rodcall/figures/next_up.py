"""What the crew can do next, in order; the entry line names the first.

A pure function of one round's summary and its punch list. A reading that is typed goes to the spot or the reference
that the first of these names; where it names neither, a reading is refused with the way to name a spot.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

from rodcall.book.fold.page import ZERO
from rodcall.book.fold.round_page import UNSHOT
from rodcall.book.model.entries import Readings, RoundKind, Walk
from rodcall.figures.punch_list import Kind, PunchList
from rodcall.frozen import Frozen

if TYPE_CHECKING:
    from rodcall.figures.summary import Summary


class Do(StrEnum):
    """What can be done; the words are codes that scripts may rely on."""

    BACKSIGHT = "backsight"
    CHECK_AGAIN = "check again"
    """A check was bad: read the same reference again before the level is touched."""
    SET_UP = "new set-up"
    """It was bad twice, off a rod: level it, then a backsight."""
    LEVEL = "level it, then check"
    """It was bad twice: level it, then check."""
    RESHOOT = "shoot again"
    SHOOT = "shoot"
    READ_AGAIN = "read again"
    TARGET = "choose the target"
    CHECK = "check"
    DIG = "dig"
    NEW_ROUND = "begin a round"
    SIGN = "sign"
    LOOK = "punch list"
    """Something else is open; the punch list says what."""


TAKES_READING = frozenset({Do.BACKSIGHT, Do.SET_UP, Do.CHECK_AGAIN, Do.LEVEL, Do.RESHOOT, Do.SHOOT})
"""What a reading that is typed can be meant for without naming a spot."""


_BEGIN_ANEW = (Kind.TARGET_CHANGED, Kind.ZERO_MOVED, Kind.REFERENCE_CHANGED)
"""What only another final round takes off the list."""


class Next(Frozen):
    """One thing to do, and where."""

    do: Do
    spot: int | None = None
    reference: str | None = None
    left: int = 0
    """How many of its kind are left, this one included."""

    @property
    def takes_reading(self) -> bool:
        """Does a reading that is typed belong to it?"""
        return self.do in TAKES_READING


def next_up(summary: Summary, listed: PunchList, after: int | None = None) -> tuple[Next, ...]:
    """What the crew can do now, first things first; never empty.

    Args:
        summary: Of the round in force.
        listed: Its punch list.
        after: The position from which the helper walks on; the one written last where it is None.
    """
    return tuple(_in_order(summary, listed, summary.last if after is None else after)) or (Next(Do.SIGN),)


def _in_order(summary: Summary, listed: PunchList, after: int | None) -> Iterator[Next]:
    if listed.of(Kind.NO_BACKSIGHT):
        yield Next(Do.BACKSIGHT, reference=usual_reference(summary))
    yield from _bad_check(summary)
    yield from _first(Do.RESHOOT, _suspects(summary, after))
    yield from _first(Do.SHOOT, _on_from(summary, after, summary.state == UNSHOT))
    doubtful = [
        spot
        for kind in (Kind.DOES_NOT_FIT, Kind.READINGS_DISAGREE, Kind.TABLETS_DISAGREE)
        for item in listed.of(kind)
        for spot in item.spots
    ]
    yield from _first(Do.READ_AGAIN, doubtful)
    if listed.of(Kind.TARGET_SUGGESTED) and summary.counted:
        yield Next(Do.TARGET)
    # Before the bucket: what a check finds bad is shot again, and not dug.
    if listed.of(Kind.LEVELS_NOT_CLOSED):
        yield Next(Do.CHECK, reference=_closing_reference(summary))
    elif any(map(listed.of, (Kind.NO_CHECK, Kind.CHECK_AGAIN, Kind.CHECKED_ON_PAD))):
        yield Next(Do.CHECK, reference=usual_reference(summary))
    out = [spot for item in listed.of(Kind.OUT) for spot in item.spots]
    yield from _first(Do.DIG, out)
    if any(map(listed.of, _BEGIN_ANEW)):
        yield Next(Do.NEW_ROUND)
    if listed.of(Kind.NO_FINAL_ROUND) and not listed.of(Kind.NOT_SHOT):
        yield Next(Do.DIG if summary.kind == RoundKind.EXISTING and not out else Do.NEW_ROUND)
    if listed.items:
        yield Next(Do.LOOK)


def _first(do: Do, spots: list[int]) -> Iterator[Next]:
    if spots:
        yield Next(do, spots[0], left=len(spots))


def _on_from(summary: Summary, after: int | None, mask: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> list[int]:
    """The positions of a mask as the helper meets them from one of them on."""
    met = summary.walk.onward(after)
    found: list[int] = met[mask[met]].tolist()
    return found


def _suspects(summary: Summary, after: int | None) -> list[int]:
    """The suspect shots in walking order, so that the helper ends where he goes on; none of them is passed over.

    Where all is shot he begins at the end of them that is nearer, and walks the snake back.
    """
    spots, walk = list(summary.in_walking_order(summary.trust.suspect_mask)), summary.walk
    if not spots or after is None or walk.order is not Walk.SNAKE or (summary.state == UNSHOT).any():
        return spots
    to_first, to_last = (abs(walk.step(spot) - walk.step(after)) for spot in (spots[0], spots[-1]))
    return spots[::-1] if to_last < to_first else spots


def _bad_check(summary: Summary) -> Iterator[Next]:
    """After one bad check the same again; after two the level is at fault: a new set-up for a rod, else levelled."""
    unresolved = summary.trust.unresolved
    if not unresolved:
        return
    name = unresolved[0].reference
    if len(unresolved) == 1:
        yield Next(Do.CHECK_AGAIN, reference=name)
    elif summary.job.readings is Readings.HEIGHT:
        yield Next(Do.LEVEL, reference=name)
    else:
        yield Next(Do.SET_UP, reference=usual_reference(summary))


def _closing_reference(summary: Summary) -> str:
    """The reference that a line of levels is likely closed on: the latest that was not read on the way."""
    read = {point.name for point in summary.evidence.turning_points}
    return ([name for name in summary.references if name not in read and name != ZERO] or [ZERO])[-1]


def usual_reference(summary: Summary) -> str:
    """The reference that a backsight or a check is likely read on: the latest off the pad, else any, else the zero.

    One that can prove nothing of the set-up in force is passed over.
    """
    trust = summary.trust
    known = [name for name in summary.references if name != ZERO and trust.independent(name, trust.newest_setup)]
    off = [name for name in known if name not in summary.references_on_pad]
    return (off or known or [ZERO])[-1]
