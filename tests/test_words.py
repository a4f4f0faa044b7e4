"""The words that people read: plain, one name for each thing, short sentences, and a reading age."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from rodcall.cli.main import cli
from rodcall.i18n import say, speak
from rodcall.manual.book import page, source, topics
from rodcall.manual.words import WORDS
from rodcall.tui.bindings.actions import TABLES
from tests import catalogue
from tests.reading_age import grade, prose, sentences, syllables

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text("utf-8")
PAGES = {topic: text for topic in topics() if (text := source(topic)) and prose(text)}
SAID = {(message.english, message.many): places for message, places in catalogue.messages().items()}

RIDDLES = (
    "own goal",
    "in the goal",
    "make-up and number of the level",
    "away of A1",
    "the last counts",
    "costs its digits",
    "costs its characters",
    "is wanted",
    "are wanted",
    "was wanted",
    "what is wanted",
    "wanted on the rod",
    "shouts back",
    "one can set",
    "walks back empty",
    "is told",
    "are told",
    "heights are told",
    "then left alone",
    "goes on, or the next",
    "is asked once",
    "is asked about",
    "is asked for",
    "the usual answer",
    "gives it up",
    "gives up",
    "is given up",
    "a line that is wrong",
    "entry that counts",
    "counts nowhere",
    "a third decides",
    "what each step costs",
    "which turns at its end",
    "snake",
    "highs into",
    "All of the pad at once",
    "Save what is left",
    "evens out",
    "least earth",
    "may stay empty",
    "way of reading",
    "on real shots",
    "takes HERE",
    "their doubt",
    "with doubt in mind",
    "outside of the pad",
    "order of your feet",
    "end looks",
    "those around it",
    "customary",
    "agreed with the job",
    "why do they stand",
    "a character back",
    "stands as it lies",
    "all stands",
    "other than called",
    "mistake of the program",
    "with tabs between",
    "For whom",
    "no pad of one crew",
    "work of one crew",
    "more is wanted",
    "on no rule",
    "one point will do",
    "one sign will do",
    "mach. zero",
    "the zero? Heights are told",
    "makes the sheets (any key",
    "tilt {",
    "all of it or nothing",
    "takes all of it back",
)
"""What earlier versions said and the crew had to guess at; our own list."""

ONE_NAME = {
    "crew tolerance": r"\bgoals?\b",
    "punch list": r"\b(to-do|open|snag|defect) list\b",
    "reading": r"\bmeasurements?\b",
    "shot": r"\bsoundings?\b",
    "rod": r"\b(staff|staves|stick|stake reading)\b",
    "backsight": r"\bback[ -]sight",
    "check shot": r"\b(control|test|proof) shots?\b",
    "turning point": r"\b(change|transfer) points?\b",
    "benchmark": r"\bbench marks?\b",
    "set-up": r"(?<!job )\bsetups?\b(?! BM1)",
    "does not fit": r"\b(doubt(s|ed|ful)?|suspicious|busts?|out of line)\b",
    "plus/minus": r"\b(margin of error|accuracy|doubt)\b",
    "left out": r"\b(excluded|omitted|counts nowhere)\b",
    "not pad": r"\b(is no pad|out of the pad|no part of the pad)\b",
    "target": r"\b(wanted height|design grade|goal height|desired)\b",
    "cut": r"\b(excavation|dig-out)\b",
    "fill": r"\b(embankment|backfill)\b",
    "haul": r"\b(transport|conveyance)\b",
    "spoil": r"\b(waste dirt|surplus)\b",
    "footprint": r"\bbuilding area\b",
    "as-built": r"\bas built\b",
    "tolerance": r"\ballowance\b",
    "walking order": r"\b(snake|zigzag|serpentine|meander)\b",
    "job": r"\bprojects?\b",
    "helper": r"\b(rodman|rodperson|assistant)\b",
    "internal error": r"\b(exception|traceback|bug)\b",
}
"""A thing's name, and names that a screen must not have for it."""

SPANISH_ONE_NAME = {
    "libro": r"\blibretas?\b",
    "estación": r"\bemplazamientos?\b",
    "tolerancia propia": r"\bmetas?\b",
    "comando": r"\bmandatos?\b",
    "Enter": r"\bIntro\b",
    "mira común": r"\bmira normal\b",
    "término": r"\bcondici(ón|ones) del trabajo\b",
    "veredicto": r"\bdict[aá]men(es)?\b",
    "grava": r"\bpiedras?\b",
    "excluido": r"\bomitid[oa]s?\b",
    "movimiento": r"\bviaje \{numbers\}",
}


def bare(sentence: str) -> str:
    """Without the names of its values."""
    return re.sub(r"\{[^{}]*\}", "7", sentence)


def shown(*, manual: bool = True) -> Iterator[str]:
    """Every English sentence, and where asked also those of the manual and the sheets."""
    for forms, places in SAID.items():
        if manual or not all(place.startswith(("manual/", "sheets/", "cli/")) for place in places):
            yield from (bare(form) for form in forms if form)


def test_there_is_something_to_read():
    """Else the next tests prove nothing."""
    assert len(SAID) > 1200
    assert len(list(shown(manual=False))) > 900
    assert len(PAGES) > 20


def test_no_sentence_page_or_readme_has_a_phrase_that_the_crew_had_to_guess_at():
    riddles = re.compile("|".join(map(re.escape, RIDDLES)), re.IGNORECASE)
    assert [sentence for sentence in shown() if riddles.search(sentence)] == []
    whole = {"README": README, **{topic.name: page(topic.name, cli) for topic in PAGES}}
    assert [
        (name, riddles.findall(" ".join(text.split())))
        for name, text in whole.items()
        if riddles.search(" ".join(text.split()))
    ] == []


def test_no_screen_has_a_sentence_of_more_than_thirty_words():
    def longest(sentence: str) -> int:
        return max(map(len, sentences(sentence)), default=0)

    assert [sentence for sentence in shown(manual=False) if longest(sentence) > 30] == []


@pytest.mark.parametrize("name", ONE_NAME)
def test_no_screen_has_a_second_name_for_a_thing(name):
    second = re.compile(ONE_NAME[name], re.IGNORECASE)
    meanings = set(WORDS.values())
    assert [sentence for sentence in shown() if sentence not in meanings and second.search(sentence)] == []


@pytest.mark.parametrize("name", SPANISH_ONE_NAME)
def test_no_spanish_sentence_has_a_second_name_for_a_thing(name):
    second = re.compile(SPANISH_ONE_NAME[name])
    told = [form for entry in catalogue.read("es") for form in (entry.msgstr, *entry.msgstr_plural.values())]
    assert [sentence for sentence in told if second.search(sentence)] == []


def test_the_glossary_has_every_name_once_in_both_languages():
    needed = {
        *(
            "reading",
            "shot",
            "rod",
            "backsight",
            "turning point",
            "benchmark",
            "grade",
            "target",
            "cut",
            "fill",
            "haul",
        ),
        *(
            "spoil",
            "check shot",
            "set-up",
            "round",
            "footprint",
            "as-built",
            "punch list",
            "tolerance",
            "crew tolerance",
        ),
        *("plus/minus", "does not fit", "not pad", "left out", "reference", "verdict", "drift", "zero", "suspect"),
    }
    assert needed <= set(WORDS)
    assert len(set(WORDS.values())) == len(WORDS)
    try:
        speak("es")
        spanish = {say(word): say(meaning) for word, meaning in WORDS.items()}
        told = page("words", cli)
    finally:
        speak("en")
    assert len(spanish) == len(WORDS)
    assert [word for word, meaning in spanish.items() if f"| {word} | {meaning} |" not in told] == []
    assert set(spanish.values()).isdisjoint(WORDS.values())


def test_syllables_of_words_whose_number_is_known():
    """Counted by ear: common practice."""
    known = {
        "rod": 1,
        "grade": 1,
        "level": 2,
        "table": 2,
        "reading": 2,
        "tolerance": 3,
        "target": 2,
        "closed": 1,
        "needed": 2,
    }
    assert {word: syllables(word) for word in known} == known


def test_the_grade_follows_the_formula():
    """Two sentences, 9 words, 11 syllables: 0.39 x 9 / 2 + 11.8 x 11 / 9 - 15.59."""
    assert grade("The rod is on the target. Type the reading.") == pytest.approx(0.39 * 9 / 2 + 11.8 * 11 / 9 - 15.59)
    assert grade(
        "```sh\nunintelligible\n```\n| a | b |\n\nThe rod is on the target. Type the reading."
    ) == pytest.approx(grade("The rod is on the target. Type the reading."))


def test_a_ninth_grader_reads_the_readme_and_each_page_of_the_manual():
    grades = {"README": grade(README), **{topic.name: grade(text) for topic, text in PAGES.items()}}
    assert {name: round(found, 1) for name, found in grades.items() if found > 9} == {}


def test_a_ninth_grader_reads_the_help_of_every_screen_and_command():
    """Each screen's help as its page has it, a key an item; and what the shell says of each command."""
    screens = {
        name: "\n".join(f"- {action.help}" for action in actions)
        for name, actions in TABLES.items()
        if len(actions) > 5
    }
    commands = "\n".join(f"- {(command.help or '').partition(chr(12))[0]}" for command in cli.commands.values())
    grades = {**{name: grade(text) for name, text in screens.items()}, "commands": grade(commands)}
    assert len(screens) > 5
    assert {name: round(found, 1) for name, found in grades.items() if found > 9} == {}


def test_the_readme_and_the_manual_have_no_sentence_of_more_than_thirty_words():
    texts = {"README": README, **{topic.name: text for topic, text in PAGES.items()}}
    long = [
        (name, " ".join(each))
        for name, text in texts.items()
        for block in prose(text)
        for each in sentences(block)
        if len(each) > 30
    ]
    assert long == []


def test_no_first_line_of_a_module_or_class_is_a_question_or_has_such_a_phrase():
    riddles = re.compile("|".join(map(re.escape, RIDDLES)), re.IGNORECASE)
    found = []
    for file in sorted(catalogue.HOUSE.rglob("*.py")):
        tree = ast.parse(file.read_text("utf-8"))
        for node in (tree, *(node for node in ast.walk(tree) if isinstance(node, ast.ClassDef))):
            first = (ast.get_docstring(node) or "").partition("\n")[0]
            if first.endswith("?") or riddles.search(first):
                found.append((file.relative_to(catalogue.HOUSE).as_posix(), first))
    assert found == []
