"""What one undo takes back: the acts of a book, each of which is the lines that one answer wrote."""

from __future__ import annotations

from rodcall.book.fold.round_page import Line
from rodcall.book.model.entries import Shot, Strike, TermSet


class Acts:
    """What was done and what was undone, last on top. Adding a line costs the same in any book.

    An act is kept as the lines whose striking takes it back: an entry itself; for a strike, the strike; for a strike
    that took another one back, the entry that counts again by it.
    """

    def __init__(self) -> None:
        self._done: list[list[Line]] = []
        self._undone: list[list[Line]] = []
        self._latest: dict[str, list[Line]] = {}
        """The act that each tablet wrote at last."""

    def wrote(self, line: Line) -> None:
        """An entry that is no strike was written; what was undone before cannot be redone any more."""
        self._put(line, line, self._done)
        self._undone.clear()

    def struck(self, strike: Line) -> None:
        """An entry was struck."""
        self._put(strike, strike, self._undone)

    def revived(self, strike: Line, revived: Line) -> None:
        """A strike was taken back, and what it had struck counts again."""
        self._put(strike, revived, self._done)

    @property
    def undoable(self) -> list[Line]:
        """The lines that undo would strike, in the order written; none where nothing was done."""
        return _top(self._done)

    @property
    def redoable(self) -> list[Line]:
        """The lines that redo would strike, in the order written; none where nothing was undone."""
        return _top(self._undone)

    def _put(self, written: Line, takes_back: Line, acts: list[list[Line]]) -> None:
        entry = written.entry
        together = isinstance(entry, Shot | Strike | TermSet) and entry.together
        if together and entry.tablet in self._latest:
            self._latest[entry.tablet].append(takes_back)
            return
        self._latest[entry.tablet] = act = [takes_back]
        acts.append(act)


def _top(acts: list[list[Line]]) -> list[Line]:
    """What still stands of the last act that stands at all; acts of which nothing stands are dropped."""
    while acts:
        standing = [line for line in acts[-1] if not line.struck]
        if standing:
            return standing
        acts.pop()
    return []
