"""The numbers beside the plan, and the one line that they fold into where the screen is small."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
from rich.cells import cell_len
from rich.style import Style
from rich.text import Text

from rodcall.figures.earthwork.dirt import Dirt
from rodcall.figures.punch_list import PunchList
from rodcall.figures.summary import Spot, Summary
from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.tui.widgets.lines import broken
from rodcall.tui.widgets.styles import BAR, FAINT, HIGH, LOW, PLAIN, STRONG
from rodcall.wording import punch_list as words_punch
from rodcall.wording import words

WIDTH = 28
WHOLE = 0.9995
"""Share of the pad from which all of it rests on real shots."""


class Row(Frozen):
    """One number beside the plan."""

    label: str
    value: str
    style: Style = PLAIN
    makes_way: int = 0
    """Where the verdict would not be seen, those with the smallest number from 1 on make way first; 0 never does."""

    def text(self) -> Text:
        """The label at the left and the value at the right."""
        return _row(self.label, self.value, self.style)


@lru_cache(maxsize=128)
def _row(label: str, value: str, style: Style) -> Text:
    """A number on its line; most keys leave most of them as they were."""
    room = max(WIDTH - 2 - len(value), 0)
    if len(label) > room > 1:
        # The number is never cut.
        label = f"{label[: room - 1].rstrip(' ./')}."
    gap = " " * max(WIDTH - 1 - len(label) - len(value), 1)
    return Text(f"{label}{gap}", FAINT).append(value, style)


def panel(summary: Summary, listed: PunchList, room: int | None = None) -> list[Text]:
    """How much is left, where the pad is, and what it takes, one number a line; the verdict is seen in any case.

    Args:
        summary: Of the page.
        listed: What is open.
        room: Lines that can be seen, where some are to make way for the verdict.
    """
    rows: list[Row | Text] = [*_left(summary, listed), *_where(summary), *_takes(summary)]
    over = len(rows) + 1 - room if room is not None else 0
    may_go = sorted((row for row in rows if isinstance(row, Row) and row.makes_way), key=lambda row: row.makes_way)
    makes_way = may_go[: max(over, 0)]
    lines = [row.text() if isinstance(row, Row) else row for row in rows if row not in makes_way]
    lines.append(Row(say("verdict"), say(str(listed.verdict)), STRONG).text())
    lines += [Text(line, FAINT) for reason in words_punch.reasons(summary, listed) for line in _broken(reason)]
    return lines


@lru_cache(maxsize=64)
def _broken(reason: str) -> tuple[str, ...]:
    """A reason on lines of its own; most keys leave it as it was."""
    return tuple(broken(reason, WIDTH - 1, first="  ", hang="    "))


def _left(summary: Summary, listed: PunchList) -> Iterator[Row]:
    """How much is left."""
    yield Row(say("shot"), _of(summary.counted, summary.positions), STRONG)
    if summary.evidence.of_before:
        yield Row(say("shot again"), _of(summary.evidence.touched, summary.evidence.of_before))
    yield Row(say("punch list"), str(listed.open), STRONG)
    if summary.left_out:
        yield Row(say("left out"), str(len(summary.left_out)), makes_way=8)
    if summary.not_pad:
        yield Row(say("not pad"), str(len(summary.not_pad)), makes_way=7)


def _slopes(label: str, along: float, across: float, makes_way: int = 0) -> Iterator[Row]:
    """Which way a plane falls, a row each way; the label goes before its first where there is room."""
    for at, said in enumerate(words.slope_words(along, across).split(", ")):
        fits = not at and len(label) + len(said) < WIDTH - 1
        yield Row(label if fits else "", said, makes_way=max(makes_way - at, 0))


def _where(summary: Summary) -> Iterator[Row | Text]:
    """How the pad lies to its target."""
    job, name = summary.job, summary.grid.name
    yield Row(say("average"), words.rounded_level(summary, summary.average), STRONG)
    if summary.averages_differ:
        yield Row(say("by area"), words.rounded_level(summary, summary.area_average))
    yield Row(say("target"), _target(summary), STRONG)
    if summary.target is not None and (summary.target.along or summary.target.across):
        yield from _slopes("", summary.target.along, summary.target.across)
    out = int(summary.out_mask.sum())
    label, told = say("out of tolerance"), _of(out, summary.counted)
    yield Row(label, told if _fits(label, told) else f"{out}/{summary.counted}", BAR if out else PLAIN)
    if summary.zone_part is not None:
        out_there, there = len(summary.zone_part.outside) if summary.has_verdict else 0, summary.zone_part.counted
        yield Row(say("out in the zone"), _of(out_there, there), BAR if out_there else PLAIN)
    if summary.worst is not None:
        yield Row(say("worst"), f"{name(summary.worst.index)} {words.work_words(job, summary.worst.nm)}")
    if summary.deviations is not None and summary.counted > 1:
        yield strip_of(summary, WIDTH - 2)
    yield Row(say("crew tolerance"), _of(summary.within_goal, summary.counted), makes_way=6)
    yield Row(say("highest"), _spot(summary, summary.highest), makes_way=5)
    yield Row(say("lowest"), _spot(summary, summary.lowest), makes_way=4)
    yield Row(say("std dev"), words.rounded(job, summary.spread).removeprefix("+"), makes_way=3)
    if summary.tilt is not None:
        yield from _slopes(say("ground"), summary.tilt.along, summary.tilt.across, makes_way=2)


def _takes(summary: Summary) -> Iterator[Row]:
    """What it takes."""
    if summary.level is not None:
        whole, rod = say("rod reading to hit"), words.rod(summary.job, summary.rod)
        yield Row(whole if _fits(whole, rod) else say("rod"), rod, STRONG)
    yield Row(say("receiver"), words.slide(summary), STRONG)
    if summary.dirt is not None:
        yield from _dirt(summary, summary.dirt)


def strip_of(summary: Summary, width: int) -> Text:
    """All deviations on one line, low at the left: a mark a spot, higher where there are several; bars at the limits.

    Args:
        summary: With a target.
        width: Characters.
    """
    assert summary.deviations is not None
    off = summary.deviations[summary.counts].astype(np.float64)
    low, high = -summary.tolerance.low_nm, summary.tolerance.high_nm
    reach = max(float(np.abs(off).max(initial=0.0)), 1.25 * max(-low, high), 1.0)
    at = np.rint((off + reach) / (2 * reach) * (width - 1)).astype(int)
    number = np.bincount(at, minlength=width)
    outside = set(at[(off < low) | (off > high)].tolist())
    limits = {round((limit + reach) / (2 * reach) * (width - 1)) for limit in (low, high)}
    strip = Text(" ", PLAIN)
    for column, count in enumerate(number.tolist()):
        if not count:
            strip.append("|" if column in limits else ":" if column == width // 2 else " ", FAINT)
            continue
        # In reverse a full mark would be a hole.
        style = STRONG if column in outside else HIGH if 2 * column > width - 1 else LOW
        strip.append(MARKS[min(count, len(MARKS)) - 1], style)
    return strip


MARKS = "▁▃▅█"
"""For one spot, two, three, and more."""


def _dirt(summary: Summary, dirt: Dirt) -> Iterator[Row]:
    job = summary.job
    cut, fill = words.volume_number(job, dirt.earth.cut), words.volume(job, dirt.earth.fill)
    label, both = say("cut / fill"), f"{cut} / {fill}"
    yield Row(label, both if _fits(label, both) else f"{cut}/{fill}")
    label, spare = say("spare"), words.spare(summary, dirt)
    # Without the loads where there is no room for them; other pages have them.
    yield Row(label, spare if _fits(label, spare) else words.spare_volume(summary, dirt))
    if summary.covered < WHOLE:
        yield Row(say("shot coverage"), say("{share:.0%} of pad", share=summary.covered), makes_way=8)


def folded(summary: Summary, listed: PunchList, width: int) -> str:
    """The few numbers that a small screen has room for, whole each; what is needed most comes first.

    Args:
        summary: Of the page.
        listed: What is open.
        width: Columns.
    """
    job, name = summary.job, summary.grid.name
    average = say("average {height}", height=words.rounded_level(summary, summary.average))
    again = summary.evidence.touched, summary.evidence.of_before
    parts = [
        say(str(listed.verdict)),
        say("shot again {again}/{before}", again=again[0], before=again[1]) if again[1] else average,
        say("target {height}", height=_target(summary)),
    ]
    if summary.rod is not None:
        parts.append(say("rod {rod}", rod=words.rod(job, summary.rod)))
    parts.append(say("out {out}/{counted}", out=int(summary.out_mask.sum()), counted=summary.counted))
    if again[1]:
        parts.append(average)
    if summary.worst is not None:
        parts.append(say("worst {position}", position=name(summary.worst.index)))
    told = ""
    for part in parts:
        longer = f"{told}  {part}" if told else f" {part}"
        told = longer if cell_len(longer) <= width else told
    return told


def _fits(label: str, value: str) -> bool:
    """Have both room on a line?"""
    return len(label) + 1 + len(value) < WIDTH


def _of(part: int, whole: int) -> str:
    return say("{part} of {whole}", part=part, whole=whole)


def _target(summary: Summary) -> str:
    """The target, with a question mark while it is only suggested."""
    if summary.target is None:
        return words.NOTHING
    return words.level(summary, summary.target.offset_nm) + ("" if summary.chosen else " ?")


def _spot(summary: Summary, spot: Spot | None) -> str:
    return words.NOTHING if spot is None else f"{summary.grid.name(spot.index)} {words.level(summary, spot.nm)}"
