"""The Spanish table against the code: every sentence is there, nothing more, and each takes the same values."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from string import Formatter

import pytest

import rodcall
from rodcall.cli.help import paragraphs
from rodcall.cli.main import cli, open_
from rodcall.i18n import spanish

HOUSE = Path(rodcall.__file__).parent
SENTENCE_AT = {
    "say": (0,),
    "phrase": (0,),
    "later": (0,),
    "counted": (1, 2),
    "later_counted": (1, 2),
    "Action": (2, 3),
}
"""Which arguments are sentences."""
THE_SAME = {"final", "no", "- + h l", "{prompt} {numbered} (Enter: {usual})"}
"""Sentences that Spanish has too."""


def calls(file: Path) -> Iterator[ast.Call]:
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in SENTENCE_AT:
            yield node


def given(argument: ast.expr) -> Iterator[str]:
    """The sentences that an argument may be."""
    if isinstance(argument, ast.Constant) and argument.value:
        yield argument.value
    elif isinstance(argument, ast.IfExp):
        yield from given(argument.body)
        yield from given(argument.orelse)


def sentences() -> dict[str, str]:
    """Each sentence that the program says, and a place where it stands."""
    return {
        sentence: f"{file.relative_to(HOUSE)}:{call.lineno}"
        for file in HOUSE.rglob("*.py")
        for call in calls(file)
        for at in SENTENCE_AT[call.func.id]
        if at < len(call.args)
        for sentence in given(call.args[at])
    }


def test_the_program_says_something():
    """Else the next test proves nothing."""
    assert len(sentences()) > 1000


def test_every_sentence_has_its_spanish():
    assert {english: at for english, at in sentences().items() if english not in spanish.SPANISH} == {}


def test_no_sentence_is_left_over():
    """Of what the code no longer says; what a command is for stands in its function's own words."""
    said = {
        *sentences(),
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
    legend = english.startswith("!") or " ? " in english
    assert legend or other.count("?") == other.count("¿")


def test_one_and_several_are_said_in_two_ways():
    """A noun that follows a number agrees with it, in both languages."""
    pairs = [
        [argument.value for argument in call.args[1:3] if isinstance(argument, ast.Constant)]
        for file in HOUSE.rglob("*.py")
        for call in calls(file)
        if call.func.id in ("counted", "later_counted")
    ]
    pairs = [pair for pair in pairs if len(pair) == 2]
    assert len(pairs) > 20
    alike = [one for one, many in pairs if one == many or spanish.SPANISH[one] == spanish.SPANISH[many]]
    assert alike == []


def test_what_is_the_same_in_spanish_is_known():
    same = {
        english for english, other in spanish.SPANISH.items() if english == other and any(map(str.isalpha, english))
    }
    assert same <= THE_SAME
