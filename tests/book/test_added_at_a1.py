"""Lines added at the near edge and columns added at the left: A1 moves there, and entries stay about their ground."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.entry_lines import DictationError
from rodcall.book.model.entries import KINDS, Placed
from rodcall.book.model.grid import GridError, letters, moved
from rodcall.book.storage.merge import join
from rodcall.book.storage.opening import JobFile, open_job
from rodcall.sheets.exports.figures_json import figures as figures_json
from rodcall.units import FOOT, Unit
from tests.kit import a_book, a_job, figures, say, ticking


def heights(book: Book) -> dict[str, float]:
    return figures_json(figures(book))["heights_mm"]


def test_the_pad_grows_at_the_near_edge_and_a1_moves_there() -> None:
    book = a_book("A1 0", "C4 1/2 high", "fact add lines near 12ft 8ft", "A1 -1/4", "A3 again 0")
    grid = book.job.grid
    # The first distance is next to the old line: 12 ft out from it, then 8 ft more; 60 ft in 3 gaps of 20 behind.
    assert [nm // FOOT for nm in grid.along_nm.tolist()] == [0, 8, 20, 40, 60, 80]
    assert heights(book) == {"A1": -6.35, "A3": 0.0, "C6": 12.7}
    assert book.job.zero == "A3"
    assert book.page.zero_index == grid.index("A3")


def test_columns_at_the_left() -> None:
    book = a_book("A1 0", "C4 1/2 high", "fact add columns left 10ft")
    assert [nm // FOOT for nm in book.job.grid.across_nm.tolist()] == [0, 10, 30, 50]
    assert heights(book) == {"B1": 0.0, "D4": 12.7}
    say(book, "A4 -1/4")
    assert heights(book)["A4"] == -6.35


def test_what_is_written_says_which_a1_it_means_and_old_entries_do_not(tmp_path: Path) -> None:
    book = a_book("A1 0", "fact add lines near 12ft", "A1 -1/4")
    file = JobFile(tmp_path / "pad.json", book)
    file.save()
    file.close()
    entries = json.loads((tmp_path / "pad.json").read_text("utf-8"))["entries"]
    assert [entry.get("before_a1") for entry in entries] == [None, None, [1, 0]]
    opened = open_job(tmp_path / "pad.json", "reader")
    assert opened.broken_seals == ()
    assert figures_json(figures(opened.book)) == figures_json(figures(book))


def test_an_entry_of_another_tablet_that_did_not_know_stays_about_its_ground(tmp_path: Path) -> None:
    """Two tablets go on from one book; one adds a line, the other shoots A2: that is A3 of the joined book."""
    files = []
    for tablet, lines in (("tablet-a", ("fact add lines near 12ft", "A1 -1")), ("tablet-b", ("A2 -1/2",))):
        book = a_book("A1 0")
        book.tablet = tablet
        say(book, *lines)
        file = JobFile(tmp_path / f"{tablet}.json", book)
        file.save()
        file.close()
        files.append(open_job(tmp_path / f"{tablet}.json", "reader"))
    joined = join(files[0], files[1], tmp_path / "both.json").book
    assert heights(joined) == {"A1": -25.4, "A2": 0.0, "A3": -12.7}


def test_undo_gives_the_old_names_back() -> None:
    book = a_book(
        "A1 0", "B2 +1/2", "outline 0ft,0ft 0ft,40ft 60ft,40ft 60ft,0ft", "design crown 0ft,20ft 60ft,20ft 2%"
    )
    before = figures_json(figures(book))
    say(book, "fact add lines near 12ft")
    book.undo()
    assert figures_json(figures(book)) == before


def test_undo_is_refused_where_a_reading_would_be_lost() -> None:
    book = a_book("A1 0", "B2 +1/2", "fact add lines near 12ft", "A1 1/4 high")
    with pytest.raises(DictationError, match=r"strike entry 4 first"):
        say(book, "strike entry 3")
    say(book, "strike entry 4", "strike entry 3")
    assert heights(book) == {"A1": 0.0, "B2": 12.7}
    # What is struck and lies on a line that is gone comes back only with it.
    with pytest.raises(ValueError, match="off the grid as it is now"):
        book._strike(book.page.lines[book.tablet, 5])


def test_lines_are_taken_back_from_the_outside_only() -> None:
    book = a_book("A1 0", "fact add lines near 12ft", "A1 -1", "strike A1", "fact add lines near 8ft", "A2 1/4 high")
    before = heights(book)
    with pytest.raises(DictationError, match="strike entry 5 first: it added lines farther out"):
        say(book, "strike entry 2")
    assert heights(book) == before == {"A2": 6.35, "A3": 0.0}
    say(book, "strike entry 6", "strike entry 5", "strike entry 2", "fact add lines near 30ft")
    with pytest.raises(ValueError, match="strike entry 10 first"):
        book._strike(book.page.lines[book.tablet, 9])
    assert book.job.grid.along_nm[1] == 30 * FOOT


def test_distances_said_from_an_a1_that_is_gone_keep_the_fact() -> None:
    book = a_book("A1 0", "B2 0", "fact add lines near 12ft", "hole 20ft,10ft 20ft,20ft 30ft,20ft")
    with pytest.raises(DictationError, match="distances from a line that is not there any more; strike entry 4 first"):
        say(book, "strike entry 3")


def test_outline_shape_and_tripod_stay_where_they_were() -> None:
    lines = ("outline A1 C1 C4 30ft,0ft", "design crown B1 50ft,20ft 2%", "set tripod 30ft,-10ft", "machine A1 0")
    book = a_book("A1 0", "B2 1 high", *lines, "fact add lines near 12ft", "fact add columns left 5ft")
    page, target = book.page, book.page.target
    assert page.outlines[0].entry.corners == ("B2", "D2", "D5", "42ft,5ft")
    assert target is not None
    assert target.entry.shape == "crown C2 62ft,25ft 2%"
    assert page.terms.said["tripod"] == "42ft,-5ft"
    assert page.tests[0].entry.at == "B2"


def test_coordinates_stay_those_of_the_ground() -> None:
    """A1 at north 5000, east 2000 ft, the far end facing east: 12 ft nearer is 12 ft west, and so is the new A1."""
    datum = ("set a1 5000ft,2000ft", "set bearing 90", "set a1-wgs84 46.2087310,-116.8800000")
    book = a_book("A1 0", *datum)
    origin = np.array([0.0]), np.array([0.0])
    degrees = figures(book).datum.longitude_latitude(*origin)
    say(book, "fact add lines near 12ft")
    now = figures(book).datum
    north, east = now.coordinates(*origin)
    assert (north[0] / 0.3048, east[0] / 0.3048) == (pytest.approx(5000), pytest.approx(1988))
    along, across = now.on_pad(north, east)
    assert (along[0], across[0]) == (pytest.approx(0, abs=1e-9), pytest.approx(0, abs=1e-9))
    old = np.array([12 * 0.3048]), np.array([0.0])
    assert np.allclose(now.longitude_latitude(*old), degrees, atol=1e-12, rtol=0)
    # Said again, they are of the A1 of now.
    say(book, "set a1 100ft,100ft")
    assert figures(book).datum.coordinates(*origin)[1][0] == pytest.approx(100 * 0.3048)


def test_a_name_moves_and_does_not_leave_the_grid() -> None:
    assert [moved("B3", by) for by in ((2, 1), (-2, -1), (0, 25))] == ["C5", "A1", "AA3"]
    for gone in ((-3, 0), (0, -2)):
        with pytest.raises(GridError, match="not there any more"):
            moved("B3", gone)


# -- the law ------------------------------------------------------------------------------------------------

SPOT = st.tuples(st.integers(0, 3), st.integers(0, 2))
"""Line and column of the pad as it was begun."""
GAPS = st.lists(st.integers(5, 30), max_size=2)


@st.composite
def said(draw: st.DrawFn) -> tuple[str, list[tuple[int, int]]]:
    """A line with places left open for positions, and these."""
    kind = draw(st.sampled_from(["shot"] * 6 + ["out", "not pad", "zero", "machine", "plain"]))
    spots = [draw(SPOT)]
    match kind:
        case "shot":
            return "{} " + draw(st.sampled_from(["0", "+1/2", "-1/4", "-3/8"])), spots
        case "out" | "not pad":
            return f"{{}} {kind}", spots
        case "plain":
            return draw(st.sampled_from(["check ZERO 0", "round working", "target -1/2in", "note wind"])), []
        case _:
            return f"{kind} {{}}" + (" +1/4" if kind == "machine" else ""), spots


@settings(max_examples=60, deadline=None)
@given(GAPS, GAPS, st.lists(said(), max_size=12), st.lists(said(), max_size=8), st.booleans(), st.booleans())
def test_a_pad_grown_midway_gives_the_figures_of_one_that_began_so(
    near: list[int], left: list[int], before: list[Any], after: list[Any], new_line: bool, shaped: bool
) -> None:
    by = len(near), len(left)
    away, aside = [*near[::-1], 20, 20, 20], [*left[::-1], 20, 20]
    grown = a_job(
        length=sum(away) * FOOT,
        width=sum(aside) * FOOT,
        along=len(away) + 1,
        across=len(aside) + 1,
        spacing_along=tuple(each * FOOT for each in away) if len(set(away)) > 1 else (),
        spacing_across=tuple(each * FOOT for each in aside) if len(set(aside)) > 1 else (),
        zero=moved("A1", by),
    )
    mended, begun = a_book(), Book(grown, "tablet-a", ticking())
    before = [("{} 0", [(0, 0)]), ("{} +1/4", [(1, 1)]), *before]
    before += [("design crown {} {} 2%", [(0, 1), (3, 1)])] if shaped else []
    for line in before:
        both(mended, begun, spoken(line, (0, 0)), spoken(line, by))
    facts = [
        f"fact add {what} {' '.join(f'{each}ft' for each in gaps)}"
        for what, gaps in (("lines near", near), ("columns left", left))
        if gaps
    ]
    say(mended, *facts)
    say(begun, *["note nothing"] * len(facts))
    after = [*after, *([("{} -1", [(-len(near), -len(left))])] if new_line else [])]
    for line in after:
        both(mended, begun, spoken(line, by), spoken(line, by))
    assert mended.job.model_dump() == begun.job.model_dump()
    assert told(mended) == told(begun)


def spoken(line: tuple[str, list[tuple[int, int]]], by: tuple[int, int]) -> str:
    text, spots = line
    return text.format(*(f"{letters(column + by[1])}{row + by[0] + 1}" for row, column in spots))


def both(mended: Book, begun: Book, line: str, begun_line: str) -> None:
    """The same line in both books; what one refuses the other refuses."""
    refused = []
    for book, text in ((mended, line), (begun, begun_line)):
        try:
            say(book, text)
            refused.append(False)
        except DictationError:
            refused.append(True)
    assert refused[0] == refused[1], (line, begun_line)


def told(book: Book) -> dict[str, Any]:
    found = figures_json(figures(book))
    for item in found["punch_list"]:
        item.pop("opened_by", None)
    # The history of what was agreed is what differs.
    found.pop("agreed")
    return json.loads(json.dumps(found))


def test_units_do_not_matter() -> None:
    book = a_book("A1 0", "B2 +10", "fact add lines near 2.5m", job=a_job(Unit.MM))
    assert book.job.grid.along_nm[1] == 2_500_000_000


def test_every_kind_about_places_says_which_a1_it_means() -> None:
    about_places = {"position", "to", "corners", "shape", "at"}
    assert {kind for kind in KINDS if about_places & set(kind.model_fields)} <= set(Placed.__subclasses__())
