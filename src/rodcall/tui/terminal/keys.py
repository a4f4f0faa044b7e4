"""Keys as terminals really send them, folded into characters and a few names.

Under kitty's keyboard protocol the keypad's signs arrive as names without a character; with num-lock off its
digits arrive as movements, which they then are.
"""

from __future__ import annotations

from textual.events import Key

from rodcall.frozen import Frozen

_KEYPAD = {
    "decimal": ".",
    "separator": ",",
    "subtract": "-",
    "add": "+",
    "divide": "/",
    "multiply": "*",
    "equal": "=",
}
BEGIN_READING = "0123456789.,+-−–hHlLgG½¼¾⅛⅜⅝⅞"
"""Characters that begin a reading: where readings are typed they can be no commands."""
_NAMES = {"ctrl+j": "enter", "return": "enter", "ctrl+h": "backspace", "kp_begin": "end"}


class Stroke(Frozen):
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


def stroke_of(key: str, time: float) -> Stroke:
    """The stroke of a key as the tables of actions write it, such as a tap on its word stands for."""
    return Stroke(character=key, time=time) if len(key) == 1 else Stroke(name=key, time=time)


def takes_back(key: Stroke, typed: str) -> bool:
    """Does this key take back what is typed, as Esc does? The numeric pad's `*`, where nothing but that pad was used.

    Whoever has typed a letter has an Esc key, and may mean the `*`.
    """
    return key.character == "*" and _ON_THE_PAD.issuperset(typed)


_ON_THE_PAD = frozenset("0123456789.,+-*/=")

ONE_READ_S = 0.002
"""Keys that come closer than this came in one read: typed ahead, pasted or sent by a program. No switch bounces and
no finger strikes twice as soon."""


class Bounces:
    """Swallows what a vibrating switch repeats, and counts it.

    A key is a repeat where it is the same as the key just before it, comes less than the limit after that was last
    taken, and both came by themselves: not in one read with another key, whose times would say nothing.

    Args:
        limit_ms: Milliseconds within which the same key counts once; 0 takes every key.
    """

    def __init__(self, limit_ms: int) -> None:
        self.limit_ms = limit_ms
        self.swallowed = 0
        self._key: tuple[str, str] | None = None
        self._came = self._taken = float("-inf")
        self._alone = False

    def take(self, key: Stroke) -> bool:
        """True where the key counts; False where it repeats the one before."""
        since, now = key.time - self._came, (key.name, key.character)
        repeats = (
            now == self._key and self._alone and since > ONE_READ_S and (key.time - self._taken) * 1000 < self.limit_ms
        )
        self._alone = since > ONE_READ_S
        self._key, self._came = now, key.time
        if repeats:
            self.swallowed += 1
        else:
            self._taken = key.time
        return not repeats
