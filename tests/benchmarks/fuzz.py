"""Feeds the program what nobody would write, and counts: run by hand, as long as one likes.

    python -m tests.benchmarks.fuzz [INPUTS [SEED]]

Lengths and lines of `enter` are strung together from pieces that mean something; job files are a good one with pieces
taken out, doubled, swapped or replaced. Each must be taken, or refused by the one kind of error that it may raise.
"""

from __future__ import annotations

import copy
import json
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from rodcall.book.book import Book
from rodcall.book.entry_lines import FORMS, write_line
from rodcall.book.storage.opening import JobFile, JobFileError, open_job
from rodcall.units import LengthError, Unit, parse_height, parse_length, parse_reading
from tests.kit import a_book, a_job, ticking

PIECES = (
    *"0123456789-+/.,'\"hlgHLG ½¼⅜−–\t\x00\x1b\u202e\ud800é",
    *(
        "ft",
        "in",
        "mm",
        "cm",
        "m",
        "1/2",
        "3/8",
        "1-3/8",
        "4' 3 3/8\"",
        "999999999999",
        "1e9",
        "nan",
        "inf",
        "0x1",
        "_",
    ),
)
WORDS = (
    *("A1", "B2", "D4", "Z99", "AA1", "out", "strike", "reference", "BM1", "ZERO", "setup", "check", "keep", "shift"),
    *("target", "suggested", "round", "working", "final", "note", "zero", "set", "shrink", "stone", "turn", "machine"),
    *("10%", "-1/2", "+1", "0", "low", "high", "4in", "loam", "tripod", "30ft,-10ft", "#", "-1-3/8", "\x1b[2J", "=1+1"),
)
VALUES = (
    None,
    True,
    0,
    -1,
    2**70,
    1.5,
    1e308,
    "",
    "x",
    "\x1b[2J",
    "\ud800",
    [],
    {},
    [[]],
    "A1",
    "-1-3/8",
    "2026-04-18",
)


def lengths(chance: random.Random) -> str:
    """One length, said in some way."""
    said = "".join(chance.choices(PIECES, k=chance.randrange(9))) if chance.random() < 0.5 else _nearly_right(chance)
    unit = chance.choice(list(Unit))
    signed = chance.random() < 0.5
    taken = 0
    for parse in (
        lambda: parse_height(said, unit),
        lambda: parse_reading(said, unit, signed=signed),
        lambda: parse_length(said),
    ):
        try:
            assert isinstance(parse(), int)
            taken += 1
        except LengthError as error:
            _one_line(error, said)
    return "taken" if taken else "refused"


def _one_line(error: Exception, of: str) -> None:
    assert str(error).isprintable(), repr(of)


def _nearly_right(chance: random.Random) -> str:
    """A length as a crew says it, with at most one thing wrong."""
    number = chance.choice(["1", "12", "1/2", "1-3/8", "1 1/2", "4' 3 3/8\"", "4-3-3/8", ".5", "4.28", "1,5", "⅜", "0"])
    parts = [
        chance.choice(["-", "+", "h", "low ", "", ""]),
        number,
        chance.choice(["", "", "in", "ft", "mm", " m", "h"]),
    ]
    if chance.random() < 0.5:
        parts.insert(chance.randrange(4), chance.choice(PIECES))
    return "".join(parts)


def lines(chance: random.Random, book: Book) -> str:
    """One line of `enter`."""
    words = chance.choices(WORDS, k=chance.randrange(1, 6))
    said = chance.choice((" ", " ", "  ", "")).join([*words, *chance.choices(PIECES, k=chance.randrange(3))])
    if chance.random() < 0.5:
        form = chance.choice(FORMS)[0]
        at = chance.randrange(len(form) + 1)
        said = form[:at] + chance.choice([*PIECES, "", "", ""]) + form[at:]
    entries = len(book.entries)
    try:
        write_line(book, said, lambda: None)
    except ValueError as error:
        _one_line(error, said)
        refused = True
    else:
        refused = False
    # One act may write several entries, as a tolerance does; a refused line writes none.
    assert (len(book.entries) > entries) is not refused
    return "refused" if refused else "taken"


def files(chance: random.Random, path: Path, whole: bytes) -> str:
    """One job file, with its document or its bytes mixed up."""
    path.write_bytes(_mixed_document(chance, whole) if chance.random() < 0.5 else _mixed_bytes(chance, whole))
    try:
        opened = open_job(path, "reader")
    except JobFileError as error:
        _one_line(error, path.name)
        return "refused"
    return "edited" if opened.broken_seals else "in part" if opened.recovered else "taken"


def _mixed_document(chance: random.Random, whole: bytes) -> bytes:
    document = json.loads(whole)
    for _ in range(chance.randrange(1, 4)):
        inner = chance.choice([document, document["job"], document["entries"], *document["entries"]])
        if isinstance(inner, list):
            inner[:] = chance.choice(
                [inner[::-1], inner[1:], [*inner, copy.deepcopy(chance.choice(VALUES))], inner * 2]
            )
            if document["entries"] is not inner or not all(isinstance(each, dict) for each in inner):
                break
        elif isinstance(inner, dict) and inner:
            inner[chance.choice([*inner, "x"])] = copy.deepcopy(chance.choice(VALUES))
            if not isinstance(document.get("job"), dict) or not isinstance(document.get("entries"), list):
                break
    return json.dumps(document).encode()


def _mixed_bytes(chance: random.Random, whole: bytes) -> bytes:
    content = whole
    for _ in range(chance.randrange(1, 4)):
        start, stop = sorted(chance.randrange(len(content) + 1) for _ in range(2))
        stop = min(stop, start + chance.randrange(40))
        piece = chance.choice(
            [b"", content[start:stop] * 2, bytes(chance.randrange(256) for _ in range(4)), b'"', b"}"]
        )
        content = content[:start] + piece + content[stop:]
    return content


def main() -> None:
    """So many inputs: seven of ten lengths, two lines, one file."""
    inputs = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    chance = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    outcomes: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        file = JobFile(Path(folder, "pad.json"), a_book("A1 0", "B1 -1-3/8", "note é", "strike B1", "B1 -1/2"))
        whole, book, began = file.content(), a_book(), time.perf_counter()
        kinds: dict[str, Callable[[], str]] = {
            "lengths": lambda: lengths(chance),
            "lines": lambda: lines(chance, book),
            "files": lambda: files(chance, file.path, whole),
        }
        for number in range(inputs):
            if number % 2000 == 0:
                book = Book(a_job(), "tablet-a", ticking())
            kind = "files" if number % 10 == 0 else "lines" if number % 10 < 3 else "lengths"
            outcomes[f"{kind} {kinds[kind]()}"] += 1
    took = time.perf_counter() - began
    print(
        f"{inputs} inputs in {took:.0f} s: {', '.join(f'{count} {name}' for name, count in sorted(outcomes.items()))}"
    )


if __name__ == "__main__":
    main()
