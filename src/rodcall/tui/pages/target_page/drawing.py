"""What the target page draws: curves of cut, fill and spare, and the candidates side by side. No widget."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.text import Text

from rodcall.book.model.own_reasons import OwnReason, reason_words
from rodcall.figures.earthwork.dirt import Dirt
from rodcall.figures.earthwork.machine import offset_from
from rodcall.figures.summary import Summary
from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.tui.terminal.colours import fill_style
from rodcall.tui.widgets import chart, pad_map
from rodcall.tui.widgets.styles import ACCENT, FAINT, PLAIN, STRONG
from rodcall.units.quantities import CUBIC_UNITS
from rodcall.wording import dig as words_dig
from rodcall.wording import words

LABEL = 12
HERE = "^"
"""What marks where the target is now, in the chart and at the head of its column."""


class Candidate(Frozen):
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


def marks_of(candidates: Sequence[Candidate]) -> dict[str, tuple[int, str]]:
    """Height and name of each candidate by its letter, for the chart."""
    return {each.letter: (each.offset_nm, each.name) for each in candidates}


def curves(here: Summary, marks: Sequence[int], columns: int) -> chart.Curves:
    """Cut, fill and spare over the heights worth drawing, one a column, in yd3 or m3, and how many spots are out."""
    dirt = here.dirt
    assert dirt is not None
    low, high = here.chart_range(tuple(marks))
    offsets = [low + (high - low) * column // (columns - 1) for column in range(columns)]
    earths = [dirt.relief.at(offset * 1e-9) for offset in offsets]
    cubic = CUBIC_UNITS[words.cubic_unit(here.job)]
    return chart.Curves(
        offsets,
        [earth.cut / cubic for earth in earths],
        [earth.fill / cubic for earth in earths],
        [dirt.spare_of(earth) / cubic for earth in earths],
        here.out_at(offsets),
    )


def axes(summary: Summary) -> chart.Axes:
    """What is written at the chart's edges."""
    job = summary.job
    return chart.Axes(words.cubic_unit(job), str(job.heights), lambda nm: words.height(job, nm), job.round_to)


def pad(summary: Summary, width: int, height: int) -> list[Text]:
    """The pad as it would be to this target, shaded, with what is to be done at each spot."""
    shades, job = pad_map.deviation_levels(summary).tolist(), summary.job
    out, known = summary.out_mask, summary.known

    def spot(index: int) -> pad_map.Spot:
        if summary.keep_out[index] and not summary.counts[index]:
            return pad_map.Spot(("x",), FAINT)
        deviation, guess = words_dig.deviation(summary, index), "" if known[index] else "?"
        told = summary.grid.name(index), f"{words.work_words(job, deviation)}{guess}"
        stake = f"{words.stake_words(job, deviation)}{guess}"
        return pad_map.Spot(told, fill_style(shades[index], bool(out[index])), area=index, stake=stake)

    return pad_map.draw(summary, spot, width, height)


class Table(Frozen):
    """The candidates side by side, and where each of them stands."""

    lines: list[Text]
    letters: list[str]
    column_width: int


def table(ground: Summary, candidates: Sequence[Candidate], width: int, height: int) -> Table:
    """The candidates side by side, the last at the right; where there is no room for all the second goes first.

    Args:
        ground: The page with the target in force.
        candidates: Each with what it costs.
        width: Columns.
        height: Lines that there are at the most; what matters least makes way.
    """
    shown = list(candidates)
    while len(shown) * NARROWEST + LABEL > width and len(shown) > 2:
        shown.pop(1)
    room = max(min((width - LABEL) // len(shown), WIDEST), 2)
    facts = list(_rows(ground).items())
    rows = [("", [f"{each.letter} {each.name}" for each in shown])]
    rows += [(label, [tell(each) for each in shown]) for label, tell in facts[: max(height - 1, 1)]]
    lines = []
    for at, (label, values) in enumerate(rows):
        line = Text(f" {label:<{LABEL - 1}}", FAINT)
        for column, value in enumerate(values):
            here = column == len(values) - 1
            line.append(
                f"{value[: room - 1]:>{room}}", ACCENT if here and not at else STRONG if here or not at else PLAIN
            )
        lines.append(line)
    return Table(lines, [each.letter for each in shown], room)


NARROWEST, WIDEST = 14, 18
"""Columns of a candidate: its name has room, and numbers farther apart cannot be compared."""


def _rows(ground: Summary) -> dict[str, Callable[[Candidate], str]]:
    job = ground.job
    reference, height = next(((n, h) for n, h in ground.references.items() if n != "ZERO"), ("zero", 0))

    def of_dirt(tell: Callable[[Dirt], str]) -> Callable[[Candidate], str]:
        return lambda each: tell(each.summary.dirt) if each.summary.dirt is not None else words.NOTHING

    rows: dict[str, Callable[[Candidate], str]] = {
        say("height"): lambda each: words.level(ground, each.offset_nm),
        say("spots out"): lambda each: str(len(each.summary.outside)),
        say("cut"): of_dirt(lambda dirt: words.volume(job, dirt.earth.cut)),
        say("fill"): of_dirt(lambda dirt: words.volume(job, dirt.earth.fill)),
        say("spare"): of_dirt(lambda dirt: words.volume(job, dirt.spare, sign=True)),
        say("loads"): of_dirt(lambda dirt: str(dirt.loads(dirt.spare))),
    }
    if ground.level is not None:
        rows[say("rod")] = lambda each: words.rod(job, each.summary.rod)
    rows[say("receiver")] = lambda each: words.slide(each.summary)
    rows[say("off {reference}", reference=reference)[: LABEL - 2]] = lambda each: words.height(
        job, offset_from(each.offset_nm, height)
    )
    return rows
