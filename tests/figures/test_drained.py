"""The water on one round: by its target where that slopes, else by the ground; planes, spans and goals by hand."""

from __future__ import annotations

import numpy as np
import pytest

from rodcall.figures.ground.drainage import Run
from rodcall.figures.summary import Summary
from rodcall.units import MM, M, Unit
from tests.kit import a_book, a_job, figures, say


def pad(rises: tuple[float, float], *lines: str, asked: tuple[float, float] = (0.0, 0.0), **job) -> Summary:
    """4 x 3 spots 10 m apart on a plane of these slopes, m per m, shot to the millimetre."""
    sizes = {"length": 30 * M, "width": 20 * M, "slope_along": asked[0], "slope_across": asked[1]}
    book = a_book(job=a_job(Unit.MM, 4, 3, step=MM, **{**sizes, "goal": 10 * MM, **job}))
    for index in range(12):
        row, column = divmod(index, 3)
        height = round(10_000 * (row * rises[0] + column * rises[1]))
        say(book, f"{book.job.grid.name(index)} {height:+d}")
    say(book, *lines)
    return figures(book)


# -- which way it runs --------------------------------------------------------------------------------------


def test_water_runs_by_the_target_where_it_slopes_and_else_by_the_ground():
    assert pad((0.02, 0.0)).water == Run(-1, 0), "towards the near edge, off ground that rises away"
    assert pad((0.0, -0.02), "target 0").water == Run(0, 1), "off level grade as the ground lies"
    assert pad((0.02, 0.0), asked=(-0.02, 0.0)).water == Run(1, 0), "by the target, whatever the ground does"
    assert pad((0.02, 0.0), asked=(0.0, 0.02)).water == Run(0, -1)
    assert pad((0.0, 0.0)).water == Run(0, 0)


def test_of_a_shape_no_one_way_is_told_and_none_before_the_first_shot():
    assert pad((0.02, 0.0), "target 0", "design crown B1 B4 2%").water is None
    assert figures(a_book()).water is None


@pytest.mark.parametrize(
    ("asked", "surface", "flat"),
    [
        ((0.006, 0.0), "soil", 0.006),
        ((0.006, 0.008), "soil", None),
        ((0.0, 0.004), "concrete", 0.004),
        ((0.0, 0.005), "concrete", None),
        ((0.0, 0.0), "soil", None),
    ],
)
def test_a_target_that_is_too_flat_to_drain(asked, surface, flat):
    """Soil needs 1 %, concrete 0.5 %; 0.6 % and 0.8 % together are 1 % (3-4-5)."""
    told = pad((0.0, 0.0), f"set surface {surface}", asked=asked).flat_target
    assert told == (None if flat is None else pytest.approx(flat))


def test_of_a_shape_its_planes_are_told_and_of_no_target_nothing():
    summary = pad((0.0, 0.0), "target 0", "design crown B1 B4 0.4%")
    assert summary.flat_target is None
    assert sorted(each.name for each in summary.flat_facets) == ["left side", "right side"]
    empty = figures(a_book())
    assert (empty.flat_target, empty.facets, empty.machine_planes) == (None, (), ())
    assert (empty.design_basins, empty.shortfalls, empty.slopes_reached, empty.standing_water) == ((),) * 4


@pytest.mark.parametrize(("goal_mm", "runs"), [(11, False), (12, True)])
def test_water_runs_where_the_goal_over_the_pad_makes_up_for_what_lacks_of_the_least_slope(goal_mm, runs):
    """Soil needs 1 %; 0.96 % over 30 m lacks 12 mm."""
    (reached,) = pad((0.0096, 0.0), "set surface soil", asked=(0.01, 0.0), goal=goal_mm * MM).slopes_reached
    assert reached.drains is runs


# -- what was asked, and what is there ----------------------------------------------------------------------


@pytest.mark.parametrize(("lacking_mm", "short"), [(9, False), (9.6, True)])
@pytest.mark.parametrize("side", [0, 1])
def test_a_slope_falls_short_by_more_than_the_goal_over_its_own_span(lacking_mm, short, side):
    """A goal of 9 mm: over 30 m away, or 20 m across, the shots may lack so much of what was asked and no more."""
    span = (30, 20)[side]
    asked = tuple(0.02 if at == side else 0.0 for at in (0, 1))
    rises = tuple(0.02 - lacking_mm / 1000 / span if at == side else 0.0 for at in (0, 1))
    spots = 3 if side == 0 else 2
    book = a_book(job=a_job(Unit.MM, 4, 3, step=MM // 10, length=30 * M, width=20 * M, goal=9 * MM))
    for index in range(12):
        row, column = divmod(index, 3)
        height = row * rises[0] * 10_000 + column * rises[1] * 10_000
        say(book, f"{book.job.grid.name(index)} {height:+.4f}")
    book.aim("0", "", *asked)
    summary = figures(book)
    assert [each.side for each in summary.shortfalls] == ([("along", "across")[side]] if short else [])
    (reached,) = summary.slopes_reached
    assert (reached.side, reached.asked, reached.short, reached.drains) == (
        ("along", "across")[side],
        0.02,
        short,
        True,
    )
    assert reached.reached == pytest.approx(0.02 - lacking_mm / 1000 / 10 / spots, rel=1e-6)


def test_each_plane_of_a_shape_is_judged_over_its_own_spans():
    """A crown along column B: on either side 30 m away and 10 m across. Its right side lies flat, its left as asked."""
    heights = [(0, 200, 200)] * 4
    book = a_book(job=a_job(Unit.MM, 4, 3, step=MM, length=30 * M, width=20 * M, goal=9 * MM))
    for row, line in enumerate(heights):
        for column, height in enumerate(line):
            say(book, f"{'ABC'[column]}{row + 1} {height:+d}")
    say(book, "target 0", "design crown B1 B4 2%")
    summary = figures(book)
    assert [(each.part, each.side) for each in summary.shortfalls] == [("right side", "across")]
    told = {each.part: (each.reached, each.short, each.drains) for each in summary.slopes_reached}
    assert told == {
        "left side": (pytest.approx(0.02), False, True),
        "right side": (pytest.approx(0.0, abs=1e-12), True, False),
    }
    for each in summary._asked:
        assert each.spans_m == pytest.approx((30, 10))


def test_a_crease_alone_tells_of_no_slope_beside_it():
    """Only column B and one spot of column A are shot: the right side has one column, the left one has two."""
    book = a_book(job=a_job(Unit.MM, 4, 3, step=MM, length=30 * M, width=20 * M))
    say(book, "A1 0", *(f"B{row} +200" for row in range(1, 5)), "target 0", "design crown B1 B4 2%")
    summary = figures(book)
    assert {each.part for each in summary._asked} == {"left side"}
    (left,) = summary._asked
    assert left.spans_m == pytest.approx((30, 10))
    assert left.reached == pytest.approx((0.0, 0.02))


# -- where it stands ----------------------------------------------------------------------------------------


def test_hollows_are_looked_for_only_where_a_slope_or_a_shape_was_asked():
    level = pad((0.02, 0.0), "B2 -50", "target 0")
    assert level.standing_water == ()
    sloping = pad((0.02, 0.0), "B2 -50", asked=(0.02, 0.0))
    (hollow,) = sloping.standing_water
    assert (hollow.spots, hollow.depth_m) == ((4,), pytest.approx(0.05)), "it runs off over the near line, at 0"
    shaped = pad((0.0, 0.0), "B2 -100", "target 0", "design crown B1 B4 2%")
    assert [each.spots for each in shaped.standing_water] == [(4,)]


def test_an_estimate_is_no_pond_but_a_design_holds_water_wherever_it_does():
    """B2 left out: the ground there is not known; a dish without a drain among the spots is one all the same."""
    summary = pad((0.02, 0.0), "B2 -500", "B2 out rut", asked=(0.02, 0.0))
    assert summary.standing_water == ()
    valley = pad((0.0, 0.0), "target 0", "design valley A2 C3 2%")
    assert valley.design_basins == ()
    assert np.isfinite(valley.target_heights).all()


def test_two_lines_and_two_columns_tell_of_a_plane():
    book = a_book(job=a_job(Unit.MM, 4, 3, step=MM, length=30 * M, width=20 * M))
    say(book, "A1 0", "B1 +200", "A2 0", "B2 +200", "target 0", "design crown B1 B4 2%")
    (left,) = figures(book)._asked
    assert left.part == "left side"
    assert left.spans_m == pytest.approx((10, 10))
    assert left.reached == pytest.approx((0.0, 0.02))


def test_of_a_pond_only_the_spots_that_were_shot_are_told():
    """B2 is left out and estimated from those around it, B3 lies half a metre low: the water over B3 is told."""
    summary = pad((0.0, 0.0), "B2 out rut", "B3 -500", "target 0", "design crown B1 B4 2%")
    assert summary.surface_m[1, 1] < 0.0, "B2 lies in the hollow too"
    assert [each.spots for each in summary.standing_water] == [(7,)]
