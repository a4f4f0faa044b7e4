"""What entries fold into: undo and redo, re-shooting, setups, zero and rounds."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.fold.page import Page, PageError
from rodcall.book.fold.round_page import LEFT_OUT, SHOT, UNSHOT, Line
from rodcall.book.model.entries import Note, Readings, RoundKind, Shot, Walk
from rodcall.book.model.repeat_readings import MIDDLE, counted_height, settled
from rodcall.units import FOOT, INCH, MM, M, Unit
from tests.kit import START, a_book, a_job, confirm, figures, say
from tests.kit import again as read_again


def test_a_reading_counts_at_its_position():
    book = a_book("A1 0", "B2 -1-3/8")
    index = book.job.grid.index("B2")
    assert book.page.round.height_at(index) == -INCH * 11 // 8
    assert book.page.round.shots == 2


def test_reshooting_keeps_both_and_the_later_counts():
    book = a_book("B2 -1/2")
    change = book.shoot("B2", "+1/4")
    assert (change.before_nm, change.now_nm) == (-INCH // 2, INCH // 4)
    assert book.page.round.shots == 1
    assert [entry.said for entry in book.entries] == ["-1/2", "+1/4"]
    assert book.page.round.times[book.job.grid.index("B2")] == 2


def test_undo_strikes_and_brings_the_earlier_reading_back():
    book = a_book("B2 -1/2", "B2 +1/4")
    (change,) = book.undo()
    assert change.undone
    assert change.now_nm == -INCH // 2
    assert len(book.entries) == 3
    assert isinstance(book.entries[1], Shot), "nothing is erased"


def test_undo_all_then_redo_all_is_where_we_were():
    book = a_book("A1 0", "B1 -1/2", "B2 out rut", "B2 +1", "target -1/2", "note windy")
    before = _state(book.page)
    for _ in range(6):
        book.undo()
    assert book.page.round.shots == 0
    assert book.page.target is None
    for _ in range(6):
        book.redo()
    assert _state(book.page) == before


def test_redo_is_gone_after_something_else_was_written():
    book = a_book("A1 0", "B1 -1/2")
    book.undo()
    say(book, "C1 -1")
    with pytest.raises(PageError, match="nothing to redo"):
        book.redo()


def test_undo_and_redo_with_nothing_to_do_say_so():
    book = a_book()
    for act in (book.undo, book.redo):
        with pytest.raises(PageError, match="nothing to"):
            act()


def test_shooting_a_left_out_position_counts_again():
    book = a_book("B2 out pile")
    index = book.job.grid.index("B2")
    assert book.page.round.state[index] == LEFT_OUT
    say(book, "B2 -1/4")
    assert book.page.round.state[index] == SHOT
    book.undo()
    assert book.page.round.state[index] == LEFT_OUT
    assert book.page.round.left_out == 1


def test_plain_rod_bigger_reading_is_lower():
    """Height of instrument (NAVEDTRA 14069, differential levelling): reference height + backsight - reading."""
    book = a_book("reference BM1 high 0.50", "setup BM1 4.00", "A1 4.75", job=_rod_job(Readings.ROD))
    assert book.page.round.height_at(0) == round(-0.25 * FOOT)


def test_direct_rod_bigger_reading_is_higher():
    """A rod that reads heights directly (common practice): reference height + reading - backsight."""
    book = a_book("reference BM1 high 0.50", "setup BM1 4.00", "A1 4.75", job=_rod_job(Readings.DIRECT_ROD))
    assert book.page.round.height_at(0) == round(1.25 * FOOT)


def test_a_moved_tripod_leaves_earlier_shots_tied_to_their_own_setup():
    book = a_book("setup ZERO 4.00", "A1 4.10", "setup ZERO 5.00", "B1 5.10", job=_rod_job(Readings.ROD))
    assert book.page.round.height_at(0) == book.page.round.height_at(1) == round(-0.1 * FOOT)


def test_a_rod_without_a_setup_is_refused():
    book = a_book(job=_rod_job(Readings.ROD))
    with pytest.raises(PageError, match="setup first"):
        book.shoot("A1", "4.28")
    assert book.entries == []


def test_a_setup_with_shots_on_it_cannot_be_struck():
    book = a_book("setup ZERO 4.00", "A1 4.10", job=_rod_job(Readings.ROD))
    setup = book.page.setup
    with pytest.raises(PageError, match="1 shot hangs on that setup"):
        book._strike(setup)
    book.undo()
    book.undo()
    assert book.page.setup is None


def test_another_zero_moves_what_heights_are_told_from_and_nothing_else():
    book = a_book("A1 0", "B1 -1/2", "C1 +1", "target -1/4")
    spread_before = figures(book).spread
    deviations_before = figures(book).deviations.copy()
    book.move_zero("B1")
    after = figures(book)
    assert after.heights[:3].tolist() == [INCH // 2, 0, INCH * 3 // 2]
    assert after.target.offset_nm == INCH // 4
    assert after.spread == spread_before
    assert (after.deviations[:3] == deviations_before[:3]).all(), "the ground and the target stayed where they are"
    say(book, "C2 -1/4")
    assert figures(book).heights[book.job.grid.index("C2")] == -INCH // 4, "said from the new zero"


def test_a_sloped_target_stays_where_it_is_when_the_zero_moves():
    job = a_job(Unit.M, along=3, across=3, length=20 * M, width=20 * M)
    book = a_book("A1 0", "A3 +0.1", "C3 +0.2", job=job)
    book.aim("-0.05", slope_along=0.01, slope_across=-0.02)
    before = figures(book).deviations.copy()
    book.move_zero("C3")
    after = figures(book)
    assert np.array_equal(after.deviations[after.counts], before[after.counts])


def test_a_zero_needs_a_height_once_something_was_shot():
    book = a_book()
    book.move_zero("B2")
    assert book.page.zero_index == book.job.grid.index("B2")
    say(book, "A1 0")
    with pytest.raises(PageError, match="shoot C3 first"):
        book.move_zero("C3")


def test_a_new_round_begins_unshot_and_keeps_the_old_one():
    book = a_book("A1 0", "B1 -1/2", "target -1/2", "round final", "A1 -1/2")
    assert book.page.round.kind is RoundKind.FINAL
    assert book.page.round.shots == 1
    assert book.page.rounds[0].shots == 2
    with pytest.raises(PageError, match="1 shot hangs on that round"):
        book._strike(book.page._opened_by[1])
    book.undo()
    book.undo()
    assert book.page.round.shots == 2


def test_walking_order_snakes_and_can_be_changed():
    book = a_book(job=a_job(along=3, across=3))
    names = [book.job.grid.name(book.page.walk.at(step)) for step in range(9)]
    assert names == ["A1", "B1", "C1", "C2", "B2", "A2", "A3", "B3", "C3"]
    book.walk(Walk.LINES)
    names = [book.job.grid.name(book.page.walk.at(step)) for step in range(9)]
    assert names == ["A1", "B1", "C1", "A2", "B2", "C2", "A3", "B3", "C3"]


@given(st.integers(2, 9), st.integers(2, 9), st.sampled_from(list(Walk)))
def test_a_walk_meets_every_position_once(along, across, order):
    walk = a_job(along=along, across=across).grid.walk(order)
    steps = range(along * across)
    assert sorted(walk.at(step) for step in steps) == list(steps)
    assert all(walk.step(walk.at(step)) == step for step in steps)


def test_the_next_position_passes_over_what_is_written():
    book = a_book("A1 0", "C1 0", "C2 out pile", job=a_job(along=2, across=3))
    grid = book.job.grid
    assert grid.name(book.page.next_after(grid.index("A1"))) == "B1"
    assert grid.name(book.page.next_after(grid.index("C1"))) == "B2"
    say(book, "B1 0", "B2 0", "A2 0")
    assert book.page.next_after(0) is None


@pytest.mark.parametrize("name", ["D1", "A5", "A0", "1A", "", "A1x", "А1", "AAA1", "A99999"])
def test_positions_off_the_grid_are_refused_and_nothing_is_written(name):
    book = a_book()
    with pytest.raises(PageError):
        book.shoot(name, "0")
    assert book.entries == []


NOTE = Note(number=99, time=START, tablet="tablet-a", text="no shot")
SAID = st.tuples(st.integers(0, 11), st.integers(-80, 80))
AGAIN = st.tuples(st.just("again"), st.integers(0, 11), st.integers(-80, 80))
LINE = st.tuples(st.just("line"), st.lists(st.tuples(st.sampled_from(["A3", "B3"]), st.integers(-80, 80)), min_size=1))
ACTS = st.lists(st.one_of(SAID, AGAIN, LINE, st.sampled_from(["undo", "redo", "strike", "confirm"])), max_size=40)


def _counts(lines: list[Line]) -> int:
    """By the rule of the readings: one after the other, or the middle of all as older books have it."""
    heights = [line.datum_nm for line in lines]
    if any(line.entry.over for line in lines):
        return settled(heights, MM).height
    return counted_height(heights, MIDDLE)


@given(ACTS)
def test_folding_one_at_a_time_is_folding_anew(acts):
    """The page after any session equals the page that the saved entries fold into."""
    book = a_book(job=a_job(Unit.MM))
    for act in acts:
        try:
            match act:
                case "undo":
                    book.undo()
                case "redo":
                    book.redo()
                case "strike":
                    book.strike_last("B2")
                case "confirm":
                    confirm(book, next(iter(book.page.lines.values()), None) or Line(NOTE))
                case ("line", meant):
                    book.put_all_right([(at, f"{mm:+d}") for at, mm in meant], "all signs flipped", ["C3"])
                case ("again", index, millimetres):
                    read_again(book, book.job.grid.name(index), f"{millimetres:+d}")
                case (index, millimetres):
                    book.shoot(book.job.grid.name(index), f"{millimetres:+d}")
        except PageError:
            continue
    again = Book(book.job, "tablet-b")
    for entry in book.entries:
        again.take(entry)
    assert _state(again.page) == _state(book.page)
    assert [_keys(lines) for lines in (again.page.acts.undoable, again.page.acts.redoable)] == [
        _keys(lines) for lines in (book.page.acts.undoable, book.page.acts.redoable)
    ], "what undo and redo take back is known from the file alone"
    live = [line for line in book.page.lines.values() if not line.struck and isinstance(line.entry, Shot)]
    together: dict[int, list[Line]] = {}
    for line in sorted(live, key=lambda line: line.entry.number):
        together[line.index] = [*(together.get(line.index, []) if line.entry.again or line.entry.over else []), line]
    last = {index: _counts(lines) for index, lines in together.items()}
    counted = {at: int(book.page.round.datum_nm[at]) for at in np.flatnonzero(book.page.round.state == SHOT)}
    assert counted == last, "the last reading that is not struck counts at each position, with those it repeats"
    assert book.page.round.shots == len(last)


@given(st.lists(st.one_of(SAID, LINE), min_size=1, max_size=30), st.integers(1, 30))
def test_redo_after_undo_changes_nothing(acts, times):
    """One undo takes back what one answer wrote, however many entries that was, and one redo brings it back."""
    book = a_book(job=a_job(Unit.MM))
    states = [_state(book.page)]
    for act in acts:
        match act:
            case ("line", meant):
                book.put_all_right([(at, f"{mm:+d}") for at, mm in meant], "all signs flipped", ["C3"])
            case (index, millimetres):
                book.shoot(book.job.grid.name(index), f"{millimetres:+d}")
        states.append(_state(book.page))
    times = min(times, len(acts))
    for at in range(1, times + 1):
        book.undo()
        assert _state(book.page) == states[-1 - at]
    for at in range(times, 0, -1):
        book.redo()
        assert _state(book.page) == states[len(acts) + 1 - at]


def test_a_line_put_right_is_one_act_also_in_the_file():
    """Shifted by one: A1 is not known any more. Undo, redo and undo are each one key, and nothing is erased."""
    book = a_book("A1 0", "B1 -1", "C1 -2")
    read = _state(book.page)
    changes = book.put_all_right([("B1", "0"), ("C1", "-1")], "each reading belongs one position on", ["A1"])
    assert [change.undone for change in changes] == [False, False, True]
    right = _state(book.page)
    assert right[0][:3] == [UNSHOT, 1, 1]
    with pytest.raises(PageError, match="nothing to redo"):
        book.redo()
    for act, state in ((book.undo, read), (book.redo, right), (book.undo, read), (book.redo, right)):
        assert len(act()) == 3
        assert _state(book.page) == state
    assert [getattr(entry, "together", False) for entry in book.entries[3:]] == [False, True, True] * 5
    half = Book(book.job, "tablet-b")
    for entry in book.entries[:7]:
        half.take(entry)
    half.undo()
    assert _state(half.page) == read, "the power went within an undo: the next one finishes it"


def test_undo_leaves_what_was_struck_by_hand_since():
    book = a_book("A1 0", "B1 -1", "C1 -2")
    book.put_all_right([("A1", "+1/8"), ("B1", "+1"), ("C1", "+2")], "all signs flipped")
    book.strike_last("B1")
    assert len(book.undo()) == 2
    assert book.page.round.datum_nm[:3].tolist() == [0, -INCH, -2 * INCH]


def test_entry_numbers_must_go_up():
    book = a_book("A1 0", "B1 0")
    page = Page(book.job)
    page.add(book.entries[1])
    with pytest.raises(PageError, match="comes after"):
        page.add(book.entries[0])
    assert page.round.state[0] == UNSHOT


def _keys(lines: list[Line]) -> list[int]:
    return [line.entry.number for line in lines]


def _state(page: Page) -> tuple:
    here = page.round
    target = page.target
    return (
        here.state.tolist(),
        here.datum_nm.tolist(),
        here.times.tolist(),
        here.kept.tolist(),
        here.shots,
        here.left_out,
        page.zero_index,
        target.datum_nm if target else None,
        [note.text for note in page.notes],
    )


def _rod_job(readings: Readings):
    return a_job(Unit.FT, readings=readings, tolerance_high=25 * MM)


def test_a_setup_after_the_zero_moved_reads_the_same_ground_alike():
    """By hand, plain rod: BM is 1.00 high, A1 lies 0.90 under the zero; with the zero on A1 BM is 1.90 high."""
    job = _rod_job(Readings.ROD)
    book = a_book("reference BM high 1.00", "setup BM 4.00", "A1 5.90", "B1 5.00", "zero A1", job=job)
    say(book, "setup BM 3.50", "C1 4.50", "A2 5.40")
    heights = figures(book).heights[[0, 1, 2, job.grid.index("A2")]]
    assert [round(int(nm) / FOOT, 6) for nm in heights] == [0, 0.9, 0.9, 0]
    assert figures(book).references["BM"] == round(1.9 * FOOT)
