"""The target page: a chart with axes and marks, moved along at once, and the design's shape in words."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from rodcall.tui.pages.target_page import drawing as target_drawing
from rodcall.tui.pages.target_page.screen import TargetScreen
from rodcall.tui.terminal import charset
from rodcall.tui.widgets.chart import LABEL, LEAST, STRIP, Axes, Chart, Curves, column_of, round_step
from rodcall.tui.widgets.lines import Lines
from tests.kit import a_book, figures
from tests.tui.kit import Crew, crew

SHOTS = [
    f"{column}{row} {said}"
    for row, said in zip(range(1, 5), ("-1", "-1/2", "+1/2", "+1"), strict=True)
    for column in "ABC"
]


def page(at: Crew) -> list[str]:
    return at.pilot.app.screen.query_one(Lines).shown.splitlines()


def a_chart(rows: int, *, fine: bool = False) -> Chart:
    """Cut falls from 10 to 0, fill rises from 0 to 10, spare goes from 10 to -10, over heights of -50 to 49."""
    offsets = list(range(-50, 50))
    falling = np.linspace(10, 0, 100).tolist()
    rising = falling[::-1]
    spare = (np.array(falling) - np.array(rising)).tolist()
    return Chart(Curves(offsets, falling, rising, spare, [8] * 50 + [0] * 50), Axes("yd3", "in", str, 10), rows, fine)


# -- the chart ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("fine", [True, False])
def test_lines_begin_and_end_where_their_volumes_are(fine: bool) -> None:
    shown = [line.plain for line in a_chart(20, fine=fine).drawn({}, 0)]
    body = shown[: 20 - 3 - STRIP]
    assert body[0][LABEL] != " ", "cut at its most is at the top left"
    assert body[-1].rstrip()[-1] not in "|+", "spare at its least is at the bottom right"
    labels = [line[: LABEL - 2].strip() for line in body]
    assert "0 yd3" in labels
    numbers = [float(label.split()[0]) for label in labels if label]
    assert numbers == sorted(numbers, reverse=True)
    assert len(numbers) >= 3


@pytest.mark.parametrize("fine", [True, False])
def test_each_line_is_told_without_colour(fine: bool) -> None:
    shown = "\n".join(line.plain for line in a_chart(30, fine=fine).drawn({}, 0))
    assert [name in shown for name in (" cut ", " fill ", " spare ")] == [True] * 3


def test_the_axis_has_heights_at_round_numbers_under_their_columns() -> None:
    lines = [line.plain for line in a_chart(20).drawn({}, 0)]
    axis = next(at for at, line in enumerate(lines) if line.startswith("height in") or " height in" in line[:LABEL])
    ticks, heights = lines[axis - 1], lines[axis]
    for column, character in enumerate(ticks[LABEL:]):
        if character == "+" and 3 < column < 95:
            said = heights[LABEL + column - 2 : LABEL + column + 3].split()
            assert int(said[0]) == -50 + column


def test_marks_stand_at_their_heights_and_here_moves() -> None:
    chart = a_chart(20)
    marks = {"a": (-20, "average"), "b": (30, "balance")}
    for here in (-40, 0, 45):
        line = next(line.plain for line in chart.drawn(marks, here) if "^" in line.plain)
        assert line.index("^") == LABEL + column_of(chart.curves.offsets, here)
        assert abs(line.index("a average") - LABEL - column_of(chart.curves.offsets, -20)) <= 1
        assert abs(line.index("b balance") - LABEL - column_of(chart.curves.offsets, 30)) <= 1


def test_the_strip_is_high_where_many_spots_are_out_and_empty_where_none_is() -> None:
    lower = a_chart(20).drawn({}, 0)[-1].plain
    assert set(lower[LABEL : LABEL + 50]) == {"█"}
    assert set(lower[LABEL + 50 :]) <= {" "}


def test_every_chart_has_the_lines_it_was_given() -> None:
    for rows in range(LEAST, 60):
        assert len(a_chart(rows).drawn({}, 0)) == rows


def test_steps_are_one_two_five() -> None:
    assert [round_step(least) for least in (0.9, 1.0, 1.1, 3, 7, 0.03)] == [1, 1, 2, 5, 10, pytest.approx(0.05)]


def test_spots_out_at_each_height_are_those_of_the_summary() -> None:
    summary = figures(a_book(*SHOTS))
    plane = summary.target
    assert plane is not None
    curves = target_drawing.curves(summary.with_target(plane), [0], 40)
    for offset, out in zip(curves.offsets[::7], curves.out[::7], strict=True):
        moved = summary.with_target(replace(plane, offset_nm=offset))
        assert len(moved.outside) == out


# -- the page -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40), (200, 60)])
async def test_chart_table_and_keys_are_all_in_view(size: tuple[int, int], tmp_path: Path) -> None:
    async with crew(a_book(*SHOTS), tmp_path, size) as at:
        await at.press("t")
        shown = page(at)
        assert len(shown) == size[1]
        assert all(len(line) <= size[0] for line in shown)
        text = "\n".join(shown)
        for told in ("height", "^ HERE", "spare", "spots out", "Enter uses this", "yd3"):
            assert told in text, told
        if size == (200, 60):
            assert "A4" in text, "the pad is drawn beside the chart"


async def test_arrows_move_and_the_page_follows(tmp_path: Path) -> None:
    async with crew(a_book(*SHOTS), tmp_path, (120, 40)) as at:
        await at.press("t")
        before = next(line.index("^") for line in page(at) if line.startswith(" " * LABEL) and "^" in line)
        await at.press("up", "up", "up", "up")
        after = next(line.index("^") for line in page(at) if line.startswith(" " * LABEL) and "^" in line)
        assert after > before


async def test_letters_draw_it_where_the_terminal_has_no_braille(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "linux")
    async with crew(a_book(*SHOTS), tmp_path, (120, 40)) as at:
        await at.press("t")
        text = "\n".join(page(at))
        assert not any("\u2800" <= character <= "\u28ff" for character in text)
        assert "CCC" in text


def test_which_terminals_have_braille() -> None:
    assert charset.has_braille({"TERM": "xterm-256color", "WT_SESSION": "x"})
    assert not charset.has_braille({"TERM": "linux"})


# -- the design's shape -------------------------------------------------------------------------------------


async def test_a_shape_is_chosen_by_a_numeric_pad_alone(tmp_path: Path) -> None:
    async with crew(a_book(*SHOTS), tmp_path, (120, 40)) as at:
        await at.press("t", "d")
        await at.key("2\n", "2.1\n", "2.4\n", "1/50\n")
        assert "shape: crown B1 B4 1/50" in page(at)[0]
        await at.press("enter")
        entry = at.book.entries[-1]
        assert (entry.kind, entry.shape) == ("target", "crown B1 B4 1/50")


@pytest.mark.parametrize("said", ["crown B1 B4 2%", "valley B1 B4 1%", "ramp A2 A4 6in", "dish B3 1%"])
async def test_a_shape_is_said_in_one_line(tmp_path: Path, said: str) -> None:
    async with crew(a_book(*SHOTS), tmp_path, (120, 40)) as at:
        await at.press("t", "d")
        await at.key(f"{said}\n", "\n")
        assert at.book.design == said
        await at.press("t")
        assert said in page(at)[0]
        await at.press("d")
        await at.key("plane\n", "\n")
        assert at.book.design == ""


async def test_a_shape_that_is_not_understood_stays_in_the_line(tmp_path: Path) -> None:
    async with crew(a_book(*SHOTS), tmp_path, (120, 40)) as at:
        await at.press("t", "d")
        await at.key("crown B1 2%\n")
        assert isinstance(at.pilot.app.screen, TargetScreen)
        assert any("crown B1" in line for line in page(at)[-2:])
        assert at.pilot.app.screen.design == ""


async def test_slopes_and_moving_keep_the_shape(tmp_path: Path) -> None:
    async with crew(a_book(*SHOTS, "design crown B1 B4 2%"), tmp_path, (120, 40)) as at:
        await at.press("t", "up", "v", "enter")
        assert at.book.design == "crown B1 B4 2%"


async def test_a_numeric_pad_types_a_slope(tmp_path: Path) -> None:
    async with crew(a_book(*SHOTS), tmp_path, (120, 40)) as at:
        await at.press("t", "f")
        await at.key("1/50\n", "-1/100\n", "\n")
        entry = at.book.entries[-1]
        assert (entry.slope_along, entry.slope_across) == (0.02, -0.01)
