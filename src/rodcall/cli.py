"""The job from a shell: the same book, the same figures, without a screen.

Exit status: 0 done, or PASS; 1 FAIL; 2 cannot be used (one line on stderr, nothing changed); 3 NOT PROVEN.
"""

from __future__ import annotations

import json
import sys
from enum import IntEnum
from importlib import metadata
from pathlib import Path
from typing import Any

import click

from rodcall.lengths import LengthError, Unit, parse_length


class Exit(IntEnum):
    """What a script is told."""

    DONE = 0
    FAIL = 1
    UNUSABLE = 2
    NOT_PROVEN = 3


class Unusable(click.ClickException):
    """Something that was given cannot be used; the message is one line."""

    exit_code = Exit.UNUSABLE


class LengthType(click.ParamType[int]):
    """A length with its unit, in nanometres."""

    name = "length"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Read it, or say what would do."""
        if isinstance(value, int):
            return value
        try:
            return parse_length(value)
        except LengthError as error:
            self.fail(str(error), param, ctx)


class PercentType(click.ParamType[float]):
    """A share or a slope in percent, as a fraction."""

    name = "percent"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Read it, or say what would do."""
        if isinstance(value, float):
            return value
        number = value.strip().removesuffix("%")
        try:
            if number == value.strip() or not number.isascii():
                raise ValueError
            fraction = float(number.replace(",", ".")) / 100
            if not -1 <= fraction <= 1:
                raise ValueError
        except ValueError:
            self.fail(f"{value[:24]!r} is no percentage between -100 % and 100 %; say 1.5%", param, ctx)
        return fraction


class JobGroup(click.Group):
    """Commands by name; anything else is a job file to open."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Take the first word for a command, else for a file."""
        if args[0] in self.commands or args[0].startswith("-"):
            return super().resolve_command(ctx, args)
        return "open", open_, args


JOB = click.argument("job", type=click.Path(path_type=Path), metavar="JOB.json")
LENGTH, PERCENT = LengthType(), PercentType()


@click.group(cls=JobGroup, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(metadata.version("rodcall"), message="rodcall %(version)s")
@click.pass_context
def cli(ctx: click.Context) -> None:
    """Key the rod as it is called out, dig to the number, prove the pad.

    Without a command: the list of jobs. With a file: that job, on its shot grid.
    """
    if ctx.invoked_subcommand is None:
        _screens(None)


@click.command("open", hidden=True)
@JOB
def open_(job: Path) -> None:
    """Open a job on its shot grid."""
    _screens(job)


@cli.command()
@JOB
@click.option("--name", required=True, help="Name of the job.")
@click.option("--place", default="", help="Where it is.")
@click.option("--customer", default="", help="For whom.")
@click.option("--length", type=LENGTH, required=True, help="Pad, away from the near edge: 60ft.")
@click.option("--width", type=LENGTH, required=True, help="Pad, along the near edge: 30ft.")
@click.option("--along", type=int, required=True, help="Shots along the length.")
@click.option("--across", type=int, required=True, help="Shots along the width.")
@click.option(
    "--heights",
    type=click.Choice([str(unit) for unit in Unit]),
    default="in",
    show_default=True,
    help="Unit heights are said in.",
)
@click.option("--step", type=LENGTH, help="Smallest mark read: 1/8in.")
@click.option("--tolerance", type=LENGTH, help="Allowed high and low alike: 1in.")
@click.option("--high", type=LENGTH, help="Allowed high, where high and low differ.")
@click.option("--low", type=LENGTH, help="Allowed low, where high and low differ.")
@click.option("--goal", type=LENGTH, help="The crew's own, tighter goal.")
@click.option(
    "--readings",
    type=click.Choice(["height", "rod", "direct-rod"]),
    default="height",
    show_default=True,
    help="Height said, plain rod (bigger is lower), or direct-reading rod.",
)
@click.option("--zero", default="A1", show_default=True, help="Position called grade.")
@click.option("--inset", type=LENGTH, help="From the pad's edge to the outermost shots.")
@click.option("--round-to", type=LENGTH, help="Targets are rounded to this: 1/2in.")
@click.option("--least-drop", type=LENGTH, help="Suggested target below the average by at least this: 1/8in.")
@click.option("--shrink", type=PERCENT, help="Cut volume lost when compacted, fill = cut x (1 - shrink): 10%.")
@click.option("--slope-along", type=PERCENT, help="Rise of the target going away: 1%.")
@click.option("--slope-across", type=PERCENT, help="Rise of the target going right: -0.5%.")
def new(
    job: Path,
    heights: str,
    tolerance: int | None,
    high: int | None,
    low: int | None,
    zero: str,
    **fields: Any,
) -> None:
    """Begin a job."""
    from pydantic import ValidationError

    from rodcall.book.book import local_time
    from rodcall.book.entries import Readings
    from rodcall.book.file import JobFileError, new_job_file, new_job_id
    from rodcall.book.job import Job, agree
    from rodcall.book.places import tablet_name

    if tolerance is not None and (high is not None or low is not None):
        raise Unusable("--tolerance is high and low alike; give --high and --low, or --tolerance")
    if (high is None) != (low is None):
        raise Unusable("--high and --low go together")
    fields["readings"] = Readings(fields["readings"])
    agreed = agree(
        Unit(heights),
        tolerance_high=high if high is not None else tolerance,
        tolerance_low=low if low is not None else tolerance,
        zero=zero.upper(),
        **fields,
    )
    try:
        begun = Job(id=new_job_id(), created=local_time(), **agreed)
    except ValidationError as error:
        first = error.errors()[0]
        where = f"--{str(first['loc'][0]).replace('_', '-')}: " if first["loc"] else ""
        raise Unusable(where + first["msg"].removeprefix("Value error, ")) from None
    try:
        new_job_file(job, begun, tablet_name())
    except JobFileError as error:
        raise Unusable(str(error)) from None
    click.echo(f"{job}: {begun.grid.size} positions, A1 to {begun.grid.name(begun.grid.size - 1)}")


@cli.command()
@JOB
@click.argument("lines", type=click.File("r", encoding="utf-8"), default="-", metavar="[FILE|-]")
def enter(job: Path, lines: Any) -> None:
    """Write entries, one a line; all lines or none.

    \b
    A1 -3/8                    a reading at a position
    B2 out rut                 left out, with a reason
    strike A1                  strike the last reading there
    reference ZERO             reference BM1 low 4 1/2in
    setup BM1 4' 3 3/8"        backsight on a reference
    target -1/2in              target suggested
    zero B2                    another position is grade
    round working              round final
    note TEXT
    """
    from rodcall.book.dictation import DictationError, dictate
    from rodcall.figures.summary import summarise

    opened = _open(job)
    try:
        written = dictate(opened.book, lines, lambda: summarise(opened.book.page).suggested)
    except DictationError as error:
        raise Unusable(str(error)) from None
    except UnicodeDecodeError:
        raise Unusable(f"{lines.name}: no UTF-8 text") from None
    _save(opened)
    click.echo(f"{written} entries written")


@cli.command()
@JOB
@click.option("--round", "round_number", type=int, help="Which round, from 1 (the existing ground).")
@click.option("--json", "as_json", is_flag=True, help="One JSON object; lengths in mm.")
def figures(job: Path, round_number: int | None, as_json: bool) -> None:
    """Print all figures of a job."""
    from rodcall.sheets.figures_json import figures as figures_of
    from rodcall.sheets.table import figures_text

    summary = _summary(job, round_number)
    if as_json:
        click.echo(json.dumps(figures_of(summary), ensure_ascii=False, allow_nan=False))
    else:
        click.echo(figures_text(summary))


@cli.command()
@JOB
def verdict(job: Path) -> Exit:
    """Print PASS, FAIL or NOT PROVEN with the reasons; the exit status says the same."""
    from rodcall.figures.as_built import Verdict

    finding = _summary(job, None).finding
    click.echo("\n".join([str(finding.verdict), *(f"  {reason}" for reason in finding.reasons)]))
    return {Verdict.PASS: Exit.DONE, Verdict.FAIL: Exit.FAIL, Verdict.NOT_PROVEN: Exit.NOT_PROVEN}[finding.verdict]


@cli.command()
@JOB
@click.option("--to", "to", type=click.Path(path_type=Path), required=True, help="FILE.csv or FILE.txt")
def sheet(job: Path, to: Path) -> None:
    """Write the sheet of all positions to a file."""
    from rodcall.book.replace import replace_file
    from rodcall.sheets.table import to_csv, to_text

    writers = {".csv": to_csv, ".txt": to_text}
    writer = writers.get(to.suffix.lower())
    if writer is None:
        raise Unusable(f"{to.name}: a sheet is {' or '.join(writers)}")
    content = writer(_summary(job, None))
    try:
        replace_file(to, content.encode("utf-8-sig" if writer is to_csv else "utf-8"))
    except OSError as error:
        raise Unusable(f"{to}: cannot be written ({(error.strerror or str(error)).lower()})") from None
    click.echo(str(to))


@cli.command()
@click.argument("folder", type=click.Path(path_type=Path), required=False)
def sample(folder: Path | None) -> None:
    """Write the sample jobs to a folder (the folder of jobs when none is given)."""
    from rodcall.book.places import jobs_folder
    from rodcall.book.samples import write_samples

    into = folder or jobs_folder()
    try:
        for path, new in write_samples(into):
            click.echo(str(path) if new else f"{path} is there already; left as it is")
    except OSError as error:
        raise Unusable(f"{into}: cannot be written ({(error.strerror or str(error)).lower()})") from None


@cli.command()
def schema() -> None:
    """Print the JSON Schema of a job file."""
    from rodcall.book.file import json_schema

    click.echo(json.dumps(json_schema(), indent=1))


def _open(job: Path) -> Any:
    from rodcall.book.file import JobFileError, open_job
    from rodcall.book.places import tablet_name

    try:
        opened = open_job(job, tablet_name())
    except JobFileError as error:
        raise Unusable(str(error)) from None
    if opened.broken_seals:
        click.echo(f"{job.name}: entry {opened.broken_seals[0]} was edited outside of rodcall", err=True)
    return opened


def _save(opened: Any) -> None:
    try:
        opened.save()
    except OSError as error:
        raise Unusable(f"{opened.path.name}: cannot be written ({(error.strerror or str(error)).lower()})") from None


def _summary(job: Path, round_number: int | None) -> Any:
    from rodcall.figures.summary import summarise

    try:
        return summarise(_open(job).book.page, round_number)
    except ValueError as error:
        raise Unusable(str(error)) from None


def _screens(job: Path | None) -> None:
    opened = _open(job) if job is not None else None
    from rodcall.screens import run

    raise SystemExit(run(opened))


def main(arguments: list[str] | None = None) -> None:
    """Run the command line; whatever goes wrong is one line on stderr."""
    try:
        status = cli.main(arguments, prog_name="rodcall", standalone_mode=False)
    except click.ClickException as error:
        click.echo(f"rodcall: {error.format_message().splitlines()[0]}", err=True)
        status = Exit.UNUSABLE
    except click.Abort:
        status = 130
    sys.exit(int(status) if status is not None else 0)
