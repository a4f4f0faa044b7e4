"""Every screen at every size, in both languages and in each theme: nothing cut, nothing wider than it, all legible."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual.app import App
from textual.color import Color

from rodcall.tui.terminal.colours import DAY
from rodcall.tui.terminal.themes import THEMES
from tests.looks.scenes import LANGUAGES, SCENES, SIZES, at_rest, cut, shown, text_of
from tests.tui.test_colours import ENOUGH, contrast

LEGIBLE = ("day", "sun", "night")
"""Themes with colours of their own; the others are the terminal's, which test_colours.py measures."""
OF_THE_CREW = re.compile(r"^\s*(Seedling|Greenhouse)[a-z ]*\.\.")
"""A name that the crew gave may be cut where there is no room."""


def painted(app: App[None]) -> Iterator[Segment]:
    """All that is seen, as it goes to the terminal."""
    for strip in app.screen._compositor.render_strips():
        yield from strip


def faint(app: App[None]) -> list[tuple[str, float]]:
    """What has a contrast below that of WCAG 2.2, 1.4.3, with its ratio."""
    found = []
    for part in painted(app):
        style = part.style
        if style is None or not part.text.strip() or style.color is None or style.bgcolor is None:
            continue
        ratio = contrast(str(style.color.name), str(style.bgcolor.name))
        if ratio < ENOUGH:
            found.append((part.text, ratio))
    return found


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("name", SCENES)
async def test_a_screen_is_whole_and_legible(tmp_path: Path, home: Path, name: str, language: str) -> None:
    async with shown(name, SIZES[0], language, tmp_path) as pilot:
        app = pilot.app
        for size in SIZES:
            await pilot.resize_terminal(*size)
            await at_rest(pilot)
            lines = text_of(app)
            assert len(lines) == size[1]
            assert {cell_len(line) for line in lines} == {size[0]}
            assert [
                line for line in cut(app) if not OF_THE_CREW.match(line) or ".." in OF_THE_CREW.sub("", line)
            ] == [], size
        for theme in LEGIBLE if language == LANGUAGES[0] else ():
            app.wear(theme)  # type: ignore[attr-defined]
            await at_rest(pilot)
            assert faint(app) == [], theme


FILLED = ("help", "legend", "terms", "facts", "read", "read-shown", "sites", "jobs", "form", "punch-list", "proof")
"""Screens that were a column of text at the left of a wide screen once."""


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("name", FILLED)
async def test_a_wide_screen_is_used(tmp_path: Path, home: Path, name: str, language: str) -> None:
    """On 200 x 60 something stands in the right half of two lines in five, and in the lower half too."""
    async with shown(name, SIZES[-1], language, tmp_path) as pilot:
        width, height = SIZES[-1]
        used = []
        for strip in pilot.app.screen._compositor.render_strips():
            right = list(strip.crop(width // 2, width))
            used.append(any(part.text.strip() or (part.style and coloured(part.style)) for part in right))
        assert sum(used) >= 0.4 * height
        assert any(used[height * 2 // 3 : -2])


def coloured(style: Style) -> bool:
    """Is its ground another than the screen's?"""
    return style.bgcolor is not None and style.bgcolor.name != DAY.ground


@pytest.mark.parametrize("name", ["jobs", "read-shown"])
async def test_a_narrow_screen_shows_the_pad_below_the_text(tmp_path: Path, home: Path, name: str) -> None:
    async with shown(name, SIZES[0], "en", tmp_path) as pilot:
        assert any("far end" in line for line in text_of(pilot.app))


def test_the_measure_of_what_is_seen_would_notice(tmp_path: Path) -> None:
    """Else the test above proves nothing."""
    assert set(LEGIBLE) < set(THEMES)
    assert contrast(DAY.bare, DAY.ground) < ENOUGH < contrast(DAY.text, DAY.ground)
    assert Color.parse(DAY.ground).hex.lower() == DAY.ground
