"""The call-out: what it tells, in letters as large as there is room for, and work on it as on the grid."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from rodcall.book.storage.autosave import Keeper, Kept
from rodcall.tui.shot_grid.call_out import call_out_lines, fits, sizes_for
from rodcall.tui.widgets.block_digits import block_letters, columns_of, rows_of
from rodcall.tui.widgets.styles import BAR
from rodcall.units import FOOT, INCH, Unit
from rodcall.wording.call_out import CallOut, call_out
from rodcall.wording.read_back import Call, ReadBack, at_spot
from tests.kit import a_book, a_job, figures
from tests.tui.kit import Crew, crew

FULL = [f"{column}{row} 0" for row in range(1, 5) for column in "ABC"]

# -- letters ------------------------------------------------------------------------------------------------

NOTHING_SAID = ReadBack(("",))


def bits(rows: list[str]) -> list[str]:
    """The half rows that a terminal lights up. Source: Unicode's names, UPPER HALF BLOCK and its like (MEMORY)."""
    upper, lower = str.maketrans("█▀▄ ", "##.."), str.maketrans("█▀▄ ", "#.#.")
    return [half for row in rows for half in (row.translate(upper), row.translate(lower))]


@given(st.text("ABCXYZ0123456789'\"-+/.,^> ", min_size=1, max_size=9), st.integers(1, 12), st.integers(1, 12))
def test_larger_letters_are_the_small_ones_with_each_pixel_larger(text: str, tall: int, wide: int) -> None:
    small, large = bits(block_letters(text)), bits(block_letters(text, tall, wide))
    assert [row[::wide] for row in large[: 5 * tall : tall]] == small[:5]
    assert all(large[row] == large[row // tall * tall] for row in range(5 * tall))
    assert all(row[at] == row[at // wide * wide] for row in large for at in range(len(row)))
    assert {len(row) for row in large} == {columns_of(text, wide)}
    assert len(large) == 2 * rows_of(tall)


def test_no_two_letters_look_alike_but_o_and_zero_and_their_like() -> None:
    letters = "ABCDEFGHIJKLMNPQRTUVWXYZ0123456789-+/.,'\"!:?^>"
    assert len({tuple(block_letters(letter)) for letter in letters}) == len(letters)


def test_an_accent_is_left_away() -> None:
    assert block_letters("Señal é") == block_letters("SENAL E")


# -- what is told -------------------------------------------------------------------------------------------


def test_tape_distances_are_from_the_pads_near_left_corner() -> None:
    # By hand: 60 x 40 ft, 4 along and 3 across, spots 2 ft in: lines 56/3 ft apart, columns 18 ft apart.
    job = a_job(inset=2 * FOOT)
    told = call_out(figures(a_book(job=job)), job.grid.index("B2"), NOTHING_SAID)
    assert told.tapes == ("^ 20' 8\"", "> 20' 0\"")
    metric = a_job(Unit.MM, length=20_000_000_000, width=9_000_000_000)
    assert call_out(figures(a_book(job=metric)), metric.grid.index("C4"), NOTHING_SAID).tapes == (
        "^ 20.00 m",
        "> 9.00 m",
    )


@pytest.mark.parametrize(
    ("way", "backsight", "wanted"),
    [
        # Common practice, by hand: height of instrument 4.28 less the target there, -0.05 + 1% of 20 ft; and the
        # other way round for a rod that reads up.
        ("rod", "4.28", ("4.33 ft", "4.13 ft")),
        ("direct-rod", "4.28", ("4.23 ft", "4.43 ft")),
    ],
)
def test_what_is_wanted_on_the_rod_is_grade_at_that_spot(way: str, backsight: str, wanted: tuple[str, str]) -> None:
    job = a_job(Unit.FT, readings=way, slope_along=0.01)
    book = a_book(f"setup ZERO {backsight}", "target -0.05", job=job)
    told = [call_out(figures(book), job.grid.index(at), NOTHING_SAID) for at in ("A1", "B2")]
    assert (told[0].wanted, told[1].wanted) == wanted
    assert told[0].on_the_rod


def test_where_heights_are_said_the_target_is_wanted_and_marked_until_somebody_chose_it() -> None:
    book = a_book()
    assert call_out(figures(book), 0, NOTHING_SAID).wanted == ""
    book.shoot("A1", "-3/8")
    assert call_out(figures(book), 0, NOTHING_SAID).wanted == "LOW 1/2 ?"
    book.aim("-3/4")
    told = call_out(figures(book), 0, NOTHING_SAID)
    assert (told.wanted, told.on_the_rod) == ("LOW 3/4", False)


# -- how large ----------------------------------------------------------------------------------------------

TOLD = st.builds(
    CallOut,
    st.sampled_from(["A1", "B12", "AA104", "ALL SHOT"]),
    st.sampled_from([(), ('^ 0"', "> 12' 6-1/2\""), ("^ 1240' 11-1/2\"", "> 900' 0\"")]),
    st.sampled_from([("A1 LOW 1-3/8", "A1"), ("WRITTEN a note that is rather long", "WRITTEN"), ("ROUND 2",)]),
    st.sampled_from(["-", "LOW 1-3/8 ?", "4' 3-3/8\"", "12.345 ft"]),
    st.booleans(),
)


@given(TOLD, st.integers(50, 250), st.integers(9, 80))
def test_all_of_it_is_on_the_screen_and_nothing_could_be_larger(told: CallOut, width: int, height: int) -> None:
    sizes = sizes_for(told, width - 1, height)
    lines = call_out_lines(told, width, height)
    assert len(lines) <= height
    assert max(cell_len(line.plain) for line in lines) <= width
    larger = [replace(sizes, **{part: size + 1}) for part, size in vars(sizes).items()]
    assert not any(fits(told, each, width - 1, height) for each in larger)


@pytest.mark.parametrize(("size", "rows"), [((60, 20), 2.5), ((80, 24), 5), ((200, 60), 15)])
def test_letters_are_high_enough_to_be_read_from_three_metres(size: tuple[int, int], rows: float) -> None:
    # Common practice: letters of 1/200 of the distance are read with ease: 15 mm from 3 m. A tablet of 10.1 in,
    # 16:10, is 136 mm high (by hand: 256.5 mm x 10 / sqrt(356)).
    told = CallOut("B12", ("^ 120' 6\"", "> 40' 0\""), ("A12 LOW 1-3/8", "A12"), "4' 3-3/8\"", True)
    sizes = sizes_for(told, size[0] - 1, size[1] - 2)
    for part in (sizes.position, sizes.read_back, sizes.wanted):
        assert 2.5 * part >= rows
        assert 2.5 * part * 136 / size[1] >= 15


# -- work on it ---------------------------------------------------------------------------------------------


def large(at: Crew, text: str) -> bool:
    """Does this text stand on the call-out, in letters of any size?"""
    shown = at.shown("call_out").splitlines()
    return any(
        any(block_letters(text, tall, wide)[0].rstrip() in row for row in shown)
        for tall in range(1, 12)
        for wide in range(1, tall + 1)
    )


async def test_a_line_of_readings_is_taken_there_as_on_the_grid(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        await at.press("j")
        assert large(at, "A1")
        assert not at.screen.query_one("#middle").display
        await at.key("0\n", "-1/2\n", "-1-3/8\n")
        assert at.here == "C2"
        assert [large(at, text) for text in ("C2", "^ 20' 0\"", "> 40' 0\"")] == [True] * 3
        assert large(at, " ".join(at.session.read_back.parts)) or large(at, "C1 LOW 1-3/8")
        await at.key("3/8\n")
        assert "HIGH or LOW" in at.prompt
        await at.key("-")
        assert large(at, "C2 LOW 3/8")
        await at.key("u")
        assert large(at, "STRUCK")
        assert at.here == "C2"
        await at.press("j")
        assert at.screen.plan.size.height > 0
        assert at.shown("read_back").splitlines()[0].startswith(f" {block_letters('STRUCK')[0]}")


async def test_readings_typed_ahead_of_the_page_go_where_they_were_meant(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        await at.key("0\nj-1/2\n+1\nj-1/8\n")
        assert {name: at.book.page.round.height_at(at.book.job.grid.index(name)) for name in ("B1", "C1", "C2")} == {
            "B1": -INCH // 2,
            "C1": INCH,
            "C2": -INCH // 8,
        }
        assert not at.screen.calling


async def test_when_all_is_shot_nothing_is_next_until_the_crew_goes_somewhere(tmp_path: Path) -> None:
    async with crew(a_book(*FULL), tmp_path, (80, 24)) as at:
        await at.press("j")
        assert large(at, "ALL SHOT")
        await at.press("home")
        assert large(at, "A1")


async def test_a_paste_is_seen_before_it_is_taken_and_then_the_call_out_is_back(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        await at.press("j")
        await at.paste("-1/2\n+1/4\n")
        assert "-1/2" in at.shown("panel")
        assert at.screen.query_one("#panel").size.height
        await at.press("enter")
        assert large(at, "B1 HIGH 1/4")


async def test_trouble_with_the_disk_is_told_there_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    async with crew(a_book("A1 0"), tmp_path, (80, 24)) as at:
        await at.press("j")
        assert at.prompt.splitlines()[1:] in ([], [""])
        monkeypatch.setattr(Keeper, "kept", property(lambda _: Kept(0, 1, "no space left on the disk")))
        at.screen.repaint()
        await at.pilot.pause()
        assert "NOT SAVED: no space left on the disk" in at.prompt


# -- alarms and state ---------------------------------------------------------------------------------------


def test_cut_or_fill_how_many_are_left_the_check_and_the_unit_are_told() -> None:
    book = a_book("A1 -3/8", "target -1/2")
    summary = figures(book)
    told = call_out(summary, 1, at_spot(summary, 0), "CHECK DUE")
    assert told.read_back[0] == "A1 LOW 3/8 cut 1/8"
    assert told.state == "11 left   CHECK DUE   inches"
    shown = [line.plain for line in call_out_lines(told, 80, 22)]
    assert shown[-1].strip() == told.state


def test_a_reading_that_does_not_fit_takes_the_whole_page() -> None:
    book = a_book(*FULL)
    summary = figures(book)
    spot = book.job.grid.index("B2")
    told = call_out(summary, 0, ReadBack(("B2", "READ AGAIN"), call=Call.LOOK, spot=spot))
    assert told.alarm == ("STAY AT B2", "READ AGAIN")
    lines = call_out_lines(told, 80, 22)
    assert len(lines) == 22
    assert all(
        str(line.style) == str(BAR) or line.spans or not line.plain.strip() or line.style == BAR for line in lines
    )
    assert not any("next" in line.plain for line in lines)


@pytest.mark.parametrize("size", [(60, 18), (80, 22), (120, 38), (200, 58), (20, 5)])
def test_an_alarm_fits_every_size(size: tuple[int, int]) -> None:
    told = replace(call_out(figures(a_book()), 0, NOTHING_SAID), alarm=("STAY AT C5", "READ AGAIN"))
    lines = call_out_lines(told, *size)
    assert len(lines) <= size[1]
    assert all(len(line.plain) <= size[0] for line in lines)


async def test_a_bad_check_takes_the_whole_page(tmp_path: Path) -> None:
    book = a_book("reference BM1 0", *FULL, "check BM1 0")
    async with crew(book, tmp_path, (80, 24)) as at:
        await at.press("j")
        at.session.written(at.book.check("BM1", "+2"))
        at.screen.repaint()
        await at.pilot.pause()
        assert at.session.read_back.call is Call.LOOK
        assert large(at, "BAD CHECK")
