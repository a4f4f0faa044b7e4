"""The manual says what is there: topics, keys, commands, options, lines of `enter`, JSON keys; and its examples run."""

from __future__ import annotations

import ast
import inspect
import json
import os
import re
import shutil
import subprocess
import sys
from importlib.machinery import ModuleSpec
from itertools import pairwise
from pathlib import Path
from types import ModuleType

import click
import jsonschema
import pytest

from rodcall import manual
from rodcall.book import entry_lines
from rodcall.book.entry_lines import FORMS, write_line
from rodcall.book.model.entries import Readings
from rodcall.book.model.terms import TERMS
from rodcall.book.storage.schema import json_schema
from rodcall.cli.main import cli
from rodcall.figures.summary import summarise
from rodcall.i18n import speak
from rodcall.manual import ManualError, list_of_topics, page, topics
from rodcall.manual.as_text import as_text
from rodcall.manual.book import source
from rodcall.manual.parts import PARTS, keys
from rodcall.manual.words import WORDS
from rodcall.sheets.exports.figures_json import KEYS, figures
from rodcall.tablet.settings import SETTINGS, read
from rodcall.tui.bindings import actions
from rodcall.units import FOOT, INCH
from tests.cli.kit import program, rodcall
from tests.documents import README
from tests.kit import a_book, a_job

PAGES = {topic.name: page(topic.name, cli) for topic in topics()}
COMMANDS = {name: command for name, command in cli.commands.items() if not command.hidden}
TABLES = {
    name: table
    for name, table in vars(actions).items()
    if isinstance(table, tuple) and all(isinstance(each, actions.Action) for each in table)
}


def test_each_topic_has_its_page_and_each_page_its_topic():
    files = {path.stem for path in (Path(inspect.getfile(manual)).parent / "pages").iterdir()}
    assert files == set(PAGES) - {"checks"}
    for topic in topics():
        assert f"{topic.name} " in as_text(list_of_topics())
        assert len(source(topic)) > 20


@pytest.mark.parametrize("name", PAGES)
def test_a_page_names_only_topics_and_commands_that_are_there(name):
    text = PAGES[name]
    assert set(re.findall(r"rodcall manual ([a-z-]+)", text)) <= {*PAGES}
    assert set(re.findall(r"`rodcall ([a-z]+)(?!\.json)\b", text)) <= {*COMMANDS}
    assert "<!--" not in text


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("width", [60, 100])
def test_a_page_keeps_to_the_width(name, width):
    """But for what is typed as it is: code, and a row of keys that has no blank to break at."""
    long = [line for line in as_text(PAGES[name], width).splitlines() if len(line) > width]
    assert [line for line in long if not line.startswith("    ") and not line.startswith(("rodcall ", "---"))] == []


@pytest.mark.parametrize("table", TABLES)
def test_each_table_of_actions_stands_on_the_page_of_keys(table):
    rows = keys(TABLES[table]).splitlines()[2:]
    assert [row for row in rows if row not in PAGES["keys"]] == [], "give it a section in manual/pages/keys.md"


def test_each_command_and_option_stands_on_the_page_of_the_shell_and_in_help():
    help_page = help_of(cli)
    assert len(COMMANDS) >= 7
    for name, command in COMMANDS.items():
        part = PAGES["shell"].split(f"\n## rodcall {name}")[1].split("\n## ")[0]
        assert re.search(rf"^  {name} ", help_page, re.MULTILINE)
        for option in command.params:
            for word in option.opts if isinstance(option, click.Option) else ():
                assert word in part, f"{name} {word}"
                assert word in help_of(command)


def help_of(command: click.Command) -> str:
    """Its help page."""
    # Below the command line's own context: click remembers the first help option that it is asked for.
    above = click.Context(cli, **cli.context_settings)
    here = click.Context(command, above, info_name=command.name, max_content_width=200, terminal_width=200)
    return command.get_help(here)


@pytest.mark.parametrize("width", [40, 80])
def test_no_help_line_is_cut(width):
    above = click.Context(cli, info_name="rodcall", terminal_width=width, max_content_width=width)
    assert "..." not in cli.get_help(above).replace("[ARGS]...", "")


def test_help_says_what_happens_without_a_command_and_without_a_terminal():
    told = " ".join(help_of(cli).split())
    assert "Without a command: the list of jobs" in told
    assert "rodcall JOB.json" in told
    assert "no terminal" in told


def test_each_form_of_a_line_stands_on_its_page_and_in_the_help_of_enter():
    told = help_of(COMMANDS["enter"])
    for form, does in FORMS:
        assert form in told
        assert does in told
        assert f"| `{form}` | {does} |" in PAGES["enter"]
    for name in TERMS:
        assert re.search(rf"^  {name} ", told, re.MULTILINE)
        assert f"| `{name}` |" in PAGES["terms"]


@pytest.mark.parametrize("form", [form for form, _ in FORMS])
def test_each_form_of_a_line_can_be_written(form):
    """A height is said where heights are said, a setup where a rod is read; each form is at home in one of them."""
    said = a_book("A1 0", "B2 -1/2", "reference BM1 -4 1/2", "check BM1 -4")
    rod = a_book("reference BM1 -4 1/2", "setup BM1 4'", "A1 4'", "check BM1 4'", job=a_job(readings=Readings.ROD))
    for book in (said, rod):
        book.keep_photo = lambda file: (file, "ab" * 32)
    assert "written" in {attempt(book, form) for book in (said, rod)}


def attempt(book, form: str) -> str:
    try:
        write_line(book, form, lambda: -INCH // 2)
    except ValueError as error:
        return str(error)
    return "written"


def test_each_word_that_begins_a_line_has_a_form():
    """The words are those of the `case`s of `write_line`, so that a new one cannot stay untold."""
    cases = [node for node in ast.walk(ast.parse(inspect.getsource(entry_lines))) if isinstance(node, ast.MatchValue)]
    words = {case.value.value for case in cases if isinstance(case.value, ast.Constant)}
    assert {"strike", "setup", "note"} <= words
    assert words <= {form.split()[0] for form, _ in FORMS}


def test_the_example_of_a_job_file_is_one():
    """Validated by the jsonschema library once the dots are filled in."""
    example = json.loads(code("files", "json")[0])
    assert example["job"].pop("...") == "..."
    job = a_job(name=example["job"]["name"], length=60 * FOOT)
    filled = {**json.loads(job.model_dump_json()), **example["job"]}
    assert filled == json.loads(job.model_dump_json()), "what the example shows is what is written"
    validator = jsonschema.Draft202012Validator(json_schema())
    validator.validate({**example, "job": filled})
    (shot,) = example["entries"]
    assert not validator.is_valid({**example, "job": filled, "entries": [{**shot, "colour": "red"}]})
    assert shot["reading_nm"] == -(INCH * 11) // 8


def test_every_key_of_the_figures_is_explained_in_their_order():
    told = figures(summarise(a_book("A1 0", "B1 -1/4").page))
    assert sorted(KEYS) == sorted(told)
    assert all(f"| `{key}` |" in PAGES["figures"] for key in told)


def test_the_example_of_settings_is_read_without_a_mistake(tmp_path):
    path = tmp_path / "settings.toml"
    path.write_text(code("settings", "toml")[0], "utf-8")
    found, wrong = read(path)
    assert wrong == ()
    assert found.language == "es"
    assert dict(found.keys) == {"shots.undo": "F2", "jobs.find": "g"}
    assert all(f"| `{name} = " in PAGES["settings"] for name in SETTINGS)


def code(name: str, language: str) -> list[str]:
    """The examples of a page in one language."""
    return re.findall(rf"```{language}\n(.*?)\n```", PAGES[name], re.DOTALL)


@pytest.fixture
def path_to_rodcall(tmp_path: Path) -> str:
    """A PATH on which `rodcall` is this one."""
    here = tmp_path / "bin"
    here.mkdir()
    command = here / "rodcall"
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m rodcall "$@"\n', "utf-8")
    command.chmod(0o755)
    return f"{here}{os.pathsep}{os.environ['PATH']}"


@pytest.mark.skipif(shutil.which("sh") is None or sys.platform == "win32", reason="commands for a POSIX shell")
def test_the_commands_of_the_manual_and_of_the_readme_run(tmp_path, path_to_rodcall):
    """Each as it stands, in a shell that ends at the first that fails; then the Python that reads what they wrote."""
    env = {**os.environ, "PATH": path_to_rodcall}
    readme = re.findall(r"```sh\n(rodcall .*?)\n```", README.read_text("utf-8"), re.DOTALL)
    for number, commands in enumerate([*code("shell", "sh"), *readme]):
        folder = tmp_path / str(number)
        folder.mkdir()
        ended = subprocess.run(["sh", "-e"], cwd=folder, env=env, input=commands, text=True, capture_output=True)
        assert (ended.returncode, ended.stderr) == (0, ""), commands
        assert {path.name for path in folder.iterdir()} >= {"shed.json", "shed.txt"}
    reads, writes = code("python", "python")
    ended = subprocess.run([sys.executable, "-c", reads], cwd=folder, env=env, text=True, capture_output=True)
    assert ended.returncode == 0, ended.stderr
    assert "NOT PROVEN" in ended.stdout.splitlines()[0]
    ended = subprocess.run([sys.executable, "-c", writes], cwd=folder, env=env, text=True, capture_output=True)
    assert (ended.returncode, ended.stderr) == (0, "")


def test_the_manual_is_read_by_topic_and_an_unknown_one_says_what_was_meant():
    assert rodcall("manual").out == as_text(list_of_topics()) + "\n"
    assert rodcall("manual", "Keys").out == as_text(PAGES["keys"]) + "\n"
    assert rodcall("manual", "kys").refusal == "no topic 'kys'; did you mean keys?"
    assert rodcall("manual", "\x1b[31m").refusal == "no topic '\\x1b[31m'; rodcall manual lists them"
    with pytest.raises(ManualError):
        page("", cli)


def test_where_spanish_is_spoken_list_and_titles_are_spanish_and_it_says_what_is_not():
    speak("es")
    told = list_of_topics()
    assert "El manual" in told
    assert "El texto corrido va en inglés" in told
    assert page("target", cli).startswith("# Objetivo\n\nEl texto corrido va en inglés")
    for name in ("keys", "enter", "settings", "screen", "shell"):
        assert not {row for row in page(name, cli).splitlines() if row.startswith("|")} <= set(PAGES[name].splitlines())
    assert "Deshacer la última anotación" in page("keys", cli)


def test_the_list_loads_nothing_heavy_and_no_page_loads_the_screens():
    loaded = """
import sys
from rodcall.cli.main import cli
cli(sys.argv[1:], standalone_mode=False)
print(*(name for name in ("textual", "rich", "numpy", "pydantic", "reportlab") if name in sys.modules), file=sys.stderr)
"""
    assert program("manual", code=loaded).err == "\n"
    assert {"textual", "rich", "reportlab"}.isdisjoint(program("manual", "keys", code=loaded).err.split())


def test_each_part_is_on_a_page():
    asked = {found[0] for topic in topics() for found in re.findall(r"<!-- ([a-z-]+)( [a-z-]+)? -->", source(topic))}
    assert asked == set(PARTS)


def test_words_are_in_alphabetical_order_but_for_two_that_belong_together():
    names = [word.lower() for word in WORDS if word not in ("direct-reading rod", "NOT PROVEN", "HIGH, LOW")]
    assert len(names) > 30
    assert [name for name, after in pairwise(names) if name[0] > after[0]] == []


def test_a_page_of_published_checks_is_listed_once_the_package_has_it(monkeypatch):
    if any(topic.name == "checks" for topic in topics()):
        assert len(PAGES["checks"]) > 200
        return
    made = ModuleType("rodcall.manual.checks")
    made.__spec__ = ModuleSpec(made.__name__, None)
    made.checks_page = lambda: "Cut by hand: 12 m3."
    monkeypatch.setitem(sys.modules, made.__name__, made)
    assert [topic.name for topic in topics()][-1] == "checks"
    assert page("checks", cli) == "# Published checks\n\nCut by hand: 12 m3."
