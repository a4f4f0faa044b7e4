"""Opens and switches pages; the only file that knows them all.

Screens are loaded when they are wanted: a crew that was interrupted waits for the first one, and for no other.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, Any, cast

from textual.app import App
from textual.screen import Screen

from rodcall.book.fold.round_page import Change
from rodcall.book.storage.opening import JobFile
from rodcall.i18n import say
from rodcall.tui.widgets import wanted
from rodcall.tui.widgets.key_screen import KeyScreen
from rodcall.tui.widgets.wanted import Wanted
from rodcall.units import Unit

if TYPE_CHECKING:
    from rodcall.practice.lesson import Lesson

Export = Callable[[JobFile], list[str]]
"""Writes a job's sheets beside it, and tells what came of it in lines."""
Certify = Callable[[JobFile], Change]
"""Writes into a job's book that its certificate is issued; raises a ValueError of one line where it cannot be."""
MakeGrid = Callable[[JobFile], KeyScreen[None]]


class Navigator:
    """Pushes and switches the screens of a program.

    Args:
        app: The program.
        opened: The job that it opens on; None for the list of jobs.
        export: Writes sheets; None where none can be written from here.
        grid: Makes the shot grid of the job that it opens on.
        certify: Issues certificates; None where none can be issued from here.
    """

    def __init__(
        self,
        app: App[None],
        opened: JobFile | None,
        export: Export | None,
        grid: MakeGrid | None = None,
        certify: Certify | None = None,
    ) -> None:
        self._app = app
        self._opened = opened
        self._export = export
        self._certify = certify
        self._grid = grid or shot_grid
        self._passing = ExitStack()
        """Folders of practice, gone at the end."""
        self.parting = ""
        """What is to be said once the terminal is its own again; empty when there is nothing."""

    def begin(self) -> None:
        """Show the first screen."""
        if self._opened is not None:
            self._push(self._grid(self._opened))
        else:
            from rodcall.tui.pages.begin.jobs import JobsScreen

            self._push(JobsScreen())

    def open(self, asked: Wanted) -> None:
        """Show what a screen wants, at once."""
        _OPENS[type(asked)](self, asked)

    def put_all_away(self) -> None:
        """Save what is left on all screens."""
        for screen in self._screens():
            self.parting = screen.put_away() or self.parting

    def _screens(self) -> Iterator[KeyScreen[Any]]:
        return (screen for screen in self._app.screen_stack if isinstance(screen, KeyScreen))

    def _push(self, screen: Screen[Any], then: Callable[[Any], None] | None = None) -> None:
        self._app.push_screen(screen, then)

    # -- jobs -----------------------------------------------------------------------------------------------

    def _job_chosen(self, asked: wanted.JobChosen) -> None:
        grid = shot_grid(asked.file, hints=asked.hints)
        if asked.in_place:
            self._app.switch_screen(grid)
        else:
            self._push(grid)

    def _job_left(self, _: wanted.JobLeft) -> None:
        screen = cast("KeyScreen[None]", self._app.screen)
        self.parting = screen.put_away() or self.parting
        if self._opened is None:
            screen.dismiss()
        else:
            self._app.exit()

    def _new_job(self, asked: wanted.NewJobWanted) -> None:
        from rodcall.tui.pages.begin.like_form import LikeForm
        from rodcall.tui.pages.begin.new_job import NewJobScreen

        self._push(NewJobScreen(LikeForm(asked.like) if asked.like is not None else None))

    def _practice(self, _: wanted.PracticeWanted) -> None:
        from rodcall.practice.folder import passing_folder
        from rodcall.practice.lesson import make_lesson
        from rodcall.practice.pads import Pads
        from rodcall.tui.shot_grid.practice import PracticeGrid

        def make(seed: int) -> Lesson:
            now = datetime.now().astimezone().replace(microsecond=0)
            return make_lesson(5, 4, Unit.IN, mistakes=2, seed=seed, pace_s=3.0, created=now)

        pads = Pads(make, int.from_bytes(os.urandom(2), "big"), self._passing.enter_context(passing_folder()))
        self._push(PracticeGrid(pads.begin(), pads))

    def close(self) -> None:
        """Nothing is left of what was practised."""
        self._passing.close()

    # -- pages of every screen ------------------------------------------------------------------------------

    def _menu(self, asked: wanted.MenuWanted) -> None:
        from rodcall.tui.pages.menu import MenuScreen

        self._push(MenuScreen(asked.actions), asked.then)

    def _help(self, asked: wanted.HelpWanted) -> None:
        from rodcall.tui.pages.help import HelpScreen

        self._push(HelpScreen(asked.name, asked.actions))

    def _legend(self, _: wanted.LegendWanted) -> None:
        from rodcall.tui.pages.help import LegendScreen

        self._push(LegendScreen())

    def _settings(self, asked: wanted.SettingsWanted) -> None:
        from rodcall.tui.pages.settings import SettingsScreen

        self._push(SettingsScreen(), lambda _: asked.then())

    # -- pages of a job -------------------------------------------------------------------------------------

    def _target(self, asked: wanted.TargetWanted) -> None:
        from rodcall.tui.pages.target_page.screen import TargetScreen

        self._push(TargetScreen(asked.summary, asked.design), asked.then)

    def _punch_list(self, asked: wanted.PunchListWanted) -> None:
        from rodcall.tui.pages.punch_list import PunchScreen

        self._push(PunchScreen(asked.look, asked.at), asked.then)

    def _line_preview(self, asked: wanted.LinePreviewWanted) -> None:
        from rodcall.tui.pages.line_preview import LinePreview

        page = LinePreview(asked.summary, asked.bad)
        self._push(page, lambda _: asked.then(page.taken))

    def _terms(self, asked: wanted.TermsWanted) -> None:
        from rodcall.tui.pages.terms import TermsScreen

        self._push(TermsScreen(asked.book, asked.written, asked.at), lambda _: asked.then())

    def _facts(self, asked: wanted.FactsWanted) -> None:
        from rodcall.tui.pages.facts import FactsScreen

        self._push(FactsScreen(asked.book, asked.written), lambda _: asked.then())

    def _read(self, asked: wanted.ReadWanted) -> None:
        from rodcall.tui.pages.read_file import ReadScreen

        self._push(ReadScreen(asked.book, asked.folder, asked.read_in))

    def _site(self, asked: wanted.SiteWanted) -> None:
        from rodcall.tui.pages.site import SiteScreen

        self._push(SiteScreen(asked.folder, asked.file, asked.written), lambda _: asked.then())

    def _dig(self, asked: wanted.DigWanted) -> None:
        from rodcall.tui.pages.dig_page.screen import DigScreen

        self._push(DigScreen(asked.summary))

    def _layout(self, asked: wanted.LayoutWanted) -> None:
        from rodcall.tui.pages.layout import LayoutScreen

        self._push(LayoutScreen(asked.summary, asked.at))

    def _proof(self, asked: wanted.ProofWanted) -> None:
        from rodcall.tui.pages.proof import ProofScreen

        issue = partial(self._issue, asked.file, asked.written)
        export = partial(self._write_sheets, asked.file)
        self._push(ProofScreen(asked.summary, export, issue, asked.file.path))

    def _write_sheets(self, file: JobFile) -> list[str]:
        return self._export(file) if self._export is not None else [say("no sheets can be written from here")]

    def _issue(self, file: JobFile, written: Callable[[Change], None]) -> str:
        """Issue the certificate; why not, or nothing where it was."""
        if self._certify is None:
            return say("no sheets can be written from here")
        try:
            written(self._certify(file))
        except ValueError as error:
            return str(error)
        return ""

    def _helper(self, asked: wanted.HelperWanted) -> None:
        from rodcall.tui.pages.helper import HelperScreen

        self._push(HelperScreen(asked.desk), lambda _: asked.then())

    def _score(self, asked: wanted.ScoreWanted) -> None:
        from rodcall.tui.pages.score import ScoreScreen

        self._push(ScoreScreen(asked.here, asked.scores), asked.then)


def shot_grid(file: JobFile, *, hints: bool = False) -> KeyScreen[None]:
    """The shot grid of a job."""
    from rodcall.tui.shot_grid.screen import ShotScreen

    grid = ShotScreen(file)
    if hints:
        from rodcall.tui.shot_grid.hints import Hints

        Hints(grid.session)
    return grid


_OPENS: dict[type[Wanted], Callable[[Navigator, Any], None]] = {
    wanted.JobChosen: Navigator._job_chosen,
    wanted.JobLeft: Navigator._job_left,
    wanted.NewJobWanted: Navigator._new_job,
    wanted.PracticeWanted: Navigator._practice,
    wanted.MenuWanted: Navigator._menu,
    wanted.HelpWanted: Navigator._help,
    wanted.LegendWanted: Navigator._legend,
    wanted.SettingsWanted: Navigator._settings,
    wanted.TargetWanted: Navigator._target,
    wanted.PunchListWanted: Navigator._punch_list,
    wanted.LinePreviewWanted: Navigator._line_preview,
    wanted.TermsWanted: Navigator._terms,
    wanted.FactsWanted: Navigator._facts,
    wanted.ReadWanted: Navigator._read,
    wanted.SiteWanted: Navigator._site,
    wanted.DigWanted: Navigator._dig,
    wanted.LayoutWanted: Navigator._layout,
    wanted.ProofWanted: Navigator._proof,
    wanted.HelperWanted: Navigator._helper,
    wanted.ScoreWanted: Navigator._score,
}
