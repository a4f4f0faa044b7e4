"""A page that asks for something in a line of its own: its keys are the answer until the line is closed."""

from __future__ import annotations

from rich.style import Style
from rich.text import Text
from textual import events

from rodcall.tui.pages.base import Page, Result
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.answers import answers
from rodcall.tui.widgets.buttons import Button
from rodcall.tui.widgets.entry_line import Chosen, EntryLine
from rodcall.tui.widgets.lines import tail, wrapped
from rodcall.tui.widgets.styles import ACCENT, MESSAGE, STRONG
from rodcall.wording import words


class AskingPage(Page[Result]):
    """A page with a question at times; without one its keys are those of its table."""

    def __init__(self) -> None:
        super().__init__()
        self.line: EntryLine[None] = EntryLine()
        self.said = ""
        """What the last key did; gone with the next."""

    def press(self, key: Stroke) -> None:
        """With a question open the answer, else a key of the table."""
        if self.line.question is None:
            self.said = ""
            super().press(key)
            return
        for outcome in self.line.press(key):
            if isinstance(outcome, Chosen):
                self.line.finish(outcome.answer)
        self.show_anew()

    def on_paste(self, event: events.Paste) -> None:
        """What is pasted is typed."""
        event.stop()
        if self.line.question is not None:
            self.line.paste(self.as_answer(event.text[:1000]))
            self.show_anew()

    @staticmethod
    def as_answer(pasted: str) -> str:
        """A pasted text in one line, without idle blanks."""
        return " ".join(pasted.split())

    def buttons_of(self, actions: list[Button]) -> list[Button]:
        """The footer: the answers of the question, else what can be done."""
        return answers(self.line) if self.line.question is not None else actions

    def asked(self, width: int, told: str, style: Style = STRONG) -> list[Text]:
        """The question and what is typed, and the message under it; with no question what is to be told, on both."""
        question = self.line.question
        if question is None:
            lines = wrapped(told, width, style, most=2)
            return [*lines, *[Text("")] * (2 - len(lines))]
        prompt = words.harmless(f" {question.prompt} > ", width)
        first = Text(prompt, ACCENT)
        if question.take is not None:
            first.append(f"{tail(words.harmless(self.line.text), max(width - len(prompt) - 2, 8))}_", STRONG)
        return [
            first,
            Text(words.harmless(f" {self.line.message} ", width), MESSAGE) if self.line.message else Text(""),
        ]
