"""How the command line explains itself: help that is said in the language that is spoken when it is asked for."""

from __future__ import annotations

from copy import copy
from functools import partial

import click

from rodcall.language import say


class SaidOption(click.Option):
    """An option whose help is said when it is asked for: the language is not known before."""

    def get_help_record(self, ctx: click.Context) -> tuple[str, str] | None:
        """What stands in the list of options."""
        said = copy(self)
        said.help = say(self.help or "")
        return click.Option.get_help_record(said, ctx)


option = partial(click.option, cls=SaidOption)


class SaidCommand(click.Command):
    """A command of which the same is true."""

    def format_help_text(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write what it is for."""
        click.Command.format_help_text(self._said(), ctx, formatter)

    def get_short_help_str(self, limit: int = 45) -> str:
        """What stands in the list of commands."""
        return click.Command.get_short_help_str(self._said(), limit)

    def _said(self) -> click.Command:
        said = copy(self)
        said.help = "\n\n".join(map(say, paragraphs(self)))
        return said


def paragraphs(command: click.Command) -> list[str]:
    """What a command is for, a phrase each paragraph, as its function has it."""
    return [" ".join(each.split()) for each in (command.help or "").split("\n\n")]


class EnterCommand(SaidCommand):
    """`enter`, whose help ends with the forms of a line and the terms: both tables are loaded only for it."""

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write both tables."""
        from rodcall.book.dictation import FORMS
        from rodcall.book.terms import TERMS

        with formatter.section(say("Lines, by example")):
            formatter.write_dl([(form, say(does)) for form, does in FORMS])
        with formatter.section(say("Terms that are set")):
            formatter.write_dl([(term.name, term.explained) for term in TERMS.values()])
