"""The settings of this tablet: a line each, written into the file and in force as soon as they are changed."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual import events

from rodcall.book.storage.safe_read import reason
from rodcall.i18n import say
from rodcall.tablet.settings import SETTINGS, SettingError, kind, settings_file, stepped, with_value, write_setting
from rodcall.tui.pages.base import Page
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.terminal.themes import OWN
from rodcall.tui.widgets.lines import clause, fitted, path_words, tail, wrapped
from rodcall.tui.widgets.styles import ACCENT, BAR, FAINT, PLAIN
from rodcall.tui.widgets.window import Window
from rodcall.wording import words

NAME, VALUE = 16, 24
OTHER_ROWS = 3
"""Lines beside the settings: head, message, keys."""
ROOM_FOR_HELP = 100
"""Columns from which each setting is explained in its line."""


class SettingsScreen(Page[None]):
    """Steps through what can be set; a choice or a number is stepped, a text or a number is typed."""

    TABLE: ClassVar[str] = "settings"

    def __init__(self) -> None:
        super().__init__()
        self._names = list(SETTINGS)
        self._at = 0
        self._typed: str | None = None
        """What is typed and not taken yet; None while nothing is."""
        self._message = ""

    def press(self, key: Stroke) -> None:
        """A character that the setting can hold is typed; else the key does what the table says."""
        self._message = ""
        if key.name == "backspace" and self._typed is not None:
            self._typed = self._typed[:-1]
        elif key.name == "escape" and self._typed is not None:
            self._typed = None
        elif key.character and self._takes(key.character):
            self._typed = ((self._typed or "") + key.character)[:200]
        elif (action := self.action_of(key)) is not None:
            self.do(action.id)
        self.show_anew()

    def tapped(self, event: events.Click) -> None:
        """A tap goes to its setting; on the one under the bar it steps it."""
        window = self._window
        if not 1 <= event.y <= window.count or not self._take():
            return
        at = window.first + event.y - 1
        if at == self._at:
            self._step(1)
        self._at = at
        self.show_anew()

    def wheel(self, key: str, event: events.MouseEvent) -> None:
        """The wheel moves the bar."""
        self.tap(key if key == "up" else "down", event)

    # -- what can be done -----------------------------------------------------------------------------------

    def do_next(self) -> None:
        """Take what is typed, and on."""
        if self._take():
            self._at = (self._at + 1) % len(self._names)

    def do_previous(self) -> None:
        """Take what is typed, and back."""
        if self._take():
            self._at = (self._at - 1) % len(self._names)

    def do_more(self) -> None:
        """The next choice, or more."""
        self._step(1)

    def do_less(self) -> None:
        """The choice before, or less."""
        self._step(-1)

    def do_leave(self) -> None:
        """Back to where the crew came from."""
        if self._take():
            self.dismiss()

    # -- inside ---------------------------------------------------------------------------------------------

    @property
    def _here(self) -> str:
        return self._names[self._at]

    @property
    def _value(self) -> object:
        return getattr(self.program.settings, self._here)

    def _takes(self, character: str) -> bool:
        """Can this character be typed into the setting under the bar?"""
        if isinstance(self._value, bool) or kind(self._here).choices:
            return False
        if isinstance(self._value, int):
            return character in "0123456789"
        return True

    def _step(self, by: int) -> None:
        self._typed = None
        self._set(stepped(self.program.settings, self._here, by))

    def _take(self) -> bool:
        """Set what is typed; False where it will not do, and it stays in the line."""
        if self._typed is None:
            return True
        return self._set(int(self._typed or 0) if isinstance(self._value, int) else self._typed)

    def _set(self, value: object) -> bool:
        """Put a value in force and write it; a disk that refuses leaves it in force until the program ends."""
        if value == self._value:
            self._typed = None
            return True
        try:
            self.program.apply(with_value(self.program.settings, self._here, value))
            self._typed = None
            write_setting(self._here, value)
        except SettingError as error:
            self._message = str(error)
            return False
        except OSError as error:
            self._message = say(
                "NOT WRITTEN: {file}: {why}; in force until you quit", file=settings_file(), why=reason(error)
            )
        return True

    # -- showing --------------------------------------------------------------------------------------------

    @property
    def _window(self) -> Window:
        return Window.on([self._at], self.size.height - OTHER_ROWS - len(self._below()), len(self._names))

    def _below(self) -> list[Text]:
        """What explains the setting under the bar, and the wrong lines of the file, as far as there is room."""
        width, room = max(self.size.width, 22), max(self.size.height - OTHER_ROWS - 2, 0)
        allowed = kind(self._here)
        about = f"{self._here}: {say(allowed.help)}"
        if allowed.choices:
            about += f" ({', '.join(allowed.choices)})"
        elif allowed.most:
            about += f" ({allowed.least} .. {allowed.most})"
        told = [Text(""), *wrapped(about, width)]
        own = self.program.own_theme_told if self._here == "theme" and self._value == OWN else ()
        for wrong in dict.fromkeys((*own, *self.program.wrong_settings)):
            told += wrapped(f"! {words.harmless(wrong, 400)}", width, ACCENT)
        return told[:room]

    def drawn(self, width: int, height: int) -> list[Text]:
        """The settings around the bar, and what explains them."""
        below = self._below()
        rows = [self._row(at, width) for at in self._window]
        head = self.head(say("settings in {file}", file=path_words(settings_file(), width - 16)), width)
        gap = [Text("")] * max(height - OTHER_ROWS - len(rows) - len(below), 0)
        message = Text(f" {words.harmless(self._message, 400)}", ACCENT)
        return [head, *rows, *below, *gap, message, self.foot(width, always=2)]

    def _row(self, at: int, width: int) -> Text:
        name, here = self._names[at], at == self._at
        shown = self._typed if here and self._typed is not None else _said(getattr(self.program.settings, name))
        mark, cursor = (">", "_") if here else (" ", "")
        told = f"{mark}{name:<{NAME}} {tail(words.harmless(shown), VALUE - 1)}{cursor}"
        about = say(kind(name).help) if width >= ROOM_FOR_HELP else ""
        line = Text(fitted(told, min(width, NAME + VALUE + 3)), BAR if here else PLAIN)
        return line.append(
            fitted(f"  {clause(about, width - NAME - VALUE - 6)}", max(width - NAME - VALUE - 3, 0)),
            BAR if here else FAINT,
        )


def _said(value: object) -> str:
    """A value as the crew reads it."""
    if isinstance(value, bool):
        return say("yes") if value else say("no")
    return str(value)
