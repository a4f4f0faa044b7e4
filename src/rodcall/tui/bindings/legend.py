"""The legend: each mark of the plan and what it means, for the page that explains them."""

from __future__ import annotations

from rodcall.frozen import Frozen
from rodcall.i18n import phrase


class LegendRow(Frozen):
    """A mark, or a word for a group of them, and what it means; both are said where they are shown."""

    mark: str
    means: str


BEFORE = "b"
"""Mark of a height of the round before."""
SUSPECT, THIRD, OPEN, KEPT = "s", "3", "~", "k"
"""A bad check speaks against it; two readings disagree; does not fit; kept by an older book."""
SHADES = phrase("# + HIGH out, in   = - LOW out, in   o crew tol.")
"""What the characters of the overview mean."""

LEGEND = (
    LegendRow("+ -", phrase("HIGH (cut) and LOW (fill), orange and purple, deeper with distance")),
    LegendRow(phrase("C F"), phrase("cut and fill, where a cell is too narrow for the words")),
    LegendRow("!", phrase("out of tolerance, in reverse")),
    LegendRow("[ ]", phrase("where the next reading is written")),
    LegendRow(".", phrase("not shot yet")),
    LegendRow(BEFORE, phrase("not shot yet in this round: as it was before")),
    LegendRow(
        "x",
        phrase("left out of every figure of this round"),
    ),
    LegendRow("/", phrase("not pad, in any round")),
    LegendRow("*", phrase("read more than once")),
    LegendRow(SUSPECT, phrase("suspect: a check after it was bad")),
    LegendRow(OPEN, phrase("does not fit its neighbours: read it again")),
    LegendRow(THIRD, phrase("two readings disagree: read a third")),
    LegendRow(KEPT, phrase("does not fit, kept by an older version")),
    LegendRow("z", phrase("the zero")),
    LegendRow(phrase("water"), phrase("^ v < > where water runs on the pad now; o standing water")),
    LegendRow(": :", phrase("off the footprint (apron), or off the zone with a tolerance of its own")),
    LegendRow(phrase("shades"), SHADES),
)
