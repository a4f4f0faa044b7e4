"""Job files as the commands open them: to read or to write, with what was found on stderr and refusals in one line."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from rodcall.cli.help import option
from rodcall.cli.progress import Waiting
from rodcall.cli.types import Unusable, shown
from rodcall.i18n import phrase, say

if TYPE_CHECKING:
    from rodcall.book.storage.opening import JobFile
    from rodcall.figures.summary import Summary

# Imports inside of functions keep help quick: it loads neither numpy nor pydantic (tests/cli/test_program.py).

JOB = click.argument("job", type=click.Path(path_type=Path), metavar="JOB.json")
ROUND = option("--round", "round_number", type=int, help=phrase("Which round, from 1 (the existing ground)."))


def to_read(job: Path) -> JobFile:
    """Open a job to read it.

    Raises:
        Unusable: when it is no job file or cannot be read.
    """
    from rodcall.book.storage.opening import JobFileError, open_job

    try:
        with Waiting(say("reading the job")):
            opened = open_job(job, "reader")
    except JobFileError as error:
        raise Unusable(str(error)) from None
    _say_found(opened)
    return opened


def to_write(job: Path, tablet: str) -> JobFile:
    """Open a job to write entries into it.

    Raises:
        Unusable: when it cannot be read, or somebody else writes into it.
    """
    from rodcall.book.storage.opening import JobFileError, open_to_write

    try:
        with Waiting(say("reading the job")):
            opened = open_to_write(job, tablet)
    except JobFileError as error:
        raise Unusable(str(error)) from None
    if opened.read_only:
        raise Unusable(f"{job.name}: {opened.read_only}")
    _say_found(opened)
    return opened


def save(opened: JobFile) -> None:
    """Save what was written.

    Raises:
        Unusable: when the disk refuses.
    """
    try:
        opened.save()
    except OSError as error:
        raise cannot_write(opened.path.name, error) from None


def cannot_write(file: object, error: OSError) -> Unusable:
    """The refusal where the disk does not take a file, in the system's words."""
    from rodcall.book.storage.safe_read import reason

    return Unusable(say("{file}: cannot be written ({why})", file=file, why=reason(error)))


def no_folder(to: Path, job: Path, ending: str) -> None:
    """Refuse a folder where a file is to be named, with a name that would do.

    Raises:
        Unusable: when it is one.
    """
    if to.is_dir():
        example = to / f"{job.stem or 'pad'}{ending}"
        raise Unusable(say("{folder}: is a folder; name a file in it: {example}", folder=to, example=example))


def already_there(to: Path) -> Unusable:
    """The refusal of a name that another file has."""
    return Unusable(say("{file}: already exists; choose another name, or overwrite it with --force", file=to.name))


def write_file(to: Path, content: bytes, *, over: bool) -> None:
    """Write a file that a person asked for.

    Args:
        to: Where.
        content: All of it.
        over: Take the place of a file that is there.

    Raises:
        Unusable: when a file is there, or the disk refuses.
    """
    from rodcall.book.storage.atomic_write import new_file, replace_file

    try:
        (replace_file if over else new_file)(to, content)
    except FileExistsError:
        raise already_there(to) from None
    except OSError as error:
        raise cannot_write(to, error) from None


def summary_of(job: Path, round_number: int | None) -> Summary:
    """The figures of one round of a job, the last where none is named.

    Raises:
        Unusable: when the job cannot be read or has no such round.
    """
    return opened_and_summary(job, round_number)[1]


def opened_and_summary(job: Path, round_number: int | None) -> tuple[JobFile, Summary]:
    """The same with the file that they come from."""
    from rodcall.figures.summary import summarise

    opened = to_read(job)
    try:
        return opened, summarise(opened.book.page, round_number)
    except ValueError as error:
        raise Unusable(str(error)) from None


def _say_found(opened: JobFile) -> None:
    """What an opening found that the crew should know, on stderr."""
    from rodcall.sheets.digest import damaged_words

    edited = (
        say("entry {number} was edited outside of rodcall", number=opened.broken_seals[0])
        if opened.broken_seals
        else ""
    )
    for found in filter(None, (opened.recovered or damaged_words(opened), edited)):
        click.echo(f"{shown(opened.path.name)}: {shown(found)}", err=True)
