"""The punch list, and where each of its items is cleared."""

from __future__ import annotations

from collections.abc import Callable

from rodcall.book.book import Book
from rodcall.book.fold.page import PageError
from rodcall.book.fold.round_page import Change, Line
from rodcall.book.model.entries import Check, Remedy
from rodcall.book.model.terms import TERMS
from rodcall.figures.outliers.line_mistakes import BadLine
from rodcall.figures.punch_list import Item, Kind
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, say
from rodcall.tui.shot_grid.commands.aiming import Aiming
from rodcall.tui.shot_grid.commands.asks import Asks
from rodcall.tui.shot_grid.commands.looking import Looking
from rodcall.tui.shot_grid.commands.proving import Proving
from rodcall.tui.shot_grid.session import ShotSession
from rodcall.tui.widgets.wanted import Clearing, LinePreviewWanted, PunchListWanted, Wanted
from rodcall.wording import outliers as words_outlier
from rodcall.wording import punch_list as words_punch
from rodcall.wording import read_back, words
from rodcall.wording.read_back import ReadBack

READ_AGAIN = frozenset({Kind.DOES_NOT_FIT, Kind.READINGS_DISAGREE, Kind.TABLETS_DISAGREE})
"""Items that a further reading of the spot clears; the line then goes on where it was."""
CHECKS = frozenset({Kind.BAD_CHECK, Kind.CHECK_AGAIN})
"""Items that a check of the reference they name clears."""
PLAIN_CHECKS = frozenset({Kind.NO_CHECK, Kind.CHECKED_ON_PAD, Kind.LEVELS_NOT_CLOSED})
"""Items that a check clears of a reference that the crew chooses."""
NEW_ROUND = frozenset({Kind.NO_FINAL_ROUND, Kind.TARGET_CHANGED, Kind.ZERO_MOVED, Kind.REFERENCE_CHANGED})


class Punching:
    """The punch list and what its items ask for.

    Args:
        session: The job as it is worked on.
        open: Asks for another page.
        proving: References and checks.
        aiming: Target and rounds.
        looking: Pages about the job.
        shown_anew: Called when something has changed after a page was closed.
    """

    def __init__(
        self,
        session: ShotSession,
        open: Callable[[Wanted], None],
        *,
        proving: Proving,
        aiming: Aiming,
        looking: Looking,
        shown_anew: Callable[[], None],
    ) -> None:
        self._session = session
        self._asks = Asks(session)
        self._open = open
        self._proving = proving
        self._aiming = aiming
        self._looking = looking
        self._shown_anew = shown_anew
        self._under_bar: Item | None = None
        """The item on which the bar stood when the list was last left."""

    # -- the list -------------------------------------------------------------------------------------------

    def punch_list(self) -> None:
        """Everything that is open; from there to where it is cleared."""
        session = self._session
        self._open(PunchListWanted(lambda: (session.summary, session.listed), self._under_bar, self._clear))

    def _clear(self, wanted: Clearing | None) -> None:
        if wanted is not None:
            self._under_bar = wanted.item
            {"go": self._go_to_item, "accept": self._accept, "correct": self._correct}[wanted.action](wanted.item)
        self._shown_anew()

    def _go_to_item(self, item: Item) -> None:
        """Go where an item is cleared: a question, a page, or a spot with what is to be done there."""
        kind = item.kind
        if kind is Kind.LINE_DOES_NOT_FIT:
            self._preview(item)
        elif kind is Kind.NO_BACKSIGHT:
            self._proving.setup()
        elif kind in CHECKS:
            self._proving.check_on(item.names[0])
        elif kind in PLAIN_CHECKS:
            self._proving.check()
        elif kind is Kind.TARGET_SUGGESTED or item.names == ("target",):
            self._aiming.target()
        elif kind in NEW_ROUND:
            self._aiming.round()
        elif kind is Kind.SPOTS_TOO_FAR:
            self._looking.terms("spacing")
        elif item.names and item.names[0] in TERMS:
            self._looking.terms(item.names[0])
        elif item.spots:
            self._to_spot(item)
        else:
            self._tell(item)

    def _to_spot(self, item: Item) -> None:
        """Name an item's first spot, with what is to be done there."""
        session = self._session
        spot = item.spots[0]
        if item.kind in READ_AGAIN:
            session.line.clear()
            session.read_again(spot)
        else:
            session.go_to(spot)
        session.tell(read_back.at_spot(session.summary, spot).ordering(self._clears(item)))

    def _tell(self, item: Item) -> None:
        """Say what clears an item."""
        self._session.line.message = self._clears(item)

    def _clears(self, item: Item) -> str:
        summary = self._session.summary
        return f"{words_punch.item_words(summary, item)}: {words_punch.clears(summary, item)}"

    # -- a line that does not fit ---------------------------------------------------------------------------

    def _preview(self, item: Item) -> None:
        """The line as it was read and as it would fit; Enter there writes it, any other key goes back to the list."""
        bad = self._bad_line(item)
        if bad is None:
            self._tell(item)
            return
        summary = self._session.summary

        def closed(taken: bool) -> None:
            if taken:
                self._asks.write_together(lambda: _put_right(self._session.book, summary, bad))
                self._shown_anew()
            else:
                self.punch_list()

        self._open(LinePreviewWanted(summary, bad, closed))

    def _bad_line(self, item: Item) -> BadLine | None:
        """What is known of the line that an item is about."""
        row = item.spots[0] // self._session.book.job.grid.across
        known = self._session.known.of(self._session.summary).lines
        return next((bad for bad in known if bad.row == row), None)

    # -- suspect shots --------------------------------------------------------------------------------------

    def _accept(self, item: Item) -> None:
        """Accept suspect shots by decision, with a reason; they stay on the list until they are shot again."""
        number, session = len(item.spots), self._session
        prompt = counted(number, "accept {number} suspect shot: why?", "accept {number} suspect shots: why?")

        def take(reason: str) -> None:
            change = session.book.decide(Remedy.KEEP, self._check_of(item), reason)
            said = counted(number, "{number} SUSPECT SHOT ACCEPTED", "{number} SUSPECT SHOTS ACCEPTED")
            session.written(change, ReadBack((said,), words.harmless(reason.strip())))

        self._asks.text(prompt, take, loose=True)

    def _correct(self, item: Item) -> None:
        """Correct suspect shots by the drift that the check found."""
        number, session = len(item.spots), self._session
        off = words_punch.reads(session.summary, item.names[0], round(item.value or 0))
        said = counted(number, "{number} SHOT CORRECTED BY DRIFT", "{number} SHOTS CORRECTED BY DRIFT")
        try:
            session.written(session.book.decide(Remedy.SHIFT, self._check_of(item)), ReadBack((said,), off))
        except ValueError as error:
            session.line.message = str(error)

    def _check_of(self, item: Item) -> Line:
        """The check that made an item's shots suspect.

        Raises:
            PageError: when it was struck: then only shooting again clears them.
        """
        wanted = item.opened_by, item.names[0]
        found = (
            line
            for line in reversed(self._session.book.page.checks)
            if isinstance(line.entry, Check) and (line.entry.number, line.entry.reference) == wanted
        )
        line = next(found, None)
        if line is None:
            raise PageError(say("that check was struck; shoot its suspects again"))
        return line


def _put_right(book: Book, summary: Summary, bad: BadLine) -> list[Change]:
    """Write the line as it would fit, as one act; the end that a shift leaves open is open again.

    Raises:
        LengthError, PageError: as `Book.put_all_right`.
    """
    rows = words_outlier.line_rows(summary, bad)
    meant = [(row.spot, row.would_be) for row in rows if row.would_be is not None]
    opened = [row.spot for row in rows if row.would_be is None and row.as_read is not None]
    return book.put_all_right(meant, str(bad.mistake), opened)
