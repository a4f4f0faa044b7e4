"""Pages that explain: the keys, the marks, and the menu of all commands by number."""

from __future__ import annotations

from rich.style import Style
from rich.text import Text
from textual import events
from textual.app import ComposeResult

from rodcall.i18n import counted, say
from rodcall.tui.bindings.actions import MOVES, Action, key_words
from rodcall.tui.bindings.legend import LEGEND
from rodcall.tui.terminal.colours import DAY
from rodcall.tui.terminal.keys import Bounces, Stroke
from rodcall.tui.widgets.key_screen import KeyScreen
from rodcall.tui.widgets.lines import Lines, fitted, with_told
from rodcall.wording import words
from rodcall.wording.cautions import CAUTIONS

_HEAD = Style(color=DAY.ground, bgcolor=DAY.accent, bold=True)
_KEY = Style(color=DAY.accent, bgcolor=DAY.ground, bold=True)
_MOVES = {"down": 1, "2": 1, "up": -1, "8": -1, "pagedown": 10, "3": 10, "pageup": -10, "9": -10}
"""Lines that a key scrolls; a numeric pad's digits stand where its arrows do."""
_UNDER_BAR = Style(color=DAY.text, bgcolor=DAY.ground, reverse=True, bold=True)


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
                self.app.screen.post_message(KeyScreen.MenuWanted())
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
        head = Text(with_told(f" {self._title}   ({how})", width, self.swallowed_words), _HEAD)
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
        return [line for row in map(say, LEGEND) for line in _entry(row[:7].strip(), row[7:], width)]


class MenuScreen(KeyScreen[str | None]):
    """All commands: by number, by letters of their words or help, with the arrows, or by a tap.

    A number stays the same command however the list is narrowed.
    """

    CSS = "MenuScreen { background: #101214; } MenuScreen #page { width: 100%; height: 100%; }"

    def __init__(self, actions: tuple[Action, ...]) -> None:
        super().__init__()
        self._actions = [action for action in actions if action.id != "menu"]
        self._found = list(range(len(self._actions)))
        """The actions that are listed, by their place."""
        self._number = ""
        self._wanted = ""
        self._bar = 0

    def compose(self) -> ComposeResult:
        """One widget for all."""
        yield Lines(id="page")

    def on_resize(self, event: events.Resize) -> None:
        """Show what fits."""
        self._show()

    def show_anew(self) -> None:
        """Show the list."""
        self._show()

    def press(self, key: Stroke) -> None:
        """Digits build the number, letters narrow the list, Enter takes what is under the bar."""
        if key.name == "enter":
            if self._take():
                return
        elif key.name in ("down", "up"):
            self._number = ""
            self._bar = (self._bar + (1 if key.name == "down" else -1)) % max(len(self._found), 1)
        elif key.name == "backspace" and self._number + self._wanted:
            self._number, self._wanted = self._number[:-1], self._wanted if self._number else self._wanted[:-1]
            self._find()
        elif key.character.isdecimal() and key.character.isascii():
            self._number = (self._number + key.character)[-2:]
            self._find_number()
        elif key.character and key.character not in "-/*+,.":
            self._wanted, self._number = (self._wanted + key.character)[:30], ""
            self._find()
        else:
            self.dismiss(None)
            return
        self._show()

    def on_click(self, event: events.Click) -> None:
        """A tap takes a line; on the head it closes."""
        row = event.y - 1 + self._first
        if 0 <= row < len(self._found) and event.y >= 1:
            self.dismiss(self._actions[self._found[row]].id)
        elif event.y == 0:
            self.dismiss(None)

    def wheel(self, key: str, event: events.MouseEvent) -> None:
        """The wheel moves the bar."""
        self.tap(key, event)

    def _take(self) -> bool:
        """Close with the action under the bar; a number that is none is given up instead."""
        number, self._number = self._number, ""
        if not self._found or (number and not 1 <= int(number) <= len(self._actions)):
            return False
        self.dismiss(self._actions[int(number) - 1 if number else self._found[self._bar]].id)
        return True

    def _find_number(self) -> None:
        if int(self._number) - 1 in self._found:
            self._bar = self._found.index(int(self._number) - 1)

    def _find(self) -> None:
        """List what has all the wanted words, those first that are called so."""
        wanted = self._wanted.lower().split()
        told = [f"{say(action.words)} {say(action.help)}".lower() for action in self._actions]
        found = [at for at, text in enumerate(told) if all(word in text for word in wanted)]
        self._found = sorted(found, key=lambda at: not told[at].startswith(self._wanted.lower()))
        self._bar = 0

    @property
    def _first(self) -> int:
        return max(self._bar - max(self.size.height - 2, 1) + 1, 0)

    def _show(self) -> None:
        width = self.size.width
        rows = [
            Text(fitted(self._row(at), width), _UNDER_BAR if place == self._bar else "")
            for place, at in enumerate(self._found)
        ] or [Text(f" {say('no command is called that; Backspace takes a letter back, Esc closes')}")]
        asked = say("commands: number, or letters, and Enter")
        asked = f" {asked}   {words.harmless(self._wanted + self._number)}_"
        head = Text(with_told(asked, width, self.swallowed_words), _HEAD)
        self.query_one(Lines).show([head, *rows[self._first :]])

    def _row(self, at: int) -> str:
        action = self._actions[at]
        return f" {at + 1:>2}  {key_words(action.key):<6} {say(action.words):<11} {say(action.help)}"


def _entry(keys: str, text: str, width: int) -> list[Text]:
    """A key and its explanation, broken over lines."""
    room = max(width - 17, 10)
    lines = [""]
    for word in text.split():
        if len(lines[-1]) + len(word) + 1 > room and lines[-1]:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    first = Text().append(f" {keys:<14} ", _KEY).append(lines[0])
    return [first, *(Text(f"{'':16}{line}") for line in lines[1:])]


def bounces_words(bounces: Bounces) -> str:
    """How many keys were swallowed as repeats of a vibrating switch, and what counts as one."""
    told = counted(bounces.swallowed, "{number} repeat swallowed", "{number} repeats swallowed")
    limit = say("the same key within {limit} ms counts once (vibration_ms in the settings)", limit=bounces.limit_ms)
    return f"{told}; {limit}"
