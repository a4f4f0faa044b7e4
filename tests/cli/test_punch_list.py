"""Each kind of item on the punch list, through the shell: what puts it there, and what takes it off, down to PASS.

The kinds are those of the table in the punch list's own paper; how long a step may be and what is allowed are the
defaults that are tested where they are defined.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from rodcall.figures.punch_list import Kind
from tests.cli.punch_kit import (
    AGREED,
    CHECK,
    HEIGHTS,
    HONEST,
    NAMES,
    ROD,
    ROD_AGREED,
    ROD_CHECK,
    ROD_SHOTS,
    SHOTS,
    WITHOUT_B2,
    begin,
    enter,
    figures,
    items,
    kinds,
    verdict,
)

WALKED = ("A1", "B1", "C1", "C2", "B2", "A2", "A3", "B3", "C3", "C4", "B4", "A4")
"""The spots in walking order from A1; a second round begins at the end where the helper stands."""
FAR_SIDE = tuple(f"{name} 5.5{at % 3}" for at, name in enumerate(NAMES))
"""The rod pad by a level half a foot lower, carried on over TP1."""
TURN = ("turn TP1 5.00", "setup TP1 4.50")


@dataclass(frozen=True)
class Case:
    """An item: the lines that put it on the list, and those that take it off."""

    lines: tuple[str, ...]
    clearing: tuple[str, ...]
    at: tuple[str, ...] = ()
    opened_by: int | None = None
    clears: str = ""
    next_up: tuple[str, str | None] = ("punch list", None)
    new: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    """What else is on the list meanwhile."""
    then: str = "NOT PROVEN"
    """The verdict meanwhile."""


CASES = {
    Kind.OUT: Case(
        (*AGREED, *WITHOUT_B2, "B2 +1-1/8", CHECK),
        ("B2 0", "B2 0", CHECK),
        ("B2",),
        15,
        "dig or fill, then read the spot in this round",
        ("read again", "B2"),
        beside=(Kind.DOES_NOT_FIT,),
        then="FAIL",
    ),
    Kind.NO_BACKSIGHT: Case(
        ROD_AGREED[:-1],
        (ROD_AGREED[-1], *ROD_SHOTS, ROD_CHECK),
        (),
        None,
        "read the backsight",
        ("backsight", "BM1"),
        new=ROD,
        beside=(Kind.NOT_SHOT,),
    ),
    Kind.BAD_CHECK: Case(
        (*AGREED, *SHOTS, "check BM1 +4-3/8"),
        (CHECK,),
        ("BM1",),
        16,
        "read BM1 again, do not touch the level",
        ("check again", "BM1"),
        beside=(Kind.SUSPECT,),
    ),
    Kind.SUSPECT: Case(
        (*AGREED, *SHOTS[:6], CHECK, *SHOTS[6:], "check BM1 +4-3/8", "check BM1 +4-3/8", CHECK),
        (*SHOTS[6:], CHECK),
        ("A3", "B3", "C3", "C4", "B4", "A4", "BM1"),
        17,
        "shoot each again",
        ("shoot again", "A4"),
        beside=(Kind.PLUS_MINUS,),
    ),
    Kind.SUSPECT_ACCEPTED: Case(
        (*AGREED, *SHOTS, "check BM1 +4-3/8", "keep wind on the mast"),
        (*SHOTS, CHECK),
        WALKED,
        16,
        "shoot each again",
        ("check", "BM1"),
        beside=(Kind.NO_CHECK,),
    ),
    Kind.CHECK_AGAIN: Case(
        (*AGREED, *SHOTS, "check BM1 +4-1/4"), (CHECK,), ("BM1",), 16, "check BM1 again", ("check", "BM1")
    ),
    Kind.DOES_NOT_FIT: Case(
        (*AGREED, *WITHOUT_B2, "B2 +7/8", CHECK),
        ("B2 +1/8", CHECK),
        ("B2",),
        15,
        "read it again",
        ("read again", "B2"),
    ),
    Kind.READINGS_DISAGREE: Case(
        (*AGREED, *SHOTS, "B2 +1/2", CHECK),
        ("B2 +1/8", CHECK),
        ("B2",),
        16,
        "read it a third time",
        ("read again", "B2"),
    ),
    Kind.NOT_SHOT: Case((*AGREED, *WITHOUT_B2, CHECK), (SHOTS[4], CHECK), ("B2",), 3, "shoot it", ("shoot", "B2")),
    Kind.LEFT_OUT: Case(
        (*AGREED, *WITHOUT_B2, CHECK, "B2 out stump"),
        ("B2 not pad stump",),
        ("B2",),
        16,
        "shoot it, or make it not pad",
    ),
    Kind.SETUP_NOT_CLOSED: Case(
        (*ROD_AGREED, *ROD_SHOTS[:3], "setup BM1 3.50", *FAR_SIDE[3:], "check BM1 3.50"),
        (*FAR_SIDE[:3], "check BM1 3.50"),
        ("A1", "B1", "C1", "BM1"),
        None,
        "shoot those spots from the set-up you have now",
        new=ROD,
    ),
    Kind.LEVELS_NOT_CLOSED: Case(
        (*ROD_AGREED, *ROD_SHOTS[:6], ROD_CHECK, *TURN, *FAR_SIDE[6:], "check TP1 4.50"),
        ("check BM1 3.50",),
        ("A3", "B3", "C3", "C4", "B4", "A4", "TP1"),
        None,
        "check a benchmark that was not read on the way",
        ("check", "BM1"),
        new=ROD,
    ),
    Kind.NO_CHECK: Case((*AGREED, *SHOTS), (CHECK,), (), 15, "check a reference", ("check", "BM1")),
    Kind.CHECKED_ON_PAD: Case(
        (*AGREED, *SHOTS, "check ZERO 0"),
        (CHECK,),
        (*WALKED, "ZERO"),
        16,
        "check a reference off the pad",
        ("check", "BM1"),
    ),
    Kind.TARGET_SUGGESTED: Case(
        (AGREED[0], "round final", *SHOTS, CHECK),
        ("target 0", "round final", *SHOTS, CHECK),
        (),
        None,
        "choose the target",
        ("choose the target", None),
    ),
    Kind.TARGET_CHANGED: Case(
        (*HONEST, "target +1/8"),
        ("round final", *SHOTS, CHECK),
        (),
        17,
        "begin a final round",
        ("begin a round", None),
    ),
    Kind.ZERO_MOVED: Case(
        (*HONEST, "zero B2"), ("round final", *SHOTS, CHECK), (), 17, "begin a final round", ("begin a round", None)
    ),
    Kind.REFERENCE_CHANGED: Case(
        (*AGREED, *SHOTS, "reference BM1 high 4-1/2", "check BM1 +4-1/2"),
        ("round final", *SHOTS, "check BM1 +4-1/2"),
        ("BM1",),
        16,
        "begin a final round",
        ("begin a round", None),
    ),
    Kind.TAKEN_OUT: Case(
        (*AGREED, *WITHOUT_B2, "B2 +1-1/8", CHECK, "B2 not pad rut"),
        ("set agreed-by J. Doe",),
        ("B2",),
        17,
        "give the reason with not pad, then who agreed (agreed-by); or make it pad again and shoot it",
    ),
    Kind.LIMIT_WIDENED: Case(
        (*AGREED, *WITHOUT_B2, "set tolerance-high 1-1/4in", SHOTS[4], CHECK),
        ("set tolerance-high 1-1/4in because soft ground", "set agreed-by J. Doe"),
        ("tolerance-high",),
        15,
        "give the reason, then who agreed (agreed-by)",
    ),
    Kind.NO_FINAL_ROUND: Case(
        (*AGREED[:2], "round working", *SHOTS, CHECK),
        ("round final", *SHOTS, CHECK),
        (),
        None,
        "begin the final round",
        ("begin a round", None),
    ),
    Kind.SPOTS_TOO_FAR: Case(
        HONEST,
        ("set spacing 100ft", "set agreed-by J. Doe"),
        (),
        None,
        "shoot closer spots, or set the term spacing and who agreed (agreed-by)",
        new=("--length", "300ft"),
    ),
    Kind.PLUS_MINUS: Case(
        (*AGREED, *(f"{name} 0" for name in NAMES), CHECK),
        (
            "set tolerance-high 1in because a gravel yard",
            "set tolerance-low 1in because a gravel yard",
            "set agreed-by J. Doe",
        ),
        ("C1",),
        None,
        "use a finer mark, or set the level nearer",
        new=("--tolerance", "1/4in", "--step", "1/4in"),
    ),
    Kind.TOO_CLOSE: Case(
        (*AGREED, *(f"{name} {'+1' if at % 2 else '-1'}" for at, name in enumerate(NAMES)), CHECK),
        ("round final", *SHOTS, CHECK),
        NAMES,
        None,
        "dig or fill those, or read a finer mark",
    ),
}


@pytest.mark.parametrize("kind", CASES)
def test_each_item_is_put_on_the_list_and_taken_off(folder, kind):
    case = CASES[kind]
    path = begin(folder, *case.lines, new=case.new)
    assert verdict(path) == case.then
    assert set(kinds(path)) == {str(kind), *map(str, case.beside)}
    told = items(path)[kind]
    assert (tuple(told["at"]), told["opened_by"], told["clears"]) == (case.at, case.opened_by, case.clears)
    next_up = figures(path)["next"]
    assert (next_up["do"], next_up["at"]) == case.next_up
    enter(path, *case.clearing)
    assert kinds(path) == []
    assert verdict(path) == "PASS"
    assert figures(path)["next"] == {"do": "sign", "at": None}


ELSEWHERE = {Kind.DAMAGED, Kind.EDITED, Kind.LINE_DOES_NOT_FIT, Kind.TABLETS_DISAGREE, Kind.TIMES_APART}
"""Tested in `test_punch_list_days`: they take two tablets, another day, or a bigger pad."""


def test_no_kind_is_without_a_test():
    assert set(CASES) | ELSEWHERE == set(Kind)
    assert not set(CASES) & ELSEWHERE


def test_the_verdict_is_printed_with_what_clears_each(folder):
    """shell.md: the reasons one a line, below the verdict."""
    from tests.cli.kit import rodcall

    path = begin(folder, *AGREED, *WITHOUT_B2, "B2 +1-1/8")
    assert rodcall("verdict", path).out.splitlines() == [
        "FAIL",
        "  1 spot out of tolerance: B2  (dig or fill, then read the spot in this round)",
        "  reading does not fit its neighbours: B2  (read it again)",
        "  no check shot  (check a reference)",
    ]


def test_an_honest_pad_passes(folder):
    path = begin(folder, *HONEST)
    assert verdict(path) == "PASS"
    assert figures(path)["goal_verdict"] == "PASS"


def test_an_honest_pad_read_with_a_rod_from_two_set_ups_passes(folder):
    lines = (*ROD_AGREED, *ROD_SHOTS[:6], ROD_CHECK, *TURN, *FAR_SIDE[6:], "check BM1 3.51")
    path = begin(folder, *lines, new=ROD)
    assert verdict(path) == "PASS"
    (levels,) = figures(path)["levels"]
    assert (levels["stations"], levels["closes_on"]) == (["BM1", "TP1", "BM1"], "BM1")
    assert abs(levels["misclosure_mm"]) == pytest.approx(3.048)


def test_readings_that_are_good_leave_no_more_than_what_is_to_do(folder):
    """Halfway through, the list says no more than what is left."""
    path = begin(folder, *AGREED, *SHOTS[:5])
    assert kinds(path) == [Kind.NOT_SHOT, Kind.NO_CHECK]
    assert items(path)[Kind.NOT_SHOT]["at"] == [name for name in WALKED if name not in NAMES[:5]]
    assert len(HEIGHTS) == len(NAMES)
