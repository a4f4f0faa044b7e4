"""The key path under random keys: the real shot grid, and a model beside it that knows only what the screen showed.

The model reads the prompt off the screen by words of its own, so that it shares nothing with what it is held against.
Its rule is the one of the punch list: a reading goes where the line named when its first character was typed, verbatim,
once, and no length is written that nobody typed.
"""

from __future__ import annotations

import asyncio
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from time import monotonic

from hypothesis import strategies as st
from textual.events import Paste

from rodcall.book.book import Book
from rodcall.book.model.entries import Check, Entry, LeaveOut, Reference, Setup, Shot, Strike, Target
from rodcall.book.storage.opening import JobFile
from rodcall.tablet.settings import Settings
from rodcall.tui.app import RodcallApp
from rodcall.tui.shot_grid.plan import Plan
from rodcall.tui.shot_grid.screen import ShotScreen
from rodcall.tui.shot_grid.session import ShotSession
from rodcall.tui.terminal.keys import stroke_of
from rodcall.tui.widgets.key_screen import KeyScreen
from rodcall.tui.widgets.lines import Lines
from rodcall.units import Unit
from tests.kit import a_book, a_job

SIZE = (200, 30)
"""Wide enough that no prompt is broken in two."""

Action = tuple[str, ...]
"""What a crew does in one go: its kind, then what it needs."""

_SPOT = re.compile(r"^(?:next ([A-Z]+\d+)\b|read ([A-Z]+\d+) again$|shoot ([A-Z]+\d+) again, )")
_CHECK = re.compile(r"^(?:BAD CHECK: read (\w+) again, |LEVEL IT, then check (\w+)$)")
_BACKSIGHT = re.compile(r"^(?:LEVEL IT, then )?backsight: rod on (\w+)$")
_CHECK_ASKED = re.compile(r"^check (\w+): what ")
_SIGN_ASKED = re.compile(r"^(\w+) (.*): HIGH or LOW\?")
_WHERE_ASKED = re.compile(r"^(.*): for which position\? \(Enter: (\w+)\)")


@dataclass(frozen=True)
class Seen:
    """The entry line as it is on the screen."""

    prompt: str
    text: str
    message: str
    asked: bool
    """A question is open."""

    @property
    def where(self) -> tuple[str, str] | None:
        """Kind of entry, and the spot or the reference, that a reading belongs to; None where the line names none."""
        for kind, pattern in (("shot", _SPOT), ("check", _CHECK), ("setup", _BACKSIGHT)):
            found = pattern.match(self.prompt)
            if found and not self.asked:
                return kind, next(group for group in found.groups() if group)
        return None


class WrongPlaceError(AssertionError):
    """A reading that is not where the screen said, or a length that nobody typed."""


class Crew:
    """A crew on one job: presses keys, and holds every entry against what it saw."""

    def __init__(self, screen: ShotScreen) -> None:
        self.screen = screen
        self.book = screen.session.book
        self.meant: tuple[str, str] | None = None
        """What the line named when the first character of what is in it was typed."""
        self.expected: list[tuple[str, str, str]] = []
        """Kind, where and words of every reading whose Enter came."""
        self.named: tuple[str, str] | None = None
        """What the line named when nothing was asked last."""
        self.refused = False
        """What is in the line was refused at the last key."""
        self.pasted: tuple[str, ...] = ()
        self.before = len(self.book.entries)
        self.keys = 0
        self.done: list[str] = []

    # -- what is seen ---------------------------------------------------------------------------------------

    def look(self) -> Seen:
        """What stands in the entry line now."""
        first, _, message = self.screen.query_one("#entry", Lines).shown.partition("\n")
        prompt, _, text = first.rpartition(" > ")
        return Seen(
            prompt.strip(), text.removesuffix("_"), message.strip(), self.screen.session.line.question is not None
        )

    # -- what is done ---------------------------------------------------------------------------------------

    async def press(self, key: str) -> None:
        """Press one key of the shot grid, and judge what it wrote."""
        self.keys += 1
        self.done.append(key)
        before, entries = self.look(), len(self.book.entries)
        self.screen.press(stroke_of(key, monotonic()))
        self.screen.repaint()
        self.screen.seen()
        await self._come_back()
        after = self.look()
        self._judge(before, after, key, self.book.entries[entries:])
        self._latch(before, after, key)

    async def paste(self, text: str) -> None:
        """Paste text."""
        self.done.append(f"paste {text!r}")
        before, entries = self.look(), len(self.book.entries)
        self.screen.on_paste(Paste(text))
        self.screen.seen()
        after = self.look()
        self._nothing_written(self.book.entries[entries:])
        lines = tuple(text.splitlines())
        if not before.asked:
            self.named = before.where
        if len(lines) > 1 and after.asked and not before.asked:
            self.pasted, self.meant = lines, before.where
        else:
            self._latch(before, after, text)

    async def tap(self, index: int) -> None:
        """Tap a cell of the plan."""
        self.done.append(f"tap {self.book.job.grid.name(index)}")
        before, entries = self.look(), len(self.book.entries)
        self.screen.on_plan_tapped(Plan.Tapped(index))
        self.screen.seen()
        after = self.look()
        self._nothing_written(self.book.entries[entries:])
        if before.text and not before.asked and after.text not in ("", before.text):
            raise WrongPlaceError(f"a tap changed what is typed: {before} {after}")

    async def _come_back(self) -> None:
        """Leave whatever page came over the shot grid."""
        app = self.screen.app
        while app.screen is not self.screen:
            page = app.screen
            while not page.is_mounted:
                await asyncio.sleep(0)
            assert isinstance(page, KeyScreen)
            page.press(stroke_of("escape", monotonic()))
            while app.screen is page:
                await asyncio.sleep(0)

    async def act(self, action: Action) -> None:
        """Do one thing."""
        kind, *known = action
        match kind:
            case "read":
                for key in (*known[0], "enter"):
                    await self.press(key)
            case "keys":
                for key in known:
                    await self.press(key)
            case "check":
                for key in ("c", *known[0], "enter", *known[1], "enter"):
                    await self.press(key)
            case "paste":
                await self.paste(known[0])
            case "tap":
                await self.tap(int(known[0]) % self.book.job.grid.size)

    # -- what must hold -------------------------------------------------------------------------------------

    def _latch(self, before: Seen, after: Seen, typed: str) -> None:
        """Note what the line named at a first character: of an empty line, or in place of a refused reading."""
        if not after.asked:
            self.named = after.where
        if not before.asked and not after.asked and after.text == typed:
            self.meant = before.where
        elif self.refused and not before.asked and len(typed) == 1 and after.text == before.text + typed:
            raise WrongPlaceError(f"a refused reading swallows the next: {before} {after}")
        self.refused = typed == "enter" and bool(after.text) and not after.asked and not before.asked

    def _judge(self, before: Seen, after: Seen, key: str, new: Sequence[Entry]) -> None:
        due: list[tuple[str, str, str]] = []
        if key == "enter" and before.text.strip() and not before.asked and not after.asked and not after.text:
            if self.meant is None:
                if "not written" not in after.message:
                    raise WrongPlaceError(f"a reading without a spot was swallowed: {before} {after}")
            else:
                due = [(*self.meant, before.text)]
        elif before.asked and key == "enter" and (held := _WHERE_ASKED.match(before.prompt)):
            # Readings that were typed to another question: they are written from the position that is said now.
            shots = [entry for entry in new if isinstance(entry, Shot)]
            if shots and not before.text and shots[0].position != held[2]:
                raise WrongPlaceError(f"Enter took another position: {before} {shots[0]}")
            if not after.asked and not after.message and len(shots) != len(held[1].split(", ")):
                raise WrongPlaceError(f"not all that was held is written: {before} {new}")
            due = [("shot", shot.position, said) for shot, said in zip(shots, held[1].split(", "), strict=False)]
        elif before.asked and before.text and key == "enter" and not after.asked and self.named and new:
            if not (check := _CHECK_ASKED.match(before.prompt)):
                due = [(*self.named, before.text)] if reading(new[0]) is not None else []
            else:
                due = [("check", check[1], before.text)]
        elif sign := before.asked and _SIGN_ASKED.match(before.prompt):
            if key in "hHlL+-" and not after.asked and self.meant is not None:
                letter = {"+": "h", "-": "l"}.get(key, key.lower())
                due = [(*self.meant, f"{sign[2]}{letter}")]
        elif before.asked and key == "enter" and (check := _CHECK_ASKED.match(before.prompt)):
            due = [] if after.asked else [("check", check[1], before.text)]
        elif before.asked and self.pasted and key in ("enter", "y", "+") and not after.asked:
            shots = [entry for entry in new if isinstance(entry, Shot)]
            if shots and self.meant is not None and self.meant[0] == "shot" and shots[0].position != self.meant[1]:
                raise WrongPlaceError(f"the first pasted line went elsewhere: {before} {shots[0]}")
            due = [("shot", shot.position, said) for shot, said in zip(shots, self.pasted, strict=False)]
        written = [told for entry in new if (told := reading(entry)) is not None]
        if written != [(kind, where, said.strip()) for kind, where, said in due]:
            raise WrongPlaceError(f"{key!r} wrote {written}, due {due}\n  before {before}\n  after {after}")
        if key == "enter" and before.text and not before.asked and after.text and not after.message:
            raise WrongPlaceError(f"refused without a word: {before} {after}")
        stayed = key == "enter" and not before.asked and not after.asked and after.text in GOOD
        if stayed and self.meant is not None and "no set-up yet" not in after.message:
            raise WrongPlaceError(f"a good reading was refused: {before} {after}")
        for entry in new:
            self._no_length_of_its_own(entry, before, key)
        self.expected += written
        if before.asked and not after.asked:
            self.pasted = ()

    def _no_length_of_its_own(self, entry: Entry, before: Seen, key: str) -> None:
        if isinstance(entry, Shot | Check | Setup | Strike | LeaveOut):
            return
        if isinstance(entry, Target) and ("only suggested" in before.prompt or entry.said == before.text.strip()):
            return
        if isinstance(entry, Reference):
            raise WrongPlaceError(f"{key!r} wrote {entry}")
        if isinstance(entry, Target):
            raise WrongPlaceError(f"{key!r} wrote a target that nobody typed: {entry}")

    def _nothing_written(self, new: Sequence[Entry]) -> None:
        if new:
            raise WrongPlaceError(f"{self.done[-1]} wrote {new}")

    def at_the_end(self) -> None:
        """Each reading stands in the book, once, in the order typed."""
        entries = self.book.entries[self.before :]
        stands = [told for entry in entries if (told := reading(entry)) is not None]
        if stands != self.expected:
            raise WrongPlaceError(f"the book has {stands}, typed was {self.expected}")


def reading(entry: Entry) -> tuple[str, str, str] | None:
    """Kind, where and words of an entry that holds a reading; None for one that does not."""
    if isinstance(entry, Shot):
        return "shot", entry.position, entry.said
    if isinstance(entry, Check):
        return "check", entry.reference, entry.said
    if isinstance(entry, Setup):
        return "setup", entry.reference, entry.said
    return None


# -- jobs and what is typed there ---------------------------------------------------------------------------

_EVEN = ("A1 0", "B1 -1/4", "C1 -3/8", "C2 -1/2", "B2 -3/8", "A2 -1/8")
_ROD_EVEN = ("setup BM1 4.28", "A1 4.53", "B1 4.55", "C1 4.56", "C2 4.58", "B2 4.56", "A2 4.54")
BOOKS: dict[str, tuple[str, ...]] = {
    "new": (),
    "six shot": _EVEN,
    "six shot off a benchmark": ("reference BM1 +4", "check BM1 +4", *_EVEN),
    "a second round": (*_EVEN, "target -1/4", "round final"),
    "rod, new": ("reference BM1 +1.00",),
    "rod, six shot": ("reference BM1 +1.00", *_ROD_EVEN),
}
"""How a job lies when the keys begin, by name."""


def book_of(name: str) -> Book:
    """A job of 4 x 3 spots, in inches or off a rod in feet."""
    job = a_job(Unit.FT, readings="rod") if name.startswith("rod") else a_job()
    return a_book(*BOOKS[name], job=job)


_HEIGHTS = ("-1/4", "-3/8", "-1/2", "0", "g", "+1/8", "l3/8", "1/4l", "-.25", "+1 1/2")
_ROD = ("4.53", "4.55", "4.56", "4.5", "4.58", "4.60")
_OUTLIERS = {"in": ("+12", "-12-3/8", "+3/8h", "-11-1/2", "+9"), "ft": ("5.53", "3.56", "14.56", "4.05")}
_UNSIGNED = ("3/8", "1/4", "2")
GOOD = frozenset((*_HEIGHTS, *_ROD, *_OUTLIERS["in"], *_OUTLIERS["ft"]))
"""What can be read in its job, and signed where it must be."""
_WRONG = ("3/7", "--1", "1..2", "9999", "4'14")
_LETTERS = ("u", "y", "=", "!", "x", "/", "escape", "backspace", "enter", "up", "down", "left", "right", "home", "end")


def actions(name: str) -> st.SearchStrategy[list[Action]]:
    """What a crew may do on a job: mostly readings, among them outliers and some that cannot be read."""
    rod = name.startswith("rod")
    plausible = st.sampled_from(_ROD if rod else _HEIGHTS)
    outlier = st.sampled_from(_OUTLIERS["ft" if rod else "in"])
    wrong = st.sampled_from(_WRONG if rod else (*_WRONG, *_UNSIGNED))
    said = st.one_of(plausible, plausible, outlier, wrong)
    check = st.sampled_from(("4.28", "4.29", "4.60", "3.9") if rod else ("+4", "+4-1/8", "+5", "0", "-1"))
    key = st.sampled_from(_LETTERS).map(lambda key: ("keys", key))
    read = said.map(lambda said: ("read", said))
    begun = said.map(lambda said: ("keys", *said))
    others = st.one_of(
        st.sampled_from(
            [
                ("keys", "o", "enter"),
                ("keys", "o", "escape"),
                ("keys", "t", "escape"),
                ("keys", "*"),
                ("keys", "r", "1", "enter", "1", "enter"),
                ("keys", "r", "1", "enter", "2", "enter"),
                ("keys", "r", "2", "enter", "escape"),
                ("keys", "w", "2", "enter"),
                ("keys", "c", "escape"),
                ("keys", "backspace", "backspace", "1"),
                ("keys", "z", "y"),
                ("keys", "n", "h", "i", "enter"),
            ]
        ),
        st.tuples(st.just("check"), st.sampled_from(("", "1", "zero")), check),
        st.integers(0, 11).map(lambda index: ("tap", str(index))),
        said.map(lambda said: ("paste", said)),
        st.lists(plausible, min_size=2, max_size=4).map(lambda lines: ("paste", "\n".join(lines))),
    )
    return st.lists(st.one_of(read, read, read, key, key, begun, others), min_size=6, max_size=30)


def sequences() -> st.SearchStrategy[tuple[str, list[Action]]]:
    """A job, and what is done there."""
    return st.sampled_from(sorted(BOOKS)).flatmap(lambda name: st.tuples(st.just(name), actions(name)))


# -- many sequences on one program --------------------------------------------------------------------------


class Program:
    """The program without a terminal; each sequence has a job of its own on the same mounted shot grid."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._loop = asyncio.new_event_loop()
        self._asked: asyncio.Queue[tuple[str, list[Action], asyncio.Future[int]] | None] = asyncio.Queue()
        self._served = self._loop.create_task(self._serve())
        self._number = 0

    def run(self, name: str, sequence: list[Action]) -> int:
        """Do a sequence on a new job; how many keys it took.

        Raises:
            WrongPlaceError: when a reading is not where the screen said.
        """
        done: asyncio.Future[int] = self._loop.create_future()
        self._asked.put_nowait((name, sequence, done))
        self._loop.run_until_complete(asyncio.wait([done, self._served], return_when=asyncio.FIRST_COMPLETED))
        return done.result() if done.done() else self._served.result() or 0

    def close(self) -> None:
        """End the program."""
        if not self._served.done():
            self._asked.put_nowait(None)
            self._loop.run_until_complete(self._served)
        self._loop.close()

    async def _serve(self) -> None:
        file = JobFile(self._folder / "first.json", book_of("new"))
        file.save()
        async with RodcallApp(file, settings=Settings(vibration_ms=0, sound="off")).run_test(size=SIZE) as pilot:
            await pilot.pause()
            grid = pilot.app.screen
            assert isinstance(grid, ShotScreen)
            while (asked := await self._asked.get()) is not None:
                name, sequence, done = asked
                try:
                    done.set_result(await self._one(grid, name, sequence))
                except Exception as error:
                    done.set_exception(error)

    async def _one(self, screen: ShotScreen, name: str, sequence: list[Action]) -> int:
        self._number += 1
        file = JobFile(self._folder / f"{self._number}.json", book_of(name))
        file.save()
        take_up(screen, file)
        crew = Crew(screen)
        try:
            for action in sequence:
                await crew.act(action)
            crew.at_the_end()
        except WrongPlaceError as violation:
            raise WrongPlaceError(f"{violation}\n  job {name}, keys {' '.join(crew.done)}") from None
        finally:
            screen.session.keeper.close()
            for left in self._folder.glob(f"{self._number}.*"):
                left.unlink()
        return crew.keys


def take_up(screen: ShotScreen, file: JobFile) -> None:
    """Put another job on a mounted shot grid, as if it had been opened on it: mounting one costs more than its keys."""
    screen.session.keeper.close()
    screen.session = ShotSession(file, screen._tell)
    screen.session.acted.append(screen.acted)
    screen.search._session = screen.session
    screen.calling, screen._back = False, bool(file.book.entries)
    vars(screen).pop("commands", None)
    if screen.plan.overview:
        screen.plan.toggle_overview()
    screen.plan.picture.doubted = screen.session.known
    screen.repaint()
