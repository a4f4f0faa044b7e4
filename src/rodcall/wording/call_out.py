"""What the helper has to know, in words: where next, what was read back, the rod reading to hit. Screen and phone."""

from __future__ import annotations

from rodcall.figures.summary import Summary
from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.wording import words
from rodcall.wording.read_back import Call, ReadBack


class CallOut(Frozen):
    """What is called out, each in as few words as it can be said in."""

    position: str
    tapes: tuple[str, ...]
    """Out and to the right, from the pad's near left corner; none where nothing is left to be shot."""
    read_back: tuple[str, ...]
    """What was taken last, in more words and in fewer."""
    wanted: str
    """What is to be hit there; the verdict where nothing is left to be shot; empty before a target."""
    on_the_rod: bool
    """What is to be hit is a reading of the rod; else a height."""
    state: str = ""
    """How many are left, the check, the unit."""
    alarm: tuple[str, ...] = ()
    """What takes the whole page, a line each: a reading that does not fit, or a bad check."""


def call_out(summary: Summary, at: int | None, read_back: ReadBack, check: str = "", verdict: str = "") -> CallOut:
    """What the helper has to know.

    Args:
        summary: Of the page.
        at: Index of the next position, or None where all are shot.
        read_back: What the last act came to.
        check: How the last check shot reads, in words.
        verdict: As the punch list has it.
    """
    # Name, height, and cut or fill; in fewer words where the letters would have to be smaller for more.
    parts = [words.harmless(part) for part in read_back.parts]
    said = tuple(dict.fromkeys((" ".join(parts), " ".join(parts[:2]), parts[0])))
    left = len(summary.missing)
    still = say("{number} left", number=left) if left else say("all shot")
    state = "   ".join(filter(None, (still, check, words.unit_word(summary.job.heights))))
    position, hit = say("ALL SHOT"), verdict
    tapes: tuple[str, ...] = ()
    if at is not None:
        away, right = tapes_to(summary, at)
        position, tapes, hit = summary.grid.name(at), (f"^ {away}", f"> {right}"), to_hit(summary, at)
    if hit == words.NOTHING:
        hit = ""
    return CallOut(position, tapes, said, hit, summary.level is not None, state, _alarm(summary, read_back))


def _alarm(summary: Summary, read_back: ReadBack) -> tuple[str, ...]:
    """What the helper must do before walking on; nothing where all is well."""
    if read_back.call is Call.LOOK and read_back.spot is not None:
        return say("STAY AT {position}", position=summary.grid.name(read_back.spot)), say("READ AGAIN")
    if read_back.call is Call.LOOK and summary.trust.unresolved:
        return say("STOP"), say("BAD CHECK"), say("CHECK AGAIN")
    return ()


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
