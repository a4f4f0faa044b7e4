"""The list of jobs: newest first; a broken file is listed with its message and stops nothing."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual import events
from textual.message import Message

from rodcall.book.storage.opening import JobFileError, open_job, open_to_write
from rodcall.book.storage.safe_read import reason
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, say
from rodcall.tablet.job_index import Glance, Index
from rodcall.tablet.paths import archive, archive_of, bring_back, jobs_folder, tablet_name
from rodcall.tui.pages.base import ListPage
from rodcall.tui.pages.begin.job_rows import Columns, heads, row
from rodcall.tui.pages.begin.verdicts import Verdicts
from rodcall.tui.pages.begin.welcome import welcome
from rodcall.tui.terminal.keys import Stroke, takes_back
from rodcall.tui.widgets.buttons import of_actions
from rodcall.tui.widgets.lines import beside, path_words
from rodcall.tui.widgets.pad_map import LEAST_ACROSS, LEAST_BESIDE, as_it_is
from rodcall.tui.widgets.wanted import HelpWanted, JobChosen, NewJobWanted, PracticeWanted, SiteWanted
from rodcall.wording import words

BESIDE, LISTED = 160, 112
"""Columns from which the pad under the bar is drawn beside a long list, and those of the list then."""
BELOW, DRAWN = 36, 18
"""Lines from which it is drawn below a list of any length, and how many it has there at the least."""
LEAST_DRAWN = 8
"""Lines that a short list must leave for it on a smaller screen."""
_OF_A_JOB = frozenset({"find", "archive", "like", "site"})
"""What can be done only where a job is listed."""
ROOM_FOR_TITLE = 24
"""Columns of the head before the folder's name."""
PATIENCE = 0.05
"""Seconds of looking into files before the list is shown and keys are heeded again."""


class JobsScreen(ListPage[None]):
    """Opens a job, begins a new one, or writes the samples."""

    TABLE: ClassVar[str] = "jobs"

    class Proved(Message):
        """The verdict of a job that is shown was worked out."""

        def __init__(self, glance: Glance) -> None:
            super().__init__()
            self.glance = glance

    class Looked(Message):
        """The pad under the bar was read, to be drawn."""

        def __init__(self, job: Glance, summary: Summary) -> None:
            super().__init__()
            self.job = job
            self.summary = summary

    def __init__(self) -> None:
        super().__init__()
        self._pad: tuple[tuple[Path, float], Summary | None] | None = None
        """The pad that is drawn: its file, when that was written, and its summary once it is read."""
        self._index: Index | None = None
        self._jobs: list[Glance] = []
        self._message = ""
        self._wanted: str | None = None
        """What is being looked for; None while all are shown."""
        self._finding = False
        self._proving: set[tuple[Path, float]] = set()
        """Files, and when each was written, whose verdict was asked for."""
        self._verdicts = Verdicts()
        self._archived = False
        """The archived jobs are listed."""

    def on_mount(self) -> None:
        """Tell of the first line of the settings that is wrong."""
        self._message = next(iter(self.program.wrong_settings), "")

    def on_screen_resume(self) -> None:
        """Look again: a job may have been begun or worked on."""
        self._verdicts, self._proving = Verdicts(), set()
        self._list_anew()
        self.show_anew()

    def on_screen_suspend(self) -> None:
        """Leave the processor to the job that is opened."""
        self._verdicts.stop()

    def on_unmount(self) -> None:
        """Nothing is worked out for a list that is gone."""
        self._verdicts.stop()

    def _list_anew(self) -> None:
        """List the folder at once, and look into files that have changed as long as nobody waits for it."""
        if self._index is None:
            self._index = Index(self._folder)
        else:
            self._index.refresh()
        self._look()

    def _look(self) -> None:
        if self._index is None or not self.is_current:
            return
        looked = self._index.look(PATIENCE)
        if not looked:
            self.set_timer(PATIENCE, self._look)
        self._choose()
        self.show_anew()
        if looked:
            self._prove_shown()

    def _prove_shown(self) -> None:
        """Work out the verdicts of the jobs that are shown, on a thread, where nobody did since they were written."""
        wanted = [
            job
            for job in self._jobs[self._first : self._first + self._room]
            if job.seen and not job.trouble and not job.verdict
            if (job.path, job.changed) not in self._proving
        ]
        if wanted:
            self._proving.update((job.path, job.changed) for job in wanted)
            verdicts = self._verdicts
            # The quick ones first.
            wanted.sort(key=lambda job: job.positions)
            self.run_worker(lambda: self._prove(wanted, verdicts), thread=True)

    def _prove(self, wanted: list[Glance], verdicts: Verdicts) -> None:
        for job in wanted:
            proved = verdicts.of(job) if self.is_running else None
            if proved is not None:
                self.post_message(self.Proved(proved))

    @property
    def _drawn_below(self) -> int:
        """Lines below the list in which the pad under the bar is drawn; 0 where there is no room, or more beside."""
        width, height = self.size
        left = height - 5 - len(self._jobs)
        if not self._jobs or width < LEAST_ACROSS:
            return 0
        if height >= BELOW and width >= LEAST_BESIDE:
            if width >= BESIDE and left < height // 2:
                return 0
            return max(left, DRAWN)
        return left if left >= LEAST_DRAWN else 0

    @property
    def _draws(self) -> bool:
        """Is there room for a picture of the pad under the bar?"""
        return bool(self._drawn_below) or self.size.width >= BESIDE

    def _read_pad(self) -> None:
        """Read the job under the bar on a thread, where there is room for its picture."""
        job = self._jobs[self.at] if self._jobs else None
        if job is None or not self._draws or not job.seen or job.trouble:
            self._pad = None
        elif self._pad is None or self._pad[0] != (job.path, job.changed):
            self._pad = (job.path, job.changed), None
            self.run_worker(lambda: self._look_into(job), thread=True, group="pad", exclusive=True)

    def _look_into(self, job: Glance) -> None:
        from rodcall.figures.summary import summarise

        with contextlib.suppress(JobFileError):
            self.post_message(self.Looked(job, summarise(open_job(job.path, "glance").book.page)))

    def on_jobs_screen_looked(self, event: Looked) -> None:
        """Draw the pad, where the bar is on it still."""
        key = event.job.path, event.job.changed
        if self._pad is not None and self._pad[0] == key:
            self._pad = key, event.summary
            self.show_anew()

    def _picture(self, width: int, height: int) -> list[Text]:
        """The pad under the bar, as its last round has it."""
        if self._pad is None or self._pad[1] is None:
            return []
        return as_it_is(self._pad[1], (), width, height)

    def on_jobs_screen_proved(self, event: Proved) -> None:
        """Show a verdict."""
        if self._index is not None:
            self._index.learn(event.glance)
            self._choose()
            self.show_anew()

    def _choose(self) -> None:
        """Those that are looked for, the bar kept within them."""
        jobs = self._index.glances if self._index is not None else []
        self._jobs = jobs if self._wanted is None else [job for job in jobs if job.matches(self._wanted)]
        self.step(0)

    def press(self, key: Stroke) -> None:
        """A key of the table, or nothing; while something is looked for, a character of it."""
        if self._finding and self._find(key):
            self.show_anew()
            return
        action = self.action_of(key)
        if action is not None:
            self._message = ""
            self.do(action.id)
            if action.id in ("up", "down"):
                self._prove_shown()
        self.show_anew()

    def tapped(self, event: events.Click) -> None:
        """A tap moves the bar; a tap on the bar opens."""
        at = event.y - 2 + self._first
        if not 0 <= at < len(self._jobs):
            return
        if at == self.at:
            self.do_open()
        self.at = at
        self.show_anew()

    @property
    def count(self) -> int:
        """How many jobs are listed."""
        return len(self._jobs)

    def do_open(self) -> None:
        """Open the job under the bar."""
        if not self._jobs:
            self.do_new()
            return
        try:
            opened = open_to_write(self._jobs[self.at].path, tablet_name())
        except JobFileError as error:
            self._message = str(error)
            return
        self.open(JobChosen(opened))

    def do_find(self) -> None:
        """Look for jobs, as one types."""
        self._wanted, self._finding = self._wanted or "", True

    def _find(self, key: Stroke) -> bool:
        """Type what is looked for; False for a key that moves or opens."""
        if key.name == "escape" or takes_back(key, self._wanted or ""):
            self._wanted, self._finding = None, False
        elif key.name == "backspace":
            self._wanted = (self._wanted or "")[:-1]
        elif key.character:
            self._wanted = ((self._wanted or "") + key.character)[:80]
        else:
            return False
        self._choose()
        return True

    def do_archive(self) -> None:
        """Move the job under the bar out of the list, or back into it."""
        if not self._jobs:
            return
        move = bring_back if self._archived else archive
        try:
            self._message = say("moved to {path}", path=move(self._jobs[self.at].path))
        except JobFileError as error:
            self._message = str(error)
        self._list_anew()

    def do_other_list(self) -> None:
        """List the archived jobs, or the others."""
        self._archived, self._index, self.at = not self._archived, None, 0
        self._list_anew()

    def do_theme(self) -> None:
        """Other colours."""
        self._message = say("colours: {theme}", theme=self.program.wear_next())

    def do_new(self) -> None:
        """Begin a new job."""
        self.open(NewJobWanted())

    def do_like(self) -> None:
        """Begin a new job like the one under the bar."""
        if not self._jobs:
            return
        try:
            self.open(NewJobWanted(open_job(self._jobs[self.at].path, "reader").book))
        except JobFileError as error:
            self._message = str(error)

    def do_site(self) -> None:
        """The pads of each site of this folder."""
        self.open(SiteWanted(self._folder))

    def do_sample(self) -> None:
        """Write the sample jobs."""
        from rodcall.tablet.samples import write_samples

        try:
            new = [path for path, written in write_samples(jobs_folder()) if written]
            self._message = counted(len(new), "{number} sample job written", "{number} sample jobs written")
        except OSError as error:
            self._message = say("the samples cannot be written: {why}", why=reason(error))
        self._list_anew()

    def do_practice(self) -> None:
        """Practise with a helper who calls."""
        self.open(PracticeWanted())

    def do_help(self) -> None:
        """Explain the keys."""
        self.open(HelpWanted(say("list of jobs"), self.actions))

    def do_leave(self) -> None:
        """Leave the program."""
        self.app.exit()

    @property
    def _room(self) -> int:
        return max(self.size.height - 4 - self._drawn_below, 1)

    @property
    def _first(self) -> int:
        return max(self.at - self._room + 1, 0)

    def drawn(self, width: int, height: int) -> list[Text]:
        """The jobs around the bar, what was said, and the keys."""
        seen = list(enumerate(self._jobs))[self._first : self._first + self._room]
        self._read_pad()
        below = self._drawn_below
        across = LISTED if width >= BESIDE and self._jobs and not below else width
        columns = Columns.of(across, [job for _, job in seen])
        rows = [row(job, across, columns, here=at == self.at) for at, job in seen]
        if not rows:
            rows = self._nothing(width)
        left_away = {"up", "down"} if self._jobs else {"up", "down", "open", *_OF_A_JOB}
        shown = [action for action in self.actions if action.id not in left_away]
        body = [heads(columns, across) if self._jobs else Text(""), *self.filled(rows, self._room)]
        if across < width:
            body = beside(body, [Text(""), *self._picture(width - across - 1, self._room - 1)], across + 1)
        elif below:
            body += self.filled(self._picture(width, below), below)
        return [
            self.head(say("rodcall: jobs in {folder}", folder=path_words(self._folder, width - ROOM_FOR_TITLE)), width),
            *body,
            Text(f" {self._said()}"),
            self.foot(width, of_actions(shown), always=2),
        ]

    @property
    def _folder(self) -> Path:
        return archive_of(jobs_folder()) if self._archived else jobs_folder()

    def _nothing(self, width: int) -> list[Text]:
        """Why no job is listed, and what to do."""
        if self._wanted is not None:
            return [Text(""), Text(f" {say('No job with that in its name, place or customer.')}")]
        if self._archived:
            return [Text(""), Text(f" {say('No job is archived. v lists the others.')}")]
        return welcome(width, self._room)

    def _said(self) -> str:
        if self._wanted is None or self._message:
            return words.harmless(self._message)
        return say(
            "find: {wanted}   Esc or * shows all again",
            wanted=words.harmless(self._wanted) + ("_" if self._finding else ""),
        )
