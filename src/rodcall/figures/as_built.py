"""Is the pad proven? The verdict and every reason for it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from rodcall.figures.checks import Standard, Trust
from rodcall.figures.drainage import FLAT
from rodcall.figures.evidence import CheckShot
from rodcall.figures.ground import Floats, Mask
from rodcall.language import Sentence, later, later_counted, phrase
from rodcall.lengths import Unit, write


class Verdict(StrEnum):
    """What the shots prove."""

    PASS = phrase("PASS")
    FAIL = phrase("FAIL")
    NOT_PROVEN = phrase("NOT PROVEN")


@dataclass(frozen=True)
class Finding:
    """A verdict and its reasons, gravest first."""

    verdict: Verdict
    because: tuple[Sentence, ...]

    @property
    def reasons(self) -> tuple[str, ...]:
        """The reasons in the language that is spoken."""
        return tuple(map(str, self.because))


def judge(
    *,
    missing: int,
    left_out: int,
    outside: int,
    check_trouble: Sentence | None,
    suspect: int = 0,
    goal: bool = False,
) -> Finding:
    """Weigh one round, or a part of the pad.

    FAIL when a position lies outside (absolute method of ASTM E29: any excess fails, equal to the limit is
    inside). NOT PROVEN when none does but something is missing. PASS when nothing is left to say.

    Args:
        missing: Positions neither shot nor left out.
        left_out: Positions left out; like those not shot they are only estimated, and an estimate proves nothing.
        outside: Positions shot and out of tolerance.
        check_trouble: Why the last check shot proves nothing, or None when it is good and later than the last shot.
        suspect: Shots that count and that a bad check made suspect.
        goal: Whether they are out of the crew's goal; else out of the tolerance.
    """
    lacking = []
    if missing:
        lacking.append(later_counted(missing, "{number} position not shot", "{number} positions not shot"))
    if left_out:
        lacking.append(later_counted(left_out, "{number} position left out", "{number} positions left out"))
    if suspect:
        one = phrase("{number} suspect shot since the last good check")
        many = phrase("{number} suspect shots since the last good check")
        lacking.append(later_counted(suspect, one, many))
    if check_trouble:
        lacking.append(check_trouble)
    if outside:
        return Finding(Verdict.FAIL, (_out(outside, goal), *lacking))
    return Finding(Verdict.NOT_PROVEN if lacking else Verdict.PASS, tuple(lacking))


def reads(check: CheckShot, unit: Unit) -> Sentence:
    """What a check found, in words: `BM1 reads 1/8 HIGH`, `BM1 reads true`."""
    if check.drift_nm == 0:
        return later("{reference} reads true", reference=check.reference)
    off = write(abs(check.drift_nm), unit, sign=False)
    if check.drift_nm > 0:
        return later("{reference} reads {off} HIGH", reference=check.reference, off=off)
    return later("{reference} reads {off} LOW", reference=check.reference, off=off)


def check_trouble(trust: Trust, unit: Unit) -> Sentence | None:
    """Why the last check shot proves nothing, in words; None when it is good and later than the last shot."""
    standard = trust.standard
    if standard is Standard.GOOD:
        return None
    if standard is Standard.MISSING or trust.last is None:
        return later("no check shot")
    if standard is Standard.LATE:
        return later("no check shot after the last shot")
    allowed = write(trust.evidence.allowed_drift_nm, unit, sign=False)
    if standard is Standard.BAD:
        return later("last check: {read}, {allowed} is allowed", read=reads(trust.last, unit), allowed=allowed)
    again = trust.open_repeats or (trust.last,)
    return later(
        "check again: {read}, {allowed} is allowed", read=tuple(reads(each, unit) for each in again), allowed=allowed
    )


@dataclass(frozen=True)
class SlopeReached:
    """A slope that was asked for, and the one that the shots have."""

    side: str
    """`along` or `across`."""
    asked: float
    reached: float
    short: bool
    """Whether it falls short by more than the crew's goal over the pad."""

    @property
    def drains(self) -> bool:
        """Whether water runs the way that was asked: steeper than flat, and the same way."""
        return abs(self.reached) >= FLAT and self.reached * self.asked > 0


@dataclass(frozen=True)
class AsBuilt:
    """The verdict in all its parts: for the customer's tolerance and the crew's goal, for the pad and the footprint."""

    pad: Finding
    pad_goal: Finding
    footprint: Finding | None
    """None where there is none."""
    footprint_goal: Finding | None
    slopes: tuple[SlopeReached, ...]
    """Of those asked for."""
    ponds: tuple[int, ...]
    """Where a slope was asked: positions from which water has no way down."""

    @property
    def drains(self) -> bool | None:
        """Whether the pad drains where it should; None where no slope was asked."""
        return all(slope.drains for slope in self.slopes) and not self.ponds if self.slopes else None


def ponds(heights_m: Floats, counts: Mask, pad: Mask | None = None) -> tuple[int, ...]:
    """Positions inside the pad that lie below all of their eight neighbours: there water stands.

    A position beside one that is no part of the pad lies at the pad's edge, where water is taken to leave it.

    Args:
        heights_m: Heights, (along, across), all known or estimated.
        counts: Which were shot; an estimate is no pond.
        pad: Which are part of the pad; all when None.

    Returns:
        Flat indices.
    """
    rows, columns = heights_m.shape
    inner, open_beside = heights_m[1:-1, 1:-1], heights_m if pad is None else np.where(pad, heights_m, -np.inf)
    around = [
        open_beside[1 + down : rows - 1 + down, 1 + right : columns - 1 + right]
        for down in (-1, 0, 1)
        for right in (-1, 0, 1)
        if down or right
    ]
    low = np.zeros(heights_m.shape, np.bool_)
    if inner.size:
        low[1:-1, 1:-1] = inner < np.minimum.reduce(around)
    return tuple(int(index) for index in np.flatnonzero(low & counts))


def _out(count: int, goal: bool) -> Sentence:
    if goal:
        return later_counted(count, "{number} position out of the goal", "{number} positions out of the goal")
    return later_counted(count, "{number} position out of tolerance", "{number} positions out of tolerance")
