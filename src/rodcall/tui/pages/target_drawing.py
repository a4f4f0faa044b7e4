"""What the target page draws: curves of cut, fill and spare, and the candidates side by side. No widget."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from rich.text import Text

from rodcall.book.model.own_reasons import OwnReason, reason_words
from rodcall.figures.earthwork.dirt import Dirt
from rodcall.figures.earthwork.machine import offset_from
from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.tui.widgets import chart
from rodcall.tui.widgets.styles import FAINT, STRONG
from rodcall.units.quantities import CUBIC_UNITS
from rodcall.wording import words

LABEL = 12
HERE = "^"
"""What marks where the target is now, in the chart and at the head of its column."""


@dataclass(frozen=True)
class Candidate:
    """One height that the target could have, with what it costs."""

    letter: str
    why: OwnReason | None
    """How it was found; None for where the target is now."""
    summary: Summary

    @property
    def name(self) -> str:
        """The head of its column."""
        return say("HERE") if self.why is None else reason_words(self.why)

    @property
    def offset_nm(self) -> int:
        """The target's height at the zero, nanometres."""
        assert self.summary.target is not None
        return self.summary.target.offset_nm


def marks_of(candidates: Sequence[Candidate], here_nm: int) -> dict[str, int]:
    """Heights by the letter that marks them in the chart; where the target is now comes last."""
    return {**{each.letter: each.offset_nm for each in candidates}, HERE: here_nm}


def curves(here: Summary, marks: Mapping[str, int], columns: int) -> chart.Curves:
    """Cut, fill and spare over the heights worth drawing, one a column, in yd3 or m3."""
    dirt = here.dirt
    assert dirt is not None
    low, high = here.chart_range(tuple(marks.values()))
    offsets = [low + (high - low) * column // (columns - 1) for column in range(columns)]
    earths = [dirt.relief.at(offset * 1e-9) for offset in offsets]
    cubic = CUBIC_UNITS[words.cubic_unit(here.job)]
    return chart.Curves(
        offsets,
        [earth.cut / cubic for earth in earths],
        [earth.fill / cubic for earth in earths],
        [dirt.spare_of(earth) / cubic for earth in earths],
    )


@dataclass(frozen=True)
class Table:
    """The candidates side by side, and where each of them stands."""

    lines: list[Text]
    letters: list[str]
    column_width: int


def table(ground: Summary, candidates: Sequence[Candidate], width: int) -> Table:
    """The candidates side by side, the last at the right; where there is no room for all the second goes first.

    Args:
        ground: The page with the target in force.
        candidates: Each with what it costs.
        width: Columns.
    """
    shown = list(candidates)
    while len(shown) * 9 + LABEL > width and len(shown) > 2:
        shown.pop(1)
    room = max(min((width - LABEL) // len(shown), 13), 2)
    rows = [("", [f"{each.letter} {each.name}" for each in shown])]
    rows += [(label, [tell(each) for each in shown]) for label, tell in _rows(ground).items()]
    lines = []
    for at, (label, values) in enumerate(rows):
        line = Text(f" {label:<{LABEL - 1}}", FAINT)
        for column, value in enumerate(values):
            strong = column == len(values) - 1 or at == 0
            line.append(f"{value[: room - 1]:>{room}}", STRONG if strong else FAINT)
        lines.append(line)
    return Table(lines, [each.letter for each in shown], room)


def _rows(ground: Summary) -> dict[str, Callable[[Candidate], str]]:
    job = ground.job
    reference, height = next(((n, h) for n, h in ground.references.items() if n != "ZERO"), ("zero", 0))

    def of_dirt(tell: Callable[[Dirt], str]) -> Callable[[Candidate], str]:
        return lambda each: tell(each.summary.dirt) if each.summary.dirt is not None else words.NOTHING

    rows: dict[str, Callable[[Candidate], str]] = {
        say("height"): lambda each: words.level(ground, each.offset_nm),
        say("outside"): lambda each: str(len(each.summary.outside)),
        say("cut"): of_dirt(lambda dirt: words.volume(job, dirt.earth.cut)),
        say("fill"): of_dirt(lambda dirt: words.volume(job, dirt.earth.fill)),
        say("spare"): of_dirt(lambda dirt: words.volume(job, dirt.spare, sign=True)),
        say("loads"): of_dirt(lambda dirt: str(dirt.loads(dirt.spare))),
        say("receiver"): lambda each: words.slide(each.summary),
        f"{say('mach.')} {reference}"[: LABEL - 2]: lambda each: words.height(job, offset_from(each.offset_nm, height)),
    }
    if ground.level is not None:
        rows[say("rod")] = lambda each: words.rod(job, each.summary.rod)
    return rows
