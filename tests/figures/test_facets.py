"""The planes of a shaped target, spot by spot: which lie on each, creases on both, and where a drain is."""

from __future__ import annotations

import numpy as np
import pytest

from rodcall.figures.earthwork.facets import drain_of
from rodcall.figures.summary import Summary
from rodcall.figures.target import Plane
from rodcall.units import MM, M, Unit
from tests.kit import a_book, a_job, figures


def shaped(design: str, *lines: str, **slopes: float) -> Summary:
    """5 lines and 4 columns 5 m apart."""
    job = a_job(Unit.MM, 5, 4, length=20 * M, width=15 * M, **slopes)
    return figures(a_book("A1 0", *lines, "target 0", f"design {design}", job=job))


def drawn(summary: Summary) -> dict[str, list[str]]:
    return {
        each.name: ["".join("#" if spot else "." for spot in line) for line in each.spots] for each in summary.facets
    }


def test_a_ramps_foot_and_head_lie_on_two_planes_each():
    """Level to line 2, rising over lines 2 to 4, level from there: 300 mm over 10 m."""
    summary = shaped("ramp B2 B4 300mm")
    assert drawn(summary) == {
        "foot of the ramp": ["####", "####", "....", "....", "...."],
        "ramp": ["....", "####", "####", "####", "...."],
        "head of the ramp": ["....", "....", "....", "####", "####"],
    }
    rises = {each.name: (each.along, each.across, each.sheds) for each in summary.facets}
    assert rises == {
        "foot of the ramp": (0.0, 0.0, False),
        "ramp": (pytest.approx(0.03), pytest.approx(0.0), True),
        "head of the ramp": (0.0, 0.0, False),
    }


def test_a_dish_has_four_sides_that_meet_in_the_diagonals_through_its_drain():
    """The drain at C2, 5 m away and 10 m across: the near side is its own line and the corner between the diagonals."""
    summary = shaped("dish C2 1%")
    assert drawn(summary) == {
        "near side": [".###", "..#.", "....", "....", "...."],
        "far side": ["....", "..#.", ".###", "####", "####"],
        "left side": ["##..", "###.", "##..", "#...", "...."],
        "right side": ["...#", "..##", "...#", "....", "...."],
    }
    assert all(each.sheds for each in summary.facets)
    rises = {each.name: (each.along, each.across) for each in summary.facets}
    assert rises == {
        "near side": (-0.01, 0.0),
        "far side": (0.01, 0.0),
        "left side": (0.0, -0.01),
        "right side": (0.0, 0.01),
    }


def test_the_targets_own_slopes_count_and_what_is_no_pad_does_not():
    summary = shaped("crown C1 C5 2%", "B2 not pad tank", slope_along=0.01, slope_across=0.005)
    found = {each.name: (each.along, each.across) for each in summary.facets}
    assert found == {
        "left side": (pytest.approx(0.01), pytest.approx(0.025)),
        "right side": (pytest.approx(0.01), pytest.approx(-0.015)),
    }
    assert drawn(summary)["left side"] == ["###.", "#.#.", "###.", "###.", "###."]
    assert drawn(summary)["right side"] == ["..##"] * 5


@pytest.mark.parametrize(
    ("design", "names"),
    [
        ("crown B1 B5 2%", {"left side": 0.02, "right side": -0.02}),
        ("crown B5 B1 2%", {"left side": 0.02, "right side": -0.02}),
        ("valley B5 B1 2%", {"left side": -0.02, "right side": 0.02}),
        # At 45 degrees: 2 % over the root of 2 across, and as much along; left and right go first.
        ("crown A1 D4 2%", {"left side": 0.02 / 2**0.5, "right side": -0.02 / 2**0.5}),
        ("crown D1 A4 2%", {"left side": 0.02 / 2**0.5, "right side": -0.02 / 2**0.5}),
    ],
)
def test_the_sides_of_a_line_are_called_as_they_lie(design, names):
    assert {each.name: pytest.approx(each.across) for each in shaped(design).facets} == names


@pytest.mark.parametrize(
    ("place", "spots"),
    [
        ("C2", ["C2"]),
        ("B4", ["B4"]),
        ("7.5m,12.5m", ["C2", "D2", "C3", "D3"]),
        ("6m,11m", ["C2"]),
        ("5m,7.5m", ["B2", "C2"]),
    ],
)
def test_a_drain_is_at_the_spots_nearest_to_it(place, spots):
    summary = shaped(f"dish {place} 1%")
    assert summary.names(np.flatnonzero(drain_of(summary.target, summary.grid))) == spots
    assert not drain_of(Plane(0), summary.grid).any()


@pytest.mark.parametrize(("zero", "left", "right"), [("A1", "A1", "C1"), ("D3", "C3", "D3"), ("B5", "B5", "C5")])
def test_the_machine_takes_each_plane_at_its_spot_nearest_to_the_zero(zero, left, right):
    """Column C stands 200 mm above A, 100 mm above B and D; heights are told at the zero."""
    summary = shaped("crown C1 C5 2%", *((f"{zero} 0", f"zero {zero}") if zero != "A1" else ()))
    found = {each.facet.name: (summary.grid.name(each.at), each.height_nm) for each in summary.machine_planes}
    above = {"A": 0, "B": 100, "C": 200, "D": 100}
    told = {
        name: (spot, (above[spot[0]] - above[zero[0]]) * MM)
        for name, spot in (("left side", left), ("right side", right))
    }
    assert found == told
