"""The terms of the job: what is in force and where it comes from; Enter sets one anew."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from rich.text import Text
from textual import events

from rodcall.book.book import Book
from rodcall.book.fold.round_page import Change
from rodcall.book.model.terms import TERMS, Kind, parse_term
from rodcall.figures.inspection import LIMITS
from rodcall.i18n import say
from rodcall.tui.pages.asking import AskingPage
from rodcall.tui.widgets.buttons import of_actions
from rodcall.tui.widgets.entry_line import Question
from rodcall.tui.widgets.lines import clause, fitted, wrapped
from rodcall.tui.widgets.styles import BAR, PLAIN, STRONG
from rodcall.tui.widgets.wanted import FactsWanted
from rodcall.tui.widgets.window import Window
from rodcall.wording import terms as words_terms
from rodcall.wording import words

NAME, VALUE, ORIGIN = 14, 16, 56
ROOM_FOR_MEANING = 160
"""Columns from which what a term means stands in its line."""
ABOUT = 3
"""Lines that explain the term under the bar."""
OTHER_ROWS = ABOUT + 5
"""Lines beside the terms: head, a blank one, what explains one, two of entry, keys."""


class TermsScreen(AskingPage[None]):
    """Lists the terms and writes one entry for each that is set.

    Args:
        book: Is written into.
        written: Told of each entry, so that it is saved and all figures follow.
        at: The term on which the bar begins.
    """

    TABLE: ClassVar[str] = "terms"

    def __init__(self, book: Book, written: Callable[[Change], None], at: str = "") -> None:
        super().__init__()
        self._book = book
        self._written = written
        self._names = list(TERMS)
        self._at = self._names.index(at) if at in self._names else 0

    def tapped(self, event: events.Click) -> None:
        """A tap chooses a term; on the chosen one it sets it."""
        at = event.y - 1 + self._window.first
        if self.line.question is None and 1 <= event.y <= self._window.count:
            if at == self._at:
                self._ask()
            self._at = at
            self.show_anew()

    # -- what can be done -----------------------------------------------------------------------------------

    def do_up(self) -> None:
        "Go to the previous term."
        self._at = (self._at - 1) % len(self._names)

    def do_down(self) -> None:
        "Go to the next term."
        self._at = (self._at + 1) % len(self._names)

    def do_set(self) -> None:
        """Set the term under the bar."""
        self._ask()

    def do_facts(self) -> None:
        """The facts that the job was begun with."""
        self.open(FactsWanted(self._book, self._written, self.show_anew))

    def wheel(self, key: str, event: events.MouseEvent) -> None:
        """The wheel moves the bar, while nothing is asked."""
        if self.line.question is None:
            self.tap(key, event)

    def _ask(self) -> None:
        """Ask for the value of the term under the bar: by number where it is a choice."""
        name, job = self._names[self._at], self._book.job
        term = TERMS[name]
        if term.choices:
            offered = "  ".join(f"{number} {word}" for number, word in enumerate(term.choices, 1))
            # Whoever presses Enter here means to answer: keys typed ahead of the painted question are its answer.
            question = Question(f"{name}: {offered}", choices=self._choices(name), asked_at=0.0)
        else:
            unit = words_terms.unit_of(job, term)
            other = "" if term.kind is Kind.SHARE else say(" unless you type another")
            asked = f"{name}{say(', in {unit}{other}', unit=unit, other=other) if unit else ''}"
            question = Question(asked, lambda said: self._set(name, said))
        self.line.ask(question)

    def _choices(self, name: str) -> dict[str, Callable[[], None]]:
        def choose(word: str) -> Callable[[], None]:
            return lambda: self._set(name, word)

        return {str(number): choose(word) for number, word in enumerate(TERMS[name].choices, 1)}

    def _set(self, name: str, said: str) -> None:
        """Write it; an empty line leaves the term as it was. What is refused raises, and stays in the line."""
        if not said.strip():
            return
        value = words_terms.with_unit(self._book.job, TERMS[name], said)
        parse_term(name, value)
        if name in LIMITS and self._book.page.first_shot is not None:
            self.line.ask(Question(say("{name}: why?", name=name), lambda why: self._write(name, value, why)))
        else:
            self._write(name, value)

    def _write(self, name: str, value: str, why: str = "") -> None:
        self._written(self._book.set_term(name, value, why))
        self.said = say(
            "{name} is {value}; to undo it, press u on the shot grid",
            name=name,
            value=words_terms.value_words(self._book.page, name),
        )

    # -- showing --------------------------------------------------------------------------------------------

    @property
    def _window(self) -> Window:
        """The terms that are seen."""
        return Window.on([self._at], self.size.height - OTHER_ROWS, len(self._names))

    def drawn(self, width: int, height: int) -> list[Text]:
        """The terms around the bar, what explains one, the question, and the keys."""
        rows = [self._row(at, width) for at in self._window]
        name = self._names[self._at]
        told = f"{name}: {TERMS[name].explained}. {say(words_terms.MORE.get(name, ''))}".rstrip()
        origin = words_terms.origin_words(self._book.page, name)
        if len(origin) > width - NAME - VALUE - 3:
            told = f"{told} {origin[:1].upper()}{origin[1:]}."
        about = wrapped(told, width, most=ABOUT)
        return [
            self.head(say("terms of the job"), width),
            *rows,
            *[Text("")] * (height - OTHER_ROWS - len(rows) + 1),
            *self.filled(about, ABOUT),
            *self.asked(width, self.said),
            self.foot(width, self.buttons_of(of_actions(self.actions))),
        ]

    def _row(self, at: int, width: int) -> Text:
        """One term; what it means stands in its line where the screen is as wide as all of that."""
        page, name = self._book.page, self._names[at]
        value = words.harmless(words_terms.value_words(page, name), VALUE)
        told = f"{'>' if at == self._at else ' '}{name:<{NAME}} {value:<{VALUE}} "
        origin = clause(words_terms.origin_words(page, name), width - len(told))
        if width >= ROOM_FOR_MEANING:
            origin = f"{origin:<{ORIGIN}} {clause(TERMS[name].explained, width - len(told) - ORIGIN - 1)}"
        return Text(
            fitted(f"{told}{origin}", width), BAR if at == self._at else STRONG if name in page.terms_set else PLAIN
        )
