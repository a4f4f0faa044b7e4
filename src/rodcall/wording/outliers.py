"""How a reading that does not fit is said: what was read, what would fit, and the mistake that may explain it."""

from __future__ import annotations

from rodcall.book.fold.round_page import SHOT
from rodcall.figures.outliers.line_mistakes import BadLine, LineMistake
from rodcall.figures.outliers.mistakes import Mistake
from rodcall.figures.outliers.outlier import Bust, Explanation
from rodcall.figures.summary import Summary
from rodcall.frozen import Frozen
from rodcall.i18n import phrase, say
from rodcall.wording import words

MISTAKES = {
    Mistake.FOOT: phrase("ONE FOOT off?"),
    Mistake.TENTH: phrase("ONE TENTH off?"),
    Mistake.INCH: phrase("ONE INCH off?"),
    Mistake.METRE: phrase("ONE METRE off?"),
    Mistake.DECIMETRE: phrase("TEN CENTIMETRES off?"),
    Mistake.CENTIMETRE: phrase("ONE CENTIMETRE off?"),
    Mistake.SIGN: phrase("WRONG SIGN?"),
    Mistake.INCHES_FOR_TENTHS: phrase("INCHES FOR TENTHS?"),
    Mistake.TENTHS_FOR_INCHES: phrase("TENTHS FOR INCHES?"),
    Mistake.SWAPPED: phrase("DIGITS SWAPPED?"),
    Mistake.LOST: phrase("A DIGIT LOST?"),
    Mistake.SECTION: phrase("A ROD SECTION NOT OUT?"),
    Mistake.TEENS: phrase("TEEN FOR TEN?"),
    Mistake.LOST_SLASH: phrase("SLASH MISSING?"),
    Mistake.TEN_TIMES: phrase("TEN TIMES off?"),
    Mistake.LOST_POINT: phrase("DECIMAL POINT MISSING?"),
}

LINE_MISTAKES = {
    LineMistake.SHIFTED_UP: phrase("each reading one position on"),
    LineMistake.SHIFTED_DOWN: phrase("each reading one position back"),
    LineMistake.FLIPPED: phrase("all signs the other way"),
    LineMistake.MIRRORED: phrase("typed from the other end"),
}


def doubt_words(summary: Summary, bust: Bust, why: Explanation | None = None) -> str:
    """What does not fit, and what would: `HIGH 14 does not fit, about LOW 1/4.  ONE FOOT off?`.

    Args:
        summary: Of the page.
        bust: What speaks against the reading.
        why: The mistake that may explain it, if there is one: a hint, never more.
    """
    told = say(
        "{reading} does not fit, about {expected}.",
        reading=words.level_words(summary, bust.height_nm),
        expected=words.rounded_level_words(summary, bust.expected_nm),
    )
    if why is None:
        return told
    return f"{told}  {say(MISTAKES[why.mistake])} {say('Then {reading}', reading=why.text)}"


def line_words(summary: Summary, bad: BadLine) -> str:
    """What would put a whole line right."""
    return say(
        "line {number} would fit better: {mistake}.", number=bad.row + 1, mistake=say(LINE_MISTAKES[bad.mistake])
    )


class LineRow(Frozen):
    """One spot of a line that does not fit; a reading is None where there is none."""

    spot: str
    as_read: str | None
    would_be: str | None

    @property
    def changes(self) -> bool:
        """Does it differ?"""
        return self.as_read != self.would_be


def line_rows(summary: Summary, bad: BadLine) -> tuple[LineRow, ...]:
    """The line spot by spot, in readings as they are called out.

    Args:
        summary: Of the page.
        bad: What is wrong with the line.
    """
    across = summary.grid.across
    way = summary.way_at(bad.row * across)
    rows = []
    for column in range(across):
        index = bad.row * across + column
        read = way.text(way.reading(int(summary.heights[index]))) if summary.state[index] == SHOT else None
        would_be = way.text(way.reading(int(bad.heights[column]))) if bad.counts[column] else None
        rows.append(LineRow(summary.grid.name(index), read, would_be))
    return tuple(rows)
