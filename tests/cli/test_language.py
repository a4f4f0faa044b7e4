"""The command line in the language of the settings: words for people follow it, what scripts rely on does not.

Each Spanish word is that of the glossary that was agreed with the crew.
"""

from __future__ import annotations

import ast
import gettext
import os
from pathlib import Path

import click
import pandas
import pytest

from rodcall.cli.help import CLICK, paragraphs
from rodcall.cli.main import cli
from rodcall.i18n import say, speaking
from tests.cli.kit import NEEDED, Told, rodcall


@pytest.fixture
def spanish(home: Path) -> None:
    set_to(home, 'language = "es"')


def set_to(home: Path, *lines: str) -> None:
    home.mkdir(parents=True, exist_ok=True)
    (home / "settings.toml").write_text("\n".join(lines) + "\n")


def in_both(home: Path, *words: object) -> tuple[Told, Told]:
    """What a command says in English, and then in Spanish."""
    set_to(home, 'language = "en"')
    english = rodcall(*words)
    set_to(home, 'language = "es"')
    return english, rodcall(*words)


def test_refusals_are_said_in_the_language_of_the_settings(spanish, pad):
    assert rodcall("new", "x.json", *NEEDED, "--high", "1in").refusal == "dé --high y --low, los dos"
    assert "no es una posición; las posiciones van de A1 a C4" in rodcall("layout", pad, "--at", "one").refusal
    assert rodcall("enter", pad, stdin="A1 1/2\n").refusal == 'línea 1: "1/2" - ¿alto o bajo? diga -1/2 o +1/2'
    assert rodcall("figures", pad.with_name("none.json")).refusal.startswith("none.json: no se puede leer (")


def test_what_was_done_is_said_so_too(spanish, pad):
    told = rodcall("enter", pad, stdin="note dry\nnote wind\n")
    assert (told.status, told.out) == (0, "2 anotaciones escritas\n")
    assert rodcall("enter", pad, stdin="note dry\n").out == "1 anotación escrita\n"


def test_the_lines_of_enter_are_the_same_in_every_language(spanish, pad):
    """The grammar is a promise to people who script."""
    lines = "reference BM1 low 4 1/2in\nA1 low 3/8\nB2 out rut\ntarget suggested\nround working\n"
    assert rodcall("enter", pad, stdin=lines).status == 0
    assert rodcall("enter", pad, stdin="ronda final\n").status == 2


@pytest.mark.parametrize("words", [["figures", "--json"], ["season", "--jsonl"], ["season"], ["schema"]])
def test_what_scripts_read_is_the_same_in_every_language(home, pad, words):
    rodcall("enter", pad, stdin="target 0\nA1 +3\n")
    command, *options = words
    what = {"figures": [pad], "season": [pad.parent], "schema": []}[command]
    (pad.parent / "broken.json").write_text('{"format": "rodcall job"')
    english, other = in_both(home, command, *what, *options)
    assert english == other
    assert english.status == 0


def in_each(pad: Path, ending: str, *options: str) -> tuple[Path, Path]:
    """A sheet of a pad in English, and in Spanish."""
    files = {language: pad.with_name(language + ending) for language in ("en", "es")}
    for language, file in files.items():
        assert rodcall("sheet", pad, "--to", file, *options, "--language", language).status == 0
    return files["en"], files["es"]


@pytest.mark.parametrize("words", [[".csv", "--points"], [".xml"]])
def test_files_for_programs_are_the_same_in_every_language(spanish, pad, words):
    english, other = in_each(pad, *words)
    assert english.read_bytes() == other.read_bytes()


def test_the_table_of_positions_says_its_heads_and_states_and_keeps_its_numbers(spanish, pad):
    """Read by pandas, as a spreadsheet would."""
    rodcall("enter", pad, stdin="target 0\nB2 out rut\n")
    english, other = (pandas.read_csv(file) for file in in_each(pad, ".csv"))
    assert list(other) == [
        *("trabajo", "ronda", "posición", "estado", "altura mm", "altura como se escribe (in)", "objetivo mm"),
        *("objetivo como se escribe (in)", "diferencia mm", "diferencia como se escribe (in)", "más/menos mm"),
    ]
    assert english.shape == other.shape
    numbers = english.select_dtypes("number")
    assert numbers.shape[1] >= 4
    for head in numbers:
        same = other.iloc[:, english.columns.get_loc(head)]
        pandas.testing.assert_series_equal(english[head], same, check_names=False)
    states = dict(zip(english["state"], other["estado"], strict=True))
    assert states == {"inside": "dentro", "left out": "excluido"}


def test_a_verdict_keeps_its_word_and_says_its_reasons(home, pad):
    rodcall("enter", pad, stdin="target 0\nA1 +3\n")
    english, other = in_both(home, "verdict", pad)
    assert english.status == other.status == 1
    assert english.out.splitlines()[:2] == [
        "FAIL",
        "  2 spots out of tolerance: A1 B2  (dig or fill, then read the spot in this round)",
    ]
    assert other.out.splitlines()[:2] == [
        "FAIL",
        "  2 puntos fuera de tolerancia: A1 B2  (excave o rellene, y lea el punto en esta ronda)",
    ]


def test_figures_are_said_with_the_words_of_the_glossary(spanish, pad):
    told = rodcall("figures", pad).out
    for word in ("promedio", "objetivo", "corte", "relleno", "NO PROBADO", "ninguna comprobación"):
        assert word in told
    assert "average" not in told


def test_wrong_lines_of_the_settings_are_told_once_and_change_no_status(home, pad):
    set_to(home, 'language = "es"', "no_such = 1", "[what]")
    told = rodcall("verdict", pad)
    assert told.status == 3
    assert [line.split(":")[0] for line in told.err.splitlines()] == ["rodcall", "rodcall"]
    assert told.out.startswith("NOT PROVEN\n  ")


def test_a_language_that_nobody_speaks_leaves_english(home, pad):
    set_to(home, 'language = "xx"')
    told = rodcall("layout", pad, "--at", "one")
    assert told.status == 2
    assert told.err.splitlines()[-1] == "rodcall: 'one' is not a position; positions run from A1 to C4"


@pytest.mark.parametrize("name", ["", *cli.commands])
def test_help_is_said_in_the_language_of_the_settings(home, name):
    command = cli.commands[name] if name else cli
    helps = [each.help for each in command.params if isinstance(each, click.Option) and each.help]
    own = [*paragraphs(command), *helps, "Show this message and exit.", "Usage:", "Options"]
    english, other = in_both(home, *([name] if name else []), "--help")
    assert english.status == other.status == 0
    for sentence in own:
        with speaking("es"):
            in_spanish = say(sentence)
        assert as_words(sentence) in as_words(english.out)
        assert as_words(sentence) not in as_words(other.out)
        assert as_words(in_spanish) in as_words(other.out)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["new", "x.json"], "Falta la opción '--name'."),
        (["verdict"], "Falta el argumento 'JOB.json'."),
        (["verdict", "x.json", "--colour"], "No existe la opción '--colour'."),
        (["verdict", "x.json", "y.json"], "Sobra un argumento (y.json)"),
        (["sheet", "x.json", "--to"], "La opción '--to' lleva un argumento."),
        (["sheet", "x.json", "--to", "x.pdf", "--paper", "a5"], "'a5' no es ninguno de 'letter', 'a4'."),
        (["figures", "x.json", "--round", "one"], "Valor no válido para '--round': 'one' no vale como integer."),
        (["new", "x.json", *NEEDED, "--shrink", "100%"], "--shrink: debe ser menos de 1.0"),
    ],
)
def test_what_the_libraries_refuse_is_said_so_too(spanish, words, told):
    assert told in rodcall(*words).refusal


@pytest.mark.parametrize("language", [None, "fr"])
def test_after_a_command_other_programs_sentences_are_looked_up_as_before(spanish, pad, monkeypatch, language):
    monkeypatch.delenv("LANGUAGE", raising=False)
    if language is not None:
        monkeypatch.setenv("LANGUAGE", language)
    assert rodcall("verdict").refusal.startswith("Falta el argumento")
    assert (gettext.textdomain(), os.environ.get("LANGUAGE")) == ("messages", language)


def test_what_click_is_answered_still_stands_in_click():
    """COMPUTED from click's own source: a sentence that it words anew would be said in English, in silence."""
    folder = Path(click.__file__).parent
    stands = {
        node.value
        for name in ("core", "exceptions", "types", "formatting", "decorators", "parser")
        for node in ast.walk(ast.parse((folder / f"{name}.py").read_text("utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    assert set(CLICK) - stands == set()


def as_words(text: str) -> str:
    """Without the breaks that the width of the help makes, at hyphens too."""
    return "".join(text.split())


def test_help_of_enter_says_lines_and_terms(spanish):
    told = as_words(rodcall("enter", "--help").out)
    assert as_words("una comprobación: lo que la referencia lee ahora") in told
    assert as_words("suelo bajo la mira: stripped rough compacted stone") in told
