"""Blocks of text side by side, and the scale of shades."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.text import Text

from rodcall.tui.widgets.columns import GAP, set_out, shade_scale


@given(
    heights=st.lists(st.integers(1, 4), min_size=1, max_size=40), width=st.integers(20, 260), height=st.integers(1, 70)
)
def test_every_line_is_there_once_blocks_stay_whole_and_nothing_is_wider(
    heights: list[int], width: int, height: int
) -> None:
    def blocks(across: int) -> list[list[Text]]:
        return [[Text(f"<{at}.{line}>") for line in range(tall)] for at, tall in enumerate(heights)]

    lines = [line.plain for line in set_out(blocks, width, height)]
    assert all(cell_len(line.rstrip()) <= width for line in lines)
    for at, tall in enumerate(heights):
        rows = [next(row for row, line in enumerate(lines) if f"<{at}.{each}>" in line) for each in range(tall)]
        assert rows == list(range(rows[0], rows[0] + tall)), "a block is not broken"
    assert sum(line.count("<") for line in lines) == sum(heights)


def test_a_wide_screen_has_columns_and_a_tall_one_air() -> None:
    def blocks(across: int) -> list[list[Text]]:
        return [[Text(f"row {at}")] for at in range(20)]

    assert [line.plain for line in set_out(blocks, 80, 20)] == [f"row {at}" for at in range(20)]
    wide = [line.plain for line in set_out(blocks, 200, 59)]
    assert wide[0].split() == ["row", "0", "row", "10"]
    assert wide[1].strip() == ""
    assert wide[0].index("row 10") == (200 - GAP) // 2 + GAP


def test_the_shades_fill_their_room_and_have_the_trades_words() -> None:
    for width, rows in ((60, 1), (80, 6), (198, 30)):
        lines = [line.plain for line in shade_scale(width, rows)]
        assert len(lines) == rows
        assert len({len(line) for line in lines}) == 1
        assert width - 9 < len(lines[0]) - 1 <= width
        assert "fill" in lines[(rows - 1) // 2]
        assert "cut" in lines[(rows - 1) // 2]
