"""The units of heights, and the defaults of each."""

from __future__ import annotations

from enum import StrEnum

MM = 1_000_000
"""Nanometres in a millimetre; the others likewise."""
CM = 10 * MM
M = 1_000 * MM
INCH = 25_400_000
"""25.4 mm exactly: 24 FR 5348, 1 July 1959."""
FOOT = 12 * INCH


_FACTS = {
    "in": (INCH, '"', INCH // 8, INCH // 2, INCH // 8, 10 * FOOT, "3/8", "4' 3-3/8\""),
    "ft": (FOOT, " ft", FOOT // 100, FOOT // 20, FOOT // 100, 10 * FOOT, "0.04", "4.28"),
    "mm": (MM, " mm", MM, 10 * MM, 3 * MM, 3 * M, "12", "1304"),
    "cm": (CM, " cm", MM, CM, 3 * MM, 3 * M, "1.2", "130.4"),
    "m": (M, " m", MM, CM, 3 * MM, 3 * M, "0.012", "1.304"),
}


class Unit(StrEnum):
    """What a job's heights are said in: inches are said with fractions, all others with decimals."""

    IN = "in"
    FT = "ft"
    MM = "mm"
    CM = "cm"
    M = "m"

    nm: int
    """Nanometres in one."""
    mark: str
    """How it is marked behind a number."""
    default_step: int
    """Smallest mark that is read on the rod, nm."""
    default_round_to: int
    """Targets are rounded to this, nm (common practice)."""
    default_least_drop: int
    """A suggested target lies at least this far below the average, nm (common practice)."""
    default_spacing: int
    """Suggested distance between shots, nm (common practice)."""
    small: str
    """A small height in it, without its sign: what a message offers as an example."""
    reading: str
    """A rod reading in it, likewise."""

    def __init__(self, word: str) -> None:
        self.nm, self.mark, *customary, self.small, self.reading = _FACTS[word]
        self.default_step, self.default_round_to, self.default_least_drop, self.default_spacing = customary
