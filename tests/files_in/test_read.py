"""Files of others read into a job: round trips of every file out, orders, units, assignment, and what is shown."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.model.entries import Shot, Target
from rodcall.book.storage.opening import JobFile
from rodcall.files_in.proposal import As, Options, propose
from rodcall.files_in.text import FileInError, UntoldError
from rodcall.sheets.make import Output, make
from rodcall.units import FOOT, MM, Unit
from tests.cli.kit import rodcall
from tests.kit import a_book, a_job, figures

DATUM = ("reference BM1 high 24in", "datum BM1 812.40ft", "set a1 5000ft,2000ft", "set bearing 37.5")


def out(book: Book, path: Path, form: Output = Output.AS_BUILT) -> Path:
    """A file that the program writes of a book."""
    opened = JobFile(path.with_suffix(".json"), book)
    path.write_bytes(make(opened, path.suffix, form).content)
    return path


def read_in(path: Path, book: Book, **options: Any) -> Book:
    propose(path, book, Options(**options)).write(book)
    return book


def put(folder: Path, *lines: str, name: str = "points.csv") -> Path:
    path = folder / name
    path.write_text("\n".join(lines), "utf-8")
    return path


def heights_of(book: Book) -> dict[str, int]:
    summary = figures(book)
    return {summary.grid.name(int(at)): int(summary.heights[at]) for at in np.flatnonzero(summary.counts)}


# -- every file out comes back ------------------------------------------------------------------------------

UNITS = st.sampled_from([Unit.IN, Unit.FT, Unit.MM, Unit.M])


@st.composite
def read_pads(draw: st.DrawFn) -> tuple[Unit, dict[str, int]]:
    """A unit, and a height in steps at each of some positions."""
    names = [f"{letter}{line}" for line in range(1, 5) for letter in "ABC"]
    return draw(UNITS), draw(st.dictionaries(st.sampled_from(names), st.integers(-200, 200), min_size=1))


def shot(unit: Unit, steps: dict[str, int], datum: bool) -> Book:
    book = a_book(*(DATUM if datum else ()), job=a_job(unit))
    for position, count in steps.items():
        nm = count * unit.default_step
        book.shoot(position, f"{'+' if nm > 0 else ''}{nm / MM:.6f}mm" if nm else "0")
    return book


@settings(max_examples=20, deadline=None)
@given(read_pads(), st.booleans(), st.sampled_from(["pad.csv", "points.csv"]))
def test_points_and_the_table_of_positions_come_back_exactly(
    tmp_path_factory: pytest.TempPathFactory, pad: tuple[Unit, dict[str, int]], datum: bool, name: str
) -> None:
    unit, steps = pad
    book = shot(unit, steps, datum)
    path = out(book, tmp_path_factory.mktemp("out") / name, Output.POINTS if name == "points.csv" else Output.AS_BUILT)
    again = read_in(path, a_book(*(DATUM if datum else ()), job=a_job(unit)))
    assert heights_of(again) == heights_of(book)


@settings(max_examples=10, deadline=None)
@given(read_pads(), st.booleans())
def test_the_surface_comes_back_where_it_was_shot(
    tmp_path_factory: pytest.TempPathFactory, pad: tuple[Unit, dict[str, int]], datum: bool
) -> None:
    unit, steps = pad
    book = shot(unit, steps, datum)
    path = out(book, tmp_path_factory.mktemp("out") / "ground.xml")
    again = heights_of(read_in(path, a_book(*(DATUM if datum else ()), job=a_job(unit)), use=As.EXISTING))
    assert {name: again[name] for name in steps} == heights_of(book)
    assert len(again) == 12


def test_the_table_of_positions_is_read_in_any_language(tmp_path: Path) -> None:
    book = a_book("set sheet-language es", "A1 0", "B2 -3/8", "C4 out rut")
    again = read_in(out(book, tmp_path / "pad.csv"), a_book())
    assert heights_of(again) == heights_of(book)


def test_uneven_pads_come_back(tmp_path: Path) -> None:
    facts = ("fact spacing along 7ft 12ft 20ft", "fact inset 1ft")
    book = a_book(*facts, "A1 0", "B2 -3/8", "C4 +5/64")
    for name, form in (("points.csv", Output.POINTS), ("pad.xml", Output.AS_BUILT)):
        again = heights_of(read_in(out(book, tmp_path / name, form), a_book(*facts)))
        assert {at: again[at] for at in ("A1", "B2", "C4")} == heights_of(book)


# -- points of an office ------------------------------------------------------------------------------------

PLAIN = ("1,0,0,0.00,gnd", "2,0,20,0.05,gnd", "3,20,0,-0.10,gnd")
"""North 0, 0, 20; east 0, 20, 0, feet."""


def test_the_order_of_columns_is_asked_where_nothing_tells(tmp_path: Path) -> None:
    book = a_book(job=a_job(Unit.FT))
    with pytest.raises(UntoldError, match="--order pneh"):
        propose(put(tmp_path, *PLAIN), book, Options(unit="ft"))
    assert heights_of(read_in(put(tmp_path, *PLAIN), book, unit="ft", order="pneh")) == {
        "A1": 0,
        "B1": round(0.05 * FOOT),
        "A2": round(-0.10 * FOOT),
    }
    east_first = a_book(job=a_job(Unit.FT))
    assert set(heights_of(read_in(put(tmp_path, *PLAIN), east_first, unit="ft", order="penh"))) == {"A1", "A2", "B1"}


def test_names_of_positions_tell_the_order(tmp_path: Path) -> None:
    lines = ("A1,0,0,0", "B1,20,0,0.05", "C4,40,60,0.10")
    book = read_in(put(tmp_path, *lines), a_book(job=a_job(Unit.FT)), unit="ft")
    assert set(heights_of(book)) == {"A1", "B1", "C4"}


def test_a_header_tells_order_unit_and_what_heights_are(tmp_path: Path) -> None:
    lines = ("Pt;Easting (m);Northing (m);Elev (m);Code", "1;6,096;0;247,619;gnd")
    book = a_book(*DATUM[:2], job=a_job(Unit.FT))
    read_in(put(tmp_path, *lines), book)
    assert heights_of(book)["B1"] == pytest.approx((247.619 / 0.3048 - 810.40) * FOOT, abs=0.6 * FOOT // 1000)


def test_elevations_need_a_datum(tmp_path: Path) -> None:
    with pytest.raises(FileInError, match="datum BM1"):
        propose(put(tmp_path, "point,north ft,east ft,elevation ft", "1,0,0,812.4"), a_book(), Options())


@pytest.mark.parametrize("mark", ["\t", ";", ",", "  "])
def test_columns_may_be_parted_by_tabs_semicolons_commas_or_blanks(tmp_path: Path, mark: str) -> None:
    lines = [mark.join(("A1", "0", "0", "0.05", "gnd")), mark.join(("A2", "20.01", "0", "-.10"))]
    book = read_in(put(tmp_path, *lines), a_book(job=a_job(Unit.FT)), unit="ft", order="pneh")
    assert heights_of(book) == {"A1": round(0.05 * FOOT), "A2": round(-0.1 * FOOT)}


def test_points_off_every_position_are_told_and_left_out(tmp_path: Path) -> None:
    book = a_book(job=a_job(Unit.FT))
    path = put(tmp_path, *PLAIN, "4,7,7,0.3,tree", "5,500,500,9.0,BM")
    proposal = propose(path, book, Options(unit="ft", order="pneh"))
    assert "2 points lie at no position and are left out: lines 4 5" in proposal.shown()
    assert len(proposal.readings) == 3


def test_a_second_point_at_a_position_and_a_point_named_for_another_are_refused(tmp_path: Path) -> None:
    book = a_book(job=a_job(Unit.FT))
    with pytest.raises(FileInError, match=r"line 4: a second point at A1 \(the first: line 1\)"):
        propose(put(tmp_path, *PLAIN, "4,0.1,0.1,0.3"), book, Options(unit="ft", order="pneh"))
    with pytest.raises(FileInError, match="line 2: C1 lies at B1"):
        propose(put(tmp_path, "A1,0,0,0", "C1,0,20,0"), book, Options(unit="ft", order="pneh"))


def test_what_is_read_already_is_refused(tmp_path: Path) -> None:
    book = a_book("B1 +0.01", job=a_job(Unit.FT))
    with pytest.raises(FileInError, match="B1 is written in this round already"):
        propose(put(tmp_path, *PLAIN), book, Options(unit="ft", order="pneh"))


def test_a_job_that_reads_a_rod_takes_no_heights(tmp_path: Path) -> None:
    book = a_book(job=a_job(Unit.FT, readings="rod"))
    with pytest.raises(FileInError, match="reads a rod"):
        propose(put(tmp_path, *PLAIN), book, Options(unit="ft", order="pneh"))


def test_the_note_says_where_readings_come_from(tmp_path: Path) -> None:
    book = read_in(put(tmp_path, *PLAIN), a_book(job=a_job(Unit.FT)), unit="ft", order="pneh")
    assert book.page.notes[0].text == "read in from points.csv as readings"
    assert [entry.sent_from for entry in book.entries if isinstance(entry, Shot)] == ["file points.csv"] * 3


# -- designs ------------------------------------------------------------------------------------------------


def crowned(folder: Path) -> Path:
    lines = [
        f"{letter}{line},{20 * (line - 1)},{20 * column},{0.2 if column == 1 else 0}"
        for line in range(1, 5)
        for column, letter in enumerate("ABC")
    ]
    return put(folder, *lines, name="crown.csv")


def test_a_design_is_a_height_a_position(tmp_path: Path) -> None:
    """A crown of 0.2 ft along column B over level ground: fill is half of 0.2 ft over 60 x 40 ft."""
    flat = [f"{letter}{line} 0" for line in range(1, 5) for letter in "ABC"]
    book = read_in(crowned(tmp_path), a_book(*flat, job=a_job(Unit.FT)), use=As.DESIGN, unit="ft")
    entry = book.entries[-1]
    assert isinstance(entry, Target)
    assert len(entry.heights_nm) == 12
    earth = figures(book).dirt.earth
    assert earth.fill == pytest.approx(60 * 40 * 0.1 * 0.3048**3)
    assert earth.cut == pytest.approx(0, abs=1e-12)


def test_a_design_with_a_position_missing_is_refused(tmp_path: Path) -> None:
    path = crowned(tmp_path)
    path.write_text("\n".join(path.read_text("utf-8").splitlines()[:-1]), "utf-8")
    with pytest.raises(FileInError, match="missing: C4"):
        propose(path, a_book(job=a_job(Unit.FT)), Options(use=As.DESIGN, unit="ft"))


def test_a_surface_may_be_the_design(tmp_path: Path) -> None:
    book = a_book(*(f"{letter}{line} +{line}in" for line in range(1, 5) for letter in "ABC"))
    path = out(book, tmp_path / "ground.xml")
    other = read_in(path, a_book("A1 0"), use=As.DESIGN)
    entry = other.entries[-1]
    assert isinstance(entry, Target)
    assert [nm // (FOOT // 12) for nm in entry.heights_nm] == [line for line in range(1, 5) for _ in "ABC"]


# -- readings with times ------------------------------------------------------------------------------------


def test_readings_keep_their_times(tmp_path: Path) -> None:
    lines = (
        "time,position,reading",
        "2026-04-18T15:00:00-07:00,A1,0",
        "2026-04-18T15:00:20-07:00,B1,-3/8",
        "2026-04-18T15:00:45-07:00,C1,1/2 high",
    )
    book = read_in(put(tmp_path, *lines), a_book())
    assert [entry.time.isoformat() for entry in book.entries[1:]] == [
        "2026-04-18T15:00:00-07:00",
        "2026-04-18T15:00:20-07:00",
        "2026-04-18T15:00:45-07:00",
    ]
    assert heights_of(book) == {"A1": 0, "B1": -3 * FOOT // 96, "C1": FOOT // 24}


def test_a_time_before_the_last_entry_is_refused(tmp_path: Path) -> None:
    book = a_book("A1 0")
    with pytest.raises(FileInError, match=r"line 1: .* is earlier than the entry before it"):
        propose(put(tmp_path, "2020-04-18T08:00:00-07:00 B1 0"), book, Options())


# -- the command --------------------------------------------------------------------------------------------


def a_job_file(folder: Path) -> Path:
    file = JobFile(folder / "pad.json", a_book(job=a_job(Unit.FT)))
    file.save()
    file.close()
    return folder / "pad.json"


def test_it_shows_before_it_writes(tmp_path: Path) -> None:
    job, path = a_job_file(tmp_path), put(tmp_path, *PLAIN)
    before = job.read_bytes()
    asked = ("--into", str(job), "--unit", "ft", "--order", "pneh")
    shown = rodcall("read", str(path), *asked)
    assert shown.status == 0
    assert "B1 +0.05" in shown.out
    assert "nothing written; add --yes" in shown.out
    assert job.read_bytes() == before
    written = rodcall("read", str(path), *asked, "--yes")
    assert written.status == 0
    assert "4 entries written" in written.out
    assert job.read_bytes() != before


def test_a_refused_file_is_one_line_and_nothing_is_written(tmp_path: Path) -> None:
    job = a_job_file(tmp_path)
    before = job.read_bytes()
    refused = rodcall("read", str(put(tmp_path, *PLAIN, "4,x,0,0")), "--into", str(job), "--unit", "ft", "--yes")
    assert refused.refusal == "points.csv: line 4: 'x' is not a number"
    assert job.read_bytes() == before
