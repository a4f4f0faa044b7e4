"""The commands that write entries: `rodcall enter`, one entry a line, and `rodcall fact`, one fact of the job."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import IO, TYPE_CHECKING

import click

from rodcall.cli.help import EnterCommand, SaidCommand, option
from rodcall.cli.opened import JOB, save, to_read, to_write
from rodcall.cli.progress import Waiting
from rodcall.cli.types import LinesType, Unusable
from rodcall.i18n import counted, phrase, say

if TYPE_CHECKING:
    from rodcall.book.fold.round_page import Line
    from rodcall.figures.summary import Summary


@click.command(cls=EnterCommand)
@JOB
@click.argument("lines", type=LinesType("r", encoding="utf-8-sig"), default="-", metavar="[FILE|-]")
def enter(job: Path, lines: IO[str]) -> None:
    """Write entries, one a line; # begins a comment; all lines or none are written."""
    from rodcall.book.entry_lines import DictationError, dictate
    from rodcall.book.storage.safe_read import reason
    from rodcall.figures.summary import summarise
    from rodcall.tablet.paths import tablet_name

    opened = to_write(job, tablet_name())
    before = len(opened.book.entries)
    try:
        page = opened.book.page
        # Nothing is shown while somebody types the lines.
        with Waiting(say("writing entries, line"), shown=not lines.isatty()) as waiting:
            written = dictate(
                opened.book,
                waiting.counted(lines),
                lambda: summarise(page).suggested_before_dig,
                lambda index: summarise(page).judged(index) is not None,
            )
    except DictationError as error:
        raise Unusable(str(error)) from None
    except UnicodeDecodeError:
        raise Unusable(say("the lines are not UTF-8 text")) from None
    except OSError as error:
        raise Unusable(say("the lines cannot be read ({why})", why=reason(error))) from None
    else:
        with Waiting(say("saving")):
            save(opened)
    finally:
        opened.close()
    click.echo(counted(written, "{number} entry written", "{number} entries written"))
    with Waiting(say("looking for readings that do not fit")):
        wrote = [opened.book.page.lines[each.tablet, each.number] for each in opened.book.entries[before:]]
        told = _outliers(summarise(opened.book.page), wrote)
    for line in told:
        click.echo(line, err=True)


def _outliers(summary: Summary, lines: Sequence[Line]) -> list[str]:
    """Those of the readings just written that do not fit their neighbours, in words; the status does not change."""
    from rodcall.book.model.entries import Shot
    from rodcall.wording import outliers as words_doubt

    told = []
    shot = {line.index: line.entry.said for line in lines if isinstance(line.entry, Shot)}
    for index, said in shot.items():
        bust = summary.judged(index, said) if summary.counts[index] and not summary.read_again[index] else None
        if bust is not None:
            why = bust.explanations[0] if bust.explanations else None
            name = summary.grid.name(index)
            told.append(f"{name}: {words_doubt.doubt_words(summary, bust, why)}")
    return told


@click.command(cls=SaidCommand, context_settings={"ignore_unknown_options": True})
@JOB
@click.argument("said", nargs=-1, metavar="[NAME VALUE]")
@option("--because", default="", help=phrase("The reason, kept with the entry."))
@option("--show", is_flag=True, help=phrase("Only show what would change; nothing is written."))
def fact(job: Path, said: tuple[str, ...], because: str, show: bool) -> None:
    """Change a fact of the job: size 60ft x 40ft, count 5x6, unit ft, name TEXT; without one, list them all.

    Readings stay at their positions. A change that would leave one off the grid is refused.
    """
    from rodcall.book.entry_lines import write_line
    from rodcall.book.model.facts import FACTS
    from rodcall.tablet.paths import tablet_name
    from rodcall.wording.facts import changes, fact_words

    if not said:
        now = to_read(job).book.job
        width = max(map(len, FACTS))
        for name, told in fact_words(now).items():
            click.echo(f"{name:<{width}}  {told}")
        return
    opened = to_read(job) if show else to_write(job, tablet_name())
    try:
        before, terms = opened.book.job, opened.book.page.terms
        words = " ".join(said) + (f" because {because}" if because else "")
        write_line(opened.book, f"fact {words}", lambda: None)
        if not show:
            save(opened)
    except ValueError as error:
        raise Unusable(str(error)) from None
    finally:
        opened.close()
    told_lines = changes(before, opened.book.job)
    if opened.book.page.terms != terms:
        told_lines += [f"tolerance: {' '.join(said[1:])}"]
    for line in told_lines or [say("nothing changes")]:
        click.echo(line)


COMMANDS = (enter, fact)
