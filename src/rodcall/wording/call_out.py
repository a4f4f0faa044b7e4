"""What the helper has to know, in words: where next, what was read back, the rod reading to hit. Screen and phone."""

from __future__ import annotations

from dataclasses import dataclass

from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.wording import words
from rodcall.wording.read_back import ReadBack


@dataclass(frozen=True)
class CallOut:
    """What is called out, each in as few words as it can be said in."""

    position: str
    tapes: tuple[str, ...]
    """Away and to the right, from the pad's near left corner; none where nothing is left to be shot."""
    read_back: tuple[str, ...]
    """What was taken last, in more words and in fewer."""
    wanted: str
    on_the_rod: bool
    """What is wanted is a reading of the rod; else a height."""


def call_out(summary: Summary, at: int | None, read_back: ReadBack) -> CallOut:
    """What the helper has to know.

    Args:
        summary: Of the page.
        at: Index of the next position, or None where all are shot.
        read_back: What the last act came to.
    """
    first, *more = map(words.harmless, read_back.parts)
    said = (f"{first} {more[0]}", first) if more else (first,)
    if at is None:
        return CallOut(say("ALL SHOT"), (), said, words.NOTHING, summary.level is not None)
    away, right = tapes_to(summary, at)
    return CallOut(
        summary.grid.name(at), (f"^ {away}", f"> {right}"), said, to_hit(summary, at), summary.level is not None
    )


def tapes_to(summary: Summary, at: int) -> tuple[str, str]:
    """Tape distances to a spot from the pad's near left corner: away, and to the right."""
    job, grid = summary.job, summary.grid
    row, column = divmod(at, grid.across)
    away, right = (int(nm) + grid.inset for nm in (grid.along_nm[row], grid.across_nm[column]))
    return words.tape(job, away), words.tape(job, right)


def to_hit(summary: Summary, at: int) -> str:
    """What the rod reads, or how high the ground is, when it is right there; a mark while nobody chose the target."""
    job, rod = summary.job, summary.rod_at(at)
    if summary.target_heights is None:
        return words.NOTHING
    mark = "" if summary.chosen else " ?"
    if rod is None:
        return words.rounded_level_words(summary, int(summary.target_heights[at])) + mark
    return words.rod(job, round(rod / job.step) * job.step) + mark
