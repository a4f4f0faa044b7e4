"""The numbers beside the plan, and the one line that they fold into where the screen is small."""

from __future__ import annotations

from textwrap import wrap

from rich.style import Style
from rich.text import Text

from rodcall.figures.earthwork.dirt import Dirt
from rodcall.figures.punch_list import PunchList
from rodcall.figures.summary import Spot, Summary
from rodcall.i18n import say
from rodcall.tui.terminal.colours import DAY
from rodcall.wording import punch_list as words_punch
from rodcall.wording import words

WIDTH = 28
MAKE_WAY = ("tilt", "spread", "lowest", "highest", "in the goal")
"""What makes way, in this order, where the verdict would not be seen; phrases."""

_STRONG = Style(color=DAY.text, bgcolor=DAY.ground, bold=True)
_PLAIN = Style(color=DAY.text, bgcolor=DAY.ground)
_FAINT = Style(color=DAY.faint, bgcolor=DAY.ground)
_ALARM = Style(color=DAY.text, bgcolor=DAY.ground, bold=True, reverse=True)


def panel(summary: Summary, listed: PunchList, room: int | None = None) -> list[Text]:
    """The numbers, one a line, the most wanted first; the verdict is seen in any case.

    Args:
        summary: Of the page.
        listed: What is open.
        room: Lines that can be seen, where some are to make way for the verdict.
    """
    job, name = summary.job, summary.grid.name
    lines = [_line(say("average"), words.rounded(job, summary.average), _STRONG)]
    if summary.averages_differ:
        lines.append(_line(say("by area"), words.rounded(job, summary.area_average)))
    lines.append(_line(say("target"), _target(summary), _STRONG))
    if summary.target is not None and (summary.target.along or summary.target.across):
        lines.append(_line(say("slopes"), f"{_percent(summary.target.along)} {_percent(summary.target.across)}"))
    if summary.level is not None:
        lines.append(_line(say("rod on grade"), words.rod(job, summary.rod), _STRONG))
    lines.append(_line(say("receiver"), words.slide(summary), _STRONG))
    if summary.dirt is not None:
        lines += _dirt(summary, summary.dirt)
    out = int(summary.out_mask.sum())
    lines.append(_line(say("outside"), _of(out, summary.counted), _ALARM if out else None))
    if summary.worst is not None:
        lines.append(_line(say("worst"), f"{name(summary.worst.index)} {words.work_words(job, summary.worst.nm)}"))
    lines += [
        _line(
            say("in tolerance"),
            _of(summary.within_tolerance, summary.counted),
        ),
        _line(
            say("in the goal"),
            _of(summary.within_goal, summary.counted),
        ),
        _line(say("highest"), _spot(summary, summary.highest)),
        _line(say("lowest"), _spot(summary, summary.lowest)),
        _line(say("spread"), words.rounded(job, summary.spread).removeprefix("+")),
    ]
    if summary.tilt is not None:
        lines.append(_line(say("tilt"), f"{_percent(summary.tilt.along)} {_percent(summary.tilt.across)}"))
    lines.append(_line(say("shot"), _of(summary.counted, summary.positions)))
    if summary.left_out:
        lines.append(_line(say("left out"), str(len(summary.left_out))))
    if summary.not_pad:
        lines.append(_line(say("not pad"), str(len(summary.not_pad))))
    over = len(lines) + 1 - room if room is not None else 0
    if over > 0:
        makes_way = [say(label) for label in MAKE_WAY][:over]
        lines = [line for line in lines if not any(line.plain.startswith(f"{label} ") for label in makes_way)]
    lines.append(_line(say("verdict"), say(str(listed.verdict)), _STRONG))
    reasons = (
        wrap(reason, WIDTH - 1, initial_indent="  ", subsequent_indent="    ")
        for reason in words_punch.reasons(summary, listed)
    )
    lines += [Text(line, _FAINT) for broken in reasons for line in broken]
    return lines


def _dirt(summary: Summary, dirt: Dirt) -> list[Text]:
    job = summary.job
    told = [
        _line(
            say("cut / fill"), f"{words.volume(job, dirt.earth.cut).split()[0]} / {words.volume(job, dirt.earth.fill)}"
        ),
        _line(say("spare"), _with_room(say("spare"), words.spare(summary, dirt))),
    ]
    if summary.evidence.of_before:
        told.append(_line(say("touched"), _of(summary.evidence.touched, summary.evidence.of_before)))
    if summary.covered < WHOLE:
        told.append(_line(say("on real shots"), say("{share:.0%} of pad", share=summary.covered)))
    return told


WHOLE = 0.9995


def folded(summary: Summary, listed: PunchList) -> str:
    """The few numbers that a small screen has room for."""
    job, name = summary.job, summary.grid.name
    parts = [
        say(str(listed.verdict)),
        say("average {height}", height=words.rounded(job, summary.average)),
        say("target {height}", height=_target(summary)),
    ]
    if summary.rod is not None:
        parts.append(say("rod {rod}", rod=words.rod(job, summary.rod)))
    if summary.evidence.of_before:
        touched, before = summary.evidence.touched, summary.evidence.of_before
        parts.append(say("touched {touched}/{before}", touched=touched, before=before))
    parts.append(say("out {out}/{counted}", out=int(summary.out_mask.sum()), counted=summary.counted))
    if summary.worst is not None:
        parts.append(say("worst {position}", position=name(summary.worst.index)))
    return "  ".join(parts)


def _with_room(label: str, value: str) -> str:
    """A value with parts, without the last one where there is no room for it; other pages have it."""
    return value if len(label) + len(value) + 1 < WIDTH else value.rpartition(", ")[0] or value


def _of(part: int, whole: int) -> str:
    return say("{part} of {whole}", part=part, whole=whole)


def _line(label: str, value: str, style: Style | None = None) -> Text:
    """A label at the left and its value at the right."""
    line = Text(label, _FAINT)
    line.append(" " * max(WIDTH - 1 - len(label) - len(value), 1), _FAINT)
    line.append(value, style or _PLAIN)
    return line


def _target(summary: Summary) -> str:
    """The target, with a question mark while it is only suggested."""
    if summary.target is None:
        return words.NOTHING
    return words.height(summary.job, summary.target.offset_nm) + ("" if summary.chosen else " ?")


def _spot(summary: Summary, spot: Spot | None) -> str:
    return words.NOTHING if spot is None else f"{summary.grid.name(spot.index)} {words.height(summary.job, spot.nm)}"


def _percent(slope: float) -> str:
    return words.percent(slope)
