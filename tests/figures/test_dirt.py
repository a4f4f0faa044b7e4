"""Dirt and stone by the terms of a job, hand-worked on a level pad and against army and highway manuals."""

from __future__ import annotations

import pytest

from rodcall.book.book import Book
from rodcall.book.model.terms import Terms
from rodcall.figures.earthwork.dirt import Dirt, soil_of
from rodcall.units import FOOT, INCH, M, Unit
from tests.kit import a_book, a_job, figures, say

YD3 = 0.9144**3
"""24 FR 5348 (1959): the yard is 0.9144 m exactly."""


def a_level_pad(height: str, *lines: str, length: int = 30 * M, width: int = 20 * M, heights: Unit = Unit.MM) -> Book:
    """All shots at one height, the target at the zero."""
    job = a_job(heights, length=length, width=width)
    return a_book(*(f"{name} {height}" for name in job.grid.names), "target 0", *lines, job=job)


def dirt_of(book: Book) -> Dirt:
    dirt = figures(book).dirt
    assert dirt is not None
    return dirt


@pytest.mark.parametrize(
    ("said", "shrink", "loose"),
    [
        ({}, 0.12, 1.25),
        # US Army FM 5-434 (2000) table 1-1, MEMORY.
        ({"soil": "sand"}, 0.05, 1.11),
        ({"soil": "loam"}, 0.10, 1.25),
        ({"soil": "clay"}, 0.10, 1.43),
        ({"soil": "rock"}, -0.30, 1.50),
        ({"shrink": 0.2}, 0.2, 1.25),
        ({"soil": "clay", "shrink": 0.2}, 0.2, 1.43),
        ({"soil": "clay", "swell": 0.3}, 0.10, 1.30),
        ({"swell": 0.0}, 0.12, 1.00),
    ],
)
def test_what_is_said_goes_before_the_soil_and_the_soil_before_the_job(said, shrink: float, loose: float) -> None:
    soil = soil_of(Terms(said), 0.12)
    assert (soil.shrink, soil.loose) == (pytest.approx(shrink), pytest.approx(loose))


def test_cut_makes_less_fill_by_the_shrink() -> None:
    dirt = dirt_of(a_level_pad("+100", "set shrink 25%", "set swell 25%", "set truck 10m3", "set bucket 0.5m3"))
    # 30 x 20 m, 0.1 m too high: 60 m3. Ours is 1 - s, so 45 m3; FHWA Federal Lands PDDM ch. 9 has 60 / 1.25 = 48.
    assert (dirt.earth.cut, dirt.earth.fill) == (pytest.approx(60), 0)
    assert dirt.spare == pytest.approx(45)
    # In the truck it is what was dug, loose: 60 x 1.25 = 75 m3.
    assert dirt.spare_loose(dirt.spare) == pytest.approx(75)
    assert (dirt.loads(dirt.spare), dirt.bucketfuls(dirt.spare)) == (8, 150)


def test_fill_is_short_and_a_pile_helps() -> None:
    book = a_level_pad("-100", "set soil clay", "set truck 10m3")
    assert dirt_of(book).spare == pytest.approx(-60)
    # US Army FM 5-434 table 1-1, clay: 0.90 / 1.43 of the loose volume is left, so 60 m3 take 95.33 loose.
    assert dirt_of(book).loads(dirt_of(book).spare) == 10
    say(book, "set on-hand 20m3", "set haul-in 10m3")
    assert dirt_of(book).on_hand == pytest.approx(30 * 0.90 / 1.43)
    assert dirt_of(book).spare == pytest.approx(30 * 0.90 / 1.43 - 60)


def test_balance_leaves_nothing_over() -> None:
    book = a_level_pad("+100", "A1 -200", "C4 +300", "set shrink 20%", "set on-hand 5m3")
    dirt = dirt_of(book)
    assert dirt.at(dirt.balance).spare == pytest.approx(0, abs=1e-6 * (dirt.earth.cut + dirt.earth.fill))


def test_another_height_on_the_same_ground() -> None:
    dirt = dirt_of(a_level_pad("+100"))
    assert dirt.at(0.04).earth.cut == pytest.approx(36)
    assert dirt.at(0.04).relief is dirt.relief


def test_crushed_base_to_order() -> None:
    # WSDOT Design Manual, densities (second-hand; COMPUTED): 30 x 40 ft at 4 in is 14.8148 yd3, 27.407 tons at 1.85.
    pad = a_level_pad("0", "set stone 4in", "set stone-waste 0%", length=40 * FOOT, width=30 * FOOT, heights=Unit.IN)
    order = dirt_of(pad).stone
    assert order is not None
    assert order.in_place_m3 / YD3 == pytest.approx(14.8148, abs=5e-5)
    assert order.short_tons == pytest.approx(27.407, abs=5e-4)
    # 1.48 tons a yd3 in the truck: 18.52 yd3 loose, two loads of 10 yd3.
    assert dirt_of(pad).stone_loads == 2
    say(pad, "set stone-waste 10%")
    more = dirt_of(pad).stone
    assert more is not None
    assert more.short_tons == pytest.approx(1.1 * 27.407, abs=1e-3)
    assert more.in_place_m3 == order.in_place_m3
    assert dirt_of(pad).stone_loads == 3


def test_tons_by_density_as_said() -> None:
    # Michigan DOT rounding guidance (SEEN): 308 yd2 x 110 lb per yd2 and inch x 1.5 in = 25.41 tons.
    # 110 lb x 36 in to the yard = 3960 lb = 1.98 tons a yd3; 77 x 36 ft = 308 yd2.
    terms = ("set stone 1 1/2in", "set stone-density 1.98ton/yd3", "set stone-waste 0%")
    order = dirt_of(a_level_pad("0", *terms, length=77 * FOOT, width=36 * FOOT, heights=Unit.IN)).stone
    assert order is not None
    assert order.short_tons == pytest.approx(25.41, abs=5e-3)


@pytest.mark.parametrize(
    ("lift", "lifts"),
    # Ohio DOT C&MS 304.04 (SEEN): at most 8, 6, 4 in; a foot of stone.
    [("8in", 2), ("6in", 2), ("4in", 3), (None, 3)],
)
def test_lifts(lift: str | None, lifts: int) -> None:
    terms = ["set stone 12in"] + ([f"set lift {lift}"] if lift else [])
    assert dirt_of(a_level_pad("0", *terms)).lifts == lifts


def test_no_stone_nothing_to_order() -> None:
    dirt = dirt_of(a_level_pad("0"))
    assert (dirt.stone, dirt.stone_loads, dirt.lifts) == (None, 0, 0)


def test_finished_grade_lies_over_the_target_that_is_dug_to() -> None:
    layers = dirt_of(a_level_pad("0", "set stone 4in")).layers(-INCH // 2)
    assert (layers.finished_nm, layers.stone_nm) == (7 * INCH // 2, 4 * INCH)


def test_the_best_planes_balance_by_the_terms_and_the_one_of_least_earth_moves_no_more() -> None:
    """With a pile, shrink, and another zero: nothing is spare about either, and both are told at that zero."""
    rough = (0, 40, -30, 90, 10, -60, 20, 70, -10, 30, -80, 50)
    shots = [f"{name} {height:+d}" for name, height in zip(a_job().grid.names, rough, strict=True)]
    job = a_job(Unit.MM, length=30 * M, width=20 * M)
    dirt = dirt_of(a_book(*shots, "zero B2", "target 0", "set shrink 20%", "set on-hand 3m3", job=job))
    best = {grade: dirt.surface.over(grade).at(grade.offset) for grade in (dirt.least_squares, dirt.least_earth)}
    for grade, earth in best.items():
        assert dirt.spare_of(earth) == pytest.approx(0.0, abs=1e-9)
        assert grade.at(10.0, 10.0) == pytest.approx(grade.offset, abs=1e-12)
        assert (grade.along, grade.across) != (0.0, 0.0)
    squares, least = (earth.cut + earth.fill for earth in best.values())
    assert least < squares
