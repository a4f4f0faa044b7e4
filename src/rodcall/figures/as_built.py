"""Is the pad proven? The verdict and every reason for it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Verdict(StrEnum):
    """What the shots prove."""

    PASS = "PASS"
    FAIL = "FAIL"
    NOT_PROVEN = "NOT PROVEN"


@dataclass(frozen=True)
class Finding:
    """A verdict and its reasons, gravest first."""

    verdict: Verdict
    reasons: tuple[str, ...]


def judge(*, missing: int, left_out: int, outside: int, check_trouble: str | None) -> Finding:
    """Weigh one round.

    FAIL when a position lies outside (absolute method of ASTM E29: any excess fails, equal to the limit is
    inside). NOT PROVEN when none does but something is missing. PASS when nothing is left to say.

    Args:
        missing: Positions neither shot nor left out.
        left_out: Positions left out.
        outside: Positions shot and out of tolerance.
        check_trouble: Why the last check shot proves nothing, or None when it is good and later than the last shot.
    """
    lacking = []
    if missing:
        lacking.append(f"{_positions(missing)} not shot")
    if left_out:
        lacking.append(f"{_positions(left_out)} left out")
    if check_trouble:
        lacking.append(check_trouble)
    if outside:
        return Finding(Verdict.FAIL, (f"{_positions(outside)} out of tolerance", *lacking))
    return Finding(Verdict.NOT_PROVEN if lacking else Verdict.PASS, tuple(lacking))


def _positions(count: int) -> str:
    return f"{count} position{'s' if count != 1 else ''}"
