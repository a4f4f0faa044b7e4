"""`rodcall practice`, on the screen or as lines of text."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

import click

from rodcall.cli.help import SaidCommand, option
from rodcall.cli.types import Unusable
from rodcall.exits import Exit
from rodcall.i18n import phrase, say
from rodcall.units import Unit

if TYPE_CHECKING:
    from rodcall.practice.lesson import Lesson
    from rodcall.practice.score import Score


@click.command(cls=SaidCommand)
@option("--pad", default="5x4", help=phrase("Lines x columns of positions: 5x4."))
@option("--unit", type=click.Choice(("in", "ft", "mm")), default="in", help=phrase("Unit of the heights called."))
@option("--pace", type=click.FloatRange(0, 600), default=3.0, help=phrase("Seconds from a reading to the next call."))
@option("--mistakes", type=click.IntRange(0, 100), default=2, help=phrase("How many calls are wrong."))
@option("--seed", type=click.IntRange(0, 2**63), help=phrase("Repeat a pad by its number; a new pad if not given."))
@option("--script", is_flag=True, help=phrase("No screen: calls on output, readings on input, one a line."))
@option("--json", "as_json", is_flag=True, help=phrase("The score of each pad as a JSON object."))
def practice(pad: str, unit: str, pace: float, mistakes: int, seed: int | None, script: bool, as_json: bool) -> int:
    """Practise on a made-up pad: a helper calls out, sometimes wrong; your score comes at the end."""
    from rodcall.book.storage.opening import JobFileError
    from rodcall.practice.lesson import LessonError, make_lesson
    from rodcall.practice.score import score_words
    from rodcall.tui import at_a_terminal

    along, across = _pad(pad)

    def make(seed: int) -> Lesson:
        now = datetime.now().astimezone().replace(microsecond=0)
        return make_lesson(along, across, Unit(unit), mistakes=mistakes, seed=seed, pace_s=pace, created=now)

    seed = seed if seed is not None else int.from_bytes(os.urandom(3), "big")
    try:
        status, scores = _scripted(make(seed)) if script or not at_a_terminal() else _practised(make, seed)
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


COMMANDS = (practice,)
