"""A plan that moves with the crew is what it would be if all of it were drawn anew."""

from __future__ import annotations

from pathlib import Path

from rodcall.tui.shot_grid.plan import Plan
from tests.kit import a_book, a_job
from tests.tui.kit import crew


async def test_what_is_moved_is_as_if_drawn_anew(tmp_path: Path) -> None:
    """Along the lines and back, with readings that move the target, and others that do not."""
    job = a_job(along=40, across=14)
    said = ("-1/4", "-1/8", "-3/8", "+1/2", "-1/4", "-1 1/2", "-1/4")
    async with crew(a_book("A1 0", job=job), tmp_path, (80, 24)) as at:
        plan = at.pilot.app.screen.query_one(Plan)
        seen = set()
        for number in range(40):
            await at.key(f"{said[number % len(said)]}\n", "")
            await at.settled()
            seen.add((plan.picture.row, plan.picture.column))
            assert plan._drawn == plan._all_lines(), number
        assert len(seen) >= 4, "the plan never moved"
        for key in ("pageup", "up", "right", "right", "right", "pagedown", "home", "end", "left", "down"):
            await at.press(key)
            seen.add((plan.picture.row, plan.picture.column))
            assert plan._drawn == plan._all_lines(), key
        assert len({row for row, _ in seen}) >= 2, "nor up and down"
