"""The shot grid's lines of text: top line, where the crew was, read-back and entry line. No widget."""

from __future__ import annotations

from typing import Any

from rich.cells import cell_len
from rich.text import Text

from rodcall.book.model.entries import Readings
from rodcall.book.storage.autosave import Kept
from rodcall.figures.next_up import Do, Next
from rodcall.figures.punch_list import PunchList
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, say
from rodcall.tui.shot_grid.naming import Named
from rodcall.tui.widgets.block_digits import ROWS, block_letters
from rodcall.tui.widgets.entry_line import EntryLine
from rodcall.tui.widgets.lines import fitted, shortened, tail
from rodcall.tui.widgets.styles import ACCENT, MESSAGE, STRONG
from rodcall.wording import proof as words_proof
from rodcall.wording import punch_list as words_punch
from rodcall.wording import read_back, words
from rodcall.wording.read_back import ReadBack

ROOM_FOR_NAME = 12
"""Columns that the job's name has in the top line before anything else is said there."""
LONG_NAME = 28
"""Columns that a name may take before what is said less of makes way for it."""
ROOM_FOR_TEXT = 12
"""Columns behind a prompt; one that leaves less is broken over the entry line's two lines."""


def top_line(summary: Summary, listed: PunchList, readings: Readings, kept: Kept, now: float, width: int) -> str:
    """Job, round, way of reading, check, punch list; what is saved always has room, and trouble with it has it all.

    Args:
        summary: Of the page.
        listed: What is open.
        readings: The way of reading in force.
        kept: What is on the disk.
        now: Seconds since 1970.
        width: Columns.
    """
    job = summary.job
    check = words_proof.check_age(summary, now)
    way = words.reading_words(job.heights, readings)
    kind, state, unit = say(summary.kind), kept.words, words.unit_word(job.heights)
    name = words.harmless(job.name)
    begun = say("round {number}", number=summary.round)
    still = say("punch list {number}", number=listed.open) if listed.items else say("punch list empty")
    wordings = (
        f"{begun} {kind}  {way}  {check}  {still}  {state}",
        f"{begun} {kind}  {unit}  {check}  {still}  {state}",
        f"{begun}  {way}  {check}  {still}  {state}",
        f"{begun}  {unit}  {check}  {still}  {state}",
        f"{begun}  {unit}  {still}  {state}",
    )
    rooms = (min(cell_len(name) + 4, LONG_NAME), ROOM_FOR_NAME)
    fits = (told for room in rooms for told in wordings if not kept.trouble and len(told) + room <= width)
    told = next(fits, kept.words)
    return f"{fitted(f' {name}', max(width - len(told) - 3, 0))}  {told} "


def where_lines(summary: Summary, last: int | None, first: Next, top: str, now: float, width: int) -> list[str]:
    """What the crew was doing before an interruption, under a top line that says some of it already.

    Args:
        summary: Of the page.
        last: Index of the position written last in this round, or None.
        first: What is up next.
        top: The top line.
        now: Seconds since 1970.
        width: Columns.
    """
    begun = say("round {number} {kind}", number=summary.round, kind=say(summary.kind))
    told = say("no shots in this round yet")
    if last is not None:
        told = say("last {reading}", reading=" ".join(read_back.at_spot(summary, last).parts[:2]))
    following = words_punch.next_words(summary, first)
    check = words_proof.check_age(summary, now)
    parts = [
        part
        for part, known in ((begun, say("round {number}", number=summary.round)), (check, check))
        if known not in top
    ]
    lines = [""]
    for part in (told, following, *parts, say("press Enter")):
        if len(lines[-1]) + len(part) + 3 > width and lines[-1]:
            lines.append("")
        lines[-1] += f"{' ' if not lines[-1] else '   '}{part}"
    return lines


def read_back_lines(told: ReadBack, width: int) -> list[str]:
    """What is shouted back, in large letters as far as there is room for them; the last parts go to the small ones."""
    parts = [words.harmless(part) for part in told.parts]
    beside = words.harmless(told.beside)
    for keep in range(len(parts), 0, -1):
        rows = block_letters("  ".join(parts[:keep]))
        if len(rows[0]) + 2 <= width:
            small = "  ".join(part for part in (*parts[keep:], beside) if part)
            return [f" {row}{f'  {small}' if small and at == ROWS - 1 else ''}" for at, row in enumerate(rows)]
    return ["", f" {words.harmless(told.text)}", ""]


def entry_lines(
    line: EntryLine[Any], next_prompt: str, width: int, trouble: str = "", short_prompt: str = ""
) -> list[Text]:
    """Both lines of the entry line: what is asked and typed, and why the last thing was not taken.

    Args:
        line: What is typed and asked.
        next_prompt: What stands before a reading, where nothing is asked.
        width: Columns.
        trouble: What is told where there is no message.
        short_prompt: Instead of the other where that has no room beside a message.
    """
    message = line.message or trouble
    if line.question is not None:
        ahead = counted(line.ahead, "({number} key typed ahead waits)", "({number} keys typed ahead wait)")
        prompt = line.question.prompt + (f"   {ahead}" if line.ahead else "")
    else:
        crowded = message and short_prompt and len(next_prompt) + ROOM_FOR_TEXT > width
        prompt = short_prompt if crowded else next_prompt
    prompt = words.harmless(prompt)
    above = ""
    if len(prompt) + ROOM_FOR_TEXT > width and not message:
        cut = max(prompt.rfind("  ", 0, width - 1) + 1 or prompt.rfind(" ", 0, width - 1), 0)
        above, prompt = prompt[:cut], prompt[cut + 1 :] if cut else prompt
    elif len(prompt) + ROOM_FOR_TEXT > width:
        # The message has the second line: what is typed is to be seen all the same.
        prompt = tail(prompt, max(width - ROOM_FOR_TEXT, 0))
    first = Text(f" {prompt} > ", ACCENT)
    first.append(f"{tail(words.harmless(line.text), max(width - len(prompt) - 6, 8))}_", STRONG)
    if above:
        return [Text(f" {above}", ACCENT), first]
    return [first, Text(f" {shortened(message, width - 2)} ", MESSAGE) if message else Text("")]


def next_prompt(summary: Summary, index: int) -> str:
    """Where the rod goes, with what the helper can tape off from the zero."""
    grid, zero = summary.grid, summary.zero
    name = grid.name(index)
    if index == zero:
        return say("next {position}, the zero", position=name)
    row, column = divmod(index, grid.across)
    zero_row, zero_column = divmod(zero, grid.across)
    away = int(grid.along_nm[row] - grid.along_nm[zero_row])
    right = int(grid.across_nm[column] - grid.across_nm[zero_column])
    parts = [
        f"{words.tape(summary.job, abs(nm))} {way if nm > 0 else back}"
        for nm, way, back in (
            (away, say("out", "away from the near edge"), say("back", "toward the near edge")),
            (right, say("right", "with a tape"), say("left", "with a tape")),
        )
        if nm
    ]
    return say("next {position}, {tapes} from {zero}", position=name, tapes=", ".join(parts), zero=grid.name(zero))


def prompt(summary: Summary, named: Named | None, first: Next, *, short: bool = False) -> str:
    """What stands before the reading: the spot or reference that it goes to, or what comes next where there is none.

    Args:
        summary: Of the page.
        named: Where a reading goes.
        first: What is up next.
        short: Without tape distances.
    """
    if named is None:
        told = words_punch.next_words(summary, first)
        return told if first.do is not Do.SIGN and summary.missing else say("ALL SHOT   {next}", next=told)
    if named.spot is None:
        return words_punch.next_words(summary, Next(named.do, reference=named.reference))
    name = summary.grid.name(named.spot)
    if named.do is Do.READ_AGAIN:
        return say("read {position} again", position=name)
    if named.do is Do.RESHOOT:
        return words_punch.next_words(summary, Next(named.do, named.spot, left=named.left))
    return say("next {position}", position=name) if short else next_prompt(summary, named.spot)
