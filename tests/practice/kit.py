"""Helpers for tests of practice: pads of a known size in a folder of the test's own."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from rodcall.practice.lesson import Lesson, make_lesson
from rodcall.practice.pads import Pads
from rodcall.units import Unit
from tests.kit import START


def a_lesson(seed: int = 5, along: int = 5, across: int = 4, **known: Any) -> Lesson:
    """Twenty positions in inches, two of them called wrong, without a wait, unless told otherwise."""
    asked = {"unit": Unit.IN, "mistakes": 2, "pace_s": 0.0, "created": START, **known}
    return make_lesson(along, across, seed=seed, **asked)


def some_pads(folder: Path, seed: int = 5, **known: Any) -> Pads:
    """Pads of such lessons, from a seed on."""
    return Pads(lambda each: a_lesson(each, **known), seed, folder)
