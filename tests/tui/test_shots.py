"""The shot grid under a crew's fingers: every action of its table, the reading and the asking."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.book.model.entries import Readings, RoundKind, Walk
from rodcall.tui.bindings.actions import SHOT_GRID
from rodcall.tui.pages.help import HelpScreen, LegendScreen
from rodcall.tui.pages.menu import MenuScreen
from rodcall.tui.pages.settings import SettingsScreen
from rodcall.tui.pages.target_page.screen import TargetScreen
from rodcall.units import FOOT, INCH, Unit
from tests.kit import a_book, a_job
from tests.tui.kit import Crew, crew

FULL = [f"{name} -1/4" for name in a_job().grid.names]
"""Every position of the pad shot."""


def heights(at: Crew) -> dict[str, int]:
    """What counts, by position."""
    summary = at.session.summary
    return {name: nm for index, name in enumerate(summary.grid.names) if (nm := summary.height_at(index)) is not None}


# -- reading ------------------------------------------------------------------------------------------------


async def test_a_reading_is_its_characters_and_enter(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        assert at.here == "A1"
        await at.key("-3/8\n")
        assert heights(at) == {"A1": -3 * INCH // 8}
        assert at.said == "A1  LOW 3/8  cut 1/8"
        assert at.here == "B1"
        assert at.prompt.startswith(" next B1, 20' 0\" right from A1 > _")
        await at.settled()
        assert at.on_disk() == ["shot"]


async def test_the_walk_is_a_snake(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        walked = []
        for _ in range(7):
            walked.append(at.here)
            await at.key("0\n")
        assert walked == ["A1", "B1", "C1", "C2", "B2", "A2", "A3"]


async def test_enter_on_an_empty_line_never_moves_and_says_what_is_next(tmp_path: Path) -> None:
    async with crew(a_book("B1 -1"), tmp_path) as at:
        for keys, there in ((("escape",), "C1"), (("home",), "A1"), (("right",), "B1")):
            await at.press(*keys)
            for _ in range(2):
                await at.key("\n")
                assert at.here == there
                assert f"next is {there}" in at.prompt
        assert list(heights(at)) == ["B1"]


async def test_when_all_are_shot_it_says_so(tmp_path: Path) -> None:
    async with crew(a_book(*FULL), tmp_path) as at:
        await at.key("\n", "\n")
        assert at.prompt.startswith(" ALL SHOT   t chooses the target > _")


async def test_once_all_is_shot_a_reading_needs_a_spot_and_the_line_stays_free(tmp_path: Path) -> None:
    async with crew(a_book(*FULL), tmp_path) as at:
        await at.key("\n", "-1\n")
        assert "-1 not written: go to a spot first (arrows, or ; and its name)" in at.prompt
        assert at.prompt.splitlines()[0].endswith("> _"), "what follows is not swallowed"
        assert len(at.book.entries) == len(FULL)
        await at.press("up")
        here = at.here
        await at.key("-1/4\n")
        assert (at.book.entries[-1].position, at.book.entries[-1].said) == (here, "-1/4")
        await at.key(";b2\n", "-1/4\n")
        assert at.book.entries[-1].position == "B2"
        await at.key("-2\n")
        assert "-2 not written" in at.prompt
        assert len(at.book.entries) == len(FULL) + 2


async def test_an_unsigned_height_is_asked_for(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        for key, sign in {"h": 1, "H": 1, "+": 1, "add": 1, "l": -1, "-": -1, "subtract": -1}.items():
            here, written = at.here, len(at.book.entries)
            await at.key("3/8\n")
            assert at.prompt.startswith(f" {here} 3/8: HIGH or LOW?  + or h, - or l > ")
            assert len(at.book.entries) == written
            await at.press(key)
            assert heights(at)[here] == sign * 3 * INCH // 8
            assert at.here != here


async def test_a_question_given_up_writes_nothing_and_leaves_the_text(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("3/8\n")
        await at.press("escape")
        assert not at.book.entries
        assert at.prompt.splitlines()[0].endswith("> 3/8_")


async def test_what_is_not_understood_stays(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        for said in ("3/7", "1..2", "--3", "h", "4' 14\"", "9999"):
            await at.key(f"{said}\n")
            line, message = at.prompt.splitlines()
            assert line.endswith(f"> {said}_")
            assert message.strip()
            assert (at.book.entries, at.here) == ([], "A1")
            await at.press("escape")
            assert at.prompt.rstrip().endswith("> _")


async def test_a_second_shot_is_a_second_reading_and_of_three_the_middle_counts(tmp_path: Path) -> None:
    async with crew(a_book("A1 -3/8"), tmp_path) as at:
        await at.press("home")
        await at.key("-5/8\n")
        assert at.said == "A1  READ A THIRD TIME"
        assert "= reads A1 again.  It was read LOW 3/8, LOW 5/8" in at.prompt
        await at.press("home")
        await at.key("-1/2\n")
        assert heights(at)["A1"] == -INCH // 2
        assert at.said.endswith("(was -5/8, 1/8 higher)")
        await at.press("home")
        await at.key("-1/2\n")
        assert at.said.endswith("(same as before)")
        assert [entry.said for entry in at.book.entries] == ["-3/8", "-5/8", "-1/2", "-1/2"]
        assert "-1/2*" in at.plan


# -- moving -------------------------------------------------------------------------------------------------


async def test_arrows_move_and_stop_at_the_edges(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        for keys, there in [
            (("up",), "A2"),
            (("right", "right", "right"), "C2"),
            (("down", "down"), "C1"),
            (("left",), "B1"),
            (("end",), "C4"),
            (("home",), "A1"),
            (("pageup",), "A4"),
            (("pagedown",), "A1"),
        ]:
            await at.press(*keys)
            assert at.here == there, keys


async def test_a_tap_goes_to_its_cell_and_elsewhere_to_none(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        grid = at.book.job.grid
        lines = at.plan.splitlines()
        for index, name in enumerate(grid.names):
            left, top, wide, tall = at.region(name)
            if not index % grid.across:
                assert lines[top].startswith(name[1:])
            await at.tap(left + wide // 2, top + tall - 1)
            assert at.here == name
        right = at.region("C4")
        for x, y in ((0, 5), (5, 0), (right[0] + right[2], 5), (5, right[1] + 4 * right[3])):
            await at.tap(x, y)
            assert at.here == "C4"


async def test_arrows_leave_a_question_alone(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("3/8\n")
        await at.press("up", "l")
        assert list(heights(at)) == ["A1"]


# -- the table of actions -----------------------------------------------------------------------------------


async def test_undo_is_a_strike_and_redo_strikes_it(tmp_path: Path) -> None:
    async with crew(a_book("A1 -3/8", "B1 -1"), tmp_path) as at:
        for undo, redo in (("u", "y"), ("divide", "y")):
            await at.press(undo)
            assert at.said == "STRUCK  B1 is open again"
            assert (at.here, list(heights(at))) == ("B1", ["A1"])
            await at.press(redo)
            assert heights(at)["B1"] == -INCH
            assert at.said.startswith("B1  LOW 1")
        assert [entry.kind for entry in at.book.entries] == ["shot", "shot", *["strike"] * 4]
        await at.press("u", "u", "u")
        assert "nothing to undo" in at.prompt
        await at.press("y", "y", "y")
        assert "nothing to redo" in at.prompt


async def test_undo_of_a_second_shot_tells_the_one_that_counts_again(tmp_path: Path) -> None:
    async with crew(a_book("A1 -3/8", "A1 -1"), tmp_path) as at:
        await at.press("u")
        assert at.said.startswith("STRUCK  A1  LOW 3/8")


async def test_leave_out_is_a_rut_or_pile_at_enter_or_has_another_reason(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("o")
        assert "A1: 1 rut or pile, left out" in at.prompt
        await at.key("\n")
        assert (at.said, at.here) == ("A1  LEFT OUT  (rut or pile)", "B1")
        await at.key("o2\npile of stone\n")
        assert [entry.reason for entry in at.book.entries] == ["rut or pile", "pile of stone"]
        assert list(at.session.summary.left_out) == [0, 1]
        assert at.plan.count("x") == 2


async def test_strike_strikes_what_stands_at_the_cursor(tmp_path: Path) -> None:
    async with crew(a_book("A1 -3/8", "B1 -1"), tmp_path) as at:
        await at.press("home", "x")
        assert at.said == "STRUCK  A1 is open again"
        assert list(heights(at)) == ["B1"]
        await at.press("x")
        assert "A1 has no entry in this round" in at.prompt
        await at.press("up")
        assert "nothing is written" not in at.prompt


async def test_a_target_typed_before_the_first_shot(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("t\n")
        assert "no target to suggest before the first shot" in at.prompt
        await at.key("-1\n")
        assert at.said == 'TARGET -1  receiver UP 1"'
        assert at.here == "A1"


async def test_the_suggested_target_is_taken_with_enter(tmp_path: Path) -> None:
    """Twelve shots that average 3/8 in low give a target of 1/2 in low (common practice)."""
    book = a_book(*[line.replace("1/4", "3/8") for line in FULL])
    async with crew(book, tmp_path, (80, 24)) as at:
        assert "average                -3/8" in at.shown("panel")
        assert "target               -1/2 ?" in at.shown("panel")
        await at.press("t")
        assert isinstance(at.pilot.app.screen, TargetScreen)
        await at.press("enter")
        assert "target                 -1/2" in at.shown("panel")
        assert at.book.entries[-1].said == "-1/2"


async def test_a_target_leaves_the_cursor_where_the_rod_is(tmp_path: Path) -> None:
    async with crew(a_book("A1 -1"), tmp_path) as at:
        await at.press("end", "t")
        await at.key("-2\n")
        assert at.here == "C4"
        assert at.said == 'TARGET -2  receiver UP 2"'


async def test_undo_names_what_is_no_shot_and_does_not_move(tmp_path: Path) -> None:
    book = a_book("A1 -1", "reference BM1 -4", "zero A1", "target -1", "note wet", "round working")
    async with crew(book, tmp_path) as at:
        await at.press("u")
        assert (at.said, at.here) == ("STRUCK  round working", "B1"), "where the round before goes on"
        await at.press("end")
        for struck in ("note wet", "target -1", "zero A1", "reference BM1 -4"):
            await at.press("u")
            assert (at.said, at.here) == (f"STRUCK  {struck}", "C4")
        await at.press("y")
        assert at.said == "WRITTEN  reference BM1 -4"


async def test_a_note_is_written_and_an_empty_one_is_not(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("n\n")
        assert "the note is empty: type its words" in at.prompt
        await at.key("owner at the far end\n")
        assert [note.text for note in at.book.page.notes] == ["owner at the far end"]
        assert (at.said, at.here) == ("note written", "A1")


@pytest.mark.parametrize(
    ("rod", "way", "height"), [("1", Readings.ROD, -FOOT // 4), ("2", Readings.DIRECT_ROD, FOOT // 4)]
)
async def test_a_setup_asks_rod_reference_and_reading(tmp_path: Path, rod: str, way: Readings, height: int) -> None:
    """Plain rod: backsight 4.28, reading 4.53 is 0.25 ft lower; a direct-reading one counts the other way."""
    book = a_book("reference BM1 +1.00", job=a_job(Unit.FT, readings=way))
    async with crew(book, tmp_path, (120, 21)) as at:
        assert at.prompt.startswith(" backsight: rod on BM1 > ")
        await at.key("s")
        assert "which rod?" in at.prompt
        await at.key(f"{rod}\n")
        assert "on which reference?" in at.prompt
        assert "ZERO" in at.prompt
        assert "BM1" in at.prompt
        await at.key("BM7\n")
        assert "no reference BM7" in at.prompt
        await at.press(*["backspace"] * 3)
        await at.key("ZERO\n4.28\n")
        assert at.said == "SET-UP ZERO  4.28"
        assert at.book.page.readings is way
        await at.key("4.53\n")
        assert heights(at) == {"A1": height}
        assert "s set-up" in at.shown("foot")


async def test_a_reference_is_its_name_and_its_height(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("bzero\n")
        assert "ZERO is already known" in at.prompt
        await at.press(*["backspace"] * 4)
        await at.key("HUB\n")
        assert "HUB: how high above the zero?" in at.prompt
        await at.key("4\n")
        assert "high or low?" in at.prompt
        await at.key("h\n")
        assert "where is it?" in at.prompt
        await at.key("\n")
        assert at.book.page.references == {"ZERO": 0, "HUB": 4 * INCH}
        assert at.said == "HUB HIGH 4"


async def test_the_zero_is_asked_about_and_moves_the_heights(tmp_path: Path) -> None:
    async with crew(a_book("A1 -1", "B1 -3"), tmp_path) as at:
        await at.press("home", "z")
        assert "Make A1 the zero?" in at.prompt
        await at.press("n")
        assert heights(at) == {"A1": -INCH, "B1": -3 * INCH}
        await at.press("z", "y")
        assert heights(at) == {"A1": 0, "B1": -2 * INCH}
        assert (at.said, at.here) == ("A1 is the zero", "A1")
        await at.press("end", "z", "+", "enter")
        assert "shoot C4 first" in at.prompt


async def test_a_new_round_offers_the_target_first_while_it_is_only_suggested(tmp_path: Path) -> None:
    """Digging moves a suggestion; what is chosen stays. An average of 1/4 low suggests 1/2 low (common practice)."""
    for keys in (("1", "enter"), ("y",), ("+", "enter"), ("enter",)):
        async with crew(a_book(*FULL), tmp_path / keys[0]) as at:
            await at.press("r")
            assert "target -1/2 is only suggested:  1 use it   2 choose another" in at.prompt
            await at.press(*keys)
            assert (at.book.entries[-1].kind, at.book.entries[-1].said) == ("target", "-1/2")
            await at.press("1", "enter")
            assert at.book.page.round.kind is RoundKind.WORKING
    async with crew(a_book(*FULL), tmp_path / "another") as at:
        await at.press("r", "2", "enter")
        assert isinstance(at.pilot.app.screen, TargetScreen)
        await at.press("escape", "r", "escape")
        assert len(at.book.entries) == len(FULL)


async def test_a_round_begins_with_nothing_shot(tmp_path: Path) -> None:
    async with crew(a_book(*FULL, "target -1/4"), tmp_path) as at:
        for answer, kind in (("1 enter", RoundKind.WORKING), ("f", RoundKind.FINAL)):
            await at.press("r", *answer.split())
            assert at.book.page.round.kind is kind
            assert (heights(at), at.here) == ({}, "A4"), "the helper stands where the last round ended"
        assert at.said == "ROUND 3  final"
        assert "round 3 final" in at.shown("top")


async def test_the_walking_order_is_a_choice(tmp_path: Path) -> None:
    async with crew(a_book("A1 0", "B1 0", "C1 0"), tmp_path) as at:
        await at.press("w", "2", "enter")
        assert at.book.page.walk.order is Walk.LINES
        assert at.said == "WRITTEN  walk lines"
        assert at.here == "A2"
        await at.press("w", "s")
        assert at.here == "C2"


async def test_the_overview_shows_all_and_readings_go_on(tmp_path: Path) -> None:
    book = a_book("A1 +2", "B1 -2", "C1 0", "A2 out", "target 0")
    async with crew(book, tmp_path) as at:
        await at.press("v")
        shown = [" ".join(line.split()) for line in at.plan.splitlines()[1:] if line.strip()]
        assert shown[:4] == [". . .", "[. . .", "x . .", "# = o"]
        await at.key("-1\n")
        assert "[. . ." not in at.plan
        await at.press("v")
        assert "-1" in at.plan


async def test_help_legend_and_menu_come_and_go(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        for key, page in (
            ("?", HelpScreen),
            ("f1", HelpScreen),
            ("k", LegendScreen),
            ("*", MenuScreen),
            ("m", SettingsScreen),
        ):
            await at.press(key)
            assert isinstance(at.pilot.app.screen, page)
            await at.press("down", "up", "escape")
            assert at.pilot.app.screen is at.screen


async def test_help_names_every_action_and_every_key_does_something(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 60)) as at:
        await at.press("?")
        page = at.pilot.app.screen
        assert isinstance(page, HelpScreen)
        told = " ".join(line.plain.strip() for line in page.lines(300))
        for action in SHOT_GRID:
            assert action.help in told
            assert action.id in at.screen.commands or hasattr(at.screen, f"do_{action.id}")


@pytest.mark.parametrize("keys", [("*", "5", "enter"), ("multiply", *["down"] * 4, "enter")])
async def test_the_menu_does_by_number_what_letters_do(tmp_path: Path, keys: tuple[str, ...]) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.press(*keys)
        assert "A1: 1 rut or pile, left out" in at.prompt
        await at.press("enter")
        assert list(at.session.summary.left_out) == [0]


async def test_a_number_that_is_no_command_is_not_taken(tmp_path: Path) -> None:
    async with crew(a_book("A1 -1"), tmp_path) as at:
        await at.press("*", "9", "9", "enter")
        assert isinstance(at.pilot.app.screen, MenuScreen)
        assert len(at.book.entries) == 1


async def test_a_tap_in_the_menu_takes_its_line(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.press("*")
        await at.pilot.click(offset=(5, 1 + [action.id for action in SHOT_GRID].index("note")))
        await at.pilot.pause()
        assert at.prompt.startswith(" note > ")


@pytest.mark.parametrize("key", ["q", "ctrl+q"])
async def test_leaving_asks_nothing_when_all_is_saved(tmp_path: Path, key: str) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("-1\n")
        await at.press(key)
        await at.pilot.pause()
        assert at.pilot.app.return_code == 0
    assert at.on_disk() == ["shot"]
