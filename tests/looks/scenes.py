"""The screens that are looked at: each a job, and the keys that lead from its shot grid, or from the list, to it."""

from __future__ import annotations

import asyncio
import contextlib
import os
import re
import shutil
import tempfile
from collections.abc import AsyncIterator, Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from time import time
from unittest import mock

from rich.cells import cell_len
from textual.app import App
from textual.pilot import Pilot

from rodcall.book.book import Book
from rodcall.book.storage.opening import JobFile, open_to_write
from rodcall.i18n import speak
from rodcall.tablet.paths import file_for, jobs_folder
from rodcall.tablet.samples import write_samples
from rodcall.tablet.settings import Settings
from rodcall.tui.app import RodcallApp
from rodcall.tui.shot_grid import screen
from rodcall.tui.shot_grid.practice import PracticeGrid
from rodcall.tui.shot_grid.screen import ShotScreen
from rodcall.tui.widgets.lines import Painted
from rodcall.units import FOOT, Unit
from tests.book.disk import die
from tests.documents import TOP
from tests.kit import START, a_book, a_job, say
from tests.practice.kit import some_pads
from tests.tui.kit import saved, send

IN_PROGRESS = ("A1 -3/8", "B1 -1/4", "C1 -5/8", "C2 -1/2", "B2 -1/8", "A2 out stump", "A3 -3/4", "A3 -7/8")
PROVEN = (
    *("A1 -1", "B1 +1/2", "C1 -2", "C2 -1/2", "B2 0", "A2 +1-1/4", "A3 -3/4", "B3 -1/2", "C3 out stump", "C4 -1"),
    *("B4 -1/4", "A4 +3/4", "reference BM1 +4", "target -1/2", "check BM1 +4", "set margin-near 6ft"),
)
"""A pad with a bit of everything."""
OUT_OF_TOLERANCE = ("A1 -1-7/8", "B1 +1-1/4", "C1 -1/2", "C2 -3/8", "B2 -1/2", "A2 +1/8", "A3 -2-1/2", "target -1/2")
BEFORE_A_DOUBT = ("A1 0", "B1 -1/4", "C1 -3/8", "C2 -1/2", "B2 -3/8", "A2 -1/8")
TIMED = "".join(
    f"2026-04-18T14:0{minute}:00Z,{said}\n"
    for minute, said in enumerate(("B3,-1/2", "C3,-5/8", "C4,+1/4", "B4,0", "A4,-3/8"))
)
"""A file of readings with times."""
SIZES = ((60, 20), (80, 24), (120, 40), (200, 60))
LANGUAGES = ("en", "es")

Begin = Callable[[Path, Settings], tuple[App[None], float]]
"""Makes the program in an empty folder; and the time of day that its screens go by, in seconds since 1970."""


@dataclass(frozen=True)
class Scene:
    """One screen: how the program is begun, and the keys that lead there."""

    begin: Begin
    keys: tuple[str, ...] = ()
    cautions: bool = False
    """The day's cautions are still to be read."""


def job_of(make: Callable[[], Book], *keys: str) -> Scene:
    """A screen of a job that is open."""

    def begin(folder: Path, settings: Settings) -> tuple[App[None], float]:
        # What is dictated is English.
        speak("en")
        book = make()
        speak(settings.language)
        return RodcallApp(saved(book, folder / "jobs"), settings=settings), START.timestamp() + 600

    return Scene(begin, keys)


def lines_of(lines: tuple[str, ...], *keys: str) -> Scene:
    """A screen of a small job with these lines in its book."""
    return job_of(lambda: a_book(*lines), *keys)


def sample(name: str, *keys: str) -> Scene:
    """A screen of a sample job, ten minutes after its last entry."""

    def begin(folder: Path, settings: Settings) -> tuple[App[None], float]:
        path = folder / f"{name}.json"
        shutil.copy(TOP / "sample_jobs" / path.name, path)
        opened = open_to_write(path, "pictures")
        last = opened.book.entries[-1].time.timestamp() + 600
        opened.book.clock = lambda: datetime.fromtimestamp(last, UTC)
        return RodcallApp(opened, settings=settings), last

    return Scene(begin, keys)


def jobs(*keys: str, samples: bool = False) -> Scene:
    """A screen before a job is open."""

    def begin(folder: Path, settings: Settings) -> tuple[App[None], float]:
        if samples:
            list(write_samples(jobs_folder()))
        return RodcallApp(None, settings=settings), time()

    return Scene(begin, keys)


def a_site(*keys: str) -> Scene:
    """A screen of the list, with two pads of one site."""

    def begin(folder: Path, settings: Settings) -> tuple[App[None], float]:
        speak("en")
        jobs_folder().mkdir(parents=True, exist_ok=True)
        for name, lines in (("Tool shed", PROVEN), ("Cart shed", OUT_OF_TOLERANCE)):
            book = a_book(*lines, job=a_job(name=name, site="Fenwick yard"))
            JobFile(file_for(name), book).save()
        speak(settings.language)
        return RodcallApp(None, settings=settings), time()

    return Scene(begin, keys)


def files(*keys: str) -> Scene:
    """A screen of a job with files beside it."""

    def begin(folder: Path, settings: Settings) -> tuple[App[None], float]:
        made = lines_of(IN_PROGRESS).begin(folder, settings)
        jobs = folder / "jobs"
        (jobs / "north-corner.csv").write_text(TIMED, "utf-8")
        (jobs / "stakes.txt").write_text("1,0,0,4.1\n2,0,20,4.2\n", "utf-8")
        return made

    return Scene(begin, keys)


def practice(*keys: str) -> Scene:
    """A screen of a practice pad."""

    def begin(folder: Path, settings: Settings) -> tuple[App[None], float]:
        pads = some_pads(folder)
        pad = pads.begin()
        return RodcallApp(pad.file, settings=settings, grid=lambda _: PracticeGrid(pad, pads)), time()

    return Scene(begin, keys)


def passed() -> Book:
    """A pad that was shot, graded, shot again and passes."""
    working = ("-1", "-3/4", "-3/4", "-1/2", "-5/8", "-3/4", "-3/4", "-1/2", "-3/8", "-3/8", "-1/2", "-5/8")
    final = ("-5/8", "-5/8", "-3/4", "-1/2", "-5/8", "-5/8", "-5/8", "-5/8", "-5/8", "-3/4", "-5/8", "-1/2")
    walk = ("A1", "B1", "C1", "C2", "B2", "A2", "A3", "B3", "C3", "C4", "B4", "A4")
    book = a_book(*map(" ".join, zip(walk, working, strict=True)), "reference BM1 +4", "target -5/8", "check BM1 +4")
    say(book, "round final", *map(" ".join, zip(walk, final, strict=True)), "check BM1 +4")
    return book


def big_pad() -> Book:
    """A pad of 600 spots, half shot."""
    job = a_job(along=30, across=20, length=300 * FOOT, width=200 * FOOT)
    shots = [f"{name} {'-+'[at % 3 == 0]}{at % 7}/8" for at, name in enumerate(job.grid.names[:333]) if at % 7]
    return a_book(*shots, job=job)


def with_a_rod() -> Book:
    """Rod readings in feet."""
    return a_book("setup ZERO 4.28", "A1 4.30", job=a_job(Unit.FT, readings="rod"))


def recovered(*keys: str) -> Scene:
    """A screen of a job whose program was cut off after its last entries went into the journal."""

    def begin(folder: Path, settings: Settings) -> tuple[App[None], float]:
        speak("en")
        book = a_book(*IN_PROGRESS)
        file = saved(book, folder / "jobs")
        say(book, *(f"B3 {reading}/8" for reading in ("-1", "-3", "-5")))
        file.append()
        die(file)
        speak(settings.language)
        return RodcallApp(open_to_write(file.path, "pictures"), settings=settings), START.timestamp() + 600

    return Scene(begin, keys)


SCENES: Mapping[str, Scene] = {
    "cautions": replace(lines_of(()), cautions=True),
    "recovered": recovered(),
    "grid-empty": lines_of(()),
    "grid-in-progress": lines_of(IN_PROGRESS, *"-1/2", "enter", *"-3"),
    "grid-out-of-tolerance": lines_of(OUT_OF_TOLERANCE),
    "grid-outlier": lines_of(BEFORE_A_DOUBT, "enter", *"+12", "enter"),
    "grid-question": lines_of(IN_PROGRESS, *"3/8", "enter"),
    "grid-not-understood": lines_of(("A1 -3/8",), *"3/7", "enter"),
    "grid-passed": job_of(passed),
    "grid-round-before": lines_of((*PROVEN[:13], "round working", "A1 -1/2", "B1 0", "C1 out rut")),
    "grid-rod": job_of(with_a_rod, "s"),
    "grid-overview": job_of(big_pad, "v"),
    "grid-big": job_of(big_pad),
    "call-out": lines_of(IN_PROGRESS, "j", *"-3"),
    "call-out-doubt": lines_of(BEFORE_A_DOUBT, "j", *"+12", "enter"),
    "menu": lines_of((), "*", "5"),
    "help": lines_of((), "?"),
    "legend": lines_of(PROVEN, "k"),
    "settings": lines_of((), "m", "down"),
    "target": lines_of(PROVEN, "enter", "t"),
    "terms": lines_of(PROVEN, "enter", "e", "down"),
    "term-asked": lines_of(PROVEN, "enter", "e", *["down"] * 4, "enter"),
    "proof": lines_of(PROVEN, "enter", "a"),
    "layout": lines_of(PROVEN, "enter", "p"),
    "punch-list": lines_of(PROVEN, "enter", "tab"),
    "facts": lines_of(PROVEN, "enter", "e", "f"),
    "helper": lines_of(PROVEN, "%"),
    "read": files("<"),
    "read-shown": files("<", "down", "enter"),
    "read-none": lines_of(PROVEN, "enter", "<"),
    "site": lines_of(PROVEN, "enter", ":"),
    "cider-grid": sample("cider-shed"),
    "cider-punch-list": sample("cider-shed", "tab"),
    "cider-target": sample("cider-shed", "t"),
    "cider-proof": sample("cider-shed", "a"),
    "cider-dig": sample("cider-shed", "d"),
    "cider-layout": sample("cider-shed", "p"),
    "yard-grid": sample("packing-yard"),
    "yard-target": sample("packing-yard", "t"),
    "yard-dig": sample("packing-yard", "d"),
    "nursery-grid": sample("nursery-slab"),
    "nursery-proof": sample("nursery-slab", "a"),
    "nursery-call-out": sample("nursery-slab", "j"),
    "jobs-empty": jobs(),
    "jobs": jobs(samples=True),
    "jobs-menu": jobs("*", samples=True),
    "jobs-find": jobs("/", *"shed", samples=True),
    "jobs-help": jobs("?", samples=True),
    "sites": a_site("i"),
    "sites-none": jobs("i", samples=True),
    "form": jobs("n"),
    "form-filled": jobs("n", *"60x30ft 4x5", "enter"),
    "form-wrong": jobs("n", *"60x30ft 4x", "down"),
    "form-like": jobs("l", samples=True),
    "practice": practice(*"-1/2", "enter"),
    "score": practice(*"-1/2", "enter", *"-5/8", "enter", "@", *"+1/4", "enter", "#"),
}
"""Every screen, and the states of it that look different."""


@contextlib.asynccontextmanager
async def shown(name: str, size: tuple[int, int], language: str, folder: Path) -> AsyncIterator[Pilot[None]]:
    """The program on a scene; its home, and the folder, are to be the scene's own."""
    scene = SCENES[name]
    speak(language)
    app, now = scene.begin(folder, Settings(language=language, vibration_ms=0))
    with (
        mock.patch.object(screen, "time", return_value=now),
        mock.patch.object(screen, "cautions_seen", return_value=not scene.cautions),
    ):
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            for key in scene.keys:
                await send(pilot, key)
            await at_rest(pilot)
            yield pilot


async def at_rest(pilot: Pilot[None]) -> None:
    """Wait until what is worked out beside the keys is shown."""
    app = pilot.app
    await pilot.pause()
    with contextlib.suppress(Exception):
        await asyncio.wait_for(app.workers.wait_for_complete(), 30)
    for each in app.screen_stack:
        if isinstance(each, ShotScreen):
            each.session.keeper.flush()
            if each is app.screen:
                each.repaint()
    await pilot.pause()


def text_of(app: App[None]) -> list[str]:
    """The characters of the screen that is up, line by line."""
    return ["".join(part.text for part in strip) for strip in app.screen._compositor.render_strips()]


@contextlib.contextmanager
def home_of_its_own() -> Iterator[Path]:
    """An empty folder that is the program's home; gone afterwards."""
    with tempfile.TemporaryDirectory() as made:
        told = {"RODCALL_HOME": f"{made}/home", "HOME": made, "USERPROFILE": made}
        with mock.patch.dict(os.environ, told):
            yield Path(made)


def cut(app: App[None]) -> list[str]:
    """Lines in which a word ends in two points, or that are wider than their widget: something had no room."""
    lines = [
        ("".join(part.text for part in widget.segments(y)).rstrip(), widget.size.width)
        for widget in app.screen.query(Painted)
        for y in range(widget.size.height)
    ]
    return [line for line, width in lines if re.search(r"(?<!\.)\.\.(\s|$)", line) or cell_len(line) > width]
