"""The page of a site's pads, from the shot grid and from the list of jobs, and a new job like another."""

from __future__ import annotations

from pathlib import Path

from rodcall.book.model.entries import Check
from rodcall.book.storage.opening import open_job
from rodcall.figures.punch_list import Kind
from rodcall.tablet.paths import jobs_folder
from rodcall.tui.app import RodcallApp
from rodcall.tui.pages.begin.jobs import JobsScreen
from rodcall.tui.pages.begin.like_form import LikeForm
from rodcall.tui.pages.begin.new_job import NewJobScreen
from rodcall.tui.pages.site import SiteScreen
from rodcall.tui.shot_grid.screen import ShotScreen
from rodcall.tui.widgets.lines import Lines
from rodcall.units import FOOT, Unit
from tests.cli.test_site import Site, put
from tests.kit import a_book, a_job, figures, say
from tests.tui.kit import Crew, crew, send

SHOTS = ("A1 5.0", "B1 5.0", "A2 5.0", "B2 5.0")


def shown(at: Crew) -> str:
    return at.pilot.app.screen.query_one(Lines).shown


async def read(at: Crew) -> None:
    await at.pilot.app.workers.wait_for_complete()
    await at.pilot.pause()


async def test_a_check_of_the_open_job_is_written_into_the_other_pad(tmp_path: Path) -> None:
    site = Site()
    site.share()
    say(site.tank, *SHOTS)
    say(site.shed, *SHOTS, "target +0.05", "check BM1 4.00")
    tank = put(tmp_path, "tank.json", site.tank)
    async with crew(site.shed, tmp_path, (110, 30)) as at:
        await at.key(":")
        assert isinstance(at.pilot.app.screen, SiteScreen)
        await read(at)
        text = shown(at)
        assert "site Juniper farm" in text
        assert "BM1 +1.00: Shed, Tank" in text
        assert "set-up on BM1, backsight 4.00 ft: Shed, Tank" in text
        assert "proves Shed; serves Tank too, Enter writes it there" in text
        await at.key("\n")
        await read(at)
        assert "1 check written" in shown(at)
        assert "proves Shed, Tank" in shown(at)
        await at.key("q")
        assert isinstance(at.pilot.app.screen, ShotScreen)
    other = open_job(tank, "reader").book
    assert isinstance(other.entries[-1], Check)
    assert not figures(other).punch_list.of(Kind.NO_CHECK)


async def test_a_check_of_another_pad_is_written_into_the_open_job(tmp_path: Path) -> None:
    site = Site()
    site.share()
    say(site.shed, *SHOTS)
    say(site.tank, *SHOTS, "check BM1 4.00")
    put(tmp_path, "tank.json", site.tank)
    async with crew(site.shed, tmp_path, (110, 30)) as at:
        await at.key(":")
        await read(at)
        await at.key("\n")
        await read(at)
        assert isinstance(at.book.entries[-1], Check)
        assert not at.session.summary.trust.unchecked_mask.any()
        await at.settled()
        assert at.on_disk()[-1] == "check"


async def test_a_job_without_a_site_says_how_to_name_one(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key(":")
        await read(at)
        assert "This job has no site. Name one: e, then f" in shown(at)


async def test_references_that_differ_between_pads_are_told(tmp_path: Path) -> None:
    site = Site()
    say(site.tank, "reference BM1 +1.10")
    put(tmp_path, "tank.json", site.tank)
    async with crew(site.shed, tmp_path, (110, 30)) as at:
        await at.key(":")
        await read(at)
        assert "BM1 DIFFERS: Shed +1.00, Tank +1.10" in shown(at)


async def test_the_list_of_jobs_shows_every_site(tmp_path: Path) -> None:
    jobs_folder().mkdir(parents=True, exist_ok=True)
    put(jobs_folder(), "shed.json", Site().shed)
    async with RodcallApp(None).run_test(size=(110, 30)) as pilot:
        await pilot.pause()
        await send(pilot, "i")
        await pilot.app.workers.wait_for_complete()
        await pilot.pause()
        assert isinstance(pilot.app.screen, SiteScreen)
        assert "site Juniper farm" in pilot.app.screen.query_one(Lines).shown


async def test_a_new_job_like_another_takes_limits_references_and_set_up(tmp_path: Path) -> None:
    jobs_folder().mkdir(parents=True, exist_ok=True)
    shed = Site().shed
    say(shed, "fact tolerance high 0.12ft", "fact customer Orchard")
    put(jobs_folder(), "shed.json", shed)
    async with RodcallApp(None).run_test(size=(110, 30)) as pilot:
        await pilot.pause()
        await send(pilot, "l")
        form = pilot.app.screen
        assert isinstance(form, NewJobScreen)
        assert "new job like Shed" in form.query_one(Lines).shown
        await send(pilot, *"40x20", "enter", "enter")
        await pilot.pause()
        assert isinstance(pilot.app.screen, ShotScreen)
        book = pilot.app.screen.session.book
        assert (book.job.length, book.job.customer, book.job.site) == (40 * FOOT, "Orchard", "Juniper farm")
        assert (book.job.tolerance_high, book.job.tolerance_low) == (12 * FOOT // 100, FOOT // 10)
        assert book.page.references == shed.page.references
        assert book.page.setup is not None
        assert book.page.setup.entry.shared == f"{'a' * 32}:tablet-a:3"


def test_another_unit_takes_its_own_limits() -> None:
    form = LikeForm(a_book(job=a_job(Unit.FT, goal=FOOT // 50)))
    form._by_id["heights"].text = next(words for words in form._by_id["heights"].choices if "inches" in words)
    form._by_id["size"].text = "40x20"
    form._spread(form._by_id["size"])
    job = form.job()
    assert (job.heights, job.goal, job.tolerance_high) == (Unit.IN, FOOT // 24, FOOT // 12)


async def test_the_list_says_why_a_broken_file_cannot_be_like(tmp_path: Path) -> None:
    jobs_folder().mkdir(parents=True, exist_ok=True)
    (jobs_folder() / "broken.json").write_text("{")
    async with RodcallApp(None).run_test(size=(110, 30)) as pilot:
        await pilot.pause()
        await send(pilot, "l")
        assert isinstance(pilot.app.screen, JobsScreen)
        assert "broken.json" in pilot.app.screen.query_one(Lines).shown


async def test_a_bar_shows_which_pad_has_dirt_over(tmp_path: Path) -> None:
    site = Site()
    site.share()
    say(site.tank, *SHOTS, "target +0.20")
    say(site.shed, *SHOTS, "target -0.20")
    put(tmp_path, "tank.json", site.tank)
    async with crew(site.shed, tmp_path, (100, 40)) as at:
        await at.key(":")
        await read(at)
        bars = {line.split()[0]: line for line in shown(at).splitlines() if "|" in line and "#" in line}
        assert bars["Shed"].index("|") < bars["Shed"].index("#")
        assert bars["Tank"].index("#") < bars["Tank"].index("|")
