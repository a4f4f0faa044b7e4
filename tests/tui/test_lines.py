"""The lines that all screens are made of: styles arrive, only what changed is repainted, widths are kept."""

from __future__ import annotations

import pytest
from rich.cells import cell_len
from rich.style import Style
from rich.text import Text
from textual.app import App, ComposeResult
from textual.geometry import Region

from rodcall.tui.widgets.lines import Lines, fitted, tail
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
        monkeypatch.setattr(page, "refresh", lambda *regions, **_: seen.extend(regions))
        page.show(after)
        assert [region.y for region in seen] == repainted


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
