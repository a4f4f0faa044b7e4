"""The terms page: what is in force and where it comes from; Enter sets one, with the numeric pad alone."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.events import Paste

from rodcall.book.book import Book
from rodcall.book.model.terms import TERMS, parse_term
from rodcall.tui.pages.terms import TermsScreen
from rodcall.tui.widgets.lines import Lines
from rodcall.units import FOOT, INCH, MM, M, Unit
from rodcall.wording import terms as words_terms
from tests.kit import a_book, a_job
from tests.tui.kit import Crew, crew


@asynccontextmanager
async def terms(book: Book, folder: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Crew]:
    """The terms page, opened by its key from the shot grid."""
    async with crew(book, folder, size) as at:
        await at.key("e")
        assert isinstance(at.pilot.app.screen, TermsScreen)
        yield at


def shown(at: Crew) -> list[str]:
    return at.pilot.app.screen.query_one(Lines).shown.splitlines()


def row(at: Crew, name: str) -> str:
    return next(" ".join(line[1:].split()) for line in shown(at) if line[1:].startswith(f"{name} "))


async def go_to(at: Crew, name: str) -> None:
    for _ in range(list(TERMS).index(name)):
        await at.key("2")
    assert any(line.startswith(f">{name} ") for line in shown(at))


async def test_customary_values_stand_with_their_sources(tmp_path: Path) -> None:
    async with terms(a_book(), tmp_path, (100, 50)) as at:
        # US Army FM 5-434 (2000) table 1-1 (MEMORY); WSDOT Design Manual (second-hand); Ohio DOT C&MS 304.04 (SEEN).
        assert row(at, "soil") == "soil loam default (US Army FM 5-434 (2000), table 1-1)"
        assert row(at, "swell") == "swell 25% default (US Army FM 5-434 (2000), table 1-1)"
        assert row(at, "lift") == 'lift 4" default (Ohio DOT C&MS 304.04, no vibratory roller)'
        assert row(at, "stone-density").startswith("stone-density 1.85 ton/yd3 default (WSDOT")
        assert row(at, "bucket") == "bucket 0.50 yd3 default (common practice)"
        assert row(at, "shrink") == "shrink 10% from job setup"
        assert row(at, "margin-near") == "margin-near - not set"


async def test_what_was_said_stands_as_it_was_said(tmp_path: Path) -> None:
    book = a_book("set lane 4-1-1/2in", "set soil clay", "set margin-left 3ft")
    async with terms(book, tmp_path, (100, 50)) as at:
        assert row(at, "lane") == "lane 4-1-1/2in set in this job"
        assert row(at, "swell") == "swell 43% of clay (US Army FM 5-434 (2000), table 1-1)"
        assert row(at, "margin-far") == 'margin-far 0" none, since another margin is set'


async def test_what_shrink_means_is_said_where_it_is_set(tmp_path: Path) -> None:
    async with terms(a_book(), tmp_path) as at:
        await go_to(at, "shrink")
        # FHWA Federal Lands PDDM chapter 9 (SEEN) means 1 / (1 + s), 0.8 with 25 %: 20 % here, as ours is 1 - s.
        text = " ".join(" ".join(shown(at)).split())
        assert "fill made = cut x (1 - shrink)" in text
        assert "25%: the fill is 0.75 of the cut. For 25% more cut than fill, say 20%." in text


async def test_the_thickest_lift_by_the_roller_is_said_where_it_is_set(tmp_path: Path) -> None:
    """Ohio DOT C&MS 304.04 (SEEN)."""
    async with terms(a_book(), tmp_path) as at:
        await go_to(at, "lift")
        text = " ".join(" ".join(shown(at)).split())
        assert "8 in under a 12-ton vibratory roller, 6 in under one of 10 to 12 tons, 4 in without." in text


async def test_enter_sets_a_term_as_one_entry_and_it_is_saved(tmp_path: Path) -> None:
    async with terms(a_book("A1 -1"), tmp_path) as at:
        await go_to(at, "shrink")
        await at.key("\n20%\n")
        assert row(at, "shrink") == "shrink 20% set in this job"
        assert [(entry.kind, entry.said) for entry in at.book.entries] == [("shot", "-1"), ("term", "20%")]
        await at.key("q")
        await at.settled()
        assert at.on_disk() == ["shot", "term"]
        dirt = at.session.summary.dirt
        assert dirt is not None
        assert dirt.soil.shrink == pytest.approx(0.2)
        await at.key("u")
        assert at.book.page.terms.said == {}


async def test_refused_text_leaves_the_line_empty_with_its_message_and_esc_gives_up(tmp_path: Path) -> None:
    async with terms(a_book(), tmp_path) as at:
        await go_to(at, "bucket")
        await at.key("\n0.x\n")
        assert any("bucket" in line and line.rstrip().endswith("> _") for line in shown(at))
        assert any("is not understood; say" in line for line in shown(at))
        assert at.book.entries == []
        await at.key("0.8yd3\n")
        assert at.book.entries[-1].said == "0.8yd3"
        await at.key("\n9")
        await at.press("escape")
        assert row(at, "bucket") == "bucket 0.8yd3 set in this job"
        assert len(at.book.entries) == 1


async def test_enter_on_an_empty_line_leaves_it_as_it_was(tmp_path: Path) -> None:
    async with terms(a_book(), tmp_path) as at:
        await at.key("2\n\n")
        assert at.book.entries == []
        await at.key("2")
        assert any(line.startswith(">swell ") for line in shown(at))


async def test_a_choice_is_answered_by_its_number(tmp_path: Path) -> None:
    async with terms(a_book(), tmp_path) as at:
        await at.key("\n")
        assert any("1 sand  2 loam  3 clay  4 rock" in line for line in shown(at))
        await at.key("9")
        assert any("one of" in line for line in shown(at))
        await at.key("3")
        assert at.book.page.terms.word("soil") == "clay"


@pytest.mark.parametrize(
    ("heights", "name", "keyed", "value"),
    [
        (Unit.IN, "lane", "12", 12 * FOOT),
        (Unit.IN, "lane", "12.5", 25 * FOOT // 2),
        (Unit.IN, "diagonal-1", "72-1-1/2", 72 * FOOT + 3 * INCH // 2),
        (Unit.FT, "stone", "4", 4 * INCH),
        (Unit.IN, "stone", "1/2", INCH // 2),
        (Unit.IN, "bucket", ".5", 0.5 * 0.9144**3),
        (Unit.IN, "shrink", "12", 0.12),
        (Unit.IN, "stone-density", "1.9", 1.9 * 907.18474 / 0.9144**3),
        (Unit.MM, "lane", "3.5", 7 * M // 2),
        (Unit.MM, "stone", "100", 100 * MM),
        (Unit.M, "truck", "6", 6.0),
        (Unit.CM, "stone-density", "2.1", 2100.0),
        (Unit.MM, "laser-spec", "1.5", 1.5 / 30_000),
        (Unit.IN, "laser-spec", "1/16", 1 / 16 / 1200),
        (Unit.IN, "check-shots", "25", 25),
    ],
)
async def test_the_numeric_pad_alone_sets_it(
    heights: Unit, name: str, keyed: str, value: float, tmp_path: Path
) -> None:
    async with terms(a_book(job=a_job(heights)), tmp_path) as at:
        await go_to(at, name)
        await at.key("\n", keyed, "\n")
        assert at.book.page.terms.said == {name: pytest.approx(value)}
        await at.key("-")
        assert at.pilot.app.screen is at.screen


@pytest.mark.parametrize("heights", Unit)
@pytest.mark.parametrize("name", TERMS)
def test_what_is_written_for_a_custom_says_it_again(name: str, heights: Unit) -> None:
    book = a_book(job=a_job(heights))
    written = words_terms.value_words(book.page, name)
    if TERMS[name].default in (None, "") or written.startswith("0 "):
        return
    # Volumes, densities and the level's beam are written to two figures or so.
    assert parse_term(name, written) == pytest.approx(TERMS[name].default, rel=0.05)


async def test_a_tap_chooses_and_a_second_one_asks(tmp_path: Path) -> None:
    async with terms(a_book(), tmp_path) as at:
        y = next(y for y, line in enumerate(shown(at)) if line.startswith(" truck"))
        for _ in range(2):
            await at.pilot.click(Lines, offset=(5, y))
            assert any(line.startswith(">truck") for line in shown(at))
        assert any("truck, in yd3" in line for line in shown(at))


async def test_pasted_and_hostile_text_is_shown_harmlessly(tmp_path: Path) -> None:
    async with terms(a_book(), tmp_path) as at:
        await go_to(at, "people")
        await at.key("\n")
        at.pilot.app.screen.post_message(Paste("[b]Ann[/b]\x1b[31m\u202e" + "x" * 300))
        await at.pilot.pause()
        await at.key("\n")
        assert at.book.page.terms.word("people").startswith("[b]Ann[/b]")
        assert row(at, "people").startswith("people [b]Ann[/b]·[31")


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (200, 60), (20, 6), (2, 2)])
async def test_the_bar_is_in_view_at_every_size(size: tuple[int, int], tmp_path: Path) -> None:
    async with terms(a_book(), tmp_path, size) as at:
        for _ in range(len(TERMS) + 1):
            await at.press("up")
            if size[1] >= 20:
                assert any(line.startswith(">") for line in shown(at))
                assert len(shown(at)) <= size[1]
