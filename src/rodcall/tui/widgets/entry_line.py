"""The state of the entry line: typed text, the open question, and keys typed ahead. No widget.

Textual's Input loses what is typed ahead of it; here a key is worked off, whole, before the next one is looked at.
The line calls nobody: `press` tells what came of a key, and whoever owns the line acts on that.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Generic, TypeVar

from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.tui.terminal.keys import BEGIN_READING, Stroke, takes_back
from rodcall.units import Unsigned

MOST_CHARACTERS = 500

Place = TypeVar("Place")
"""What the line names, where it names something: the spot that a reading goes to."""


@dataclass
class Question:
    """Something asked for in the entry line.

    Either `take` (text and Enter) or `choices` (one key each) answers it.
    """

    prompt: str
    take: Callable[[str], None] | None = None
    """The answer to a text at Enter; a ValueError empties the line, shows its message and leaves the question open."""
    choices: Mapping[str, Callable[[], None]] = field(default_factory=dict)
    """Answers by character or key name."""
    is_reading: Callable[[str], bool] | None = None
    """Is a text no answer, but the next reading? Then the question is given up. None where every text is an answer."""
    waits: str = ""
    """Characters that may begin a reading here: as answers to a question of one key they wait for Enter."""
    about_spot: bool = False
    """It may change what a reading belongs to, so that one typed instead of an answer is asked its position."""
    text: str = ""
    refused: bool = False
    """The text was not taken: it can be mended, and whatever is typed instead replaces it."""
    unsigned: bool = False
    """Of a text that was not taken: an h or l behind it is all that it lacks."""
    refusals: int = 0
    """Answers that were not taken."""
    held: tuple[str, ...] = ()
    """Readings that wait for its answer."""
    asked_at: float = float("inf")
    """When it was seen on the screen; keys that came before cannot be its answer."""


@dataclass(frozen=True)
class Submitted(Generic[Place]):
    """Enter, with no question open: a reading."""

    text: str
    meant_for: Place | None
    """What the line named when the first character was typed."""
    instead_of: Question | None = None
    """The question that it was typed to and is not an answer of; it is given up."""


class Chosen(Frozen):
    """A question was answered, by text and Enter or by one key; `answer` does what the answer means."""

    answer: Callable[[], None]


class Command(Frozen):
    """A key that begins no reading, on an empty line; where it is no command either it is to be typed (`type_in`)."""

    key: Stroke


Outcome = Submitted[Place] | Chosen | Command
"""What came of a key."""


class EntryLine(Generic[Place]):
    """Text and open question of the line at the bottom."""

    def __init__(self) -> None:
        self._reading = Question("")
        self.names: Place | None = None
        """What the line names now; a reading goes where it named when its first character was typed."""
        self.meant_for: Place | None = None
        """What the line named when the first character of the reading in it was typed."""
        self._ahead: deque[Stroke] = deque()
        self._answered = self._reading
        """The question of which the last outcome told, or the reading."""
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

    def press(self, key: Stroke) -> Iterator[Outcome[Place]]:
        """Work off one key, then those that were typed ahead of a question that it answered.

        Each outcome is to be acted upon before the next is asked for.
        """
        yield from self._work(key)
        while self._ahead and not self._holds_back(self._ahead[0]):
            yield from self._work(self._ahead.popleft())

    def paste(self, text: str) -> None:
        """Put one line of pasted text where typing would put it; a question of one key takes none."""
        if self._takes_text:
            self._type(text)
            self.message = ""

    def type_in(self, key: Stroke) -> None:
        """Type a key that is no command. A blank alone begins nothing, and must not keep a command from being one."""
        character = key.character
        if character and not (self.question is None and self._is_free and character.isspace()):
            self._type("0" if self._is_zero(character) else character)

    def finish(self, act: Callable[[], None]) -> None:
        """Do what the last outcome asks for; the line is emptied unless that was refused or led to a further question.

        Args:
            act: A ValueError of it is the refusal, told as the message. A reading stays in the line, to be mended; so
                does an answer that lacks nothing but its sign. Any other answer leaves the line empty.
        """
        line, before = self._answered, self.question
        self.message = ""
        try:
            act()
        except ValueError as error:
            self.message, line.refused, line.unsigned = str(error), True, isinstance(error, Unsigned)
            line.refusals += 1
            if line is not self._reading and not line.unsigned:
                # What is typed next is no part of it.
                line.text, line.refused = "", False
            return
        if self.question is before:
            self.question = None
            line.text, line.refused = "", False

    # -- inside ---------------------------------------------------------------------------------------------

    def _holds_back(self, key: Stroke) -> bool:
        question = self.question
        if question is None or not question.choices or question.take is not None:
            return False
        return key.time < question.asked_at

    def _is_zero(self, character: str) -> bool:
        """Is it a letter O among the digits of a reading? On an empty line it is the command."""
        return character in "oO" and self.question is None and not self._is_free and self.text[-1] in "0123456789.,/-+"

    @property
    def _takes_text(self) -> bool:
        return self.question is None or self.question.take is not None

    @property
    def _is_free(self) -> bool:
        return not self._open.text or self._open.refused

    def _work(self, key: Stroke) -> Iterator[Outcome[Place]]:
        if self._holds_back(key):
            self._ahead.append(key)
            return
        self.message = ""
        line, reading = self._open, self.question is None
        if line.choices and line.take is None:
            yield from self._choose(line, key)
        elif key.name == "enter":
            yield from self._enter(line)
        elif key.name == "escape":
            self.close()
            line.text = ""
        elif takes_back(key, line.text) and (line.text or not reading):
            self._take_back(line)
        elif key.name == "backspace":
            line.text, line.refused = line.text[:-1], False
        elif reading and self._is_free and not (key.character and key.character in BEGIN_READING):
            yield Command(key)
        else:
            self.type_in(key)

    def forget_refused(self) -> None:
        """Empty the line where what stands in it was refused, as a command does."""
        if self._reading.refused:
            self._reading.text, self._reading.refused = "", False

    def _type(self, text: str) -> None:
        """Add to what is typed; the first character of a reading settles where it goes."""
        line = self._open
        if self.question is None and self._is_free:
            self.meant_for = self.names
        goes_on = not line.refused or (line.unsigned and line is not self._reading and text.lower() in ("h", "l"))
        line.text = ((line.text if goes_on else "") + text)[:MOST_CHARACTERS]
        line.refused = line.unsigned = False

    def _take_back(self, line: Question) -> None:
        """What the numeric pad has for Esc: first what is typed goes, then the question."""
        if not line.text:
            self.close()
        line.text = ""

    def _choose(self, question: Question, key: Stroke) -> Iterator[Outcome[Place]]:
        pressed = key.character.lower() or key.name
        if question.text or self._begins_reading(question, key):
            yield from self._type_instead(question, key)
        elif pressed in question.choices:
            yield self._chosen(question, pressed)
        elif key.name in ("escape", "backspace") or takes_back(key, ""):
            self.close()
        else:
            letters = "  ".join(word for word in question.choices if len(word) == 1)
            if "*" in question.choices:
                self.message = say("one of: {letters}   (Esc cancels)", letters=letters)
            else:
                self.message = say("one of: {letters}   (Esc or * cancels)", letters=letters)

    def _chosen(self, question: Question, answer: str) -> Chosen:
        self.close()
        self._answered = self._reading
        return Chosen(question.choices[answer])

    @staticmethod
    def _begins_reading(question: Question, key: Stroke) -> bool:
        return (
            question.is_reading is not None
            and bool(key.character)
            and key.character in BEGIN_READING
            and (key.character in question.waits or key.character.lower() not in question.choices)
        )

    def _type_instead(self, question: Question, key: Stroke) -> Iterator[Outcome[Place]]:
        """A reading is typed where one key was asked for, or an answer that could be the beginning of one."""
        if key.name == "enter":
            text, question.text = question.text, ""
            if text in question.choices:
                yield self._chosen(question, text)
            elif question.is_reading is not None and question.is_reading(text):
                yield self._given_up(question, text)
            else:
                self.message = say("{said} is not an answer", said=text)
        elif key.name == "escape" or takes_back(key, question.text):
            question.text = ""
        elif key.name == "backspace":
            question.text = question.text[:-1]
        else:
            question.text = (question.text + key.character)[:MOST_CHARACTERS]
            if question.text in question.choices:
                self.message = say("press Enter to answer {said}", said=question.text)

    def _given_up(self, question: Question, text: str) -> Submitted[Place]:
        """A reading typed to a question is a reading as any other, where the line names."""
        self.close()
        self._answered, self.meant_for = self._reading, self.names
        self._reading.text, self._reading.refused = text, False
        return Submitted(text, self.names, question)

    def _enter(self, line: Question) -> Iterator[Outcome[Place]]:
        self._answered = line
        if line is self._reading:
            yield Submitted(line.text, self.meant_for)
        elif line.is_reading is not None and line.is_reading(line.text):
            yield self._given_up(line, line.text)
        elif line.take is not None:
            yield Chosen(partial(line.take, line.text))
