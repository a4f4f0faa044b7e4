"""The menu: all commands of a screen, by number, by letters of what is wanted, or by a tap."""

from __future__ import annotations

from rich.text import Text
from textual import events
from textual.app import ComposeResult

from rodcall.i18n import say
from rodcall.tui.bindings.actions import Action, key_words
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.key_screen import KeyScreen
from rodcall.tui.widgets.lines import Lines, fitted, with_told
from rodcall.tui.widgets.styles import BAR, HEAD
from rodcall.wording import words


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
            Text(fitted(self._row(at), width), BAR if place == self._bar else "")
            for place, at in enumerate(self._found)
        ] or [Text(f" {say('no command is called that; Backspace takes a letter back, Esc closes')}")]
        asked = say("commands: number, or letters, and Enter")
        asked = f" {asked}   {words.harmless(self._wanted + self._number)}_"
        head = Text(with_told(asked, width, self.swallowed_words), HEAD)
        self.query_one(Lines).show([head, *rows[self._first :]])

    def _row(self, at: int) -> str:
        action = self._actions[at]
        return f" {at + 1:>2}  {key_words(action.key):<6} {say(action.words):<11} {say(action.help)}"
