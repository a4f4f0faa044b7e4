"""The room that is left in a book: the writer keeps the limits of the reader, and says so at the entry before."""

from __future__ import annotations

from collections.abc import Sequence

from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import Damage, Entry
from rodcall.book.storage.beside_job import HEAD_BYTES
from rodcall.book.storage.job_format import MOST_BYTES, MOST_ENTRIES, MOST_PARTS, as_text, parts_of
from rodcall.i18n import say

_SEALS_BYTES = 128
"""What the seals of a line and its lay-out take, at most."""
_SEALS_PARTS = 4
_KEPT_FREE = 1
"""Entry for which a full book keeps room: that one was damaged is told for ever."""
_NEARLY_FULL = 50
"""Entries that are left when the crew hears of it."""
_MOST_PREPARED = 1000


class Room:
    """Admits entries to a book as long as a reader takes it, and keeps the text of those it admitted.

    Args:
        entries: The book's, as they grow.
    """

    def __init__(self, entries: Sequence[Entry]) -> None:
        self._entries = entries
        self._bytes, self._parts = MOST_BYTES - HEAD_BYTES, MOST_PARTS - HEAD_BYTES
        self._texts: dict[int, tuple[Entry, str]] = {}

    @property
    def note(self) -> str:
        """How many entries it takes yet, in three words; empty as long as nobody needs to know."""
        left = MOST_ENTRIES - _KEPT_FREE - len(self._entries)
        return say("room for {number} more", number=max(left, 0)) if left <= _NEARLY_FULL else ""

    def weigh(self, raw: bytes) -> None:
        """Take what is on the disk off the room that a reader leaves (see `job_format.MOST_BYTES`)."""
        self._bytes -= len(raw)
        self._parts -= parts_of(raw)

    def admit(self, entry: Entry) -> None:
        """Refuse an entry with which the file would be more than a reader takes.

        Raises:
            PageError: it would.
        """
        text = as_text(entry.model_dump(mode="json"))
        raw = text.encode("utf-8", "surrogatepass")
        taken, parts = len(raw) + _SEALS_BYTES, parts_of(raw) + _SEALS_PARTS
        left = MOST_ENTRIES - len(self._entries) - (0 if isinstance(entry, Damage) else _KEPT_FREE)
        if left <= 0 or taken > self._bytes or parts > self._parts:
            entries = len(self._entries)
            raise PageError(say("the book is full with {entries} entries; begin a new job", entries=entries))
        # Sealing it needs the same text; the entry is kept with it, so that no other takes its id.
        if len(self._texts) >= _MOST_PREPARED:
            self._texts.clear()
        self._texts[id(entry)] = entry, text
        self._bytes -= taken
        self._parts -= parts

    def text_of(self, entry: Entry) -> str:
        """An entry as JSON, without its seals."""
        known = self._texts.pop(id(entry), None)
        return known[1] if known is not None else as_text(entry.model_dump(mode="json"))
