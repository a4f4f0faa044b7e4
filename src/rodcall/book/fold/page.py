"""The page that a book's entries fold into: the state of each round, one entry at a time.

`PageState` is what counts now, `Writing` what one more entry does to it, and `Page` what an entry does to those before
it: strikes, decisions about suspect shots, and mended facts.
"""

from __future__ import annotations

from rodcall.book.fold.page_error import PageError
from rodcall.book.fold.page_state import ALLOWED_DRIFT, ZERO
from rodcall.book.fold.round_page import Change, Line
from rodcall.book.fold.writing import CLOCK_SET_BACK, MOST_FACTS, MOST_ROUNDS, Writing
from rodcall.book.model.entries import (
    Check,
    Confirm,
    Damage,
    Decision,
    Entry,
    Fact,
    LeaveOut,
    NotPad,
    Outline,
    Remedy,
    Setup,
    Shot,
    Strike,
)
from rodcall.book.model.entry_names import kind_words
from rodcall.book.model.facts import FactError
from rodcall.book.model.grid import GridError, moved
from rodcall.book.model.job import Job
from rodcall.book.model.mended_job import ADDED_AT_A1, LAID_OUT, mended
from rodcall.book.model.restated import NOTHING_ADDED, Origin
from rodcall.i18n import counted, say

__all__ = [
    "ALLOWED_DRIFT",
    "CLOCK_SET_BACK",
    "MOST_DECISIONS",
    "MOST_FACTS",
    "MOST_ROUNDS",
    "ZERO",
    "Page",
    "PageError",
]

MOST_DECISIONS = 1000
"""Each costs time as the page is large, and a file may come from anybody."""

MOST_LAID_AGAIN = 1_000_000
"""Entries folded again for facts that were mended: some 20 seconds, and no crew comes near it."""


class Page(Writing):
    """The state of the book after its last entry.

    `add` is the only way in; everything else is to be read. Heights that it tells (`heights_nm`, `references`) are
    nanometres above the zero in force.
    """

    def _strike(self, entry: Strike) -> Change:
        key = entry.written_on, entry.strikes
        struck = self.lines.get(key)
        if struck is None:
            raise PageError(say("it strikes entry {number}, which is not in the book", number=entry.strikes))
        if isinstance(struck.entry, Damage):
            raise PageError(say("entry {number} records damage: it cannot be struck", number=entry.strikes))
        if entry.tablet in struck.struck_by:
            raise PageError(say("entry {number} is already struck", number=entry.strikes))
        line = Line(entry, round=self.round_index, order=len(self.lines))
        if isinstance(struck.entry, Strike):
            change = self._strike_a_strike(line, struck, struck.entry)
        else:
            if isinstance(struck.entry, Fact) and not struck.struck and self._struck is None:
                self._mend([line for line in self._facts if line is not struck])
                struck = self.lines[key]
            if struck.hanging:
                raise PageError(
                    counted(
                        struck.hanging,
                        "{number} shot hangs on that {kind}; strike it first",
                        "{number} shots hang on that {kind}; strike them first",
                        kind=kind_words(struck.entry),
                    )
                )
            if isinstance(struck.entry, Outline) and not struck.struck:
                self.edge.bound_without(struck)
            # Joined books may both have struck it; the first strike has done what there is to do.
            done, struck.struck_by = struck.struck or struck.aside, (*struck.struck_by, entry.tablet)
            change = Change(struck, undone=True) if done else self._count(struck, again=False)
            self.acts.struck(line)
        self.lines[entry.tablet, entry.number] = line
        return change

    def _strike_a_strike(self, line: Line, struck: Line, strike: Strike) -> Change:
        """Take a strike back: what it struck counts again, unless another tablet struck it too."""
        of_revived, of_struck = (strike.written_on, strike.strikes), (struck.entry.tablet, struck.entry.number)
        revived = self.lines[of_revived]
        if isinstance(revived.entry, Strike):
            raise PageError(
                say(
                    "entry {number} undid a strike; strike entry {other} instead",
                    number=strike.number,
                    other=revived.entry.strikes,
                )
            )
        if self._struck is None and not struck.struck and set(revived.struck_by) == {strike.tablet}:
            if revived.aside:
                raise PageError(
                    say("entry {number} is off the grid as it is now; mend size or counts first", number=strike.strikes)
                )
            if isinstance(revived.entry, Fact):
                self._mend(sorted([*self._facts, revived], key=lambda each: each.order))
                revived, struck = self.lines[of_revived], self.lines[of_struck]
        if not struck.struck and set(revived.struck_by) == {strike.tablet} and isinstance(revived.entry, NotPad):
            self.edge.may_deny(revived)
        if not struck.struck and set(revived.struck_by) == {strike.tablet} and isinstance(revived.entry, Outline):
            self.edge.bound_with(revived)
        done, struck.struck_by = struck.struck, (*struck.struck_by, line.entry.tablet)
        if not done:
            revived.struck_by = tuple(each for each in revived.struck_by if each != strike.tablet)
        if done or revived.struck or revived.aside:
            return Change(revived, undone=revived.struck)
        change = self._count(revived, again=True)
        self.acts.revived(line, revived)
        return change

    def _count(self, line: Line, *, again: bool) -> Change:
        """Let a line count again, or no longer."""
        here = self.rounds[line.round]
        positioned = isinstance(line.entry, Shot | LeaveOut)
        before = here.height_at(line.index) if positioned else None
        if not positioned:
            if isinstance(line.entry, Decision) and line.base is not None:
                self._move(line.moved, -line.base.drift_nm if again else line.base.drift_nm)
            if isinstance(line.entry, Confirm) and line.base is not None:
                self.rounds[line.base.round].recount_kept(line.index)
            if isinstance(line.entry, NotPad):
                self.edge.deny(line, counts=again)
                self.round.last = line.index
            self._take_stock()
            return Change(line, undone=not again)
        self._hang(line, 1 if again else -1)
        here.count(line, again=again)
        return self._changed(line, before, here.height_at(line.index), undone=not again)

    # -- suspect shots ----------------------------------------------------------------------------------------------

    def _decide(self, line: Line, entry: Decision) -> None:
        """Keep or shift the shots that a check made suspect: those since the last check, good or decided, before it."""
        about = self.lines.get((entry.written_on, entry.about))
        if about is None or about.struck or not isinstance(about.entry, Check):
            raise PageError(say("entry {number} is not a check shot, or is struck", number=entry.about))
        decided = {decision.base.order for decision in self._decisions if decision.base is not None}
        if about.order in decided:
            raise PageError(
                say("entry {number} already has a decision; strike that decision first", number=entry.about)
            )
        if len(decided) >= MOST_DECISIONS:
            raise PageError(say("too many decisions: the limit is {most}", most=MOST_DECISIONS))
        line.base = about
        if entry.decision is Remedy.SHIFT:
            closed = (
                check.order
                for check in self._checks
                if (self._is_good(check) or check.order in decided)
                and (check.base is about.base or not entry.own_setup)
            )
            since = max((order for order in closed if order < about.order), default=-1)
            among = [
                shot for shot in self._shots if since < shot.order < about.order and self._shifts(shot, about, entry)
            ]
            line.moved = tuple(shot for shot in among if not (shot.struck or shot.aside))
            line.passed_over = tuple(shot for shot in among if shot.struck or shot.aside)
            self._move(line.moved, -about.drift_nm)
        self._decisions.put(line)

    def _shifts(self, shot: Line, check: Line, decision: Decision) -> bool:
        """Does this shot move with the level that a check found off? Never a reference, nor one of another set-up."""
        if not decision.own_setup:
            return True
        by = shot.base if shot.base is not None and isinstance(shot.base.entry, Setup) else None
        fixed = {self.zero_index, *self.references_on_pad.values()}
        return by is check.base and shot.index not in fixed

    def _move(self, shots: tuple[Line, ...], by: int) -> None:
        for shot in shots:
            shot.datum_nm += by
            self.rounds[shot.round].recount(shot.index)

    def _is_good(self, check: Line) -> bool:
        return abs(check.drift_nm) <= self.allowed_drift_nm

    # -- facts that were mended -----------------------------------------------------------------------------

    def _mend(self, facts: list[Line]) -> None:
        """Let the job be what it was begun as with these facts, all readings kept at their positions.

        Raises:
            PageError: when they do not go together, or would leave something written off the grid; nothing is changed.
        """
        self._last_added_first(facts)
        job, before_a1 = self.began, NOTHING_ADDED
        try:
            for line in facts:
                if isinstance(line.entry, Fact):
                    job, before_a1 = _mended(job, before_a1, line.entry)
        except (FactError, GridError) as error:
            raise PageError(str(error)) from None
        changed = any(getattr(job, field) != getattr(self.job, field) for field in LAID_OUT)
        if changed or before_a1 != self.before_a1:
            self._lay_again(job, before_a1)
        self.job = job
        self._take_stock()

    def _last_added_first(self, facts: list[Line]) -> None:
        """Refuse to take back lines at A1's side, or to bring them back, where others were added farther out since.

        What was read there would lie on another line.
        """
        for name in ADDED_AT_A1:
            was, now = (
                [(line.entry.tablet, line.entry.number) for line in each if _is(line, name)]
                for each in (list(self._facts), facts)
            )
            shorter, longer = sorted((was, now), key=len)
            if longer[: len(shorter)] != shorter:
                raise PageError(say("strike entry {number} first: it added lines farther out", number=was[-1][1]))

    def _lay_again(self, job: Job, before_a1: Origin) -> None:
        """Fold all entries anew over the job as it is now: the one place where what is written moves on the grid."""
        laid = self._laid_again + len(self.lines)
        if laid > MOST_LAID_AGAIN:
            raise PageError(say("too many facts are mended in a book as long as this"))
        anew = Page(job)
        anew.before_a1 = before_a1
        anew._struck = frozenset(key for key, line in self.lines.items() if line.struck)
        for key, line in self.lines.items():
            anew._take_again(key, line.written or line.entry)
        anew._struck = None
        kept = {"began": self.began, "edited": self.edited, "joined": self.joined, "_laid_again": laid}
        self.__dict__ = {**anew.__dict__, **kept}

    def _take_again(self, key: tuple[str, int], entry: Entry) -> None:
        """One entry that was folded before. What is struck in the end and lies off the grid now is set aside."""
        assert self._struck is not None
        try:
            self.add(entry)
        except PageError as error:
            confirmed = isinstance(entry, Confirm) and self.lines[entry.written_on, entry.confirms].aside
            if key not in self._struck and not confirmed:
                where = kind_words(entry)
                raise PageError(
                    say("{why}; strike entry {number} first ({kind})", why=error, number=entry.number, kind=where)
                ) from None
            line = Line(entry, round=self.round_index, order=len(self.lines), aside=True)
            self.lines[key] = line
            self.acts.wrote(line)
            if isinstance(entry, Shot):
                self._shots.append(line)
            self._noted(entry)


def _is(line: Line, name: str) -> bool:
    return isinstance(line.entry, Fact) and line.entry.name == name


def _mended(job: Job, before_a1: Origin, fact: Fact) -> tuple[Job, Origin]:
    """The job with one more fact, and how many lines and columns were added at A1's side by then."""
    value = fact.value
    if fact.name == "zero":
        value = moved(str(value), (before_a1[0] - fact.before_a1[0], before_a1[1] - fact.before_a1[1]))
    job = mended(job, fact.name, value)
    if fact.name in ADDED_AT_A1 and isinstance(value, tuple):
        lines, columns = before_a1
        along = ADDED_AT_A1[fact.name] == "along"
        before_a1 = (lines + len(value), columns) if along else (lines, columns + len(value))
    return job, before_a1
