"""Requests to the navigator: open another page, and handle its answer.

A screen says what it wants and knows no other screen. That is handed over at once and waits in no queue: a key typed
ahead must find the page that it was meant for.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from rodcall.book.book import Book
from rodcall.book.fold.round_page import Change
from rodcall.book.model.own_reasons import OwnReason
from rodcall.book.storage.opening import JobFile
from rodcall.figures.punch_list import Item, PunchList
from rodcall.figures.summary import Summary
from rodcall.figures.target import Plane
from rodcall.frozen import Frozen
from rodcall.tui.bindings.actions import Action

# Nothing that the first screen does not need is loaded for its sake.
if TYPE_CHECKING:
    from rodcall.figures.outliers.line_mistakes import BadLine
    from rodcall.helper.desk import HelperDesk
    from rodcall.practice.score import Score


class Wanted(Frozen):
    """A request to the navigator."""


class JobChosen(Wanted):
    """A job to be worked on, in place of the page that asks or over it."""

    file: JobFile
    in_place: bool = False
    hints: bool = False
    """The first job of this tablet: what to do next is said, a step at a time."""


class JobLeft(Wanted):
    """The shot grid that asks is to be closed: back to the list where it came from there, else out."""


class NewJobWanted(Wanted):
    """The form for a new job, or for one like another: its answers, and what both share."""

    like: Book | None = None


class PracticeWanted(Wanted):
    """A pad that is not there, with a helper who calls."""


class MenuWanted(Wanted):
    """All commands of a screen, to choose one: its id, or None."""

    actions: tuple[Action, ...]
    then: Callable[[str | None], None]


class HelpWanted(Wanted):
    """The keys of a screen, explained."""

    name: str
    actions: tuple[Action, ...]


class LegendWanted(Wanted):
    "Show what the marks and colours mean."


class SettingsWanted(Wanted):
    """What is set on this tablet."""

    then: Callable[[], None]


class Aim(Frozen):
    """A target that was taken, and why."""

    plane: Plane
    why: OwnReason
    shape: str | None = None
    """The design in words, `plane` for none; None where it stays as it was."""


class TargetWanted(Wanted):
    """Where the target must sit: what was taken, or None."""

    summary: Summary
    then: Callable[[Aim | None], None]
    design: str = ""
    """The shape in force, in words; empty for a plane."""


class Clearing(Frozen):
    """What the crew wants done about an item: the action's id, `go`, `accept` or `correct`."""

    action: str
    item: Item


class PunchListWanted(Wanted):
    """What is open, and what is to be done about it.

    Attributes:
        look: The summary and the punch list as they are now.
        at: The item on which the bar stood when the list was last seen.
    """

    look: Callable[[], tuple[Summary, PunchList]]
    at: Item | None
    then: Callable[[Clearing | None], None]


class LinePreviewWanted(Wanted):
    """A line that does not fit, as read and corrected, to be written or not."""

    summary: Summary
    bad: BadLine
    then: Callable[[bool], None]


class TermsWanted(Wanted):
    """The terms of the job, the bar on one of them; `written` is called for each that is set."""

    book: Book
    written: Callable[[Change], None]
    then: Callable[[], None]
    at: str = ""


class FactsWanted(Wanted):
    """The facts of the job; `written` is called for each that is changed."""

    book: Book
    written: Callable[[Change], None]
    then: Callable[[], None]


class ReadWanted(Wanted):
    """A file to be read into the job; `read_in` gets what was written, and the name of the file."""

    book: Book
    folder: Path
    read_in: Callable[[Sequence[Change], str], None]


class SiteWanted(Wanted):
    """The pads of the open job's site, or of every site of a folder; `written` gets what the open job takes."""

    folder: Path
    file: JobFile | None = None
    written: Callable[[Change], None] | None = None
    then: Callable[[], None] = lambda: None


class DigWanted(Wanted):
    """The order of work."""

    summary: Summary


class LayoutWanted(Wanted):
    """All that is taped off and keyed in, for a position."""

    summary: Summary
    at: int


class ProofWanted(Wanted):
    """The verdict and what stands behind it; from there the sheets of the file are written, and issued."""

    summary: Summary
    file: JobFile
    written: Callable[[Change], None]


class HelperWanted(Wanted):
    """The helper's page as the cab sees it: the code, who is connected, and what phones may do."""

    desk: HelperDesk
    then: Callable[[], None]


class ScoreWanted(Wanted):
    """How practice goes: an action's id, or None to go on."""

    here: Score
    scores: tuple[Score, ...]
    then: Callable[[str | None], None]
