"""The job from a shell: the same book, the same figures, without a screen.

Exit status: 0 done, or PASS; 1 FAIL; 2 cannot be used (one line on stderr, nothing changed); 3 NOT PROVEN; and
128 + n as shells say it: 130 after Ctrl+C, 141 when nobody took the output.
"""

from __future__ import annotations

import io
import json
import os
import sys
import time
from collections.abc import Callable
from datetime import datetime
from enum import IntEnum
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rodcall import __version__
from rodcall.cli.help import EnterCommand, SaidCommand, SaidOption, click_speaks, option
from rodcall.i18n import LANGUAGES, counted, phrase, say, speak
from rodcall.units import LengthError, Unit, parse_length
from rodcall.units.quantities import QuantityError, parse_share

if TYPE_CHECKING:
    from rodcall.book.model.entries import Entry
    from rodcall.figures.summary import Summary
    from rodcall.practice.lesson import Lesson
    from rodcall.practice.score import Score


class Exit(IntEnum):
    """What a script is told."""

    DONE = 0
    FAIL = 1
    UNUSABLE = 2
    NOT_PROVEN = 3
    INTERRUPTED = 130
    OUTPUT_LOST = 141
    """Whatever was to be written is written; only the words about it were not taken."""


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
        try:
            return parse_share(value)
        except QuantityError as error:
            self.fail(str(error), param, ctx)


class LinesType(click.File):
    """A file of lines, or the standard input where there is one."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Open it."""
        if value == "-" and sys.stdin is None:
            self.fail(say("the input is closed"), param, ctx)
        return super().convert(value, param, ctx)


class JobGroup(SaidCommand, click.Group):
    """Commands by name; anything else is a job file to open."""

    command_class = SaidCommand

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Take the first word for a command, else for a file."""
        if args[0] in self.commands or args[0].startswith("-"):
            return super().resolve_command(ctx, args)
        return "open", open_, args


PATIENCE_S = 1.0
JOB = click.argument("job", type=click.Path(path_type=Path), metavar="JOB.json")
ROUND = option("--round", "round_number", type=int, help=phrase("Which round, from 1 (the existing ground)."))
LENGTH, PERCENT = LengthType(), PercentType()


@click.group(cls=JobGroup, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(
    __version__, message="rodcall %(version)s", cls=SaidOption, help=phrase("Show the version and exit.")
)
@click.pass_context
def cli(ctx: click.Context) -> int | None:
    """Key the rod as it is called out, dig to the number, prove the pad.

    Without a command: the list of jobs. With a file, rodcall JOB.json: that job, on its shot grid. Where input or
    output is no terminal there is no screen: the list is printed, one job a line (file, name, place, shots, round,
    with tabs between), or the job's figures.

    Lengths carry a unit: 40ft, 40', 12.5m, 3/8in, 10mm. Exit status: 0 done, or PASS; 1 FAIL; 2 something given
    cannot be used, and nothing was changed; 3 NOT PROVEN.
    """
    return _screens(None) if ctx.invoked_subcommand is None else None


@click.command("open", cls=SaidCommand, hidden=True)
@JOB
@option("--helper", is_flag=True, help=phrase("Open the helper's page too: the call-out on a phone that scans a code."))
def open_(job: Path, helper: bool) -> int:
    """Open a job on its shot grid."""
    return _screens(job, helper=helper)


@cli.command()
@JOB
@option("--name", required=True, help=phrase("Name of the job."))
@option("--place", default="", help=phrase("Where it is."))
@option("--customer", default="", help=phrase("For whom."))
@option("--length", type=LENGTH, required=True, help=phrase("Pad, away from the near edge: 60ft."))
@option("--width", type=LENGTH, required=True, help=phrase("Pad, along the near edge: 30ft."))
@option("--along", type=int, required=True, help=phrase("Shots along the length."))
@option("--across", type=int, required=True, help=phrase("Shots along the width."))
@option(
    "--heights",
    type=click.Choice([str(unit) for unit in Unit]),
    default="in",
    show_default=True,
    help=phrase("Unit heights are said in."),
)
@option("--step", type=LENGTH, help=phrase("Smallest mark read: 1/8in."))
@option("--tolerance", type=LENGTH, help=phrase("Allowed high and low alike: 1in."))
@option("--high", type=LENGTH, help=phrase("Allowed high, where high and low differ."))
@option("--low", type=LENGTH, help=phrase("Allowed low, where high and low differ."))
@option("--goal", type=LENGTH, help=phrase("The crew's own, tighter goal."))
@option(
    "--readings",
    type=click.Choice(["height", "rod", "direct-rod"]),
    default="height",
    show_default=True,
    help=phrase("Height said, plain rod (bigger is lower), or direct-reading rod."),
)
@option("--zero", default="A1", show_default=True, help=phrase("Position called grade."))
@option("--inset", type=LENGTH, help=phrase("From the pad's edge to the outermost shots."))
@option("--round-to", type=LENGTH, help=phrase("Targets are rounded to this: 1/2in."))
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
    **fields: Any,
) -> None:
    """Begin a job."""
    from pydantic import ValidationError

    from rodcall.book.book import local_time
    from rodcall.book.model.entries import Readings
    from rodcall.book.model.job import Job, agree
    from rodcall.book.model.refused import first_trouble
    from rodcall.book.storage.opening import JobFileError, new_job_file, new_job_id
    from rodcall.tablet.paths import tablet_name

    if tolerance is not None and (high is not None or low is not None):
        raise Unusable(say("--tolerance is high and low alike; give --high and --low, or --tolerance"))
    if (high is None) != (low is None):
        raise Unusable(say("--high and --low go together"))
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
        place, why = first_trouble(error)
        where = f"--{str(place[0]).replace('_', '-')}: " if place else ""
        raise Unusable(where + why) from None
    try:
        new_job_file(job, begun, tablet_name()).close()
    except JobFileError as error:
        raise Unusable(str(error)) from None
    click.echo(
        say(
            "{file}: {positions} positions, A1 to {last}",
            file=job,
            positions=begun.grid.size,
            last=begun.grid.name(begun.grid.size - 1),
        )
    )


@cli.command(cls=EnterCommand)
@JOB
@click.argument("lines", type=LinesType("r", encoding="utf-8-sig"), default="-", metavar="[FILE|-]")
def enter(job: Path, lines: Any) -> None:
    """Write entries, one a line; # begins a comment; all lines or none are written."""
    from rodcall.book.entry_lines import DictationError, dictate
    from rodcall.figures.summary import summarise
    from rodcall.tablet.paths import tablet_name

    opened = _open_to_write(job, tablet_name())
    before = len(opened.book.entries)
    try:
        page = opened.book.page
        written = dictate(
            opened.book,
            lines,
            lambda: summarise(page).suggested_before_dig,
            lambda index: summarise(page).judged(index) is not None,
        )
    except DictationError as error:
        raise Unusable(str(error)) from None
    except UnicodeDecodeError:
        raise Unusable(say("the lines are no UTF-8 text")) from None
    except OSError as error:
        raise Unusable(say("the lines cannot be read ({why})", why=_reason(error))) from None
    else:
        _save(opened)
    finally:
        opened.close()
    click.echo(counted(written, "{number} entry written", "{number} entries written"))
    _tell_doubts(summarise(opened.book.page), opened.book.entries[before:])


def _tell_doubts(summary: Summary, entries: list[Entry]) -> None:
    """Say which of the readings that were just written do not fit those around them; nothing hangs on it."""
    from rodcall.book.model.entries import Shot
    from rodcall.wording import outliers as words_doubt

    shot = {summary.grid.index(entry.position): entry.said for entry in entries if isinstance(entry, Shot)}
    for index, said in shot.items():
        bust = summary.judged(index, said) if summary.counts[index] and not summary.read_again[index] else None
        if bust is not None:
            why = bust.explanations[0] if bust.explanations else None
            name = summary.grid.name(index)
            click.echo(f"{name}: {words_doubt.doubt_words(summary, bust, why)}", err=True)


@cli.command()
@JOB
@ROUND
@option("--json", "as_json", is_flag=True, help=phrase("One JSON object; lengths in mm."))
def figures(job: Path, round_number: int | None, as_json: bool) -> None:
    """Print all figures of a job."""
    if not as_json:
        _print_figures(job, round_number)
        return
    from rodcall.sheets.exports.figures_json import figures as figures_of

    click.echo(json.dumps(figures_of(_summary(job, round_number)), allow_nan=False))


@cli.command()
@JOB
def verdict(job: Path) -> Exit:
    """Print PASS, FAIL or NOT PROVEN with the reasons; the exit status says the same."""
    from rodcall.figures.punch_list import Verdict
    from rodcall.wording.punch_list import clears, item_words

    summary = _summary(job, None)
    told = (f"  {item_words(summary, item)}  ({clears(summary, item)})" for item in summary.punch_list.items)
    click.echo("\n".join([str(summary.verdict), *told]))
    return {Verdict.PASS: Exit.DONE, Verdict.FAIL: Exit.FAIL, Verdict.NOT_PROVEN: Exit.NOT_PROVEN}[summary.verdict]


@cli.command()
@JOB
@ROUND
def dig(job: Path, round_number: int | None) -> None:
    """Print the order of work: which highs into which lows, and what is over or short at the end."""
    from rodcall.wording.dig import dig_lines

    summary = _summary(job, round_number)
    done = 0
    with click.progressbar(length=100, file=sys.stderr, label=say("least haul"), hidden=not sys.stderr.isatty()) as bar:

        def tell(share: float) -> None:
            nonlocal done
            step = int(100 * share) - done
            if step:
                done += step
                bar.update(step)

        plan = summary.dig(tell)
    if plan is None:
        raise Unusable(say("nothing is shot yet: there is nothing to dig"))
    click.echo("\n".join(dig_lines(summary, plan)))


@cli.command()
@JOB
@option("--at", help=phrase("Position the machine stands at: B2. The zero when not given."))
@ROUND
def layout(job: Path, at: str | None, round_number: int | None) -> None:
    """Print tape distances, squareness, footprint, layers, and what to key into the machine."""
    from rodcall.wording.layout import layout_lines

    summary = _summary(job, round_number)
    try:
        index = summary.zero if at is None else summary.grid.index(at)
    except ValueError as error:
        raise Unusable(str(error)) from None
    click.echo("\n".join(layout_lines(summary, index)))


@cli.command()
@JOB
@option("--to", "to", type=click.Path(path_type=Path), required=True, help=phrase("FILE.pdf, .txt, .csv or .xml"))
@option("--paper", type=click.Choice(["letter", "a4"]), help=phrase("Of a PDF; by the job's units where not said."))
@option("--blank", is_flag=True, help=phrase("A blank sheet for a pencil, in walking order (.pdf, .txt)."))
@option("--points", is_flag=True, help=phrase("A table of points: north, east, height (.csv)."))
@option(
    "--language",
    type=click.Choice(list(LANGUAGES)),
    help=phrase("Of the sheet; else the job's own, else that of the settings."),
)
def sheet(job: Path, to: Path, paper: str | None, blank: bool, points: bool, language: str | None) -> None:
    """Write the as-built sheet: .pdf, .txt, .csv (all positions), or .xml (the ground as LandXML 1.2)."""
    from rodcall.book.storage.atomic_write import replace_file
    from rodcall.sheets.make import Form, SheetError, kind_of, make

    if blank and points:
        raise Unusable(say("--blank and --points are two different sheets"))
    form = Form.BLANK if blank else Form.POINTS if points else Form.AS_BUILT
    try:
        kind = kind_of(to, form)
        if to.exists() and job.exists() and to.samefile(job):
            raise SheetError(say("that is the job's own file"))
        made = make(_open(job), kind, form, paper or "", _pages_told(), language or "")
        replace_file(to, made.content)
    except SheetError as error:
        raise Unusable(f"{to.name}: {error}") from None
    except OSError as error:
        raise Unusable(say("{file}: cannot be written ({why})", file=to, why=_reason(error))) from None
    if made.missing:
        codes = " ".join(f"{_shown(char)} (U+{ord(char):04X})" for char in made.missing)
        click.echo(
            say(
                "{file}: printed as a box, since the sheet's font lacks them: {codes}",
                file=_shown(to.name),
                codes=codes,
            ),
            err=True,
        )
    click.echo(str(to))


@cli.command()
@click.argument("digest")
@JOB
def verify(digest: str, job: Path) -> Exit:
    """Say whether a book is the one that a sheet was made from, by the digest printed on it.

    The first 12 digits or more will do. Exit status: 0 it is, 1 it is not.
    """
    from rodcall.sheets.digest import DigestError
    from rodcall.sheets.digest import verify as hold_against

    try:
        answer = hold_against(digest, _open(job))
    except DigestError as error:
        raise Unusable(str(error)) from None
    click.echo("\n".join(answer.words))
    return Exit.DONE if answer.same else Exit.FAIL


@cli.command()
@click.argument("folder", type=click.Path(path_type=Path), required=False)
def sample(folder: Path | None) -> None:
    """Write the sample jobs to a folder (the folder of jobs when none is given)."""
    from rodcall.tablet.paths import jobs_folder
    from rodcall.tablet.samples import write_samples

    into = folder or jobs_folder()
    try:
        for path, new in write_samples(into):
            click.echo(str(path) if new else say("{file} is there already; left as it is", file=path))
    except OSError as error:
        raise Unusable(say("{file}: cannot be written ({why})", file=into, why=_reason(error))) from None


@cli.command("join")
@click.argument("one", type=click.Path(path_type=Path), metavar="A.json")
@click.argument("other", type=click.Path(path_type=Path), metavar="B.json")
@option("--to", "to", type=click.Path(path_type=Path), required=True, help=phrase("The joined book, a new file."))
def join_(one: Path, other: Path, to: Path) -> None:
    """Write the books of one job from two tablets as one, without a conflict.

    Entries are known by tablet and number, so that nothing is doubled and the order of the two does not matter. Begin
    a new round on one tablet only, and join before the other goes on in it.
    """
    from rodcall.book.storage.merge import JoinError, join
    from rodcall.book.storage.opening import JobFileError

    try:
        joined = join(_open(one), _open(other), to)
        joined.begin()
        joined.close()
    except (JoinError, JobFileError) as error:
        raise Unusable(str(error)) from None
    click.echo(counted(len(joined.book.entries), "{file}: {number} entry", "{file}: {number} entries", file=to))


@cli.command()
@JOB
@option("--to", "to", type=click.Path(path_type=Path), help=phrase("Write all of it to a new file."))
def recover(job: Path, to: Path | None) -> None:
    """Read all that lies about of a job and tell what is in it: the file, the ones before, journals, torn parts.

    Nothing is changed; with --to all entries go into a new file, never over an old one.
    """
    from rodcall.book.storage.gather import gather
    from rodcall.book.storage.opening import JobFileError

    try:
        found = gather(job)
        if to is not None:
            found.write(to)
    except JobFileError as error:
        raise Unusable(str(error)) from None
    for piece in found.pieces:
        entries = counted(piece.entries, "{number} entry", "{number} entries")
        more = say("{number} of them nowhere else", number=piece.more)
        told = filter(None, (entries, more if piece is not found.pieces[0] else "", piece.trouble))
        click.echo(_shown(f"{piece.path.name}: {', '.join(told)}"))
    total = len(found.book.entries)
    click.echo(counted(total, "{file}: {number} entry", "{file}: {number} entries", file=to or say("all together")))


@cli.command()
@click.argument("folder", type=click.Path(path_type=Path))
@option("--csv", "form", flag_value="csv", default="csv", help=phrase("Comma-separated values: what is customary."))
@option("--jsonl", "form", flag_value="jsonl", help=phrase("JSON Lines: one object a job."))
def season(folder: Path, form: str) -> None:
    """Print one table of all jobs in a folder and the folders in it; a broken file is a row with its message."""
    from rodcall.sheets.exports.season import rows, to_csv, to_json_lines

    if not folder.is_dir():
        raise Unusable(say("{folder}: no folder", folder=folder))
    for line in {"csv": to_csv, "jsonl": to_json_lines}[form](rows(folder)):
        click.echo(line, nl=False)


@cli.command()
@option("--pad", default="5x4", help=phrase("Lines and columns of positions, such as 5x4."))
@option("--unit", type=click.Choice(("in", "ft", "mm")), default="in", help=phrase("In which heights are called."))
@option("--pace", type=click.FloatRange(0, 600), default=3.0, help=phrase("Seconds from a reading to the next call."))
@option("--mistakes", type=click.IntRange(0, 100), default=2, help=phrase("How many calls are wrong."))
@option("--seed", type=click.IntRange(0, 2**63), help=phrase("Which pad; another one each time when not said."))
@option("--script", is_flag=True, help=phrase("No screen: calls on output, what is typed on input, a line each."))
@option("--json", "as_json", is_flag=True, help=phrase("The score of each pad as a JSON object."))
def practice(pad: str, unit: str, pace: float, mistakes: int, seed: int | None, script: bool, as_json: bool) -> int:
    """Practise on a pad that is not there: a helper calls out, sometimes wrong; the score is told at the end."""
    from rodcall.book.storage.opening import JobFileError
    from rodcall.practice.lesson import LessonError, make_lesson
    from rodcall.practice.score import score_words

    along, across = _pad(pad)

    def make(seed: int) -> Lesson:
        now = datetime.now().astimezone().replace(microsecond=0)
        return make_lesson(along, across, Unit(unit), mistakes=mistakes, seed=seed, pace_s=pace, created=now)

    seed = seed if seed is not None else int.from_bytes(os.urandom(3), "big")
    try:
        status, scores = _scripted(make(seed)) if script or not _is_interactive() else _practised(make, seed)
    except (LessonError, JobFileError) as error:
        raise Unusable(str(error)) from None
    for score in scores:
        click.echo(json.dumps(score.as_json()) if as_json else "\n".join(score_words(score)))
    return status


def _pad(said: str) -> tuple[int, int]:
    parts = said.lower().split("x")
    if len(parts) != 2 or not all(part.isascii() and part.isdigit() and 2 <= int(part) <= 99 for part in parts):
        raise Unusable(say("--pad: lines x columns, each from 2 to 99, such as 5x4"))
    return int(parts[0]), int(parts[1])


def _scripted(lesson: Lesson) -> tuple[int, list[Score]]:
    from rodcall.book.book import Book
    from rodcall.practice.script import run

    lines = (line.rstrip("\r\n") for line in sys.stdin)
    return Exit.DONE, [run(lesson, Book(lesson.job, "practice"), lines, click.echo)]


def _practised(make: Callable[[int], Lesson], seed: int) -> tuple[int, list[Score]]:
    """Exit status and scores; after a signal or a fault nobody waits for a score, or could read one."""
    from rodcall.practice.folder import passing_folder
    from rodcall.practice.pads import Pads
    from rodcall.tui import practise

    with passing_folder() as folder:
        pads = Pads(make, seed, folder)
        status = practise(pads)
    return status, [] if status else pads.scores


def _is_interactive() -> bool:
    from rodcall.tui import at_a_terminal

    return at_a_terminal()


@cli.command()
@option("--settings", is_flag=True, help=phrase("Of the settings file instead."))
def schema(settings: bool) -> None:
    """Print the JSON Schema of a job file."""
    from rodcall.book.storage.schema import json_schema
    from rodcall.tablet.settings import schema as settings_schema

    click.echo(json.dumps(settings_schema() if settings else json_schema(), indent=1))


def _open(job: Path) -> Any:
    from rodcall.book.storage.opening import JobFileError, open_job

    try:
        opened = open_job(job, "reader")
    except JobFileError as error:
        raise Unusable(str(error)) from None
    _tell(opened)
    return opened


def _open_to_write(job: Path, tablet: str) -> Any:
    from rodcall.book.storage.opening import JobFileError, open_to_write

    try:
        opened = open_to_write(job, tablet)
    except JobFileError as error:
        raise Unusable(str(error)) from None
    if opened.read_only:
        raise Unusable(f"{job.name}: {opened.read_only}")
    _tell(opened)
    return opened


def _tell(opened: Any) -> None:
    """What an opening found that the crew should know, on stderr."""
    edited = (
        say("entry {number} was edited outside of rodcall", number=opened.broken_seals[0])
        if opened.broken_seals
        else ""
    )
    for found in filter(None, (opened.recovered, edited)):
        click.echo(f"{_shown(opened.path.name)}: {_shown(found)}", err=True)


def _save(opened: Any) -> None:
    try:
        opened.save()
    except OSError as error:
        raise Unusable(say("{file}: cannot be written ({why})", file=opened.path.name, why=_reason(error))) from None


def _pages_told() -> Callable[[int, int], None]:
    """Tells of each page of a sheet once it takes longer than one likes to wait without a word."""
    began = time.monotonic()

    def tell(page: int, pages: int) -> None:
        if time.monotonic() - began > PATIENCE_S:
            click.echo(say("page {number} of {total}", number=page, total=pages), err=True)

    return tell


def _summary(job: Path, round_number: int | None) -> Any:
    from rodcall.figures.summary import summarise

    try:
        return summarise(_open(job).book.page, round_number)
    except ValueError as error:
        raise Unusable(str(error)) from None


def _print_figures(job: Path, round_number: int | None = None) -> None:
    from rodcall.sheets.exports.table import figures_text

    click.echo(figures_text(_summary(job, round_number)))


def _print_jobs() -> None:
    from rodcall.tablet.job_index import Index

    jobs = Index()
    jobs.look()
    for job in jobs.glances:
        shots = f"{job.shot} of {job.positions}"
        told = (job.trouble,) if job.trouble else (job.name, job.place, shots, job.round)
        click.echo("\t".join(map(_shown, (str(job.path), *told))))


def _screens(job: Path | None, *, helper: bool = False) -> int:
    from rodcall.tui import at_a_terminal, show

    if at_a_terminal():
        return show(None if job is None else str(job), helper=helper)
    _print_jobs() if job is None else _print_figures(job)
    return Exit.DONE


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


def _shown(text: str) -> str:
    """Text of any origin in one line that disturbs no terminal."""
    return "".join(char if char.isprintable() else "·" for char in text)


def _heed_settings() -> None:
    """Speak the language of the settings; a wrong line in them is told and changes nothing else."""
    from rodcall.tablet.settings import read

    settings, wrong = read()
    speak(settings.language)
    if wrong:
        # Once more, for the words in which they are told.
        for line in read()[1]:
            click.echo(f"rodcall: {_shown(line)}", err=True)


def _run(arguments: list[str] | None) -> Any:
    """Run a command and return its status; what it refuses is said in one line."""
    try:
        return cli.main(arguments, prog_name="rodcall", standalone_mode=False)
    except click.ClickException as error:
        click.echo(f"rodcall: {_shown(' '.join(error.format_message().splitlines()))}", err=True)
        return Exit.UNUSABLE


def main(arguments: list[str] | None = None) -> None:
    """Run the command line; whatever goes wrong is one line on stderr."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        # A name that the terminal's own character set lacks must not end the program.
        sys.stdout.reconfigure(errors="backslashreplace")
    try:
        _heed_settings()
        with click_speaks():
            status = _run(arguments)
    except click.Abort:
        status = Exit.INTERRUPTED
    except SystemExit as end:
        # No command leaves so: the library does, with 1 when nobody reads its output any more, and 1 says FAIL here.
        status = Exit.OUTPUT_LOST if end.code == Exit.FAIL else end.code
    except OSError as error:
        # Each command words the trouble with its own files; what is left is the output's.
        click.echo(say("rodcall: the output cannot be written ({why})", why=_reason(error)), err=True)
        # What is still in the buffer would be tried, and complained about, once more at the very end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = Exit.OUTPUT_LOST
    except Exception as error:
        from rodcall.tablet.crash_report import tell

        status = tell(error)
    sys.exit(status)
