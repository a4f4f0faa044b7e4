"""The words that people see, in the language that was chosen: English stands in the code, others in a table each.

`say` is the one way from a sentence of the code to a sentence on a screen, a sheet or in a message. Numbers, units,
names of positions and what a person wrote are put in as they are. What scripts rely on is not said but printed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass

LANGUAGES = {"en": "English", "es": "español"}
"""What can be spoken, by its ISO 639-1 code, each called by its own name."""


Translate = Callable[[str], str]


def _as_it_stands(english: str) -> str:
    return english


_spoken: tuple[str, Translate] = ("en", _as_it_stands)
_for_a_while: ContextVar[tuple[str, Translate] | None] = ContextVar("spoken for a while", default=None)
"""What a thread speaks while it writes for somebody else: the screen goes on in its own language meanwhile."""


def say(english: str, /, **values: object) -> str:
    """A sentence in the language that is spoken.

    Args:
        english: The sentence, which is also its name in the tables. `{name}` stands for a value.
        values: What is put in.
    """
    _, translate = _for_a_while.get() or _spoken
    sentence = translate(english)
    return sentence.format(**values) if values else sentence


def counted(number: int, one: str, many: str, /, **values: object) -> str:
    """Say one sentence for a single thing and another for none or several; `{number}` stands for how many."""
    return say(one if number == 1 else many, number=number, **values)


def phrase(english: str) -> str:
    """Mark a sentence that stands in a table and is said later, so that translators and tests find it."""
    return english


@dataclass(frozen=True)
class Sentence:
    """A sentence that is kept, as a figure keeps its reasons; `str` says it in the language that is spoken then."""

    english: str
    values: Mapping[str, object]
    """What is put in: sentences too, or a tuple of them, with commas between."""

    def __str__(self) -> str:
        put_in = {name: _with_commas(value) for name, value in self.values.items()}
        return say(self.english, **put_in)


def later(english: str, /, **values: object) -> Sentence:
    """Keep a sentence, to be said whenever it is shown; the rest as for `say`."""
    return Sentence(english, values)


def later_counted(number: int, one: str, many: str, /, **values: object) -> Sentence:
    """The same for what `counted` says."""
    return Sentence(one if number == 1 else many, {"number": number, **values})


def _with_commas(value: object) -> object:
    return ", ".join(map(str, value)) if isinstance(value, tuple) else value


def spoken() -> str:
    """The code of the language that is spoken."""
    return (_for_a_while.get() or _spoken)[0]


def speak(language: str) -> None:
    """Speak another language from here on.

    Raises:
        KeyError: when it is none of `LANGUAGES`.
    """
    global _spoken
    _spoken = _speaker(language)


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Speak a language for a while and only here, as for a sheet that goes to somebody else.

    Raises:
        KeyError: when it is none of `LANGUAGES`.
    """
    before = _for_a_while.set(_speaker(language))
    try:
        yield
    finally:
        _for_a_while.reset(before)


def _speaker(language: str) -> tuple[str, Translate]:
    if language != "es":
        LANGUAGES[language]
        return language, _as_it_stands
    from rodcall.i18n.spanish import SPANISH

    return language, lambda english: SPANISH.get(english, english)
