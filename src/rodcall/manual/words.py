"""The trade's words as this program uses them: one name for each thing, on screen, sheet, shell and in the code."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

WORDS: Mapping[str, str] = MappingProxyType(
    {
        "apron": "the strip between the footprint and the edge of the pad",
        "as-built": "how the ground lies when the work is done, and the sheet that says so",
        "backsight": "a reading on a reference, by which a set-up of the level is tied to it",
        "benchmark": "a reference that is a known point",
        "check shot": "a reading of a reference, to prove that nothing moved since the last one",
        "crew tolerance": "the crew's own limit, tighter than the tolerance",
        "cut": "dirt to take away: the spot is HIGH",
        "does not fit": "a reading out of line with its neighbors, which may be misread or mistyped",
        "drift": "how much higher a reference reads than it is",
        "fill": "dirt to bring: the spot is LOW",
        "final round": "the round that proves the pad",
        "footprint": "the part of the pad that the building or tank will cover",
        "grade": "the height wanted; on grade: neither high nor low",
        "haul": "carrying dirt from cut to fill, and how far",
        "HIGH, LOW": "above or below what it is told from: the zero, or the target",
        "left out": "a spot that counts in no figure of this round: a rut, a pile",
        "not pad": "a spot that is no part of the pad in any round: a missing corner, a stump",
        "NOT PROVEN": "no spot is out of tolerance, but something on the punch list is open",
        "pad": "the level or sloped surface that is built",
        "plain rod": "a rod with 0 at its foot: a bigger reading is lower ground",
        "direct-reading rod": "a rod whose scale runs the other way: a bigger reading is higher ground",
        "plus/minus": "uncertainty of a height: two standard deviations",
        "punch list": "everything open before the pad is proven",
        "reading": "what was called out and typed",
        "receiver": "the part on the rod that finds the laser's beam",
        "reference": "something fixed whose height is known: a benchmark, a nail, the zero",
        "rod": "the staff that is held on the ground and read",
        "rod reading to hit": "what the rod must read for the spot to be on target",
        "round": "all shots over the grid between two states of the ground: existing, working, final",
        "set-up": "one stand of the tripod, with the level on it",
        "shot": "a reading at a spot of the grid, as it is written into the book",
        "shrink": "share of cut lost when compacted: fill made = cut x (1 - shrink)",
        "spare": "dirt left over; below 0 it is short",
        "spoil": "dirt that is hauled off",
        "suspect": "a shot between the last good check and a bad one",
        "target": "the height to dig to, at the zero, with its slopes",
        "tolerance": "how far from the target a spot may be and still pass; equal to it is inside",
        "turning point": "a firm point between two set-ups, read from both",
        "verdict": "PASS, FAIL or NOT PROVEN, read off the punch list",
        "zero": "the position or reference that heights are told from",
    }
)
