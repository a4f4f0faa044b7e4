"""Asks for the design's shape in the entry line, step by step, so that a numeric pad alone can type it."""

from __future__ import annotations

from collections.abc import Callable

from rodcall.book.model.grid import Grid
from rodcall.book.model.shapes import EXAMPLES, POINTS, ShapeKind
from rodcall.i18n import say
from rodcall.tui.widgets.entry_line import EntryLine, Question


def ask_shape(line: EntryLine[None], grid: Grid, take: Callable[[str], None]) -> None:
    """Ask for a plane, a crown, a valley, a ramp or a dish: by number, or all of it typed at once.

    Args:
        line: Where it is asked.
        grid: Of the job.
        take: Gets the shape in words, as a book's line has it; empty for a plane.
    """
    kinds: list[ShapeKind | None] = [None, *ShapeKind]
    named = "  ".join(f"{at} {say('plane') if kind is None else say(str(kind))}" for at, kind in enumerate(kinds, 1))

    def chosen(said: str) -> None:
        said = said.strip()
        if not said:
            return
        if said.isdigit() and 1 <= int(said) <= len(kinds):
            kind = kinds[int(said) - 1]
            take("") if kind is None else _ask_places(line, grid, take, kind, [])
            return
        take("" if said.lower() == "plane" else said)

    asked = say("design: {named}; or all at once: {example}", named=named, example=EXAMPLES[0])
    line.ask(Question(asked, chosen))


def _ask_places(
    line: EntryLine[None], grid: Grid, take: Callable[[str], None], kind: ShapeKind, places: list[str]
) -> None:
    """Each place that a shape is laid over, then its fall."""
    told = " ".join((say(str(kind)), *places))
    if len(places) == POINTS[kind]:

        def measured(measure: str) -> None:
            take(" ".join((kind, *places, measure.strip())))

        measure = say("how far up?  6in") if kind is ShapeKind.RAMP else say("which fall?  2%, 1/50")
        line.ask(Question(f"{told}: {measure}", measured))
        return

    def placed(said: str) -> None:
        _ask_places(line, grid, take, kind, [*places, grid.name(grid.index_said(said.strip()))])

    which = say("at which spot?") if POINTS[kind] == 1 else say("to which spot?") if places else say("from which spot?")
    example = say("such as {name}, or {numbers}", name=grid.name(grid.size - 1), numbers=f"{grid.across}.{grid.along}")
    line.ask(Question(f"{told}: {which} {example}", placed))
