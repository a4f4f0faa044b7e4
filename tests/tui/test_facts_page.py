"""The facts page: the form again for a job that is begun, with what each line changes, written all or none."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import numpy as np
import pytest

from rodcall.book.book import Book
from rodcall.book.storage.opening import open_job
from rodcall.tui.pages.facts import FactsScreen
from rodcall.tui.pages.facts_form import LABELS, FactsForm, with_units
from rodcall.tui.pages.terms import TermsScreen
from rodcall.tui.shot_grid.screen import ShotScreen
from rodcall.tui.widgets.lines import Lines
from rodcall.units import FOOT, Unit
from tests.kit import a_book, a_job
from tests.tui.kit import Crew, crew


@asynccontextmanager
async def facts(book: Book, folder: Path, size: tuple[int, int] = (110, 30)) -> AsyncIterator[Crew]:
    """The facts page, opened by its keys from the shot grid."""
    async with crew(book, folder, size) as at:
        await at.key("e", "f")
        assert isinstance(at.pilot.app.screen, FactsScreen)
        yield at


def shown(at: Crew) -> str:
    return at.pilot.app.screen.query_one(Lines).shown


async def go_to(at: Crew, name: str) -> None:
    screen = at.pilot.app.screen
    assert isinstance(screen, FactsScreen)
    place = [*LABELS, "write"].index(name)
    steps = place - screen.form.at
    await at.press(*["down" if steps > 0 else "up"] * abs(steps))
    assert screen.form.at == place


async def test_every_fact_stands_as_it_is(tmp_path: Path) -> None:
    async with facts(a_book(), tmp_path) as at:
        text = shown(at)
        assert "Greenhouse pad" in text
        assert "60' 0\" out x 40' 0\" across" in text
        assert "4 out x 3 across" in text


async def test_what_a_line_changes_stands_beside_it_and_nothing_is_written_yet(tmp_path: Path) -> None:
    async with facts(a_book("A1 0"), tmp_path, (160, 30)) as at:
        await go_to(at, "size")
        await at.key("50x40")
        assert "size of the pad: 60' 0\" out x 40' 0\" across -> 50' 0\" out x 40' 0\" across" in shown(at)
        assert len(at.book.entries) == 1
        await at.key("\n")
        screen = at.pilot.app.screen
        assert isinstance(screen, FactsScreen)
        assert list(LABELS)[screen.form.at] == "count", "Enter goes to the next fact, not past all of them"


async def test_the_last_line_writes_all_and_readings_stay(tmp_path: Path) -> None:
    async with facts(a_book("A1 0", "B2 +1/2"), tmp_path) as at:
        await go_to(at, "count")
        await at.key("6x5")
        await go_to(at, "crew-tolerance")
        await at.key("1/4")
        await go_to(at, "write")
        await at.key("\n")
        assert isinstance(at.pilot.app.screen, TermsScreen)
        assert (at.book.job.along, at.book.job.across, at.book.job.goal) == (6, 5, FOOT // 48)
        await at.key("q")
        assert isinstance(at.pilot.app.screen, ShotScreen)
        assert at.session.summary.grid.size == 30
        assert at.book.page.round.shots == 2
    assert open_job(at.path, "reader").book.job.along == 6


async def test_one_that_cannot_be_leaves_all_unwritten_and_says_the_way_out(tmp_path: Path) -> None:
    async with facts(a_book("A1 0", "C4 +1/2"), tmp_path) as at:
        await at.key("Barn")
        await go_to(at, "count")
        await at.key("3x3")
        await go_to(at, "write")
        await at.key("\n")
        assert "strike entry 2 first" in shown(at)
        assert len(at.book.entries) == 2
        await at.press("escape")
        assert at.book.job.name == "Greenhouse pad"


async def test_a_wrong_line_is_said_beside_it(tmp_path: Path) -> None:
    async with facts(a_book(), tmp_path) as at:
        await go_to(at, "count")
        await at.key("1x3")
        await go_to(at, "write")
        await at.key("\n")
        assert "at least 2 shots along" in shown(at)
        assert at.book.entries == []


async def test_the_cursor_stays_on_its_spot_by_name_and_undo_takes_the_grid_back(tmp_path: Path) -> None:
    book = a_book("A1 0", "B1 0", "C1 0", "C2 0")
    async with facts(book, tmp_path) as at:
        here = at.session.here
        await go_to(at, "count")
        await at.key("5x6")
        await go_to(at, "write")
        await at.key("\n", "q")
        assert at.session.summary.grid.across == 6
        assert at.session.here in at.session.summary.grid.names
        await at.key("u")
        assert at.session.summary.grid.across == 3
        assert at.session.here == here


@pytest.mark.parametrize(
    ("name", "said", "meant"),
    [
        ("size", "60x40", "60ftx40ft"),
        ("size", "60 x 40", "60ft x 40ft"),
        ("size", "60ft x 40ft", "60ft x 40ft"),
        ("spacing-along", "10 12 12.5", "10ft 12ft 12.5ft"),
        ("spacing-along", "10' 12ft 3m", "10' 12ft 3m"),
        ("step", "1/8", "1/8in"),
        ("tolerance", "3/4", "3/4in"),
        ("slope-along", "-1", "-1%"),
        ("slope-along", "-1%", "-1%"),
        ("count", "5x6", "5x6"),
        ("name", "Pad 7", "Pad 7"),
    ],
)
def test_bare_numbers_take_the_customary_unit(name: str, said: str, meant: str) -> None:
    assert with_units(a_job(), name, said) == meant


def test_each_fact_has_its_line_in_the_form() -> None:
    from rodcall.book.model.facts import FACTS

    assert set(FACTS) | {"tolerance", "reason"} == set(LABELS)


def test_a_reason_goes_with_each_change() -> None:
    book = a_book(job=a_job(Unit.FT))
    form = FactsForm(book)
    for field in form._fields:
        field.text = {"step": "0.02", "tolerance": "0.05", "reason": "new rod"}.get(
            field.id, field.text if field.choices else ""
        )
    form.check()
    form.write(book)
    assert [getattr(entry, "why", "") for entry in book.entries] == ["new rod"] * 3


async def test_a_line_added_at_the_near_edge_moves_a1_and_the_crew_stays_where_it_was(tmp_path: Path) -> None:
    async with facts(a_book("A1 0", "B1 +1/2"), tmp_path) as at:
        await go_to(at, "add-lines-near")
        await at.key("12")
        await go_to(at, "write")
        await at.key("\n", "q")
        assert at.session.summary.names(np.flatnonzero(at.session.summary.counts)) == ["A2", "B2"]
        await at.press("down")
        await at.key("1/4h\n")
        await at.settled()
    book = open_job(at.path, "reader").book
    assert (book.job.zero, book.job.along) == ("A2", 5)
    assert book.entries[-1].before_a1 == (1, 0)
