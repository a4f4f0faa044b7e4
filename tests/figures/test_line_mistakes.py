"""A line whose signs were all flipped, read off a direct-reading rod: turned about the level, not about the zero."""

from __future__ import annotations

import numpy as np
import pytest

from rodcall.book.model.entries import Readings
from rodcall.figures.outliers.line_mistakes import LineMistake, line_mistakes
from rodcall.figures.outliers.mistakes import Way
from rodcall.units import MM, Unit

ALONG, ACROSS = np.arange(6) * 5.0, np.arange(6) * 5.0


@pytest.mark.parametrize("level", [400 * MM, -250 * MM])
def test_flipped_signs_on_a_direct_rod_turn_about_the_level(level: int) -> None:
    """By hand: what was read as r above the level was r below it, so the height is the level less r."""
    ground = np.add.outer(np.arange(6) * 6, np.arange(6) * 4) * MM + level + 30 * MM
    ground += np.random.default_rng(5).integers(-2, 3, ground.shape) * MM
    written, counts = ground.copy(), np.ones(ground.shape, bool)
    written[3] = level - (ground[3] - level)
    way = Way(Unit.MM, MM, Readings.DIRECT_ROD, level)
    best = line_mistakes(written, counts, 3, ALONG, ACROSS, way)[0]
    assert best.mistake is LineMistake.FLIPPED
    assert best.heights.tolist() == ground[3].tolist()
    assert best.counts.all()
