"""The other commands, opening a job, and files that are no job."""

from __future__ import annotations

import json
import os
import re

import jsonschema
import pytest

from rodcall import __version__
from rodcall.cli.main import cli
from rodcall.tablet.paths import jobs_folder
from rodcall.tablet.samples import samples
from tests.cli.kit import NEEDED, SHOTS, on_disk, program, rodcall


def test_a_pad_out_of_tolerance_fails(pad):
    rodcall("enter", pad, stdin="target -1/2\nB2 -2")
    told = rodcall("verdict", pad)
    assert (told.status, told.err) == (1, "")
    assert told.out.splitlines() == [
        "FAIL",
        "  1 spot out of tolerance: B2  (dig or fill, then read the spot in this round)",
        "  two readings disagree, read a third: B2  (read it a third time)",
        "  no check shot  (check a reference)",
        "  no final round yet  (begin the final round)",
    ]


def test_a_pad_without_a_check_is_not_proven(pad):
    told = rodcall("verdict", pad)
    assert (told.status, told.err) == (3, "")
    assert told.out.splitlines() == [
        "NOT PROVEN",
        "  no check shot  (check a reference)",
        "  target only suggested  (choose the target)",
        "  no final round yet  (begin the final round)",
    ]


def test_a_pad_with_a_good_check_after_the_last_shot_passes(pad):
    """In a final round, at a target that somebody chose; on existing ground the check alone proves nothing."""
    rodcall("enter", pad, stdin="check ZERO 0")
    told = rodcall("verdict", pad)
    assert (told.status, told.err) == (3, "")
    assert "no check shot" not in told.out
    final = SHOTS.replace("-1-3/8", "-3/8")
    assert rodcall("enter", pad, stdin=f"target -3/8\nround final\n{final}check ZERO 0\n").status == 0
    told = rodcall("verdict", pad)
    assert (told.status, told.out, told.err) == (0, "PASS\n", "")
    rodcall("enter", pad, stdin="A1 0")
    told = rodcall("verdict", pad)
    assert (told.status, told.out) == (3, "NOT PROVEN\n  no check shot after the last shot  (check a reference)\n")


def test_samples_are_written_once(folder):
    told = rodcall("sample", folder)
    assert told.status == 0
    assert sorted(told.out.splitlines()) == sorted(str(path) for path in folder.glob("*.json"))
    before = on_disk(folder)
    assert rodcall("sample", folder).out.count("already exists; left as it is") == len(samples())
    assert on_disk(folder) == before


def test_samples_go_to_the_folder_of_jobs_where_none_is_named():
    rodcall("sample")
    assert len(list(jobs_folder().glob("*.json"))) == len(samples())


def test_samples_that_cannot_be_written(pad):
    assert "cannot be written" in rodcall("sample", pad).refusal


def test_the_schema_is_one_and_describes_what_is_written(pad):
    """JSON Schema 2020-12, by the jsonschema library."""
    schema = json.loads(rodcall("schema").out)
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(json.loads(pad.read_text("utf-8")))


def test_version_and_help():
    assert rodcall("--version").out == f"rodcall {__version__}\n"
    for words in (["--help"], ["-h"], *([name, "--help"] for name in cli.commands)):
        told = rodcall(*words)
        assert (told.status, told.err) == (0, "")
        assert told.out.startswith("Usage: rodcall ")


def test_without_a_terminal_a_job_is_opened_as_its_figures(pad):
    assert rodcall(pad) == rodcall("figures", pad)


def test_without_a_terminal_the_jobs_are_listed_newest_first():
    rodcall("new", jobs_folder() / "old.json", *NEEDED, "--name", "Old\tpad \x1b[31m", "--place", "Far field")
    (jobs_folder() / "broken.json").write_text("{", "utf-8")
    for seconds, name in enumerate(("broken.json", "old.json")):
        os.utime(jobs_folder() / name, (seconds, seconds))
    told = rodcall()
    assert (told.status, told.err) == (0, "")
    old, broken = told.out.splitlines()
    assert old.split("\t") == [str(jobs_folder() / "old.json"), "Old·pad ·[31m", "Far field", "0 of 12", "existing"]
    assert broken.split("\t")[0] == str(jobs_folder() / "broken.json")
    assert "not JSON" in broken


def test_without_a_terminal_no_jobs_are_no_lines():
    told = rodcall()
    assert (told.status, told.out, told.err) == (0, "", "")


READERS = (("figures",), ("figures", "--json"), ("verdict",), ("enter",), ())


@pytest.mark.parametrize("words", READERS, ids=" ".join)
@pytest.mark.parametrize("content", [None, b"", b"\xff", b'{"format": "rodcall job", "version": 2}'])
def test_a_file_that_is_no_job_is_refused_by_every_command(folder, words, content):
    path = folder / "broken.json"
    if content is not None:
        path.write_bytes(content)
    before = on_disk(folder)
    assert rodcall(*words, path, stdin="A1 -1").refusal.startswith("broken.json: ")
    assert rodcall("sheet", path, "--to", folder / "sheet.csv").refusal.startswith("broken.json: ")
    assert on_disk(folder) == before


def test_a_file_name_cannot_disturb_the_terminal(folder):
    assert rodcall("figures", folder / "a\x1b[31m\n.json").refusal.isprintable()


@pytest.mark.parametrize("words", [("figurs",), ("figures",), ("figures", "a", "b"), ("--colour",), ("sheet", "a")])
def test_a_wrong_command_line_is_one_line(words):
    assert rodcall(*words).refusal


@pytest.mark.parametrize(("typed", "meant"), [("figurs", "figures"), ("VERDICT", "verdict"), ("jion", "join")])
def test_a_mistyped_command_says_what_was_meant(typed, meant):
    assert rodcall(typed).refusal == f"no command or file {typed}; did you mean {meant}?"


def test_a_file_called_nearly_as_a_command_is_opened(pad, folder, monkeypatch):
    monkeypatch.chdir(folder)
    pad.rename(folder / "figurs")
    assert rodcall("figurs").out == rodcall("figures", "figurs").out
    assert "did you mean" not in rodcall("figure.json").refusal


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish", "powershell"])
def test_completion_names_the_program_and_the_variable_it_answers_to(shell):
    told = rodcall("completion", shell)
    assert (told.status, told.err) == (0, "")
    assert "_RODCALL_COMPLETE" in told.out
    assert f"{shell}_complete" in told.out


COMPLETED = [
    ("bash", {"COMP_WORDS": "rodcall fig", "COMP_CWORD": "1"}, "figures"),
    ("bash", {"COMP_WORDS": "rodcall manual check-", "COMP_CWORD": "2"}, "check-shots"),
    ("powershell", {"COMP_WORDS": "rodcall\nfig", "COMP_INCOMPLETE": "fig"}, "figures"),
    ("powershell", {"COMP_WORDS": "rodcall\nsheet\npad.json\n--pap", "COMP_INCOMPLETE": "--pap"}, "--paper"),
    ("powershell", {"COMP_WORDS": "rodcall\nmanual", "COMP_INCOMPLETE": ""}, "check-shots"),
]


@pytest.mark.parametrize(("shell", "asked", "offered"), COMPLETED)
def test_what_a_shell_asks_is_answered(shell, asked, offered):
    told = program(env={**asked, "_RODCALL_COMPLETE": f"{shell}_complete"})
    assert told.status == 0
    assert offered in re.split(r"[,\t\n]", told.out)
