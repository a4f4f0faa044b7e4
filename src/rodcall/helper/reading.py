"""Readings from a phone: where they go, when they are refused, and why none is ever written twice.

A reading goes to the spot that the phone showed when its first key was touched. Each thing that the cab names has a
`turn`, a number that is never used again once the cab names something else or writes anything; the phone sends the
turn back, and a reading of another turn is refused. What a phone sends again after a lost connection has the id that
it had, and gets the answer that it had.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable
from dataclasses import dataclass
from typing import Protocol

from rodcall.frozen import Frozen
from rodcall.helper.messages import Sent, TakeBack
from rodcall.i18n import say

ANSWERS_KEPT = 8
"""Of each phone, which waits for one at a time."""
PHONES_KEPT = 32
"""Phones whose answers are kept."""


class Cab(Protocol):
    """What takes a reading in the cab. Its words are in the language that is spoken when it is asked."""

    @property
    def turn(self) -> int:
        """The turn in force now."""

    @property
    def busy(self) -> str:
        """Why nothing can be taken from a phone now; empty where it can."""

    @property
    def written(self) -> int:
        """How many entries the book has."""

    def take(self, said: str) -> str:
        """Write a reading where the cab names it now, and say it back.

        Raises:
            ValueError: when it is not understood or cannot be written, with the reason in one line.
        """

    def take_back(self) -> str:
        """Undo what was written last, and say so.

        Raises:
            ValueError: when it cannot be undone.
        """


class Answer(Frozen):
    """What became of what a phone sent."""

    id: str
    taken: bool
    words: str
    """What was written, as it is read back; or why it was not."""


class Turns:
    """Numbers what the cab names, one number for as long as nothing changes."""

    def __init__(self) -> None:
        self._now: Hashable = None
        self._turn = 0

    def of(self, now: Hashable) -> int:
        """The turn of what is named now, everything that was written being part of it."""
        if now != self._now:
            self._now = now
            self._turn += 1
        return self._turn


@dataclass
class _Written:
    """The reading that a phone sent last."""

    id: str
    entries: int
    """How many the book had with it."""


class Inbox:
    """Takes what phones send, each thing once.

    Args:
        cab: Where it is written.
    """

    def __init__(self, cab: Cab) -> None:
        self.allowed = False
        """The operator lets readings in."""
        self._cab = cab
        self._answers: OrderedDict[str, OrderedDict[str, Answer]] = OrderedDict()
        self._last: dict[str, _Written] = {}

    def take(self, me: str, sent: Sent | TakeBack) -> Answer:
        """Write a reading or undo one, unless that was done already; say what became of it.

        Args:
            me: What the phone calls itself.
            sent: What it sent.
        """
        known = self._of(me)
        answer = known.get(sent.id)
        if answer is None:
            answer = self._read(me, sent) if isinstance(sent, Sent) else self._undo(me, sent)
            known[sent.id] = answer
            while len(known) > ANSWERS_KEPT:
                known.popitem(last=False)
        return answer

    def can_take_back(self, me: str) -> str:
        """Id of the reading that this phone can undo now; empty for none."""
        last = self._last.get(me)
        return last.id if self.allowed and last is not None and last.entries == self._cab.written else ""

    def _read(self, me: str, sent: Sent) -> Answer:
        cab = self._cab
        if not self.allowed:
            return Answer(sent.id, False, say("not written: the cab takes no readings from phones"))
        if sent.turn != cab.turn:
            return Answer(sent.id, False, say("not written: the cab has moved on"))
        if cab.busy:
            return Answer(sent.id, False, say("not written: {why}", why=cab.busy))
        try:
            words = cab.take(sent.said)
        except ValueError as error:
            return Answer(sent.id, False, str(error))
        self._last[me] = _Written(sent.id, cab.written)
        return Answer(sent.id, True, words)

    def _undo(self, me: str, sent: TakeBack) -> Answer:
        if self.can_take_back(me) != sent.of:
            return Answer(sent.id, False, say("not undone: something was written since; undo it in the cab"))
        if self._cab.busy:
            return Answer(sent.id, False, say("not undone: {why}", why=self._cab.busy))
        try:
            words = self._cab.take_back()
        except ValueError as error:
            return Answer(sent.id, False, str(error))
        del self._last[me]
        return Answer(sent.id, True, words)

    def _of(self, me: str) -> OrderedDict[str, Answer]:
        known = self._answers.pop(me, None)
        if known is None:
            known = OrderedDict()
        self._answers[me] = known
        while len(self._answers) > PHONES_KEPT:
            gone, _ = self._answers.popitem(last=False)
            self._last.pop(gone, None)
        return known
