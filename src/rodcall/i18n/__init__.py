"""Sentences that people read, in the language that was chosen: English is in the code, others in gettext catalogues.

`say` is the one way from a sentence of the code to a screen, a sheet or a message. Numbers, units, names of positions
and what a person wrote are put in as they are. What scripts rely on is printed without it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TYPE_CHECKING

from rodcall.frozen import Frozen

if TYPE_CHECKING:
    from gettext import NullTranslations

LANGUAGES = {"en": "English", "es": "español"}
"""What can be spoken, by its ISO 639-1 code, each by its own name; all but English have a catalogue in `locale`."""

_ENGLISH: tuple[str, NullTranslations | None] = ("en", None)
_spoken = _ENGLISH
_for_a_while: ContextVar[tuple[str, NullTranslations | None] | None] = ContextVar("spoken for a while", default=None)
"""What a thread speaks while it writes for somebody else: the screen goes on in its own language meanwhile."""


def say(english: str, context: str = "", /, **values: object) -> str:
    """A sentence in the language that is spoken.

    Args:
        english: The sentence, which is also its name in the catalogues. `{name}` stands for a value.
        context: Which of its meanings, where one English word has two: "of a shot". It is never shown, and has no
            name as an argument, so that a value may be called `context`.
        values: What is put in.
    """
    _, catalogue = _for_a_while.get() or _spoken
    if catalogue is None or not english:
        sentence = english
    else:
        sentence = catalogue.pgettext(context, english) if context else catalogue.gettext(english)
    return sentence.format(**values) if values else sentence


def counted(number: int, one: str, many: str, context: str = "", /, **values: object) -> str:
    """Say a sentence as its number asks for: English has one form for 1 and one for the rest, others have more.

    `{number}` stands for how many.
    """
    _, catalogue = _for_a_while.get() or _spoken
    if catalogue is None:
        sentence = one if number == 1 else many
    elif context:
        sentence = catalogue.npgettext(context, one, many, number)
    else:
        sentence = catalogue.ngettext(one, many, number)
    return sentence.format(number=number, **values)


def phrase(english: str, context: str = "", /) -> str:
    """Mark a sentence of a table that is said later, so that it gets into the catalogues.

    Where it has a context, the place that says it gives the same: `say(english, context)`.
    """
    return english


def counted_phrase(one: str, many: str, context: str = "", /) -> tuple[str, str]:
    """Mark both forms of a sentence of a table, to be said later by `counted`."""
    return one, many


def paragraphs(text: str) -> list[str]:
    """The paragraphs of a docstring that people read, each of which is one sentence of the catalogues."""
    return [" ".join(each.split()) for each in text.split("\n\n")]


class Sentence(Frozen):
    """A sentence that is kept, as a figure keeps its reasons; `str` says it in the language that is spoken then."""

    english: str
    values: Mapping[str, object]
    """What is put in: sentences too, or a tuple of them, with commas between."""

    context: str = ""
    many: str = ""
    """The form for several, where the value `number` says how many."""

    def __str__(self) -> str:
        put_in = {name: _with_commas(value) for name, value in self.values.items()}
        if not self.many:
            return say(self.english, self.context, **put_in)
        del put_in["number"]
        number = self.values["number"]
        assert isinstance(number, int)
        return counted(number, self.english, self.many, self.context, **put_in)


def later(english: str, context: str = "", /, **values: object) -> Sentence:
    """Keep a sentence, to be said whenever it is shown; the rest as for `say`."""
    return Sentence(english, values, context)


def later_counted(number: int, one: str, many: str, context: str = "", /, **values: object) -> Sentence:
    """The same for what `counted` says."""
    return Sentence(one, {"number": number, **values}, context, many)


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


def _speaker(language: str) -> tuple[str, NullTranslations | None]:
    if language == "en":
        return _ENGLISH
    if language not in _loaded:
        LANGUAGES[language]
        from rodcall.i18n.catalogues import catalogue  # English is not to wait for it.

        _loaded[language] = catalogue(language)
    return language, _loaded[language]


_loaded: dict[str, NullTranslations] = {}
