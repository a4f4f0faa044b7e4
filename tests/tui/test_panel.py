"""The numbers beside the plan: none is cut, whatever the language, and the strip shows each spot."""

from __future__ import annotations

import re

import pytest
from rich.cells import cell_len

from rodcall.figures.punch_list import PunchList
from rodcall.i18n import speaking
from rodcall.tui.shot_grid.panel import MARKS, WIDTH, panel, strip_of
from rodcall.tui.widgets.styles import STRONG
from rodcall.units import FOOT
from rodcall.wording import words
from tests.kit import a_book, a_job, figures
from tests.looks.scenes import LANGUAGES


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_label_gives_way_to_its_number(language: str) -> None:
    """A pad on which everything is out of tolerance by feet has long numbers."""
    job = a_job(along=20, across=20, length=900 * FOOT, width=900 * FOOT)
    shots = [f"{name} {'+-'[at % 2]}{at % 9}ft" for at, name in enumerate(job.grid.names)]
    summary = figures(a_book(*shots, "target -1ft", job=job))
    with speaking(language):
        lines = panel(summary, PunchList(()))
        assert {line.plain for line in lines if cell_len(line.plain) > WIDTH - 1} == set()
        assert summary.dirt is not None
        shown = "\n".join(line.plain for line in lines)
        assert words.volume(job, summary.dirt.earth.fill) in shown
        # Where the label has no room beside it whole, it is told with a stroke.
        assert re.search(rf"\b{int(summary.out_mask.sum())}(/| of | de )400\b", shown)


def test_the_strip_has_a_mark_for_what_is_out_and_none_in_reverse() -> None:
    """In reverse a full mark is a hole, and a small one a tower."""
    summary = figures(a_book("A1 0", "B1 +3", "C1 +3", "C2 +3", "B2 +3", "target 0"))
    strip = strip_of(summary, WIDTH - 2)
    marks = [(strip.plain[start:end], style) for start, end, style in strip.spans if strip.plain[start:end] in MARKS]
    assert [mark for mark, _ in marks] == [MARKS[0], MARKS[3]]
    assert marks[1][1] == STRONG


def test_a_spot_at_the_limit_is_not_out() -> None:
    summary = figures(a_book("A1 0", "B1 +1", "C1 -1", "target 0"))
    assert not summary.out_mask.any()
    assert STRONG not in [style for _, _, style in strip_of(summary, WIDTH - 2).spans]


@pytest.mark.parametrize(("language", "letters"), [("en", "CF"), ("es", "CR")])
def test_a_stake_has_the_letters_of_its_language(language: str, letters: str) -> None:
    """Spanish writes corte and relleno."""
    with speaking(language):
        told = [words.stake_words(a_job(), by)[0] for by in (10**7, -(10**7))]
    assert "".join(told) == letters
