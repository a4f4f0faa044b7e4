"""Keeps the catalogues in step with the code: python -m tests.catalogue update

`update` adds what the code newly says, with its translation empty, takes out what it no longer says, and refreshes the
places; `new fr "nplurals=2; plural=(n > 1);"` begins a language; `missing` lists what is not translated yet.
"""

from __future__ import annotations

import ast
import sys
from collections import defaultdict
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

import polib

import rodcall
from rodcall.cli.help import paragraphs
from rodcall.cli.main import cli, open_
from rodcall.i18n.catalogues import DOMAIN, LOCALES

HOUSE = Path(rodcall.__file__).parent
SAYS = {"say": 0, "phrase": 0, "later": 0}
"""Functions that take a sentence, and where in their arguments; a context may follow."""

COUNTS = {"counted": 1, "later_counted": 1, "counted_phrase": 0}
"""Functions that take a sentence for one and one for several, and where; a context may follow."""

ACTION = (2, 3)
"""Where an `Action` has its sentences."""


class Message(NamedTuple):
    """What stands in a catalogue once: a sentence in one of its meanings."""

    english: str
    many: str = ""
    context: str = ""


def said_in(source: str) -> Iterator[Message]:
    """The sentences of a file's source."""
    for call in ast.walk(ast.parse(source)):
        if not isinstance(call, ast.Call) or not isinstance(call.func, ast.Name):
            continue
        name, arguments = call.func.id, call.args
        if name in SAYS and len(arguments) > SAYS[name]:
            at = SAYS[name]
            context = _literal(arguments, at + 1)
            yield from (Message(english, context=context) for english in _sentences(arguments[at]))
        elif name in COUNTS and len(arguments) > COUNTS[name] + 1:
            at = COUNTS[name]
            one, many = (_literal(arguments, each) for each in (at, at + 1))
            if one and many:
                yield Message(one, many, _literal(arguments, at + 2))
        elif name == "Action":
            yield from (
                Message(english) for at in ACTION if at < len(arguments) for english in _sentences(arguments[at])
            )


def _literal(arguments: list[ast.expr], at: int) -> str:
    argument = arguments[at] if at < len(arguments) else None
    return argument.value if isinstance(argument, ast.Constant) and isinstance(argument.value, str) else ""


def _sentences(argument: ast.expr) -> Iterator[str]:
    if isinstance(argument, ast.Constant) and argument.value:
        yield argument.value
    elif isinstance(argument, ast.IfExp):
        yield from _sentences(argument.body)
        yield from _sentences(argument.orelse)


def messages() -> dict[Message, list[str]]:
    """Each sentence that the program says, and the files that say it; what a command is for stands in its docstring."""
    places: dict[Message, set[str]] = defaultdict(set)
    for file in HOUSE.rglob("*.py"):
        for message in said_in(file.read_text("utf-8")):
            places[message].add(file.relative_to(HOUSE).as_posix())
    for command in (cli, open_, *cli.commands.values()):
        for paragraph in paragraphs(command):
            if paragraph:
                assert command.callback is not None
                places[Message(paragraph)].add(f"{command.callback.__module__.replace('.', '/')}.py".split("/", 1)[1])
    return {message: sorted(files) for message, files in places.items()}


def file_of(language: str) -> Path:
    """The catalogue of a language."""
    return LOCALES / language / "LC_MESSAGES" / f"{DOMAIN}.po"


def read(language: str) -> polib.POFile:
    """Read a language's catalogue."""
    return polib.pofile(file_of(language).read_text("utf-8"), wrapwidth=0)


def message_of(entry: polib.POEntry) -> Message:
    """What an entry translates."""
    return Message(entry.msgid, entry.msgid_plural, entry.msgctxt or "")


def updated(catalogue: polib.POFile) -> str:
    """The text of a catalogue with exactly what the code says, in the order of the alphabet.

    The place of an entry is its file without a line, so that a change elsewhere in the file leaves the catalogue as it
    is; the order is that of the English, so that two who add sentences seldom meet.
    """
    known = {message_of(entry): entry for entry in catalogue if not entry.obsolete}
    forms = int(catalogue.metadata["Plural-Forms"].split(";")[0].split("=")[1])
    fresh = polib.POFile(wrapwidth=0)
    fresh.metadata, fresh.header = catalogue.metadata, catalogue.header
    for message, files in sorted(messages().items(), key=lambda each: (each[0].english.casefold(), each[0])):
        entry = known.get(message) or polib.POEntry(
            msgid=message.english,
            msgid_plural=message.many,
            msgctxt=message.context or None,
            msgstr_plural=dict.fromkeys(range(forms), "") if message.many else {},
        )
        entry.occurrences = [(file, "") for file in files]
        entry.flags = sorted({*entry.flags, *(["python-brace-format"] if "{" in message.english else [])})
        fresh.append(entry)
    return f"{fresh}\n"


def fill(catalogue: polib.POFile, table: Mapping[str, str], anew: bool = False) -> list[str]:
    """Translate what is not yet translated, or everything anew, by a table; what differs from it is returned."""
    differ = []
    for entry in catalogue:
        forms = {0: entry.msgid, 1: entry.msgid_plural} if entry.msgid_plural else {}
        if entry.msgctxt or any(each not in table for each in forms.values() or [entry.msgid]):
            continue
        if forms:
            new: dict[int, str] | str = {form: table[each] for form, each in forms.items()}
            old: dict[int, str] | str = entry.msgstr_plural
        else:
            new, old = table[entry.msgid], entry.msgstr
        if old == new:
            continue
        if entry.translated() and not anew:
            differ.append(entry.msgid)
        elif isinstance(new, dict):
            entry.msgstr_plural = new
        else:
            entry.msgstr = new
    return differ


def update(language: str) -> None:
    """Write a language's catalogue as it should be."""
    file_of(language).write_text(updated(read(language)), "utf-8", newline="\n")


def begin(language: str, plural_forms: str) -> None:
    """Write the catalogue of a new language, with nothing translated."""
    catalogue = polib.POFile(wrapwidth=0)
    catalogue.metadata = {**read("es").metadata, "Language": language, "Plural-Forms": plural_forms}
    file_of(language).parent.mkdir(parents=True)
    file_of(language).write_text(updated(catalogue), "utf-8", newline="\n")


def languages() -> list[str]:
    """Each that has a catalogue."""
    return sorted(file.parents[1].name for file in LOCALES.glob(f"*/LC_MESSAGES/{DOMAIN}.po"))


def main(words: list[str]) -> None:
    """Do what the command line asks for."""
    match words:
        case ["update"]:
            for language in languages():
                update(language)
        case ["missing"]:
            for language in languages():
                for entry in read(language).untranslated_entries():
                    context = f"  ({entry.msgctxt})" if entry.msgctxt else ""
                    print(f"{language}  {entry.occurrences[0][0]}  {entry.msgid}{context}")
        case ["new", language, plural_forms]:
            begin(language, plural_forms)
        case _:
            sys.exit(__doc__)


if __name__ == "__main__":
    main(sys.argv[1:])
