"""Rounds against each other: what moved, what was overdug, how far along. Whole nanometres, flat arrays."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

import numpy as np

from rodcall.book.fold.round_page import NOT_PAD, SHOT
from rodcall.figures.checks.evidence import RoundShots
from rodcall.figures.ground.averages import Ints, Mask
from rodcall.figures.target import Limits
from rodcall.frozen import Frozen

FEWEST = 4
"""An offset is told from at least so many shots."""
MOST_STRAYING = 0.1
"""Share of the shots that may stray from a constant offset."""


class Tally(Frozen):
    """How far along a round is, on the pad or a part of it."""

    round: int
    kind: str
    inside: int
    outside: int
    unshot: int
    """Neither in nor out: not shot, or left out; what is no part of the pad is not counted."""


def tally(shots: RoundShots, target_heights: Ints, tolerance: Limits, part: Mask | None = None) -> Tally:
    """Count positions in, out and unshot.

    Args:
        shots: Of one round.
        target_heights: The target in force.
        tolerance: The customer's, at each position.
        part: Flat mask of the part that is wanted; None for the whole pad.
    """
    pad = shots.state != NOT_PAD if part is None else (shots.state != NOT_PAD) & part
    counts = (shots.state == SHOT) & pad
    outside = int(np.count_nonzero(counts & tolerance.outside(shots.heights - target_heights)))
    shot, size = int(np.count_nonzero(counts)), int(np.count_nonzero(pad))
    return Tally(shots.number, shots.kind, shot - outside, outside, size - shot)


class RoundChange(Frozen, eq=False):
    """What became of the ground from one round to the next."""

    before: RoundShots
    now: RoundShots
    target_heights: Ints
    """The target in force, for both."""
    tolerance: Limits
    step_nm: int
    """Smallest mark that is read: what changed by no more stayed."""

    @cached_property
    def both(self) -> Mask:
        """Positions that count in both rounds."""
        mask: Mask = (self.before.state == SHOT) & (self.now.state == SHOT)
        return mask

    @cached_property
    def by_nm(self) -> Ints:
        """Height now minus height before; 0 where not shot in both."""
        by: Ints = np.where(self.both, self.now.heights - self.before.heights, 0)
        return by

    @cached_property
    def lowered(self) -> Mask:
        """Positions that were dug or worn down by more than a reading step."""
        mask: Mask = self.by_nm < -self.step_nm
        return mask

    @cached_property
    def raised(self) -> Mask:
        """Positions that were filled by more than a reading step."""
        mask: Mask = self.by_nm > self.step_nm
        return mask

    @cached_property
    def overdug(self) -> Mask:
        """Positions that were high or inside and lie below the low limit now."""
        before, now = (each.heights - self.target_heights for each in (self.before, self.now))
        low = -self.tolerance.low_nm
        mask: Mask = self.both & (before >= low) & (now < low)
        return mask


class Offset(Frozen):
    """All shots stand off by about the same amount."""

    nm: int
    """The middle of them."""
    stone: bool
    """It is the stone's thickness."""


def constant_offset(differences: Ints, counts: Mask, stone_nm: int, within_nm: int) -> Offset | None:
    """An offset that nearly all shots share, as when they stand on the stone and the target lies under it.

    Told where the middle of the differences is beyond `within_nm` and nine tenths of them lie within that of it; it is
    the stone when the middle comes within that of the stone's thickness. The bounds are our own choice.

    Args:
        differences: From the target, or from the round before; flat.
        counts: Which of them count.
        stone_nm: Thickness of the stone; 0 where none is wanted.
        within_nm: Half-width of what is called about the same: the crew's goal.
    """
    told = differences[counts]
    if told.size < FEWEST:
        return None
    middle = int(np.median(told))
    straying = np.count_nonzero(np.abs(told - middle) > within_nm)
    if abs(middle) <= within_nm or straying > MOST_STRAYING * told.size:
        return None
    return Offset(middle, stone_nm > 0 and abs(middle - stone_nm) <= within_nm)


def common_stage(stage: Mapping[int, str], counts: Mask) -> str | None:
    """What the rod stood on at every shot that counts; None where it differs, or nothing counts."""
    stages = {stage[int(index)] for index in np.flatnonzero(counts)}
    return stages.pop() if len(stages) == 1 else None
