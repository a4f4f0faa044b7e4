"""What other programs may use of rodcall: a job to read, and a writer that keeps the same lock and journal.

These names are a promise: they change only with the first number of the version. They are reached as `rodcall.open`,
`rodcall.Job`, `rodcall.Writer` and `rodcall.JobError`.

    >>> import numpy, rodcall, tempfile
    >>> from pathlib import Path
    >>> from rodcall.tablet.samples import write_samples
    >>> folder = tempfile.TemporaryDirectory()
    >>> files = {path.name: path for path, _ in write_samples(Path(folder.name))}
    >>> job = rodcall.open(files["cider-shed.json"])
    >>> job.name, job.heights.shape
    ('Cider shed slab', (5, 4))
    >>> bool(numpy.isnan(job.heights[4]).all())
    True
    >>> round(job.figures()["average_mm"], 3) == round(float(numpy.nanmean(job.heights)) * 1000, 3)
    True
    >>> job.punch_list[0].what
    '7 spots not shot: C4 B4 A4 A5 B5 C5 D5'
    >>> with rodcall.Writer(files["cider-shed.json"], "office") as writer:
    ...     writer.write("note the customer came by")
    >>> rodcall.open(files["cider-shed.json"]).entries[-1].text
    'the customer came by'
    >>> folder.cleanup()
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from functools import cached_property
from pathlib import Path
from types import TracebackType
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from rodcall.book.entry_lines import dictate, write_line
from rodcall.book.model.entries import Entry
from rodcall.book.storage.opening import JobFile, JobFileError, open_job, open_to_write
from rodcall.book.storage.safe_read import reason
from rodcall.figures.summary import Summary, summarise
from rodcall.frozen import Frozen
from rodcall.i18n import say, speaking
from rodcall.sheets.exports.figures_json import figures
from rodcall.tablet.paths import tablet_name
from rodcall.wording.punch_list import clears, item_words

NM = 1e-9


class JobError(Exception):
    """A job that cannot be opened or written, or a line that cannot be taken; the text is one line."""


class OpenItem(Frozen):
    """One item of the punch list, in English."""

    kind: str
    """A stable code, such as `not shot`: `item` of `figures --json`."""
    what: str
    clears: str
    """What takes it off the list."""
    spots: tuple[str, ...]
    """Positions it is about."""


class Job:
    """A job as it was saved, to be read: nothing of it can be changed, and the file is not held open.

    Args:
        path: The job file.
        round_number: Which round, from 1 (the existing ground); the last where None.

    Raises:
        JobError: when the file is no job, cannot be read, or has no such round.
    """

    def __init__(self, path: str | os.PathLike[str], round_number: int | None = None) -> None:
        try:
            self._file: JobFile = open_job(Path(path), "reader")
            self._summary: Summary = summarise(self._file.book.page, round_number)
        except (JobFileError, ValueError) as error:
            raise JobError(str(error)) from None

    @property
    def name(self) -> str:
        """Of the job."""
        return self._summary.job.name

    @property
    def verdict(self) -> str:
        """`PASS`, `FAIL` or `NOT PROVEN`."""
        return str(self._summary.verdict)

    @property
    def positions(self) -> NDArray[np.str_]:
        """Names of the positions, shape (along, across): row 0 is the near line, column 0 the left one."""
        return np.array(self._summary.grid.names).reshape(self._summary.grid.shape)

    @property
    def heights(self) -> NDArray[np.float64]:
        """Height of each position above the zero, metres, shape (along, across); NaN where not shot in the round."""
        return self._over_grid(self._summary.heights)

    @property
    def deviations(self) -> NDArray[np.float64]:
        """Height minus target, metres, shape (along, across); above 0 is HIGH (cut); NaN where either is missing."""
        if self._summary.deviations is None:
            return np.full(self._summary.grid.shape, np.nan)
        return self._over_grid(self._summary.deviations)

    @cached_property
    def punch_list(self) -> tuple[OpenItem, ...]:
        """What is open before the pad is proven, the first to do first; empty where it passes."""
        summary, names = self._summary, self._summary.grid.names
        with speaking("en"):
            return tuple(
                OpenItem(
                    str(item.kind),
                    item_words(summary, item),
                    clears(summary, item),
                    tuple(names[at] for at in item.spots),
                )
                for item in summary.punch_list.items
            )

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Every line of the book in order, struck ones too; frozen."""
        return tuple(self._file.book.entries)

    @property
    def broken_seals(self) -> tuple[int, ...]:
        """Numbers of the entries that were changed outside of rodcall; empty for a sound book."""
        return tuple(self._file.broken_seals)

    def figures(self) -> dict[str, Any]:
        """All figures of the round as `rodcall figures --json` has them; its keys are listed there."""
        return figures(self._summary)

    def _over_grid(self, values: NDArray[np.int64]) -> NDArray[np.float64]:
        metres: NDArray[np.float64] = np.where(self._summary.counts, values * NM, np.nan)
        return metres.reshape(self._summary.grid.shape)


class Writer:
    """Writes lines into a job under its lock, with its journal; a `with` block, all of whose lines are kept at its end.

    What is written within the block is kept when it ends without an error, and thrown away when one leaves it.

    Args:
        path: The job file.
        tablet: Whose entries these are; this tablet's name where None.

    Raises:
        JobError: when the job cannot be opened, or another program writes into it.
    """

    def __init__(self, path: str | os.PathLike[str], tablet: str | None = None) -> None:
        self._path, self._tablet = Path(path), tablet
        self._file: JobFile | None = None

    def __enter__(self) -> Self:
        """Take the lock."""
        try:
            self._file = open_to_write(self._path, self._tablet or tablet_name())
        except JobFileError as error:
            raise JobError(str(error)) from None
        if self._file.read_only:
            why = self._file.read_only
            self._file.close()
            raise JobError(f"{self._path.name}: {why}")
        return self

    def write(self, line: str) -> None:
        """Write one line, as `rodcall enter` takes it: `A1 -3/8`, `check BM1 4.28`, `note dry`.

        Raises:
            JobError: when the line cannot be taken; nothing of it is written.
        """
        try:
            write_line(self._opened.book, line, self._suggested)
        except ValueError as error:
            raise JobError(str(error)) from None

    def write_all(self, lines: Iterable[str]) -> int:
        """Write lines, blank ones and comments (#) passed over; return how many were written.

        Raises:
            JobError: at the first line that cannot be taken, with its number.
        """
        try:
            return dictate(self._opened.book, lines, self._suggested)
        except ValueError as error:
            raise JobError(str(error)) from None

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Keep what was written, unless an error leaves the block; give the lock back."""
        opened, self._file = self._opened, None
        try:
            if kind is None:
                opened.save()
        except OSError as refused:
            told = say("{file}: cannot be written ({why})", file=self._path.name, why=reason(refused))
            raise JobError(told) from None
        finally:
            opened.close()

    @property
    def _opened(self) -> JobFile:
        if self._file is None:
            raise JobError(say("a writer is used in a with block"))
        return self._file

    def _suggested(self) -> int | None:
        return summarise(self._opened.book.page).suggested_before_dig


def open(path: str | os.PathLike[str], round_number: int | None = None) -> Job:
    """A job to read; arguments and errors as `Job` has them."""
    return Job(path, round_number)
