"""The page against a pencil: the book walked from its first entry to its last, with nothing kept between entries."""

from __future__ import annotations

import numpy as np
from hypothesis import example, given, settings
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.entry_lines import DictationError
from rodcall.book.fold.page import PageError
from rodcall.book.fold.round_page import LEFT_OUT, SHOT, UNSHOT
from rodcall.book.model.entries import Entry, LeaveOut, Readings, Setup, Shot, Strike
from rodcall.book.model.repeat_readings import among_agreeing, settled
from rodcall.units import MM, Unit
from tests.kit import a_book, a_job, say

SPOTS = ("A1", "B1", "A2")
SAID = st.tuples(st.sampled_from(SPOTS), st.integers(-3, 3)).map(lambda at: f"{at[0]} {1000 + at[1]}")
OTHER = st.sampled_from(
    [
        *(f"{spot} out rut" for spot in SPOTS),
        *(f"strike {spot}" for spot in SPOTS),
        *("setup BM 1400", "setup BM 1500", "note wind", "check BM 1400", "undo", "redo"),
    ]
)
ACTS = st.lists(SAID | OTHER, max_size=30)


def walked(book: Book) -> tuple[list[Entry], dict[int, Setup]]:
    """Entries that are not struck in the end, and the set-up that each shot was read by.

    A strike takes an entry out, the strike of a strike brings it back.
    """
    struck: set[int] = set()
    by_number = {entry.number: entry for entry in book.entries}
    setups: list[Setup] = []
    stood_on: dict[int, Setup] = {}
    for entry in book.entries:
        if isinstance(entry, Strike):
            other = by_number[entry.strikes]
            struck.add(other.number)
            if isinstance(other, Strike):
                struck.discard(other.strikes)
        elif isinstance(entry, Setup):
            setups.append(entry)
        elif isinstance(entry, Shot):
            stood_on[entry.number] = [each for each in setups if each.number not in struck][-1]
    return [entry for entry in book.entries if entry.number not in struck], stood_on


def put(book: Book, act: str) -> None:
    try:
        if act == "undo":
            book.undo()
        elif act == "redo":
            book.redo()
        else:
            say(book, act)
    except (PageError, DictationError):
        pass


@settings(max_examples=200)
@given(ACTS)
@example(["A1 1000", "A1 1003", "undo", "redo", "A1 1003"])
@example(["A1 1000", "setup BM 1500", "A1 1100", "strike A1"])
@example(["A1 1000", "A1 out rut", "A1 1000", "strike A1", "undo"])
def test_each_spot_is_what_a_pencil_makes_of_the_entries(acts):
    book = a_book("reference BM high 0", "setup BM 1400", job=a_job(Unit.MM, readings=Readings.ROD))
    for act in acts:
        put(book, act)
        assert set(book.page.round.read_more) <= set(range(12))
    order = {entry.number: at for at, entry in enumerate(book.entries)}
    here, (alive, stood_on) = book.page.round, walked(book)
    assert here.shots == np.count_nonzero(here.state == SHOT)
    assert here.left_out == np.count_nonzero(here.state == LEFT_OUT)
    touched = [entry for entry in book.entries if isinstance(entry, Shot | LeaveOut | Strike)]
    about = {entry.number: entry for entry in book.entries}
    for spot in SPOTS:
        index = book.job.grid.index(spot)
        ever = [e for e in book.entries if isinstance(e, Shot | LeaveOut) and e.position == spot]
        left = [entry for entry in ever if entry in alive]
        assert [line.entry for line in here.written_at(index)] == left
        assert [line.entry for line in here.shots_at(index)] == [e for e in ever if isinstance(e, Shot)]
        assert here.times[index] == sum(isinstance(entry, Shot) for entry in left)
        top = left[-1] if left else None
        assert here.state[index] == (UNSHOT if top is None else SHOT if isinstance(top, Shot) else LEFT_OUT)
        assert here.order[index] == (order[top.number] if top else 0)
        assert here.number[index] == (top.number if top else 0)
        assert here.seconds[index] == (top.time.timestamp() if top else 0.0)
        together: list[Shot] = []
        for entry in reversed(left):
            if not isinstance(entry, Shot):
                break
            together.insert(0, entry)
            if not entry.over:
                break
        heights = [stood_on[entry.number].backsight_nm - entry.reading_nm for entry in together]
        assert here.setup[index] == (order[stood_on[top.number].number] if isinstance(top, Shot) else -1)
        if heights:
            counts = settled(heights, MM)
            assert (here.height_at(index), bool(here.third_due[index])) == (counts.height, counts.third_due)
        else:
            assert (here.height_at(index), bool(here.third_due[index])) == (None, False)
        assert bool(here.read_again[index]) == (len(together) > 1 or bool(together and together[0].over))
        assert [line.entry for line in here.readings_at(index)] == together
        by_setup: dict[int, list[int]] = {}
        for entry, height in zip(together, heights, strict=True):
            by_setup.setdefault(stood_on[entry.number].number, []).append(height)
        sound = [tuple(among_agreeing(each, MM)) for each in by_setup.values()]
        repeated = tuple(each for each in sound if len(each) > 1)
        assert here.repeated.get(index) == (repeated if len(together) > 1 else None)
        assert not here.tablets_disagree[index]
        assert not here.kept[index]
        shots = [entry for entry in ever if isinstance(entry, Shot)]
        told = here.read_more.get(index, ())
        assert [reading.number for reading in told] == ([e.number for e in shots] if len(shots) > 1 else [])
        for reading in told:
            entry = about[reading.number]
            fate = "struck" if entry not in alive else "counts" if entry in together else "replaced"
            assert (reading.fate, reading.said, reading.tablet) == (fate, entry.said, "tablet-a")
            assert reading.setup == order[stood_on[entry.number].number]
    if touched:
        last = touched[-1]
        while isinstance(last, Strike):
            last = about[last.strikes]
        if isinstance(last, Shot | LeaveOut):
            assert here.last == book.job.grid.index(last.position)
