"""The form for a new job: type the pad size; the rest is filled in. No widget of textual's takes text."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual import events

from rodcall.book.book import Book
from rodcall.book.sharing import share_references
from rodcall.book.storage.opening import JobFileError, new_job_file
from rodcall.book.storage.safe_read import reason
from rodcall.i18n import phrase, say
from rodcall.tablet.paths import file_for, jobs_folder, tablet_name
from rodcall.tui.pages.base import Page
from rodcall.tui.pages.begin.form import Form
from rodcall.tui.pages.begin.sketch import example, sketch
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.buttons import of_actions
from rodcall.tui.widgets.lines import beside, clause, fitted, tail
from rodcall.tui.widgets.styles import ACCENT, BAR, BARE, FAINT, HEAD, PLAIN, STRONG
from rodcall.tui.widgets.wanted import JobChosen
from rodcall.wording import words

LEAST = 5
"""Lines that a sketch takes at the least."""


class NewJobScreen(Page[None]):
    """Asks what a job needs, one line each, and says beside it what will not do, as one types."""

    TABLE: ClassVar[str] = "form"
    TITLE_WORDS: ClassVar[str] = phrase("new job")
    VALUE: ClassVar[int] = 27
    """Columns of what is typed, or of what stands where nothing is."""
    BESIDE: ClassVar[int] = 90
    """Columns of the fields and their hints, where the pad is drawn beside them."""
    ROOM_BESIDE: ClassVar[int] = 110
    """Columns from which it is."""

    def __init__(self, form: Form | None = None) -> None:
        super().__init__()
        self.form = form or Form()
        self._message = ""

    def press(self, key: Stroke) -> None:
        """Fill in the form; Enter on its last line begins the job."""
        self._message = ""
        action = None if self.form.types(key) else self.action_of(key)
        moves_on = action is not None and action.id == "next" and (key.character or key.name) != action.key
        if action is None or action.id == "choose" or moves_on:
            # Only the first key of "next" begins the job: whoever holds Down stays on the last line.
            self.form.press(key)
        else:
            self.do(action.id)
        self.show_anew()

    def do_next(self) -> None:
        """The next field; from the size to the last line, since all else is filled in; there, begin the job."""
        if self.form.at_end:
            self._begin()
        elif self.form.is_sized:
            self.form.to_end()
        else:
            self.form.move(1)

    def do_previous(self) -> None:
        """The field before."""
        self.form.move(-1)

    def do_clear(self) -> None:
        """Empty the field."""
        self.form.clear()

    def do_choose(self) -> None:
        """The next choice, where the field has choices."""
        self.form.press(Stroke(name="right"))

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text goes where typing would go."""
        event.stop()
        self.form.paste(event.text)
        self.show_anew()

    def on_click(self, event: events.Click) -> None:
        """A tap goes to its line, again takes the next choice or begins the job; the head's words do theirs."""
        if event.y == 0:
            self.tap(self.buttons.key_at(event.x), event)
            return
        row = event.y - 1 + self._first
        if 0 <= row < self.form.count:
            was = self.form.at
            self.form.at = row
            if was == row and self.form.at_end:
                self._begin()
            elif was == row:
                self.do_choose()
            self.show_anew()

    def _begin(self) -> None:
        try:
            job = self.form.job()
            first = not any(jobs_folder().glob("*.json"))
            like = self.form.like
            if like is not None:
                # Tried first on a book that is thrown away: a job that cannot share everything is not begun.
                share_references(like, Book(job, tablet_name()))
            begun = new_job_file(file_for(job.name), job, tablet_name())
            if like is not None:
                share_references(like, begun.book)
                begun.save()
        except OSError as error:
            self._message = reason(error)
            return
        except (ValueError, JobFileError) as error:
            self._message = str(error)
            return
        self.open(JobChosen(begun, in_place=True, hints=first))

    @property
    def _first(self) -> int:
        return max(self.form.at - max(self.size.height - 4, 1) + 1, 0)

    def drawn(self, width: int, height: int) -> list[Text]:
        """The fields, and what is to be known of the one that is filled in."""
        room = max(height - 2, 1)
        drawn = self._sketch(width - self.BESIDE - 2, room - 1) if width >= self.ROOM_BESIDE else []
        hints = (self.BESIDE - 1 if drawn else width) - self.VALUE - 20
        rows = []
        for at, row in enumerate(self.form.rows()):
            here = at == self.form.at
            line = Text(f" {row.label:<17} ", FAINT)
            text, across = words.harmless(row.text), self.VALUE - 1
            shown = text[:across] if row.customary else tail(text, across)
            style = BAR if here else FAINT if row.customary else PLAIN
            line.append(fitted(f"{shown}{'_' if here else ''}", self.VALUE), style)
            if row.trouble:
                line.append(f" {clause(row.trouble, hints, say('see below'))}", ACCENT)
            else:
                line.append(f" {clause(row.hint, hints, '')}", FAINT)
            rows.append(line)
        title = f" {self._title}  "
        buttons = self.buttons.line(
            of_actions(self.actions), width - len(title), told=self.swallowed_words, shift=len(title)
        )
        head = Text(fitted(f"{title}{buttons}", width), HEAD)
        told = self._told()
        style = FAINT if self.form.grid is None else BARE
        if drawn:
            rows = beside(rows, [Text(""), *(Text(line, style) for line in drawn)], self.BESIDE)
        seen = rows[self._first : self._first + room]
        if not drawn and (left := room - len(seen)) > LEAST:
            seen += [Text.assemble(" ", (line, style)) for line in self._sketch(width - 2, left)]
        return [head, *self.filled(seen, room), told]

    def _sketch(self, width: int, height: int) -> list[str]:
        """The pad that the answers make; before they do, the one of the example."""
        grid = self.form.grid
        if grid is not None:
            return sketch(grid, width, height, self.form.sides)
        drawn = sketch(example(), width, height - 1)
        return [*drawn, say("for example 60x30ft 4x5")] if drawn and self.form.is_empty else []

    @property
    def _title(self) -> str:
        like = self.form.like
        return (
            say(self.TITLE_WORDS) if like is None else say("new job like {job}", job=words.harmless(like.job.name, 24))
        )

    def _told(self) -> Text:
        """What went wrong; else what is to be known of the field, which may have no room beside it."""
        rows = self.form.rows()
        row = rows[self.form.at]
        if self._message or row.trouble:
            return Text(f" {self._message or row.trouble}", ACCENT)
        wrong = next((each for each in rows if each.trouble), None)
        if wrong is not None:
            told = clause(wrong.trouble, self.size.width - len(wrong.label) - 4)
            return Text(f" {wrong.label}: {told}", ACCENT)
        follows = clause(self.form.follows(self.size.width - 2), self.size.width - 2)
        return Text(f" {follows}", STRONG) if follows else Text(f" {row.hint}", FAINT)
