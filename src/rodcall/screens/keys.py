"""Keys as terminals really send them, folded into characters and a few names.

Under kitty's keyboard protocol the keypad's signs arrive as names without a character; with num-lock off its
digits arrive as movements, which they then are.
"""

from __future__ import annotations

from dataclasses import dataclass

from textual.events import Key

_KEYPAD = {
    "decimal": ".",
    "separator": ",",
    "subtract": "-",
    "add": "+",
    "divide": "/",
    "multiply": "*",
    "equal": "=",
}
_NAMES = {"ctrl+j": "enter", "return": "enter", "ctrl+h": "backspace", "kp_begin": "end"}


@dataclass(frozen=True)
class Stroke:
    """One key: either a character that was typed, or the name of a key that types none."""

    name: str = ""
    character: str = ""
    time: float = 0.0
    """When it came in, on the monotonic clock of the event loop."""


def stroke(event: Key) -> Stroke:
    """Fold a key event; a key that means nothing here has neither name nor character."""
    if event.key in _KEYPAD:
        return Stroke(character=_KEYPAD[event.key], time=event.time)
    if len(event.key) == 1 and event.key.isascii():
        return Stroke(character=event.character or event.key, time=event.time)
    name = _NAMES.get(event.key, event.key)
    if event.character and event.is_printable:
        return Stroke(character=event.character, time=event.time)
    return Stroke(name=name, time=event.time)
