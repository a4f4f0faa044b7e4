"""The entry line's own mind: what is typed, what is asked, and what was typed ahead. No widget in here.

Textual's Input loses what is typed ahead of it; here a key is worked off, whole, before the next one is looked at.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from rodcall.i18n import say
from rodcall.tui.shot_grid.naming import Named
from rodcall.tui.terminal.keys import Stroke, takes_back
from rodcall.units import Unsigned

MOST_CHARACTERS = 500
BEGIN_READING = "0123456789.,+-−–hHlLgG½¼¾⅛⅜⅝⅞"
"""Characters that begin a reading: where readings are typed they can be no commands."""


@dataclass
class Question:
    """Something asked for in the entry line.

    Either `take` (text and Enter) or `choices` (one key each) answers it.
    """

    prompt: str
    take: Callable[[str], None] | None = None
    """Called with the text at Enter; a ValueError keeps the text in the line and shows its message."""
    choices: Mapping[str, Callable[[], None]] = field(default_factory=dict)
    """By character or key name; called when pressed."""
    text: str = ""
    refused: bool = False
    """The text was not taken: it can be mended, and whatever is typed instead replaces it."""
    asked_at: float = float("inf")
    """When it was seen on the screen; keys that came before cannot be its answer."""


class EntryLine:
    """Text, cursor and open question of the line at the bottom.

    Args:
        take_reading: Called with what was typed, at Enter, while no question is open.
        command: Called with a key that begins no reading while the line is empty; False when it is none.
        names: Asked what the line names, when the first character of a reading is typed.
    """

    def __init__(
        self,
        take_reading: Callable[[str], None],
        command: Callable[[Stroke], bool],
        names: Callable[[], Named | None] = lambda: None,
    ) -> None:
        self._reading = Question("", take_reading)
        self._command = command
        self._names = names
        self.meant_for: Named | None = None
        """What the line named when the first character of the reading in it was typed."""
        self._ahead: deque[Stroke] = deque()
        self.question: Question | None = None
        self.message = ""
        """Why the last thing was not taken."""

    @property
    def text(self) -> str:
        """What stands in the line."""
        return self._open.text

    @property
    def refused(self) -> bool:
        """Was what stands in the line not taken?"""
        return self._open.refused

    def clear(self) -> None:
        """Empty the line and its message."""
        self._open.text, self._open.refused, self.message = "", False, ""

    @property
    def ahead(self) -> int:
        """How many keys wait behind an open question."""
        return len(self._ahead)

    @property
    def _open(self) -> Question:
        return self.question or self._reading

    def ask(self, question: Question) -> None:
        """Open a question; it closes when answered or given up with Esc."""
        self.question = question
        self.message = ""

    def close(self) -> None:
        """Give the open question up."""
        self.question = None
        self.message = ""

    def seen(self, now: float) -> None:
        """The open question is on the screen now: from here on keys can answer it; what came before is held back."""
        if self.question is not None and self.question.asked_at == float("inf"):
            self.question.asked_at = now

    def press(self, key: Stroke) -> None:
        """Work off one key, then those that were typed ahead of a question that it answered."""
        self._work(key)
        while self._ahead and not self._holds_back(self._ahead[0]):
            self._work(self._ahead.popleft())

    def paste(self, text: str) -> None:
        """Put one line of pasted text where typing would put it; a question of one key takes none."""
        if self._open.take is None:
            return
        self._type(self._open, text)
        self.message = ""

    def _holds_back(self, key: Stroke) -> bool:
        question = self.question
        if question is None or not question.choices or question.take is not None:
            return False
        return key.time < question.asked_at

    def _work(self, key: Stroke) -> None:
        if self._holds_back(key):
            self._ahead.append(key)
            return
        self.message = ""
        line = self._open
        if line.choices and line.take is None:
            self._choose(line, key)
        elif key.name == "enter":
            self._enter(line)
        elif key.name == "escape":
            self.close()
            line.text = ""
        elif takes_back(key, line.text) and (line.text or line is not self._reading):
            self._take_back(line)
        elif key.name == "backspace":
            line.text, line.refused = line.text[:-1], False
        elif line is self._reading and self._is_free(line) and not _begins_reading(key) and self._command(key):
            if line.refused:
                line.text, line.refused = "", False
        elif key.character and not (line is self._reading and self._is_free(line) and key.character.isspace()):
            # A blank alone begins nothing, and must not keep a command from being one.
            self._type(line, key.character)

    @staticmethod
    def _is_free(line: Question) -> bool:
        return not line.text or line.refused

    def _type(self, line: Question, text: str) -> None:
        """Add to what is typed; the first character of a reading settles where it goes."""
        if line is self._reading and self._is_free(line):
            self.meant_for = self._names()
        line.text = (("" if line.refused else line.text) + text)[:MOST_CHARACTERS]
        line.refused = False

    def _take_back(self, line: Question) -> None:
        """What the numeric pad has for Esc: first what is typed goes, then the question."""
        if not line.text:
            self.close()
        line.text = ""

    def _choose(self, question: Question, key: Stroke) -> None:
        pressed = key.character.lower() or key.name
        if pressed in question.choices:
            self.close()
            self._finish(self._reading, question.choices[pressed])
        elif key.name in ("escape", "backspace") or takes_back(key, ""):
            self.close()
        else:
            letters = "  ".join(word for word in question.choices if len(word) == 1)
            if "*" in question.choices:
                self.message = say("one of: {letters}   (Esc gives up)", letters=letters)
            else:
                self.message = say("one of: {letters}   (Esc or * gives up)", letters=letters)

    def _enter(self, line: Question) -> None:
        take, text = line.take, line.text
        if take is not None:
            self._finish(line, lambda: take(text))

    def _finish(self, line: Question, answer: Callable[[], None]) -> None:
        """Let an answer be taken; the line is emptied unless it was refused or led to a further question."""
        self.message = ""
        before = self.question
        try:
            answer()
        except ValueError as error:
            # An answer without its sign waits for an h or l after it.
            self.message, line.refused = str(error), not isinstance(error, Unsigned)
            return
        if self.question is before:
            self.question = None
            line.text, line.refused = "", False


def _begins_reading(key: Stroke) -> bool:
    return bool(key.character) and key.character in BEGIN_READING
