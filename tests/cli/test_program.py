"""The command line as a program of its own: what it loads, how it ends, and streams that are not there."""

from __future__ import annotations

import json
import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.kit import NEEDED, program, rodcall

LOADED = """
import sys
from rodcall.start import main
sys.argv[0] = "rodcall"
try:
    main()
finally:
    print(*(name for name in ("textual", "rich", "numpy", "pydantic") if name in sys.modules), file=sys.stderr)
"""


@pytest.mark.parametrize(
    "words",
    [
        ("figures", "PAD"),
        ("figures", "PAD", "--json"),
        ("verdict", "PAD"),
        ("sheet", "PAD", "--to", "PAD.csv"),
        ("PAD",),
    ],
    ids=" ".join,
)
def test_no_figure_ever_loads_textual(pad, words):
    told = program(*(word.replace("PAD", str(pad)) for word in words), code=LOADED)
    assert told.status in (0, 3)
    assert told.err == "numpy pydantic\n"


@pytest.mark.parametrize("words", [("--help",), ("--version",), ("new", "--help")], ids=" ".join)
def test_help_waits_for_nothing_heavy(words):
    assert program(*words, code=LOADED).err == "\n"


def test_the_program_exits_with_what_it_means(pad):
    assert program("verdict", pad).status == 3
    assert program("figures", pad).status == 0
    assert program("enter", pad).out == "0 entries written\n"
    assert program("figures", "none.json").refusal.startswith("none.json: cannot be read")
    assert program().status == 0


@pytest.mark.skipif(sys.platform == "win32", reason="a closed pipe is told otherwise there")
def test_a_reader_that_has_gone_is_no_mistake(pad):
    code = "import sys; sys.stdin.read(1); from rodcall.start import main; main()"
    for words in (("schema",), ("figures", str(pad), "--json"), ("--help",)):
        reader, writer = os.pipe()
        running = subprocess.Popen(
            [sys.executable, "-c", code, *words], stdin=subprocess.PIPE, stdout=writer, stderr=subprocess.PIPE
        )
        os.close(reader)
        os.close(writer)
        _, err = running.communicate(b"go", timeout=60)
        assert (running.returncode, err) == (141, b""), words


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_full_disk_behind_the_output_is_one_line(pad):
    with open("/dev/full", "wb") as full:
        told = program("figures", pad, stdout=full)
    assert (told.status, told.err) == (141, "rodcall: the output cannot be written (no space left on device)\n")


@pytest.mark.skipif(sys.platform == "win32", reason="streams are closed through the POSIX shell")
@pytest.mark.parametrize("words", ["", "PAD", "figures PAD", "--help"])
def test_closed_streams_are_no_mistake(pad, words):
    command = [
        "sh",
        "-c",
        f"exec {shlex.quote(sys.executable)} -m rodcall {words.replace('PAD', shlex.quote(str(pad)))} <&- >&-",
    ]
    ended = subprocess.run(command, stderr=subprocess.PIPE, timeout=60)
    assert (ended.returncode, ended.stderr) == (0, b"")


def test_a_name_that_the_terminal_cannot_show_is_shown_in_other_characters(folder):
    rodcall("new", folder / "pad.json", *NEEDED, "--name", "Łąka 1/2")
    western = {"PYTHONIOENCODING": "iso8859-1"}
    assert "\\u0141\\u0105ka 1/2" in program("figures", folder / "pad.json", env=western).out
    assert json.loads(program("figures", folder / "pad.json", "--json", env=western).out)["job"] == "Łąka 1/2"
