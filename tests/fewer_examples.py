"""A plugin of pytest's (`-p tests.fewer_examples`), to be quick: few examples, always the same, and no test for long.

For measuring which lines run: a simulation that takes long has run all of its lines before it is broken off.
"""

from __future__ import annotations

import signal
from collections.abc import Iterator
from typing import Any

import pytest

from tests.mutation.coverage_map import quieter

LONGEST = 3.0
"""Seconds of the processor that a test may take; on Windows it is not broken off."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Set all tests to few examples."""
    quieter(items)


def _enough(*_: object) -> None:
    pytest.skip("run long enough")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call() -> Iterator[Any]:
    """Break off what takes long."""
    if not hasattr(signal, "setitimer"):
        return (yield)
    signal.signal(signal.SIGPROF, _enough)
    signal.setitimer(signal.ITIMER_PROF, LONGEST)
    try:
        return (yield)
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
