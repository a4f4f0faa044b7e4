"""The shot grid: the plan, the numbers and the entry line, where a crew spends its day."""

from __future__ import annotations

import sys
import textwrap
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import cached_property
from time import monotonic, perf_counter, time
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.geometry import Size
from textual.message import Message

from rodcall.book.fold.round_page import Change
from rodcall.book.model.entries import Readings
from rodcall.book.storage.autosave import Kept
from rodcall.book.storage.opening import JobFile
from rodcall.i18n import phrase, say, spoken
from rodcall.tablet.paths import cautions_seen, mark_cautions_seen
from rodcall.tui.shot_grid import footer, panel, status_lines
from rodcall.tui.shot_grid.plan import Plan
from rodcall.tui.shot_grid.search import Search
from rodcall.tui.shot_grid.session import ShotSession
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.buttons import Buttons
from rodcall.tui.widgets.entry_line import Chosen, Command, Question, Submitted
from rodcall.tui.widgets.key_screen import KeyScreen
from rodcall.tui.widgets.lines import Lines
from rodcall.tui.widgets.styles import ACCENT, FAINT, HEAD, STRONG
from rodcall.tui.widgets.wanted import HelperWanted, HelpWanted, JobLeft, MenuWanted
from rodcall.wording import words
from rodcall.wording.cautions import CAUTIONS
from rodcall.wording.read_back import ReadBack

if TYPE_CHECKING:
    from rodcall.helper.desk import HelperDesk
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
ROWS_OF_ENTRY = 2
"""Lines that the entry line takes."""
ROOM_FOR_LARGE = 22
"""Lines from which the read-back stands in large letters."""


_GET_HELPER = phrase("Not installed here: pip install 'rodcall[helper]' brings the helper's page.")


class ShotScreen(KeyScreen[None]):
    """Takes readings, writes them into the book and shows at once what follows."""

    CSS = """
    ShotScreen { layout: vertical; background: #101214; }
    #top, #fold, #foot { height: 1; }
    #middle { height: 1fr; }
    #plan { width: 1fr; height: 100%; }
    #panel { width: 28; height: 100%; }
    #read_back { height: 3; }
    #entry { height: 2; }
    ShotScreen.low #read_back { height: 1; }
    ShotScreen.narrow #panel { display: none; }
    ShotScreen.offering #panel { display: block; }
    #fold { display: none; }
    ShotScreen.narrow #fold { display: block; }
    #call_out { display: none; height: 1fr; }
    #where { display: none; }
    ShotScreen.back #where { display: block; }
    ShotScreen.calling #top, ShotScreen.calling #middle, ShotScreen.calling #fold { display: none; }
    ShotScreen.calling #read_back, ShotScreen.calling #foot { display: none; }
    ShotScreen.calling.back #top, ShotScreen.calling #call_out { display: block; }
    """
    TABLE: ClassVar[str] = "shots"
    LASTING: ClassVar[bool] = True
    """What is written here is wanted tomorrow: a book that its own disk refuses goes elsewhere."""

    class Saved(Message):
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
        super().__init__()
        self.session = ShotSession(file, self._tell, lambda: self.program.settings.ask_about_busts)
        self.session.acted.append(self.acted)
        self.search = Search(self.session, self.set_timer, lambda: self.idle_s, self._found)
        self._numbers_of: tuple[object, ...] | None = None
        """What the numbers that are shown were made of."""
        self._buttons = Buttons()
        self.calling = False
        """The same state in very large letters, for two people, instead of the grid."""
        self._back = bool(file.book.entries)
        """The crew comes back to the job, and is told what it was doing."""
        self._last_key = time()
        self.helper: HelperDesk | None = None
        """Shows the session to the helper's phones; None until the crew wants it."""

    def compose(self) -> ComposeResult:
        """Top line, plan and numbers, read-back, entry line, footer."""
        yield Lines(id="top", style=HEAD)
        yield Lines(id="where", style=HEAD)
        with Horizontal(id="middle"):
            yield Plan(self.session.summary, self.session.cursor, self.session.known)
            yield Lines(id="panel")
        yield Lines(id="fold")
        yield Lines(id="read_back", style=STRONG)
        yield Lines(id="call_out", style=STRONG)
        yield Lines(id="entry", style=ACCENT)
        yield Lines(id="foot", style=FAINT)

    def on_mount(self) -> None:
        """Keep hold of the widgets, so that a key needs no query."""
        self.plan = self.query_one(Plan)
        self._top, self._where, self._panel, self._fold, self._large, self._call_out, self._entry, self._foot = (
            self.query_one(f"#{name}", Lines)
            for name in ("top", "where", "panel", "fold", "read_back", "call_out", "entry", "foot")
        )
        self.set_interval(LOOK_AT_CLOCK, self._look_at_clock)
        self.set_timer(FIRST_LOOK, self.search.begin)
        file, line = self.session.file, self.session.line
        line.message = file.read_only or file.recovered or next(iter(self.program.wrong_settings), "")
        if file.broken_seals and not line.message:
            first = file.broken_seals[0]
            line.message = say("entry {number} was edited outside of rodcall; work can go on", number=first)

        self._careful = not self.session.book.page.round.shots and not cautions_seen(date.today())
        self._grave = file.recovered if file.is_grave else ""
        # Before the first layout, so that the first frame is not an empty one.
        self._fold_for(self.app.size)

    def on_resize(self, event: events.Resize) -> None:
        """Fold what has no room."""
        self._fold_for(event.size)

    def _fold_for(self, size: Size) -> None:
        self.set_class(size.width < ROOM_FOR_PANEL, "narrow")
        self.set_class(size.height < ROOM_FOR_LARGE, "low")
        if self._careful or self._grave:
            self._show_notice(max(size.width - (0 if size.width < ROOM_FOR_PANEL else panel.WIDTH) - 4, 20))
        self.repaint()

    def _show_notice(self, room: int) -> None:
        """What must be read before the plan is looked at: what was damaged, whole, until Enter; else the cautions."""
        if self._grave:
            told, goes_on = textwrap.wrap(self._grave, room), say("(Enter on an empty line goes on)")
        else:
            told = [line for caution in CAUTIONS for line in textwrap.wrap(say(caution), room, initial_indent="- ")]
            goes_on = say("(any key goes on)")
        self.plan.show_notice(["", *told, goes_on])

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
        asked = line.question
        if back and key.name == "enter" and asked is None and not line.text:
            line.message = ""
        elif key.name == "ctrl+q":
            self.do("leave")
        elif not self._move(key):
            self._work_off(key)
        self._let_hear(key, asked)
        taken = self.session.taken
        if taken is None or taken.now_nm is None or self.calling or self.plan.overview:
            self.repaint()
        else:
            # The number first: what follows from it is worked out while that is on its way to the eye.
            self.plan.write(taken.line.index, taken.now_nm)
            self.call_after_refresh(self.repaint)

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
        if event.widget is self._foot:
            self.tap(self._buttons.key_at(event.x), event)

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
        row, column = min(max(row, 0), grid.along - 1), min(max(column, 0), grid.across - 1)
        session.go_to(row * grid.across + column)
        return True

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
        from rodcall.helper.network import is_installed

        actions = self.actions
        if not is_installed():
            actions = tuple(replace(each, help=_GET_HELPER) if each.id == "helper" else each for each in actions)
        self.open(MenuWanted(actions, self._chosen))

    def do_helper(self) -> None:
        """The helper's page: the code for a phone, who is connected, how to stop."""
        from rodcall.helper.network import is_installed

        if not is_installed():
            self.session.line.message = say(_GET_HELPER)
            return
        if self.helper is None:
            from rodcall.helper.desk import HelperDesk
            from rodcall.tui.shot_grid.session_cab import SessionCab

            cab = SessionCab(
                self.session,
                on_top=lambda: self.app.screen is self,
                show=self.repaint,
                shouts=lambda: self.program.settings.ask_about_busts,
            )
            self.helper = HelperDesk(cab)
        self.open(HelperWanted(self.helper, self.show_anew))

    def do_call_out(self) -> None:
        """Very large letters for the helper, or the grid again."""
        self.calling = not self.calling

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

    def show_anew(self) -> None:
        """Show the state."""
        self.repaint()

    # -- interruptions --------------------------------------------------------------------------------------

    def say_where(self) -> None:
        """After an interruption: job, round, last reading, next position, age of the last check; any key goes on."""
        self._back = bool(self.session.book.entries)
        self.repaint()

    def say_how_to_leave(self) -> None:
        """Ctrl+C leaves nothing behind it."""
        self.session.line.message = say("q leaves; {state}", state=self.session.keeper.kept.words)
        self.repaint()

    def put_away(self) -> str:
        """Save what is left; a book that its own disk refuses goes to the tablet's."""
        from rodcall.tablet.paths import rescue

        kept = self.session.keeper.close()
        if not kept.trouble or not self.LASTING:
            return ""
        saved = rescue(self.session.file)
        told = say("the whole book is in {path}", path=saved) if saved else say("nor anywhere else")
        return f"{kept.words}; {told}"

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

    def _found(self) -> None:
        """All readings were judged while nobody keyed."""
        self.plan.refresh()
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

    # -- showing --------------------------------------------------------------------------------------------

    def repaint(self) -> None:
        """Show the state; each part repaints only what differs."""
        self.session.follow()
        if not hasattr(self, "_foot"):
            return
        if self.session.line.question is None:
            self.session.pasted = None
        self.set_class(self.session.pasted is not None, "offering")
        calling = self.calling and self.session.pasted is None
        self.set_class(calling, "calling")
        self._repaint_where(self._repaint_top())
        if calling:
            self._repaint_call_out()
        else:
            self._repaint_grid()
        if self.session.line.question is not None:
            self.call_after_refresh(self._seen)
        if self.helper is not None:
            self.helper.changed()

    def _repaint_top(self) -> str:
        session, width = self.session, self.app.size.width
        way, kept = session.book.page.readings, session.keeper.kept
        top = status_lines.top_line(session.summary, session.listed, way, kept, time(), width)
        self._top.show([top])
        return top

    def _repaint_where(self, top: str) -> None:
        self.set_class(self._back, "back")
        if self._back:
            session, width = self.session, self.app.size.width
            last = session.book.page.round.last
            lines = status_lines.where_lines(session.summary, last, session.queue[0], top, time(), width)
            self._where.styles.height = len(lines)
            self._where.show(lines)

    def _repaint_grid(self) -> None:
        session, width = self.session, self.app.size.width
        named = session.prompted
        self.plan.show(session.summary, named.spot if named is not None and named.spot is not None else -1)
        self._repaint_numbers()
        if self.has_class("low"):
            self._large.show([f" {words.harmless(session.read_back.text)}"])
        else:
            self._large.show(status_lines.read_back_lines(session.read_back, width))
        prompt = status_lines.prompt(session.summary, named, session.queue[0])
        self._entry.show(status_lines.entry_lines(session.line, prompt, width))
        self._foot.show([self._footer(width)])

    def _repaint_numbers(self) -> None:
        """The numbers beside the plan, or under it; most keys change none of them."""
        session = self.session
        if session.pasted is not None:
            self._panel.show(session.pasted.shown(self.app.size.height))
            self._numbers_of = None
            return
        narrow = self.has_class("narrow")
        room = self._panel.size.height or None
        shown_of = session.summary, session.listed, narrow, room, spoken()
        if shown_of == self._numbers_of:
            return
        self._numbers_of = shown_of
        if narrow:
            self._fold.show([panel.folded(session.summary, session.listed)])
        else:
            self._panel.show(panel.panel(session.summary, session.listed, room))

    def _repaint_call_out(self) -> None:
        from rodcall.tui.shot_grid.call_out import call_out_lines
        from rodcall.wording.call_out import call_out

        session = self.session
        width, height = self.app.size
        above = 1 + len(self._where.shown.splitlines()) if self._back else 0
        kept = session.keeper.kept
        told = call_out(session.summary, session.named_spot, session.read_back)
        self._call_out.show(call_out_lines(told, width, height - ROWS_OF_ENTRY - above))
        prompt = status_lines.prompt(session.summary, session.prompted, session.queue[0], short=True)
        trouble = kept.words if kept.trouble or kept.read_only else ""
        self._entry.show(status_lines.entry_lines(session.line, prompt, width, trouble))

    def _footer(self, width: int) -> str:
        """What matters now, and the keys that were swallowed."""
        session = self.session
        actions = [each for each in self.actions if self._applies(each.id)]
        all_shot = session.book.page.next_after(None) is None
        buttons = footer.offered(session.line, actions, all_shot=all_shot, listed=session.listed)
        return self._buttons.line(buttons, width, always=footer.always(session.line), told=self.swallowed_words)

    def _seen(self) -> None:
        self.session.line.seen(_event_clock())

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
        """The grid is up again."""
        if self.helper is not None:
            self.helper.changed()

    def on_shot_screen_saved(self, event: Saved) -> None:
        """The disk has answered: the top line tells it, and trouble with it shows everywhere."""
        if self.session.taken is not None:
            return
        if self.session.keeper.kept.trouble or self.calling:
            self.repaint()
        elif hasattr(self, "_foot"):
            self._repaint_top()
