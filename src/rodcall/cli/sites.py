"""The command for several pads on one site: `rodcall site [FOLDER]`."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations
from pathlib import Path
from typing import TYPE_CHECKING

import click

from rodcall.cli.help import SaidCommand, option
from rodcall.cli.opened import cannot_write
from rodcall.cli.progress import Waiting
from rodcall.cli.types import Unusable, shown
from rodcall.i18n import phrase, say

if TYPE_CHECKING:
    from rodcall.book.book import Book
    from rodcall.book.fold.round_page import Line
    from rodcall.tablet.site_jobs import Pads


@click.command(cls=SaidCommand)
@click.argument("folder", type=click.Path(path_type=Path), required=False)
@option("--carry", is_flag=True, help=phrase("Write check shots of one job into the others that share the set-up."))
def site(folder: Path | None, carry: bool) -> None:
    """Show the pads of each site in a folder: verdicts, check shots to carry, and dirt from one pad to another.

    Jobs belong to one site by the fact site. A check shot in one job, on a set-up that others share (new --like),
    serves them as well where nothing was shot there since.
    """
    from rodcall.figures.site import balance, pad_dirt
    from rodcall.figures.summary import summarise
    from rodcall.tablet.paths import jobs_folder
    from rodcall.tablet.site_jobs import sites
    from rodcall.wording.site import balance_lines, pad_lines

    where = folder or jobs_folder()
    if not where.is_dir():
        raise Unusable(say("{folder}: no such folder", folder=where))
    with Waiting(say("reading the jobs")):
        found = sites(where)
    if not found:
        raise Unusable(say("{folder}: no job here has a site; set it: rodcall fact JOB.json site NAME", folder=where))
    for name, jobs in found.items():
        click.echo(shown(name))
        for line in _checks(jobs, carry=carry):
            click.echo(shown(f"  {line}"))
        summaries = [(book.job.name, summarise(book.page)) for _, book in jobs]
        pads = [(pad_dirt(called, summary), summary) for called, summary in summaries]
        for line in (*pad_lines(pads), *balance_lines(pads, balance([pad for pad, _ in pads]))):
            click.echo(shown(f"  {line}"))


def _checks(jobs: Pads, *, carry: bool) -> Iterator[str]:
    """Check shots of one job that serve another, each with what is or was done about it."""
    from rodcall.book.sharing import checks_to_carry

    for (_, one), (path, other) in permutations(jobs, 2):
        for check, why in list(checks_to_carry(one, other)):
            entry = check.entry
            found = say(
                "check on {reference} (entry {number} of {job})",
                reference=getattr(entry, "reference", ""),
                number=entry.number,
                job=one.job.name,
            )
            if why or not carry:
                yield f"{found}: {why or say('serves {job} too: --carry writes it there', job=other.job.name)}"
                continue
            _carry(one, check, path, other)
            yield f"{found}: {say('written into {job}', job=other.job.name)}"


def _carry(one: Book, check: Line, path: Path, other: Book) -> None:
    """Write a check into another job's file, and into its book as it was read."""
    from rodcall.book.sharing import carry
    from rodcall.book.storage.opening import JobFileError
    from rodcall.tablet.paths import tablet_name
    from rodcall.tablet.site_jobs import carry_into

    try:
        carry_into(one, check, path, tablet_name())
        carry(one, check, other)
    except OSError as error:
        raise cannot_write(path.name, error) from None
    except (JobFileError, ValueError) as error:
        raise Unusable(str(error)) from None


COMMANDS = (site,)
