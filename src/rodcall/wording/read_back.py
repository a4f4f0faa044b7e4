"""The read-back of one act: made once, then shown, spoken and sent.

A crew shouts back what was understood, so that a misheard reading is found while the rod still stands there.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field, replace
from enum import IntEnum
from typing import TYPE_CHECKING

from rodcall.book.fold.round_page import LEFT_OUT, Change, Line
from rodcall.book.model.entries import (
    Check,
    Entry,
    LaserCheck,
    LeaveOut,
    MachineCheck,
    Note,
    NotPad,
    Reference,
    Round,
    Setup,
    Shot,
    Target,
    Zero,
)
from rodcall.book.model.own_reasons import reason_words
from rodcall.figures.summary import Summary
from rodcall.frozen import Frozen
from rodcall.i18n import counted, say
from rodcall.wording import proof as words_proof
from rodcall.wording import words

# What the first screen does not say is imported when it is asked for: a crew that was interrupted waits for that.
if TYPE_CHECKING:
    from rodcall.figures.outliers.line_mistakes import BadLine
    from rodcall.figures.outliers.outlier import Bust


class Call(IntEnum):
    """How a read-back is called out, as the number of bells that tell it."""

    TAKEN = 1
    LOOK = 2
    """Something is to be done about it now: read again, check again, answer a question."""
    OUT = 3
    """Taken, and out of tolerance."""


class ReadBack(Frozen):
    """What an act came to, in the words of the trade: `A1`, `LOW 1-3/8`, `fill 7/8`."""

    parts: tuple[str, ...]
    """What is shouted, the most wanted first; each part is legible by itself."""
    beside: str = ""
    """What is shown beside it in small letters, and not spoken."""
    order: str = ""
    """What is to be done about it, in a line of its own; empty where nothing is."""
    call: Call = Call.TAKEN
    spot: int | None = field(default=None, compare=False)
    """Index of the position that it is about, or None."""

    @property
    def spoken(self) -> str:
        """All parts in one line, two blanks apart."""
        return "  ".join(self.parts)

    @property
    def text(self) -> str:
        """The same with what stands beside it: `A1  LOW 1-3/8  (was -1-1/4, 1/8 lower)`."""
        return f"{self.spoken}  ({self.beside})" if self.beside else self.spoken

    def ordering(self, order: str) -> ReadBack:
        """The same with something to be done about it."""
        return replace(self, order=order)


def at_spot(summary: Summary, index: int) -> ReadBack:
    """What counts at a position: `B3`, `LOW 1-3/8`, `fill 7/8`; its name alone where nothing does."""
    nm = summary.height_at(index)
    name = summary.grid.name(index)
    if summary.state[index] == LEFT_OUT:
        return ReadBack((name, say("LEFT OUT")), spot=index)
    if nm is None:
        return ReadBack((name,), spot=index)
    told = name, words.level_words(summary, nm), words.work_words(summary.job, summary.deviation_at(index))
    return ReadBack(tuple(part for part in told if part), spot=index)


def written(summary: Summary, change: Change) -> ReadBack:
    """What an entry came to that was just written.

    Args:
        summary: Of the page with the entry.
        change: What it did.
    """
    told = _OF_KIND.get(type(change.line.entry))
    return told(summary, change) if told is not None and not change.undone else again(summary, change)


def again(summary: Summary, change: Change) -> ReadBack:
    """What striking an entry came to, or taking that back."""
    entry, index = change.line.entry, change.line.index
    if isinstance(entry, NotPad):
        where = entry.position if entry.to is None else f"{entry.position}:{entry.to}"
        if change.undone:
            return ReadBack((say("STRUCK"), say("{position} is pad again", position=where)))
        return ReadBack((where, say("NOT PAD")))
    if not isinstance(entry, Shot | LeaveOut):
        return ReadBack((say("STRUCK") if change.undone else say("WRITTEN"), _named(entry)))
    name = summary.grid.name(index)
    if change.undone and change.now_nm is not None:
        return ReadBack((say("STRUCK"), *at_spot(summary, index).parts), spot=index)
    if change.undone:
        return ReadBack((say("STRUCK"), say("{position} is open again", position=name)), spot=index)
    if change.now_nm is None:
        return ReadBack((name, say("LEFT OUT")), spot=index)
    return _shot(summary, change)


def line_put_right(summary: Summary, changes: Sequence[Change]) -> ReadBack:
    """What an answer about a whole line did to it, or taking that back."""
    number = changes[0].line.index // summary.grid.across + 1
    if changes[0].undone:
        return ReadBack((say("LINE {number} AS READ", number=number),))
    return ReadBack((say("LINE {number} CORRECTED", number=number),))


def read_in(summary: Summary, changes: Sequence[Change], source: str) -> ReadBack:
    """What a file came to that was read in: so many readings, or the target by heights and what that asks for."""
    shots = sum(isinstance(change.line.entry, Shot) for change in changes)
    what = counted(shots, "{number} reading", "{number} readings") if shots else say("target by heights")
    order = written(summary, changes[-1]).order
    return ReadBack((say("READ IN"), what), beside=words.harmless(source, 40), order="" if shots else order)


# -- a reading that is to be read again ---------------------------------------------------------------------


def does_not_fit(summary: Summary, bust: Bust) -> ReadBack:
    """A reading that does not fit: the key first, since a small screen cuts the order at its end."""
    from rodcall.wording import outliers as words_outlier

    name = summary.grid.name(bust.index)
    why = bust.explanations[0] if bust.explanations else None
    told = words_outlier.doubt_words(summary, bust, why)
    order = f"{say('= reads {position} again', position=name)}.  {told}"
    return ReadBack((name, say("READ AGAIN")), order=order, call=Call.LOOK, spot=bust.index)


def readings_disagree(summary: Summary, spot: int, readings: Sequence[Line]) -> ReadBack:
    """Two readings of one spot that disagree: a third decides."""
    name, zero = summary.grid.name(spot), summary.evidence.zero_level_nm
    told = ", ".join(words.level_words(summary, line.datum_nm - zero) for line in readings[-2:])
    order = say("= reads {position} again.  It was read {readings}", position=name, readings=told)
    return ReadBack((name, say("READ A THIRD TIME")), order=order, call=Call.LOOK, spot=spot)


def line_does_not_fit(summary: Summary, told: ReadBack, bad: BadLine) -> ReadBack:
    """A reading that completes a line which does not fit; the key first."""
    from rodcall.wording import outliers as words_outlier

    order = f"{say('Tab shows it')}: {words_outlier.line_words(summary, bad)}"
    return replace(told, order=order, call=Call.LOOK)


# -- each kind of entry -------------------------------------------------------------------------------------


def _shot(summary: Summary, change: Change) -> ReadBack:
    index = change.line.index
    told = at_spot(summary, index)
    if summary.out_mask[index]:
        told = replace(told, call=Call.OUT)
    if change.before_nm is None or change.now_nm is None:
        return told
    by = change.now_nm - change.before_nm
    if by == 0:
        return replace(told, beside=say("same as before"))
    job = summary.job
    apart = words.height(job, abs(by)).removeprefix("+")
    moved = say("{by} higher", by=apart) if by > 0 else say("{by} lower", by=apart)
    was = words.level(summary, change.before_nm)
    return replace(told, beside=say("was {height}, {moved}", height=was, moved=moved))


def _left_out(summary: Summary, change: Change) -> ReadBack:
    entry, index = change.line.entry, change.line.index
    assert isinstance(entry, LeaveOut)
    reason = words.harmless(reason_words(entry.reason))
    return ReadBack((summary.grid.name(index), say("LEFT OUT")), reason, spot=index)


def _not_pad(summary: Summary, change: Change) -> ReadBack:
    entry, grid = change.line.entry, summary.grid
    assert isinstance(entry, NotPad)
    first, last = entry.position, entry.to or entry.position
    number = len(grid.rectangle(grid.index(first), grid.index(last)))
    where = first if first == last else say("{first} to {last}", first=first, last=last)
    spots = counted(number, "{number} spot not pad, in any figure", ("{number} spots not pad, in any figure"))
    return ReadBack((where, say("NOT PAD")), spots)


def _check(summary: Summary, _: Change) -> ReadBack:
    bad = bool(summary.trust.unresolved)
    told = words_proof.check_words(summary, summary.trust.checks[-1])
    return ReadBack((told,), call=Call.LOOK if bad else Call.TAKEN)


def _set_up(_: Summary, change: Change) -> ReadBack:
    entry = change.line.entry
    assert isinstance(entry, Setup)
    return ReadBack((say("SET-UP {name}", name=entry.reference), entry.said))


def _target(summary: Summary, _: Change) -> ReadBack:
    target = summary.target
    assert target is not None
    order = ""
    if summary.counted and len(summary.references) == 1:
        order = say("b writes a reference off the pad: do it before you dig")
    height = say("TARGET {height}", height=words.level(summary, target.offset_nm))
    return ReadBack((height, f"{say('receiver')} {words.slide(summary)}"), order=order)


def _round(summary: Summary, _: Change) -> ReadBack:
    return ReadBack((say("ROUND {number}", number=summary.round), say(summary.kind)))


def _reference(summary: Summary, change: Change) -> ReadBack:
    entry = change.line.entry
    assert isinstance(entry, Reference)
    height = summary.references.get(entry.name)
    return ReadBack((f"{entry.name} {words.level_words(summary, height)}",)) if height is not None else _any(change)


def _zero(_: Summary, change: Change) -> ReadBack:
    entry = change.line.entry
    assert isinstance(entry, Zero)
    return ReadBack((say("{position} is the zero", position=entry.position),))


def _note(_: Summary, __: Change) -> ReadBack:
    return ReadBack((say("note written"),))


def _laser(summary: Summary, _: Change) -> ReadBack:
    return ReadBack((words_proof.laser_words(summary.laser_results[-1]),))


def _machine(summary: Summary, _: Change) -> ReadBack:
    return ReadBack((words_proof.machine_words(summary),))


def _any(change: Change) -> ReadBack:
    return ReadBack((say("WRITTEN"), _named(change.line.entry)))


_OF_KIND: Mapping[type[Entry], Callable[[Summary, Change], ReadBack]] = {
    LeaveOut: _left_out,
    NotPad: _not_pad,
    Check: _check,
    Setup: _set_up,
    Target: _target,
    Round: _round,
    Reference: _reference,
    Zero: _zero,
    Note: _note,
    LaserCheck: _laser,
    MachineCheck: _machine,
}
"""Kinds of which more is told than that they were written."""


def _named(entry: Entry) -> str:
    """An entry in a few words: its kind and what it says."""
    told = (getattr(entry, name, "") for name in ("name", "reference", "position", "order", "round", "text", "said"))
    return " ".join([getattr(entry, "kind", ""), *(str(each) for each in told if each)])
