"""What can be done on the shot grid by one key besides reading: pages over it, other looks, and leaving it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, ClassVar

from rodcall.book.model.entries import Readings
from rodcall.book.storage.autosave import Kept
from rodcall.book.storage.opening import JobFile
from rodcall.i18n import say
from rodcall.tui.shot_grid.session import ShotSession
from rodcall.tui.shot_grid.view import ShotView
from rodcall.tui.widgets.key_screen import KeyScreen
from rodcall.tui.widgets.lines import Covered
from rodcall.tui.widgets.wanted import HelperWanted, HelpWanted, JobLeft, MenuWanted

if TYPE_CHECKING:
    from rodcall.helper.desk import HelperDesk


class GridActions(Covered, KeyScreen[None]):
    """A page with a session and what shows it, and the actions of its table that write nothing.

    Args:
        file: The job.
        saved: Told on the keeper's thread what is on the disk.
    """

    LASTING: ClassVar[bool] = True
    """What is written here is wanted tomorrow: a book that its own disk refuses goes elsewhere."""

    def __init__(self, file: JobFile, saved: Callable[[Kept], None]) -> None:
        super().__init__()
        self.session = ShotSession(file, saved, lambda: self.program.settings.ask_about_busts)
        self.view = ShotView(self.session)
        self.plan = self.view.plan
        self.calling = False
        """The same state in very large letters, for two people, instead of the grid."""
        self.helper: HelperDesk | None = None
        """Shows the session to the helper's phones; None until the crew wants it."""

    # -- what can be done -----------------------------------------------------------------------------------

    @cached_property
    def commands(self) -> Mapping[str, Callable[[], None]]:
        """What the letters do, by the action's id; the first screen stands before anybody wants it."""
        from rodcall.tui.shot_grid.commands.table import commands

        return commands(self.session, self.open, shown_anew=self.show_anew, gone=lambda: self.open(JobLeft()))

    def do(self, action: str) -> None:
        """Commands have files of their own; what is only a matter of this screen stands here."""
        command = self.commands.get(action)
        if command is not None:
            command()
        else:
            super().do(action)

    def do_help(self) -> None:
        """Explain the keys."""
        self.open(HelpWanted(say("shot grid"), self.actions))

    def do_menu(self) -> None:
        """All commands; the helper's page says how to get it where it is not installed."""
        from rodcall.tui.shot_grid.session_cab import told_how

        self.open(MenuWanted(told_how(self.actions), self._chosen))

    def do_helper(self) -> None:
        """The helper's page: the code for a phone, who is connected, how to stop."""
        from rodcall.tui.shot_grid.session_cab import SessionCab, missing

        if why := missing():
            self.session.line.message = why
            return
        if self.helper is None:
            from rodcall.helper.desk import HelperDesk

            cab = SessionCab(
                self.session,
                on_top=lambda: self.app.screen is self,
                show=self.show_anew,
                shouts=lambda: self.program.settings.ask_about_busts,
            )
            self.helper = HelperDesk(cab)
        self.open(HelperWanted(self.helper, self.show_anew))

    def do_call_out(self) -> None:
        """Very large letters for the helper, or the grid again."""
        self.calling = not self.calling

    def message_of_copy(self, told: str) -> None:
        """Say what came of copying."""
        self.session.line.message = told

    def do_overview(self) -> None:
        """All of the pad in shades, or the numbers."""
        self.calling = False
        self.plan.toggle_overview()

    def do_theme(self) -> None:
        """Other colours."""
        self.session.line.message = say("colours: {theme}", theme=self.program.wear_next())

    def say_next(self) -> None:
        """Enter on an empty line says what comes next."""
        self.session.say_next()

    def _applies(self, action: str) -> bool:
        """Is this action of use in this job now? The footer shows those that are."""
        return action != "setup" or self.session.book.page.readings is not Readings.HEIGHT

    def put_away(self) -> str:
        """Save what is left; a book that its own disk refuses goes to the tablet's."""
        from rodcall.tablet.paths import rescue

        kept = self.session.keeper.close()
        if not kept.trouble or not self.LASTING:
            return ""
        saved = rescue(self.session.file)
        return f"{kept.words}; {say('the whole book is in {path}', path=saved) if saved else say('nor anywhere else')}"
