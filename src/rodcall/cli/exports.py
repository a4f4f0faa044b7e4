"""The command that writes files for other programs: `rodcall export`."""

from __future__ import annotations

from pathlib import Path

import click

from rodcall.cli.help import SaidCommand, option
from rodcall.cli.opened import JOB, ROUND, already_there, no_folder, to_read, write_file
from rodcall.cli.progress import Waiting
from rodcall.cli.types import Unusable, shown
from rodcall.i18n import phrase, say


@click.command(cls=SaidCommand)
@JOB
@option(
    "--to",
    "to",
    type=click.Path(path_type=Path),
    required=True,
    help=phrase("FILE.csv, .txt, .xml or .geojson; - is the standard output."),
)
@option(
    "--as",
    "kind",
    type=click.Choice(["table", "points", "landxml", "geojson"]),
    help=phrase("What it is; by the file's name if not given."),
)
@option("--unit", type=click.Choice(["m", "ft"]), help=phrase("Unit of points; the job's if not given."))
@option("--header", is_flag=True, help=phrase("Points begin with a line that names the columns."))
@ROUND
@option("--force", is_flag=True, help=phrase("Overwrite an existing file."))
def export(
    job: Path, to: Path, kind: str | None, unit: str | None, header: bool, round_number: int | None, force: bool
) -> None:
    """Write a file for another program: table, points, landxml or geojson; the same in every language.

    table (.csv): all positions with height, design, deviation, limits, plus/minus, set-up, time. points (.txt): point,
    north, east, height, description. landxml (.xml): LandXML 1.2 with the ground, the ground before the dig, the design
    and named points. geojson (.geojson): the pad and its shots in WGS 84, where the term a1-wgs84 is set.
    """
    from rodcall.book.storage.safe_read import is_there
    from rodcall.sheets.exports.export import ExportError, Kind, kind_of
    from rodcall.sheets.exports.export import export as made_of

    to_output = str(to) == "-"
    no_folder(to, job, ".csv")
    try:
        wanted = Kind(kind) if kind else kind_of(to)
        if (unit or header) and wanted is not Kind.POINTS:
            raise ExportError(say("--unit and --header are for points only"))
        if to.exists() and job.exists() and to.samefile(job):
            raise ExportError(say("that is the job file itself; choose another name"))
        if not force and not to_output and is_there(to):
            raise already_there(to)
        opened = to_read(job)
        with Waiting(say("making the file")):
            content = made_of(opened, wanted, round_number, unit or "", header=header)
    except ExportError as error:
        raise Unusable(f"{shown(to.name)}: {error}") from None
    if to_output:
        click.echo(content, nl=False)
        return
    write_file(to, content, over=force)
    click.echo(str(to))


COMMANDS = (export,)
