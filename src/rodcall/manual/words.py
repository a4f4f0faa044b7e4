"""The glossary: each word of the trade once, with what it means on screen, sheet, shell and in the code."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from rodcall.i18n import phrase

WORDS: Mapping[str, str] = MappingProxyType(
    {
        phrase("apron"): phrase("strip between the footprint and the edge of the pad"),
        phrase("as-built"): phrase("the ground as it is when the work is done, and the sheet that shows it"),
        phrase("average"): phrase("plain mean of the heights of a round: add them up and divide by their number"),
        phrase("backsight"): phrase("a reading on a reference, to tie a set-up of the level to it"),
        phrase("balance"): phrase("the target where the cut makes just enough fill"),
        phrase("bank, loose, compacted"): phrase("dirt in the ground, in the bucket or truck, and rolled"),
        phrase("benchmark"): phrase("a reference that is a known point"),
        phrase("book"): phrase("all entries of a job in order; nothing is erased from it"),
        phrase("certificate"): phrase("the as-built sheet, issued with a number and a digest"),
        phrase("check shot"): phrase("a reading of a reference, to prove that nothing moved since the last one"),
        phrase("crew tolerance"): phrase("the crew's own limit, tighter than the tolerance"),
        phrase("cut"): phrase("dirt to take away: the spot is HIGH"),
        phrase("deviation"): phrase("height minus target: above 0 is HIGH, below 0 is LOW"),
        phrase("digest"): phrase("a code of 64 digits that only this book has"),
        phrase("does not fit"): phrase(
            "an outlier: a reading out of line with its neighbours, perhaps misread or mistyped"
        ),
        phrase("drift"): phrase("how much higher a reference reads than it is"),
        phrase("entry"): phrase("one line of the book: a shot, a check shot, a target, a note"),
        phrase("fill"): phrase("dirt to bring: the spot is LOW"),
        phrase("final round"): phrase("the round that proves the pad"),
        phrase("footprint"): phrase("the part of the pad that the building or tank will cover"),
        phrase("grade"): phrase("the finished height; on grade is neither high nor low"),
        phrase("haul"): phrase("to carry dirt from cut to fill, and how far"),
        phrase("height"): phrase("how far the ground is above (+) or below (-) the zero"),
        phrase("HIGH, LOW"): phrase("above or below the target; before a target is chosen, above or below the zero"),
        phrase("left out"): phrase("a spot in no figure of this round: a rut, a pile"),
        phrase("level"): phrase("the rotating laser or other level on its tripod"),
        phrase("not pad"): phrase("a spot that is not pad in any round: a missing corner, a stump"),
        phrase("NOT PROVEN"): phrase("no spot is out of tolerance, but something on the punch list is open"),
        phrase("out of tolerance"): phrase("farther from the target than the tolerance allows"),
        phrase("pad"): phrase("the level or sloped surface to build"),
        phrase("plain rod"): phrase("a rod with 0 at its foot: a bigger reading is lower ground"),
        phrase("direct-reading rod"): phrase("a rod whose scale runs the other way: a bigger reading is higher ground"),
        phrase("plus/minus"): phrase("the uncertainty of a height: two standard deviations"),
        phrase("position"): phrase("a place of the grid with its name: A1 is the near left corner"),
        phrase("punch list"): phrase("everything open before the pad is proven"),
        phrase("reading"): phrase("the number that was called out and typed"),
        phrase("receiver"): phrase("the part on the rod that finds the laser beam"),
        phrase("reference"): phrase("something fixed with a known height: a benchmark, a nail, the zero"),
        phrase("rod"): phrase("the staff that the helper holds on the ground and reads"),
        phrase("rod reading to hit"): phrase("what the rod reads when the spot is on target"),
        phrase("round"): phrase("all shots over the grid between two passes of work: existing, working, final"),
        phrase("set-up"): phrase("one place of the tripod, with the level on it"),
        phrase("shot"): phrase("a reading at a position, written into the book"),
        phrase("shrink"): phrase("share of the cut lost when compacted: fill made = cut x (1 - shrink)"),
        phrase("spare, short"): phrase("dirt left over, and dirt that is missing"),
        phrase("spoil"): phrase("dirt to haul off the pad"),
        phrase("spot"): phrase("a position, or the ground there"),
        phrase("struck"): phrase("lined out in the book: still legible, in no figure"),
        phrase("suspect"): phrase("a shot between the last good check shot and a bad one"),
        phrase("swell"): phrase("growth of dirt from the bank to loose"),
        phrase("target"): phrase("the height to dig to, at the zero, with its slopes"),
        phrase("term"): phrase("a value agreed for one job: a limit, the dirt, the machine"),
        phrase("tolerance"): phrase("how far from the target a spot may be and still pass; equal to it passes"),
        phrase("too close to call"): phrase("nearer to its limit than its plus/minus"),
        phrase("turning point"): phrase("a firm point between two set-ups, read from both"),
        phrase("verdict"): phrase("PASS, FAIL or NOT PROVEN, read off the punch list"),
        phrase("walking order"): phrase("the way from spot to spot, back and forth"),
        phrase("zero"): phrase("the position or reference from which heights are measured"),
    }
)
"""Both are said in the language that is spoken."""
