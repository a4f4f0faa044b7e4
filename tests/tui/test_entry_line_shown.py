"""The entry line on a small screen: what is typed is seen, whatever is asked and whatever went wrong."""

from __future__ import annotations

import pytest

from rodcall.tui.shot_grid.status_lines import entry_lines
from rodcall.tui.widgets.entry_line import EntryLine, Question

ASKED = "check: rod on which reference? 1 ZERO  2 BM1  3 TP1 (Enter: BM1)"


@pytest.mark.parametrize("message", ["", "no reference BM7; b writes one"])
@pytest.mark.parametrize("width", [60, 80, 120])
def test_what_is_typed_is_seen(message: str, width: int) -> None:
    line = EntryLine[None]()
    line.ask(Question(ASKED, lambda said: None, text="BM7"))
    line.message = message
    first, second = (text.plain for text in entry_lines(line, "next A1", width))
    assert max(len(first.rstrip()), len(second.rstrip())) <= width
    shown = first if message else f"{first} {second}"
    assert shown.rstrip().endswith("(Enter: BM1) > BM7_")
