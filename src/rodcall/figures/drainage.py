"""Which way the water runs, and whether a slope that was asked for is reached."""

from __future__ import annotations

from dataclasses import dataclass

from rodcall.language import phrase

FLAT = 5e-4
"""Below this slope (1/2 mm in a metre) water stands rather than runs; common practice."""


@dataclass(frozen=True)
class Run:
    """The way water takes over a plane."""

    along: int
    """+1 away from the near edge, -1 towards it, 0 neither."""
    across: int
    """+1 to the right, -1 to the left, 0 neither."""

    @property
    def arrow(self) -> str:
        """In signs that every console has, far end up."""
        ahead = {1: "^", -1: "v", 0: ""}[self.along]
        aside = {1: ">", -1: "<", 0: ""}[self.across]
        return ahead + aside or "o"


def water(along: float, across: float) -> Run:
    """Where water runs on a plane with these slopes (m per m, rising away and to the right): down them."""
    return Run(_down(along), _down(across))


@dataclass(frozen=True)
class Shortfall:
    """A slope that was asked for and is not reached."""

    side: str
    """`along` or `across`."""
    asked: float
    reached: float


def shortfalls(
    asked: tuple[float, float], reached: tuple[float, float], spans_m: tuple[float, float], goal_m: float
) -> tuple[Shortfall, ...]:
    """The slopes that fall short of what was asked by more than the crew's goal over the pad.

    Args:
        asked: Slopes of the target, along and across, m per m.
        reached: Slopes of the plane through the shots.
        spans_m: Length and width over which they hold.
        goal_m: The crew's own tolerance.
    """
    found = []
    for side, want, have, span in zip((phrase("along"), phrase("across")), asked, reached, spans_m, strict=True):
        if want == 0.0:
            continue
        lacking = abs(want) - have * (1 if want > 0 else -1)
        if lacking * span > goal_m:
            found.append(Shortfall(side, want, have))
    return tuple(found)


def _down(rise: float) -> int:
    return 0 if abs(rise) < FLAT else -1 if rise > 0 else 1
