"""A shot session: one job as it is worked on, whatever shows it. No widget, no timer and no page in here.

Each act writes into the book, follows it with the figures, and comes to one frozen `ReadBack`, which whoever listens
shows, speaks and sends on. A reading is written at once, and what follows from it (`follow`) when its cell has been
painted, or before the next key, whichever comes first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from rodcall.book.book import Book
from rodcall.book.fold.round_page import Change
from rodcall.book.model.entries import Check, LeaveOut, NotPad, Round, Setup, Shot, WalkOrder
from rodcall.book.model.grid import GridError, moved
from rodcall.book.storage.autosave import Keeper, Kept
from rodcall.book.storage.opening import JobFile
from rodcall.figures.next_up import Do, Next, next_up
from rodcall.figures.punch_list import Kind, PunchList
from rodcall.figures.summary import Summary, summarise
from rodcall.i18n import say
from rodcall.tui.shot_grid.doubts import KnownDoubts
from rodcall.tui.shot_grid.naming import Named, Naming
from rodcall.tui.shot_grid.paste import Pasted
from rodcall.tui.widgets.entry_line import EntryLine, Question, Submitted
from rodcall.units import Unsigned
from rodcall.wording import punch_list as words_punch
from rodcall.wording import read_back
from rodcall.wording.read_back import ReadBack

SIGNS = "+-−–"
FEWEST_DIGITS = 3
"""Characters of a reading without a sign: fewer may be a number of what was asked."""


class ShotSession:
    """Book, figures, entry line and cursor of one job, and the acts that change them.

    Args:
        file: The job.
        saved: Told on the keeper's thread what is on the disk.
        shouts: Is a reading that does not fit reported at once? The punch list has it in any case.
    """

    def __init__(self, file: JobFile, saved: Callable[[Kept], None], shouts: Callable[[], bool] = lambda: True) -> None:
        self.file = file
        self.book: Book = file.book
        self._shouts = shouts
        self.begun = len(self.book.entries)
        """How many entries the book had when this sitting began."""
        self.summary: Summary = summarise(self.book.page)
        self.known = KnownDoubts()
        self.listed: PunchList = self.summary.punch_list_knowing(self.known.of(self.summary))
        self._before_a1 = self.book.page.before_a1
        self.naming = Naming(self.book.page)
        self.queue: tuple[Next, ...] = ()
        self.cursor = self.book.page.standing
        """The spot that the plan frames and that commands are about: the one named, else where the crew was last."""
        self.line: EntryLine[Named] = EntryLine()
        self.keeper = Keeper(file, saved)
        self.pasted: Pasted | None = None
        """Lines that are offered as readings."""
        self._written: Change | None = None
        """A reading that is written and not followed yet."""
        self.acted: list[Callable[[ReadBack, Sequence[Change]], None]] = []
        """Told of each act: what it came to, and what it changed; nothing where it only said something."""
        self.read_back = self._greeting()
        self._line_up()

    # -- what is named --------------------------------------------------------------------------------------

    @property
    def named(self) -> Named | None:
        """What a reading that is typed now belongs to; None where it belongs nowhere."""
        return self.line.names

    @property
    def prompted(self) -> Named | None:
        """What stands before the reading: where it goes that is being typed, else what is named."""
        return self.line.meant_for if self.line.text and self.line.question is None else self.named

    @property
    def here(self) -> str:
        """Name of the spot under the cursor."""
        return self.book.job.grid.name(self.cursor)

    @property
    def named_spot(self) -> int | None:
        """The spot that is named; None where none is."""
        return self.named.spot if self.named is not None else None

    def go_to(self, spot: int) -> None:
        """Name a spot, unless a reading for another one is being typed."""
        self.follow()
        asked = self.line.question is not None
        if self.line.text and not self.line.refused and not asked:
            self.line.message = say("Enter writes {said} first, Esc clears it", said=self.line.text)
            return
        if not asked:
            self.line.clear()
        self.naming.choose(spot)
        self._line_up()

    def read_again(self, spot: int) -> None:
        """Name a spot to be read again; then the line goes on where it was."""
        self.naming.read_again(spot, self.named_spot)
        self.refigure(anew=False)

    def say_next(self) -> None:
        """Say what comes next, and stay there: Enter on an empty line skips nothing."""
        named = self.named
        if named is not None and named.spot is not None:
            name = self.book.job.grid.name(named.spot)
            self.line.message = say("next is {position}; arrows go elsewhere", position=name)
        else:
            first = self.queue[0] if named is None else Next(named.do, reference=named.reference)
            self.line.message = words_punch.next_words(self.summary, first)

    # -- writing --------------------------------------------------------------------------------------------

    def take(self, reading: Submitted[Named]) -> None:
        """Write what was typed where the line named when its first character was typed."""
        said, meant, question = reading.text, reading.meant_for, reading.instead_of
        if question is not None and (question.about_spot or question.refusals):
            self._ask_where([*question.held, said.strip()])
            return
        if meant is None and question is not None:
            question.text = ""
            self.line.clear()
            self.line.ask(question)
            self.line.message = say("{said} not written: answer first, or Esc cancels", said=said)
            return
        if meant is None:
            self.line.message = say("{said} not written: go to a spot first (arrows, or ; and its name)", said=said)
            return
        try:
            self.write_at(meant, said)
        except Unsigned:
            self._ask_sign(meant, said.strip())
        if question is not None:
            where = self._words_of(meant)
            self.line.message = say(
                "{said} is written at {position}; the question is closed", said=said, position=where
            )

    def write_at(self, meant: Named, said: str) -> None:
        """Write a reading at what is named: a spot, or a reference.

        Raises:
            ValueError: when it is not understood (`Unsigned`: HIGH or LOW must be asked) or cannot be written.
        """
        if meant.spot is not None:
            self.shot(meant.spot, said)
        elif meant.reference is not None and meant.do in (Do.BACKSIGHT, Do.SET_UP):
            self.written(self.book.set_up(meant.reference, said))
        elif meant.reference is not None:
            self.written(self.book.check(meant.reference, said))

    def look_ahead(self) -> None:
        """A reading is being typed: work out what is expected at its spot before its Enter."""
        meant = self.line.meant_for
        if self.line.text and self.line.question is None and meant is not None and meant.spot is not None:
            self.known.is_typed(self.summary, meant.spot)

    def shot(self, spot: int, said: str) -> None:
        """Write a reading at a spot, and keep it; figures, read-back and what is next follow (`follow`)."""
        self.follow()
        self._written = self.book.shoot(self.book.job.grid.name(spot), said, self._does_not_fit)
        self.keeper.keep()

    @property
    def taken(self) -> Change | None:
        """A reading that was taken a moment ago, and what it changed, while nothing has followed from it yet."""
        return self._written

    def follow(self) -> None:
        """Let figures, read-back and names follow from a reading that was taken; one that does not fit is shouted."""
        change, self._written = self._written, None
        if change is not None:
            self._follow(change)
            self._act(self._judged(change, read_back.written(self.summary, change)), [change])

    def _does_not_fit(self, spot: int) -> bool:
        return summarise(self.book.page).judged(spot) is not None

    def _ask_sign(self, meant: Named, said: str) -> None:
        """A height without a sign is never guessed."""
        high, low = (partial(self.write_at, meant, said + letter) for letter in "hl")
        asked = f"{self._words_of(meant)} {said}: {say('HIGH or LOW?  + or h, - or l')}"
        self.line.ask(Question(asked, choices={"h": high, "+": high, "l": low, "-": low}))

    def _words_of(self, named: Named) -> str:
        return self.book.job.grid.name(named.spot) if named.spot is not None else str(named.reference)

    def is_reading(self, said: str, *, loose: bool) -> bool:
        """Is a text, typed where something else was asked, the next reading? It has a sign, a fraction, or HIGH or LOW.

        Args:
            said: The text.
            loose: Whether a decimal, or a number of three digits, is one too where the rod's readings have no sign.
        """
        said = said.strip()
        try:
            self.book.page.readings.parse(said, self.book.job.heights)
        except ValueError:
            return False
        if said[0] in SIGNS or (not said[0].isalpha() and (said[-1] in "hHlL" or "/" in said)):
            return True
        return loose and not said[0].isalpha() and len(said) >= FEWEST_DIGITS

    def _ask_where(self, readings: list[str]) -> None:
        """Readings that were called while it was not settled what they belong to; further ones are kept with them."""

        def at(said: str) -> None:
            spot = self.cursor if not said.strip() else self.book.job.grid.index_said(said.strip())
            self.line.close()
            self.naming.choose(spot)
            self._line_up()
            self._write_all(readings)

        def one_more(said: str) -> bool:
            return self.is_reading(said, loose=False)

        asked = say(
            "{readings}: for which position? (Enter: {position})", readings=", ".join(readings), position=self.here
        )
        self.line.clear()
        self.line.ask(Question(asked, at, is_reading=one_more, about_spot=True, held=tuple(readings)))

    def _write_all(self, readings: Sequence[str]) -> None:
        """Readings of one call after the other, from the spot that is named."""
        for at, said in enumerate(readings):
            meant = self.named
            try:
                if meant is None:
                    raise GridError(say("go to a spot first (arrows, or ; and its name)"))
                self.write_at(meant, said)
                self.follow()
            except ValueError as error:
                left = ", ".join(readings[at:])
                raise GridError(say("{readings} not written: {why}", readings=left, why=error)) from None

    def written(self, change: Change, told: ReadBack | None = None) -> None:
        """Something was written: keep it, say it back, and name what comes next.

        Args:
            change: What it did.
            told: What it came to, where whoever wrote it knows more of that than the entry says.
        """
        self.keeper.keep()
        self._follow(change)
        self._act(self._judged(change, told or read_back.written(self.summary, change)), [change])

    def written_together(self, changes: Sequence[Change]) -> None:
        """One act wrote, struck or brought back one entry, or several."""
        spots = {each.line.index for each in changes}
        if len(spots) == 1:
            height = self.book.page.round.height_at(next(iter(spots))) if -1 not in spots else None
            now = None if height is None else height - self.book.page.zero_level_nm
            change = changes[0] if len(changes) == 1 else replace(changes[0], now_nm=now)
            self.keeper.keep()
            self._follow(change)
            self._act(self._judged(change, read_back.again(self.summary, change)), changes)
            return
        self.keeper.keep()
        self.naming.written_elsewhere()
        self.refigure()
        self._act(read_back.line_put_right(self.summary, changes), changes)

    def read_in(self, changes: Sequence[Change], source: str) -> None:
        """A file was read in: keep it, and let figures and names follow once from all of it."""
        self.keeper.keep()
        self.naming.written_elsewhere()
        self.refigure()
        self._act(read_back.read_in(self.summary, changes, source), changes)

    def say(self, *parts: str, order: str = "") -> None:
        """Say something where the read-back stands, though nothing was written."""
        self.tell(ReadBack(parts, order=order))

    def tell(self, told: ReadBack) -> None:
        """Show what an act came to, and what is to be done about it."""
        self.read_back = told
        if told.order:
            self.line.message = told.order

    def refigure(self, *, anew: bool = True) -> None:
        """Sum the page up, draw up what is open, and name what comes next.

        Args:
            anew: Whether something was written; else only what is known of its readings changed.
        """
        if anew:
            grid, before_a1 = self.summary.grid, self._before_a1
            self.summary, self._before_a1 = summarise(self.book.page), self.book.page.before_a1
            if self.summary.grid != grid:
                by = self._before_a1[0] - before_a1[0], self._before_a1[1] - before_a1[1]
                self._on_another_grid(grid.name(self.cursor), by)
        self.listed = self.summary.punch_list_knowing(self.known.of(self.summary))
        self._line_up()

    def _on_another_grid(self, here: str, by: tuple[int, int]) -> None:
        """Facts were mended: positions keep their names but for lines added before A1, and are known anew by number."""
        self.known.forget()
        self.naming.written_elsewhere()
        try:
            self.cursor = self.summary.grid.index(moved(here, by))
        except GridError:
            self.cursor = self.book.page.standing

    def doubts_known(self) -> None:
        """All readings were judged while nobody keyed: the list is what a shell would print now."""
        before = {item.spots for item in self.listed.items}
        self.refigure(anew=False)
        found = [item for item in self.listed.items if item.kind is Kind.DOES_NOT_FIT and item.spots not in before]
        if found and self._shouts() and not (self.line.message or self.line.question or self.line.text):
            self.line.message = words_punch.item_words(self.summary, found[0])

    # -- inside ---------------------------------------------------------------------------------------------

    def _act(self, told: ReadBack, changes: Sequence[Change]) -> None:
        self.tell(told)
        for listen in self.acted:
            listen(told, changes)

    def _follow(self, change: Change) -> None:
        """Let figures and names follow from what was written."""
        line = change.line
        if isinstance(line.entry, Shot | LeaveOut | NotPad):
            self.naming.written_at(line.index, undone=change.undone)
        elif isinstance(line.entry, Check | Setup | Round | WalkOrder):
            self.naming.written_elsewhere()
        self.refigure()

    def _judged(self, change: Change, told: ReadBack) -> ReadBack:
        """Judge a reading that was just written: what is shouted instead where it is to be read again."""
        entry, spot, summary = change.line.entry, change.line.index, self.summary
        if change.undone or not isinstance(entry, Shot):
            return told
        bust = self.known.shot(summary, spot, entry.said)
        bad_line = self.known.line(summary, spot // summary.grid.across)
        third_due = bool(summary.evidence.third_due[spot])
        if bust is None and bad_line is None and not third_due:
            return told
        self.refigure(anew=False)
        if not self._shouts():
            return told
        if third_due:
            return read_back.readings_disagree(summary, spot, self.book.page.round.readings_at(spot))
        if bust is not None and not summary.read_again[bust.index]:
            return read_back.does_not_fit(summary, bust)
        return read_back.line_does_not_fit(summary, told, bad_line) if bad_line is not None else told

    def _line_up(self) -> None:
        self.queue = next_up(self.summary, self.listed, self.naming.after)
        named = self.line.names = self.naming.named(self.queue)
        if named is not None and named.spot is not None:
            self.cursor = named.spot

    def _greeting(self) -> ReadBack:
        """Where the crew is, after any interruption."""
        page = self.book.page
        if not self.book.entries:
            return ReadBack(
                (say("Rod on a benchmark: b writes it") if page.needs_setup else say("Rod on the first spot"),)
            )
        last = page.round.last
        if last is not None:
            return read_back.at_spot(self.summary, last)
        return ReadBack((say("round {number}", number=self.summary.round),))
