"""A job's file without a disk, and what stands on its sheets."""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path

import numpy as np
from pypdf import PdfReader

from rodcall.book.book import Book
from rodcall.book.model.entries import Readings
from rodcall.book.storage.opening import JobFile
from rodcall.figures.summary import Summary, summarise
from rodcall.sheets.make import Output, make
from rodcall.units import FOOT, INCH, MM, M, Unit, write
from tests.kit import a_job, say, ticking

DAY = (
    *("reference ZERO", "reference BM1 low 4 1/2in", "set instrument level no. 7", "set people two of us"),
    *("set weather dry, light wind", "set agreed-by the customer", "set north ne", "set stone 4in"),
    *("set margin-near 6ft", "set margin-far 3ft", "set tripod -10ft,-20ft", "note sod stripped"),
)


def a_file(*lines: str, **known: object) -> JobFile:
    """A job of 12 positions in inches unless told otherwise, with these lines in its book."""
    opened = JobFile(Path("pad.json"), Book(a_job(**known), "tablet-a", ticking()))
    say(opened.book, *lines)
    return opened


def shoot(opened: JobFile, seed: int = 1, swing_nm: int = 15 * MM) -> JobFile:
    """Shoot every position in walking order, on rolling ground."""
    job, page, rng = opened.book.job, opened.book.page, np.random.default_rng(seed)
    heights = rng.normal(0, swing_nm, job.grid.size)
    for step in range(job.grid.size):
        index = page.walk.at(step)
        said = round(heights[index] / job.step) * job.step
        level = 0 if page.readings is Readings.HEIGHT else 5 * FOOT // job.step * job.step
        opened.book.shoot(job.grid.name(index), write(level + said, job.heights, sign=not level))
    return opened


def finished(**known: object) -> JobFile:
    """A whole day: existing ground, a working round, the final one, checks, and what went wrong on the way."""
    opened = shoot(a_file(*DAY, **known), 1)
    say(opened.book, "strike B2", "B2 out rut", "target suggested", "check BM1 low 4 1/2in", "round working")
    shoot(opened, 2)
    say(opened.book, "round final")
    shoot(opened, 3, 4 * MM)
    say(opened.book, "A1 -1/8", "check ZERO +1/8", "check BM1 -4 1/2")
    return opened


def sloped() -> JobFile:
    """210 positions in millimetres, falling to drain, inset from the pad's edge."""
    slopes = {"slope_along": -0.01, "slope_across": 0.002}
    size = {"length": 60 * M, "width": 27 * M, "inset": M}
    return shoot(a_file(heights=Unit.MM, along=21, across=10, **size, **slopes), 4)


def from_a_rod() -> JobFile:
    """Tenths of a foot from a plain rod over a turning point, one position left out."""
    opened = a_file(
        *("reference BM1 high 0.62ft", "setup BM1 4.31", "turn TP1 4.80", "setup TP1 5.02", "C2 out stump"),
        heights=Unit.FT,
        along=5,
        across=4,
        readings=Readings.ROD,
    )
    shoot(opened, 5)
    say(opened.book, "strike C2", "check BM1 4.70", "set swell 20%")
    return opened


def figures_of(opened: JobFile) -> Summary:
    """The summary of a file's book."""
    return summarise(opened.book.page)


def pdf(opened: JobFile, form: Output = Output.AS_BUILT, paper: str = "letter") -> PdfReader:
    """The PDF, read back."""
    return PdfReader(BytesIO(make(opened, ".pdf", form, paper).content))


def text_of(read: PdfReader) -> str:
    """All its text, each run of blanks as one."""
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in read.pages))


INCHES = {"tolerance_high": INCH // 2, "tolerance_low": INCH, "goal": INCH * 3 // 8}
