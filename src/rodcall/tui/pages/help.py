"""Pages that explain: the keys, the marks, and the menu of all commands by number."""

from __future__ import annotations

from rich.text import Text
from textual import events
from textual.app import ComposeResult

from rodcall.i18n import counted, say
from rodcall.tui.bindings.actions import MOVES, Action, key_words
from rodcall.tui.bindings.legend import LEGEND
from rodcall.tui.terminal.keys import Bounces, Stroke
from rodcall.tui.widgets.key_screen import KeyScreen
from rodcall.tui.widgets.lines import Lines, with_told
from rodcall.tui.widgets.styles import ACCENT, HEAD
from rodcall.wording.cautions import CAUTIONS

_MOVES = {"down": 1, "2": 1, "up": -1, "8": -1, "pagedown": 10, "3": 10, "pageup": -10, "9": -10}
"""Lines that a key scrolls; a numeric pad's digits stand where its arrows do."""


class PageScreen(KeyScreen[None]):
    """A page of text; arrows scroll it, `*` opens the menu of the screen under it, any other key closes it."""

    CSS = "PageScreen { background: #101214; } PageScreen #page { width: 100%; height: 100%; }"

    def __init__(self, title: str) -> None:
        super().__init__()
        self._title = title
        self._first = 0

    def lines(self, width: int) -> list[Text]:
        """The page's text for a screen of this width."""
        raise NotImplementedError

    def how(self, *, more: bool) -> str:
        """Which keys do what here, said beside the title.

        Args:
            more: There are more lines than fit.
        """
        return say("arrows for more, others close") if more else say("any key closes")

    def compose(self) -> ComposeResult:
        """One widget for all."""
        yield Lines(id="page")

    def on_resize(self, event: events.Resize) -> None:
        """Break the lines anew."""
        self._show()

    def show_anew(self) -> None:
        """Show the text."""
        self._show()

    def press(self, key: Stroke) -> None:
        """Scroll, or close."""
        move = _MOVES.get(key.character or key.name)
        if move is None:
            self.dismiss()
            if key.character == "*":
                # A message, so that it stays in order with the keys that are handed on after it.
                self.app.screen.post_message(KeyScreen.MenuKey())
            return
        self._first = max(self._first + move, 0)
        self._show()

    def on_click(self) -> None:
        """A tap closes."""
        self.dismiss()

    def wheel(self, key: str, event: events.MouseEvent) -> None:
        """The wheel scrolls."""
        self.tap(key, event)

    def _show(self) -> None:
        width, height = self.size
        lines = self.lines(max(width, 20))
        self._first = min(self._first, max(len(lines) - max(height - 1, 1), 0))
        how = self.how(more=len(lines) > height - 1)
        head = Text(with_told(f" {self._title}   ({how})", width, self.swallowed_words), HEAD)
        self.query_one(Lines).show([head, *lines[self._first : self._first + max(height - 1, 1)]])


class HelpScreen(PageScreen):
    """The keys of a screen, made from its table of actions."""

    def __init__(self, name: str, actions: tuple[Action, ...]) -> None:
        super().__init__(say("keys on the {name}", name=name))
        self._actions = actions

    def lines(self, width: int) -> list[Text]:
        """Moves, commands and cautions."""
        moves = MOVES if any(action.id == "undo" for action in self._actions) else ()
        rows = [
            *((say(keys), say(told)) for keys, told in moves),
            *((", ".join(map(key_words, action.keys)), say(action.help)) for action in self._actions),
        ]
        told = [line for keys, help_line in rows for line in _entry(keys, help_line, width)]
        told += _entry("", bounces_words(self.program.bounces), width)
        return [*told, Text(""), *(line for caution in CAUTIONS for line in _entry("", say(caution), width))]


class LegendScreen(PageScreen):
    """What the marks mean."""

    def __init__(self) -> None:
        super().__init__(say("marks and colours"))

    def lines(self, width: int) -> list[Text]:
        """One mark a line."""
        return [line for row in LEGEND for line in _entry(say(row.mark), say(row.means), width)]


def _entry(keys: str, text: str, width: int) -> list[Text]:
    """A key and its explanation, broken over lines."""
    room = max(width - 17, 10)
    lines = [""]
    for word in text.split():
        if len(lines[-1]) + len(word) + 1 > room and lines[-1]:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    first = Text().append(f" {keys:<14} ", ACCENT).append(lines[0])
    return [first, *(Text(f"{'':16}{line}") for line in lines[1:])]


def bounces_words(bounces: Bounces) -> str:
    """How many keys were swallowed as repeats of a vibrating switch, and what counts as one."""
    told = counted(bounces.swallowed, "{number} repeat swallowed", "{number} repeats swallowed")
    limit = say("the same key within {limit} ms counts once (vibration_ms in the settings)", limit=bounces.limit_ms)
    return f"{told}; {limit}"
