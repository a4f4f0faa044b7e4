"""Two tablets' books of one job become one: nothing doubled, nothing changed, whichever is named first."""

from __future__ import annotations

import copy
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.model.entries import Readings, Strike
from rodcall.book.storage.merge import JoinError, join
from rodcall.book.storage.opening import JobFile, open_job
from tests.cli.kit import rodcall
from tests.kit import START, a_book, a_job, say


def another(book: Book, tablet: str, start: int = 0) -> Book:
    """The same book, handed to another tablet, whose clock is so many seconds later."""
    other = Book(book.job, tablet)
    for entry in book.entries:
        other.take(entry)
    seconds = iter(range(start, 10**6, 10))
    other.clock = lambda: START + timedelta(seconds=next(seconds))
    return other


def kept(folder: Path, name: str, book: Book) -> JobFile:
    file = JobFile(folder / f"{name}.json", book)
    file.save()
    return open_job(file.path, "reader")


ACTS = st.lists(
    st.one_of(
        st.tuples(st.just("shoot"), st.sampled_from(["A1", "B2", "C4"]), st.sampled_from(["-1", "+2", "0"])),
        st.tuples(st.just("leave_out"), st.sampled_from(["A1", "B2"])),
        st.tuples(st.just("strike_last"), st.sampled_from(["A1", "B2", "C4"])),
        st.sampled_from([("undo",), ("redo",), ("note", "wind"), ("aim", "-1/2")]),
    ),
    max_size=8,
)


def act(book: Book, acts: list[tuple[str, ...]]) -> None:
    for name, *arguments in acts:
        try:
            getattr(book, name)(*arguments)
        except ValueError:
            continue


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(ACTS, ACTS, ACTS, st.integers(-200, 200), st.integers(-200, 200))
def test_any_two_and_three_books_in_any_order(tmp_path, shared, ones, others, early, late):
    begun = a_book()
    act(begun, shared)
    one, other, third = (
        another(begun, name, start) for name, start in (("b", 100), ("c", 100 + early), ("d", 300 + late))
    )
    act(one, ones)
    act(other, others)
    third.note("third")
    a, b, c = (kept(tmp_path, name, book) for name, book in (("a", one), ("b", other), ("c", third)))
    joined = join(a, b, tmp_path / "joined.json")
    assert joined.content() == join(b, a, tmp_path / "x.json").content()
    keys = [(entry.tablet, entry.number) for entry in joined.book.entries]
    assert len(keys) == len(set(keys))
    assert set(keys) == {(entry.tablet, entry.number) for book in (one, other) for entry in book.entries}
    for tablet in {tablet for tablet, _ in keys}:
        numbers = [number for name, number in keys if name == tablet]
        assert numbers == sorted(numbers)
    for place, entry in enumerate(joined.book.entries):
        if isinstance(entry, Strike):
            assert (entry.written_on, entry.strikes) in keys[:place]
    joined.save()
    again = open_job(joined.path, "reader")
    assert again.book.entries == joined.book.entries
    assert again.broken_seals == ()
    assert join(again, a, tmp_path / "x.json").content() == joined.content(), "joined once more, nothing changes"
    b_c = join(b, c, tmp_path / "bc.json")
    all_one_way, all_other_way = join(joined, c, tmp_path / "x.json"), join(a, b_c, tmp_path / "x.json")
    assert all_one_way.book.entries == all_other_way.book.entries
    assert all_one_way.joined == all_other_way.joined


def test_each_tablets_own_order_stands_whatever_its_clock_said(tmp_path):
    begun = a_book("A1 0")
    one, other = another(begun, "b", 100), another(begun, "c", 120)
    times = iter([START + timedelta(hours=5), START])
    one.clock = lambda: next(times)
    say(one, "B1 -1", "C1 -2")
    say(other, "A2 -3")
    joined = join(kept(tmp_path, "a", one), kept(tmp_path, "b", other), tmp_path / "c.json")
    assert [entry.said for entry in joined.book.entries] == ["0", "-3", "-1", "-2"]


def test_both_struck_it_and_one_took_it_back(tmp_path):
    begun = a_book("A1 0", "B1 -1")
    one, other = another(begun, "b", 100), another(begun, "c", 105)
    one.strike_last("B1")
    other.strike_last("B1")
    joined = join(kept(tmp_path, "a", one), kept(tmp_path, "b", other), tmp_path / "c.json")
    index = joined.book.page.position("B1")
    assert joined.book.page.round.height_at(index) is None
    other.redo()
    joined = join(kept(tmp_path, "a", one), kept(tmp_path, "b", other), tmp_path / "c.json")
    assert joined.book.page.round.height_at(index) is None, "the other tablet's strike stands"
    one.redo()
    joined = join(kept(tmp_path, "a", one), kept(tmp_path, "b", other), tmp_path / "c.json")
    assert joined.book.page.round.height_at(index) is not None
    assert joined.book.page.round.times[index] == 1


def rod_book(*lines: str) -> Book:
    return a_book("reference BM1 0", *lines, job=a_job(readings=Readings.ROD))


def test_two_setups_at_the_same_time_never_move_a_shot_to_the_other(tmp_path):
    """In the order of times each tablet's shots would hang on the setup of the other."""
    begun = rod_book()
    one, other = another(begun, "b", 100), another(begun, "c", 105)
    say(one, "setup BM1 4ft", "A1 4ft", "B1 4ft 1in", "C1 4ft 2in")
    say(other, "setup BM1 5ft", "A2 5ft", "B2 5ft 1in", "C2 5ft 2in")
    joined = join(kept(tmp_path, "a", one), kept(tmp_path, "b", other), tmp_path / "c.json")
    for book, name in ((one, "B1"), (one, "C1"), (other, "A2"), (other, "C2")):
        index = book.page.position(name)
        assert joined.book.page.round.height_at(index) == book.page.round.height_at(index)


def test_rounds_begun_on_both_tablets_stay_apart(tmp_path):
    begun = a_book("A1 0")
    one, other = another(begun, "b", 100), another(begun, "c", 105)
    say(one, "round working", "A1 -1", "B1 -1")
    say(other, "C3 -3", "round final", "A1 -2")
    joined = join(kept(tmp_path, "a", one), kept(tmp_path, "b", other), tmp_path / "c.json")
    assert [str(each.kind) for each in joined.book.page.rounds] == ["existing", "working", "final"] or [
        str(each.kind) for each in joined.book.page.rounds
    ] == ["existing", "final", "working"]
    assert joined.book.page.rounds[0].shots == 2


def test_different_jobs_and_differing_books_are_refused(tmp_path):
    one = kept(tmp_path, "a", a_book("A1 0"))
    with pytest.raises(JoinError, match="two different jobs: 'Greenhouse pad' and 'Tank'"):
        join(
            one, kept(tmp_path, "b", a_book(job=a_job(name="Tank").model_copy(update={"id": "1" * 32}))), tmp_path / "c"
        )
    with pytest.raises(JoinError, match="place differs between the two books"):
        join(one, kept(tmp_path, "b", a_book(job=a_job(place="elsewhere"))), tmp_path / "c")
    with pytest.raises(JoinError, match="entry 1 of tablet tablet-a is not the same in both"):
        join(one, kept(tmp_path, "b", a_book("A1 -1")), tmp_path / "c")


def test_what_was_edited_before_joining_still_shows_and_where_it_comes_from(tmp_path):
    begun = a_book("A1 0", "B1 -1")
    a, b = kept(tmp_path, "a", another(begun, "b", 100)), kept(tmp_path, "b", another(begun, "c", 200))
    text = a.path.read_text("utf-8").replace('"said": "-1"', '"said": "-2"').replace("-25400000", "-50800000")
    edited, honest = tmp_path / "edited.json", copy.copy(b)
    edited.write_text(text.replace('"tablet": "tablet-a"', '"tablet": "tablet-z"'), "utf-8")
    joined = join(open_job(edited, "reader"), honest, tmp_path / "c.json")
    joined.save()
    again = open_job(joined.path, "reader")
    assert again.broken_seals
    places = {again.book.entries[place - 1].tablet for place in again.broken_seals}
    assert places == {"tablet-z"}
    assert [each["seal"] for each in again.joined["books"]] == sorted({open_job(edited, "r").seal, honest.seal})


def test_from_the_shell(tmp_path):
    begun = a_book("A1 0")
    one, other = another(begun, "b", 100), another(begun, "c", 105)
    say(one, "B1 -1")
    say(other, "C1 -2")
    a, b = kept(tmp_path, "a", one).path, kept(tmp_path, "b", other).path
    told = rodcall("join", a, b, "--to", tmp_path / "c.json")
    assert (told.status, told.out) == (0, f"{tmp_path / 'c.json'}: 3 entries\n")
    assert rodcall("join", b, a, "--to", tmp_path / "d.json").status == 0
    assert (tmp_path / "c.json").read_bytes() == (tmp_path / "d.json").read_bytes()
    assert "already exists" in rodcall("join", a, b, "--to", tmp_path / "c.json").refusal
    assert (
        "place differs"
        in rodcall(
            "join", a, kept(tmp_path, "e", a_book(job=a_job(place="x"))).path, "--to", tmp_path / "f.json"
        ).refusal
    )
    assert not (tmp_path / "f.json").exists()
