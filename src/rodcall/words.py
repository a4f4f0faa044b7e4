"""How figures are said: the trade's words for heights, deviations and the rod, and text made harmless to show.

Screens, sheets and shell all speak through this, so that they say the same.
"""

from __future__ import annotations

import unicodedata
from fractions import Fraction

from rodcall.book.entries import Readings
from rodcall.book.job import Job
from rodcall.figures.summary import Summary
from rodcall.lengths import FOOT, M, Unit, in_words, write

NOTHING = "-"
"""What stands where there is nothing to say."""


UNIT_WORDS = {Unit.IN: "inches", Unit.FT: "feet", Unit.MM: "mm", Unit.CM: "cm", Unit.M: "m"}
WAY_WORDS = {Readings.HEIGHT: "heights", Readings.ROD: "plain rod", Readings.DIRECT_ROD: "direct rod"}


def reading_words(unit: Unit, readings: Readings) -> str:
    """How readings are taken: `heights, inches`, `plain rod, feet`."""
    return f"{WAY_WORDS[readings]}, {UNIT_WORDS[unit]}"


def height(job: Job, nm: int | None, *, mark: bool = False) -> str:
    """A height exactly as it counts: `-1-3/8`, `+0.04`, `0`."""
    return NOTHING if nm is None else write(nm, job.heights, mark=mark)


def rounded(job: Job, value: int | Fraction | float | None, *, mark: bool = False) -> str:
    """A height that was worked out, at the job's reading step."""
    if value is None:
        return NOTHING
    exact = Fraction(value) if isinstance(value, float) else value
    return write(exact, job.heights, step=job.step, mark=mark)


def rod(job: Job, nm: int | None) -> str:
    """A rod reading: no sign, with its mark."""
    return NOTHING if nm is None else write(nm, job.heights, sign=False, mark=True)


def grade_words(job: Job, nm: int) -> str:
    """A height in words: `LOW 1-3/8`, `HIGH 0.04`, `ON GRADE`."""
    return in_words(nm, job.heights)


def work_words(job: Job, deviation: int | None) -> str:
    """What a deviation asks for: `fill 7/8`, `cut 1/4`, `on target`."""
    if deviation is None:
        return ""
    if deviation == 0:
        return "on target"
    return f"{'cut' if deviation > 0 else 'fill'} {write(abs(deviation), job.heights, sign=False)}"


def read_back(summary: Summary, index: int) -> str:
    """What the typist shouts back: `B3  LOW 1-3/8  fill 7/8`."""
    nm = summary.height_at(index)
    name = summary.grid.name(index)
    if nm is None:
        return name
    parts = [name, grade_words(summary.job, nm), work_words(summary.job, summary.deviation_at(index))]
    return "  ".join(part for part in parts if part)


def slide(summary: Summary) -> str:
    """Which way the receiver goes on the rod: a LOWER target slides it UP."""
    if summary.target is None:
        return NOTHING
    offset = summary.target.offset_nm
    if offset == 0:
        return "stays"
    return f"{'UP' if offset < 0 else 'DOWN'} {write(abs(offset), summary.job.heights, sign=False, mark=True)}"


def tape(job: Job, nm: int) -> str:
    """A distance as one tapes it off: feet and inches to the half inch, or metres to the centimetre."""
    if job.heights in (Unit.IN, Unit.FT):
        return write(nm, Unit.IN, step=FOOT // 24, sign=False, mark=True)
    return write(nm, Unit.M, step=M // 100, sign=False, mark=True)


def harmless(text: str, width: int | None = None) -> str:
    """Text of any origin as it may be shown: one line, no control, format or bidirectional characters.

    What cannot be shown as it is becomes a middle dot; with a width, what is too long ends in two points.
    """
    shown = "".join("·" if unicodedata.category(char)[0] == "C" or char in "\u2028\u2029" else char for char in text)
    if width is not None and len(shown) > width:
        return shown[: max(width - 2, 0)] + ".."[:width]
    return shown
