"""What the shot grid shows, whatever the size, the pad, the disk and the text."""

from __future__ import annotations

import errno
import threading
from pathlib import Path

import pytest
from rich.cells import cell_len

from rodcall.book.storage import atomic_write
from rodcall.book.storage.opening import open_job, open_to_write
from rodcall.i18n import speaking
from rodcall.tablet.paths import cautions_seen
from rodcall.tui.app import RodcallApp
from rodcall.tui.shot_grid import screen
from rodcall.tui.widgets.lines import Lines
from rodcall.units import FOOT, M, Unit
from tests.kit import a_book, a_job
from tests.tui.kit import Crew, crew, painted, saved, send, strips

HOSTILE = {
    "markup": "[red]no[/red] [@click=app.quit]x[/] [/] \\[b]",
    "control": "a\x1b[2Jb\x07\x00\x9b31m\r\n\tc\x7f",
    "bidi": "\u202eright to left\u202c \u2066\u05d0\u05d1\u2069\u200f",
    "long": "0123456789" * 50,
    "wide": "日本語" * 20,
    "marks": "e\u0301\u0302\u0303" * 30,
    "lone surrogate": "half \ud800 of one",
}
"""Text that could disturb a terminal, a layout or a file."""


def widgets(at: Crew) -> list[Lines]:
    return list(at.pilot.app.screen.query(Lines))


def assert_harmless(at: Crew) -> None:
    """No control character is painted, and every painted line is as wide as its widget."""
    shown = [*widgets(at), at.screen.plan]
    for widget in shown:
        for line in strips(widget):
            assert sum(cell_len(part.text) for part in line) == widget.size.width, widget
    text = painted(shown)
    assert not [character for character in text if character != "\n" and not character.isprintable()]


# -- sizes --------------------------------------------------------------------------------------------------


async def test_resizing_at_any_moment_is_safe(tmp_path: Path) -> None:
    sizes = [(1, 1), (200, 60), (2, 30), (60, 20)]
    async with crew(a_book("A1 -3/8", "B1 +2", "C1 out"), tmp_path) as at:
        moments = [(), ("3", "enter"), ("l", "v"), ("v", "t"), ("escape", "*"), ("escape", "?"), ("escape", "k")]
        for keys in moments:
            await at.press(*keys)
            for size in sizes:
                await at.pilot.resize_terminal(*size)
                await at.pilot.pause()
                assert_harmless(at)
        await at.press("escape")
        await at.paste("-1\n-2")
        for size in sizes:
            await at.pilot.resize_terminal(*size)
            await at.pilot.pause()
            assert_harmless(at)
        await at.press("enter")
        assert len(at.book.entries) == 6


async def test_what_must_always_be_in_view_is(tmp_path: Path) -> None:
    """Job, round, unit, next position, check, what is saved, and the way to help: at every size to work at."""
    job = a_job(Unit.FT, name="Seedling greenhouse pad")
    for size in ((60, 20), (80, 24), (200, 60)):
        async with crew(a_book("A1 -.04", job=job), tmp_path, size) as at:
            top, foot = at.shown("top"), at.shown("foot")
            assert cell_len(top) == size[0]
            assert top.startswith(" Seedling")
            assert top.endswith("  saved ")
            assert "round 1" in top
            assert "feet" in top
            assert "check" in top.lower()
            assert at.prompt.startswith(" next B1, ")
            assert "? help" in foot
            assert "* menu" in foot
            assert cell_len(foot) <= size[0]
            numbers = at.shown("fold") if size[0] < 72 else at.shown("panel")
            assert "average" in numbers
            assert "target" in numbers


async def test_every_question_and_its_answers_are_legible_at_60_columns(tmp_path: Path) -> None:
    async with crew(a_book("A1 -1", job=a_job(name="Pad")), tmp_path, (60, 20)) as at:
        for keys, answers in [
            ("z", ("y or + yes", "n or - no")),
            ("r", ("is only suggested", "1 use it", "2 choose another")),
            ("r1\n", ("1 working", "2 final")),
            ("w", ("1 back and forth", "2 every line from the left")),
            ("s", ("1 plain", "2 direct")),
            ("3/8\n", ("HIGH or LOW?", "+ or h", "- or l")),
        ]:
            await at.key(*keys)
            told = " ".join(at.prompt.split())
            assert all(answer in told for answer in answers), at.prompt
            assert all(cell_len(line) <= 60 for line in at.prompt.splitlines())
            await at.press("escape")


async def test_the_read_back_is_large_where_there_is_room(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        await at.key("-1-3/8\n")
        lines = at.shown("read_back").splitlines()
        assert len(lines) == 3
        assert {character for line in lines[:2] for character in line} <= set(" █▀▄")
        assert lines[2].endswith("  cut 1/8")
        await at.pilot.resize_terminal(80, 20)
        await at.pilot.pause()
        assert at.said == "A1  LOW 1-3/8  cut 1/8"


async def test_no_number_is_cut_in_silence(tmp_path: Path) -> None:
    """Where a cell is too narrow, two points say so, and the stake's C and F stand for cut and fill."""
    book = a_book("A1 -11-15/16", "B1 -1-7/8", "C1 +1", "target -4-1/2", job=a_job(across=8))
    async with crew(book, tmp_path, (80, 24)) as at:
        await at.press("home")
        plan = at.plan
        assert "-11-1..!" in plan
        assert "-11-15/" not in plan
        assert "C 2-5/8" in plan or "C 2-" in plan
        for word in ("cut 2-", "fill 7-"):
            assert word not in plan


LONG = ("A1 -11-15/16", "B1 +10-3/8", "C1 -11-7/8", "D1 +11-13/16", "E1 -10-15/16", "F1 +9-9/16")


async def test_taking_the_suggested_target_repaints_what_is_out_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The target's height stays, but only a chosen one puts existing ground outside."""
    async with crew(a_book("A1 0", "B1 -1/4", "C1 +2", "C2 -2"), tmp_path) as at:
        assert "+2!" not in at.plan
        await at.press("t")
        repainted: set[int] = set()
        top = at.screen.plan.region.y
        monkeypatch.setattr(
            at.screen, "refresh", lambda *regions, **_: repainted.update(each.y - top for each in regions)
        )
        await at.press("enter")
        lines = at.plan.splitlines()
        assert "+2!" in at.plan
        assert {y for y, line in enumerate(lines) if "!" in line} <= repainted


@pytest.mark.parametrize(("language", "cut", "fill"), [("en", "cut", "fill"), ("es", "cortar", "rellenar")])
async def test_on_a_wide_screen_every_reading_is_whole(tmp_path: Path, language: str, cut: str, fill: str) -> None:
    """With both its marks, and what is to be done there in words."""
    first = [f"{line.split()[0]} 0" for line in LONG]
    book = a_book(*first, *LONG, "target 0", job=a_job(across=6))
    with speaking(language):
        async with crew(book, tmp_path, (200, 60)) as at:
            for line in LONG:
                said = line.split()[1]
                assert f"3 {said}!" in at.plan
                assert f"{cut if said[0] == '+' else fill} {said[1:]}" in at.plan
            assert ".." not in at.plan


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (130, 40), (200, 60)])
async def test_a_tap_goes_to_its_cell_however_wide_it_is(tmp_path: Path, size: tuple[int, int]) -> None:
    async with crew(a_book("A1 -1", "B1 -2", "C1 -3"), tmp_path, size) as at:
        lines = at.plan.splitlines()
        for name in ("B1", "C1"):
            for far in (0, 1):
                await at.press("home")
                left, top, wide, tall = at.region(name)
                await at.tap(left + far * (wide - 1), top + far * (tall - 1))
                assert at.here == name
        assert all(len(line) <= at.screen.plan.size.width for line in lines)


# -- a big pad ----------------------------------------------------------------------------------------------


async def test_the_next_position_is_always_in_view_on_a_big_pad(tmp_path: Path) -> None:
    job = a_job(Unit.MM, along=100, across=100, length=100 * M, width=100 * M)
    async with crew(a_book(job=job), tmp_path) as at:
        plan = at.screen.plan
        for index in (0, 99, 199, 100, 5050, 9999, 9900, 4321):
            at.session.cursor = index
            await at.key("-1\n")
            row = next(line for line in at.plan.splitlines() if "[" in line)
            assert row.split()[0] == str(at.session.cursor // 100 + 1)
        for key in ("end", "home", "pageup", "right", "pagedown"):
            await at.press(key)
            assert at.plan.count("[") == 1
        assert "more" in at.plan
        await at.press("v")
        shades = at.plan.splitlines()
        assert "the worst of" in shades[0]
        assert sum("[" in line for line in shades) == 1
        assert at.plan.count("=") + at.plan.count("o") + at.plan.count("-") >= 1
        assert plan.overview


async def test_the_wheel_looks_further_and_the_next_key_comes_back(tmp_path: Path) -> None:
    job = a_job(along=60, across=3, length=600 * FOOT)
    async with crew(a_book(job=job), tmp_path) as at:
        plan = at.screen.plan
        for _ in range(100):
            plan.scroll_lines(1)
        await at.pilot.pause()
        assert at.plan.splitlines()[1].startswith("60")
        await at.tap(4, 1)
        assert at.here == "A60"
        await at.press("home")
        assert at.plan.count("[") == 1


# -- the disk -----------------------------------------------------------------------------------------------


async def test_the_top_line_says_saving_then_saved(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    async with crew(a_book(), tmp_path) as at:
        disk = threading.Event()

        def slow(descriptor: int) -> None:
            assert disk.wait(30)

        monkeypatch.setattr(atomic_write, "sync", slow)
        assert at.shown("top").endswith("  saved ")
        await at.key("-1\n")
        assert at.shown("top").endswith("  saving ")
        disk.set()
        await at.settled()
        assert at.shown("top").endswith("  saved ")
        assert at.on_disk() == ["shot"]


async def test_a_disk_that_refuses_is_named_and_work_goes_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    async with crew(a_book(), tmp_path) as at:

        def full(descriptor: int) -> None:
            raise OSError(errno.ENOSPC, "No space left on device")

        sync = atomic_write.sync
        monkeypatch.setattr(atomic_write, "sync", full)
        await at.key("-1\n-2\n")
        await at.settled()
        assert at.shown("top").endswith("  NOT SAVED: no space left on device ")
        assert "NOT SAVED: no space left on device" in at.prompt
        assert at.here == "C1"
        await at.pilot.resize_terminal(60, 20)
        await at.pilot.pause()
        assert at.shown("top").endswith("  NOT SAVED: no space left on device ")
        for key in ("q", "ctrl+q"):
            await at.press(key)
            assert "Leave anyway?" in at.prompt.replace("\n", " ")
            await at.press("n")
            assert at.pilot.app.return_code is None
        monkeypatch.setattr(atomic_write, "sync", sync)
        await at.settled()
        assert at.shown("top").endswith("  saved ")
        await at.press("q")
        assert at.pilot.app.return_code == 0
    assert at.on_disk() == ["shot", "shot"]


async def test_leaving_all_the_same_is_possible(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    async with crew(a_book(), tmp_path) as at:

        def gone(descriptor: int) -> None:
            raise OSError(errno.EIO, "Input/output error")

        monkeypatch.setattr(atomic_write, "sync", gone)
        await at.key("-1\n")
        await at.press("q", "y")
        assert at.pilot.app.return_code == 0


async def test_leaving_asks_for_a_check_only_where_something_was_shot_in_this_sitting(tmp_path: Path) -> None:
    async with crew(a_book("reference BM1 low 2in", "A1 -3/8"), tmp_path) as at:
        await at.press("q")
        assert at.pilot.app.return_code == 0, "whoever only looked is not asked"
    async with crew(a_book("reference BM1 low 2in", "A1 -3/8"), tmp_path / "again") as at:
        await at.key("-1/2\n")
        await at.press("q")
        assert "no check shot since the last shot" in at.prompt


async def test_a_spot_left_out_is_read_back_as_such(tmp_path: Path) -> None:
    async with crew(a_book("A1 0", "B1 out rut"), tmp_path) as at:
        assert at.said == "B1  LEFT OUT"


# -- hostile text -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [kind for kind in HOSTILE if kind != "lone surrogate"])
async def test_a_hostile_name_is_shown_harmlessly(tmp_path: Path, kind: str) -> None:
    job = a_job(name=HOSTILE[kind], customer=HOSTILE[kind])
    async with crew(a_book(job=job), tmp_path) as at:
        assert at.shown("top").endswith("  saved ")
        assert_harmless(at)


async def test_hostile_text_typed_and_pasted_is_shown_harmlessly_and_kept(tmp_path: Path) -> None:
    async with crew(a_book("A1 -1"), tmp_path) as at:
        for kind, text in HOSTILE.items():
            await at.press("n")
            await at.key(*[text.replace("\n", " ")[:30]])
            await at.paste(text)
            assert_harmless(at)
            await at.press("enter")
            assert at.said == "note written", kind
            await at.press("u")
            assert_harmless(at)
            await at.press("y")
            assert_harmless(at)
        await at.settled()
        assert at.shown("top").endswith("  saved ")
        assert at.on_disk().count("note") == len(HOSTILE)


async def test_hostile_answers_are_refused_harmlessly(tmp_path: Path) -> None:
    book = a_book("reference BM1 +1", job=a_job(Unit.FT, readings="rod"))
    async with crew(book, tmp_path) as at:
        for kind in ("markup", "control", "bidi", "wide", "lone surrogate"):
            for asked in ((), ("b",), ("s", "1"), ("o",), ("t",)):
                await at.press(*asked)
                await at.paste(HOSTILE[kind])
                await at.key("\n-1")
                assert_harmless(at)
                await at.key("\n")
                assert_harmless(at)
                await send(at.pilot, "escape", "escape", "escape")
        assert {entry.kind for entry in at.book.entries[1:]} <= {"leave out", "target"}


async def test_hostile_lines_are_offered_harmlessly(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.paste("\n".join(HOSTILE.values()))
        assert_harmless(at)
        await at.press("enter")
        assert not at.book.entries


async def test_a_shade_never_hides_what_is_out_of_tolerance(tmp_path: Path) -> None:
    """Of several positions in one shade, one that is outside goes before one that is further off and inside."""
    job = a_job(along=40, across=2, length=400 * FOOT, tolerance_high=FOOT // 24, tolerance_low=FOOT // 4)
    async with crew(a_book("A1 +1", "A2 -2", "target 0", job=job), tmp_path) as at:
        await at.press("end", "v")
        nearest = at.plan.rstrip().splitlines()[-1]
        assert nearest.split()[0] == "#"


async def test_the_days_cautions_stand_on_the_plan_until_the_first_key(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(screen, "cautions_seen", cautions_seen)
    for there, line in ((True, "> -1_"), (False, "> _")):
        async with crew(a_book(), tmp_path / str(there), (60, 20)) as at:
            assert ("press any key" in at.plan) is there
            if there:
                await at.key("-1")
            assert "press any key" not in at.plan
            assert at.prompt.splitlines()[0].endswith(line)


async def test_what_was_damaged_is_told_whole_until_enter(tmp_path: Path) -> None:
    """At 40 columns too; what is keyed meanwhile counts."""
    path = saved(a_book("A1 -1", "B1 -2", "C1 -3"), tmp_path).path
    whole = path.read_bytes()
    at_line = whole.index(b'"said": "-2"')
    path.write_bytes(whole[:at_line] + b"#" * 40 + whole[at_line + 40 :])
    opened = open_to_write(path, "tablet-a")
    async with RodcallApp(opened).run_test(size=(40, 24)) as pilot:
        at = Crew(pilot, path)
        await at.settled()
        told = " ".join(at.plan.split())
        assert "entry 2 cannot be read" in told
        assert f"kept in {path.name}.torn-1" in told
        await at.key("-4")
        await at.press("enter")
        assert opened.book.entries[-1].said == "-4"
        assert "entry 2 cannot be read" in " ".join(at.plan.split())
        await at.press("enter")
        assert "cannot be read" not in at.plan


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
@pytest.mark.parametrize("error", [RuntimeError, MemoryError, SystemExit, KeyboardInterrupt, GeneratorExit, OSError])
async def test_a_saving_thread_that_dies_is_an_alarm_and_saving_goes_on(tmp_path, monkeypatch, error) -> None:
    """Of whatever it dies: NOT SAVED, a bell, the entry line in alarm; the next reading is saved by whoever keys it."""
    bells: list[int] = []
    async with crew(a_book(), tmp_path) as at:
        monkeypatch.setattr(at.pilot.app, "bell", lambda: bells.append(1))
        append = at.screen.session.file.append

        def broken() -> int:
            raise error("broken")

        monkeypatch.setattr(at.screen.session.file, "append", broken)
        await at.key("-1\n")
        for _ in range(500):
            if at.screen.session.keeper.kept.trouble and bells:
                break
            await at.pilot.pause(0.01)
        assert "  NOT SAVED: " in at.shown("top")
        assert "NOT SAVED: " in at.prompt
        assert bells == [1], "once, not at every attempt"
        monkeypatch.setattr(at.screen.session.file, "append", append)
        await at.key("-2\n")
        await at.settled()
        assert at.shown("top").rstrip().endswith(" saved")
        assert "NOT SAVED" not in at.prompt
        assert [entry.said for entry in open_job(at.path, "reader").book.entries][-2:] == ["-1", "-2"]
