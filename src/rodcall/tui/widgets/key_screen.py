"""A screen that takes every key itself, in order, those included that were typed before it was there."""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import ClassVar, Protocol, TypeVar, cast

from textual import events
from textual.await_complete import AwaitComplete
from textual.message import Message
from textual.screen import Screen

from rodcall.i18n import counted, say
from rodcall.tablet.settings import Settings
from rodcall.tui.bindings.actions import Action
from rodcall.tui.bindings.keymap import Keymap
from rodcall.tui.terminal.keys import Bounces, Stroke, stroke, stroke_of
from rodcall.tui.widgets.wanted import MenuWanted, SettingsWanted, Wanted

Result = TypeVar("Result")


class Program(Protocol):
    """What a screen may ask of the program that it runs in."""

    settings: Settings
    keymap: Keymap
    bounces: Bounces
    wrong_settings: tuple[str, ...]
    """Lines of the settings file that could not be used, each told in one line."""

    @property
    def ascii_only(self) -> bool:
        """Does the terminal get no character beyond ASCII?"""

    own_theme_told: tuple[str, ...]
    """What is wrong with the crew's own theme, or hard to read in it."""

    @property
    def has_braille(self) -> bool:
        """Charts are drawn in braille; else in letters."""

    def apply(self, settings: Settings) -> None:
        """Put settings in force."""

    def wear_next(self) -> str:
        """Step to the next theme, and return its name."""

    def open(self, wanted: Wanted) -> None:
        """Show what a screen wants."""


class KeyScreen(Screen[Result]):
    """Hands each key to `press`, or on to the screen that has come over this one or that it went back to.

    Keys typed ahead wait in the queue of the screen that was up when they came in. Worked off there they would be
    taken for something else: the 3 of a menu's number for a reading.
    """

    AUTO_FOCUS = None
    TABLE: ClassVar[str] = ""
    """The screen's table of actions, by the name that `keymap.TABLES` gives it."""

    class MenuKey(Message, bubble=False):
        """The page over this one was closed with the menu's key."""

    _gone = False
    """It is closed already, though textual takes it away only after what is in the queue."""

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        """Close; keys from here on are meant for the screen that comes next."""
        self._gone = True
        return super().dismiss(result)

    def give_way_to(self, screen: KeyScreen[None]) -> None:
        """Close, and let another screen stand in this one's place; keys from here on are meant for that one."""
        self._gone = True
        self.app.switch_screen(screen)

    def do_copy(self) -> None:
        """Copy what is shown to the clipboard."""
        self.message_of_copy(copy_shown(self))

    def message_of_copy(self, told: str) -> None:
        """Say what came of copying, where the screen says such things."""
        self.app.notify(told, markup=False)

    # -- the program around it ------------------------------------------------------------------------------

    @property
    def program(self) -> Program:
        """The program, with its settings and keys."""
        return cast(Program, self.app)

    def open(self, wanted: Wanted) -> None:
        """Ask the navigator for another page."""
        self.program.open(wanted)

    def say_where(self) -> None:
        """Tell the crew what it was doing, after an interruption; a screen without work of its own tells nothing."""

    def say_how_to_leave(self) -> None:
        """Ctrl+C leaves nothing behind it, so it only says how to leave."""

    def put_away(self) -> str:
        """Save what is left, now that the screen is left; what is to be told of that once the program has ended."""
        return ""

    # -- what can be done -----------------------------------------------------------------------------------

    @property
    def actions(self) -> tuple[Action, ...]:
        """What can be done here, with the keys in force."""
        return self.program.keymap.tables[self.TABLE]

    def action_of(self, key: Stroke) -> Action | None:
        """What a key does here, by the table."""
        return self.program.keymap.action(self.TABLE, key.character or key.name)

    def do(self, action: str) -> None:
        """Do what an action's method does: `do_` and its id."""
        getattr(self, f"do_{action}")()

    def do_menu(self) -> None:
        """All commands of this screen, by number or by letters."""
        self.open(MenuWanted(self.actions, self._chosen))

    def on_key_screen_menu_key(self) -> None:
        """Open it."""
        self.do_menu()

    def do_settings(self) -> None:
        """What is set on this tablet."""
        self.open(SettingsWanted(self.show_anew))

    def show_anew(self) -> None:
        """Show the state, as after another page was over this one."""

    @property
    def swallowed_words(self) -> str:
        """How many keys were swallowed as repeats of a vibrating switch; empty where none was."""
        number = self.program.bounces.swallowed
        return counted(number, "{number} repeat swallowed", "{number} repeats swallowed") if number else ""

    # -- keys -----------------------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        """Take the key here, or where the crew meant it."""
        event.stop()
        if self._gone or self.app.screen is not self:
            self._hand_on(event)
            return
        event.prevent_default()
        key = stroke(event)
        if self.program.bounces.take(key):
            self.press(key)
        else:
            self.show_anew()

    def _hand_on(self, event: events.Key) -> None:
        """Give a key to the screen that is up, once that is another one."""
        if self.app.screen is self:
            self.app.call_later(self._hand_on, event)
        else:
            self.app.screen.post_message(event)

    def press(self, key: Stroke) -> None:
        """Work off one key."""
        raise NotImplementedError

    def tap(self, key: str | None, event: events.MouseEvent) -> bool:
        """Press the key that a tapped word stands for; False where there is none."""
        if key is not None:
            self.press(stroke_of(key, event.time))
        return key is not None

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        """The wheel is the arrow key, where the page takes that."""
        self.wheel("down", event)

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        """The wheel is the arrow key, where the page takes that."""
        self.wheel("up", event)

    def wheel(self, key: str, event: events.MouseEvent) -> None:
        """Scroll one line; a screen that has nothing to scroll leaves this as it is."""

    def _chosen(self, action: str | None) -> None:
        if action is not None:
            self.do(action)
        self.show_anew()


def copy_shown(screen: Screen[Result]) -> str:
    """Copy the text of a screen by the terminal's own way (OSC 52); what came of it, in one line.

    A terminal answers nothing to it; those that are known not to heed it are told apart by what they call themselves.
    """
    widgets = [each for each in screen.query("*") if not each.children and each.display and each.size.height]
    text = "\n".join(
        "".join(segment.text for segment in each.render_line(y)).rstrip()
        for each in widgets
        for y in range(each.size.height)
    )
    if refuses_copying(os.environ):
        return say("this terminal takes no copies; rodcall figures JOB.json prints the numbers")
    screen.app.copy_to_clipboard(text)
    return counted(
        len(text.splitlines()),
        "{number} line copied; if it cannot be pasted, this terminal allows no copying",
        "{number} lines copied; if they cannot be pasted, this terminal allows no copying",
    )


def refuses_copying(environment: Mapping[str, str]) -> bool:
    """Is it a terminal that has no clipboard, or heeds no OSC 52?"""
    terminal = environment.get("TERM", "")
    return terminal.startswith(("linux", "dumb", "vt", "ansi")) or environment.get("TERM_PROGRAM") == "Apple_Terminal"
