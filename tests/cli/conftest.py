"""What commands work on."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.kit import NEEDED, SHOTS, rodcall


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder for jobs, beside rodcall's own home."""
    jobs = tmp_path / "site"
    jobs.mkdir()
    return jobs


@pytest.fixture
def pad(folder: Path) -> Path:
    """A job begun and shot through the command line."""
    path = folder / "pad.json"
    assert rodcall("new", path, *NEEDED).status == 0
    assert rodcall("enter", path, stdin=SHOTS).status == 0
    return path
