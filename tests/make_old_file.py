"""Makes the file of this version of the format that stays in tests/old_files: python -m tests.make_old_file

Once a version is released its file is never made anew; the tests open it for ever.
"""

from __future__ import annotations

from pathlib import Path

from rodcall.book.model.entries import Decision, LaserTest, Readings, RoundKind
from rodcall.book.storage.job_format import VERSION
from rodcall.book.storage.opening import JobFile
from tests.kit import a_book, a_job, again, confirm, older, say

SEAL = "8c87d423b7bc6dcd8ff09900137a06fd9b5ed68d8c657c3445851e2e6117faf3"
"""Of the book when its sheet was issued; as it was written then, whatever fields entries have got since."""
FOLDER = Path(__file__).parent / "old_files"


def made(path: Path) -> JobFile:
    """A job with an entry of every kind, those that nothing writes any more in the midst."""
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
    )
    again(book, "C1", "4' 3in")
    say(
        book,
        "turn TP1 4' 8in",
        "check BM1 4' 3 3/8\"",
        "check BM1 5'",
    )
    older(book, Decision, decision="keep", about=11, written_on=book.tablet, reason="wind on the mast")
    say(
        book,
        "machine BM1 -4 1/2in",
        "zero A1",
        "target -1/2in",
        "set shrink 10%",
        "round working",
        "note dry, light wind",
    )
    confirm(book, book.page.rounds[0].readings_at(0)[-1], odds=-1.25)
    book.walk(type(book.page.walk.order).LINES)
    book.test_laser(LaserTest.TWO_PEGS, ["1.476m", "1.432m", "1.556m", "1.472m"], ["40m", "10m"])
    book.begin_round(RoundKind.FINAL)
    book.not_pad("C4", reason="corner")
    say(
        book,
        "A1 4' 1in",
        "A1 4' 2in",
        "B1 4' 2in",
        "check BM1 4' 4in",
        "keep the rod's foot was muddy",
        "set drift 1/4in because a worn rod foot",
        "set agreed-by J. Doe",
        "set spacing 40ft",
        "set check-hours 12",
        "hole 22ft,12ft 22ft,28ft 38ft,20ft",
    )
    book.keep_photo = lambda said: (said, "ab" * 32)
    book.photo("site.jpg B1")
    file = JobFile(path, book)
    book.issue("A1B2C3-0001", SEAL, "not proven")
    say(book, "fact customer Orchard because it was left out")
    return file


if __name__ == "__main__":
    made(FOLDER / f"version-{VERSION}.json").save()
