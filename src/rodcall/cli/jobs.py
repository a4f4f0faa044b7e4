"""Commands about job files: begin one, samples, join two, recover one, the JSON Schema; and the list of jobs."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click

from rodcall.cli.help import SaidCommand, option
from rodcall.cli.opened import JOB, cannot_write, no_folder, save, to_read
from rodcall.cli.progress import Waiting
from rodcall.cli.types import LENGTH, PERCENT, Unusable, shown
from rodcall.i18n import counted, phrase, say
from rodcall.units import Unit


@click.command(cls=SaidCommand)
@JOB
@option("--name", required=True, help=phrase("Name of the job."))
@option("--place", default="", help=phrase("Place."))
@option("--customer", default="", help=phrase("Customer."))
@option("--length", type=LENGTH, required=True, help=phrase("Pad size away from the near edge: 60ft."))
@option("--width", type=LENGTH, required=True, help=phrase("Pad size along the near edge: 30ft."))
@option("--along", type=int, required=True, help=phrase("Shots along the length."))
@option("--across", type=int, required=True, help=phrase("Shots along the width."))
@option(
    "--heights",
    type=click.Choice([str(unit) for unit in Unit]),
    default="in",
    show_default=True,
    help=phrase("Unit of heights."),
)
@option("--step", type=LENGTH, help=phrase("Smallest mark on the rod: 1/8in."))
@option("--tolerance", type=LENGTH, help=phrase("Tolerance, high and low alike: 1in."))
@option("--high", type=LENGTH, help=phrase("Tolerance high, where high and low differ."))
@option("--low", type=LENGTH, help=phrase("Tolerance low, where high and low differ."))
@option("--goal", type=LENGTH, help=phrase("Crew tolerance, the tighter one: 1/2in."))
@option(
    "--readings",
    type=click.Choice(["height", "rod", "direct-rod"]),
    default="height",
    show_default=True,
    help=phrase("What readings are: heights, plain rod (bigger is lower), or direct-reading rod."),
)
@option("--zero", default="A1", show_default=True, help=phrase("Position that is the zero."))
@option("--site", default="", help=phrase("Site that the pad shares with other jobs of the folder."))
@option(
    "--like",
    type=click.Path(path_type=Path),
    metavar="JOB.json",
    help=phrase("Take references, datum and set-up over from this job of the site."),
)
@option("--inset", type=LENGTH, help=phrase("From the pad's edge to the outermost shots."))
@option("--round-to", type=LENGTH, help=phrase("Round targets to this: 1/2in."))
@option("--least-drop", type=LENGTH, help=phrase("Suggested target below the average by at least this: 1/8in."))
@option("--shrink", type=PERCENT, help=phrase("Cut volume lost when compacted, fill = cut x (1 - shrink): 10%."))
@option("--slope-along", type=PERCENT, help=phrase("Rise of the target going away: 1%."))
@option("--slope-across", type=PERCENT, help=phrase("Rise of the target going right: -0.5%."))
def new(
    job: Path,
    heights: str,
    tolerance: int | None,
    high: int | None,
    low: int | None,
    zero: str,
    site: str,
    like: Path | None,
    **fields: Any,
) -> None:
    """Begin a job and write its file."""
    from pydantic import ValidationError

    from rodcall.book.book import Book, local_time
    from rodcall.book.model.entries import Readings
    from rodcall.book.model.job import Job, agree
    from rodcall.book.model.refused import first_trouble
    from rodcall.book.sharing import share_references
    from rodcall.book.storage.opening import JobFileError, new_job_file, new_job_id
    from rodcall.tablet.paths import tablet_name

    if tolerance is not None and (high is not None or low is not None):
        raise Unusable(say("give --tolerance, or --high and --low, not both"))
    if (high is None) != (low is None):
        raise Unusable(say("give both --high and --low"))
    fields["readings"] = Readings(fields["readings"])
    source = None if like is None else to_read(like).book
    agreed = agree(
        Unit(heights),
        tolerance_high=high if high is not None else tolerance,
        tolerance_low=low if low is not None else tolerance,
        zero=zero.upper(),
        site=site or (source.job.site if source is not None else ""),
        **fields,
    )
    try:
        begun = Job(id=new_job_id(), created=local_time(), **agreed)
    except ValidationError as error:
        place, why = first_trouble(error)
        where = f"--{str(place[0]).replace('_', '-')}: " if place else ""
        raise Unusable(where + why) from None
    shared: list[str] = []
    try:
        if source is not None:
            # Tried first on a book that is thrown away: a job that cannot share everything is not begun.
            share_references(source, Book(begun, tablet_name()))
        made = new_job_file(job, begun, tablet_name())
        if source is not None:
            shared = share_references(source, made.book)
            save(made)
        made.close()
    except (JobFileError, ValueError) as error:
        raise Unusable(str(error)) from None
    click.echo(
        say(
            "{file}: {positions} positions, A1 to {last}",
            file=job,
            positions=begun.grid.size,
            last=begun.grid.name(begun.grid.size - 1),
        )
    )
    for line in shared:
        click.echo(shown(line))


@click.command(cls=SaidCommand)
@click.argument("folder", type=click.Path(path_type=Path), required=False)
def sample(folder: Path | None) -> None:
    """Write the sample jobs to a folder (the folder of jobs when none is given)."""
    from rodcall.tablet.paths import jobs_folder
    from rodcall.tablet.samples import write_samples

    into = folder or jobs_folder()
    try:
        for path, new in write_samples(into):
            click.echo(str(path) if new else say("{file} already exists; left as it is", file=path))
    except OSError as error:
        raise cannot_write(into, error) from None


@click.command("join", cls=SaidCommand)
@click.argument("one", type=click.Path(path_type=Path), metavar="A.json")
@click.argument("other", type=click.Path(path_type=Path), metavar="B.json")
@option("--to", "to", type=click.Path(path_type=Path), required=True, help=phrase("The joined book, a new file."))
def join_(one: Path, other: Path, to: Path) -> None:
    """Join the books of one job from two tablets into one.

    Entries are matched by tablet and number: none is doubled, and either file may come first. Begin a new round on one
    tablet only, and join before the other goes on in it.
    """
    from rodcall.book.storage.merge import JoinError, join
    from rodcall.book.storage.opening import JobFileError

    no_folder(to, one, "-joined.json")
    try:
        books = to_read(one), to_read(other)
        with Waiting(say("joining")):
            joined = join(*books, to)
            joined.begin()
            joined.close()
    except (JoinError, JobFileError) as error:
        raise Unusable(str(error)) from None
    click.echo(counted(len(joined.book.entries), "{file}: {number} entry", "{file}: {number} entries", file=to))


@click.command(cls=SaidCommand)
@JOB
@option("--to", "to", type=click.Path(path_type=Path), help=phrase("Write everything found to a new file."))
def recover(job: Path, to: Path | None) -> None:
    """List what is left of a job: the file, the ones before, journals, torn parts.

    Nothing is changed; with --to all entries go into a new file, never over an old one.
    """
    from rodcall.book.storage.opening import JobFileError
    from rodcall.book.storage.rescue.gather import gather

    try:
        if to is not None:
            no_folder(to, job, "-recovered.json")
        with Waiting(say("reading all that is left of the job")):
            found = gather(job)
            if to is not None:
                found.write(to)
    except JobFileError as error:
        raise Unusable(str(error)) from None
    for piece in found.pieces:
        entries = counted(piece.entries, "{number} entry", "{number} entries")
        more = say("{number} of them in no other file", number=piece.more)
        told = filter(None, (entries, more if piece is not found.pieces[0] else "", piece.trouble))
        click.echo(shown(f"{piece.path.name}: {', '.join(told)}"))
    total = len(found.book.entries)
    click.echo(counted(total, "{file}: {number} entry", "{file}: {number} entries", file=to or say("all together")))


@click.command(cls=SaidCommand)
@option("--settings", is_flag=True, help=phrase("Print the schema of the settings file."))
def schema(settings: bool) -> None:
    """Print the JSON Schema of a job file."""
    from rodcall.book.storage.schema import json_schema
    from rodcall.tablet.settings import schema as settings_schema

    click.echo(json.dumps(settings_schema() if settings else json_schema(), indent=1))


def print_jobs() -> None:
    """The list of jobs, one a line: file, name, place, shots, round, tab-separated."""
    from rodcall.tablet.job_index import Index

    jobs = Index()
    with Waiting(say("reading the jobs")):
        jobs.look()
    for job in jobs.glances:
        shots = f"{job.shot} of {job.positions}"
        told = (job.trouble,) if job.trouble else (job.name, job.place, shots, job.round)
        click.echo("\t".join(map(shown, (str(job.path), *told))))


COMMANDS = (new, sample, join_, recover, schema)
