"""The lines that all screens are made of: styles arrive, only what changed is repainted, widths are kept."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.style import Style
from rich.text import Text
from textual.app import App, ComposeResult
from textual.geometry import Region

from rodcall.tui.widgets.lines import Lines, broken, clause, fitted, path_words, shortened, tail
from tests.tui.kit import strips

BAR = Style(reverse=True, bold=True)


class Page(App[None]):
    def compose(self) -> ComposeResult:
        yield Lines(id="page")


async def test_the_style_of_a_whole_line_reaches_the_terminal() -> None:
    async with Page().run_test(size=(20, 5)) as pilot:
        page = pilot.app.query_one(Lines)
        page.show([Text("bar", BAR), Text("half ", BAR).append("faint", Style(dim=True)), "plain"])
        bar, half, plain = (line[0].style for line in strips(page)[:3])
        assert bar is not None
        assert half is not None
        assert plain is not None
        assert (bar.reverse, half.reverse, plain.reverse) == (True, True, None)
        assert "".join(part.text for part in strips(page)[2]) == "plain".ljust(20)


@pytest.mark.parametrize(
    ("before", "after", "repainted"),
    [
        (["a", "b"], ["a", "b"], []),
        (["a", "b"], ["a", "c"], [1]),
        ([Text("a", BAR), "b"], ["a", Text("b", BAR)], [0, 1]),
        ([Text("ab").append("c", BAR)], [Text("a").append("bc", BAR)], [0]),
        (["a"], ["a", "b"], [1]),
        (["a", "b", "c"], ["a"], [1, 2]),
    ],
)
async def test_only_lines_that_look_different_are_repainted(
    before: list[Text | str], after: list[Text | str], repainted: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    async with Page().run_test(size=(20, 5)) as pilot:
        page = pilot.app.query_one(Lines)
        page.show(before)
        seen: list[Region] = []
        monkeypatch.setattr(page.screen, "refresh", lambda *regions, **_: seen.extend(regions))
        page.show(after)
        assert [region.y - page.region.y for region in seen] == repainted


@pytest.mark.parametrize("text", ["", "pad", "a rather long name of a pad", "日本語日本語日本語", "e\u0301" * 30])
@pytest.mark.parametrize("width", [0, 1, 2, 3, 9, 10])
def test_fitted_is_as_wide_as_asked_and_says_when_it_is_cut(text: str, width: int) -> None:
    shown = fitted(text, width)
    assert cell_len(shown) == width
    assert shown.endswith("..") == (cell_len(text) > width and width >= 2)


@pytest.mark.parametrize("text", ["", "-1-3/8", "0123456789" * 50, "日本語" * 40])
@pytest.mark.parametrize("width", [1, 2, 8, 40])
def test_tail_keeps_the_end_that_is_being_typed(text: str, width: int) -> None:
    shown = tail(text, width)
    assert text.endswith(shown)
    assert cell_len(shown) <= width
    assert shown == text or cell_len(shown) >= width // 2


@given(
    st.lists(st.text("ab cñ漢", min_size=1, max_size=12).filter(str.strip), min_size=1, max_size=6), st.integers(2, 60)
)
def test_what_is_shortened_has_room_and_keeps_whole_sentences_from_the_first(parts: list[str], width: int) -> None:
    sentences = [" ".join(part.split()) for part in parts]
    told = shortened("  ".join(sentences), width)
    assert cell_len(told) <= width
    if cell_len(sentences[0]) <= width:
        kept = told.split("  ")
        assert kept == sentences[: len(kept)]
        assert kept == sentences or cell_len("  ".join(sentences[: len(kept) + 1])) > width


def test_a_list_that_is_shortened_says_how_many_went() -> None:
    assert shortened("to 10: 3 m3; to 11: 2 m3; to 4: 1 m3", 24, "; ") == "to 10: 3 m3 +2 more"


def test_of_two_sentences_the_last_goes_first_then_a_clause() -> None:
    told = "A3 again.  LOW 12 does not fit, about LOW 1.  ONE FOOT off? Then -3/8"
    assert shortened(told, 66) == "A3 again.  LOW 12 does not fit, about LOW 1.  ONE FOOT off?"
    assert shortened(told, 50) == "A3 again.  LOW 12 does not fit, about LOW 1."
    assert shortened(told, 40) == "A3 again.  LOW 12 does not fit"


@given(st.text("ab c", min_size=1, max_size=80), st.integers(10, 40), st.integers(1, 4))
def test_text_on_lines_has_room_and_loses_nothing_without_two_points(text: str, width: int, most: int) -> None:
    lines = broken(text, width, most=most)
    assert len(lines) <= most
    assert all(cell_len(line) <= width for line in lines)
    if not any(line.rstrip().endswith("..") for line in lines):
        assert "".join("".join(lines).split()) == "".join(text.split())


@pytest.mark.parametrize(
    ("text", "width", "told"),
    [
        ("Move the job; in the archive, back.", 40, "Move the job; in the archive, back."),
        ("Move the job; in the archive, back.", 30, "Move the job"),
        ("Move the job; in the archive, back.", 20, "Move the job"),
        ("Show tapes, squareness, footprint, layers.", 30, "Show tapes, squareness"),
        ("Read a check shot: a reference again, to prove it.", 44, "Read a check shot"),
        ("default (US Army, table 1-1)", 20, "default"),
        ("Undo the last (kept, lined out).", 24, "Undo the last"),
        ("no end of a clause in it", 12, "no end of .."),
    ],
)
def test_what_has_no_room_ends_with_a_clause(text: str, width: int, told: str) -> None:
    assert clause(text, width) == told


def test_a_path_begins_at_home_or_keeps_its_end(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    path = tmp_path / "jobs" / "pad.json"
    assert path_words(path, 60) == os.path.join("~", "jobs", "pad.json")
    assert path_words(path, 14) == os.path.join("...", "pad.json")
    assert path_words(path, 3) == os.path.join("...", "pad.json")
