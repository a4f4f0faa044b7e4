"""Schedules of chance, some of which found mistakes; tests/benchmarks/storage_faults.py tries as many as one likes."""

from __future__ import annotations

import pytest

from tests.book.storage_model import schedule

FOUND = (10200, 10526, 10578, 10910, 200244, 300303)
"""Seeds that lost a reading once: a line written behind half of another; a file replaced under a session whose lock was
taken away; a journal that had grown since it was read, taken away with what it held."""


@pytest.mark.parametrize("seed", [*FOUND, *range(100)])
def test_what_was_called_saved_is_in_the_book_or_comes_back(tmp_path, seed):
    schedule(tmp_path, seed)
