"""The target page, the dig page, the sheet, the season and the JSON tell of the same dirt."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.benchmarks.same_dirt import BAR, differences


@pytest.mark.parametrize("seed", range(0, 60, 10))
def test_the_same_dirt_wherever_it_is_told(seed: int, tmp_path: Path) -> None:
    """Sixty jobs by chance; `tests.benchmarks.same_dirt` has five hundred."""
    found = list(differences(10, seed, tmp_path))
    assert len(found) >= 8
    assert [(number, by) for number, by, _ in found if by > BAR] == []
    assert [number for number, _, agree in found if not agree] == []
