"""The command line: its commands, what an unknown first word may mean, and how every failure becomes one line.

Exit statuses are those of `rodcall.exits`.
"""

from __future__ import annotations

import io
import os
import sys
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import click

from rodcall import __version__
from rodcall.cli import entries, exports, files, jobs, pages, practice, reports, sites
from rodcall.cli.help import SaidCommand, SaidOption, click_speaks, option
from rodcall.cli.opened import JOB
from rodcall.cli.types import Unusable, shown
from rodcall.exits import Exit
from rodcall.i18n import phrase, say, speak


class JobGroup(SaidCommand, click.Group):
    """Commands by name; anything else is a job file to open."""

    command_class = SaidCommand

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Take the first word for a command, else for a file.

        Raises:
            Unusable: when it is neither and looks like a mistyped command.
        """
        word = args[0]
        if word in self.commands or word.startswith("-"):
            return super().resolve_command(ctx, args)
        meant = get_close_matches(word.lower(), [name for name, each in self.commands.items() if not each.hidden], 1)
        if meant and Path(word).name == word and not Path(word).suffix and not os.path.lexists(word):
            raise Unusable(say("no command or file {word}; did you mean {command}?", word=word, command=meant[0]))
        return "open", open_, args


@click.group(cls=JobGroup, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(
    __version__, message="rodcall %(version)s", cls=SaidOption, help=phrase("Show the version and exit.")
)
@click.pass_context
def cli(ctx: click.Context) -> int | None:
    """Key the rod as it is called out, dig to the number, prove the pad.

    Without a command: the list of jobs. With a file, rodcall JOB.json: that job, on its shot grid. Where input or
    output is no terminal there is no screen: the list is printed, one job a line (file, name, place, shots, round,
    tab-separated), or the job's figures.

    Lengths carry a unit: 40ft, 40', 12.5m, 3/8in, 10mm. Exit status: 0 done, or PASS; 1 FAIL; 2 something given
    cannot be used, and nothing was changed; 3 NOT PROVEN. More: rodcall manual.
    """
    return _screens(None) if ctx.invoked_subcommand is None else None


@click.command("open", cls=SaidCommand, hidden=True)
@JOB
@option("--helper", is_flag=True, help=phrase("Open the helper's page too: the call-out on a phone that scans a code."))
@option("--lines", is_flag=True, help=phrase("Plain lines in and out, no screen: for screen readers."))
def open_(job: Path, lines: bool, helper: bool) -> int:
    """Open a job on its shot grid, or with --lines as plain lines."""
    return _by_line(job) if lines else _screens(job, helper=helper)


for _room in (jobs, entries, files, reports, exports, sites, practice, pages):
    for _command in _room.COMMANDS:
        cli.add_command(_command)


def _screens(job: Path | None, *, helper: bool = False) -> int:
    from rodcall.tui import at_a_terminal, show

    if at_a_terminal():
        return show(None if job is None else str(job), helper=helper)
    jobs.print_jobs() if job is None else reports.print_figures(job)
    return Exit.DONE


def _by_line(job: Path) -> int:
    """Work on a job line by line; each line goes out at once."""
    from rodcall.book.storage.opening import JobFileError
    from rodcall.cli.by_line import take_job

    def tell(line: str) -> None:
        click.echo(shown(line))
        sys.stdout.flush()

    try:
        trouble = take_job(job, sys.stdin, tell)
    except JobFileError as error:
        raise Unusable(str(error)) from None
    if trouble:
        click.echo(f"rodcall: {shown(trouble)}", err=True)
        return Exit.UNUSABLE
    return Exit.DONE


def _heed_settings() -> None:
    """Speak the language of the settings; a wrong line in them is reported and changes nothing else."""
    from rodcall.tablet.settings import read

    settings, wrong = read()
    speak(settings.language)
    if wrong:
        # Once more, in the language that the file asks for.
        for line in read()[1]:
            click.echo(f"rodcall: {shown(line)}", err=True)


def _run(arguments: list[str] | None) -> Any:
    """Run a command and return its status; what it refuses is said in one line."""
    try:
        return cli.main(arguments, prog_name="rodcall", standalone_mode=False)
    except click.ClickException as error:
        click.echo(f"rodcall: {shown(' '.join(error.format_message().splitlines()))}", err=True)
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
        from rodcall.book.storage.safe_read import reason

        # Each command words the trouble with its own files; what is left is the output's.
        click.echo(say("rodcall: the output cannot be written ({why})", why=reason(error)), err=True)
        # What is still in the buffer would be tried, and complained about, once more at the very end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = Exit.OUTPUT_LOST
    except Exception as error:
        from rodcall.tablet.crash_report import tell

        status = tell(error)
    sys.exit(status)
