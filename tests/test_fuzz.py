"""A few of what tests/benchmarks/fuzz.py does by the million."""

from __future__ import annotations

import random
from collections import Counter

from rodcall.book.storage.opening import JobFile
from tests.benchmarks.fuzz import files, lengths, lines
from tests.kit import a_book


def test_lengths_are_taken_or_refused():
    chance = random.Random(1)
    outcomes = Counter(lengths(chance) for _ in range(2000))
    assert min(outcomes["taken"], outcomes["refused"]) > 100


def test_lines_are_taken_or_refused_and_nothing_between():
    chance, book = random.Random(2), a_book()
    outcomes = Counter(lines(chance, book) for _ in range(2000))
    # One act may write several entries, as a tolerance does.
    assert 10 < outcomes["taken"] <= len(book.entries)


def test_files_are_opened_or_refused(tmp_path):
    chance = random.Random(3)
    file = JobFile(tmp_path / "pad.json", a_book("A1 0", "B1 -1-3/8", "note é", "strike B1", "B1 -1/2"))
    outcomes = Counter(files(chance, file.path, file.content()) for _ in range(1000))
    assert set(outcomes) == {"edited", "in part", "refused", "taken"}
