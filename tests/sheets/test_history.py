"""What was agreed, checked and read more than once stands on the as-built sheet, whole; text and PDF say the same."""

from __future__ import annotations

import re

import pytest

from rodcall.book.model.entries import Readings, Remedy
from rodcall.book.storage.opening import JobFile
from rodcall.i18n import speaking
from rodcall.sheets.content.blocks import Contractor
from rodcall.sheets.content.certificate import certificate
from rodcall.sheets.content.history import agreed_and_changed, checks, read_more_than_once
from rodcall.sheets.content.record import record_of
from rodcall.sheets.make import Output, make
from rodcall.units import Unit
from rodcall.wording import words
from tests.kit import say
from tests.sheets.kit import a_file, figures_of, finished, pdf, shoot, text_of


def rows(table) -> list[tuple[str, ...]]:
    return list(table.rows)


def texts(opened: JobFile) -> list[str]:
    """The sheet as text and as PDF, each run of blanks as one."""
    plain = re.sub(r"\s+", " ", make(opened, ".txt", Output.AS_BUILT).content.decode())
    return [plain, text_of(pdf(opened))]


# -- what was agreed ---------------------------------------------------------------------------------------


def test_the_first_lines_are_what_the_job_was_set_up_with():
    told = [row[2:4] for row in rows(agreed_and_changed(figures_of(a_file(zero="B2"))))]
    assert told == [
        ("the target", "none"),
        ("the zero", "B2"),
        ("the tolerance above", '1"'),
        ("the tolerance below", '1"'),
        ("the drift limit", '1/8" (default)'),
        ("the closure limit", '1/8" for one set-up (published rule)'),
        ("the spacing limit", "50' 0\" (default)"),
    ]


def test_all_that_was_agreed_follows_with_when_who_and_why():
    opened = finished()
    say(opened.book, "set drift 1/4in because windy", "set tolerance-high 2in because customer wants it")
    say(opened.book, "set agreed-by J. Doe, phone", "target -3/4", "zero B1", "reference BM1 -5")
    say(opened.book, "set closure 1/2in", "set spacing 60ft because small pad")
    later = rows(agreed_and_changed(figures_of(opened)))[7:]
    assert all(re.fullmatch(r"2026-04-18 13:\d\d", row[0]) and row[4] == "tablet-a" for row in later)
    now = words.height(opened.book.job, opened.book.page.references["BM1"], mark=True)
    suggested = next(entry.said for entry in opened.book.entries if entry.kind == "target")
    assert [row[2] for row in later[:2]] == ["reference BM1", "agreed by"]
    assert [(row[2], row[3], row[5]) for row in later[1:]] == [
        ("agreed by", "the customer", "-"),
        ("the target", suggested, "suggested"),
        ("the drift limit", "1/4in", "windy"),
        ("the tolerance above", "2in", "customer wants it"),
        ("agreed by", "J. Doe, phone", "-"),
        ("the target", "-3/4", "no reason given"),
        ("the zero", "B1", "-"),
        ("reference BM1", now, "-"),
        ("the closure limit", "1/2in", "no reason given"),
        ("the spacing limit", "60ft", "small pad"),
    ]
    for text in texts(opened):
        assert "the tolerance above 2in tablet-a customer wants it" in text
        assert "agreed by J. Doe, phone" in text
        assert '2" high, 1" low' in text


def test_what_was_struck_of_it_is_in_the_struck_list():
    opened = a_file("A1 -1", "target -1/2")
    opened.book.undo()
    assert len(rows(agreed_and_changed(figures_of(opened)))) == 7
    for text in texts(opened):
        assert re.search(r"target, struck \S* ?-1/2 struck out", text)


# -- readings ----------------------------------------------------------------------------------------------


def test_every_reading_of_a_spot_is_printed_in_order():
    opened = a_file("A1 -1", "B1 -3/8", "C1 0", "B1 -2", "B1 -1/2", "B1 -1/2", "C1 +1/8")
    assert rows(read_more_than_once(figures_of(opened))) == [
        ("B1", "read 4 times", "-3/8; -2; -1/2; -1/2", "-1/2"),
        ("C1", "read 2 times", "0; +1/8", "0"),
    ]
    for text in texts(opened):
        assert "read 4 times -3/8; -2; -1/2; -1/2 -1/2" in text


def test_struck_readings_are_seen_and_a_spot_once_read_is_not_listed():
    opened = a_file("A1 -1", "B1 -3/8", "strike B1", "B1 +3/8")
    assert rows(read_more_than_once(figures_of(opened))) == [("B1", "read 2 times", "-3/8 (struck); +3/8", "+3/8")]


def test_a_reading_from_another_set_up_is_replaced_and_seen_with_its_height():
    opened = a_file(
        *("reference BM1 0", "setup BM1 4.00", "A1 4.10", "setup BM1 5.00", "A1 5.20"),
        heights=Unit.FT,
        readings=Readings.ROD,
    )
    told = "4.10 is -0.10 (replaced); 5.20 is -0.20"
    assert rows(read_more_than_once(figures_of(opened))) == [("A1", "read 2 times", told, "-0.20")]


def test_only_readings_of_this_round_are_listed():
    opened = a_file("A1 -1", "A1 -1", "round final", "A1 -1")
    assert rows(read_more_than_once(figures_of(opened))) == []
    say(opened.book, "A1 -7/8")
    assert rows(read_more_than_once(figures_of(opened))) == [("A1", "read 2 times", "-1; -7/8", "-1")]


def test_a_struck_reading_that_comes_back_counts_again():
    opened = a_file("A1 -1", "A1 -7/8")
    opened.book.undo()
    assert rows(read_more_than_once(figures_of(opened)))[0][2] == "-1; -7/8 (struck)"
    opened.book.redo()
    assert rows(read_more_than_once(figures_of(opened)))[0][2] == "-1; -7/8"


# -- checks ------------------------------------------------------------------------------------------------

ROD = ("reference BM1 0", "setup BM1 4'", "A1 4' 1", "B1 4' 1/2", "C1 4' 1")


def a_rod(*lines: str) -> JobFile:
    return a_file(*ROD, *lines, readings=Readings.ROD)


def states(opened: JobFile) -> list[tuple[str, ...]]:
    return [row[2:] for row in rows(checks(figures_of(opened), record_of(opened)))]


def test_a_check_that_was_misread_says_so():
    opened = a_rod("check BM1 4' 1", "check BM1 4'")
    assert [row[0] for row in states(opened)] == ["1 (BM1)", "1 (BM1)"]
    assert [row[-2] for row in states(opened)] == ["stop, misread: repeated true", "good"]


def test_a_bad_check_that_was_struck_counts_and_is_listed_in_its_place():
    opened = a_rod("check BM1 4' 1")
    opened.book.undo()
    say(opened.book, "C2 4' 1", "check BM1 4'")
    assert [row[-2] for row in states(opened)] == ["stop, struck: still counts as bad", "good"]


def test_a_struck_check_that_was_misread_says_both():
    opened = a_rod("check BM1 4' 1")
    opened.book.undo()
    say(opened.book, "check BM1 4'")
    assert [row[-2] for row in states(opened)] == ["stop, struck, misread: repeated true", "good"]


@pytest.mark.parametrize(
    ("remedy", "told"),
    [
        (Remedy.KEEP, "accepted by decision: rod was on a stone"),
        (Remedy.SHIFT, "2 shots corrected by 1 up: rod was on a stone"),
    ],
)
def test_a_decision_about_suspects_is_printed(remedy, told):
    """The check reads an inch more on a plain rod: all lies an inch LOW, so shots go up; A1, the zero, stays."""
    opened = a_rod("check BM1 4' 1")
    opened.book.decide(remedy, opened.book.page.checks[-1], "rod was on a stone")
    assert states(opened)[0][-1] == told
    for text in texts(opened):
        assert told in text


def test_a_clock_that_ran_back_is_told_by_its_entry():
    opened = a_file("A1 -1", "B1 -1")
    early = iter([opened.book.entries[0].time.replace(year=2025)])
    opened.book.clock = lambda: next(early)
    say(opened.book, "C1 -1")
    for text in texts(opened):
        assert "The tablet's clock ran backwards at entry 3." in text


def test_in_spanish_nothing_of_it_is_english():
    opened = shoot(a_rod("check BM1 4' 1", "B1 4'", "B1 4' 1/2"))
    with speaking("es"):
        summary = figures_of(opened)
        tables = (agreed_and_changed(summary), checks(summary, record_of(opened)), read_more_than_once(summary))
    told = " ".join(" ".join([table.title, *table.head, table.note]) for table in tables)
    assert not re.search(r"\b(the|what|read|agreed|check|entry|reason|state|in order)\b", told)
    assert "Acordado y cambiado" in told


@pytest.mark.parametrize("ending", [".txt", ".pdf", ".csv", ".xml"])
def test_a_round_with_no_shot_yet_has_all_its_sheets(ending):
    """Its surface is the round before's; its points say so."""
    opened = finished()
    say(opened.book, "round working")
    made = make(opened, ending, Output.AS_BUILT).content
    assert len(made) > 500
    if ending == ".xml":
        assert b"0 shot, 12 of the round before, 0 estimated" in made
    if ending == ".txt":
        assert b"No shots in this round." in made


# -- readings keyed at the rod -----------------------------------------------------------------------------


def test_the_first_page_says_how_many_readings_are_from_a_file():
    """A file read into a round counts as its readings; who signs is to know that nobody keyed them."""
    opened = a_file()
    with opened.book.sent_from("file points.csv"):
        say(opened.book, "A1 -1/2", "B1 -1/4", "C1 -1/4", "strike C1")
    assert "not keyed" not in first_page(a_file())
    assert "2 readings are from a file and were not keyed." in first_page(opened)
    for text in texts(opened):
        assert "round 1: 2 readings read from a file" in text
    say(opened.book, "round working", "A1 -1/2")
    assert "not keyed" not in first_page(opened)


def first_page(opened: JobFile) -> str:
    return certificate(figures_of(opened), record_of(opened), Contractor()).sentence


def test_readings_from_the_helpers_phone_are_named_as_such():
    opened = a_file()
    with opened.book.sent_from("phone 1"):
        say(opened.book, "A1 -1/2", "B1 -1/4", "strike B1")
    say(opened.book, "B1 -1/8")
    for text in texts(opened):
        assert "round 1: 1 reading keyed on the helper's phone" in text
