"""`new`: what is agreed before the first shot; a bare number is refused, and nothing is begun then."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.book.model.entries import Readings
from rodcall.cli.main import cli
from rodcall.units import CM, FOOT, INCH, MM, M, Unit
from tests.cli.kit import NEEDED, figures, job_of, on_disk, rodcall


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
    "--site": ("Juniper farm", "site", "Juniper farm"),
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
    """The field of a job where nothing typed."""
    rodcall("new", folder / "plain.json", *NEEDED)
    return getattr(job_of(folder / "plain.json"), field)


def test_no_option_of_new_is_left_untested():
    (options,) = [{word for each in cli.commands["new"].params for word in each.opts if word.startswith("--")}]
    assert options == {*OPTIONS, "--name", "--tolerance", "--high", "--low", "--like"}


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
    "bare shrink": ((*NEEDED, "--shrink", "10"), "not a percentage"),
    "bare slope": ((*NEEDED, "--slope-along", "0.01"), "not a percentage"),
    "digits of another script": ((*NEEDED, "--shrink", "١٠%"), "not a percentage"),
    "no number of a percentage": ((*NEEDED, "--slope-across", "nan%"), "not a percentage"),
    "fourteen inches behind feet": ((*NEEDED, "--length", "4' 14\""), "inches must be less than 12"),
    "negative width": ((*NEEDED, "--width", "-30ft"), "a size is neither high nor low"),
    "a megabyte": ((*NEEDED, "--length", "9" * 100_000), "the limit is 40 characters"),
    "one shot along": ((*NEEDED, "--along", "1"), "at least 2 shots along"),
    "too many shots": ((*NEEDED, "--along", "200", "--across", "200"), "too big: the limit is 20000 positions"),
    "shots in words": ((*NEEDED, "--along", "four"), "'four' is not a valid integer"),
    "zero off the grid": ((*NEEDED, "--zero", "Q9"), "Q9 is off the grid; it runs from A1 to C4"),
    "inset without room": ((*NEEDED, "--inset", "20ft"), "the inset must leave room"),
    "no step": ((*NEEDED, "--step", "0in"), "must be above 0"),
    "all shrinks": ((*NEEDED, "--shrink", "100%"), "--shrink: "),
    "unknown unit": ((*NEEDED, "--heights", "yd"), "'yd' is not one of"),
    "unknown rod": ((*NEEDED, "--readings", "stick"), "'stick' is not one of"),
    "tolerance twice": (
        (*NEEDED, "--tolerance", "1in", "--high", "1in", "--low", "1in"),
        "give --tolerance, or --high and --low, not both",
    ),
    "half a tolerance": ((*NEEDED, "--high", "1in"), "give both --high and --low"),
    "unknown option": ((*NEEDED, "--colour", "red"), "No such option '--colour'"),
}


@pytest.mark.parametrize(("words", "message"), REFUSED_NEW.values(), ids=REFUSED_NEW)
def test_new_refuses_in_one_line_and_begins_nothing(tmp_path, words, message):
    assert message in rodcall("new", tmp_path / "pad.json", *words).refusal
    assert on_disk(tmp_path) == {}


def test_new_never_writes_over_a_file(pad):
    before = on_disk(pad.parent)
    assert "the file already exists; open it or choose another name" in rodcall("new", pad, *NEEDED).refusal
    assert on_disk(pad.parent) == before
