"""A line of words that do what their key does, when they are tapped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from rich.cells import cell_len

from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.tui.bindings.actions import Action, key_name

GAP = "   "
"""Between two buttons; each takes the columns on both sides of it too, so that a finger finds it."""


class Button(Frozen):
    """A key and what it does now."""

    key: str
    """As the tables of actions write it."""
    words: str = ""

    @property
    def text(self) -> str:
        """What is shown: `u undo`, `Enter`."""
        return f"{key_name(self.key)} {self.words}".rstrip()


class _Placed(NamedTuple):
    first: int
    last: int
    key: str


class Buttons:
    """Lays buttons out and knows what a tap means."""

    def __init__(self) -> None:
        self._placed: list[_Placed] = []

    def line(self, buttons: Sequence[Button], width: int, *, always: int = 0, told: str = "", shift: int = 0) -> str:
        """As many buttons as there is room for.

        Args:
            buttons: The most wanted ones first.
            width: Columns.
            always: How many of the last ones have room before all others.
            shift: Columns that stand before the line.
            told: Said behind them, where nothing is to be tapped.
        """
        split = len(buttons) - always
        texts = [button.text for button in buttons]
        room = width - 1 - (cell_len(told) + len(GAP) if told else 0) + len(GAP)
        room -= sum(cell_len(text) + len(GAP) for text in texts[split:])
        seen = 0
        while seen < split and (room := room - cell_len(texts[seen]) - len(GAP)) >= 0:
            seen += 1
        self._placed, at = [], 1
        shown = [*range(seen), *range(split, len(buttons))]
        for each in shown:
            after = at + cell_len(texts[each]) + len(GAP)
            self._placed.append(_Placed(shift + at - 1, shift + after - 2, buttons[each].key))
            at = after
        return f" {GAP.join([*(texts[each] for each in shown), told])}".rstrip()

    def key_at(self, x: int) -> str | None:
        """The key of the button in this column; None beside all."""
        return next((placed.key for placed in self._placed if placed.first <= x <= placed.last), None)


def of_actions(actions: Iterable[Action]) -> list[Button]:
    """The buttons of a table."""
    return [Button(action.key, say(action.words)) for action in actions]
