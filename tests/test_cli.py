"""The job from a shell: every command does what it promises, and refuses in one line without changing a thing."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from rodcall import __version__
from rodcall.book.entries import Readings
from rodcall.book.file import open_job
from rodcall.book.places import jobs_folder
from rodcall.cli import cli
from rodcall.figures.as_built import Finding, Verdict
from rodcall.lengths import CM, FOOT, INCH, MM, M, Unit
from tests.shell import on_disk, program, rodcall

NEEDED = ("--name", "Pad", "--length", "60ft", "--width", "40ft", "--along", "4", "--across", "3")
SHOTS = """\
# read out from the paper sheet
A1 0
B1 -1/2      # the unit is the job's
C1 l1/4

A2 -3/4
B2 -1-3/8
C2 -3.175mm
A3 -3/8
B3 -5/8
C3 +1/8
A4 g
B4 -3/8
C4 -1/4
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder for jobs, beside rodcall's own home."""
    jobs = tmp_path / "site"
    jobs.mkdir()
    return jobs


@pytest.fixture
def pad(folder: Path) -> Path:
    """A job begun and shot through the command line."""
    path = folder / "pad.json"
    assert rodcall("new", path, *NEEDED).status == 0
    assert rodcall("enter", path, stdin=SHOTS).status == 0
    return path


def job_of(path: Path):
    return open_job(path, "reader").book.job


# -- new ---------------------------------------------------------------------------------------------------


def test_new_begins_a_job_with_customary_values(folder):
    told = rodcall("new", folder / "deep" / "pad.json", *NEEDED)
    assert (told.status, told.err) == (0, "")
    assert told.out == f"{folder / 'deep' / 'pad.json'}: 12 positions, A1 to C4\n"
    job = job_of(folder / "deep" / "pad.json")
    assert (job.name, job.length, job.width, job.along, job.across) == ("Pad", 60 * FOOT, 40 * FOOT, 4, 3)
    assert (job.heights, job.readings, job.zero) == (Unit.IN, Readings.HEIGHT, "A1")
    # Common practice: half an inch under, rounded to one that can be set on a rod.
    assert (job.step, job.round_to, job.least_drop) == (INCH // 8, INCH // 2, INCH // 8)
    assert (job.tolerance_high, job.tolerance_low, job.goal) == (INCH, INCH, INCH // 2)


OPTIONS = {
    "--place": ("Far field", "place", "Far field"),
    "--customer": ("=Customer & Co", "customer", "=Customer & Co"),
    "--length": ("18.5m", "length", 18_500 * MM),
    "--width": ("40' 6\"", "width", 40 * FOOT + 6 * INCH),
    "--along": ("7", "along", 7),
    "--across": ("5", "across", 5),
    "--heights": ("cm", "heights", Unit.CM),
    "--step": ("1/16in", "step", INCH // 16),
    "--goal": ("3/8in", "goal", INCH * 3 // 8),
    "--readings": ("direct-rod", "readings", Readings.DIRECT_ROD),
    "--zero": ("b2", "zero", "B2"),
    "--inset": ("2ft", "inset", 2 * FOOT),
    "--round-to": ("10mm", "round_to", 10 * MM),
    "--least-drop": ("0.01ft", "least_drop", FOOT // 100),
    "--shrink": ("12.5%", "shrink", 0.125),
    "--slope-along": ("1%", "slope_along", 0.01),
    "--slope-across": ("-0,5%", "slope_across", -0.005),
}


@pytest.mark.parametrize("option", OPTIONS)
def test_each_option_of_new_takes_effect(folder, option):
    said, field, meant = OPTIONS[option]
    assert rodcall("new", folder / "pad.json", *NEEDED, option, said).status == 0
    assert getattr(job_of(folder / "pad.json"), field) == meant
    assert getattr(job_of(folder / "pad.json"), field) != field_before(folder, field)


def field_before(folder: Path, field: str):
    """The field of a job where nothing was said."""
    rodcall("new", folder / "plain.json", *NEEDED)
    return getattr(job_of(folder / "plain.json"), field)


def test_no_option_of_new_is_left_untested():
    (options,) = [{word for each in cli.commands["new"].params for word in each.opts if word.startswith("--")}]
    assert options == {*OPTIONS, "--name", "--tolerance", "--high", "--low"}


def test_one_tolerance_or_two(folder):
    rodcall("new", folder / "one.json", *NEEDED, "--tolerance", "3/4in")
    rodcall("new", folder / "two.json", *NEEDED, "--high", "1/4in", "--low", "1in")
    one, two = job_of(folder / "one.json"), job_of(folder / "two.json")
    assert (one.tolerance_high, one.tolerance_low) == (INCH * 3 // 4, INCH * 3 // 4)
    assert (two.tolerance_high, two.tolerance_low) == (INCH // 4, INCH)
    assert two.goal == INCH // 4, "no looser than the tolerance"


@pytest.mark.parametrize(("unit", "nm"), [("in", INCH), ("ft", FOOT), ("mm", MM), ("cm", CM), ("m", M)])
def test_heights_are_said_in_the_unit_of_the_job(folder, unit, nm):
    rodcall("new", folder / "pad.json", *NEEDED, "--heights", unit)
    rodcall("enter", folder / "pad.json", stdin="A1 -2")
    assert figures(folder / "pad.json")["heights_mm"] == {"A1": -2 * nm / MM}


REFUSED_NEW = {
    "no name": (NEEDED[2:], "Missing option '--name'"),
    "blank name": ((*NEEDED, "--name", " "), "--name: a job needs a name"),
    "name of half a character": ((*NEEDED, "--name", "\udcff"), "--name: "),
    "endless name": ((*NEEDED, "--name", "x" * 501), "--name: "),
    "bare length": ((*NEEDED, "--length", "60"), '"60" - which unit?'),
    "bare width": ((*NEEDED, "--width", "30"), '"30" - which unit?'),
    "bare tolerance": ((*NEEDED, "--tolerance", "1"), '"1" - which unit?'),
    "bare step": ((*NEEDED, "--step", "1/8"), '"1/8" - which unit?'),
    "bare shrink": ((*NEEDED, "--shrink", "10"), "no percentage"),
    "bare slope": ((*NEEDED, "--slope-along", "0.01"), "no percentage"),
    "digits of another script": ((*NEEDED, "--shrink", "١٠%"), "no percentage"),
    "no number of a percentage": ((*NEEDED, "--slope-across", "nan%"), "no percentage"),
    "fourteen inches behind feet": ((*NEEDED, "--length", "4' 14\""), "12 inches make a foot"),
    "negative width": ((*NEEDED, "--width", "-30ft"), "a size is neither high nor low"),
    "a megabyte": ((*NEEDED, "--length", "9" * 100_000), "more than 40 characters"),
    "one shot along": ((*NEEDED, "--along", "1"), "at least 2 shots along"),
    "too many shots": ((*NEEDED, "--along", "9" * 30), "more than 20000 positions"),
    "shots in words": ((*NEEDED, "--along", "four"), "'four' is not a valid integer"),
    "zero off the grid": ((*NEEDED, "--zero", "Q9"), "Q9 is off the grid; it runs from A1 to C4"),
    "inset without room": ((*NEEDED, "--inset", "20ft"), "the inset must leave room"),
    "no step": ((*NEEDED, "--step", "0in"), "must be above 0"),
    "all shrinks": ((*NEEDED, "--shrink", "100%"), "--shrink: "),
    "unknown unit": ((*NEEDED, "--heights", "yd"), "'yd' is not one of"),
    "unknown rod": ((*NEEDED, "--readings", "stick"), "'stick' is not one of"),
    "tolerance twice": (
        (*NEEDED, "--tolerance", "1in", "--high", "1in", "--low", "1in"),
        "--tolerance is high and low",
    ),
    "half a tolerance": ((*NEEDED, "--high", "1in"), "--high and --low go together"),
    "unknown option": ((*NEEDED, "--colour", "red"), "No such option '--colour'"),
}


@pytest.mark.parametrize(("words", "message"), REFUSED_NEW.values(), ids=REFUSED_NEW)
def test_new_refuses_in_one_line_and_begins_nothing(tmp_path, words, message):
    assert message in rodcall("new", tmp_path / "pad.json", *words).refusal
    assert on_disk(tmp_path) == {}


def test_new_never_writes_over_a_file(pad):
    before = on_disk(pad.parent)
    assert "there is a file already" in rodcall("new", pad, *NEEDED).refusal
    assert on_disk(pad.parent) == before


# -- enter -------------------------------------------------------------------------------------------------


def test_enter_takes_a_file_or_what_is_piped_in(folder):
    """A sheet from a Windows editor: a byte order mark, and carriage returns."""
    (folder / "sheet.txt").write_bytes(b"\xef\xbb\xbf" + SHOTS.replace("\n", "\r\n").encode())
    rodcall("new", folder / "one.json", *NEEDED)
    rodcall("new", folder / "two.json", *NEEDED)
    told = rodcall("enter", folder / "one.json", folder / "sheet.txt")
    assert (told.status, told.out, told.err) == (0, "12 entries written\n", "")
    assert rodcall("enter", folder / "two.json", "-", stdin=SHOTS).out == "12 entries written\n"
    assert figures(folder / "one.json") == figures(folder / "two.json")
    assert rodcall("enter", folder / "two.json", stdin="note done").out == "1 entry written\n"


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
    "no rule has sevenths": ("A1 -3/7", 'line 2: "3/7" - sevenths are on no rule'),
    "two signs": ("A1 --3", 'line 2: "--"'),
    "no height": ("A1 nan", "line 2: "),
    "absurd height": ("A1 -101ft", "line 2: "),
    "off the grid": ("D1 -1", "line 2: D1 is off the grid"),
    "no form": ("hello there", 'line 2: "there" - no word for a length'),
    "one word": ("hello", "line 2: 'hello' says nothing"),
    "control characters": ("\x1b[31mA1 -1", "line 2: "),
    "nothing to strike": ("strike C4", "line 2: nothing is written at C4"),
    "nothing to say": ("note", "line 2: an empty note"),
    "unknown round": ("round last", "line 2: a round is working or final"),
    "unknown term": ("set colour red", "line 2: no term is called 'colour'"),
    "no rod here": ("setup ZERO 4'", "line 2: heights are said directly"),
    "unknown reference": ("check BM7 -1", "line 2: no reference is called BM7"),
    "bytes that are no text": (b"A1 \xff", "the lines are no UTF-8 text"),
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


# -- figures -----------------------------------------------------------------------------------------------


def figures(path: Path, *words: str):
    """What `figures --json` prints."""
    told = rodcall("figures", path, "--json", *words)
    assert (told.status, told.err) == (0, "")
    assert told.out.count("\n") == 1
    return json.loads(told.out)


def test_figures_in_words_say_the_same(pad):
    told = rodcall("figures", pad)
    assert (told.status, told.err) == (0, "")
    assert re.search(r"^average +-3/8$", told.out, re.MULTILINE)
    assert re.search(r"^suggested target +-1/2$", told.out, re.MULTILINE)
    assert re.search(r"^verdict +NOT PROVEN$", told.out, re.MULTILINE)


def test_figures_of_an_earlier_round_or_of_none(pad):
    rodcall("enter", pad, stdin="round final\nA1 -1/2")
    assert (figures(pad)["round"], figures(pad)["kind"], figures(pad)["shot"]) == (2, "final", 1)
    assert (figures(pad, "--round", "1")["kind"], figures(pad, "--round", "1")["shot"]) == ("existing", 12)
    for number in ("0", "3", "-1"):
        assert "there is no round" in rodcall("figures", pad, "--round", number).refusal
    assert "'last' is not a valid integer" in rodcall("figures", pad, "--round", "last").refusal


def test_looking_changes_nothing_anywhere(tmp_path, folder):
    """No tablet's name is made up either: that is for who writes."""
    rodcall("sample", folder)
    before = on_disk(tmp_path)
    for path in folder.glob("*.json"):
        for words in (("figures", path), ("figures", path, "--json"), ("verdict", path), (path,)):
            assert rodcall(*words).status in (0, 1, 3)
    assert on_disk(tmp_path) == before


def test_an_edited_book_is_told_of_and_still_works(pad):
    text = pad.read_text("utf-8")
    pad.write_text(text.replace('"said": "-1/2"', '"said": "-0.5"'), "utf-8")
    told = rodcall("figures", pad)
    assert told.status == 0
    assert told.err == "pad.json: entry 2 was edited outside of rodcall\n"


# -- verdict -----------------------------------------------------------------------------------------------


def test_a_pad_out_of_tolerance_fails(pad):
    rodcall("enter", pad, stdin="target -1/2\nB2 -2")
    told = rodcall("verdict", pad)
    assert (told.status, told.err) == (1, "")
    assert told.out.startswith("FAIL\n  1 position out of tolerance\n")


def test_a_pad_without_a_check_is_not_proven(pad):
    told = rodcall("verdict", pad)
    assert (told.status, told.err) == (3, "")
    assert told.out == "NOT PROVEN\n  no check shot after the last shot\n"


def test_a_pad_that_passes(pad, monkeypatch):
    monkeypatch.setattr("rodcall.figures.as_built.judge", lambda **_: Finding(Verdict.PASS, ()))
    told = rodcall("verdict", pad)
    assert (told.status, told.out, told.err) == (0, "PASS\n", "")


# -- sheet -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["sheet.csv", "SHEET.TXT"])
def test_a_sheet_is_written_where_told(pad, name):
    told = rodcall("sheet", pad, "--to", pad.parent / name)
    assert (told.status, told.out, told.err) == (0, f"{pad.parent / name}\n", "")
    text = (pad.parent / name).read_text("utf-8-sig")
    assert all(f"{column}{line}" in text for column in "ABC" for line in range(1, 5))


def test_a_sheet_replaces_an_older_one(pad):
    (pad.parent / "sheet.txt").write_text("old" * 10_000, "utf-8")
    assert rodcall("sheet", pad, "--to", pad.parent / "sheet.txt").status == 0
    assert "old" not in (pad.parent / "sheet.txt").read_text("utf-8")


REFUSED_SHEETS = {
    "unknown kind": ("sheet.doc", "sheet.doc: a sheet is"),
    "no kind": ("sheet", "sheet: a sheet is"),
    "no folder": ("none/sheet.csv", "cannot be written"),
    "a folder": ("folder.csv", "cannot be written"),
}


@pytest.mark.parametrize(("name", "message"), REFUSED_SHEETS.values(), ids=REFUSED_SHEETS)
def test_a_sheet_that_cannot_be_written(pad, name, message):
    (pad.parent / "folder.csv").mkdir()
    before = on_disk(pad.parent)
    assert message in rodcall("sheet", pad, "--to", pad.parent / name).refusal
    assert on_disk(pad.parent) == before


def test_a_sheet_never_takes_the_place_of_the_book(folder):
    book = folder / "pad.txt"
    rodcall("new", book, *NEEDED)
    before = on_disk(folder)
    assert "the job's own file" in rodcall("sheet", book, "--to", folder / ".." / "site" / "pad.txt").refusal
    assert on_disk(folder) == before


# -- sample, schema, version, help -------------------------------------------------------------------------


def test_samples_are_written_once(folder):
    told = rodcall("sample", folder)
    assert told.status == 0
    assert sorted(told.out.splitlines()) == sorted(str(path) for path in folder.glob("*.json"))
    before = on_disk(folder)
    assert rodcall("sample", folder).out.count("is there already; left as it is") == 3
    assert on_disk(folder) == before


def test_samples_go_to_the_folder_of_jobs_where_none_is_named():
    rodcall("sample")
    assert len(list(jobs_folder().glob("*.json"))) == 3


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


# -- opening, and files that are no job --------------------------------------------------------------------


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
    assert "no JSON" in broken


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


# -- as a program of its own -------------------------------------------------------------------------------

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
    command = ["sh", "-c", f"exec {sys.executable} -m rodcall {words.replace('PAD', str(pad))} <&- >&-"]
    ended = subprocess.run(command, stderr=subprocess.PIPE, timeout=60)
    assert (ended.returncode, ended.stderr) == (0, b"")


def test_a_name_that_the_terminal_cannot_show_is_shown_in_other_characters(folder):
    rodcall("new", folder / "pad.json", *NEEDED, "--name", "Łąka 1/2")
    western = {"PYTHONIOENCODING": "iso8859-1"}
    assert "\\u0141\\u0105ka 1/2" in program("figures", folder / "pad.json", env=western).out
    assert json.loads(program("figures", folder / "pad.json", "--json", env=western).out)["job"] == "Łąka 1/2"
