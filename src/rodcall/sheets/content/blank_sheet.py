"""A blank sheet for a pencil, for the day when the tablet is dead: positions in walking order, as `enter` takes them.

As plain text it can also be filled in with an editor and given to `rodcall enter` as it is: all but the readings is a
comment.
"""

from __future__ import annotations

from collections.abc import Iterator

from rodcall.book.model.entries import Readings
from rodcall.book.model.grid import Walking
from rodcall.figures.summary import Summary
from rodcall.i18n import phrase, say
from rodcall.sheets.content.blocks import BLANK, Beside, Facts, Remarks, Sheet, Table
from rodcall.sheets.content.plan import plan_of
from rodcall.sheets.content.record import Record
from rodcall.wording import words

LONG = BLANK * 6
CHECK_LINES = 5
HOW = (
    phrase("One line a position, in the order of your feet. Low is minus (l), high is plus (h), on grade 0."),
    phrase(
        "A spot that is not the ground: write out and why."
        " A wrong number: one line through it, the right one beside it."
    ),
    phrase("Back in line by line: rodcall enter JOB.json, then A1 3/8 l, B1 0, C1 out rut."),
)
CORNER = phrase("Away and right are taped from the pad's near left corner, as for the lay-out.")
HOW_ROD = (
    phrase("One line a position, in the order of your feet: what the rod reads."),
    HOW[1],
    phrase("Back in line by line: rodcall enter JOB.json, then setup BM1 4.28, A1 4.31, C1 out rut, check BM1 4.28."),
)


def field_sheet(summary: Summary, record: Record) -> Sheet:
    """The blank sheet of a job."""
    job = summary.job
    signed = record.readings is Readings.HEIGHT
    to_fill = [say("date"), say("people"), say("weather"), say("instrument")]
    to_fill += [] if signed else [say("setup on"), say("backsight")]
    blocks = (
        Beside(
            Facts(say("Job"), tuple(_head(summary, record))),
            Facts(say("To be noted"), tuple((name, LONG) for name in to_fill)),
        ),
        Remarks(say("How"), (*_how(signed), say(CORNER))),
        Table(
            say("References and check shots"),
            (say("time"), say("on"), say("reads"), say("note")),
            ((BLANK,) * 4,) * CHECK_LINES,
            frozenset(range(4)),
            for_pencil=True,
        ),
        plan_of(summary, walking=record.walking),
        Table(
            say(
                "All {positions} positions in walking order, {readings}",
                positions=summary.positions,
                readings=words.reading_words(job.heights, record.readings),
            ),
            (
                say("turn"),
                say("position"),
                say("reading"),
                *((say("high low"),) if signed else ()),
                say("away"),
                say("right"),
            ),
            tuple(
                (str(turn), name, BLANK, *(("h    l",) if signed else ()), away, right)
                for turn, name, away, right in _walked(summary, record.walking)
            ),
            frozenset({1, 2, 3} if signed else {1, 2}),
            in_strips=True,
            for_pencil=True,
        ),
    )
    return Sheet(
        say("Field sheet"), job.name, say("A blank sheet; nothing on it is in the book yet."), record.ended, blocks
    )


def to_entry_lines(summary: Summary, record: Record) -> str:
    """The same as lines for `rodcall enter`: each `____` is to be filled in, or its line taken out."""
    job, signed = summary.job, record.readings is Readings.HEIGHT
    lines = [f"# {name}: {value}" for name, value in _head(summary, record)]
    lines += ["#", *(f"# {line}" for line in (*_how(signed), say(CORNER))), "#"]
    if not signed:
        lines += ["# setup BM1 ____"]
    walked = list(_walked(summary, record.walking))
    width = max(len(name) for _, name, _, _ in walked) + len(BLANK) + 12
    lines += [
        f"{f'{name} {BLANK}':<{width}} # {say('{turn}: {away} away, {right} right', turn=turn, away=away, right=right)}"
        for turn, name, away, right in walked
    ]
    if not signed:
        lines += ["# check BM1 ____"]
    return "\n".join([*lines, f"# {say('{job}: end', job=words.harmless(job.name))}", ""])


def _how(signed: bool) -> tuple[str, ...]:
    return tuple(map(say, HOW if signed else HOW_ROD))


def _head(summary: Summary, record: Record) -> Iterator[tuple[str, str]]:
    job = summary.job
    yield say("job"), words.harmless(job.name)
    yield say("place"), words.harmless(job.place) or words.NOTHING
    yield say("customer"), words.harmless(job.customer) or words.NOTHING
    yield say("pad"), words.pad_words(job)
    yield say("positions"), words.grid_words(job)
    yield say("zero"), summary.grid.name(summary.zero)
    yield say("readings"), words.reading_words(job.heights, record.readings)


def _walked(summary: Summary, walking: Walking) -> Iterator[tuple[int, str, str, str]]:
    """Turn, name, and distances to tape away and to the right from the pad's near left corner, as for the lay-out."""
    grid, job = summary.grid, summary.job
    for step in range(grid.size):
        if not summary.pad[walking.at(step)]:
            continue
        row, column = divmod(walking.at(step), grid.across)
        away, right = (words.tape(job, int(nm) + grid.inset) for nm in (grid.along_nm[row], grid.across_nm[column]))
        yield step + 1, grid.name(walking.at(step)), away, right
