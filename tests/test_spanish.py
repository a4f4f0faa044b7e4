"""The Spanish table against the code: every sentence is there, nothing more, and each takes the same values."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from string import Formatter

import pytest

import rodcall
from rodcall.cli import cli, open_
from rodcall.language import spanish
from rodcall.shell_help import paragraphs

HOUSE = Path(rodcall.__file__).parent
ROOMS = ("lengths", "quantities.py", "book", "figures", "sheets", "cli.py", "shell_help.py", "start.py", "cautions.py")
"""Whose Spanish is complete."""
SENTENCE_AT = {"say": (0,), "phrase": (0,), "later": (0,), "counted": (1, 2), "later_counted": (1, 2)}
"""Which arguments are sentences."""
THE_SAME = {"final", "no"}
"""Sentences that Spanish has too."""


def calls(file: Path) -> Iterator[ast.Call]:
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in SENTENCE_AT:
            yield node


def sentences(*rooms: str) -> dict[str, str]:
    """Each sentence that these rooms say, and a place where it stands."""
    files = [file for room in rooms for file in ([HOUSE / room] if room.endswith(".py") else (HOUSE / room).rglob("*"))]
    found = {}
    for file in files:
        if file.suffix != ".py":
            continue
        for call in calls(file):
            for given in [call.args[at] for at in SENTENCE_AT[call.func.id] if at < len(call.args)]:
                if isinstance(given, ast.Constant):
                    found[given.value] = f"{file.relative_to(HOUSE)}:{call.lineno}"
    return found


def test_the_rooms_say_something():
    """Else the next test proves nothing."""
    assert len(sentences(*ROOMS)) > 300


def test_every_sentence_has_its_spanish():
    assert {english: at for english, at in sentences(*ROOMS).items() if english not in spanish.SPANISH} == {}


def test_no_sentence_is_left_over():
    """Of what the code no longer says; what a command is for stands in its function's own words."""
    said = {
        *sentences("."),
        *(each for command in (cli, open_, *cli.commands.values()) for each in paragraphs(command)),
    }
    assert set(spanish.SPANISH) - said == set()


def test_no_sentence_stands_in_two_parts_in_two_ways():
    ways = Counter(english for english, _ in {pair for part in spanish._PARTS for pair in part.items()})
    assert [english for english, count in ways.items() if count > 1] == []


@pytest.mark.parametrize("english", spanish.SPANISH)
def test_spanish_takes_the_same_values_in_the_same_form(english):
    def values(sentence: str) -> list[tuple[str, str]]:
        return sorted((name, form) for _, name, form, _ in Formatter().parse(sentence) if name is not None)

    assert values(spanish.SPANISH[english]) == values(english)


@pytest.mark.parametrize("english", spanish.SPANISH)
def test_spanish_begins_and_ends_as_english_does(english):
    """Blanks join parts of a sentence, and a question must end as one: what follows it hangs on that."""
    other = spanish.SPANISH[english]
    assert (english[:1] == " ", english[-1:] == " ") == (other[:1] == " ", other[-1:] == " ")
    assert english.endswith("?") == other.endswith("?")
    assert other.count("?") == other.count("¿") or english.startswith("!"), "a legend of marks alone has more"


def test_what_is_the_same_in_spanish_is_known():
    same = {
        english for english, other in spanish.SPANISH.items() if english == other and any(map(str.isalpha, english))
    }
    assert same <= THE_SAME
