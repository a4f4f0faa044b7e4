"""The facts of a job on one page: the form again, with what each typed line would change, written all or none."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar, cast

from rodcall.book.book import Book
from rodcall.book.fold.round_page import Change
from rodcall.i18n import phrase
from rodcall.tui.pages.begin.new_job import NewJobScreen
from rodcall.tui.pages.facts_form import FactsForm


class FactsScreen(NewJobScreen):
    """Shows the facts as they are and takes others.

    Args:
        book: Is written into.
        written: Told of each entry, so that it is saved and all figures follow.
    """

    TABLE: ClassVar[str] = "facts"
    TITLE_WORDS: ClassVar[str] = phrase("facts of the job")
    VALUE: ClassVar[int] = 31
    BESIDE: ClassVar[int] = 142
    ROOM_BESIDE: ClassVar[int] = 182

    def __init__(self, book: Book, written: Callable[[Change], None]) -> None:
        super().__init__(FactsForm(book))
        self._book = book
        self._written = written

    def _begin(self) -> None:
        form = cast("FactsForm", self.form)
        try:
            form.check()
            # Tried first on a copy: one that would leave a reading off the grid leaves all unwritten.
            book = self._book
            form.write(Book.of(book.began, book.entries, book.tablet, book.clock))
            changes = form.write(self._book)
        except ValueError as error:
            self._message = str(error)
            return
        for change in changes:
            self._written(cast("Change", change))
        self.dismiss()
