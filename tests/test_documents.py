"""README and DEVELOPERS say what is there: keys, commands, the two commands for a fresh machine, file, rooms."""

from __future__ import annotations

import ast
import inspect
import json
import re
import tomllib

import click
import jsonschema
import pytest

from rodcall.book import entry_lines
from rodcall.book.entry_lines import FORMS, write_line
from rodcall.book.model.entries import Readings
from rodcall.book.model.terms import TERMS
from rodcall.book.storage.schema import json_schema
from rodcall.cli.main import cli, open_
from rodcall.figures.summary import summarise
from rodcall.sheets.exports.figures_json import figures
from rodcall.tui.bindings import actions
from rodcall.units import FOOT, INCH
from tests.documents import DEVELOPERS, README, TOP, keys, written
from tests.kit import a_book, a_job

TEXT = README.read_text("utf-8")
COMMANDS = {name: command for name, command in cli.commands.items() if not command.hidden}
TABLES = {
    name: table
    for name, table in vars(actions).items()
    if isinstance(table, tuple) and all(isinstance(each, actions.Action) for each in table)
}


def section(head: str) -> str:
    """What stands under a heading, down to the next of its rank."""
    return re.split(r"^## ", TEXT.split(f"\n## {head}\n", 1)[1], maxsplit=1, flags=re.MULTILINE)[0]


@pytest.mark.parametrize("document", [README, DEVELOPERS], ids=lambda path: path.name)
def test_each_block_is_what_its_table_says(document):
    text = document.read_text("utf-8")
    assert written(text) == text, "write it anew: python -m tests.documents"


@pytest.mark.parametrize("table", TABLES)
def test_each_table_of_actions_stands_in_the_readme(table):
    rows = keys(TABLES[table]).splitlines()[3:]
    assert [row for row in rows if row not in TEXT] == [], "give it a block in tests/documents.py and in the README"


def test_each_command_and_option_stands_in_the_readme_and_in_help():
    shell = section("From a shell")
    help_page = help_of(cli)
    assert len(COMMANDS) >= 7
    for name, command in COMMANDS.items():
        assert f"`rodcall {name}" in shell
        assert re.search(rf"^  {name} ", help_page, re.MULTILINE)
        for option in command.params:
            for word in option.opts if isinstance(option, click.Option) else ():
                assert word in shell, f"{name} {word}"
                assert word in help_of(command)


def test_no_command_stands_in_the_readme_that_is_not_there():
    named = re.findall(r"`rodcall ([a-z]+)", TEXT)
    assert set(named) == set(COMMANDS)
    for line in re.findall(r"^\| `rodcall .*$", TEXT, re.MULTILINE):
        name = re.match(r"\| `rodcall ([a-z]+)", line)
        known = {word for each in (COMMANDS[name[1]] if name else cli).params for word in each.opts}
        known |= {"--help", *(word for each in open_.params for word in each.opts)} if name is None else set()
        assert set(re.findall(r"--[a-z-]+", line)) <= known


def help_of(command: click.Command) -> str:
    """Its help page."""
    # Below the command line's own context: click remembers the first help option that it is asked for.
    above = click.Context(cli, **cli.context_settings)
    here = click.Context(command, above, info_name=command.name, max_content_width=200, terminal_width=200)
    return command.get_help(here)


def test_help_says_what_happens_without_a_command_and_without_a_terminal():
    page = " ".join(help_of(cli).split())
    assert "Without a command: the list of jobs" in page
    assert "rodcall JOB.json" in page
    assert "no terminal" in page


def test_each_form_of_a_line_stands_in_the_help_of_enter():
    page = help_of(COMMANDS["enter"])
    for form, does in FORMS:
        assert form in page
        assert does in page
    for name in TERMS:
        assert re.search(rf"^  {name} ", page, re.MULTILINE)


@pytest.mark.parametrize("form", [form for form, _ in FORMS])
def test_each_form_of_a_line_can_be_written(form):
    """A height is said where heights are said, a setup where a rod is read; each form is at home in one of them."""
    said = a_book("A1 0", "B2 -1/2", "reference BM1 -4 1/2", "check BM1 -4")
    rod = a_book("reference BM1 -4 1/2", "setup BM1 4'", "A1 4'", "check BM1 4'", job=a_job(readings=Readings.ROD))
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


def commands_of_the_readme() -> list[str]:
    return re.findall(r"```sh\n(.*?)\n```", section("Two commands for a fresh machine"), re.DOTALL)


def test_two_commands_for_a_fresh_machine_and_ci_runs_the_second():
    install, test = commands_of_the_readme()
    assert "\n" not in install + test
    assert install.startswith("python3 -m venv .venv && ")
    assert install.endswith(".venv/bin/rodcall")
    runner = (TOP / ".ci" / "run").read_text("utf-8")
    pytest_call = test.rsplit(".venv/bin/python ", 1)[1]
    assert pytest_call.startswith("-m pytest")
    assert f'"$bin/python" {pytest_call}\n' in runner
    assert "-e '.[test]'" in test
    assert "-e '.[test]'" in runner


def test_the_example_of_a_job_file_is_one():
    """Validated by the jsonschema library once the dots are filled in."""
    example = json.loads(re.search(r"```json\n(.*?)\n```", section("The job file"), re.DOTALL)[1])
    assert example["job"].pop("...") == "..."
    job = a_job(name=example["job"]["name"], length=60 * FOOT)
    filled = {**json.loads(job.model_dump_json()), **example["job"]}
    assert filled == json.loads(job.model_dump_json()), "what the example shows is what is written"
    validator = jsonschema.Draft202012Validator(json_schema())
    validator.validate({**example, "job": filled})
    (shot,) = example["entries"]
    assert not validator.is_valid({**example, "job": filled, "entries": [{**shot, "colour": "red"}]})
    assert shot["reading_nm"] == -(INCH * 11) // 8


def test_each_dependency_is_explained():
    project = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))["project"]
    told = DEVELOPERS.read_text("utf-8").split("### Dependencies", 1)[1].split("\n## ", 1)[0]
    for wanted in (*project["dependencies"], *project["optional-dependencies"]["test"]):
        name = re.match(r"[A-Za-z0-9_.-]+", wanted)[0]
        assert f"`{name}`" in told, name


def test_the_readme_names_every_key_of_the_figures():
    told = figures(summarise(a_book("A1 0", "B1 -1/4").page))
    rows = re.search(r"\| keys of `figures --json` \|.*?\n\n", TEXT, re.DOTALL)
    assert rows is not None
    named = [
        key for row in rows[0].strip().splitlines()[2:] for key in re.findall(r"`([a-z_0-9]+)`", row.split("|")[1])
    ]
    assert sorted(named) == sorted(told)
