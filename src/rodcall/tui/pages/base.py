"""The base of all pages: lines, a title, a footer of keys to tap, a cursor, and closing."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from rich.text import Text
from textual import events
from textual.app import ComposeResult

from rodcall.i18n import say
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.buttons import Button, Buttons, of_actions
from rodcall.tui.widgets.key_screen import KeyScreen, Result
from rodcall.tui.widgets.lines import Lines, beside, fitted, with_told
from rodcall.tui.widgets.styles import FAINT, HEAD

GAP = "   "
"""Between the parts of a title; the last ones go where there is no room for them."""

__all__ = ["ListPage", "Page", "Result", "TextPage"]


class Page(KeyScreen[Result]):
    """A screen of lines, drawn anew after each key; its last line holds the keys."""

    CSS = "Page { background: #101214; } Page #page { width: 100%; height: 100%; }"

    def __init__(self) -> None:
        super().__init__()
        self.buttons = Buttons()

    def compose(self) -> ComposeResult:
        """One widget for all."""
        yield Lines(id="page")

    def on_resize(self, event: events.Resize) -> None:
        """Draw anew for the room there is."""
        self.show_anew()

    def drawn(self, width: int, height: int) -> Sequence[Text]:
        """All lines of the page, for a screen of this size."""
        raise NotImplementedError

    def show_anew(self) -> None:
        """Show the state, where there is room for anything."""
        width, height = self.size
        if self.is_mounted and width >= 2:
            self.query_one(Lines).show(self.drawn(width, height))

    # -- keys and taps --------------------------------------------------------------------------------------

    def press(self, key: Stroke) -> None:
        """A key of the table, or nothing."""
        action = self.action_of(key)
        if action is not None:
            self.do(action.id)
            self.show_anew()

    def on_click(self, event: events.Click) -> None:
        """A tap on a word of the foot does it; elsewhere it is the page's."""
        if event.y == self.size.height - 1:
            self.tap(self.buttons.key_at(event.x), event)
        else:
            self.tapped(event)

    def tapped(self, event: events.Click) -> None:
        """A tap above the foot."""

    def wheel(self, key: str, event: events.MouseEvent) -> None:
        """The wheel is the arrow key."""
        self.tap(key, event)

    def do_leave(self) -> None:
        """Back to where the crew came from."""
        self.dismiss()

    # -- drawing --------------------------------------------------------------------------------------------

    def head(self, text: str, width: int) -> Text:
        """The line at the top."""
        while cell_len(text) > width - 1 and GAP in text:
            text = text.rpartition(GAP)[0]
        return Text(fitted(f" {text}", width), HEAD)

    def foot(self, width: int, buttons: Sequence[Button] | None = None, *, always: int = 0) -> Text:
        """The keys, and how many of them were swallowed.

        Args:
            width: Columns.
            buttons: What can be done now; None for the page's whole table.
            always: How many of the last ones have room before all others.
        """
        shown = of_actions(self.actions) if buttons is None else buttons
        return Text(self.buttons.line(shown, width, always=always, told=self.swallowed_words), FAINT)

    @staticmethod
    def filled(lines: list[Text], height: int) -> list[Text]:
        """So many lines: the rest is empty, and what is too much is cut."""
        return [*lines, *[Text("")] * (height - len(lines))][: max(height, 0)]


class ListPage(Page[Result]):
    """A page with a bar on one of its rows, moved by arrows, a numeric pad's digits, the wheel and taps."""

    at = 0
    """The row under the bar."""

    @property
    def count(self) -> int:
        """How many rows."""
        raise NotImplementedError

    @property
    def far(self) -> int:
        """How many rows half a screen holds."""
        return max(self.size.height // 2, 1)

    def step(self, rows: int) -> None:
        """Move the bar, as far as there are rows."""
        self.at = min(max(self.at + rows, 0), max(self.count - 1, 0))

    def do_up(self) -> None:
        """The row before."""
        self.step(-1)

    def do_down(self) -> None:
        """The next row."""
        self.step(1)

    def do_page_up(self) -> None:
        "Move half a screen up."
        self.step(-self.far)

    def do_page_down(self) -> None:
        "Move half a screen down."
        self.step(self.far)

    def do_first(self) -> None:
        """The first row."""
        self.step(-self.count)

    def do_last(self) -> None:
        """The last row."""
        self.step(self.count)


_SCROLLS = {"down": 1, "2": 1, "up": -1, "8": -1, "pagedown": 10, "3": 10, "pageup": -10, "9": -10}
"""Lines that a key scrolls; a numeric pad's digits stand where its arrows do."""


class TextPage(Page[None]):
    """A page of text; arrows scroll it, `*` opens the menu of the screen under it, any other key closes it."""

    def __init__(self, title: str) -> None:
        super().__init__()
        self._title = title
        self._first = 0

    def lines(self, width: int) -> list[Text]:
        """The page's text for a screen of this width."""
        raise NotImplementedError

    def set_out(self, width: int, height: int) -> list[Text]:
        """The same for a room of this height: a page that fills a large one says how."""
        return self.lines(width)

    def text_columns(self, width: int) -> int:
        """Columns that the text has; the picture has the rest."""
        return width

    def picture(self, width: int, height: int) -> list[Text]:
        """What is drawn beside the text, in a room of this size."""
        raise NotImplementedError

    def how(self, *, more: bool) -> str:
        """Which keys do what here, said beside the title.

        Args:
            more: There are more lines than fit.
        """
        return say("arrows for more, others close") if more else say("any key closes")

    def press(self, key: Stroke) -> None:
        """Scroll, or close."""
        move = _SCROLLS.get(key.character or key.name)
        if move is None:
            self.dismiss()
            if key.character == "*":
                # A message, so that it stays in order with the keys that are handed on after it.
                self.app.screen.post_message(KeyScreen.MenuKey())
            return
        self._first = max(self._first + move, 0)
        self.show_anew()

    def on_click(self, event: events.Click) -> None:
        """A tap closes."""
        self.dismiss()

    def drawn(self, width: int, height: int) -> list[Text]:
        """Title and text, from the first line that is seen."""
        across = self.text_columns(width)
        room = max(height - 1, 1)
        lines = self.set_out(max(across, 20), room)
        self._first = min(self._first, max(len(lines) - room, 0))
        how = self.how(more=len(lines) > height - 1)
        told = f" {self._title}   ({how})"
        if cell_len(told) > width:
            told = f" {self._title.partition(',')[0]}   ({how})"
        seen = lines[self._first : self._first + room]
        if across < width:
            seen = beside(seen, [Text(""), *self.picture(width - across - 1, room - 2)], across + 1)[:room]
        return [Text(with_told(told, width, self.swallowed_words), HEAD), *seen]
