"""A cab for tests of the helper's page: a real book, next up as the grid has it, and the desk that a server asks."""

from __future__ import annotations

from rodcall.book.book import Book
from rodcall.figures.next_up import Do, Next, next_up
from rodcall.helper.gate import Phone
from rodcall.helper.messages import Sent, TakeBack
from rodcall.helper.reading import Answer, Inbox, Turns
from rodcall.helper.view import Shown, View, as_json, view
from tests.kit import a_book, figures

NOW = 1_776_500_000.0


class FakeCab:
    """Names a spot as the shot grid does, and takes readings there; the cab's own as well as those of phones."""

    def __init__(self, book: Book | None = None, *, allowed: bool = True) -> None:
        self.book = book or a_book()
        self.busy = ""
        self.chosen: int | None = None
        self.turns = Turns()
        self.inbox = Inbox(self)
        self.inbox.allowed = allowed
        self.back: int | None = self.book.page.round.last
        self.read_back = ""
        self.figure()

    def figure(self) -> None:
        self.summary = figures(self.book)
        self.listed = self.summary.punch_list
        self.queue = next_up(self.summary, self.listed)

    @property
    def named(self) -> Next | None:
        if self.chosen is not None:
            return Next(Do.SHOOT, self.chosen)
        return self.queue[0] if self.queue[0].takes_reading else None

    # -- what the cab does ----------------------------------------------------------------------------------

    def go_to(self, spot: int) -> None:
        self.chosen = spot

    def key(self, said: str) -> None:
        """The cab's own reading where the line names one."""
        self._write(said)

    def undo(self) -> None:
        self.book.undo()
        self.chosen = None
        self.back = None
        self.figure()

    def _write(self, said: str) -> int | None:
        named = self.named
        if named is None:
            raise ValueError("nowhere")
        if named.spot is None:
            self.book.check(named.reference or "", said)
        else:
            self.book.shoot(self.book.job.grid.name(named.spot), said)
        self.back, self.chosen = named.spot, None
        self.figure()
        return named.spot

    # -- what `reading.Cab` is asked ------------------------------------------------------------------------

    @property
    def turn(self) -> int:
        return self.turns.of((self.written, self.named))

    @property
    def written(self) -> int:
        return len(self.book.entries)

    def take(self, said: str) -> str:
        with self.book.sent_from("phone 1"):
            spot = self._write(said)
        return "" if spot is None else self.book.job.grid.name(spot)

    def take_back(self) -> str:
        self.undo()
        return "undone"

    # -- what phones see --------------------------------------------------------------------------------------

    def shown(self) -> Shown:
        return Shown(
            self.summary,
            self.listed,
            self.queue[0],
            self.named,
            self.back,
            self.read_back,
            shouts=True,
            way=str(self.book.page.readings),
            turn=self.turn,
            allowed=self.inbox.allowed,
            busy=self.busy,
            now=NOW,
        )

    def view(self, language: str = "en") -> View:
        return view(self.shown(), language)

    def seen_by(self, language: str) -> str:
        return as_json(self.view(language))


class FakeDesk:
    """The same as the server sees it: `take` with the phone that sent it."""

    def __init__(self, book: Book | None = None, *, allowed: bool = True) -> None:
        self.cab = FakeCab(book, allowed=allowed)
        self.changes = 0

    def seen(self, language: str) -> str:
        return self.cab.seen_by(language)

    def take(self, phone: Phone, sent: Sent | TakeBack) -> Answer:
        return self.cab.inbox.take(phone.me, sent)

    def can_take_back(self, phone: Phone) -> str:
        return self.cab.inbox.can_take_back(phone.me)

    def phones_changed(self) -> None:
        self.changes += 1
