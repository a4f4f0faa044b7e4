"""The menu: all commands of a screen, by number, by part of the name, or by a tap."""

from __future__ import annotations

from rich.text import Text
from textual import events
from textual.fuzzy import FuzzySearch

from rodcall.i18n import say
from rodcall.tui.bindings.actions import Action, key_name
from rodcall.tui.pages.base import Page
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.lines import clause, fitted, with_told, wrapped
from rodcall.tui.widgets.styles import BAR, HEAD, STRONG
from rodcall.wording import words

ABOUT = 2
"""Lines in which the command under the bar is explained in full."""


class MenuScreen(Page[str | None]):
    """All commands: by number, by letters of their words or help, with the arrows, or by a tap.

    A number stays the same command however the list is narrowed.
    """

    def __init__(self, actions: tuple[Action, ...]) -> None:
        super().__init__()
        self._actions = [action for action in actions if action.id != "menu"]
        self._found = list(range(len(self._actions)))
        """The actions that are listed, by their place."""
        self._number = ""
        self._wanted = ""
        self.at = 0
        """The line under the bar."""

    def press(self, key: Stroke) -> None:
        """Digits build the number, letters narrow the list, Enter takes what is under the bar."""
        if key.name == "enter":
            if self._take():
                return
        elif key.name in ("down", "up"):
            self._number = ""
            self.at = (self.at + (1 if key.name == "down" else -1)) % max(len(self._found), 1)
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
        self.show_anew()

    def on_click(self, event: events.Click) -> None:
        """A tap takes a line; on the head it closes."""
        row = event.y - 1 + self._first
        if 0 <= row < len(self._found) and event.y >= 1:
            self.dismiss(self._actions[self._found[row]].id)
        elif event.y == 0:
            self.dismiss(None)

    def _take(self) -> bool:
        """Close with the action under the bar; a number that is none is given up instead."""
        number, self._number = self._number, ""
        if not self._found or (number and not 1 <= int(number) <= len(self._actions)):
            return False
        self.dismiss(self._actions[int(number) - 1 if number else self._found[self.at]].id)
        return True

    def _find_number(self) -> None:
        if int(self._number) - 1 in self._found:
            self.at = self._found.index(int(self._number) - 1)

    def _find(self) -> None:
        """List what has all the wanted words, those first that are called so; else what has their letters in order."""
        whole = self._wanted.lower()
        wanted = whole.split()
        told = [f"{say(action.words)} {say(action.help)}".lower() for action in self._actions]
        self._found = [at for at, text in enumerate(told) if all(word in text for word in wanted)]
        self._found.sort(key=lambda at: not told[at].startswith(whole))
        if not self._found and wanted:
            self._found = self._like(wanted)
        self.at = 0

    def _like(self, wanted: list[str]) -> list[int]:
        """Actions whose words have the letters of all that is wanted, in order but with gaps; the likest first."""
        search = FuzzySearch()
        scores = {}
        for at, action in enumerate(self._actions):
            each = [search.match(word, say(action.words))[0] for word in wanted]
            if all(each):
                scores[at] = sum(each)
        return sorted(scores, key=lambda at: -scores[at])

    @property
    def _first(self) -> int:
        return max(self.at - max(self.size.height - 2 - ABOUT, 1) + 1, 0)

    def drawn(self, width: int, height: int) -> list[Text]:
        """What is wanted so far, and the commands that it may be."""
        rows = [
            Text(fitted(self._row(at, width), width), BAR if place == self.at else "")
            for place, at in enumerate(self._found)
        ] or [Text(f" {say('no such command; Backspace deletes a letter, Esc closes')}")]
        asked = say("commands: type a number or a name, then Enter")
        asked = f" {asked}   {words.harmless(self._wanted + self._number)}_"
        room = max(height - 2 - ABOUT, 1)
        about = say(self._actions[self._found[self.at]].help) if self._found else ""
        return [
            Text(with_told(asked, width, self.swallowed_words), HEAD),
            *self.filled(rows[self._first : self._first + room], room),
            Text(""),
            *wrapped(about, width, STRONG, most=ABOUT),
        ]

    def _row(self, at: int, width: int) -> str:
        action = self._actions[at]
        wide = max(len(say(each.words)) for each in self._actions) + 1
        told = f" {at + 1:>2}  {key_name(action.key):<6} {say(action.words):<{wide}} "
        # Without its stop, as those are that end with a clause.
        return f"{told}{clause(say(action.help).removesuffix('.'), width - len(told))}"
