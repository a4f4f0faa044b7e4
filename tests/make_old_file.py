"""Makes the file of this version of the format that stays in tests/old_files: python -m tests.make_old_file

Once a version is released its file is never made anew; the tests open it for ever.
"""

from __future__ import annotations

from pathlib import Path

from rodcall.book.entries import LaserTest, Readings, RoundKind
from rodcall.book.file import JobFile
from rodcall.book.sealed import VERSION
from tests.kit import a_book, a_job, say

FOLDER = Path(__file__).parent / "old_files"


def made(path: Path) -> JobFile:
    """A job with an entry of every kind."""
    book = a_book(
        "reference BM1 low 4 1/2in",
        "setup BM1 4' 3 3/8\"",
        job=a_job(name="Pad at Juniper Hollow", readings=Readings.ROD),
    )
    say(
        book,
        "A1 4' 1in",
        "B1 4' 2in",
        "B2 out rut",
        "strike B1",
        "C1 4' 2in",
        "C1 again 4' 3in",
        "turn TP1 4' 8in",
        "check BM1 4' 3 3/8\"",
        "check BM1 5'",
        "keep wind on the mast",
        "machine BM1 -4 1/2in",
        "zero A1",
        "target -1/2in",
        "set shrink 10%",
        "round working",
        "note dry, light wind",
    )
    book.confirm(book.page.rounds[0].readings_at(0)[-1], odds=-1.25)
    book.walk(type(book.page.walk.order).LINES)
    book.test_laser(LaserTest.TWO_PEGS, ["1.476m", "1.432m", "1.556m", "1.472m"], ["40m", "10m"])
    book.begin_round(RoundKind.FINAL)
    book.not_pad("C4", reason="corner")
    return JobFile(path, book)


if __name__ == "__main__":
    made(FOLDER / f"version-{VERSION}.json").save()
