"""Helpers for tests of the screens: a program on a job, keys by what they type, and what is seen."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from pathlib import Path

from rich.segment import Segment
from textual.events import Key, Paste
from textual.keys import _character_to_key
from textual.pilot import Pilot
from textual.widget import Widget

from rodcall.book.book import Book
from rodcall.book.storage.opening import JobFile, open_job
from rodcall.tui.app import RodcallApp
from rodcall.tui.shot_grid.screen import ShotScreen
from rodcall.tui.shot_grid.session import ShotSession
from rodcall.tui.widgets.lines import Lines

SIZE = (80, 21)
"""Three lines less than the design size: there the read-back stands in plain words."""

_NAMES = {"\n": "enter", " ": "space"}


async def send(pilot: Pilot[None], *keys: str) -> None:
    """Press keys, characters or names, without a pause between them, as Pilot's own `press` has it."""
    for key in keys:
        character = key if len(key) == 1 else " " if key == "space" else None
        pilot.app.post_message(Key(key if character is None else _character_to_key(character), character))
    await pilot.pause()


class Crew:
    """Somebody at the keys of the shot grid."""

    def __init__(self, pilot: Pilot[None], path: Path) -> None:
        self.pilot = pilot
        self.path = path

    @property
    def screen(self) -> ShotScreen:
        """The shot grid, wherever it lies in the stack."""
        return next(screen for screen in self.pilot.app.screen_stack if isinstance(screen, ShotScreen))

    @property
    def session(self) -> ShotSession:
        """The job as it is worked on there."""
        return self.screen.session

    @property
    def book(self) -> Book:
        """The book that is written into."""
        return self.session.book

    async def key(self, *text: str) -> None:
        """Type each text, then wait until it is worked off and painted; a line feed is Enter."""
        for part in text:
            await send(self.pilot, *(_NAMES.get(character, character) for character in part))

    async def press(self, *keys: str) -> None:
        """Press keys by their names, each seen on the screen before the next."""
        for key in keys:
            await send(self.pilot, key)

    async def tap(self, x: int, y: int) -> None:
        """Tap the plan, once what stands above it is laid out."""
        laid_out = asyncio.Event()
        self.screen.call_after_refresh(laid_out.set)
        await laid_out.wait()
        await self.pilot.click("#plan", offset=(x, y))
        await self.pilot.pause()

    def region(self, name: str) -> tuple[int, int, int, int]:
        """Left, top, width and height of a position's cell on the plan, which must be seen."""
        picture = self.screen.plan.picture
        place = picture.place_of(self.book.job.grid.index(name))
        assert place is not None, name
        laid = picture.layout
        return laid.label + (place[1] - 1) * laid.width, place[0], laid.width, laid.height

    async def paste(self, text: str) -> None:
        """What a terminal sends for pasted text."""
        self.screen.post_message(Paste(text))
        await self.pilot.pause()

    async def settled(self) -> None:
        """Wait until the disk has taken, or refused, what was written, and the top line says so."""
        self.session.keeper.flush()
        self.screen.repaint()
        await self.pilot.pause()

    @property
    def here(self) -> str:
        """Name of the position under the cursor."""
        return self.book.job.grid.name(self.session.cursor)

    def shown(self, id: str) -> str:
        """Text of one part of the shot grid: top, panel, fold, read_back, entry, foot."""
        return self.screen.query_one(f"#{id}", Lines).shown

    @property
    def plan(self) -> str:
        """All characters of the plan."""
        return painted([self.screen.plan])

    @property
    def prompt(self) -> str:
        """Both lines of the entry line."""
        return self.shown("entry")

    @property
    def said(self) -> str:
        """What the screen reads back; in words where it is too low for large letters."""
        return self.shown("read_back").strip()

    def on_disk(self) -> list[str]:
        """Kinds of the entries in the file."""
        return [entry.kind for entry in open_job(self.path, "reader").book.entries]


@asynccontextmanager
async def crew(book: Book, folder: Path, size: tuple[int, int] = SIZE) -> AsyncIterator[Crew]:
    """The program on a book's file, at the shot grid."""
    file = saved(book, folder)
    async with RodcallApp(file).run_test(size=size) as pilot:
        await pilot.pause()
        yield Crew(pilot, file.path)


def saved(book: Book, folder: Path) -> JobFile:
    """A file of this book on the disk."""
    folder.mkdir(parents=True, exist_ok=True)
    file = JobFile(folder / "pad.json", book)
    file.save()
    return file


def strips(widget: Widget) -> list[list[Segment]]:
    """What a widget paints, line by line, as it goes to the terminal."""
    return [list(widget.render_line(y)) for y in range(widget.size.height)]


def painted(widgets: Sequence[Widget]) -> str:
    """All characters that these widgets paint."""
    return "\n".join("".join(part.text for part in line) for widget in widgets for line in strips(widget))
