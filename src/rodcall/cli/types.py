"""What a command line is made of: lengths and shares with their units, files of lines, and how a refusal is worded."""

from __future__ import annotations

import sys
from typing import Any

import click

from rodcall.exits import Exit
from rodcall.i18n import say
from rodcall.units import LengthError, parse_length
from rodcall.units.quantities import QuantityError, parse_share


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


LENGTH, PERCENT = LengthType(), PercentType()


def shown(text: str) -> str:
    """Text of any origin in one line that disturbs no terminal."""
    return "".join(char if char.isprintable() else "·" for char in text)
