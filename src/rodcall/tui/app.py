"""The program on the screen: which screen is up, how it ends, and what signals do."""

from __future__ import annotations

import asyncio
import contextlib
import gc
import os
import signal
from collections.abc import Sequence
from dataclasses import replace
from types import FrameType
from typing import ClassVar

from textual.app import App
from textual.binding import Binding, BindingType
from textual.filter import LineFilter

from rodcall.book.storage.opening import JobFile
from rodcall.i18n import speak
from rodcall.tablet.settings import Settings, write_setting
from rodcall.tui.bindings.keymap import Keymap
from rodcall.tui.navigator import Certify, Export, MakeGrid, Navigator
from rodcall.tui.terminal import charset, one_read, themes
from rodcall.tui.terminal.charset import Plain
from rodcall.tui.terminal.hangup import is_gone
from rodcall.tui.terminal.keys import Bounces
from rodcall.tui.terminal.themes import Recolour
from rodcall.tui.widgets.key_screen import KeyScreen
from rodcall.tui.widgets.wanted import Wanted

LOOK_FOR_TERMINAL = 2.0
"""Seconds between two looks whether the terminal is still there."""
YOUNG = 20_000
"""Objects after which the collector looks at those that are new: a few Enters', not several times in each."""


class RodcallApp(App[None], inherit_bindings=False):
    """Opens on a job's shot grid, or on the list of jobs.

    Textual's own Ctrl+Q would leave at once, whatever the disk says; here each screen takes it as one of its keys.

    Args:
        opened: The job; None for the list.
        export: Writes sheets; None where none can be written from here.
        settings: What the crew has set.
        wrong: Lines of the settings file that could not be used.
        grid: Makes the shot grid of the job that the program opens on, where it is another than usual.
        certify: Issues certificates; None where none can be issued from here.
    """

    CSS = "Screen { background: #101214; color: #f7f7f7; }"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+z", "suspend_process", show=False, priority=True),
        Binding("ctrl+c", "leave_hint", show=False, priority=True),
    ]

    def __init__(
        self,
        opened: JobFile | None,
        export: Export | None = None,
        settings: Settings | None = None,
        wrong: tuple[str, ...] = (),
        grid: MakeGrid | None = None,
        certify: Certify | None = None,
    ) -> None:
        super().__init__()
        charset.take_any_bytes()
        one_read.time_by_read()
        self._navigator = Navigator(self, opened, export, grid, certify)
        # Another program that drives this one sends keys as fast as it likes; no switch vibrates there.
        settings = settings or Settings(vibration_ms=0)
        self.bounces = Bounces(settings.vibration_ms)
        self._few_colours = themes.customary(os.environ) == "sixteen"
        self._colours = Recolour("day", few=self._few_colours)
        self._plain = Plain(enabled=False)
        self.own_theme_told: tuple[str, ...] = ()
        """What is wrong with the crew's own theme, or hard to read in it."""
        self.apply(settings)
        self.wrong_settings = (*wrong, *self.keymap.wrong, *self.own_theme_told)
        """Lines of the settings file that could not be used, each told in one line."""
        self.begins_with = ""
        """The action that the first screen does by itself; empty for none."""
        self.fault: Exception | None = None
        """The mistake of the program that ended it."""

    @property
    def parting(self) -> str:
        """What is to be said once the terminal is its own again; empty when there is nothing."""
        return self._navigator.parting

    def open(self, wanted: Wanted) -> None:
        """Show what a screen wants."""
        self._navigator.open(wanted)

    def apply(self, settings: Settings) -> None:
        """Put settings in force, at the start and whenever one is changed."""
        self.settings = settings
        self.bounces.limit_ms = settings.vibration_ms
        self.keymap = Keymap(settings.keys, settings.key_lines)
        speak(settings.language)
        theme = themes.customary(os.environ) if settings.theme == "auto" else settings.theme
        if theme == themes.OWN:
            self.own_theme_told = themes.take_own()
            # The file may have changed under the same name.
            self._colours = Recolour("day", few=self._few_colours)
        self.wear(theme if theme in themes.THEMES else "day")
        chosen = settings.characters
        self.write_in(charset.customary(os.environ) if chosen == "auto" else chosen)

    def on_mount(self) -> None:
        """Show the first screen and be ready for a closed window."""
        self._heed_signals()
        self._heed_going_on()
        if not self.is_headless:
            self.set_interval(LOOK_FOR_TERMINAL, self._leave_if_terminal_is_gone)
        self.app_resume_signal.subscribe(self, self._wake)
        self._navigator.begin()
        self.call_after_refresh(self._rest_collector)
        if self.begins_with:
            self.call_after_refresh(self._begin_with, self.begins_with)

    def _begin_with(self, action: str) -> None:
        if isinstance(self.screen, KeyScreen):
            self.screen.do(action)
            self.screen.show_anew()

    def on_unmount(self) -> None:
        """Nothing is left of what was practised."""
        self._navigator.close()

    # -- colours --------------------------------------------------------------------------------------------

    @property
    def wears(self) -> str:
        """The theme in force."""
        return self._colours.theme

    def wear(self, theme: str) -> None:
        """Show everything in another theme, at once."""
        if theme == self.wears:
            return
        self._colours = Recolour(theme, few=self._few_colours)
        self._show_all_anew()

    def write_in(self, chosen: str) -> None:
        """Show everything in the terminal's characters: `utf-8`, or `ascii` alone."""
        plain = chosen == "ascii"
        if plain != self._plain.enabled:
            self._plain = Plain(enabled=plain)
            self._show_all_anew()

    @property
    def ascii_only(self) -> bool:
        """Does the terminal get no character beyond ASCII?"""
        return self._plain.enabled

    @property
    def has_braille(self) -> bool:
        """Charts are drawn in braille; else in letters."""
        return not self._plain.enabled and charset.has_braille(os.environ)

    def _show_all_anew(self) -> None:
        for screen in self.screen_stack if self.is_running else ():
            for widget in screen.walk_children(with_self=True):
                widget.refresh()

    def wear_next(self) -> str:
        """Step to the next theme, keep it for the next start where the disk takes it, and return its name."""
        self.wear(themes.after(self.wears))
        self.settings = replace(self.settings, theme=self.wears)
        with contextlib.suppress(OSError):
            write_setting("theme", self.wears)
        return self.wears

    def get_line_filters(self) -> Sequence[LineFilter]:
        """What is done to each line on its way to the terminal: the theme and the characters come last."""
        ours = [each for each in (self._colours, self._plain) if each.enabled]
        return [*super().get_line_filters(), *ours]

    def _rest_collector(self) -> None:
        # What stands now stands all day: keeping the collector off it takes the longest keys' time down. It does not
        # run first, since it would hold the first paint, or the first readings, up.
        gc.freeze()
        gc.set_threshold(YOUNG, *gc.get_threshold()[1:])
        gc.enable()

    def _wake(self, _: object) -> None:
        # After Ctrl+Z and fg the terminal is blank until everything is painted again.
        self.screen.refresh(layout=True)
        self.refresh(layout=True, repaint=True)
        self._say_where()

    def _say_where(self) -> None:
        """After an interruption: what the crew was doing."""
        if isinstance(self.screen, KeyScreen):
            self.screen.say_where()

    def action_leave_hint(self) -> None:
        """Ctrl+C leaves nothing behind it, so it only says how to leave."""
        if isinstance(self.screen, KeyScreen):
            self.screen.say_how_to_leave()

    # -- ends -----------------------------------------------------------------------------------------------

    def _handle_exception(self, error: Exception) -> None:
        """Save, and let `show` tell of it in one line: textual's own way prints a page with names and notes in it."""
        super()._handle_exception(error)
        self._exit_renderables.clear()
        if self.fault is None:
            self.fault = error
            self._navigator.put_all_away()

    def _heed_signals(self) -> None:
        """SIGTERM, SIGINT and SIGHUP (a closed window) save and leave with 128 + n; Windows has SIGBREAK for it."""
        names = ("SIGTERM", "SIGHUP", "SIGINT", "SIGBREAK")
        for number in (getattr(signal, name) for name in names if hasattr(signal, name)):
            try:
                asyncio.get_running_loop().add_signal_handler(number, self._told_to_stop, number)
            except (NotImplementedError, RuntimeError, ValueError):
                self._heed_without_loop(number)

    def _heed_without_loop(self, number: int) -> None:
        loop = asyncio.get_running_loop()
        try:
            signal.signal(number, lambda *_: loop.call_soon_threadsafe(self._told_to_stop, number))
        except ValueError:
            # Only the main thread may; under a test's own loop nothing is lost by it.
            return

    def _heed_going_on(self) -> None:
        """Let SIGCONT set the terminal up again only where Ctrl+Z had put it away.

        After any other stop, such as a battery saver's SIGSTOP, textual would start a second reader of the keys
        beside the first, and the characters of a reading would come in disorder.
        """
        loop = asyncio.get_running_loop()
        set_up_again = signal.getsignal(signal.SIGCONT) if hasattr(signal, "SIGCONT") else None
        if not callable(set_up_again):
            return

        def go_on(number: int, frame: FrameType | None) -> None:
            if getattr(self._driver, "_must_signal_resume", True):
                set_up_again(number, frame)
            else:
                loop.call_soon_threadsafe(self._say_where)

        signal.signal(signal.SIGCONT, go_on)

    def _leave_if_terminal_is_gone(self) -> None:
        """A window that went without a signal is a closed window all the same."""
        descriptor = getattr(self._driver, "fileno", None)
        if descriptor is not None and is_gone(descriptor):
            self._told_to_stop(getattr(signal, "SIGHUP", signal.SIGTERM))

    def _told_to_stop(self, number: int) -> None:
        self._navigator.put_all_away()
        self.exit(return_code=128 + number)
