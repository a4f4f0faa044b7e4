"""Next up: what the crew can do now, first things first. The order is the punch list's rule of `Do` and its sources."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.model.entries import Walk
from rodcall.figures.next_up import TAKES_READING, Do, Next, next_up, usual_reference
from rodcall.units import Unit
from tests.kit import a_book, a_job, figures, say

NAMES = a_job().grid.names
FULL = [f"{name} -1/4" for name in NAMES]
BENCH = ("reference BM1 +4", "check BM1 +4")


def queue(book: Book, after: int | None = None) -> tuple[Next, ...]:
    summary = figures(book)
    return next_up(summary, summary.punch_list, after)


def first(*lines: str) -> Next:
    return queue(a_book(*lines))[0]


def test_a_new_pad_begins_at_the_first_spot() -> None:
    assert first() == Next(Do.SHOOT, 0, left=12)


def test_a_rod_needs_its_backsight_before_all_else() -> None:
    book = a_book("reference BM1 +1.00", job=a_job(Unit.FT, readings="rod"))
    assert queue(book)[0] == Next(Do.BACKSIGHT, reference="BM1")
    book.set_up("BM1", "4.28")
    assert queue(book)[0].do is Do.SHOOT


def test_without_a_benchmark_the_backsight_is_on_the_zero() -> None:
    assert queue(a_book(job=a_job(Unit.FT, readings="rod")))[0].reference == "ZERO"


def test_one_bad_check_is_read_again_before_the_level_is_touched_and_two_say_level_it() -> None:
    assert first(*BENCH, "A1 0", "check BM1 +6") == Next(Do.CHECK_AGAIN, reference="BM1")
    assert first(*BENCH, "A1 0", "check BM1 +6", "check BM1 +6") == Next(Do.LEVEL, reference="BM1")


def test_off_a_rod_two_bad_checks_ask_for_a_new_set_up() -> None:
    book = a_book("reference BM1 +1.00", "setup BM1 4.28", "A1 4.53", job=a_job(Unit.FT, readings="rod"))
    book.check("BM1", "4.60")
    assert queue(book)[0] == Next(Do.CHECK_AGAIN, reference="BM1")
    book.check("BM1", "4.60")
    assert queue(book)[0] == Next(Do.SET_UP, reference="BM1")


def test_a_bad_check_that_is_at_once_read_true_was_misread() -> None:
    assert first(*BENCH, "A1 0", "check BM1 +6", "check BM1 +4") == Next(Do.SHOOT, 1, left=11)


def test_suspects_come_in_walking_order_with_a_count_down_before_what_is_not_shot() -> None:
    """He begins at the first of them, passes none over, and ends where the walk goes on."""
    book = a_book(*BENCH, "A1 0", "B1 0", "C1 0", "C2 0", "B2 0", "check BM1 +6", "check BM1 +6", "check BM1 +4")
    met = []
    while (up := queue(book)[0]).do is Do.RESHOOT:
        met.append((NAMES[up.spot or 0], up.left))
        book.shoot(NAMES[up.spot or 0], "0")
    assert met == [("A1", 5), ("B1", 4), ("C1", 3), ("C2", 2), ("B2", 1)]
    assert queue(book)[0] == Next(Do.SHOOT, 3, left=7)


def test_the_next_spot_is_met_from_where_the_helper_stands() -> None:
    book = a_book("A1 0")
    assert queue(book)[0].spot == 1
    assert queue(book, after=8)[0].spot == 11, "from C3 the snake goes on to C4"


def test_left_out_and_not_pad_are_passed_by() -> None:
    assert first("A1 0", "B1 out rut", "C1 not pad").spot == 5


def test_once_all_is_shot_the_target_comes_before_digging() -> None:
    assert first(*FULL).do is Do.TARGET
    assert first(*FULL, "target -1/4").do is Do.CHECK, "nothing to dig there"
    assert first(*FULL, "target -4").do is Do.CHECK, "before the bucket"
    out = first(*BENCH, *FULL, "target -4", "check BM1 +4")
    assert (out.do, out.left) == (Do.DIG, 12)


def test_a_check_is_due_before_a_round_and_then_the_round() -> None:
    assert first(*BENCH, *FULL, "target -1/4") == Next(Do.CHECK, reference="BM1")
    after = queue(a_book(*BENCH, *FULL, "target -1/4", "check BM1 +4"))
    assert after[0].do in (Do.DIG, Do.NEW_ROUND)
    assert after[0].spot is None


def test_a_proven_pad_is_signed() -> None:
    proven = a_book(*BENCH, *FULL, "target -1/4", "round final", *FULL, "check BM1 +4")
    assert figures(proven).verdict.name == "PASS"
    assert queue(proven) == (Next(Do.SIGN),)


def test_two_readings_that_disagree_are_never_named_by_themselves() -> None:
    """Whoever types without looking stays where the line was: reading again is the crew's own key."""
    up = queue(a_book("A1 0", "A1 -1", "B1 0"))
    assert up[0] == Next(Do.SHOOT, 2, left=10)
    assert Next(Do.READ_AGAIN, 0, left=1) in up
    assert Do.READ_AGAIN not in TAKES_READING


def test_the_usual_reference_is_the_latest_off_the_pad() -> None:
    assert usual_reference(figures(a_book())) == "ZERO"
    assert usual_reference(figures(a_book("reference BM1 +4", "reference BM2 +5"))) == "BM2"
    book = a_book("reference BM1 +4")
    book.refer("HUB", "+1", position="B2")
    assert usual_reference(figures(book)) == "BM1"


LINES = st.lists(
    st.one_of(
        st.tuples(st.sampled_from(NAMES), st.sampled_from(["0", "-1/4", "+12", "out rut"])).map(" ".join),
        st.sampled_from(["check BM1 +4", "check BM1 +6", "round final", "round working", "target 0"]),
    ),
    max_size=30,
)


@pytest.mark.filterwarnings("ignore")
@given(LINES)
def test_whatever_is_written_there_is_one_thing_to_do_first_and_its_spot_is_pad(lines: list[str]) -> None:
    book = a_book("reference BM1 +4", "B2 not pad", *[line for line in lines if not line.startswith("B2")])
    up = queue(book)
    assert up
    for each in up:
        assert each.spot is None or each.spot != 4, "B2 is no pad"
        if each.do is Do.SHOOT:
            assert each.spot is not None
            assert book.page.is_open(each.spot)
    unshot = [name for name in NAMES if name != "B2" and book.page.is_open(book.page.position(name))]
    if unshot and up[0].do not in (Do.CHECK_AGAIN, Do.LEVEL, Do.RESHOOT):
        assert up[0].do is Do.SHOOT
        assert up[0].left == len(unshot)


def test_what_takes_a_reading_and_how_many_are_left_where_nothing_is_counted() -> None:
    for do in Do:
        assert Next(do).takes_reading is (do in TAKES_READING)
        assert Next(do).left == 0


BAD = ("check BM1 +6", "check BM1 +6", "check BM1 +4")


def test_with_as_far_to_either_end_of_the_suspects_the_helper_goes_on_forward() -> None:
    """All is shot, C1, C2 and B2 are suspect, and he stands on C2, between the others."""
    walked = ("A1", "B1", "C1", "C2", "B2", "A2", "A3", "B3", "C3", "C4", "B4", "A4")
    later = [f"{name} 0" for name in walked if name not in ("C1", "C2", "B2")]
    book = a_book(*BENCH, *later, "check BM1 +4", "C1 0", "C2 0", "B2 0", *BAD)
    ends = {after: queue(book, NAMES.index(after))[0].spot for after in ("A1", "C2", "A3")}
    assert ends == {"A1": NAMES.index("C1"), "C2": NAMES.index("C1"), "A3": NAMES.index("B2")}


def test_where_each_line_is_walked_from_the_same_side_nobody_walks_back() -> None:
    book = a_book(*BENCH)
    book.walk(Walk.LINES)
    say(book, *(f"{name} 0" for name in NAMES), *BAD)
    assert queue(book, after=NAMES.index("C4"))[0] == Next(Do.RESHOOT, 0, left=12)


def test_of_four_suspects_the_nearer_end_is_told_by_the_first_and_the_last() -> None:
    walked = ("A1", "B1", "C1", "C2", "B2", "A2", "A3", "B3", "C3", "C4", "B4", "A4")
    later = [f"{name} 0" for name in walked if name not in walked[2:6]]
    book = a_book(*BENCH, *later, "check BM1 +4", *(f"{name} 0" for name in walked[2:6]), *BAD)
    assert [queue(book, NAMES.index(after))[0].spot for after in ("C2", "B2")] == [
        NAMES.index(at) for at in ("C1", "A2")
    ]


def test_after_digging_comes_a_round_and_before_it_the_dig_where_nothing_is_out() -> None:
    def does(*lines: str) -> list[Do]:
        return [each.do for each in queue(a_book(*BENCH, *FULL, *lines, "check BM1 +4"))]

    assert does("target -1/4") == [Do.DIG, Do.LOOK], "what lies right is trimmed by eye"
    assert does("target -4") == [Do.DIG, Do.NEW_ROUND, Do.LOOK]
    assert does("target -1/4", "round working", *FULL) == [Do.NEW_ROUND, Do.LOOK]
    assert does("target -4", "round working", *FULL) == [Do.DIG, Do.NEW_ROUND, Do.LOOK]


@pytest.mark.parametrize("changed", ["target -3/8", "zero B2", "reference BM1 high 5"])
def test_what_was_changed_after_the_final_round_began_asks_for_another(changed: str) -> None:
    """Any one of the three is enough."""
    lines = (*BENCH, *FULL, "target -1/4", "round final", *FULL, "check BM1 +4", changed)
    assert Do.NEW_ROUND in [up.do for up in queue(a_book(*lines))]
    assert Do.NEW_ROUND not in [up.do for up in queue(a_book(*lines[:-1]))]


def test_a_turning_point_that_was_read_from_the_level_where_it_stands_can_prove_nothing_of_it() -> None:
    job = a_job(Unit.FT, readings="rod")
    book = a_book("reference BM1 +1.00", "setup BM1 4.28", "turn T1 5.00", job=job)
    assert usual_reference(figures(book)) == "BM1"
    book.set_up("T1", "4.00")
    assert usual_reference(figures(book)) == "T1", "known from the set-up before"
