"""Checks by the digest whether a sheet was made from a book.

It is the seal of the last entry: SHA-256 over that entry and the seal before it, and so over every byte of meaning
in the book up to there.
"""

from __future__ import annotations

import re

from rodcall.book.storage.opening import JobFile
from rodcall.frozen import Frozen
from rodcall.i18n import counted, say

FEWEST_DIGITS = 12
"""Hexadecimal digits that a shortened digest must have: 48 bits, one chance in 10^14 that another book has them too."""
GROUP = 4
CODE = "RODCALL:"
"""What stands before the digest in the QR code, so that it is known for what it is."""
MOST_TOLD = 8
"""Entries that are named one by one."""


class DigestError(ValueError):
    """Words that are no digest; one line with what would do."""


class Answer(Frozen):
    """Whether it is that book, and what is to be said about it."""

    same: bool
    words: tuple[str, ...]


def grouped(digest: str) -> str:
    """A digest in groups of four, as it is printed and read out."""
    return " ".join(digest[at : at + GROUP] for at in range(0, len(digest), GROUP))


def code_of(digest: str) -> str:
    """What the QR code of a sheet says; capitals and digits alone make a smaller code (ISO/IEC 18004)."""
    return f"{CODE}{digest.upper()}"


def edited_words(place: int) -> str:
    """Where a seal is broken: that entry, or, at the first, what stands before it."""
    if place > 1:
        return say("entry {number} was edited outside of rodcall", number=place)
    return say("the job setup or entry 1 was edited outside of rodcall")


def damaged_words(opened: JobFile) -> str:
    """Which entries were damaged and are in no file; empty where none were."""
    places = opened.damaged
    if not places:
        return ""
    more = [say("and {number} more", number=len(places) - MOST_TOLD)] if len(places) > MOST_TOLD else []
    return say("book damaged at entry {entries}", entries=" ".join([*map(str, places[:MOST_TOLD]), *more]))


def verify(said: str, opened: JobFile) -> Answer:
    """Hold a digest against a book.

    A book that has grown since is still that book, as it stood after an earlier entry. One with a broken seal was
    edited outside of rodcall and is not, wherever that was; nor is one whose file is damaged, whatever is left of it.

    Args:
        said: As printed, shortened, or as the QR code says it; blanks, hyphens and colons do not matter.
        opened: The book.

    Raises:
        DigestError: when it is no digest, or too short to tell.
    """
    digits = re.sub(r"[\s:-]", "", said.strip().upper().removeprefix(CODE)).lower()
    if not re.fullmatch(r"[0-9a-f]{1,64}", digits):
        raise DigestError(say("a digest is 64 hexadecimal digits, as printed at the foot of the sheet"))
    if len(digits) < FEWEST_DIGITS:
        raise DigestError(say("give at least {fewest} digits of the digest", fewest=FEWEST_DIGITS))
    seals = opened.seals
    entries = len(seals) - 1
    found = [number for number, seal in enumerate(seals) if seal.startswith(digits)]
    edited = tuple(map(edited_words, opened.broken_seals))
    if edited or opened.recovered or opened.damaged:
        damaged = tuple(filter(None, (opened.recovered or damaged_words(opened),)))
        return Answer(False, (say("no: this book was changed"), *edited, *damaged))
    if not found:
        return Answer(False, (say("no: this is not the book that the sheet was made from"),))
    number = found[-1]
    if number == entries:
        return Answer(
            True,
            (
                counted(
                    entries,
                    "yes: this is the book that the sheet was made from ({number} entry)",
                    "yes: this is the book that the sheet was made from ({number} entries)",
                ),
            ),
        )
    after = say("entry {place}", place=number) if number else say("the job setup, before the first entry")
    grown = entries - number
    return Answer(
        True,
        (
            say("yes: this is the book that the sheet was made from, as it was after {after}", after=after),
            counted(grown, "it has grown since by {number} entry", "it has grown since by {number} entries"),
        ),
    )
