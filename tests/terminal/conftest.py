"""Every test here drives a real terminal; Windows has none of this kind, so there none is collected."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest


@pytest.fixture
def unasked(home: Path) -> None:
    """A crew that does not want to be asked about readings: for tests whose readings lie as no ground does."""
    home.mkdir(parents=True, exist_ok=True)
    (home / "settings.toml").write_text("ask_about_busts = false\n", "utf-8")


collect_ignore_glob = ["test_*.py"] if sys.platform == "win32" else []


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.terminal)
