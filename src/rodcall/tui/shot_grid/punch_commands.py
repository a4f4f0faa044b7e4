"""The commands of the punch list: the list itself, where each of its items is cleared, leaving out, and not pad."""

from __future__ import annotations

from rodcall.book.fold.page import PageError
from rodcall.book.fold.round_page import Line
from rodcall.book.model.entries import Check, Remedy
from rodcall.book.model.own_reasons import OwnReason, reason_words
from rodcall.book.model.terms import TERMS
from rodcall.figures.outliers.line_mistakes import BadLine
from rodcall.figures.punch_list import Item, Kind, PunchList
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, say
from rodcall.tui.pages.punch_list import Chosen, PunchScreen
from rodcall.tui.shot_grid.check_commands import Proving
from rodcall.wording import punch_list as words_punch
from rodcall.wording import words

READ_AGAIN = frozenset({Kind.DOES_NOT_FIT, Kind.READINGS_DISAGREE, Kind.TABLETS_DISAGREE})
"""Items that a further reading of the spot clears; the line then goes on where it was."""
CHECKS = frozenset({Kind.BAD_CHECK, Kind.CHECK_AGAIN})
"""Items that a check of the reference they name clears."""
PLAIN_CHECKS = frozenset({Kind.NO_CHECK, Kind.CHECKED_ON_PAD, Kind.LEVELS_NOT_CLOSED})
"""Items that a check clears of a reference that the crew chooses."""
NEW_ROUND = frozenset({Kind.NO_FINAL_ROUND, Kind.TARGET_CHANGED, Kind.ZERO_MOVED, Kind.REFERENCE_CHANGED})


class Punching(Proving):
    """The punch list and what its items ask for; one method an action, named `do_` and its id."""

    _under_bar: Item | None = None
    """The item on which the bar stood when the list was last left."""

    # -- the list -------------------------------------------------------------------------------------------

    def do_punch_list(self) -> None:
        """Everything that is open; from there to where it is cleared."""
        screen = self._screen

        def look() -> tuple[Summary, PunchList]:
            return screen.summary, screen.listed

        def chosen(wanted: Chosen | None) -> None:
            if wanted is not None:
                self._under_bar = wanted.item
                {"go": self._go_to_item, "accept": self._accept, "correct": self._correct}[wanted.action](wanted.item)
            screen.repaint()

        screen.app.push_screen(PunchScreen(look, self._under_bar), chosen)

    def _go_to_item(self, item: Item) -> None:
        """Go where an item is cleared: a question, a page, or a spot with what is to be done there."""
        screen, kind = self._screen, item.kind
        if kind is Kind.LINE_DOES_NOT_FIT:
            self._preview(item)
        elif kind is Kind.NO_BACKSIGHT:
            self.do_setup()
        elif kind in CHECKS:
            self._check_on(item.names[0])
        elif kind in PLAIN_CHECKS:
            self.do_check()
        elif kind is Kind.TARGET_SUGGESTED or item.names == ("target",):
            screen.do("target")
        elif kind in NEW_ROUND:
            screen.do("round")
        elif kind is Kind.SPOTS_TOO_FAR:
            self._terms_at("spacing")
        elif item.names and item.names[0] in TERMS:
            self._terms_at(item.names[0])
        elif item.spots:
            self._to_spot(item)
        else:
            self._tell(item)

    def _to_spot(self, item: Item) -> None:
        """Name an item's first spot, with what is to be done there."""
        screen = self._screen
        spot = item.spots[0]
        if item.kind in READ_AGAIN:
            named = screen.named.spot if screen.named is not None else None
            screen.line.clear()
            screen.naming.read_again(spot, named)
            screen.refigure(anew=False)
        else:
            screen.go_to(spot)
        screen.say(words.read_back(screen.summary, spot))
        self._tell(item)

    def _tell(self, item: Item) -> None:
        """Say what clears an item."""
        summary = self._screen.summary
        what, order = words_punch.item_words(summary, item), words_punch.clears(summary, item)
        self._screen.line.message = f"{what}: {order}"

    def _terms_at(self, name: str) -> None:
        """The terms, the bar on one of them."""
        from rodcall.tui.pages.terms import TermsScreen

        screen = self._screen
        screen.app.push_screen(TermsScreen(screen.book, screen.written, name), lambda _: screen.repaint())

    # -- a line that does not fit ---------------------------------------------------------------------------

    def _preview(self, item: Item) -> None:
        """The line as it was read and as it would fit; Enter there writes it, any other key goes back to the list."""
        from rodcall.tui.pages.line_preview import LinePreview, put_right

        screen = self._screen
        bad = self._bad_line(item)
        if bad is None:
            self._tell(item)
            return
        summary = screen.summary
        page = LinePreview(summary, bad)

        def closed(_: None) -> None:
            if page.taken:
                self._write_together(lambda: put_right(screen.book, summary, bad))
                screen.repaint()
            else:
                self.do_punch_list()

        screen.app.push_screen(page, closed)

    def _bad_line(self, item: Item) -> BadLine | None:
        """What is known of the line that an item is about."""
        row = item.spots[0] // self._screen.book.job.grid.across
        known = self._screen.known.of(self._screen.summary).lines
        return next((bad for bad in known if bad.row == row), None)

    # -- suspect shots --------------------------------------------------------------------------------------

    def _accept(self, item: Item) -> None:
        """Accept suspect shots by decision, with a reason; they stay on the list until they are shot again."""
        number = len(item.spots)
        prompt = counted(number, "accept {number} suspect shot: why?", "accept {number} suspect shots: why?")

        def take(reason: str) -> None:
            self._screen.written(self._screen.book.decide(Remedy.KEEP, self._check_of(item), reason))
            said = counted(number, "{number} SUSPECT SHOT ACCEPTED", "{number} SUSPECT SHOTS ACCEPTED")
            self._screen.say(f"{said}  ({words.harmless(reason.strip())})")

        self._ask(prompt, take)

    def _correct(self, item: Item) -> None:
        """Correct suspect shots by the drift that the check found."""
        screen = self._screen
        number = len(item.spots)
        try:
            screen.written(screen.book.decide(Remedy.SHIFT, self._check_of(item)))
        except ValueError as error:
            screen.line.message = str(error)
            return
        off = words_punch.reads(screen.summary, item.names[0], round(item.value or 0))
        said = counted(number, "{number} SHOT CORRECTED BY DRIFT", "{number} SHOTS CORRECTED BY DRIFT")
        screen.say(f"{said}  ({off})")

    def _check_of(self, item: Item) -> Line:
        """The check that made an item's shots suspect.

        Raises:
            PageError: when it was struck: then only shooting again clears them.
        """
        wanted = item.opened_by, item.names[0]
        found = (
            line
            for line in reversed(self._screen.book.page.checks)
            if isinstance(line.entry, Check) and (line.entry.number, line.entry.reference) == wanted
        )
        line = next(found, None)
        if line is None:
            raise PageError(say("that check was struck; shoot its suspects again"))
        return line

    # -- left out, and not pad ------------------------------------------------------------------------------

    def do_leave_out(self) -> None:
        """Leave the cursor's spot out, or mark it, alone or up to another corner, as not pad.

        The numbers are typed text with an Enter, so that a reading typed ahead is refused and never taken for one.
        """
        here = self._here

        def take(said: str) -> None:
            match said.strip():
                case "" | "1":
                    self._leave_out(here, OwnReason.RUT)
                case "2":
                    self._ask(
                        say("leave out {position}, why?", position=here), lambda why: self._leave_out(here, _given(why))
                    )
                case "3":
                    self._not_pad(here)
                case "4":
                    self._ask_corner(here)
                case _:
                    raise PageError(say("type 1, 2, 3 or 4"))

        numbered = say("1 rut or pile, left out  2 left out, other reason  3 not pad  4 not pad, to another corner")
        self._ask(f"{here}: {numbered}", take)

    def _leave_out(self, position: str, reason: str) -> None:
        screen = self._screen
        screen.written(screen.book.leave_out(position, reason))
        screen.say(
            say(
                "{position}  LEFT OUT  ({reason})",
                position=position,
                reason=words.harmless(reason_words(reason.strip())),
            )
        )

    def _ask_corner(self, here: str) -> None:
        grid = self._screen.book.job.grid
        name, numbers = grid.name(grid.size - 1), f"{grid.across}.{grid.along}"
        prompt = say(
            "not pad from {position} to which corner? such as {name}, or {numbers}",
            position=here,
            name=name,
            numbers=numbers,
        )
        self._ask(prompt, lambda said: self._not_pad(here, grid.name(grid.index_said(said.strip()))))

    def _not_pad(self, position: str, to: str | None = None) -> None:
        """What was read there counts nowhere, in any round, until the line is struck; one shot here needs a reason."""
        grid, here = self._screen.book.job.grid, self._screen.book.page.round
        spots = grid.rectangle(grid.index(position), grid.index(to or position))
        if any(here.readings_at(spot) for spot in spots):
            name = grid.name(next(int(spot) for spot in spots if here.readings_at(spot)))
            prompt = say("{position} was shot: why is it not pad?", position=name)
            self._ask(prompt, lambda why: self._write_not_pad(position, to, len(spots), _given(why)))
        else:
            self._write_not_pad(position, to, len(spots))

    def _write_not_pad(self, position: str, to: str | None, number: int, why: str = "") -> None:
        screen = self._screen
        screen.written(screen.book.not_pad(position, to, why))
        where = position if to in (None, position) else say("{first} to {last}", first=position, last=to)
        spots = counted(number, "{number} spot out of area, dirt and list", "{number} spots out of area, dirt and list")
        screen.say(f"{where}  {say('NOT PAD')}  ({spots})")


def _given(reason: str) -> str:
    """A reason that was typed.

    Raises:
        PageError: when none was.
    """
    if not reason.strip():
        raise PageError(say("type the reason"))
    return reason
