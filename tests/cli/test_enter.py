"""`enter`: all lines or none."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from rodcall.book.storage.opening import open_job
from tests.cli.kit import NEEDED, SHOTS, figures, on_disk, rodcall


def test_enter_takes_a_file_or_what_is_piped_in(folder):
    """A sheet from a Windows editor: a byte order mark, and carriage returns."""
    (folder / "sheet.txt").write_bytes(b"\xef\xbb\xbf" + SHOTS.replace("\n", "\r\n").encode())
    rodcall("new", folder / "one.json", *NEEDED)
    rodcall("new", folder / "two.json", *NEEDED)
    told = rodcall("enter", folder / "one.json", folder / "sheet.txt")
    assert (told.status, told.out) == (0, "12 entries written\n")
    assert told.err == ""
    assert rodcall("enter", folder / "two.json", "-", stdin=SHOTS).out == "12 entries written\n"
    one, two = (figures(folder / name) for name in ("one.json", "two.json"))
    assert one.pop("digest") != two.pop("digest"), "each job has an identity of its own"
    assert one == two
    assert rodcall("enter", folder / "two.json", stdin="note done").out == "1 entry written\n"


def test_enter_notes_what_does_not_fit_and_writes_it_all_the_same(pad):
    told = rodcall("enter", pad, stdin="strike B2\nB2 +11-1/2\n")
    assert (told.status, told.out) == (0, "2 entries written\n")
    assert told.err == "B2: HIGH 11-1/2 does not fit, about LOW 1/2.  ONE FOOT off? Then -1/2\n"
    assert figures(pad)["busts"][0]["at"] == "B2"


def test_enter_keeps_what_was_said_and_signs_with_the_tablet(pad, home):
    entries = open_job(pad, "reader").book.entries
    assert [entry.said for entry in entries][:3] == ["0", "-1/2", "l1/4"]
    assert {entry.tablet for entry in entries} == {(home / "tablet").read_text("utf-8").strip()}
    assert [entry.number for entry in entries] == list(range(1, 13))


def test_enter_strikes_leaves_out_aims_and_goes_on_to_the_next_round(pad):
    lines = (
        "B2 out rut\nstrike B2\nB2 out stump\nC3 -2\nstrike C3\ntarget suggested\nnote wet\nround working\nA1 -1/2\n"
    )
    assert rodcall("enter", pad, stdin=lines).out == "9 entries written\n"
    first, second = figures(pad, "--round", "1"), figures(pad)
    assert first["left_out"] == ["B2"]
    assert first["heights_mm"]["C3"] == 3.175
    assert second["heights_mm"] == {"A1": -12.7}
    assert (second["round"], second["kind"], second["target"]["chosen"]) == (2, "working", True)


REFUSED_LINES = {
    "unsigned height": ("A1 1/2", 'line 2: "1/2" - high or low? say -1/2 or +1/2'),
    "no rule has sevenths": ("A1 -3/7", 'line 2: "3/7" - no rod is marked in sevenths'),
    "two signs": ("A1 --3", 'line 2: "--"'),
    "no height": ("A1 nan", "line 2: "),
    "absurd height": ("A1 -101ft", "line 2: "),
    "off the grid": ("D1 -1", "line 2: D1 is off the grid"),
    "no form": ("hello there", "line 2: 'hello' is not a position"),
    "one word": ("hello", "line 2: 'hello' is not an entry; say for example"),
    "control characters": ("\x1b[31mA1 -1", "line 2: "),
    "nothing to strike": ("strike C4", "line 2: C4 has no entry in this round"),
    "nothing to say": ("note", "line 2: the note is empty"),
    "unknown round": ("round last", "line 2: a round is working or final"),
    "unknown term": ("set colour red", "line 2: no such term: 'colour'"),
    "no rod here": ("setup ZERO 4'", "line 2: this job takes heights, not rod readings"),
    "unknown reference": ("check BM7 -1", "line 2: no reference is called BM7"),
    "bytes that are no text": (b"A1 \xff", "the lines are not UTF-8 text"),
}


@pytest.mark.parametrize(("line", "message"), REFUSED_LINES.values(), ids=REFUSED_LINES)
def test_enter_writes_all_lines_or_none(folder, line, message):
    path = folder / "pad.json"
    rodcall("new", path, *NEEDED)
    before = on_disk(folder)
    raw = line if isinstance(line, bytes) else line.encode()
    refusal = rodcall("enter", path, stdin=b"A1 -1\n" + raw + b"\nB1 -1\n").refusal
    assert message in refusal
    assert refusal.isprintable()
    assert on_disk(folder) == before


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.lists(st.one_of(st.text(max_size=30), st.sampled_from(["A1 -1", "B2 0", "strike A1", "A1 out"])), max_size=4))
@example(["A1 -1", "A1 " + "9" * 100_000])
@example(["note \ud800"])
def test_whatever_is_piped_in_is_written_whole_or_refused_in_one_line(pad, lines):
    before = on_disk(pad.parent)
    told = rodcall("enter", pad, stdin="\n".join(lines).encode("utf-8", "surrogatepass"))
    if told.status:
        assert told.refusal.isprintable()
        assert on_disk(pad.parent) == before
    assert rodcall("figures", pad).status == 0


@pytest.mark.skipif(os.name == "nt", reason="a closed stream is a shell's")
def test_a_closed_input_is_refused_in_one_line(pad):
    before = pad.read_bytes()
    shell = f'"{sys.executable}" -m rodcall enter "{pad}" <&-'
    told = subprocess.run(["/bin/sh", "-c", shell], capture_output=True, text=True, timeout=60, check=False)
    assert (told.returncode, told.stdout, told.stderr.count("\n")) == (2, "", 1)
    assert told.stderr.endswith("the input is closed\n")
    assert pad.read_bytes() == before
