"""Commands that read a job and print or write what follows from it: figures, verdict, dig, layout, sheets, season."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from rodcall.cli.help import SaidCommand, option
from rodcall.cli.opened import (
    JOB,
    ROUND,
    already_there,
    cannot_write,
    no_folder,
    opened_and_summary,
    save,
    summary_of,
    to_read,
    to_write,
    write_file,
)
from rodcall.cli.progress import Waiting
from rodcall.cli.types import Unusable, shown
from rodcall.exits import Exit
from rodcall.i18n import LANGUAGES, phrase, say


@click.command(cls=SaidCommand)
@JOB
@ROUND
@option("--json", "as_json", is_flag=True, help=phrase("One JSON object; lengths in mm."))
def figures(job: Path, round_number: int | None, as_json: bool) -> None:
    """Print all figures of a job."""
    if not as_json:
        print_figures(job, round_number)
        return
    from rodcall.sheets.content.record import record_of
    from rodcall.sheets.exports.figures_json import figures as figures_of

    opened, summary = opened_and_summary(job, round_number)
    with Waiting(say("working out the figures")):
        told = figures_of(summary, record_of(opened))
    click.echo(json.dumps(told, allow_nan=False))


@click.command(cls=SaidCommand)
@JOB
def verdict(job: Path) -> Exit:
    """Print PASS, FAIL or NOT PROVEN with the reasons; the exit status says the same."""
    from rodcall.figures.punch_list import Verdict
    from rodcall.wording.punch_list import clears, item_words

    summary = summary_of(job, None)
    with Waiting(say("working out the figures")):
        listed = summary.punch_list
    told = (f"  {item_words(summary, item)}  ({clears(summary, item)})" for item in listed.items)
    click.echo("\n".join([str(summary.verdict), *told]))
    return {Verdict.PASS: Exit.DONE, Verdict.FAIL: Exit.FAIL, Verdict.NOT_PROVEN: Exit.NOT_PROVEN}[summary.verdict]


@click.command(cls=SaidCommand)
@JOB
@ROUND
def dig(job: Path, round_number: int | None) -> None:
    """Print the order of work: which cut goes to which fill, and what is left over or short."""
    from rodcall.wording.dig import dig_lines

    summary = summary_of(job, round_number)
    with Waiting(say("least haul")) as waiting:
        plan = summary.dig(waiting.share)
    if plan is None:
        raise Unusable(say("no shots yet: nothing to dig"))
    click.echo("\n".join(dig_lines(summary, plan)))


@click.command(cls=SaidCommand)
@JOB
@option("--at", help=phrase("Where the machine is: B2; the zero if not given."))
@ROUND
def layout(job: Path, at: str | None, round_number: int | None) -> None:
    """Print tape distances, squareness, footprint, layers, and what to key into the machine."""
    from rodcall.wording.layout import layout_lines

    summary = summary_of(job, round_number)
    try:
        index = summary.zero if at is None else summary.grid.index(at)
    except ValueError as error:
        raise Unusable(str(error)) from None
    click.echo("\n".join(layout_lines(summary, index)))


@click.command(cls=SaidCommand)
@JOB
@option(
    "--to",
    "to",
    type=click.Path(path_type=Path),
    required=True,
    help=phrase("FILE.pdf, .html, .txt, .csv or .xml; - for the standard output"),
)
@option("--as", "ending", default="", help=phrase("What goes to the standard output: pdf, html, txt, csv or xml."))
@option(
    "--paper", type=click.Choice(["letter", "a4"]), help=phrase("Paper of a PDF; if not given, by the job's units.")
)
@option("--blank", is_flag=True, help=phrase("A blank sheet for a pencil, in walking order (.pdf, .txt)."))
@option("--points", is_flag=True, help=phrase("A table of points: north, east, height (.csv)."))
@option(
    "--for",
    "reader",
    type=click.Choice(["customer", "crew"]),
    default="customer",
    show_default=True,
    help=phrase("The certificate, or the crew's own sheet: rod, machine, crew tolerance, order of work."),
)
@ROUND
@option(
    "--language",
    type=click.Choice(list(LANGUAGES)),
    help=phrase("Language of the sheet; if not given, the job's, or that of the settings."),
)
@option("--force", is_flag=True, help=phrase("Overwrite an existing file."))
def sheet(
    job: Path,
    to: Path,
    ending: str,
    paper: str | None,
    blank: bool,
    points: bool,
    reader: str,
    round_number: int | None,
    language: str | None,
    force: bool,
) -> None:
    """Write the as-built sheet: .pdf, .html, .txt, .csv (all positions), or .xml (the ground as LandXML 1.2).

    It issues nothing: a sheet is a draft until you run rodcall issue on the same book.
    """
    from rodcall.book.storage.safe_read import is_there
    from rodcall.sheets.make import Output, Reader, SheetError, kind_of, make

    if blank and points:
        raise Unusable(say("give --blank or --points, not both"))
    form, to_output = Output.BLANK if blank else Output.POINTS if points else Output.AS_BUILT, str(to) == "-"
    no_folder(to, job, ".csv" if points else ".pdf")
    try:
        kind = kind_of(to.with_name(f"-.{ending}") if to_output else to, form)
        if to.exists() and job.exists() and to.samefile(job):
            raise SheetError(say("that is the job file itself; choose another name"))
        if not force and not to_output and is_there(to):
            raise already_there(to)
        opened = to_read(job)
        with Waiting(say("making the sheet")):
            made = make(opened, kind, form, paper or "", language or "", Reader(reader), round_number)
        if to_output:
            sys.stdout.buffer.write(made.content)
        else:
            write_file(to, made.content, over=force)
    except SheetError as error:
        raise Unusable(f"{to.name}: {error}") from None
    except OSError as error:
        raise cannot_write(to, error) from None
    for warning in made.warnings:
        click.echo(shown(warning), err=True)
    if made.missing:
        codes = " ".join(f"{shown(char)} (U+{ord(char):04X})" for char in made.missing)
        click.echo(
            say(
                "{file}: not in the sheet's font, printed as a box: {codes}",
                file=shown(to.name),
                codes=codes,
            ),
            err=True,
        )
    if not to_output:
        click.echo(str(to))


@click.command(cls=SaidCommand)
@JOB
def issue(job: Path) -> None:
    """Issue the certificate on the book as it is now: number, revision and digest go into the book.

    This tablet counts the numbers; a later revision keeps its number and says what changed. Then write the sheet.
    """
    from rodcall.book.fold.page import PageError
    from rodcall.sheets.digest import grouped
    from rodcall.sheets.issue import IssueError, issued_words
    from rodcall.sheets.issue import issue as issue_on
    from rodcall.tablet.paths import tablet_name

    opened = to_write(job, tablet_name())
    try:
        with Waiting(say("working out the figures")):
            change = issue_on(opened)
    except (IssueError, PageError) as error:
        raise Unusable(str(error)) from None
    else:
        save(opened)
    finally:
        opened.close()
    click.echo(issued_words(change))
    click.echo(say("digest {digest}", digest=grouped(opened.seal)))


@click.command(cls=SaidCommand)
@click.argument("digest")
@JOB
def verify(digest: str, job: Path) -> Exit:
    """Check whether a sheet was made from this book, by the digest printed on it.

    Give 12 digits or more. Exit status: 0 yes, 1 no.
    """
    from rodcall.sheets.digest import DigestError
    from rodcall.sheets.digest import verify as hold_against

    try:
        answer = hold_against(digest, to_read(job))
    except DigestError as error:
        raise Unusable(str(error)) from None
    click.echo("\n".join(answer.words))
    return Exit.DONE if answer.same else Exit.FAIL


@click.command(cls=SaidCommand)
@click.argument("folder", type=click.Path(path_type=Path))
@option("--csv", "form", flag_value="csv", default="csv", help=phrase("Comma-separated values (the default)."))
@option("--jsonl", "form", flag_value="jsonl", help=phrase("JSON Lines: one object a job."))
def season(folder: Path, form: str) -> None:
    """Print one table of all jobs in a folder and the folders in it; a broken file gets a row with its message."""
    from rodcall.sheets.exports.season import rows, to_csv, to_json_lines

    if not folder.is_dir():
        raise Unusable(say("{folder}: not a folder", folder=folder))
    # At a terminal the rows themselves show how far it is.
    with Waiting(say("reading the jobs"), shown=not sys.stdout.isatty()) as waiting:
        for line in {"csv": to_csv, "jsonl": to_json_lines}[form](waiting.counted(rows(folder))):
            click.echo(line, nl=False)


def print_figures(job: Path, round_number: int | None = None) -> None:
    """The figures of a round as words, the last round where none is named."""
    from rodcall.sheets.exports.table import figures_text

    summary = summary_of(job, round_number)
    with Waiting(say("working out the figures")):
        told = figures_text(summary)
    click.echo(told)


COMMANDS = (figures, verdict, dig, layout, sheet, issue, verify, season)
