"""A file of others as text, whatever it holds: bounded, decoded, refused in one line."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rodcall.book.storage.safe_read import fetch, reason
from rodcall.i18n import say

MOST_BYTES = 64 * 2**20
"""Of a file that is read in: a million points have about 50 MB."""
MOST_LINES = 1_000_000
LONGEST_LINE = 4000


class FileInError(ValueError):
    """A file, or a line of one, that cannot be read in; one line of text."""


class UntoldError(FileInError):
    """Something that the file does not say and that has to be asked; the text says how the shell says it.

    Args:
        text: One line.
        option: Of `proposal.Options` that answers it: `order`, `unit` or `surface`.
        answers: What it may be.
    """

    def __init__(self, text: str, option: str, answers: Sequence[str]) -> None:
        super().__init__(text)
        self.option = option
        self.answers = tuple(answers)


def at_line(number: int, why: str) -> FileInError:
    """The refusal of one line."""
    return FileInError(say("line {number}: {why}", number=number, why=why))


def bytes_of(path: Path) -> bytes:
    """All of a file.

    Raises:
        FileInError: when it is none, cannot be read, or is larger than any such file.
    """
    try:
        raw = fetch(path, MOST_BYTES)
    except (OSError, ValueError) as error:
        why = reason(error) if isinstance(error, OSError) else say("no file can have that name")
        raise FileInError(say("cannot be read ({why})", why=why)) from None
    if raw is None:
        raise FileInError(say("cannot be read ({why})", why=say("no such file or directory")))
    if len(raw) > MOST_BYTES:
        raise FileInError(say("larger than {most} MB", most=MOST_BYTES // 2**20))
    if not raw.strip():
        raise FileInError(say("there is nothing in it"))
    return raw


def lines_of(raw: bytes) -> list[str]:
    """The lines of a text file.

    Raises:
        FileInError: when it is not text, or has lines that no such file has.
    """
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise FileInError(say("it is UTF-16 text; save it as UTF-8"))
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileInError(say("byte {byte} is not UTF-8 text", byte=error.start + 1)) from None
    if "\0" in text:
        raise FileInError(say("it is not text"))
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if len(lines) > MOST_LINES:
        raise FileInError(say("more than {most} lines", most=MOST_LINES))
    if max(map(len, lines)) > LONGEST_LINE:
        number = next(number for number, line in enumerate(lines, 1) if len(line) > LONGEST_LINE)
        raise at_line(number, say("longer than {most} characters", most=LONGEST_LINE))
    return lines
