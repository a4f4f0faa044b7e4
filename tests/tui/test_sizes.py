"""What is seen at each size: the pad fills a large screen, all of a usual pad is seen on a small one, nothing cut."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.i18n import speak
from rodcall.tablet.settings import Settings
from rodcall.tui.app import RodcallApp
from rodcall.tui.widgets.lines import Lines
from rodcall.units import FOOT
from tests.kit import a_book, a_job
from tests.tui.kit import Crew, crew, saved

PAD = a_job(name="Pad", along=4, across=5, length=60 * FOOT, width=30 * FOOT)
WIDE_PAD = a_job(name="Pad", along=5, across=4, length=40 * FOOT, width=60 * FOOT)
USUAL = a_job(name="Pad", along=5, across=6, length=40 * FOOT, width=50 * FOOT)
SHOTS = ("A1 -1-3/8", "B1 +1/2", "C1 -2-1/8", "A2 +1-1/4", "B2 out stump", "A3 -3/4", "reference BM1 +4", "target -1/2")
SIZES = ((60, 20), (80, 24), (120, 40), (200, 60))
PAGES = ("t", "e", "d", "p", "a", "k", "?", "\t", "j")


@pytest.mark.parametrize("job", [PAD, WIDE_PAD], ids=["60 x 30 ft", "40 x 60 ft"])
async def test_a_pad_of_four_by_five_covers_half_of_a_large_screen(tmp_path: Path, job: object) -> None:
    async with crew(a_book(*SHOTS, job=job), tmp_path, (200, 60)) as at:
        await at.key("\n")
        laid = at.screen.plan.picture.layout
        assert (laid.rows, laid.columns) == (at.book.job.along, at.book.job.across)
        assert laid.rows * laid.height * laid.columns * laid.width >= 200 * 60 / 2


@pytest.mark.parametrize("language", ["en", "es"])
async def test_all_of_a_pad_of_five_by_six_is_seen_at_the_design_size(tmp_path: Path, language: str) -> None:
    """Heights, and cut or fill, whole, of every spot at once."""
    speak(language)
    names = USUAL.grid.names
    shots = [f"{name} {'-+'[at % 2]}1-{2 * (at % 4) + 1}/8" for at, name in enumerate(names)]
    book = a_book(*shots, "target -1/2", job=USUAL)
    settings = Settings(language=language, vibration_ms=0)
    async with RodcallApp(saved(book, tmp_path), settings=settings).run_test(size=(80, 24)) as pilot:
        at = Crew(pilot, tmp_path)
        await at.key("\n")
        rows = at.plan.splitlines()
        works = ("C", "F", "cut", "fill") if language == "en" else ("C", "R", "cortar", "rellenar")
        for name, said in zip(names, shots, strict=True):
            x, y, width, height = at.region(name)
            cell = [row[x : x + width] for row in rows[y : y + height]]
            assert said.split()[1] in cell[0], name
            assert any(f"{work} " in cell[1] for work in works), name
            assert ".." not in "".join(cell)


async def test_at_the_smallest_size_verdict_and_punch_list_are_in_view(tmp_path: Path) -> None:
    async with crew(a_book(*SHOTS), tmp_path, (60, 20)) as at:
        assert at.shown("fold").split("  ")[0].strip() == "FAIL"
        assert "punch list " in at.shown("top")


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("language", ["en", "es"])
async def test_no_line_ends_in_two_points(tmp_path: Path, size: tuple[int, int], language: str) -> None:
    """On the shot grid and the pages over it, in both languages; a term's source on a small screen stands below it."""
    speak(language)
    settings = Settings(language=language, vibration_ms=0)
    async with RodcallApp(saved(a_book(*SHOTS, job=PAD), tmp_path), settings=settings).run_test(size=size) as pilot:
        at = Crew(pilot, tmp_path)
        await at.key("\n")
        for key in PAGES:
            await at.press({"\t": "tab"}.get(key, key))
            await pilot.app.workers.wait_for_complete()
            await pilot.pause()
            for widget in pilot.app.screen.query(Lines):
                for line in widget.shown.splitlines():
                    assert not line.rstrip().endswith("..") or (key == "e" and size[0] < 100), (key, line)
            await at.press("q" if key in "ted\t" else "escape")
