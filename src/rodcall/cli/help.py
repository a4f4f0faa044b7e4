"""Help of the commands, in the language chosen when it is shown."""

from __future__ import annotations

import gettext
import os
from collections.abc import Iterator
from contextlib import contextmanager
from copy import copy
from functools import partial

import click

from rodcall import i18n
from rodcall.i18n import counted_phrase, phrase, say, spoken

CLICK = (
    phrase("Usage:"),
    phrase("Options"),
    phrase("Commands"),
    phrase("required"),
    phrase("default: {default}"),
    phrase("Missing command."),
    phrase("Missing argument"),
    phrase("Missing option"),
    phrase("Invalid value: {message}"),
    phrase("Invalid value for {param_hint}: {message}"),
    phrase("No such option {name!r}."),
    phrase("{value!r} is not a valid {number_type}."),
    phrase("Option {name!r} does not take a value."),
    phrase("Show this message and exit."),
    *counted_phrase("Got unexpected extra argument ({args})", "Got unexpected extra arguments ({args})"),
    *counted_phrase("Did you mean {possibility}?", "(Did you mean one of: {possibilities}?)"),
    *counted_phrase("{value!r} is not {choice}.", "{value!r} is not one of {choices}."),
    *counted_phrase("Option {name!r} requires an argument.", "Option {name!r} requires {nargs} arguments."),
)
"""Click's own sentences that our commands can lead to."""


@contextmanager
def click_speaks() -> Iterator[None]:
    """Let click say its own sentences in our language for a while.

    A library that binds no catalogue of its own has its sentences looked up in the program's, by the standard
    `gettext`: the domain and its folder are told to that, and the language to the environment, where it looks.
    """
    if spoken() == "en":
        yield
        return
    from rodcall.i18n.catalogues import DOMAIN, LOCALES

    domain, language = gettext.textdomain(), os.environ.get("LANGUAGE")
    gettext.bindtextdomain(DOMAIN, str(LOCALES))
    gettext.textdomain(DOMAIN)
    os.environ["LANGUAGE"] = spoken()
    try:
        yield
    finally:
        gettext.textdomain(domain)
        if language is None:
            del os.environ["LANGUAGE"]
        else:
            os.environ["LANGUAGE"] = language


class SaidOption(click.Option):
    """An option whose help is translated when it is shown: the language is not known before."""

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

    def get_help_option(self, ctx: click.Context) -> click.Option | None:
        """The option that asks for help; click would keep its words as they were said first."""
        asks = super().get_help_option(ctx)
        if asks is not None:
            asks.help = say("Show this message and exit.")
        return asks

    def get_short_help_str(self, limit: int = 45) -> str:
        """What stands in the list of commands: the first sentence, whole; the formatter breaks it over lines."""
        return say(paragraphs(self)[0])

    def _said(self) -> click.Command:
        said = copy(self)
        said.help = "\n\n".join(map(say, paragraphs(self)))
        return said


def paragraphs(command: click.Command) -> list[str]:
    """What a command is for, a phrase each paragraph, as its function has it."""
    return i18n.paragraphs(command.help or "")


class EnterCommand(SaidCommand):
    """`enter`, whose help ends with the forms of a line and the terms: both tables are loaded only for it."""

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write both tables."""
        from rodcall.book.entry_lines import FORMS
        from rodcall.book.model.terms import TERMS

        with formatter.section(say("Lines, by example")):
            formatter.write_dl([(form, say(does)) for form, does in FORMS])
        with formatter.section(say("Terms that are set")):
            formatter.write_dl([(term.name, term.explained) for term in TERMS.values()])
