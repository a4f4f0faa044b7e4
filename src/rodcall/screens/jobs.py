"""The list of jobs: newest first; a broken file is listed with its message and stops nothing."""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

from rich.style import Style
from rich.text import Text
from textual import events
from textual.app import ComposeResult

from rodcall import words
from rodcall.book.file import JobFileError, open_to_write
from rodcall.book.places import Glance, glances, jobs_folder, tablet_name
from rodcall.screens.actions import JOB_LIST, by_key
from rodcall.screens.colours import DAY
from rodcall.screens.key_screen import KeyScreen
from rodcall.screens.keys import Stroke
from rodcall.screens.lines import Lines, fitted

_HEAD = Style(color=DAY.ground, bgcolor=DAY.accent, bold=True)
_BAR = Style(color=DAY.text, bgcolor=DAY.ground, reverse=True, bold=True)
_FAINT = Style(color=DAY.faint, bgcolor=DAY.ground)


class JobsScreen(KeyScreen[None]):
    """Opens a job, begins a new one, or writes the samples."""

    CSS = "JobsScreen { background: #101214; } JobsScreen #page { width: 100%; height: 100%; }"
    ACTIONS: ClassVar = by_key(JOB_LIST)

    def __init__(self) -> None:
        super().__init__()
        self._jobs: list[Glance] = []
        self._bar = 0
        self._message = ""

    def compose(self) -> ComposeResult:
        """One widget for all."""
        yield Lines(id="page")

    def on_screen_resume(self) -> None:
        """Look again: a job may have been begun or worked on."""
        self._jobs = list(glances())
        self._bar = min(self._bar, max(len(self._jobs) - 1, 0))
        self._show()

    def on_resize(self, event: events.Resize) -> None:
        """Show what fits."""
        self._show()

    def press(self, key: Stroke) -> None:
        """A key of the table, or nothing."""
        action = self.ACTIONS.get(key.character or key.name)
        if action is not None:
            self._message = ""
            getattr(self, f"do_{action.id}")()
        self._show()

    def on_click(self, event: events.Click) -> None:
        """A tap moves the bar; a tap on the bar opens."""
        row = event.y - 2 + self._first
        if not 0 <= row < len(self._jobs):
            return
        if row == self._bar:
            self.do_open()
        self._bar = row
        self._show()

    def do_up(self) -> None:
        """Move the bar up."""
        self._bar = max(self._bar - 1, 0)

    def do_down(self) -> None:
        """Move the bar down."""
        self._bar = min(self._bar + 1, max(len(self._jobs) - 1, 0))

    def do_open(self) -> None:
        """Open the job under the bar."""
        from rodcall.screens.shots import ShotScreen

        if not self._jobs:
            self.do_new()
            return
        try:
            opened = open_to_write(self._jobs[self._bar].path, tablet_name())
        except JobFileError as error:
            self._message = str(error)
            return
        self.app.push_screen(ShotScreen(opened))

    def do_new(self) -> None:
        """Begin a new job."""
        from rodcall.screens.new_job import NewJobScreen

        self.app.push_screen(NewJobScreen())

    def do_sample(self) -> None:
        """Write the sample jobs."""
        from rodcall.book.samples import write_samples

        try:
            new = [path for path, written in write_samples(jobs_folder()) if written]
            self._message = f"{len(new)} sample jobs written"
        except OSError as error:
            self._message = f"the samples cannot be written: {(error.strerror or str(error)).lower()}"
        self._jobs = list(glances())

    def do_help(self) -> None:
        """Explain the keys."""
        from rodcall.screens.help import HelpScreen

        self.app.push_screen(HelpScreen("list of jobs", JOB_LIST))

    def do_leave(self) -> None:
        """Leave the program."""
        self.app.exit()

    @property
    def _room(self) -> int:
        return max(self.size.height - 4, 1)

    @property
    def _first(self) -> int:
        return max(self._bar - self._room + 1, 0)

    def _show(self) -> None:
        if not self.is_mounted:
            return
        width = self.size.width
        rows = [
            Text(fitted(_row(job, width), width), _BAR if at == self._bar else "") for at, job in enumerate(self._jobs)
        ]
        if not rows:
            rows = [
                Text(""),
                Text(" No job yet. Enter or n begins one; s writes three sample jobs to look at."),
            ]
        keys = "  ".join(
            f"{'Enter' if action.key == 'enter' else action.key} {action.words}"
            for action in JOB_LIST
            if len(action.key) == 1 or action.key == "enter"
        )
        head = Text(fitted(f" rodcall: jobs in {words.harmless(str(jobs_folder()))}", width), _HEAD)
        self.query_one(Lines).show(
            [
                head,
                Text(_columns(width, "job", "place", "shots", "state"), _FAINT),
                *rows[self._first : self._first + self._room],
                *[Text("")] * (self._room - len(rows)),
                Text(f" {words.harmless(self._message)}"),
                Text(f" {keys}", _FAINT),
            ]
        )


def _row(job: Glance, width: int) -> str:
    if job.trouble:
        return f" {words.harmless(job.trouble)}"
    day = datetime.fromtimestamp(job.changed).strftime("%d %b %H:%M")
    shots = f"{job.shot} of {job.positions}"
    return _columns(width, words.harmless(job.name), words.harmless(job.place), shots, f"{job.round}, {day}")


def _columns(width: int, name: str, place: str, shots: str, state: str) -> str:
    """One line of the list; where there is little room the place goes first, then the end of the name."""
    room = min(max(width - 37, 4), 64)
    if room >= 40:
        name, place = fitted(name, room - 17), fitted(place, 16)
        return f" {name} {place} {shots:>11}  {state}"
    return f" {fitted(name, room)} {shots:>11}  {state}"
