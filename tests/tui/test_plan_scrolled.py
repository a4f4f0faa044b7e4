"""A plan that moves with the crew is what it would be if all of it were drawn anew."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from rodcall.book.fold.round_page import Change
from rodcall.book.model.entries import RoundKind
from rodcall.tui.shot_grid.plan import Plan
from rodcall.units import Unit
from tests.kit import a_book, a_job
from tests.tui.kit import crew

IN_INCHES = ("-1/4", "-1/8", "-3/8", "+1/2", "-1/4", "-1 1/2", "-1/4")
IN_MM = ("-40", "-55", "+38", "-70", "-47", "+60", "-52")
"""Each moves the target, most by less than a shade."""


@pytest.mark.parametrize(("unit", "said"), [(Unit.IN, IN_INCHES), (Unit.MM, IN_MM)])
async def test_what_is_moved_is_as_if_drawn_anew(unit: Unit, said: tuple[str, ...], tmp_path: Path) -> None:
    """Along the lines and back, with readings that move the target, and others that do not."""
    job = a_job(along=40, across=14, heights=unit)
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


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (200, 60)], ids=str)
@pytest.mark.parametrize("sloping", [False, True])
async def test_what_differs_is_as_if_drawn_anew(size: tuple[int, int], sloping: bool, tmp_path: Path) -> None:
    """Acts of every kind on a pad of few and large cells: readings, targets, limits, what is left out, a new round."""
    slopes = (0.01, -0.005) if sloping else (0.0, 0.0)
    async with crew(a_book("A1 0"), tmp_path, size) as at:
        plan, book = at.pilot.app.screen.query_one(Plan), at.book
        acts: list[Callable[[], Change]] = [
            lambda: book.shoot("B1", "-1 1/2"),
            lambda: book.shoot("C1", "+2"),
            lambda: book.aim("-1/2", "", *slopes),
            lambda: book.shoot("C1", "+1/8"),
            lambda: book.set_term("tolerance-high", "4in", "customer"),
            lambda: book.leave_out("B2"),
            lambda: book.shoot("A2", "-11-15/16"),
            lambda: book.aim("-3/4", "", *slopes),
            lambda: book.begin_round(RoundKind.WORKING),
            lambda: book.shoot("A1", "-1/4"),
            lambda: book.aim("+1", "", *slopes),
        ]
        before = [line.copy() for line in plan._drawn]
        for number, act in enumerate(acts):
            at.session.written(act())
            at.screen.repaint()
            assert plan._drawn == plan._all_lines(), number
        assert before != plan._drawn
