"""Job files broken in every way, and what may come of opening one: the job, part of it and a word, or one line."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

from rodcall.book.model.entries import Damage
from rodcall.book.storage.opening import JobFileError, open_to_write


def truncations(whole: bytes) -> Iterator[bytes]:
    """Every beginning of it."""
    return (whole[:length] for length in range(len(whole)))


def changed_bytes(whole: bytes, count: int, seed: int) -> Iterator[bytes]:
    """One byte changed to another, at random places."""
    chance = random.Random(seed)
    for _ in range(count):
        at = chance.randrange(len(whole))
        yield whole[:at] + bytes([whole[at] ^ chance.randrange(1, 256)]) + whole[at + 1 :]


def outcome(path: Path, content: bytes, heights: dict[int, int | None]) -> str:
    """What opening such a file comes to: `whole`, `in part`, `edited` or `refused`.

    Args:
        path: Where to put it; a folder of its own.
        content: The file.
        heights: By number, what each entry reads in the file as it was.

    Raises:
        AssertionError: when a height is not what it was and nothing is said about it.
    """
    for left in path.parent.iterdir():
        left.unlink()
    path.write_bytes(content)
    try:
        opened = open_to_write(path, "tablet-b")
    except JobFileError as error:
        text = str(error)
        assert text.startswith(f"{path.name}: ")
        assert text.isprintable()
        assert path.read_bytes() == content
        return "refused"
    opened.close()
    sound = (entry for entry in opened.book.entries if not isinstance(entry, Damage))
    found = {entry.number: getattr(entry, "reading_nm", None) for entry in sound}
    if opened.broken_seals:
        return "edited"
    assert found == {number: heights[number] for number in found}
    assert bool(opened.damaged) == (found != heights)
    if opened.recovered:
        assert any(each.read_bytes() == content for each in path.parent.glob("*.torn-*"))
        return "in part"
    assert found == heights
    return "whole"
