"""A screen that takes every key itself, in order, those included that were typed before it was there."""

from __future__ import annotations

from typing import TypeVar

from textual import events
from textual.screen import Screen

from rodcall.screens.keys import Stroke, stroke

Result = TypeVar("Result")


class KeyScreen(Screen[Result]):
    """Hands each key to `press`, or on to the screen that has come over this one or that it went back to.

    Keys typed ahead wait in the queue of the screen that was up when they came in. Worked off there they would be
    taken for something else: the 3 of a menu's number for a reading.
    """

    AUTO_FOCUS = None

    def on_key(self, event: events.Key) -> None:
        """Take the key here, or where the crew meant it."""
        event.stop()
        if self.app.screen is not self:
            self.app.screen.post_message(event)
            return
        event.prevent_default()
        self.press(stroke(event))

    def press(self, key: Stroke) -> None:
        """Work off one key."""
        raise NotImplementedError
