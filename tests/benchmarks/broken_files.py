"""Breaks a sample job in every way and prints what came of opening each: run by hand.

    python -m tests.benchmarks.broken_files [CHANGES]

Every truncation, then single bytes changed at so many random places (5,000 when not said), then twice as many single
bits of a book of 60. A traceback, a height that changed without a word, or a bit that costs more than one reading,
ends it with an error.
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from rodcall.book.storage.opening import open_job
from rodcall.tablet.samples import samples
from tests.book.broken import changed_bytes, outcome, truncations
from tests.book.test_damage import READINGS, flipped, held_against, readings, written


def tell(what: str, path: Path, contents: Iterable[bytes], heights: dict[int, int | None]) -> None:
    """Count the outcomes."""
    outcomes = Counter(outcome(path, content, heights) for content in contents)
    print(
        f"{what}: {outcomes.total()} opened; {', '.join(f'{count} {name}' for name, count in outcomes.most_common())}"
    )


def main() -> None:
    """The sample with the fewest entries, so that every truncation can be tried."""
    changes = int(sys.argv[1]) if len(sys.argv) > 1 else 5000
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "site", "pad.json")
        path.parent.mkdir()
        whole = min((sample.read_bytes() for sample in samples()), key=len)
        path.write_bytes(whole)
        entries = open_job(path, "reader").book.entries
        heights = {entry.number: getattr(entry, "reading_nm", None) for entry in entries}
        tell("every truncation", path, truncations(whole), heights)
        tell("one byte changed", path, changed_bytes(whole, changes, 7), heights)
        flip(Path(folder, "sixty", "pad.json"), 2 * changes)


def flip(path: Path, times: int) -> None:
    """One bit after the other, at random places of a book of 60."""
    written(path, READINGS).close()
    path.with_name("pad.json.before").unlink()
    whole, right, chance = path.read_bytes(), readings(open_job(path, "reader")), random.Random(7)
    counted: Counter[int] = Counter()
    for _ in range(times):
        changed = flipped(whole, chance)
        path.write_bytes(changed)
        opened = open_job(path, "reader")
        held_against(opened, right, changed)
        counted[len(opened.book.entries)] += 1
    print(f"one bit of a book of {READINGS}: {dict(counted)} readings open, each time with a word")


if __name__ == "__main__":
    main()
