"""The lay-out page, on the screen as from the shell: tapes, squareness, machine, layers, footprint."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.tui.pages.layout import LayoutScreen
from rodcall.tui.widgets.lines import Lines
from rodcall.units import FOOT, MM, M, Unit
from rodcall.wording import layout as words_layout
from tests.kit import a_book, a_job, figures
from tests.tui.kit import crew

PAD = a_job(along=3, across=3, length=40 * FOOT, width=30 * FOOT)
SHOTS = ["A1 0", "B1 -1", "C1 0", "A2 +1", "B2 0", "C2 0", "A3 0", "B3 0", "C3 0"]


def told(*lines: str, at: str = "A1", job=PAD, width: int = 80) -> str:
    summary = figures(a_book(*lines, job=job))
    return "\n".join(words_layout.layout_lines(summary, summary.grid.index(at), width))


def test_running_tapes_begin_at_the_corner() -> None:
    text = told()
    assert "lines: tape away from the pad's near left corner, A1\n" in text
    assert [" ".join(line.split()) for line in text.splitlines() if "edge" in line][:2] == [
        '1 0" 2 20\' 0" 3 40\' 0" edge 40\' 0"',
        'A 0" B 15\' 0" C 30\' 0" edge 30\' 0"',
    ]


def test_an_inset_is_said_and_counted_in() -> None:
    text = told(job=a_job(Unit.MM, along=3, across=3, length=12 * M, width=9 * M, inset=500 * MM))
    assert "A1 lies 0.50 m in from both" in text
    assert [" ".join(line.split()) for line in text.splitlines() if "edge " in line] == [
        "1 0.50 m 2 6.00 m 3 11.50 m edge 12.00 m",
        "A 0.50 m B 4.50 m C 8.50 m edge 9.00 m",
    ]


def test_the_diagonal_of_a_square_pad() -> None:
    assert "square when both diagonals of the pad are 50' 0\"" in told()
    assert "set diagonal-1 and diagonal-2 as taped" in told()
    assert "set diagonal-2 as taped" in told("set diagonal-1 50ft")


@pytest.mark.parametrize(
    ("first", "second", "verdict"),
    [
        # d1^2 - d2^2 = 4 x width x shift: (50.3 - 49.7) x 100 / (4 x 30) = 0.5 ft.
        ("50.3ft", "49.7ft", 'too far right: move both far corners 6" left'),
        ("49.7ft", "50.3ft", 'too far left: move both far corners 6" right'),
        ("50ft", "50ft", "equal, the pad is square"),
        # sqrt((50^2 + 52^2) / 2) = 51.0098 ft instead of 50.
        ("50ft", "52ft", "1' 0\" too long for sides of 40' 0\" and 30' 0\"; the sides or the tape are off"),
        ("50ft", "52ft", "diagonal 2 (near right to far left) is 2' 0\" longer"),
        # By hand in tests/figures/test_layout.py: equal, but of no pad with these sides.
        ("45ft", "45ft", "5' 0\" too short for sides of"),
        ("45ft", "45ft", "length -2' 8\", width -2' 0\", diagonals +1' 8\" and +1' 8\"; tape all again"),
        ("70ft", "2ft", "no pad with these sides"),
    ],
)
def test_out_of_square_in_words(first: str, second: str, verdict: str) -> None:
    assert verdict in " ".join(told(f"set diagonal-1 {first}", f"set diagonal-2 {second}").split())


def test_machine_offsets_from_the_zero_and_each_reference() -> None:
    text = told(*SHOTS, "target -1/2", "reference BM1 low 4 1/2in", "reference HUB high 1ft")
    assert 'zeroed on ZERO (A1)  key in -1/2" (grade is below)' in text
    assert 'zeroed on BM1        key in +4" (grade is above)' in text
    assert "zeroed on HUB        key in -1' 0-1/2\" (grade is below)" in text


@pytest.mark.parametrize(
    ("at", "said"),
    [
        ("A2", 'at A2: dig 1-1/2, then zero the machine; its 0 is then grade\n  or zero it on the ground there as it '
         'is, and key in -1-1/2" (grade is below)'),
        ("B1", 'at B1: fill 1/2 and compact, then zero the machine; its 0 is then grade\n  or zero it on the ground '
         'there as it is, and key in +1/2" (grade is above)'),
    ],
)  # fmt: skip
def test_what_to_do_where_the_machine_stands(at: str, said: str) -> None:
    assert said in told(*SHOTS, "target -1/2", at=at)


def test_a_position_on_the_target_and_one_not_shot() -> None:
    assert "at A1: it is on target; zero the machine there" in told(*SHOTS, "target 0")
    assert "at C3 (not shot, estimated): " in told(*SHOTS[:-1], "target -1/2", at="C3")


def test_a_zero_that_will_be_dug_away_is_warned_of() -> None:
    assert "the zero at A1 will be dug away (1): write a reference off the pad" in told(*SHOTS, "target -1")


def test_layers_and_stone() -> None:
    text = told(*SHOTS, "target -1/2", "set stone 4in", "set stone-waste 0%")
    assert 'finished grade      +3-1/2"' in text
    assert 'subgrade to dig to  -1/2"\n' in text
    # WSDOT Design Manual, densities (second-hand; COMPUTED): 30 x 40 ft at 4 in, 14.8148 yd3, 27.407 short tons.
    assert "stone to order      14.8 yd3 in place, 27.4 tons, 2 loads, 1 lift" in text


def test_a_slope_is_said_to_hold_from_the_zero() -> None:
    sloped = a_job(along=3, across=3, length=40 * FOOT, width=30 * FOOT, slope_along=-0.01)
    assert "that is grade at A1; the slopes run from there" in told(*SHOTS, job=sloped)


MARGINS = ("set margin-near 20ft", "set margin-far 5ft", "set margin-left 10ft")


def test_footprint_drawn_with_its_margins() -> None:
    lines = told(*SHOTS, "target 0", *MARGINS).splitlines()
    top = next(y for y, line in enumerate(lines) if line.strip() == "far edge")
    bottom = next(y for y, line in enumerate(lines) if line.startswith("  near edge"))
    drawn = [line[2:] for line in lines[top + 1 : bottom]]
    assert len({len(line) for line in drawn}) == 1
    far, near, left = (next((y, line.index(nm)) for y, line in enumerate(drawn) if nm in line) for nm in
                       ("5' 0\"", "20' 0\"", "10' 0\""))  # fmt: skip
    inner = [y for y, line in enumerate(drawn) if line[1:-1].strip().startswith("+-")]
    assert far[0] < inner[0] < left[0] < inner[-1] < near[0]
    # No margin at the right: the two edges are one. The near margin is half of the length, and of the drawing.
    assert drawn[inner[0]].endswith("-+")
    assert (len(drawn) - 1 - inner[-1]) == pytest.approx((len(drawn) - 1) / 2, abs=1)
    assert "footprint" in drawn[left[0]]
    text = " ".join(" ".join(lines).split())
    assert '15\' 0" out by 20\' 0" across; margins near 20\' 0", far 5\' 0", left 10\' 0", right 0"' in text


def test_footprint_and_apron_are_counted_apart() -> None:
    text = told(*SHOTS, "target -1", *MARGINS)
    # In it: B2 and C2; C2 and B2 stand 1 in high, as is allowed. On the apron A2 is 2 in high.
    assert "in the footprint  2 positions (B2-C2), 2 shot, 2 inside the tolerance" in text
    assert "on the apron      7 positions (A1-C1 A2 A3-C3), 7 shot, 6 inside the tolerance" in text


def test_margins_without_room() -> None:
    assert "the margins leave no footprint" in told("set margin-near 40ft")
    assert "none: set margin-near" in told()


@pytest.mark.parametrize("width", [40, 59, 79, 199])
@pytest.mark.parametrize("size", [(5, 30), (30, 5), (200, 190)])
def test_no_line_is_longer_than_the_screen(width: int, size: tuple[int, int]) -> None:
    job = a_job(along=4, across=4, length=size[0] * FOOT, width=size[1] * FOOT)
    lines = told("A1 -1", "set margin-near 1ft", "set margin-right 1ft", "set margin-left 1/2in", job=job, width=width)
    assert max(map(len, lines.splitlines())) <= width


async def test_the_page_opens_for_the_cursors_position_scrolls_and_closes(tmp_path: Path) -> None:
    async with crew(a_book(*SHOTS, "target -1/2", job=PAD), tmp_path, (60, 16)) as at:
        await at.press("home", "right")
        await at.key("p")
        page = at.pilot.app.screen
        assert isinstance(page, LayoutScreen)
        seen = page.query_one(Lines)
        assert "lines: tape away" in seen.shown
        assert "at B1: fill 1/2" in seen.shown
        await at.key("22")
        assert "lines: tape away" not in seen.shown
        await at.key("8")
        await at.key("q")
        assert at.pilot.app.screen is at.screen
