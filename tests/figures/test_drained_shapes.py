"""Water on shaped targets and on ground dug to them, against closed forms: crown, valley, ramp, dish and heights."""

from __future__ import annotations

from math import cos, hypot, radians, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodcall.figures.ground.drainage import basins
from rodcall.figures.summary import Summary
from rodcall.sheets.exports.figures_json import figures as as_json
from rodcall.sheets.exports.table import dirt_facts, target_facts
from rodcall.units import MM, M, Unit
from rodcall.wording import words
from rodcall.wording.layout import machine_lines
from rodcall.wording.proof import slope_words
from tests.kit import a_book, a_job, figures, say


def pad(*lines: str, along: int = 5, across: int = 5) -> Summary:
    """Spots 5 m apart on level ground, readings in millimetres."""
    job = a_job(Unit.MM, along, across, length=5 * (along - 1) * M, width=5 * (across - 1) * M)
    return figures(a_book("A1 0", *lines, job=job))


def dug(design: str, *off: str, along: int = 5, across: int = 5) -> Summary:
    """Ground that lies as a design asks, exactly, but where other readings are told; target chosen."""
    first = pad("target 0", f"design {design}", along=along, across=across)
    assert first.target_heights is not None
    job = a_job(Unit.MM, along, across, length=5 * (along - 1) * M, width=5 * (across - 1) * M)
    book = a_book("target 0", f"design {design}", job=job)
    told = {each.split()[0]: each for each in off}
    for index, nm in enumerate(first.target_heights.tolist()):
        name = first.grid.name(index)
        say(book, told.get(name, f"{name} {nm / MM:+.6f}" if nm else f"{name} 0"))
    return figures(book)


@pytest.mark.parametrize("design", ["crown C1 C5 2%", "valley C1 C5 2%", "ramp C2 C4 500mm", "dish C3 2%"])
def test_ground_that_lies_as_the_design_drains(design: str) -> None:
    summary = dug(design)
    assert summary.as_built.drains is True
    assert summary.as_built.basins == ()
    assert summary.design_basins == ()
    assert words.design_warnings(summary) == []


def test_a_crown_has_two_sides_that_fall_away_from_its_line() -> None:
    summary = dug("crown C1 C5 2%")
    left, right = sorted(summary.facets, key=lambda each: each.name)
    assert [(each.name, each.along, each.across) for each in (left, right)] == [
        ("left side", pytest.approx(0), pytest.approx(0.02)),
        ("right side", pytest.approx(0), pytest.approx(-0.02)),
    ]
    # Column C is the crease and lies on both.
    assert left.spots.sum() == right.spots.sum() == 15
    told = sorted(slope_words(each) for each in summary.as_built.slopes)
    assert told == [
        "left side, across: +2.00% of +2.00% agreed",
        "right side, across: -2.00% of -2.00% agreed",
    ]


@settings(max_examples=25, deadline=None)
@given(st.floats(0, 359), st.floats(0.001, 0.2), st.floats(-0.05, 0.05), st.floats(-0.05, 0.05))
def test_the_planes_are_the_design(bearing: float, fall: float, along: float, across: float) -> None:
    """At each spot of a plane the design rises from another spot of it by the plane's slopes times the distances."""
    away, right = cos(radians(bearing)), sin(radians(bearing))
    ends = [f"{10 + 3 * sign * away:.3f}m,{10 + 3 * sign * right:.3f}m" for sign in (-1, 1)]
    for design in (f"crown {' '.join(ends)} {100 * fall:.4f}%", f"ramp {' '.join(ends)} 300mm", f"dish {ends[0]} 3%"):
        summary = pad("target 0", f"design {design}")
        plane = summary.target
        assert plane is not None
        tilted = summary.with_target(type(plane)(plane.offset_nm, along, across, plane.shape))
        assert tilted.target_heights is not None
        heights = tilted.target_heights.reshape(5, 5) * 1e-9
        covered = np.zeros((5, 5), bool)
        for facet in tilted.facets:
            rows, columns = np.nonzero(facet.spots)
            flat = heights[rows, columns] - facet.along * tilted.along_m[rows] - facet.across * tilted.across_m[columns]
            assert np.ptp(flat) < 1e-6
            covered |= facet.spots
        assert covered.all()


def test_the_line_of_a_crown_may_run_across() -> None:
    names = {each.name: each.along for each in dug("crown A3 E3 2%").facets}
    assert names == {"near side": pytest.approx(0.02), "far side": pytest.approx(-0.02)}
    assert names == {each.name: each.along for each in dug("crown E3 A3 2%").facets}


def test_a_flat_side_is_told_and_a_ramps_level_parts_are_not() -> None:
    """US Army SDDC TEA and TI 804-11 (SEEN, in `drainage`): soil needs 1 %."""
    assert sorted(words.design_warnings(dug("crown C1 C5 0.5%"))) == [
        "left side: the design slopes 0.50%, soil needs 1% to drain",
        "right side: the design slopes 0.50%, soil needs 1% to drain",
    ]
    assert dug("crown C1 C5 0.5%").as_built.drains is False
    assert words.design_warnings(dug("ramp C2 C4 500mm")) == []
    assert words.design_warnings(dug("ramp C2 C4 50mm")) == ["ramp: the design slopes 0.50%, soil needs 1% to drain"]


def test_a_dish_drains_through_its_drain_and_nowhere_else() -> None:
    """2 % to C3 of 5 m spots: the ring next to it lies 100 mm above; without a drain it would fill to the edge."""
    summary = dug("dish C3 2%")
    assert summary.as_built.basins == ()
    ground = summary.surface_m
    (pond,) = basins(ground, np.ones((5, 5), bool))
    assert pond.depth_m == pytest.approx(0.2)
    # A hollow beside the drain holds water all the same.
    holed = dug("dish C3 2%", "B2 -220")
    (basin,) = holed.as_built.basins
    assert holed.names(basin.spots) == ["B2"]
    # A1 is the zero and C3 200 mm below it, B2 20 mm below that: it runs off to the drain when it stands 20 mm deep.
    assert basin.depth_m == pytest.approx(0.020)
    assert holed.as_built.drains is False


def test_a_drain_between_spots_is_the_four_around_it() -> None:
    summary = pad("target 0", "design dish 7.5m,7.5m 2%")
    assert summary.design_basins == ()
    assert dug("dish 7.5m,7.5m 2%").as_built.basins == ()


def test_a_valley_that_rises_at_its_ends_holds_water_and_says_where() -> None:
    """Heights with a low spot 30 mm below its lowest neighbour, which is 10 mm high."""
    heights = np.full((5, 5), 100)
    heights[1:4, 1:4] = 10
    heights[2, 2] = -20
    heights[0, 2] = 40
    job = a_job(Unit.MM, 5, 5, length=20 * M, width=20 * M)
    book = a_book("A1 0", job=job)
    book.aim_by_heights([int(each) * MM for each in heights.ravel()], "+100")
    summary = figures(book)
    (basin,) = summary.design_basins
    # Full to the lip at C1, 40 mm: 60 mm over C3.
    assert basin.depth_m == pytest.approx(0.060)
    assert summary.grid.name(basin.spills_at) == "C1"
    told = words.warnings(summary)
    assert "the design holds water at B2 C2 D2 B3 C3 D3 B4 C4 D4, 60 deep at C3; it runs off over C1" in told
    assert any("the design holds water" in value for _, value in dirt_facts(summary))
    assert as_json(summary)["design_ponds"][0]["runs_off_over"] == "C1"


def test_shots_that_fall_short_of_one_side_are_told_of_that_side() -> None:
    """The right side lies level: nothing of its 2 % is reached."""
    flat = [f"{letter}{line} +200" for letter in "DE" for line in range(1, 6)]
    summary = dug("crown C1 C5 2%", *flat)
    assert [(each.part, each.side) for each in summary.shortfalls] == [("right side", "across")]
    assert summary.as_built.drains is False
    assert any(line.startswith("slope right side, across:") for line in words.warnings(summary))
    sides = {(each["part"], each["short"]) for each in as_json(summary)["slopes"]}
    assert sides == {("left side", False), ("right side", True)}


def test_what_the_machine_takes_for_each_plane() -> None:
    """A crown of 2 % along C, told at A1 as the zero: C lies 200 mm above A and E; the nearest spot to A1 is in C."""
    summary = dug("crown C1 C5 2%")
    planes = {plane.facet.name: (summary.grid.name(plane.at), plane.height_nm) for plane in summary.machine_planes}
    assert planes == {"left side": ("A1", 0), "right side": ("C1", 200 * MM)}
    lines = machine_lines(summary, 0)
    assert "right side: falls 2.00% to the right; grade at C1, zeroed on ZERO +200 mm (grade is above)" in lines
    planes_told = [value for name, value in target_facts(summary) if name == "plane"]
    assert len(planes_told) == 2
    assert set(planes_told) <= set(lines)
    assert {each["plane"]: each["across"] for each in as_json(summary)["planes"]} == {
        "left side": pytest.approx(0.02),
        "right side": pytest.approx(-0.02),
    }


def test_the_slope_of_a_plane_is_its_steepest() -> None:
    for facet in pad("target 0", "design crown A1 E5 2%").facets:
        assert facet.slope == pytest.approx(hypot(facet.along, facet.across))
        assert facet.slope == pytest.approx(0.02)


def test_heights_have_no_planes() -> None:
    book = a_book("A1 0", job=a_job(Unit.MM, 3, 3))
    book.aim_by_heights([0, 10 * MM, 0] * 3, "0")
    assert figures(book).facets == ()
    assert any("a height for each spot and no planes" in line for line in machine_lines(figures(book), 0))
