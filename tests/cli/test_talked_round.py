"""Ways of talking the verdict round: each ends in NOT PROVEN or FAIL, through the shell.

The first twelve are those that once gave PASS; the others were tried since.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from rodcall.book.model.entries import Shot
from rodcall.book.storage.opening import open_job
from rodcall.figures.punch_list import Kind
from tests.cli.kit import rodcall
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
    Site,
    begin,
    enter,
    kinds,
    verdict,
)

BOTH_SIDES = tuple(f"{name} {'+1' if at % 2 else '-1'}" for at, name in enumerate(NAMES))
CARRIED = ("turn TP1 5.00", "setup TP1 4.50", *(shot.replace("6.0", "5.5") for shot in ROD_SHOTS[6:]))


ANEW = ("set drift 1/2in", *SHOTS, "check BM1 +4-3/8")


@dataclass(frozen=True)
class Talk:
    """What somebody enters to have PASS, and what stands against it."""

    lines: tuple[str, ...]
    stands: Kind
    new: tuple[str, ...] = ()


TALK = {
    "target moved after the final round began": Talk(
        (*AGREED, *WITHOUT_B2, "B2 +1-1/8", CHECK, "target +1/4"), Kind.TARGET_CHANGED
    ),
    "zero moved after the final round began": Talk(
        (*AGREED, *(f"{name} +1-1/4" for name in NAMES), CHECK, "zero B2", "target 0"), Kind.ZERO_MOVED
    ),
    "a spot out of tolerance made a hole": Talk(
        (*AGREED, *WITHOUT_B2, "B2 +1-1/8", CHECK, "hole 15ft,15ft 15ft,25ft 25ft,25ft 25ft,15ft"), Kind.TAKEN_OUT
    ),
    "a spot out of tolerance left off the outline": Talk(
        (*AGREED, *(shot for shot in SHOTS if shot[:2] != "C4"), "C4 +2", CHECK, "outline A1 C1 C3 B4 A4"),
        Kind.TAKEN_OUT,
    ),
    "a shape given to the target after the final round began": Talk(
        (*AGREED, *SHOTS, CHECK, "design crown B1 B4 0.0001%"), Kind.TARGET_CHANGED
    ),
    "a first set-up never checked": Talk(
        (*ROD_AGREED, *ROD_SHOTS[:6], *CARRIED, "check TP1 4.50", "check BM1 3.50"), Kind.SETUP_NOT_CLOSED, ROD
    ),
    "a line of levels closed on its own turning point": Talk(
        (*ROD_AGREED, *ROD_SHOTS[:6], ROD_CHECK, *CARRIED, "check TP1 4.50"), Kind.LEVELS_NOT_CLOSED, ROD
    ),
    "the drift limit widened after a bad check": Talk(
        (*HONEST[:-1], "check BM1 +4-1/2", "set drift 1/2in", "check BM1 +4-1/2"), Kind.LIMIT_WIDENED
    ),
    "a spot read until it fits": Talk((*AGREED, *SHOTS, "B2 +2", "B2 +1/8", "B2 +2", CHECK), Kind.READINGS_DISAGREE),
    "everything exactly on the limit": Talk((*AGREED, *BOTH_SIDES, CHECK), Kind.TOO_CLOSE),
    "a rod marked coarser than the tolerance": Talk(
        (*AGREED, *(f"{name} 0" for name in NAMES), CHECK), Kind.PLUS_MINUS, ("--tolerance", "1/4in", "--step", "1/2in")
    ),
    "four shots on a pad of 500 x 300 ft": Talk(
        (*AGREED, "A1 0", "B1 0", "A2 0", "B2 0", CHECK),
        Kind.SPOTS_TOO_FAR,
        ("--length", "500ft", "--width", "300ft", "--along", "2", "--across", "2"),
    ),
    "no final round": Talk((AGREED[0], "target 0", *SHOTS, CHECK), Kind.NO_FINAL_ROUND),
    # The other two, a book edited outside and two tablets that disagree, are in `test_punch_list_days`.
    "the target put where the pad lies, in words of the final round": Talk(
        (AGREED[0], "round final", *SHOTS, CHECK, "target suggested"), Kind.TARGET_CHANGED
    ),
    "a reference raised by what the check was off": Talk(
        (*HONEST[:-1], "reference BM1 high 4-1/2", "check BM1 +4-1/2"), Kind.REFERENCE_CHANGED
    ),
    "the same, and put back afterwards": Talk(
        (*HONEST[:-1], "reference BM1 high 4-1/2", "check BM1 +4-1/2", "reference BM1 high 4"), Kind.REFERENCE_CHANGED
    ),
    "the backsight on a reference that had another height for a while": Talk(
        (*ROD_AGREED[:-1], "reference BM1 high 2.10", "setup BM1 4.10", *ROD_SHOTS, ROD_AGREED[0]),
        Kind.REFERENCE_CHANGED,
        ROD,
    ),
    "a reference invented after the bad check": Talk(
        (*HONEST[:-1], "check BM1 +4-1/2", "reference BM2 high 5", *SHOTS, "check BM2 +5"), Kind.NO_CHECK
    ),
    "a reference read off the level that it is to check": Talk(
        (*AGREED[1:], *SHOTS, "turn TP1 +3", "check TP1 +3"), Kind.NO_CHECK
    ),
    "a spot out of tolerance declared no part of the pad": Talk(
        (*AGREED, *WITHOUT_B2, "B2 +3", CHECK, "B2 not pad"), Kind.TAKEN_OUT
    ),
    "the same, its reading struck before": Talk(
        (*AGREED, *WITHOUT_B2, "B2 +3", CHECK, "strike B2", "B2 not pad stump"), Kind.TAKEN_OUT
    ),
    "a spot out of tolerance left out": Talk((*AGREED, *WITHOUT_B2, "B2 +3", CHECK, "B2 out rut"), Kind.LEFT_OUT),
    "all shots struck, the limit widened, all entered again": Talk(
        (*AGREED, *SHOTS, "check BM1 +4-3/8", *(f"strike {name}" for name in NAMES), *ANEW),
        Kind.LIMIT_WIDENED,
    ),
    "who agreed, said before the limit was widened": Talk(
        (*AGREED, "set agreed-by J. Doe", *SHOTS, "set tolerance-high 2in because soft ground", CHECK),
        Kind.LIMIT_WIDENED,
    ),
    "a widened limit widened further without a reason": Talk(
        (*AGREED, *SHOTS, "set drift 1/4in because a worn foot", "set agreed-by J. Doe", "set drift 1/2in", CHECK),
        Kind.LIMIT_WIDENED,
    ),
    "a new set-up instead of the check": Talk(
        (*ROD_AGREED, *ROD_SHOTS, "setup BM1 4.30", "check BM1 4.30"), Kind.SETUP_NOT_CLOSED, ROD
    ),
    "suspect shots kept": Talk(
        (*HONEST[:-1], "check BM1 +4-1/2", "keep wind", *SHOTS[:1], CHECK), Kind.SUSPECT_ACCEPTED
    ),
    "a check first, the shots afterwards": Talk((*AGREED, CHECK, *SHOTS), Kind.NO_CHECK),
    "one more shot after the check": Talk((*HONEST, "A1 0"), Kind.NO_CHECK),
    "a second final round of which half is shot": Talk((*HONEST, "round final", *SHOTS[:6], CHECK), Kind.NOT_SHOT),
    "a working round after the final": Talk((*HONEST, "round working", *SHOTS, CHECK), Kind.NO_FINAL_ROUND),
    "a check between good and bad, talked about": Talk(
        (*HONEST[:-1], "check BM1 +4-1/4", "keep a worn foot"), Kind.NO_CHECK
    ),
    "the least that may be called a pad": Talk(
        (*AGREED, *SHOTS[:4], "B2 +3", "C1:C4 not pad", "A3:B4 not pad", "B2 not pad", CHECK), Kind.TAKEN_OUT
    ),
}


@pytest.mark.parametrize("how", TALK)
def test_the_verdict_cannot_be_talked_round(folder, how):
    talk = TALK[how]
    path = begin(folder, *talk.lines, new=talk.new)
    assert verdict(path) in ("NOT PROVEN", "FAIL")
    assert talk.stands in kinds(path)


def test_the_same_lines_without_the_talk_pass(folder):
    """What the tests above change is what they find, and nothing else."""
    for name, lines, new in (
        ("heights", HONEST, ()),
        ("rod", (*ROD_AGREED, *ROD_SHOTS, ROD_CHECK), ROD),
        ("carried", (*ROD_AGREED, *ROD_SHOTS[:6], ROD_CHECK, *CARRIED, "check BM1 3.50"), ROD),
    ):
        (folder / name).mkdir()
        assert verdict(begin(folder / name, *lines, new=new)) == "PASS", name
    assert len(HEIGHTS) == len(NAMES)


def test_a_spot_of_which_two_readings_agree_passes_and_keeps_all_three(folder):
    path = begin(folder, *AGREED, *SHOTS, "B2 +2", "B2 +1/8", CHECK)
    assert verdict(path) == "PASS"
    entries = open_job(path, "reader").book.entries
    assert [entry.said for entry in entries if isinstance(entry, Shot) and entry.position == "B2"] == [
        *("+1/8", "+2", "+1/8")
    ]


def test_corrected_by_drift_is_refused_in_a_final_round(folder):
    path = begin(folder, *HONEST[:-1], "check BM1 +4-1/2")
    refusal = rodcall("enter", path, stdin="shift").refusal
    assert refusal.endswith("no correcting in the final round: shoot the suspect shots again")
    assert Kind.SUSPECT in kinds(path)


def test_corrected_by_drift_in_a_working_round_proves_nothing(folder):
    path = begin(folder, AGREED[0], "target 0", "round working", *SHOTS, "check BM1 +4-1/2", "shift", CHECK)
    assert verdict(path) == "NOT PROVEN"
    assert Kind.NO_FINAL_ROUND in kinds(path)
    assert verdict(enter(path, "round final", *SHOTS, CHECK)) == "PASS"


@pytest.fixture
def site(folder) -> Site:
    return Site(folder / "pad.json")


def test_a_bad_check_struck_out_is_bad_all_the_same(site):
    """As undo on the screen strikes it; what clears it is what would have cleared it before."""
    path = site.write(*AGREED, *SHOTS, "check BM1 +4-1/2")
    site.file.book.undo()
    site.file.save()
    assert Kind.SUSPECT in kinds(path)
    assert verdict(path) == "NOT PROVEN"
    site.write(*SHOTS, CHECK)
    assert verdict(path) == "PASS"


def test_a_bad_check_struck_out_after_the_limit_was_widened_and_narrowed(site):
    path = site.write(*AGREED, *SHOTS, "check BM1 +4-1/2", "set drift 1in", "check BM1 +4-1/2", "set drift 1/8in")
    site.file.book.undo()
    site.file.save()
    assert verdict(path) == "NOT PROVEN"


def test_a_target_struck_out_after_the_final_round(site):
    """The one before it is in force again, and that is a change too."""
    site.write(AGREED[0], "target +1/8", "target 0", "round final")
    path = site.write(*SHOTS, CHECK)
    assert verdict(path) == "PASS"
    book = site.file.book
    book._strike(book.page.targets[-1])
    site.file.save()
    assert verdict(path) == "NOT PROVEN"
    assert kinds(path) == [Kind.TARGET_CHANGED]
    assert verdict(enter(path, "round final", *SHOTS, CHECK)) == "PASS"
