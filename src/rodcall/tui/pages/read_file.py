"""Reading a file into the job: choose it or type its path; what it would write is shown before it is written."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import ClassVar

from rich.style import Style
from rich.text import Text
from textual import events
from textual.message import Message

from rodcall.book.book import Book
from rodcall.book.fold.round_page import Change
from rodcall.figures.summary import Summary, summarise
from rodcall.files_in.folder import Offered, offered
from rodcall.files_in.proposal import As, Options, Proposal, propose
from rodcall.files_in.text import UntoldError
from rodcall.i18n import phrase, say
from rodcall.tui.pages.asking import AskingPage
from rodcall.tui.pages.base import ListPage
from rodcall.tui.widgets.buttons import Button, of_actions
from rodcall.tui.widgets.entry_line import Question
from rodcall.tui.widgets.lines import beside, fitted, wrapped
from rodcall.tui.widgets.pad_map import as_it_is, below, text_columns
from rodcall.tui.widgets.styles import BAR, FAINT, MESSAGE, PLAIN, STRONG
from rodcall.tui.widgets.window import Window
from rodcall.wording import words

OTHER_ROWS = 5
"""Lines beside the list: head, what heights are, two of entry, keys."""
ROOM_FOR_SIZE = 56
"""Columns of the list from which a file's size has one."""
MOST_SHOWN = 500
"""Readings of a file that are listed before they are written."""
USES = {
    As.READINGS: phrase("readings of this round"),
    As.EXISTING: phrase("the existing ground"),
    As.DESIGN: phrase("the design to dig to"),
}
ASKED = {
    "order": phrase("which comes first in a line, after the point's name?"),
    "unit": phrase("in which unit is it?"),
    "surface": phrase("which surface?"),
}
ANSWERS = {
    "pneh": phrase("north, then east"),
    "penh": phrase("east, then north"),
    "ft": phrase("feet"),
    "m": phrase("metres"),
    "mm": phrase("millimetres"),
}

READABLE = (
    phrase("points: point, north, east, height, one a line"),
    phrase("readings with times: time, spot, reading"),
    phrase("a table of positions, as a sheet .csv has it"),
    phrase("a LandXML surface"),
)
"""What a file may be."""
_MOVES = frozenset({"up", "down", "page_up", "page_down"})

ReadIn = Callable[[Sequence[Change], str], None]
"""Told what was written, and from which file."""


class ReadScreen(AskingPage[None], ListPage[None]):
    """Lists files, shows what one would write, and writes all or nothing.

    Args:
        book: Is written into.
        folder: Whose files are offered.
        read_in: Told of what was written, so that it is saved and all figures follow.
    """

    TABLE: ClassVar[str] = "read"

    class Worked(Message):
        """What a file would write, or why it cannot."""

        def __init__(self, path: Path, found: Proposal | UntoldError | str, after: Summary | None) -> None:
            super().__init__()
            self.path, self.found, self.after = path, found, after

    class Drawn(Message):
        """The pad as it is now was summed up."""

        def __init__(self, summary: Summary) -> None:
            super().__init__()
            self.summary = summary

    def __init__(self, book: Book, folder: Path, read_in: ReadIn) -> None:
        super().__init__()
        self._book = book
        self._folder = folder
        self._read_in = read_in
        self._files: list[Offered] = offered(folder)
        self._options = Options()
        self._path: Path | None = None
        """The file that is looked at; None while the list is shown."""
        self._proposal: Proposal | None = None
        self._shown: list[str] = []
        self._entries = 0
        """How many the book had when the proposal was worked out."""
        self._list_at = 0
        self._now: Summary | None = None
        """The pad as it is; drawn beside the list."""
        self._after: Summary | None = None
        """The pad with the chosen file's readings."""

    def on_mount(self) -> None:
        """Sum the pad up, for its picture."""
        book = Book.of(self._book.began, tuple(self._book.entries), self._book.tablet)
        self.run_worker(lambda: self.post_message(self.Drawn(summarise(book.page))), thread=True, group="now")

    def on_read_screen_drawn(self, event: Drawn) -> None:
        """Draw it."""
        self._now = event.summary
        self.show_anew()

    # -- keys -----------------------------------------------------------------------------------------------

    @staticmethod
    def as_answer(pasted: str) -> str:
        """A path in one line; blanks within it are its own."""
        return " ".join(pasted.split("\n")).strip()

    def tapped(self, event: events.Click) -> None:
        """A tap chooses a file; on the chosen one it shows what that would write."""
        at = event.y - 2 + self._window.first
        if self.line.question is None and self._path is None and 2 <= event.y < 2 + self._window.count:
            if at == self.at:
                self.do_take()
            self.at = at
            self.show_anew()

    @property
    def count(self) -> int:
        """How many files, or lines of what one would write."""
        return len(self._files) if self._path is None else len(self._shown)

    def do_take(self) -> None:
        """Show what the file would write; then write it."""
        if self._path is not None:
            if self._proposal is not None:
                self._write(self._proposal)
            return
        if self._files:
            self._look_at(self._files[self.at].path)
        else:
            self.do_path()

    def do_use(self) -> None:
        """What the heights of the file are: the next of three."""
        uses = list(As)
        self._options = replace(self._options, use=uses[(uses.index(self._options.use) + 1) % len(uses)])
        if self._path is not None:
            self._look_at(self._path)

    def do_path(self) -> None:
        """Type the path of a file elsewhere."""
        self.line.ask(Question(say("path of the file"), self._typed))

    def do_leave(self) -> None:
        """From what a file would write back to the list; from there to the shot grid."""
        if self._path is None:
            self.dismiss()
            return
        self._path, self._proposal, self._after, self._shown, self.at = None, None, None, [], self._list_at
        self._options = Options(use=self._options.use)

    def _typed(self, said: str) -> None:
        text = said.strip().strip("\"'")
        if text:
            self._look_at(self._folder / Path(text).expanduser())

    # -- working it out, on a thread of its own and on a copy of the book -------------------------------------

    def _look_at(self, path: Path) -> None:
        if self._path is None:
            self._list_at = self.at
        self._path, self._proposal, self._after, self._shown, self.at = path, None, None, [], 0
        self.said = say("reading the file")
        self._entries = len(self._book.entries)
        entries, options = tuple(self._book.entries), self._options
        began, tablet, clock = self._book.began, self._book.tablet, self._book.clock

        def work() -> None:
            found: Proposal | UntoldError | str
            after = None
            try:
                copy = Book.of(began, entries, tablet, clock)
                found = propose(path, copy, options)
                # Tried on the copy: what cannot all be written is not written at all.
                found.write(copy)
                after = summarise(copy.page)
            except UntoldError as error:
                found = error
            except ValueError as error:
                found = str(error)
            self.post_message(self.Worked(path, found, after))

        self.run_worker(work, thread=True, exclusive=True)

    def on_read_screen_worked(self, event: Worked) -> None:
        """Show it; ask what the file does not say."""
        if event.path != self._path:
            return
        self.said = ""
        if isinstance(event.found, Proposal):
            told, notes = event.found.shown(MOST_SHOWN), 1 + len(event.found.notes)
            # How many there are, and what is to be known of them, stands above the readings.
            self._after = event.after
            self._proposal, self._shown = event.found, [*told[-notes:], "", *told[:-notes]]
        elif isinstance(event.found, UntoldError):
            self._ask(event.found)
        else:
            self.said = event.found
        self.show_anew()

    def _ask(self, untold: UntoldError) -> None:
        """Ask what the file does not say, by number."""

        def answered(answer: str) -> Callable[[], None]:
            def take() -> None:
                self._options = self._options.with_answer(untold.option, answer)
                if self._path is not None:
                    self._look_at(self._path)

            return take

        offered = {str(number): answer for number, answer in enumerate(untold.answers[:9], 1)}
        told = "  ".join(f"{key} {say(ANSWERS[each]) if each in ANSWERS else each}" for key, each in offered.items())
        question = f"{say(ASKED[untold.option])}  {told}"
        self.line.ask(Question(question, choices={key: answered(each) for key, each in offered.items()}, asked_at=0.0))

    def _write(self, proposal: Proposal) -> None:
        """Write all of it; where the book has gone on meanwhile, it is worked out and shown anew."""
        if len(self._book.entries) != self._entries and self._path is not None:
            self._look_at(self._path)
            return
        try:
            changes = proposal.write(self._book)
        except ValueError as error:
            self.said = str(error)
            return
        self._read_in(changes, proposal.source)
        self.dismiss()

    # -- showing --------------------------------------------------------------------------------------------

    @property
    def _window(self) -> Window:
        """The rows that are seen."""
        return Window.on([self.at], self.size.height - OTHER_ROWS, max(self.count, 1))

    def drawn(self, width: int, height: int) -> list[Text]:
        """The files, or what the chosen one would write, and the pad beside it; the question, and the keys."""
        title = say("read a file in") if self._path is None else words.harmless(self._path.name)
        use = say("heights are {use}", use=say(USES[self._options.use]))
        room, across = max(height - OTHER_ROWS, 1), text_columns(width)
        rows = self.filled(self._rows(across), room)
        pad = self._after if self._path is not None else self._now
        if pad is not None and across < width:
            rows = beside(rows, as_it_is(pad, (), width - across - 1, room), across + 1)[:room]
        elif pad is not None:
            rows = self.filled(below(self._rows(across), pad, (), width, room), room)
        return [
            self.head(title, width),
            Text(fitted(f" {use}", width), STRONG),
            *rows,
            *self.asked(width, *self._told()),
            self.foot(width, self.buttons_of(self._offered())),
        ]

    def _rows(self, width: int) -> list[Text]:
        if self._path is not None:
            return [Text(fitted(f" {words.harmless(self._shown[at])}", width), PLAIN) for at in self._seen]
        if not self._files:
            folder = words.harmless(str(self._folder))
            nothing = say("No csv, txt or xml file in {folder}.", folder=folder)
            told = [f"{say('What can be read:')}", *(f"  {say(each)}" for each in READABLE)]
            return [
                *wrapped(nothing, width, STRONG),
                Text(""),
                *(line for each in told for line in wrapped(each, width, FAINT, hang="    ")),
                Text(""),
                *wrapped(say("Copy a file into that folder, or press p and type its path."), width),
            ]
        sized = width >= ROOM_FOR_SIZE
        room = max(width - (32 if sized else 20), 12)
        return [
            Text(
                fitted(
                    f"{'>' if at == self.at else ' '}{fitted(words.harmless(each.path.name), room):<{room}}"
                    f"  {each.changed:%Y-%m-%d %H:%M}" + (f"  {_size(each.size):>9}" if sized else ""),
                    width,
                ),
                BAR if at == self.at else PLAIN,
            )
            for at in self._seen
            for each in (self._files[at],)
        ]

    @property
    def _seen(self) -> list[int]:
        return [at for at in self._window if at < self.count]

    def _offered(self) -> list[Button]:
        """What can be done now."""
        shown = [action for action in self.actions if action.id not in _MOVES]
        if self._proposal is None:
            return of_actions([each for each in shown if each.id != "take" or self._path is None])
        return [Button("enter", say("write it")), *of_actions([each for each in shown if each.id != "take"])]

    def _told(self) -> tuple[str, Style]:
        """What the last key did, else what can be done with what is shown."""
        if self.said:
            return self.said, MESSAGE if self._proposal is None else STRONG
        if self._proposal is None:
            return "", STRONG
        return say("Enter writes it, q goes back to the list; nothing is written yet"), STRONG


def _size(size: int) -> str:
    # No file that has anything in it is 0 kB.
    return f"{-(-size // 1024)} kB" if size < 2**20 else f"{size / 2**20:.1f} MB"
