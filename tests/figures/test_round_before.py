"""The round before fills the gaps of a later one: surface, dirt, dig; and never an average or a verdict."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodcall.units import INCH, MM, Unit
from rodcall.wording import dig as words_dig
from tests.kit import a_book, a_job, figures, say

EXISTING = (
    *("A1 -1", "B1 +1/2", "C1 -2", "C2 -1/2", "B2 0", "A2 +1-1/4", "A3 -3/4", "B3 -1/2", "C3 +1/4", "C4 -1"),
    *("B4 -1/4", "A4 +3/4", "target -1/2"),
)


def test_a_new_round_has_the_ground_of_the_one_before() -> None:
    """With no shot yet the volumes are those of the round before, to the last bit."""
    book = a_book(*EXISTING)
    before = figures(book)
    say(book, "round final")
    now = figures(book)
    assert before.dirt is not None
    assert now.dirt is not None
    assert now.dirt.earth == before.dirt.earth
    assert now.area_average == before.area_average
    assert (now.covered, now.average, now.verdict) == (0.0, None, "NOT PROVEN")


def test_what_was_shot_again_replaces_the_round_before_there_alone() -> None:
    book = a_book(*EXISTING)
    heights = figures(book).heights.copy()
    say(book, "round working", "A1 -1/2", "C4 -3/8")
    now = figures(book)
    assert now.estimated is not None
    heights[now.grid.index("A1")], heights[now.grid.index("C4")] = -INCH // 2, -3 * INCH // 8
    assert now.estimated.tolist() == heights.tolist()
    assert (now.evidence.touched, now.evidence.of_before) == (2, 12)
    assert now.counted == 2
    assert now.average == -(INCH // 2 + 3 * INCH // 8) / 2
    assert now.within_tolerance == 2


def test_a_spot_left_out_has_the_round_before_and_stays_open() -> None:
    book = a_book(*EXISTING, "round final", "A1 out rut")
    now = figures(book)
    index = now.grid.index("A1")
    assert now.estimated is not None
    assert now.estimated[index] == -INCH
    assert now.evidence.touched == 0
    assert index in now.left_out
    assert now.height_at(index) is None


def test_the_latest_round_that_has_a_spot_counts() -> None:
    book = a_book(*EXISTING, "round working", "A1 -3/4", "round final")
    now = figures(book)
    assert now.before_at(now.grid.index("A1")) == (-3 * INCH // 4, -INCH // 4)
    assert now.before_at(now.grid.index("B1")) == (INCH // 2, INCH)
    assert (now.evidence.touched, now.evidence.of_before) == (0, 12)


def test_where_no_round_has_a_spot_it_is_estimated() -> None:
    """A plane that all shots lie in is met exactly: 1/4 in a line, so the corner that nobody shot is +3/4."""
    rise = "0", "+1/4", "+1/2", "+3/4"
    flat = [f"{name} {rise[int(name[1]) - 1]}" for name in a_job().grid.names if name != "C4"]
    book = a_book(*flat, "round final", "A1 0")
    now = figures(book)
    index = now.grid.index("C4")
    assert now.estimated is not None
    assert now.estimated[index] == 3 * INCH // 4
    assert now.before_at(index) is None
    assert "(estimated)" in words_dig.work(now, index)
    assert "(round before)" in words_dig.work(now, now.grid.index("B4"))


def test_a_first_round_has_nothing_before_it() -> None:
    now = figures(a_book("A1 -1", "B1 +1/2"))
    assert (now.evidence.touched, now.evidence.of_before) == (0, 0)
    assert not now.from_before.any()
    assert now.before_at(5) is None


def test_what_is_no_part_of_the_pad_has_no_round_before() -> None:
    now = figures(a_book(*EXISTING, "round final", "A4 not pad corner"))
    assert now.evidence.of_before == 11
    assert now.before_at(now.grid.index("A4")) is None


def test_with_another_zero_the_round_before_is_told_from_it() -> None:
    book = a_book(*EXISTING, "zero A2", "round working", "B1 -3/4")
    now = figures(book)
    assert now.before_at(now.grid.index("A1")) == (-INCH - 5 * INCH // 4, -INCH // 2)


@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_shot_by_shot_the_surface_goes_from_one_round_to_the_next(data: st.DataObject) -> None:
    """At each moment the surface is, spot by spot, this round's height or the one before it; nothing is guessed."""
    heights = st.integers(-50, 50)
    job = a_job(Unit.MM, along=3, across=3)
    first = {name: data.draw(heights) for name in job.grid.names}
    book = a_book(*(f"{name} {each:+d}" for name, each in first.items()), "round working", job=job)
    now = dict(first)
    for name in data.draw(st.lists(st.sampled_from(job.grid.names), unique=True, max_size=5)):
        now[name] = data.draw(heights)
        say(book, f"{name} {now[name]:+d}")
        told = figures(book)
        assert told.estimated is not None
        assert told.estimated.tolist() == [each * MM for each in now.values()]
        assert told.area_average == pytest.approx(
            float((told.area_weights.ravel() * told.estimated).sum() / told.area_weights.sum()), abs=1e-3
        )
        assert np.count_nonzero(told.from_before) == 9 - told.counted
