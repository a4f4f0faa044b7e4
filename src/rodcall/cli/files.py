"""The command that takes files of others in: `rodcall read FILE --into JOB.json`, shown before it is written."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from rodcall.cli.help import SaidCommand, option
from rodcall.cli.opened import save, to_write
from rodcall.cli.progress import Waiting
from rodcall.cli.types import LENGTH, Unusable, shown
from rodcall.i18n import counted, phrase, say

if TYPE_CHECKING:
    from rodcall.book.book import Book
    from rodcall.files_in.proposal import Options, Proposal


@click.command("read", cls=SaidCommand)
@click.argument("file", type=click.Path(path_type=Path), metavar="FILE")
@option(
    "--into",
    "job",
    type=click.Path(path_type=Path),
    metavar="JOB.json",
    required=True,
    help=phrase("Job it goes into."),
)
@option(
    "--as",
    "use",
    type=click.Choice(["readings", "existing", "design"]),
    default="readings",
    show_default=True,
    help=phrase("What the heights are: readings of the round in force, the existing ground, or the design to dig to."),
)
@option(
    "--order",
    type=click.Choice(["pneh", "penh"]),
    help=phrase("Columns of points without a header: point, north, east, height; or east before north."),
)
@option("--unit", type=click.Choice(["ft", "m", "mm"]), help=phrase("Of points, where no header names it."))
@option("--within", type=LENGTH, help=phrase("A point this near to a position belongs to it: 1ft."))
@option("--surface", default="", help=phrase("Name of the surface, where a LandXML file has several."))
@option("--yes", is_flag=True, help=phrase("Write without asking."))
def read(
    file: Path,
    job: Path,
    use: str,
    order: str | None,
    unit: str | None,
    within: int | None,
    surface: str,
    yes: bool,
) -> None:
    """Read points, timed readings, a table of positions or a LandXML surface into a job.

    Points are point, north, east, height, description, one a line. What would be written is shown first; with --yes
    it is written at once, all or nothing.
    """
    from rodcall.files_in.placing import WITHIN_M
    from rodcall.files_in.proposal import As, Options
    from rodcall.tablet.paths import tablet_name

    opened = to_write(job, tablet_name())
    try:
        options = Options(As(use), order or "", unit or "", WITHIN_M if within is None else within * 1e-9, surface)
        proposal = _proposed(file, opened.book, options)
        for line in proposal.shown():
            click.echo(shown(line))
        if not yes and not (_is_asked() and click.confirm(say("write it?"), err=True)):
            click.echo(say("nothing written; add --yes to write it"))
            return
        written = len(proposal.write(opened.book))
        save(opened)
    except ValueError as error:
        raise Unusable(f"{shown(file.name)}: {shown(str(error))}") from None
    finally:
        opened.close()
    click.echo(counted(written, "{number} entry written", "{number} entries written"))


def _is_asked() -> bool:
    return sys.stdin is not None and sys.stdin.isatty()


def _proposed(file: Path, book: Book, options: Options) -> Proposal:
    """What a file would write; at a terminal what it does not say is asked, one thing after the other."""
    from rodcall.files_in.proposal import propose
    from rodcall.files_in.text import UntoldError

    while True:
        try:
            with Waiting(say("reading the file")):
                return propose(file, book, options)
        except UntoldError as error:
            if not _is_asked():
                raise
            click.echo(shown(str(error)), err=True)
            answer = str(click.prompt(error.option, type=click.Choice(list(error.answers)), err=True))
            options = options.with_answer(error.option, answer)


COMMANDS = (read,)
