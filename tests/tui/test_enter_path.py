"""The path of one Enter, from the key to the painted number and the durable line: the guide names each file once."""

from __future__ import annotations

import re
import sys
import threading
from pathlib import Path
from types import CodeType, FrameType
from typing import Any

import pytest
from textual.events import Key

import rodcall
from rodcall.book.model.kinds.readings import _parsed
from rodcall.tui.shot_grid.screen import ShotScreen
from rodcall.tui.shot_grid.search import Search
from tests.kit import a_book
from tests.tui.kit import crew, send

HOUSE = Path(rodcall.__file__).parent
GUIDE = Path(__file__).parents[2] / "DEVELOPERS.md"
MOST = 20
UNHEARD = "-9/64"
"""No other test keys it: what was said before is remembered, and nothing runs to understand it."""


class Passed:
    """Notes the files of the program in which a function runs, on every thread, while it is told to."""

    def __init__(self) -> None:
        self.files: list[str] = []
        self.on = False
        self._ends_at: CodeType = ShotScreen.repaint.__code__
        """What follows from a reading begins here, once its number is painted."""

    def __call__(self, frame: FrameType, event: str, _: Any) -> None:
        if event != "call" or not self.on:
            return
        if frame.f_code is self._ends_at:
            self.on = False
            return
        file = Path(frame.f_code.co_filename)
        if file.is_relative_to(HOUSE):
            name = file.relative_to(HOUSE).as_posix()
            if name not in self.files:
                self.files.append(name)


def in_the_guide() -> list[str]:
    """The files that the guide names, in order, with those that are named twice."""
    part = GUIDE.read_text("utf-8").partition("An Enter on the shot grid")[2].partition("\n\n`repaint`")[0]
    return re.findall(r"`([a-z_/]+\.py)`", part)


async def test_the_guide_names_every_file_that_an_enter_passes_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The look through all readings, on a timer of its own while nobody keys, is no part of an Enter.
    monkeypatch.setattr(Search, "begin", lambda _: None)
    # Another test may have keyed this reading in the same process.
    _parsed.cache_clear()
    passed = Passed()
    threading.setprofile(passed)
    try:
        async with crew(a_book("A1 0", "B1 +1/4", "target 0"), tmp_path, (80, 24)) as at:
            await at.key("-1/8\n", UNHEARD)
            assert "-1/8" in at.plan
            sys.setprofile(passed)
            passed.on = True
            at.pilot.app.post_message(Key("enter", None))
            await at.pilot.pause()
            sys.setprofile(None)
            await at.settled()
            assert UNHEARD in at.plan
            assert at.book.entries[-1].said == UNHEARD
            await send(at.pilot, "escape")
    finally:
        sys.setprofile(None)
        threading.setprofile(None)
    named = in_the_guide()
    assert sorted(set(named)) == sorted(named), "each once"
    assert sorted(named) == sorted(passed.files)
    assert len(named) <= MOST
