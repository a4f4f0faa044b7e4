"""A pad too big for the screen: all of it in shades, and the ways to the spots that matter."""

from __future__ import annotations

from pathlib import Path

from rodcall.units import FOOT
from tests.kit import a_book, a_job
from tests.tui.kit import crew

OUT = ("A1 0", "B1 +2", "C1 -4", "C2 +3", "B2 0", "target 0")


async def test_next_worst_goes_from_the_worst_to_the_least_and_round(tmp_path: Path) -> None:
    async with crew(a_book(*OUT), tmp_path) as at:
        visited = []
        for _ in range(4):
            await at.press("!")
            visited.append(at.here)
        assert visited == ["C1", "C2", "B1", "C1"]
        assert "1 of 3: 3 spots out of tolerance: C1 C2 B1" in at.prompt
        assert at.said.startswith("C1  LOW 4  fill 4")


async def test_next_worst_steps_through_the_overview_too(tmp_path: Path) -> None:
    async with crew(a_book(*OUT), tmp_path) as at:
        await at.press("v", "!")
        assert at.screen.plan.overview
        assert "[=" in at.plan
        await at.press("v")
        assert "┌" in at.plan
        assert at.here == "C1"


async def test_where_no_spot_is_wrong_the_first_thing_open_is_said(tmp_path: Path) -> None:
    async with crew(a_book("A1 0", "B1 0"), tmp_path) as at:
        await at.press("!")
        assert "10 spots not shot" in at.prompt
        assert at.here == "C1", "and nobody is sent anywhere"


async def test_next_worst_goes_to_readings_that_do_not_fit_and_spots_left_out_too(tmp_path: Path) -> None:
    """The punch list is stepped through, not only what is out of tolerance."""
    even = ("A1 0", "B1 -1/4", "C1 -3/8", "C2 -1/2", "B2 -3/8", "A2 -1/8")
    async with crew(a_book(*even, "C3 out rut"), tmp_path) as at:
        await at.press("home", "up", "up")
        await at.key("+12\n")
        steps = {}
        for _ in range(8):
            await at.press("!")
            steps.setdefault(at.here, []).append(at.prompt.splitlines()[1])
        assert any("does not fit" in told for told in steps["A3"])
        assert any("left out" in told for told in steps["C3"])


async def test_all_of_a_big_pad_is_seen_with_its_legend_at_the_smallest_size(tmp_path: Path) -> None:
    job = a_job(along=100, across=100, length=300 * FOOT, width=300 * FOOT)
    async with crew(a_book("A1 0", "AA50 -3", "target 0", job=job), tmp_path, (60, 20)) as at:
        await at.press("v")
        assert "each shade: the worst of" in at.plan
        assert "# + HIGH out, in   = - LOW out, in   o crew tol." in at.plan
        assert [line for line in at.plan.splitlines() if "=" in line and "HIGH" not in line], "the one low spot"


async def test_a_tap_on_a_shade_goes_to_its_numbers(tmp_path: Path) -> None:
    job = a_job(along=100, across=100, length=300 * FOOT, width=300 * FOOT)
    async with crew(a_book("A1 0", job=job), tmp_path, (80, 24)) as at:
        await at.press("v")
        shades = at.screen.plan.picture.overview.shades
        await at.tap(2 + shades.wide * 5, (shades.rows - 3 - 1) * shades.tall + 1)
        assert not at.screen.plan.overview
        grid = at.book.job.grid
        assert divmod(at.session.cursor, grid.across) == (3 * shades.per_row, 5 * shades.per_column)


async def test_the_apron_is_marked_and_the_footprint_is_not(tmp_path: Path) -> None:
    margins = [f"set margin-{side} 10ft" for side in ("near", "far", "left", "right")]
    job = a_job(along=5, across=5, length=40 * FOOT, width=40 * FOOT)
    async with crew(a_book("A1 0", "C3 -1", *margins, job=job), tmp_path, (80, 24)) as at:
        await at.press("end")
        lines = {line.split()[0]: line for line in at.plan.splitlines() if line.strip()[:1].isdigit()}
        assert lines["1"].count(":") == 5
        assert lines["3"].count(":") == 2


async def test_a_spot_that_is_open_twice_over_does_not_hold_the_crew(tmp_path: Path) -> None:
    """A3 is out of tolerance and does not fit either."""
    even = ("A1 0", "B1 0", "C1 0", "C2 0", "B2 0", "A2 0", "C3 out rut", "A3 +12", "target 0")
    async with crew(a_book(*even), tmp_path) as at:
        at.session.known.shot(at.session.summary, 6, "+12")
        at.session.refigure(anew=False)
        visited = []
        for _ in range(4):
            await at.press("!")
            visited.append(at.here)
        assert visited == ["A3", "C3", "A3", "C3"]
