"""The round before stays on the plan, dimmed, until a spot is shot again; and marks that change at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.tui.terminal.colours import DAY
from tests.figures.test_round_before import EXISTING
from tests.kit import a_book, a_job
from tests.tui.kit import Crew, crew, strips

SIZES = [(80, 24), (60, 20)]


def segments(at: Crew, text: str) -> list[tuple[str, str | None, bool]]:
    """The painted parts that hold this text: text, colour, reverse."""
    return [
        (
            part.text,
            part.style.color.name if part.style and part.style.color else None,
            bool(part.style and part.style.reverse),
        )
        for line in strips(at.screen.plan)
        for part in line
        if text in part.text
    ]


@pytest.mark.parametrize("size", SIZES)
async def test_an_unshot_spot_shows_the_round_before(tmp_path: Path, size: tuple[int, int]) -> None:
    async with crew(a_book(*EXISTING, "round final"), tmp_path, size) as at:
        assert "b -2 " in at.plan
        assert "fill 1-1/2" in at.plan
        # Far out of tolerance, but of the round before: neither in reverse nor in the colours of this round.
        for text, colour, reverse in segments(at, "b -2"):
            assert (colour, reverse) == (DAY.ink_bare, False), text
        await at.key("-1/2\n")
        shown = at.plan
        assert shown.count("b ") == 11


@pytest.mark.parametrize("size", SIZES)
async def test_the_panel_counts_what_was_touched(tmp_path: Path, size: tuple[int, int]) -> None:
    where, label, before, after = (
        ("panel", "shot again", "0 of 12", "1 of 12")
        if size[0] >= 80
        else ("fold", "shot again", "shot again 0/12", "shot again 1/12")
    )
    async with crew(a_book(*EXISTING), tmp_path, size) as at:
        assert label not in at.shown(where)
    async with crew(a_book(*EXISTING, "round final"), tmp_path, size) as at:
        assert before in at.shown(where)
        await at.key("-1/2\n")
        assert after in at.shown(where)
        assert label in at.shown(where)


async def test_the_overview_keeps_dots(tmp_path: Path) -> None:
    async with crew(a_book(*EXISTING, "round final", "A1 -1/2"), tmp_path) as at:
        await at.key("v")
        shades = [line for line in at.plan.splitlines()[1:] if "crew tol" not in line]
        assert sum(line.count(".") for line in shades) == 11


async def test_the_target_page_opens_before_the_first_shot_of_a_later_round(tmp_path: Path) -> None:
    for keys in (("t",), ("d",)):
        async with crew(a_book(*EXISTING[:-1], "round working"), tmp_path) as at:
            await at.press(*keys)
            assert at.pilot.app.screen is not at.screen


async def test_a_bad_check_marks_its_shots_at_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    job = a_job(readings="rod")
    lines = ("reference BM1 +4", "setup BM1 4'", "A1 4' 1", "B1 4' 2", "C1 4' 1", "C2 4'")
    async with crew(a_book(*lines, job=job), tmp_path) as at:
        assert "s " not in at.plan
        anew: list[int] = []
        draw_cell = at.screen.plan.draw_cell
        monkeypatch.setattr(at.screen.plan, "draw_cell", lambda at, draw: (anew.append(at), draw_cell(at, draw))[1])
        at.session.written(at.book.check("BM1", "4' 2"))
        at.screen.repaint()
        await at.pilot.pause()
        assert at.plan.count("s ") >= 4
        assert set(at.session.summary.trust.suspect) == {0, 1, 2, 5}
        # And the spot that was named until then (B2): the line names the reference now, and no spot is framed.
        assert set(anew) - {-1} == {0, 1, 2, 4, 5}


async def test_two_readings_that_disagree_are_marked_3(tmp_path: Path) -> None:
    async with crew(a_book(*EXISTING[:4], "A1 +1"), tmp_path) as at:
        assert "3 +1" in at.plan


async def test_a_limit_that_changes_repaints_what_is_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    async with crew(a_book(*EXISTING), tmp_path) as at:
        out = at.plan.count("!")
        at.session.written(at.book.set_term("tolerance-high", "4in", "customer"))
        at.session.written(at.book.set_term("tolerance-low", "4in", "customer"))
        was_out = {y for y, line in enumerate(at.plan.splitlines()) if "!" in line}
        repainted: set[int] = set()
        top = at.screen.plan.region.y
        monkeypatch.setattr(at.screen, "refresh", lambda *regions: repainted.update(each.y - top for each in regions))
        at.screen.repaint()
        await at.pilot.pause()
        assert out > 0
        assert at.plan.count("!") == 0
        assert was_out <= repainted
