"""The verdict: every combination of what was shot, where it lies, what was checked, and what is suspect."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from rodcall.book.model.entries import Remedy
from rodcall.figures.ground.drainage import Basin, basins
from rodcall.figures.punch_list import Doubts, Kind, Verdict
from rodcall.figures.summary import summarise
from rodcall.i18n import speaking
from rodcall.sheets.exports.figures_json import figures as as_json
from rodcall.sheets.exports.table import figures_text
from rodcall.units import INCH, MM, M, Unit
from rodcall.wording.punch_list import reasons
from tests.kit import a_book, a_job, figures, say

COVERAGE = ("all shot", "unshot", "left out", "estimated")
PLACES = {"inside": "+1/4", "on the limit": "-1/2", "outside": "+5/8"}
"""Of one spot, above a target of 0 with 1/2 in allowed; the others are on it. None is so far off as not to fit."""
CHECKS = {
    "good": ["check BM1 +1"],
    "late": [],
    "missing": [],
    "bad": ["check BM1 +2"],
    "repeat": ["check BM1 +1-1/4"],
}
"""What is checked after the last shot."""
SUSPECT = (False, True)


def pad(coverage: str, place: str, check: str, suspect: bool):
    """A pad of 3 x 3; B2, in the middle, is the spot that is not simply shot, C3 the one that is in or out."""
    first = ["A1", "B1", "C1"]
    rest = [name for name in ("A2", "B2", "C2", "A3", "B3") if coverage == "all shot" or name != "B2"]
    job = a_job(Unit.IN, along=3, across=3, tolerance_high=INCH // 2, tolerance_low=INCH // 2)
    book = a_book("reference BM1 high 1", "target 0", "round final", job=job)
    if coverage == "estimated":
        # It was shot and then left out: its neighbours all around stand in, and would have it inside.
        rest = ["B2", *rest]
    say(book, *(f"{name} 0" for name in first))
    if suspect and check != "missing":
        say(book, "check BM1 +2", "check BM1 +2", "check BM1 +1")
    elif check == "late":
        say(book, "check BM1 +1")
    say(book, *(f"{name} 0" for name in rest), f"C3 {PLACES[place]}")
    if coverage in ("left out", "estimated"):
        say(book, "B2 out a rut")
    if suspect and check == "missing":
        # Nothing was checked in the round itself; a bad check at the start of the next one reaches back into it.
        say(book, "round working", "check BM1 +2", "A1 0")
    say(book, *CHECKS[check])
    return book


def expected(coverage: str, place: str, check: str, suspect: bool) -> tuple[Verdict, set[Kind]]:
    """The table of the punch list, written out again: FAIL when one lies outside; PASS when nothing is open."""
    reasons = set()
    if place == "outside":
        reasons.add(Kind.OUT)
    if coverage == "unshot":
        reasons.add(Kind.NOT_SHOT)
    if coverage in ("left out", "estimated"):
        reasons.add(Kind.LEFT_OUT)
    if check == "late" or (check == "missing" and not suspect):
        reasons.add(Kind.NO_CHECK)
    if check == "repeat":
        reasons.add(Kind.CHECK_AGAIN)
    if check == "bad":
        reasons.add(Kind.BAD_CHECK)
    # Those before the first bad check, or all of them when the last one is bad with no good one between.
    if suspect or check == "bad":
        reasons.add(Kind.SUSPECT)
    if place == "outside":
        return Verdict.FAIL, reasons
    return (Verdict.NOT_PROVEN if reasons else Verdict.PASS), reasons


@pytest.mark.parametrize(("coverage", "place", "check", "suspect"), product(COVERAGE, PLACES, CHECKS, SUSPECT))
def test_truth_table(coverage, place, check, suspect):
    """All combinations of what was shot, where it lies and what was checked."""
    # Which readings do not fit is tested elsewhere.
    listed = summarise(pad(coverage, place, check, suspect).page, 2).punch_list_knowing(Doubts())
    verdict, kinds = expected(coverage, place, check, suspect)
    # How well the pad is known is judged once all is shot and checked, and tested elsewhere.
    assert {item.kind for item in listed.items} - {Kind.PLUS_MINUS} == kinds
    assert listed.verdict is verdict


def test_only_one_in_the_table_passes_but_for_the_place():
    passed = [case for case in product(COVERAGE, PLACES, CHECKS, SUSPECT) if expected(*case)[0] is Verdict.PASS]
    assert passed == [("all shot", "inside", "good", False), ("all shot", "on the limit", "good", False)]


def test_reasons_in_words():
    book = a_book("reference BM1 high 1", "target 0", "A1 +3", "check BM1 +1-3/8", job=a_job(along=2, across=2))
    assert reasons(figures(book), figures(book).punch_list) == [
        "1 spot out of tolerance: A1",
        "BM1 reads 3/8 HIGH: 1/8 allowed",
        "1 suspect shot (BM1 reads 3/8 HIGH): A1",
        "3 spots not shot: B1 B2 A2",
        "no final round yet",
        "spots 60' 0\" apart, 50' 0\" allowed",
    ]


def test_a_list_that_was_drawn_up_before_is_said_in_the_language_that_is_spoken_now():
    book = a_book("reference BM1 high 1", "target 0", "A1 +3", "check BM1 +1-3/8", job=a_job(along=2, across=2))
    summary = figures(book)
    listed = summary.punch_list
    english = reasons(summary, listed)
    with speaking("es"):
        assert reasons(summary, listed)[:4] == [
            "1 punto fuera de tolerancia: A1",
            "BM1 lee 3/8 ALTO: se admite 1/8",
            "1 lectura sospechosa (BM1 lee 3/8 ALTO): A1",
            "3 puntos no leídos: B1 B2 A2",
        ], "by the glossary that was agreed with the crew"
    assert reasons(summary, listed) == english


def test_a_kept_suspect_stays_on_the_list_until_it_is_shot_again():
    book = pad("all shot", "inside", "good", suspect=True)
    book.decide(Remedy.KEEP, book.page.checks[0], "the rod was misread")
    assert [item.kind for item in figures(book).punch_list.items] == [Kind.SUSPECT_ACCEPTED]
    say(book, "A1 0", "B1 0", "C1 0", "check BM1 +1")
    assert figures(book).verdict is Verdict.PASS


def test_goal_footprint_and_pad_are_judged_apart():
    """Apron out of tolerance, footprint within it but not all within the goal."""
    job = a_job(Unit.MM, along=4, across=4, length=9 * M, width=9 * M, goal=5 * MM)
    book = a_book(
        "reference B high 0",
        "target 0",
        "round final",
        *(f"{name} {({'A1': '+40', 'B2': '+6'}).get(name, '0')}" for name in job.grid.names),
        job=job,
    )
    say(book, *(f"set margin-{side} 2m" for side in ("near", "far", "left", "right")), "check B 0")
    built = figures(book).as_built
    assert built.pad.verdict is Verdict.FAIL
    assert built.footprint is not None
    names = figures(book).names
    assert names(built.pad_goal.of(Kind.OUT)[0].spots) == ["A1", "B2"]
    assert built.footprint.verdict is Verdict.PASS
    assert names(built.footprint_goal.of(Kind.OUT)[0].spots) == ["B2"]
    assert figures(book).punch_list == built.pad


def sloped(reached: float, *lines: str):
    """3 x 4 spots over 30 m that should rise 1 % away, and rise by so much."""
    job = a_job(Unit.MM, along=4, across=3, length=30 * M, width=20 * M, slope_along=0.01, goal=10 * MM)
    shots = [f"{column}{row} {reached * (row - 1) * 10_000:+.0f}" for row in range(1, 5) for column in "ABC"]
    return figures(a_book(*shots, *lines, job=job)).as_built


def test_slope_reached_against_the_slope_asked():
    (slope,) = sloped(0.01).slopes
    assert (slope.side, slope.short, slope.drains) == ("along", False, True)
    assert slope.reached == pytest.approx(0.01)
    assert sloped(0.01).drains
    assert sloped(0.005).slopes[0].short
    assert not sloped(0.005).drains, "soil needs 1 %"
    assert sloped(0.005, "set surface concrete").drains, "concrete needs half of it"
    assert not sloped(0.0001).drains, "flat ground stands under water"
    assert not sloped(-0.01).drains, "the wrong way"


def test_a_hollow_holds_water():
    assert sloped(0.01, "B2 -50").ponds == (4,)
    assert not sloped(0.01, "B2 -50").drains


def test_a_hollow_is_told_though_no_slope_can_be():
    """Shots on one line of a crowned pad tell of no slope beside it, but a hollow on the line holds water."""
    hollow = Basin((4,), 4, 0.05, 1)
    built = replace(sloped(0.01), slopes=(), basins=(hollow,))
    assert built.drains is False
    assert replace(built, basins=()).drains is None


def test_where_no_slope_was_asked_nothing_is_said_of_draining():
    built = figures(a_book("A1 0", "target 0")).as_built
    assert built.slopes == ()
    assert built.drains is None


def test_an_estimate_and_an_edge_are_no_pond():
    heights = np.ones((3, 3))
    heights[1, 1] = 0
    shot = np.ones((3, 3), bool)
    assert [basin.spots for basin in basins(heights, shot)] == [(4,)]
    assert basins(heights, ~shot) == ()
    assert basins(heights[:2], shot[:2]) == ()
    assert basins(-heights, shot) == ()


def test_a_moved_away_tripod_does_not_undo_an_earlier_round():
    """The verdict of a round that is over is the one it had."""
    book = pad("all shot", "inside", "good", suspect=False)
    say(book, "round working", "A1 -3")
    assert summarise(book.page, 2).verdict is Verdict.PASS


def test_the_promised_keys_and_the_text_say_the_same():
    """shell.md: doubt_mm, marginal, checks, suspect, verdict, reasons."""
    book = a_book("reference BM1 high 1", "target 0", "A1 0", "B1 +1", "check BM1 +1-3/8", job=a_job(along=2, across=2))
    told = as_json(figures(book))
    assert set(told["doubt_mm"]) == {"A1", "B1"}
    assert told["marginal"] == ["B1"]
    assert told["checks"] == [{"n": 5, "reference": "BM1", "drift_mm": 9.525, "state": "stop"}]
    assert told["suspect"] == ["A1", "B1"]
    assert told["verdict"] == "NOT PROVEN"
    assert told["goal_verdict"] == "FAIL"
    assert [item["item"] for item in told["punch_list"]][:3] == ["bad check", "suspect", "not shot"]
    assert told["next"] == {"do": "check again", "at": "BM1"}
    target = next(entry for entry in book.entries if entry.kind == "target")
    assert told["agreed"] == [
        {
            "what": "target",
            "said": "0",
            "value_mm": 0.0,
            "n": 2,
            "tablet": "tablet-a",
            "why": "",
            "time": target.time.isoformat(),
        }
    ]
    assert told["guarded"] == {"proven_in": ["A1"], "proven_out": [], "neither": ["B1"]}
    text = figures_text(figures(book))
    assert "BM1 reads 3/8 HIGH, BAD" in text
    assert "too close to call: B1" in text
    assert all(reason in text for reason in told["reasons"])
