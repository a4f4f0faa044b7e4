"""The pads of a site: how each stands, what they share, which check proves which, and the dirt from one to another."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual.message import Message

from rodcall.book.book import Book
from rodcall.book.fold.round_page import Change
from rodcall.book.sharing import SharedCheck, carry, shared_checks, shared_setups
from rodcall.book.storage.opening import JobFile, JobFileError
from rodcall.book.storage.safe_read import reason
from rodcall.figures.site import PadDirt, balance, pad_dirt
from rodcall.figures.summary import Summary, summarise
from rodcall.frozen import Frozen
from rodcall.i18n import counted, say
from rodcall.tablet.paths import tablet_name
from rodcall.tablet.site_jobs import carry_into, sites
from rodcall.tui.pages.base import ListPage
from rodcall.tui.widgets.buttons import of_actions
from rodcall.tui.widgets.lines import beside, broken, fitted, wrapped
from rodcall.tui.widgets.pad_map import LEAST_BESIDE, as_it_is, text_columns
from rodcall.tui.widgets.styles import ACCENT, FAINT, HIGH, LOW, PLAIN, STRONG
from rodcall.wording import site as words_site
from rodcall.wording import words

_MOVES = frozenset({"up", "down", "page_up", "page_down"})
MOST_LABEL, LEAST_BAR = 24, 8
"""Columns of a pad's name before its bar at the most, and of half a bar at the least."""
ROOM_FOR_PADS = 150
"""Columns from which the pads are drawn beside the text; else below it, where there is room."""
LEAST_PAD, LEAST_IN_A_ROW = 9, 38
"""Lines and columns of one at the least."""
OTHER_ROWS = 3
"""Lines beside the text: head, what was said, keys."""


class _Site(Frozen):
    """One site as it was read."""

    name: str
    paths: list[Path]
    books: list[Book]
    summaries: list[Summary]
    checks: list[SharedCheck]

    @property
    def names(self) -> list[str]:
        """Of its pads."""
        return [book.job.name for book in self.books]


class SiteScreen(ListPage[None]):
    """Shows each site of a folder; Enter writes checks into the jobs that they serve.

    Args:
        folder: Of the jobs.
        file: The job that is open; its own site alone is shown then.
        written: Told of each entry that is written into the open job.
    """

    TABLE: ClassVar[str] = "site"

    class Read(Message):
        """The folder was read."""

        def __init__(self, found: list[_Site]) -> None:
            super().__init__()
            self.found = found

    def __init__(self, folder: Path, file: JobFile | None, written: Callable[[Change], None] | None) -> None:
        super().__init__()
        self._folder = folder
        self._file = file
        self._written = written
        self._sites: list[_Site] | None = None
        self._broken: tuple[int, list[Text]] | None = None
        """The text of what was read, for so many columns; keys only move it."""
        self._said = ""

    def on_mount(self) -> None:
        """Read the folder."""
        self._read()

    # -- reading, on a thread of its own ----------------------------------------------------------------------

    def _read(self) -> None:
        file, folder = self._file, self._folder
        began, entries = (file.book.began, tuple(file.book.entries)) if file is not None else (None, ())

        def work() -> None:
            found = []
            for name, jobs in sites(folder).items():
                paths, books = [path for path, _ in jobs], [book for _, book in jobs]
                if file is not None and file.path in paths and began is not None:
                    # The open job is newer than its file.
                    books[paths.index(file.path)] = Book.of(began, entries, "reader")
                elif file is not None:
                    continue
                summaries = [summarise(book.page) for book in books]
                for summary in summaries:
                    summary.punch_list  # noqa: B018 - the slow part, worked out here
                found.append(_Site(name, paths, books, summaries, shared_checks(books)))
            self.post_message(self.Read(found))

        self.run_worker(work, thread=True, exclusive=True)

    def on_site_screen_read(self, event: Read) -> None:
        """Show it."""
        self._sites, self._broken = event.found, None
        self.show_anew()

    # -- keys -----------------------------------------------------------------------------------------------

    @property
    def count(self) -> int:
        """How many lines can be at the top."""
        return max(len(self._lines(self._across)) - max(self.size.height - OTHER_ROWS, 1) + 1, 1)

    def do_carry(self) -> None:
        """Write each check into the jobs that it serves."""
        if self._sites is None:
            return
        wrote, self._said = 0, ""
        for site in self._sites:
            for check in site.checks:
                for job in check.serves:
                    try:
                        self._carry(site, check, job)
                        wrote += 1
                    except OSError as error:
                        self._said = f"{site.paths[job].name}: {reason(error)}"
                    except (JobFileError, ValueError) as error:
                        self._said = str(error)
        if not self._said:
            nothing = say("no check to write into another job")
            self._said = counted(wrote, "{number} check written", "{number} checks written") if wrote else nothing
        self._read()

    def _carry(self, site: _Site, check: SharedCheck, job: int) -> None:
        source, path = site.books[check.shot_in], site.paths[job]
        if self._file is not None and path == self._file.path:
            for change in carry(source, check.line, self._file.book):
                if self._written is not None:
                    self._written(change)
        else:
            carry_into(source, check.line, path, tablet_name())

    # -- showing --------------------------------------------------------------------------------------------

    def drawn(self, width: int, height: int) -> list[Text]:
        """The sites from the line at the top on, what was said, and the keys."""
        room = max(height - OTHER_ROWS, 1)
        across = self._across
        shown = self._lines(across)[self.at : self.at + room] or self._nothing()
        if across < width:
            shown = beside(self.filled(shown, room), self._pads(width - across - 1, room), across + 1)[:room]
        elif self._sites and width >= LEAST_BESIDE and (left := room - len(shown)) >= LEAST_PAD:
            shown = [*shown, *self._pads_in_a_row(width, left)]
        return [
            self.head(say("pads of a site"), width),
            *self.filled(shown, room),
            Text(words.harmless(f" {self._said}", width), STRONG),
            self.foot(width, of_actions([each for each in self.actions if each.id not in _MOVES])),
        ]

    @property
    def _across(self) -> int:
        """Columns of the text: the pads are drawn beside it on a wide screen."""
        width = self.size.width
        return text_columns(width) if self._sites and width >= ROOM_FOR_PADS else width

    def _pads(self, width: int, height: int) -> list[Text]:
        """The pads one below the other, as large as they all have room; the last ones go where they have none."""
        most = max(height // LEAST_PAD, 1)
        each = height // min(len(self._listed), most)
        return [
            line
            for name, summary in self._listed[:most]
            for line in self.filled(_pad(name, summary, width, each), each)
        ]

    def _pads_in_a_row(self, width: int, height: int) -> list[Text]:
        """The pads side by side, as many as have room."""
        pads = self._listed[: max(width // LEAST_IN_A_ROW, 1)]
        each = width // len(pads)
        row: list[Text] = []
        for name, summary in reversed(pads):
            row = beside(_pad(name, summary, each - 2, height), row, each)
        return row

    @property
    def _listed(self) -> list[tuple[str, Summary]]:
        """Every pad of every site."""
        return [each for site in self._sites or () for each in zip(site.names, site.summaries, strict=True)]

    def _lines(self, width: int) -> list[Text]:
        if self._broken is None or self._broken[0] != width:
            self._broken = width, [line for site in self._sites or () for line in _site_lines(site, width)]
        return self._broken[1]

    def _nothing(self) -> list[Text]:
        if self._sites is None:
            return [Text(f" {say('reading the jobs')}", FAINT)]
        if self._file is not None:
            told = say("This job has no site. Name one: e, then f, the line site; the same name in each job.")
            return wrapped(told, self.size.width)
        lines = (
            say("No job here has a site. Name one: in the job e, then f, the line site."),
            say("Pads of one site share benchmarks, set-ups and check shots, and dirt goes from one to another."),
        )
        return [line for each in lines for line in wrapped(each, self.size.width)]


def _pad(name: str, summary: Summary, width: int, height: int) -> list[Text]:
    """One pad under its name."""
    return [Text(fitted(f" {words.harmless(name)}", width), ACCENT), *as_it_is(summary, (), width, height - 2)]


def _site_lines(site: _Site, width: int) -> list[Text]:
    """A heading for each part, and its lines set in, broken where they are long."""
    dirt = [(pad_dirt(name, summary), summary) for name, summary in zip(site.names, site.summaries, strict=True)]
    setups = words_site.setup_lines(site.names, shared_setups(site.books), site.summaries[0])
    parts = (
        (say("site {name}", name=site.name), words_site.pad_lines(dirt)),
        (say("benchmarks and references"), words_site.reference_lines(site.names, site.summaries)),
        (say("set-ups"), setups),
        (say("check shots"), words_site.check_lines(site.names, site.checks, site.summaries)),
        (say("dirt"), words_site.balance_lines(dirt, balance([pad for pad, _ in dirt]))),
    )
    told = []
    for head, lines in parts:
        told.append(Text(f" {words.harmless(head)}", ACCENT))
        for line in lines or [words.NOTHING]:
            told += [Text(each, PLAIN) for each in broken(line, width - 1, first="   ", hang=" " * 7)]
    return [*told, *_bars(dirt, width), Text("")]


def _bars(dirt: list[tuple[PadDirt, Summary]], width: int) -> list[Text]:
    """A bar a pad: what it is short of to the left of the middle, what it has over to the right."""
    known = [(words.harmless(pad.name), pad.spare_m3) for pad, _ in dirt if pad.spare_m3 is not None]
    largest = max((abs(spare) for _, spare in known), default=0.0)
    label = min(max((len(name) for name, _ in known), default=0), MOST_LABEL)
    half = (width - label - 8) // 2
    if not largest or half < LEAST_BAR:
        return []
    told = []
    for name, spare in known:
        bar = round(abs(spare) / largest * half)
        line = Text(f"   {fitted(name, label)} ", PLAIN)
        line.append(f"{'#' * bar if spare < 0 else '':>{half}}", LOW)
        line.append("|", FAINT)
        line.append("#" * bar if spare > 0 else "", HIGH)
        told.append(line)
    head = f"{'':{label + 4}}{say('short'):^{half}} {say('over'):^{half}}"
    return [Text(head.rstrip(), FAINT), *told]
