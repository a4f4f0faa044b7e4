"""The shot grid: the plan, the numbers and the entry line, where a crew spends its day."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from datetime import date
from functools import cached_property
from time import monotonic, perf_counter, time
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.geometry import Size
from textual.message import Message

from rodcall.book.fold.round_page import Change
from rodcall.book.storage.autosave import Kept
from rodcall.book.storage.opening import JobFile
from rodcall.i18n import say
from rodcall.tablet.paths import cautions_seen, mark_cautions_seen
from rodcall.tui.shot_grid import panel, view
from rodcall.tui.shot_grid.grid_actions import GridActions
from rodcall.tui.shot_grid.plan import Plan
from rodcall.tui.shot_grid.plan.layout import takes_all
from rodcall.tui.shot_grid.search import Search
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.entry_line import Chosen, Command, Question, Submitted
from rodcall.wording.read_back import ReadBack

if TYPE_CHECKING:
    from rodcall.tui.shot_grid.sound import Hearing

_event_clock = perf_counter if sys.platform == "win32" else monotonic
"""The clock that textual stamps its events with."""

ROOM_FOR_PANEL = 72
"""Columns from which the numbers stand beside the plan."""
LOOK_AT_CLOCK = 20.0
"""Seconds between looks at the clock."""
FIRST_LOOK = 0.2
"""Seconds until the first screen stands for certain, and what judges readings can be loaded."""
AWAY = 600.0
"""Seconds without a key after which the crew is told what it was doing."""
ROOM_FOR_LARGE = 22
"""Lines from which the read-back stands in large letters."""


class ShotScreen(GridActions):
    """Takes readings, writes them into the book and shows at once what follows."""

    CSS = view.CSS
    TABLE: ClassVar[str] = "shots"

    class Saved(Message, bubble=False):
        """The keeper has something to tell."""

        def __init__(self, kept: Kept) -> None:
            super().__init__()
            self.kept = kept

    class Silent(Message):
        """The command that speaks has failed."""

        def __init__(self, why: str) -> None:
            super().__init__()
            self.why = why

    def __init__(self, file: JobFile) -> None:
        super().__init__(file, self._tell)
        self.session.acted.append(self.acted)
        self.search = Search(self.session, self.set_timer, lambda: self.idle_s, self._found)
        self._stands = False
        """The widgets are there."""
        self._alarmed = ""
        """What the disk did not take, when a bell told of it."""
        self._back = bool(file.book.entries)
        """The crew comes back to the job, and is told what it was doing."""
        self._last_key = time()

    def compose(self) -> ComposeResult:
        """The widgets of the grid."""
        yield from self.view.compose()

    def on_mount(self) -> None:
        """Tell what is to be known of the file, and look at the clock now and then."""
        self._stands = True
        self.set_interval(LOOK_AT_CLOCK, self._look_at_clock)
        self.set_timer(FIRST_LOOK, self.search.begin)
        file, line = self.session.file, self.session.line
        hint = line.message
        line.message = file.read_only or file.recovered or next(iter(self.program.wrong_settings), "")
        if file.damaged and not line.message:
            line.message = say("book damaged at entry {entries}; work can go on", entries=file.damaged[0])
        if file.broken_seals and not line.message:
            first = file.broken_seals[0]
            line.message = say("entry {number} was edited outside of rodcall; work can go on", number=first)
        line.message = line.message or hint
        self._careful = not self.session.book.page.round.shots and not cautions_seen(date.today())
        self._grave = file.recovered if file.is_grave else ""
        # Before the first layout, so that the first frame is not an empty one.
        self._fold_for(self.app.size)

    def on_resize(self, event: events.Resize) -> None:
        """Fold what has no room."""
        self._fold_for(event.size)

    def _fold_for(self, size: Size) -> None:
        narrow = size.width < ROOM_FOR_PANEL or takes_all(self.session.summary.grid, size.width, panel.WIDTH)
        self.set_class(narrow, "narrow")
        self.set_class(size.height < ROOM_FOR_LARGE, "low")
        if self._careful or self._grave:
            beside = 0 if narrow else panel.WIDTH
            self.view.show_notice(self._grave, max(size.width - beside - 4, 20))
        self.repaint()

    # -- keys -----------------------------------------------------------------------------------------------

    def press(self, key: Stroke) -> None:
        """Every key of this screen comes through here, one after the other, and is worked off whole."""
        self.session.follow()
        line = self.session.line
        if self._grave:
            if key.name == "enter" and not line.text and line.question is None:
                self._grave, line.message = "", ""
                self.plan.show_notice(())
                self._fold_for(self.app.size)
                return
        elif self._careful:
            self._careful = False
            mark_cautions_seen(date.today())
            self.plan.show_notice(())
        back, self._back, self._last_key = self._back, False, time()
        asked, began = line.question, not line.text
        if back and key.name == "enter" and asked is None and not line.text:
            line.message = ""
        elif key.name == "ctrl+q":
            self.do("leave")
        elif not self._move(key):
            self._work_off(key)
        self._let_hear(key, asked)
        if began and line.text and line.question is None:
            # Once its first character is on the screen.
            self.call_after_refresh(self.session.look_ahead)
        taken = self.session.taken
        if taken is None or taken.now_nm is None or self.calling or self.plan.overview:
            self.repaint()
        else:
            # The number first: what follows from it is worked out while that is on its way to the eye.
            self.plan.write(taken.line.index, taken.now_nm, self._repaint_after)

    def _work_off(self, key: Stroke) -> None:
        """Let the entry line have a key, and act on what came of it."""
        line = self.session.line
        for outcome in line.press(key):
            match outcome:
                case Submitted(text) if not text.strip():
                    line.finish(self.say_next)
                case Submitted() as reading:
                    line.finish(lambda reading=reading: self.session.take(reading))  # type: ignore[misc]
                case Chosen(answer):
                    line.finish(answer)
                case Command(pressed):
                    if (action := self.action_of(pressed)) is None:
                        line.type_in(pressed)
                    else:
                        self.do(action.id)
                        line.forget_refused()
            if line.ahead:
                # What was typed ahead is worked off next, and goes to what this outcome leaves named.
                self.session.follow()

    def _let_hear(self, key: Stroke, asked: Question | None) -> None:
        """A key was worked off: a new question is heard, and why a reading was not taken."""
        line = self.session.line
        if self.hearing is None:
            return
        if line.question is not None and line.question is not asked:
            self.hearing.asked(line.question.prompt)
        elif key.name == "enter" and line.message:
            self.hearing.asked(line.message)

    def on_paste(self, event: events.Paste) -> None:
        """One line goes into the entry line; several are offered as readings for the next positions."""
        event.stop()
        self.session.follow()
        line = self.session.line
        lines = [each.strip() for each in event.text[:100_000].splitlines() if each.strip()]
        if len(lines) > 1 and line.question is None:
            from rodcall.tui.shot_grid.commands.pasting import Pasting

            Pasting(self.session).offer(lines)
        elif lines:
            line.paste(" ".join(lines))
        self.repaint()

    def on_plan_tapped(self, event: Plan.Tapped) -> None:
        """A tap goes to its cell; a question is answered first."""
        if self.session.line.question is None:
            self.session.go_to(event.index)
        else:
            self.session.line.message = say("answer this first, or press Esc")
        self.repaint()

    def on_click(self, event: events.Click) -> None:
        """A tap on a word of the footer does it."""
        if event.widget is self.view.foot:
            self.tap(self.view.buttons.key_at(event.x), event)

    def _move(self, key: Stroke) -> bool:
        """Arrows and their like name another spot while nothing is being typed or asked."""
        session = self.session
        if session.line.question is not None:
            return False
        if self.calling and key.name in ("pageup", "pagedown"):
            return False
        grid = session.book.job.grid
        row, column = divmod(session.cursor, grid.across)
        match key.name:
            case "up":
                row += 1
            case "down":
                row -= 1
            case "right":
                column += 1
            case "left":
                column -= 1
            case "pageup":
                row += self.plan.rows_seen
            case "pagedown":
                row -= self.plan.rows_seen
            case "home":
                row, column = 0, 0
            case "end":
                row, column = grid.along - 1, grid.across - 1
            case _:
                return False
        session.go_to(min(max(row, 0), grid.along - 1) * grid.across + min(max(column, 0), grid.across - 1))
        return True

    # -- interruptions --------------------------------------------------------------------------------------

    def say_where(self) -> None:
        """After an interruption: job, round, last reading, next position, age of the last check; any key goes on."""
        self._back = bool(self.session.book.entries)
        self.repaint()

    def say_how_to_leave(self) -> None:
        """Ctrl+C leaves nothing behind it."""
        self.session.line.message = say("q leaves; {state}", state=self.session.keeper.kept.words)
        self.repaint()

    def _look_at_clock(self) -> None:
        """A tablet that slept sends no signal, and a crew that went to eat none either."""
        if self.idle_s > AWAY and not self._back:
            self.say_where()

    @property
    def idle_s(self) -> float:
        """Seconds since the last key."""
        return time() - self._last_key

    # -- what the session tells -----------------------------------------------------------------------------

    def acted(self, told: ReadBack, changes: Sequence[Change]) -> None:
        """Something was written: it is heard, and all readings are judged anew once nobody keys."""
        self.search.wanted()
        if self.hearing is not None:
            self.hearing.told(told)

    def seen(self) -> None:
        """The open question is on the screen now."""
        self.session.line.seen(_event_clock())

    def _found(self) -> None:
        """All readings were judged while nobody keyed."""
        self.repaint()

    @cached_property
    def hearing(self) -> Hearing | None:
        """Lets the crew hear what happens; None where sounds are off, which costs a key nothing."""
        settings = self.program.settings
        if settings.sound == "off":
            return None
        from rodcall.tui.shot_grid.sound import Hearing

        return Hearing(settings, self.app.bell, self.set_timer, self._fall_silent)

    def _fall_silent(self, why: str) -> None:
        """On the speaker's thread: messages are the one thing that may cross over."""
        self.post_message(self.Silent(why))

    def _tell(self, kept: Kept) -> None:
        """On the keeper's thread: messages are the one thing that may cross over."""
        self.post_message(self.Saved(kept))

    def show_anew(self) -> None:
        """Show the state."""
        self.repaint()

    # -- showing --------------------------------------------------------------------------------------------

    def repaint(self) -> None:
        """Show the state; each part repaints only what differs."""
        session, shown, size = self.session, self.view, self.app.size
        session.follow()
        if not self._stands:
            return
        if session.line.question is None:
            session.pasted = None
        self.set_class(session.pasted is not None, "offering")
        calling = self.calling and session.pasted is None
        self.set_class(calling, "calling")
        self.set_class(self._back, "back")
        top = shown.show_top(session, size.width, time())
        if self._back:
            shown.show_where(session, top, size.width, time())
        if calling:
            shown.show_call_out(session, size, time(), back=self._back)
        else:
            actions = [each for each in self.actions if self._applies(each.id)]
            low, narrow = self.has_class("low"), self.has_class("narrow")
            shown.show_grid(session, actions, size, self.swallowed_words, low=low, narrow=narrow)
        if session.line.question is not None:
            self.call_after_refresh(self.seen)
        if self.helper is not None and (session.line.question is not None or not session.line.text):
            # What is being typed, no phone shows.
            self.helper.changed()

    def _repaint_after(self) -> None:
        """What follows from a reading whose number is painted, unless a key was quicker."""
        if self.session.taken is not None:
            self.repaint()

    def on_shot_screen_silent(self, event: Silent) -> None:
        """Nothing is spoken any more, and the crew is told why."""
        self.session.line.message = event.why
        self.repaint()

    async def on_unmount(self) -> None:
        """Nothing is heard of a job that was left, and no phone shows it."""
        if self.hearing is not None:
            self.hearing.close()
        if self.helper is not None:
            await self.helper.stop()

    def on_screen_suspend(self) -> None:
        """Another page is over the grid: phones are told that no reading is taken now."""
        if self.helper is not None:
            self.helper.changed()

    def on_screen_resume(self) -> None:
        """And when it is up again; its grid may be another by then."""
        self.on_screen_suspend()
        self._fold_for(self.app.size)

    def on_shot_screen_saved(self, event: Saved) -> None:
        """The disk has answered: the top line tells it; trouble is in the entry line too, and a bell tells of it."""
        kept = self.session.keeper.kept
        was, self._alarmed = self._alarmed, kept.words if kept.trouble else ""
        if self._alarmed and not was:
            self.app.bell()
        if was or self._alarmed or self.calling:
            self.repaint()
        elif self._stands and self.session.taken is None:
            self.view.show_top(self.session, self.app.size.width, time())
