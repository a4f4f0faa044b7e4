"""Outlines and designs from the line that says them to the figures of the page, and back through strikes and files."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.entry_lines import DictationError
from rodcall.book.fold.page import PageError
from rodcall.book.model.shapes import ShapeError, parse_shape
from rodcall.units import FOOT, Unit
from tests.kit import a_book, a_job, figures, say

FT2 = 0.3048**2
YD3 = 0.9144**3


def yard(along: int = 4, across: int = 3, **known):
    return a_job(Unit.FT, along=along, across=across, **known)


def level(book, height: str = "+0") -> None:
    """Every spot of the pad at one height."""
    page = book.page
    say(book, *(f"{page.grid.name(at)} {height}" for at in range(page.grid.size) if not page.not_pad[at]))


def test_an_l_shaped_pad_along_its_squares():
    """60 x 40 ft with 4 x 3 spots: squares of 20 x 20 ft. Without the far right one the pad has 5 of 6."""
    book = a_book("outline A1 C1 C3 B3 B4 A4", job=yard())
    assert [book.page.grid.name(at) for at in book.page.not_pad.nonzero()[0]] == ["C4"]
    level(book, "+0.5")
    say(book, "target 0")
    here = figures(book)
    assert here.area_m2 / FT2 == pytest.approx(5 * 400, rel=1e-12)
    assert here.dirt.earth.cut / YD3 == pytest.approx(5 * 400 * 0.5 / 27, rel=1e-12)
    assert (here.positions, here.counted, here.missing) == (11, 11, ())


def test_a_corner_cut_off_by_the_tape():
    """A triangle of 10 x 10 ft less at the far right corner, given by distances from A1: out, right."""
    book = a_book("outline A1 C1 50ft,40ft 60ft,30ft A4", job=yard())
    level(book, "+0.27")
    say(book, "target 0")
    assert figures(book).area_m2 / FT2 == pytest.approx(60 * 40 - 50, rel=1e-12)
    assert figures(book).dirt.earth.cut / YD3 == pytest.approx((60 * 40 - 50) * 0.27 / 27, rel=1e-12)


def test_a_hole_is_no_pad_until_it_is_struck():
    book = a_book("hole 10ft,10ft 10ft,30ft 30ft,30ft 30ft,10ft", job=yard())
    assert book.page.grid.index("B2") in book.page.not_pad.nonzero()[0]
    level(book)
    assert figures(book).area_m2 / FT2 == pytest.approx(60 * 40 - 20 * 20, rel=1e-12)
    with pytest.raises(PageError):
        book.shoot("B2", "+1")
    while book.page.outlines:
        book.undo()
    assert not book.page.not_pad.any()
    book.redo()
    assert book.page.outline is not None


@pytest.mark.parametrize(
    ("line", "spots"),
    [
        ("design crown B1 B4 2%", {"B2": 0.0, "A2": -0.4, "C4": -0.4}),
        ("design valley B1 B4 2%", {"B2": 0.0, "A2": 0.4, "C4": 0.4}),
        ("design ramp A2 A3 6in", {"A1": -0.5, "C2": -0.5, "A3": 0.0, "C4": 0.0}),
        ("design dish 20ft,20ft 1%", {"B2": 0.0, "A1": 0.2, "B4": 0.4}),
    ],
)
def test_each_design_has_its_heights_at_the_spots(line, spots):
    """Plane geometry; B1 to B4 runs 20 ft from either side, spots lie 20 ft apart. The target at the zero is 0."""
    book = a_book(job=yard(zero="B3"))
    level(book)
    say(book, "target 0", line)
    here = figures(book)
    at_zero = here.target_heights[book.page.grid.index("B3")]
    assert at_zero == 0
    first = next(iter(spots))
    index = book.page.grid.index
    told = {name: (here.target_heights[index(name)] - here.target_heights[index(first)]) / FOOT for name in spots}
    expected = {name: height - spots[first] for name, height in spots.items()}
    assert told == pytest.approx(expected, abs=1e-8)


def test_the_whole_design_moves_up_and_down_and_keeps_its_shape():
    book = a_book(job=yard())
    level(book)
    say(book, "target 0", "design crown B1 B4 2%", "target +0.10")
    assert book.page.target.entry.shape == "crown B1 B4 2%"
    before = figures(book).target_heights
    say(book, "target -0.20")
    assert ((before - figures(book).target_heights) / FOOT) == pytest.approx(0.3, abs=1e-9)
    say(book, "design plane")
    assert figures(book).target.shape is None


def test_another_zero_leaves_the_design_where_it_is():
    book = a_book(job=yard())
    level(book)
    say(book, "target 0", "design crown B1 B4 2%")
    before = figures(book).target_heights
    say(book, "zero B2")
    assert abs(figures(book).target_heights - before).max() <= 1


def test_a_finished_crown_passes_every_spot():
    """Shot to the tenth of a millimetre where the design has it: every deviation is 0."""
    book = a_book(job=yard())
    level(book)
    say(book, "target 0", "design crown B1 B4 2%", "round final")
    heights = figures(book).target_heights
    say(book, *(f"{book.page.grid.name(at)} {heights[at] / FOOT:+.2f}ft" for at in range(book.page.grid.size)))
    here = figures(book)
    assert abs(here.deviations).max() < FOOT // 1000
    assert here.outside == ()


@pytest.mark.parametrize(
    "line",
    [
        "outline A1 C1",
        "outline A1 C4 A4 C1",
        "outline A1 C1 C9",
        "outline A1 C1 99ft,40ft",
        "outline A1 A2 A3",
        "hole 1ft,1ft 1ft,2ft",
        "design",
        "design dome B2 2%",
        "design crown B1 2%",
        "design crown B1 B1 2%",
        "design ramp A1 A9 6in",
        "design ramp A1 A3",
        "design dish B2 fast",
        "design crown B1 B4 400%",
    ],
)
def test_what_bounds_no_pad_or_is_no_design_is_refused_in_a_line_and_nothing_is_written(line):
    book = a_book("A1 +0.10", "target 0", job=yard())
    before = list(book.entries)
    with pytest.raises((DictationError, ValueError)) as refused:
        say(book, line)
    assert "\n" not in str(refused.value)
    assert list(book.entries) == before
    assert book.page.outline is None


@given(
    st.text(max_size=40)
    | st.lists(st.sampled_from(["crown", "valley", "ramp", "dish", "A1", "B3", "2%", "6in", "0", "-", ","])).map(
        " ".join
    )
)
def test_any_words_are_a_design_or_one_line(said):
    why = ""
    try:
        parse_shape(said)
    except ShapeError as error:
        why = str(error)
    assert "\n" not in why


def test_an_inset_pad_bounded_by_its_own_edge_is_the_whole_pad():
    job = yard(inset=2 * FOOT)
    book = a_book("outline -2ft,-2ft -2ft,38ft 58ft,38ft 58ft,-2ft", job=job)
    level(book)
    assert figures(book).area_m2 == pytest.approx(job.length * job.width * 1e-18, rel=1e-12)
