"""A part of the pad with a tolerance of its own: where it is, what is out there, and the verdict."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from rodcall.book.book import Book
from rodcall.book.entry_lines import DictationError
from rodcall.book.storage.opening import JobFile
from rodcall.figures.punch_list import Kind, Verdict
from rodcall.figures.summary import Summary
from rodcall.sheets.exports.data_table import to_data_csv
from rodcall.sheets.exports.figures_json import figures as as_json
from rodcall.sheets.exports.table import proof_facts, result_facts
from rodcall.sheets.make import Output, Reader, kind_of, make
from rodcall.units import FOOT, INCH, MM, M, Unit
from rodcall.wording.punch_list import item_words
from tests.kit import a_book, a_job, figures, say

FLAT = tuple(f"{letter}{line} 0" for line in range(1, 5) for letter in "ABC")
TIGHT = ("set zone B2:C3", "set zone-high 1/4in", "set zone-low 1/4in")


def inside(*lines: str, **known: object) -> list[str]:
    """The positions of the zone, by name; the pad is 60 x 40 ft with spots 20 ft apart."""
    summary = figures(a_book("A1 0", *lines, "set zone-high 1/4in", job=a_job(**known)))
    return summary.names(np.flatnonzero(summary.zone.inside)) if summary.zone is not None else []


@pytest.mark.parametrize(
    ("said", "names"),
    [
        ("B2:C3", ["B2", "C2", "B3", "C3"]),
        ("C3:B2", ["B2", "C2", "B3", "C3"]),
        ("20ft,0ft:40ft,20ft", ["A2", "B2", "A3", "B3"]),
        ("19.9ft,1ft:40ft,20ft", ["B2", "B3"]),
        ("inset 20ft", ["B2", "B3"]),
        ("inset 1in", ["B2", "B3"]),
        ("A1:C4", [f"{letter}{line}" for line in range(1, 5) for letter in "ABC"]),
        ("inset 21ft", []),
        ("footprint", []),
    ],
)
def test_where_it_is(said: str, names: list[str]) -> None:
    assert inside(f"set zone {said}") == names


def test_the_footprint_may_be_the_zone_and_moves_with_its_margins() -> None:
    margins = ("set margin-near 20ft", "set margin-far 20ft", "set margin-left 20ft", "set margin-right 0ft")
    assert inside(*margins, "set zone footprint") == ["B2", "C2", "B3", "C3"]
    assert inside(*margins[1:], "set margin-near 0ft", "set zone footprint") == ["B1", "C1", "B2", "C2", "B3", "C3"]


def test_on_a_pad_inset_from_its_edges_margins_run_from_the_edge() -> None:
    """Spots begin 5 ft in: 25 ft from the near edge and 3 ft from the left one are 20 ft along, 2 ft left of A1."""
    summary = figures(a_book("A1 0", "set zone inset 3ft", "set zone-high 1/4in", job=a_job(inset=5 * FOOT)))
    assert summary.zone is not None
    assert summary.zone.rectangle == tuple(feet * FOOT for feet in (-2, 52, -2, 32))
    margins = (f"set margin-{side} {feet}ft" for side, feet in (("near", 25), ("far", 0), ("left", 3), ("right", 1)))
    book = a_book("A1 0", *margins, "set zone footprint", "set zone-high 1/4in", job=a_job(inset=5 * FOOT))
    assert figures(book).zone.rectangle == tuple(feet * FOOT for feet in (20, 55, -2, 34))


@pytest.mark.parametrize("said", ["B2:C4", "C4:B2", "B4:C2", "C2:B4"])
def test_a_zone_from_corner_to_corner_has_its_sides_by_whichever_they_are(said: str) -> None:
    """Spots lie 20 ft apart: lines 2 to 4 are 20 to 60 ft away, columns B and C 20 to 40 ft across."""
    zone = figures(a_book("A1 0", f"set zone {said}", "set zone-high 1/4in")).zone
    assert zone.rectangle == tuple(feet * FOOT for feet in (20, 60, 20, 40))
    assert zone.beyond == {0, 1, 2, 3, 6, 9}


def test_there_is_no_zone_without_a_place_or_without_a_tolerance_of_its_own() -> None:
    assert figures(a_book("A1 0", "set zone A1:B2")).zone is None
    assert figures(a_book("A1 0", "set zone-high 1/4in")).zone is None
    edge = "outline 0ft,0ft 0ft,40ft 60ft,40ft 60ft,0ft"
    assert inside(edge, "set zone footprint") == [], "no margins were said"


def test_not_pad_is_in_no_zone() -> None:
    assert inside("B2 not pad stump", "set zone A1:B3") == ["A1", "B1", "A2", "A3", "B3"]


@settings(max_examples=30, deadline=None)
@given(st.floats(0.2, 4.0), st.integers(0, 359))
def test_in_from_an_outline_is_shapelys_distance(inset: float, turn: int) -> None:
    """An L, turned about by nothing but its corners' order; distances by shapely (COMPUTED)."""
    corners = [(0, 0), (0, 10), (10, 10), (10, 20), (20, 20), (20, 0)]
    corners = corners[turn % 6 :] + corners[: turn % 6]
    job = a_job(Unit.MM, 21, 21, length=20 * M, width=20 * M)
    said = " ".join(f"{out}m,{right}m" for out, right in corners)
    book = a_book("U21 0", f"outline {said}", f"set zone inset {inset:.3f}m", "set zone-high 5mm", job=job)
    summary = figures(book)
    ring = Polygon(corners)
    edge = LineString([*corners, corners[0]])
    for index in range(summary.grid.size):
        row, column = divmod(index, 21)
        place = Point(row, column)
        wanted = ring.covers(place) and edge.distance(place) >= round(inset, 3) - 1e-9
        assert (summary.zone is not None and bool(summary.zone.inside[index])) == wanted


@pytest.mark.parametrize(
    "said", ["B2:Z9", "B2:D4", "99ft,0ft:5ft,5ft", "inset", "inset 0ft", "inset x", "B2", "nowhere"]
)
def test_what_is_no_part_of_the_pad_is_refused_and_nothing_is_written(said: str) -> None:
    book = a_book("A1 0")
    with pytest.raises(DictationError) as refused:
        say(book, f"set zone {said}")
    assert "\n" not in str(refused.value)
    assert len(book.entries) == 1


# -- what follows -------------------------------------------------------------------------------------------


def shot(*more: str, zone: tuple[str, ...] = TIGHT) -> Book:
    """All spots half an inch low of a target half an inch high, in the final round: within 1 in, beyond 1/4 in."""
    return a_book(*zone, "A1 0", "target 1/2in high", "round final", *FLAT, *more)


def test_a_spot_is_out_by_the_limits_where_it_lies() -> None:
    summary = figures(shot())
    assert summary.names(summary.outside) == ["B2", "C2", "B3", "C3"]
    assert summary.verdict is Verdict.FAIL
    assert summary.as_built.zone is not None
    assert summary.as_built.zone.verdict is Verdict.FAIL
    assert figures(shot(zone=())).outside == ()


def test_equal_to_the_zones_limit_is_inside_and_one_mark_more_is_out() -> None:
    """The absolute method of ASTM E29, as everywhere."""
    spots = [f"{spot} +1/4" for spot in ("B2", "C2", "B3", "C3")]
    exact = a_book(*TIGHT, "A1 0", "target 1/2in high", "round final", *spots)
    assert figures(exact).outside == ()
    say(exact, "A1 0", "strike B2", "B2 +15/64")
    assert figures(exact).names(figures(exact).outside) == ["B2"]


def test_the_crews_own_limit_is_never_wider_than_the_zones() -> None:
    summary = figures(shot())
    assert summary.job.goal == INCH // 2
    assert summary.within_goal == 8
    assert summary.names(np.flatnonzero(summary.near_enough)) == [
        name for name in summary.grid.names if name not in ("B2", "C2", "B3", "C3")
    ]


@settings(max_examples=30, deadline=None)
@given(st.lists(st.integers(-16, 16), min_size=12, max_size=12), st.integers(0, 8), st.integers(0, 8))
def test_counts_worst_and_chart_agree_with_a_loop(eighths: list[int], high: int, low: int) -> None:
    names = [f"{letter}{line}" for line in range(1, 5) for letter in "ABC"]
    lines = [f"{name} {each / 8:+}in" if each else f"{name} 0" for name, each in zip(names, eighths, strict=True)]
    zone = ("set zone B2:C3", f"set zone-high {high / 8}in", f"set zone-low {low / 8}in")
    summary = figures(a_book("A1 0", "strike A1", *zone, *lines, "target 0"))
    excess = {}
    for name, each in zip(names, eighths, strict=True):
        above, below = (high, low) if name in ("B2", "C2", "B3", "C3") else (8, 8)
        excess[name] = max(each - above, -below - each)
    out = [name for name in names if excess[name] > 0]
    assert summary.names(summary.outside) == out
    assert summary.out_at([0]) == [len(out)]
    assert summary.worst is not None
    assert excess[summary.grid.name(summary.worst.index)] == max(excess.values())
    assert summary.within_tolerance == 12 - len(out)
    assert summary.zone_part is not None
    assert summary.names(summary.zone_part.outside) == [name for name in out if name in ("B2", "C2", "B3", "C3")]


def test_rounds_and_too_close_to_call_go_by_the_zones_limits() -> None:
    summary = figures(shot())
    assert (summary.tallies()[-1].outside, summary.tallies()[-1].inside) == (4, 8)
    near = figures(shot("strike B2", "B2 1/4 high"))
    assert near.grid.index("B2") in near.marginal
    assert near.grid.index("B2") not in figures(shot("strike B2", "B2 1/4 high", zone=())).marginal


# -- nobody is talked round ---------------------------------------------------------------------------------


def widened(book: Book) -> list[str]:
    summary = figures(book)
    return [item_words(summary, item) for item in summary.punch_list.of(Kind.LIMIT_WIDENED)]


def test_a_zone_that_is_widened_or_moved_after_the_first_shot_is_open() -> None:
    book = shot()
    say(book, "set zone-high 1/2in")
    assert widened(book) == ["zone-high widened after the first shot, from 1/4 to 1/2"]
    say(book, "set zone-high 1/2in because gravel on top", "set agreed-by the customer")
    assert widened(book) == []
    moved = shot("set zone A1:B2")
    assert widened(moved) == ["zone moved after the first shot, from B2:C3 to A1:B2"]
    say(moved, "set zone A1:B2 because staked again", "set agreed-by the customer")
    assert widened(moved) == []


def test_a_first_zone_tighter_than_the_pad_needs_no_reason() -> None:
    book = shot(*TIGHT, zone=())
    assert widened(book) == []
    assert figures(book).verdict is Verdict.FAIL
    assert widened(shot("set zone B2:C3", "set zone-high 2in", zone=())) != []


def test_a_zone_off_the_pad_keeps_a_smaller_count_from_being_mended() -> None:
    with pytest.raises(DictationError, match="strike entry 1 first"):
        say(a_book(*TIGHT, "A1 0"), "fact count 2x2")


def test_it_stays_on_its_ground_where_lines_are_added_at_the_near_edge() -> None:
    book = shot()
    say(book, "fact add lines near 5ft")
    summary = figures(book)
    assert summary.zone is not None
    assert summary.names(np.flatnonzero(summary.zone.inside)) == ["B3", "C3", "B4", "C4"]


# -- where it shows -----------------------------------------------------------------------------------------


def test_scripts_have_it() -> None:
    told = as_json(figures(shot()))
    assert told["zone"] == {
        "where": "B2:C3",
        "high_mm": 6.35,
        "low_mm": 6.35,
        "positions": 4,
        "counted": 4,
        "outside": ["B2", "C2", "B3", "C3"],
        "verdict": "FAIL",
    }
    assert as_json(figures(shot(zone=())))["zone"] is None
    rows = list(csv.DictReader(io.StringIO(to_data_csv(figures(shot())))))
    assert {row["position"]: row["limit_low_mm"] for row in rows}["B2"] == "6.35"
    assert {row["position"]: row["limit_low_mm"] for row in rows}["A1"] == "25.4"


def test_the_sheet_and_its_facts_have_it(tmp_path: Path) -> None:
    book = shot()
    summary = figures(book)
    facts = dict(result_facts(summary))
    assert facts["zone"] == 'B2:C3: 1/4" high, 1/4" low'
    assert facts["in the zone"] == "4 positions, 4 shot, 0 in tolerance"
    assert ("zone alone", "FAIL") in proof_facts(summary)
    file = JobFile(tmp_path / "pad.json", book)
    for reader in Reader:
        sheet = make(file, kind_of(Path("pad.txt"), Output.AS_BUILT), Output.AS_BUILT, reader=reader).content.decode()
        assert "B2:C3" in sheet
    page = make(file, kind_of(Path("pad.html"), Output.AS_BUILT), Output.AS_BUILT).content.decode()
    assert "dashed: the zone B2:C3" in page


def test_files_without_a_zone_are_as_they_were() -> None:
    plain: Summary = figures(a_book(*FLAT))
    assert plain.zone is None
    assert plain.limits.high_nm.tolist() == [plain.tolerance.high_nm] * 12
    assert plain.crew_limits.low_nm.tolist() == [plain.job.goal] * 12


def test_units() -> None:
    summary = figures(a_book("A1 0", "set zone 0m,0m:3m,3m", "set zone-low 5mm", job=a_job(Unit.MM, length=30 * M)))
    assert summary.zone is not None
    assert (summary.zone.tolerance.low_nm, summary.zone.tolerance.high_nm) == (5 * MM, summary.tolerance.high_nm)
    assert summary.grid.length > 60 * FOOT


def test_a_zone_in_a_footprint_lies_in_from_each_side_by_its_own_margin():
    """Lines at 0, 20, 40, 60 ft, columns at 0, 20, 40: 5 ft near and 25 far, 10 left and 15 right leave B2 alone."""
    margins = {"near": 5, "far": 25, "left": 10, "right": 15}
    book = a_book(
        *(f"set margin-{side} {feet}ft" for side, feet in margins.items()),
        "set zone footprint",
        "set zone-high 1/4in",
        "A1 0",
    )
    zone = figures(book).zone
    assert np.flatnonzero(zone.inside).tolist() == [4]
    assert zone.rectangle == (5 * FOOT, 35 * FOOT, 10 * FOOT, 25 * FOOT)
    say(book, "set margin-far 20ft", "set margin-right 0ft")
    assert np.flatnonzero(figures(book).zone.inside).tolist() == [4, 5, 7, 8]
