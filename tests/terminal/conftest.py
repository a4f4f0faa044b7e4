"""Every test here drives a real terminal; Windows has none of this kind, so there none is collected."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

collect_ignore_glob = ["test_*.py"] if sys.platform == "win32" else []


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.terminal)
