"""A plugin of pytest's (`-p tests.fewer_examples`): hypothesis draws the same few examples each time, to be quick."""

from __future__ import annotations

import pytest

from tests.mutation.coverage_map import quieter


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Set all tests to few examples."""
    quieter(items)
