"""A reading that does not fit is written as it was read and shouted; nothing waits, and no key writes what nobody read.

The words of the shout and the way to read a spot again are the punch list's; the pad is `tests.kit.a_job`'s.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from rodcall.book.book import Book
from rodcall.book.storage.opening import open_job
from rodcall.figures.punch_list import Kind
from rodcall.tui.pages.menu import MenuScreen
from rodcall.tui.pages.target_page.screen import TargetScreen
from rodcall.tui.shot_grid import screen, search
from rodcall.units import FOOT, INCH, Unit
from tests.kit import a_book, a_job
from tests.tui.kit import Crew, crew

EVEN = ("A1 0", "B1 -1/4", "C1 -3/8", "C2 -1/2", "B2 -3/8", "A2 -1/8")
"""Six that lie as ground does; A3 comes next."""


def written(book: Book, since: int = len(EVEN)) -> list[tuple[str, str, str]]:
    """Kind, position and words of what was written after those six."""
    return [(entry.kind, getattr(entry, "position", ""), entry.said) for entry in book.entries[since:]]


async def a_foot_off(at: Crew) -> None:
    """A3 is read a foot too high."""
    await at.key("+12\n")
    assert at.said == "A3  READ AGAIN"


# -- the shout ----------------------------------------------------------------------------------------------


async def test_an_outlier_is_written_as_read_and_shouted_and_nothing_waits(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path, (120, 21)) as at:
        await a_foot_off(at)
        assert written(at.book) == [("shot", "A3", "+12")]
        assert "= reads A3 again.  HIGH 1'0 does not fit, about LOW 1/4.  ONE FOOT off?" in at.prompt
        assert "= reads A3 again" in at.prompt
        assert "take" not in at.prompt, "a hint is words, never a key"
        assert at.session.line.question is None
        assert at.here == "B3"
        assert "~ +1'0" in at.plan
        assert at.session.listed.of(Kind.DOES_NOT_FIT)[0].spots == (6,)


async def test_a_reading_that_fits_is_not_shouted(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("-1/4\n-3/8\n")
        assert at.said.startswith("B3  LOW 3/8")
        assert not at.session.listed.of(Kind.DOES_NOT_FIT)


@pytest.mark.parametrize(
    ("key", "page"), [("t", TargetScreen), ("*", MenuScreen), ("b", None), ("o", None), ("z", None), ("n", None)]
)
async def test_keys_mean_after_an_outlier_what_they_always_mean(
    tmp_path: Path, key: str, page: type[object] | None
) -> None:
    """And write no length, however they are left."""
    prompts = {"b": "reference: its name", "o": "B3: 1 rut or pile, left out", "z": "Make B3 the zero?", "n": "note"}
    async with crew(a_book(*EVEN), tmp_path) as at:
        await a_foot_off(at)
        await at.press(key)
        if page is not None:
            assert isinstance(at.pilot.app.screen, page)
        else:
            assert prompts[key] in at.prompt
        await at.press("escape")
        assert written(at.book) == [("shot", "A3", "+12")]
        await at.key("-1/4\n")
        assert written(at.book)[1:] == [("shot", "B3", "-1/4")]


@pytest.mark.parametrize("key", ["/", "u"])
async def test_undo_after_an_outlier_strikes_it(tmp_path: Path, key: str) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await a_foot_off(at)
        await at.press(key)
        assert [entry.kind for entry in at.book.entries[len(EVEN) :]] == ["shot", "strike"]
        assert (at.said, at.here) == ("STRUCK  A3 is open again", "A3")
        assert "~" not in at.plan


async def test_who_types_on_without_looking_has_every_reading_where_the_line_named(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("+12\n-3/8\n-1/2\n\n-5/8\n")
        assert written(at.book) == [
            ("shot", "A3", "+12"),
            ("shot", "B3", "-3/8"),
            ("shot", "C3", "-1/2"),
            ("shot", "C4", "-5/8"),
        ]


async def test_the_setting_silences_the_shout_alone(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        at.pilot.app.settings = replace(at.pilot.app.settings, ask_about_busts=False)
        await at.key("+12\n")
        assert "READ AGAIN" not in at.said
        assert at.said.startswith("A3  HIGH 1'0")
        assert "does not fit" not in at.prompt
        assert "~ +1'0" in at.plan
        assert at.session.listed.of(Kind.DOES_NOT_FIT)
        await at.key("=", "-1/4\n")
        assert not at.session.listed.of(Kind.DOES_NOT_FIT), "and it is settled in the same way"


@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_the_shout_has_room(tmp_path: Path, size: tuple[int, int]) -> None:
    async with crew(a_book(*EVEN), tmp_path, size) as at:
        await at.key("+12\n")
        assert "= reads A3 again.  HIGH 1'0" in at.prompt
        assert all(len(line) <= size[0] for line in at.prompt.splitlines())


# -- reading again ------------------------------------------------------------------------------------------


async def test_a_second_reading_that_fits_strikes_the_first_in_the_same_act(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await a_foot_off(at)
        await at.press("=")
        assert at.prompt.startswith(" read A3 again > _")
        await at.key("-1/4\n")
        assert [entry.kind for entry in at.book.entries[len(EVEN) :]] == ["shot", "shot", "strike"]
        assert at.session.summary.height_at(6) == -INCH // 4
        assert "~" not in at.plan
        assert at.here == "B3", "the line goes on where it was"
        await at.press("u")
        assert at.session.summary.height_at(6) == FOOT, "one undo takes both back"
        assert at.said.startswith("STRUCK  A3  HIGH 1'0")
        assert at.session.line.question is None
        await at.press("y")
        assert at.session.summary.height_at(6) == -INCH // 4


async def test_a_second_reading_within_a_step_leaves_both_and_ends_the_doubt(tmp_path: Path) -> None:
    """A job in inches is read to the eighth: 1/8 in apart agrees."""
    async with crew(a_book(*EVEN), tmp_path) as at:
        await a_foot_off(at)
        await at.key("=", "+12-1/8\n")
        assert [entry.kind for entry in at.book.entries[len(EVEN) :]] == ["shot", "shot"]
        assert at.session.summary.height_at(6) == FOOT
        assert "READ" not in at.said
        assert not at.session.listed.of(Kind.DOES_NOT_FIT)
        assert at.here == "B3"


async def test_one_that_does_neither_asks_for_a_third_and_the_middle_counts(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path, (120, 21)) as at:
        await a_foot_off(at)
        await at.key("=", "+8\n")
        assert at.said == "A3  READ A THIRD TIME"
        assert "= reads A3 again.  It was read HIGH 1'0, HIGH 8" in at.prompt
        assert at.here == "B3"
        assert "3 +8" in at.plan
        await at.key("=", "+9\n")
        assert at.session.summary.height_at(6) == 9 * INCH
        assert at.here == "B3"
        assert not at.session.listed.of(Kind.READINGS_DISAGREE)
        assert len(at.book.entries) == len(EVEN) + 3, "all three stand in the book"


async def test_a_sound_reading_beside_one_in_doubt_is_not_called_again(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("+12\n-3/8\n")
        assert at.said.startswith("B3  LOW 3/8")
        assert [doubt.spots for doubt in at.session.listed.of(Kind.DOES_NOT_FIT)] == [(6,)]


async def test_again_goes_on_to_the_next_doubtful_one_and_esc_or_arrows_leave_it(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("+12\n-3/8\n-1/2\n-12\n")
        await at.press("=")
        named = {at.here}
        await at.press("=")
        named.add(at.here)
        assert named == {"A3", "C4"}
        await at.press("=")
        assert at.here in named
        await at.press("home")
        assert at.prompt.startswith(" next A1, ")


async def test_again_without_a_doubt_reads_the_last_spot_again(tmp_path: Path) -> None:
    async with crew(a_book("A1 -1"), tmp_path) as at:
        await at.press("=")
        assert at.prompt.startswith(" read A1 again > ")
        await at.key("-1-1/8\n")
        assert at.session.summary.height_at(0) == -INCH
        assert at.here == "B1"


async def test_nothing_can_be_read_again_before_the_first_shot(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.press("=")
        assert "no shot yet to read again" in at.prompt
        await at.key("-1\n")
        assert written(at.book, 0) == [("shot", "A1", "-1")]


async def test_again_from_the_menu_of_the_numeric_pad_is_its_first_line_where_something_does_not_fit(
    tmp_path: Path,
) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await a_foot_off(at)
        number = [action.id for action in at.screen.actions].index("again") + 1
        await at.key(f"*{number}\n")
        assert at.prompt.startswith(" read A3 again > ")


async def test_what_was_read_again_is_so_after_a_restart(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await a_foot_off(at)
        await at.key("=", "-1/4\n")
        await at.settled()
        page = open_job(at.path, "reader").book.page
        assert page.round.height_at(6) == -INCH // 4
        assert not page.round.third_due[6]


# -- where a reading goes -----------------------------------------------------------------------------------


async def test_arrows_and_taps_are_refused_while_a_reading_is_typed(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("-3/")
        for move in ("up", "end"):
            await at.press(move)
            assert "Enter writes -3/ first, Esc clears it" in at.prompt
            assert at.here == "A1"
        at.screen.on_plan_tapped(at.screen.plan.Tapped(5))
        assert "Enter writes -3/ first" in at.prompt
        await at.key("8\n")
        assert written(at.book, 0) == [("shot", "A1", "-3/8")]


async def test_a_tap_does_not_pass_a_question_by(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("3/8\n")
        at.screen.on_plan_tapped(at.screen.plan.Tapped(5))
        assert "answer this first, or press Esc" in at.prompt
        await at.press("h")
        assert written(at.book, 0) == [("shot", "A1", "3/8h")]
        assert at.here == "B1"


async def test_a_refused_reading_is_mended_or_replaced(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("-3/7\n")
        assert at.prompt.splitlines()[0].endswith("> -3/7_")
        await at.press("backspace")
        await at.key("8\n")
        assert written(at.book, 0) == [("shot", "A1", "-3/8")]
        await at.key("-3/7\n-1/4\n-1/2\n")
        assert written(at.book, 0)[1:] == [("shot", "B1", "-1/4"), ("shot", "C1", "-1/2")]


async def test_after_a_refused_reading_a_move_names_another_spot(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("-3/7\n")
        await at.press("up")
        assert at.prompt.splitlines()[0].endswith("> _")
        await at.key("-1\n")
        assert written(at.book, 0) == [("shot", "A2", "-1")]


async def test_pasted_lines_begin_where_the_line_named_and_outliers_among_them_are_marked(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.paste("+12\n-3/8\n-1/2\n")
        await at.press("enter")
        assert written(at.book) == [("shot", "A3", "+12"), ("shot", "B3", "-3/8"), ("shot", "C3", "-1/2")]
        assert "~ +1'0" in at.plan
        assert at.session.line.question is None


async def test_what_does_not_fit_is_marked_when_a_job_is_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(search, "IDLE", 0.001)
    monkeypatch.setattr(screen, "FIRST_LOOK", 0.001)
    book = a_book(*EVEN, "A3 +12", "B3 -1/4", "C3 -3/8", "C4 -1/2", "B4 -3/8", "A4 -1/8")
    async with crew(book, tmp_path) as at:
        while "~" not in at.plan:
            await at.pilot.pause(0.01)
        assert at.plan.count("~") == 1
        assert "reading does not fit its neighbours: A3" in at.prompt
        await at.key("=", "-1/4\n")
        assert "~" not in at.plan


# -- checks and set-ups -------------------------------------------------------------------------------------

LEVELLED = ("reference BM1 +4", "check BM1 +4", *EVEN)


async def test_a_bad_check_is_read_again_from_the_line_then_levelled_then_the_suspects_are_shot(
    tmp_path: Path,
) -> None:
    async with crew(a_book(*LEVELLED), tmp_path, (120, 21)) as at:
        await at.key("c\n", "+6\n")
        assert at.prompt.startswith(" BAD CHECK: read BM1 again, do not touch the level > ")
        await at.key("+6\n")
        assert written(at.book, len(LEVELLED)) == [("check", "", "+6"), ("check", "", "+6")]
        assert at.prompt.startswith(" LEVEL IT, then check BM1 > ")
        await at.key("+4\n")
        suspects = []
        while "suspect left" in at.prompt:
            suspects.append(at.prompt.split(" > ")[0].strip())
            await at.key("-1/4\n")
        walked = at.book.job.grid
        names = [told.split()[1] for told in suspects]
        assert sorted(names) == sorted(line.split()[0] for line in EVEN)
        order = list(at.session.summary.walk.onward(at.book.page.grid.index(names[0])))
        places = [order.index(walked.index(name)) if name != names[0] else -1 for name in names]
        assert places == sorted(places), "in walking order"
        assert [int(told.split()[3]) for told in suspects] == [6, 5, 4, 3, 2, 1]


async def test_a_bad_check_that_is_read_true_at_once_was_misread(tmp_path: Path) -> None:
    async with crew(a_book(*LEVELLED), tmp_path, (120, 21)) as at:
        await at.key("c\n", "+6\n", "+4\n")
        assert at.here == "A3"
        assert at.prompt.startswith(" next A3, ")
        await at.key("-1/4\n")
        assert at.book.entries[-1].position == "A3"


async def test_an_unsigned_check_asks_high_or_low(tmp_path: Path) -> None:
    async with crew(a_book(*LEVELLED), tmp_path, (120, 21)) as at:
        await at.key("c\n", "+6\n", "4\n")
        assert at.prompt.startswith(" BM1 4: HIGH or LOW?")
        await at.press("h")
        assert written(at.book, len(LEVELLED))[-1] == ("check", "", "4h")


async def test_a_rod_is_set_up_before_anything_and_anew_after_two_bad_checks(tmp_path: Path) -> None:
    """The line names the backsight, so that the first number typed is that."""
    job = a_job(Unit.FT, readings="rod")
    async with crew(a_book("reference BM1 +1.00", job=job), tmp_path, (120, 21)) as at:
        assert at.prompt.startswith(" backsight: rod on BM1 > ")
        await at.key("\n")
        await at.key("\n")
        assert "backsight: rod on BM1" in at.prompt.splitlines()[1]
        await at.key("4.28\n4.53\n4.55\n")
        assert [(entry.kind, entry.said) for entry in at.book.entries[1:]] == [
            ("setup", "4.28"),
            ("shot", "4.53"),
            ("shot", "4.55"),
        ]
        await at.key("c\n", "4.60\n")
        assert at.prompt.startswith(" BAD CHECK: read BM1 again")
        await at.key("4.60\n")
        assert at.prompt.startswith(" LEVEL IT, then backsight: rod on BM1 > ")
        await at.key("4.61\n")
        assert (at.book.entries[-1].kind, at.book.entries[-1].said) == ("setup", "4.61")
        assert "shoot A1 again, 2 suspect left" in at.prompt or "shoot B1 again, 2 suspect left" in at.prompt


async def test_a_target_a_note_and_a_reference_leave_what_is_named(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.press("end")
        await at.key("nwet\n", "bHUB\n+4\n\n", "t\n")
        assert at.here == "C4"
        await at.key("-1/4\n")
        assert at.book.entries[-1].position == "C4"


async def test_an_answer_without_its_sign_waits_for_the_letter(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("bHUB\n4\n")
        assert "high or low?" in at.prompt
        await at.key("h\n\n")
        assert at.book.page.references == {"ZERO": 0, "HUB": 4 * INCH}


async def test_what_was_expected_on_another_grid_is_forgotten(tmp_path: Path) -> None:
    """Spots farther apart lead to another expectation, though all heights are the same."""
    async with crew(a_book("A1 0", "B1 0", "C1 +1/8", "C2 0", "B2 -1/8", "A2 0"), tmp_path) as at:
        await at.key("-", "-")
        at.session.look_ahead()
        assert at.session.known._awaited is not None
        at.session.known.forget()
        assert at.session.known._awaited is None
