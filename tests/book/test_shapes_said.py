"""Designs, places and outlines as a crew says them: what is meant, and what is refused in one line."""

from __future__ import annotations

import pytest

from rodcall.book.model.outline import Outline, OutlineError, clipped, common
from rodcall.book.model.shapes import EXAMPLES, SaidShape, ShapeError, ShapeKind, parse_shape, place_of, ring_of
from rodcall.units import FOOT, INCH
from tests.kit import a_job

SQUARE = ((0.0, 0.0), (0.0, 10.0), (10.0, 10.0), (10.0, 0.0))


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("crown B1 B4 2%", SaidShape(ShapeKind.CROWN, ("B1", "B4"), fall=0.02)),
        ("Valley B1 B4 -1%", SaidShape(ShapeKind.VALLEY, ("B1", "B4"), fall=0.01)),
        ("dish B3 1/4in/ft", SaidShape(ShapeKind.DISH, ("B3",), fall=1 / 48)),
        ("ramp A2 A4 6in", SaidShape(ShapeKind.RAMP, ("A2", "A4"), rise_nm=6 * INCH)),
        ("ramp A2 A4 +6in", SaidShape(ShapeKind.RAMP, ("A2", "A4"), rise_nm=6 * INCH)),
        ("ramp A2 A4 -6in", SaidShape(ShapeKind.RAMP, ("A2", "A4"), rise_nm=-6 * INCH)),
    ],
)
def test_a_design_from_its_words(said, meant):
    assert parse_shape(said) == meant


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("", "'' is not a shape; say crown B1 B4 2%"),
        ("pyramid B1 B4 2%", "'pyramid' is not a shape"),
        ("crown B1 2%", "incomplete; for example crown B1 B4 2%"),
        ("crown B1 B1 2%", "incomplete; for example crown B1 B4 2%"),
        ("ramp A2 A4", "incomplete; for example ramp A2 A4 6in"),
        ("dish B3", "incomplete; for example dish B3 1%"),
        ("ramp A2 A4 steep", '"steep" - no word for a length'),
        ("dish B3 steep", "'steep'"),
    ],
)
def test_what_is_no_design_says_an_example(said, why):
    with pytest.raises(ShapeError) as refusal:
        parse_shape(said)
    assert why in str(refusal.value)


def test_every_example_is_understood():
    assert [parse_shape(each).kind for each in EXAMPLES] == list(ShapeKind)


def test_a_place_is_a_position_or_two_distances_from_a1():
    """4 lines by 3 columns on 60 x 40 ft: 20 ft from line to line and from column to column."""
    grid = a_job(inset=2 * FOOT, length=64 * FOOT, width=44 * FOOT).grid
    assert place_of(grid, "b2") == (20 * FOOT, 20 * FOOT)
    assert place_of(grid, "30ft,+12ft") == (30 * FOOT, 12 * FOOT)
    assert place_of(grid, "-2ft, -1ft 6in") == (-2 * FOOT, -18 * INCH), "the edge lies outside of the first shots"
    assert place_of(grid, "62ft,42ft") == (62 * FOOT, 42 * FOOT), "the far corner"


@pytest.mark.parametrize("said", ["-2ft 1in,0ft", "62ft 1in,0ft", "0ft,42ft 1in", "0ft,-2ft 1in", "J9", "near,far"])
def test_a_place_off_the_pad_or_none_at_all_is_refused(said):
    with pytest.raises(ShapeError) as refusal:
        place_of(a_job(inset=2 * FOOT, length=64 * FOOT, width=44 * FOOT).grid, said)
    assert str(refusal.value).count("\n") == 0


def test_a_ring_has_three_corners_at_least():
    grid = a_job().grid
    assert ring_of(grid, ("A1", "C1", "C4")) == ((0, 0), (0, 40 * FOOT), (60 * FOOT, 40 * FOOT))
    with pytest.raises(ShapeError, match="an outline has 3 to"):
        ring_of(grid, ("A1", "C1"))


@pytest.mark.parametrize(
    ("edge", "holes", "why"),
    [
        (tuple((float(i), float(i * i)) for i in range(201)), (), "at most 200 corners"),
        (((0, 0), (1, 1), (2, 2)), (), "not all in one line"),
        (((0, 0), (1, 1), (0, 0)), (), "three corners or more"),
        (((0, 0), (10, 10), (10, 0), (0, 5)), (), "two edges of the outline cross"),
        (((0, 0), (10, 0), (5, 0), (5, 5)), (), "cross"),
        (((0, 0), (0, 10), (5, 0), (10, 10), (10, 0)), (), "cross"),
        (((0, 0), (0, 10), (10, 10), (0, 10), (10, 0)), (), "cross"),
        (SQUARE, (((20, 20), (20, 22), (22, 20)),), "a hole must lie inside"),
        (
            SQUARE,
            (((1, 1), (1, 9), (9, 9), (9, 1)), ((4, 4), (4, 5), (5, 4))),
            "one hole lies inside another",
        ),
    ],
)
def test_corner_points_that_bound_no_pad_are_refused(edge, holes, why):
    with pytest.raises(OutlineError, match=why):
        Outline(edge, holes)


def test_a_hole_takes_its_area_out_and_its_edge_is_pad():
    """10 x 10 less 2 x 4: 92 m2, by hand."""
    outline = Outline(SQUARE, (((4, 3), (4, 7), (6, 7), (6, 3)),))
    assert outline.area == pytest.approx(92.0)
    import numpy as np

    along, across = np.array([5.0, 4.0, 5.0, 0.0, 11.0]), np.array([5.0, 5.0, 2.0, 0.0, 5.0])
    assert outline.contains(along, across).tolist() == [False, True, True, True, False]
    assert outline.from_edge(along, across) == pytest.approx([-1.0, 0.0, 1.0, 0.0, -1.0])


def test_what_two_rings_have_in_common():
    """By hand: squares of 4 side by side share an edge and no area; set over by 1 they share 3 x 4."""
    one = [(0.0, 0.0), (0.0, 4.0), (4.0, 4.0), (4.0, 0.0)]
    assert common(one, [(4.0, 0.0), (8.0, 0.0), (8.0, 4.0), (4.0, 4.0)]) in ([], [(4.0, 4.0), (4.0, 0.0)])
    assert common(one, [(5.0, 0.0), (8.0, 0.0), (8.0, 4.0), (5.0, 4.0)]) == []
    over = [(1.0, 0.0), (5.0, 0.0), (5.0, 4.0), (1.0, 4.0), (1.0, 4.0)]
    assert set(common(one, over)) == {(1.0, 0.0), (1.0, 4.0), (4.0, 4.0), (4.0, 0.0)}
    assert set(common(one, over[::-1])) == set(common(one, over)), "either way around"
    assert clipped(one, 1.0, 0.0, 1.0) == [(1.0, 0.0), (0.0, 0.0), (0.0, 4.0), (1.0, 4.0)]
