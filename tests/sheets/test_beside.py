"""The sheets that the proof page writes beside a job take no other file's place."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.book.storage.opening import JobFile, new_job_file
from rodcall.sheets.beside import KINDS, write_beside
from tests.kit import a_job


@pytest.fixture
def opened(tmp_path: Path) -> JobFile:
    file = new_job_file(tmp_path / "pad.json", a_job(), "tablet-a")
    file.book.shoot("A1", "-1")
    file.close()
    return file


@pytest.mark.parametrize("kind", KINDS)
def test_a_sheet_that_is_there_stays_and_the_next_ones_have_one_number(opened, kind):
    """Somebody's pencil may be on it."""
    there = opened.path.with_suffix(kind)
    there.write_bytes(b"filled in by hand")
    told = write_beside(opened)
    assert there.read_bytes() == b"filled in by hand"
    assert told[: len(KINDS)] == [f"written: pad-2{each}" for each in KINDS]
    assert all(opened.path.with_name(f"pad-2{each}").stat().st_size for each in KINDS)


def test_each_time_the_next_number(opened):
    for stem in ("pad", "pad-2", "pad-3"):
        assert write_beside(opened)[0] == f"written: {stem}{KINDS[0]}"
