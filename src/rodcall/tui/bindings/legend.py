"""The marks of the plan and what each means, one a line: the mark in the first seven columns."""

from __future__ import annotations

from rodcall.i18n import phrase

LEGEND = (
    phrase("+ -    HIGH (cut) and LOW (fill), orange and purple, deeper with distance"),
    phrase("C F    cut and fill, where a cell is too narrow for the words"),
    phrase("!      out of tolerance, in reverse"),
    phrase("[ ]    where the next reading is written"),
    phrase(".      not shot yet"),
    phrase("b      not shot yet in this round: as it was before"),
    phrase("x      left out: counts nowhere"),
    phrase("/      not pad: no part of it in any round"),
    phrase("*      read more than once"),
    phrase("s      suspect: a check after it was bad"),
    phrase("~      does not fit its neighbors: read it again"),
    phrase("3      two readings disagree: read a third"),
    phrase("k      does not fit, kept by an older version"),
    phrase("z      the zero"),
    phrase("water  ^ v < > the way it runs, as the pad lies; o it stands"),
    phrase(": :    on the apron, outside of the footprint"),
    phrase("shades # + HIGH out, in   = - LOW out, in   o goal"),
)
