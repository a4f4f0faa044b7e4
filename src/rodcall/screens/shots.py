"""The shot grid: the plan, the numbers and the entry line, where a crew spends its day."""

from __future__ import annotations

import sys
import textwrap
from collections.abc import Sequence
from datetime import date
from functools import cached_property
from time import monotonic, perf_counter, time
from typing import TYPE_CHECKING, ClassVar

from rich.style import Style
from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.geometry import Size
from textual.message import Message

from rodcall import words
from rodcall.book.entries import LeaveOut, Readings, Shot
from rodcall.book.file import JobFile
from rodcall.book.keeper import Keeper, Kept
from rodcall.book.places import cautions_seen, mark_cautions_seen
from rodcall.book.round_page import UNSHOT, Change
from rodcall.cautions import CAUTIONS
from rodcall.figures.summary import Summary, summarise
from rodcall.language import say
from rodcall.lengths import Unsigned
from rodcall.screens import footer, panel, shot_lines
from rodcall.screens.buttons import Buttons
from rodcall.screens.colours import DAY
from rodcall.screens.doubted import Doubted, Search
from rodcall.screens.entry_line import EntryLine, Question
from rodcall.screens.key_screen import KeyScreen
from rodcall.screens.keys import Stroke
from rodcall.screens.lines import Lines
from rodcall.screens.plan import Plan

if TYPE_CHECKING:
    from rodcall.screens.commands import Commands
    from rodcall.screens.doubting import Doubting
    from rodcall.screens.hearing import Hearing
    from rodcall.screens.pasted import Pasted

_BAR = Style(color=DAY.ground, bgcolor=DAY.accent, bold=True)
_FAINT = Style(color=DAY.faint, bgcolor=DAY.ground)

_event_clock = perf_counter if sys.platform == "win32" else monotonic
"""The clock that textual stamps its events with."""

ROOM_FOR_PANEL = 72
"""Columns from which the numbers stand beside the plan."""
FEWEST_SHOTS = 5
"""Below this many other shots nothing is judged, as in `figures.busts`, which is not imported before."""
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
        self.file = file
        self.book = file.book
        self.cursor = self.book.page.standing
        self.summary: Summary = summarise(self.book.page)
        self.line = EntryLine(self._take_reading, self._command)
        self.keeper = Keeper(file, self._tell)
        self.doubted = Doubted()
        self.search = Search(self)
        self.pasted: Pasted | None = None
        self._buttons = Buttons()
        self.calling = False
        """The same state in very large letters, for two people, instead of the grid."""
        self._back = bool(self.book.entries)
        """The crew comes back to the job, and is told what it was doing."""
        self._last_key = time()
        self.read_back = self._greeting()

    def compose(self) -> ComposeResult:
        """Top line, plan and numbers, read-back, entry line, footer."""
        yield Lines(id="top", style=_BAR)
        yield Lines(id="where", style=_BAR)
        with Horizontal(id="middle"):
            yield Plan(self.summary, self.cursor, self.doubted)
            yield Lines(id="panel")
        yield Lines(id="fold")
        yield Lines(id="read_back", style=shot_lines.LARGE)
        yield Lines(id="call_out", style=shot_lines.LARGE)
        yield Lines(id="entry", style=shot_lines.PROMPT)
        yield Lines(id="foot", style=_FAINT)

    def on_mount(self) -> None:
        """Keep hold of the widgets, so that a key needs no query."""
        self.plan = self.query_one(Plan)
        self._top, self._where, self._panel, self._fold, self._large, self._call_out, self._entry, self._foot = (
            self.query_one(f"#{name}", Lines)
            for name in ("top", "where", "panel", "fold", "read_back", "call_out", "entry", "foot")
        )
        self.set_interval(LOOK_AT_CLOCK, self._look_at_clock)
        if self._doubts_wanted:
            self.set_timer(FIRST_LOOK, self.search.begin)
        self.line.message = self.file.read_only or self.file.recovered or next(iter(self.program.wrong_settings), "")
        if self.file.broken_seals and not self.line.message:
            first = self.file.broken_seals[0]
            self.line.message = say("entry {number} was edited outside of rodcall; work can go on", number=first)

        self._careful = not self.book.page.round.shots and not cautions_seen(date.today())
        self._grave = self.file.recovered if self.file.is_grave else ""
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
        if self._grave:
            if key.name == "enter" and not self.line.text and self.line.question is None:
                self._grave, self.line.message = "", ""
                self.plan.show_notice(())
                self._fold_for(self.app.size)
                return
        elif self._careful:
            self._careful = False
            mark_cautions_seen(date.today())
            self.plan.show_notice(())
        back, self._back, self._last_key = self._back, False, time()
        asked = self.line.question
        goes_on = back and key.name == "enter" and asked is None and not self.line.text
        if goes_on or self._move(key):
            self.line.message = ""
        elif not self._leave_any_time(key):
            self.line.press(key)
        self._ask_doubts()
        if self.hearing is not None:
            self.hearing.pressed(key, asked)
        self.repaint()

    def on_paste(self, event: events.Paste) -> None:
        """One line goes into the entry line; several are offered as readings for the next positions."""
        event.stop()
        lines = [line.strip() for line in event.text[:100_000].splitlines() if line.strip()]
        if len(lines) > 1 and self.line.question is None:
            self.commands.offer(lines)
        elif lines:
            self.line.paste(" ".join(lines))
        self.repaint()

    def on_plan_tapped(self, event: Plan.Tapped) -> None:
        """A tap goes to its cell."""
        self.cursor = event.index
        self.repaint()

    def on_click(self, event: events.Click) -> None:
        """A tap on a word of the footer does it."""
        if event.widget is self._foot:
            self.tap(self._buttons.key_at(event.x), event)

    def _leave_any_time(self, key: Stroke) -> bool:
        if key.name != "ctrl+q":
            return False
        self.commands.do_leave()
        return True

    def _move(self, key: Stroke) -> bool:
        """Arrows and their like move the cursor while no text is being answered."""
        if self.line.question is not None:
            return False
        grid = self.book.job.grid
        row, column = divmod(self.cursor, grid.across)
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
        self.cursor = row * grid.across + column
        return True

    def say_where(self) -> None:
        """After an interruption: job, round, last reading, next position, age of the last check; any key goes on."""
        self._back = bool(self.book.entries)
        self.repaint()

    def _look_at_clock(self) -> None:
        """A tablet that slept sends no signal, and a crew that went to eat none either."""
        if self.idle_s > AWAY and not self._back:
            self.say_where()

    @cached_property
    def commands(self) -> Commands:
        """What the letters do; the first screen stands before anybody wants it."""
        from rodcall.screens.commands import Commands

        return Commands(self)

    @property
    def _doubts_wanted(self) -> bool:
        return bool(self.app.settings.ask_about_busts)  # type: ignore[attr-defined]

    @property
    def _doubts_begin(self) -> bool:
        """Is there enough to hold a reading against, and is that wanted?"""
        return self._doubts_wanted and self.book.page.round.shots > FEWEST_SHOTS

    @property
    def idle_s(self) -> float:
        """Seconds since the last key."""
        return time() - self._last_key

    @cached_property
    def doubts(self) -> Doubting:
        """Asks about readings that do not fit; imported with the first that can be judged."""
        from rodcall.screens.doubting import Doubting

        return Doubting(self)

    def doubt(self, index: int) -> None:
        """Mark a reading on the plan until it is answered."""
        self.doubted.add(self.summary, index)
        self.plan.refresh_cell(index)

    @cached_property
    def hearing(self) -> Hearing | None:
        """Lets the crew hear what happens; None where sounds are off, which costs a key nothing."""
        settings = self.app.settings  # type: ignore[attr-defined]
        if settings.sound == "off":
            return None
        from rodcall.screens.hearing import Hearing

        return Hearing(self, settings)

    def _applies(self, action: str) -> bool:
        """Is this action of use in this job now? The footer shows those that are."""
        return action != "setup" or self.book.page.readings is not Readings.HEIGHT

    def _command(self, key: Stroke) -> bool:
        action = self.action_of(key)
        if action is None:
            return False
        self.do(action.id)
        return True

    def do(self, action: str) -> None:
        """Commands have a file of their own; what all screens can do stands in their own class."""
        doer = self.commands if hasattr(self.commands, f"do_{action}") else self
        getattr(doer, f"do_{action}")()

    def show_anew(self) -> None:
        """Show the state."""
        self.repaint()

    # -- writing --------------------------------------------------------------------------------------------

    def _take_reading(self, said: str) -> None:
        """Enter: write what was said at the cursor, or step on where nothing was said."""
        if not said.strip():
            self.step_on()
            return
        position = self.book.job.grid.name(self.cursor)
        try:
            change = self.book.shoot(position, said)
        except Unsigned:
            self._ask_sign(position, said.strip())
            return
        self._shot(change)

    def _shot(self, change: Change) -> None:
        """A reading was written; what does not fit is asked about at once."""
        self.written(change)
        self.line.taken()
        self._ask_doubts()

    def _ask_doubts(self) -> None:
        if "doubts" in self.__dict__ and self.line.question is None:
            self.doubts.ask()

    def _ask_sign(self, position: str, said: str) -> None:
        """A height without a sign is never guessed."""

        def answer(letter: str) -> None:
            self._shot(self.book.shoot(position, said + letter))

        high, low = (lambda: answer("h")), (lambda: answer("l"))
        self.line.ask(
            Question(
                f"{position} {said}: {say('HIGH or LOW?  + or h, - or l')}",
                choices={"h": high, "+": high, "l": low, "-": low},
            )
        )

    def written(self, change: Change) -> None:
        """Something was written: keep it, say it back, and go where the crew goes next."""
        self.keeper.keep()
        self.refigure()
        line = change.line
        self.say(shot_lines.what_changed(self.summary, change))
        if self.hearing is not None:
            self.hearing.written(change)
        if not isinstance(line.entry, Shot | LeaveOut):
            return
        if isinstance(line.entry, Shot) and not change.undone and self._doubts_begin:
            self.doubts.shot(change)
        if change.undone:
            self.cursor = line.index
        else:
            self.step_on(line.index)

    def written_together(self, changes: Sequence[Change]) -> None:
        """One answer wrote, struck or brought back one entry, or a whole line: then the crew goes where it is open."""
        if len(changes) == 1:
            self.written(changes[0])
            return
        self.keeper.keep()
        self.refigure()
        self.say(shot_lines.what_became_of_line(self.summary, changes))
        if self.hearing is not None:
            self.hearing.written(changes[-1])
        state = self.book.page.round.state
        still_open = next((each.line.index for each in changes if state[each.line.index] == UNSHOT), None)
        if still_open is not None:
            self.cursor = still_open
        else:
            self.step_on(changes[-1].line.index)

    def refigure(self) -> None:
        """Sum the page up anew."""
        self.summary = summarise(self.book.page)

    def step_on(self, after: int | None = None) -> None:
        """To the next position in walking order that is not shot; stay where all are."""
        following = self.book.page.next_after(self.cursor if after is None else after)
        if following is not None:
            self.cursor = following
        elif after is None:
            self.line.message = say("every position is shot or left out; r begins a new round")

    def say(self, text: str) -> None:
        """Put words where the read-back stands."""
        self.read_back = text

    def _greeting(self) -> str:
        """Where the crew is, after any interruption."""
        page = self.book.page
        if not self.book.entries:
            return say("Rod on the first spot")
        last = page.round.last
        return (
            words.read_back(self.summary, last)
            if last is not None
            else say("round {number}", number=self.summary.round)
        )

    def _tell(self, kept: Kept) -> None:
        """On the keeper's thread: messages are the one thing that may cross over."""
        self.post_message(self.Saved(kept))

    # -- showing --------------------------------------------------------------------------------------------

    def repaint(self) -> None:
        """Show the state; each part repaints only what differs."""
        if not hasattr(self, "_foot"):
            return
        if self.line.question is None:
            self.pasted = None
        self.set_class(self.pasted is not None, "offering")
        calling = self.calling and self.pasted is None
        self.set_class(calling, "calling")
        kept, width = self.keeper.kept, self.app.size.width
        top = shot_lines.top_line(self.summary, self.book.page.readings, kept, time(), width)
        self._top.show([top])
        self._repaint_where(top)
        if calling:
            self._repaint_call_out()
        else:
            self._repaint_grid()
        if self.line.question is not None:
            self.call_after_refresh(self._seen)

    def _repaint_where(self, top: str) -> None:
        self.set_class(self._back, "back")
        if self._back:
            last, width = self.book.page.round.last, self.app.size.width
            lines = shot_lines.where_lines(self.summary, last, self.cursor, top, time(), width)
            self._where.styles.height = len(lines)
            self._where.show(lines)

    def _repaint_grid(self) -> None:
        width = self.app.size.width
        self.plan.show(self.summary, self.cursor)
        if self.pasted is not None:
            self._panel.show(self.pasted.shown(self.app.size.height))
        elif self.has_class("narrow"):
            self._fold.show([panel.folded(self.summary)])
        else:
            self._panel.show(panel.panel(self.summary))
        if self.has_class("low"):
            self._large.show([f" {words.harmless(self.read_back)}"])
        else:
            self._large.show(shot_lines.read_back_lines(self.read_back, width))
        self._entry.show(shot_lines.entry_lines(self.line, shot_lines.next_prompt(self.summary, self.cursor), width))
        self._foot.show([self._footer(width)])

    def _repaint_call_out(self) -> None:
        from rodcall.screens.call_out import call_out, call_out_lines

        width, height = self.app.size
        above = 1 + len(self._where.shown.splitlines()) if self._back else 0
        page, kept = self.book.page, self.keeper.kept
        done = page.next_after(None) is None and self.cursor == page.round.last
        told = call_out(self.summary, None if done else self.cursor, self.read_back)
        self._call_out.show(call_out_lines(told, width, height - ROWS_OF_ENTRY - above))
        prompt = say("next {position}", position=self.book.job.grid.name(self.cursor))
        trouble = kept.words if kept.trouble or kept.read_only else ""
        self._entry.show(shot_lines.entry_lines(self.line, prompt, width, trouble))

    def _footer(self, width: int) -> str:
        """What matters now, and the keys that were swallowed."""
        actions = [each for each in self.actions if self._applies(each.id)]
        all_shot = self.book.page.next_after(self.cursor) is None
        buttons = footer.offered(self.line, actions, all_shot=all_shot)
        return self._buttons.line(buttons, width, always=footer.always(self.line), told=self.swallowed_words)

    def _seen(self) -> None:
        self.line.seen(_event_clock())

    def on_shot_screen_silent(self, event: Silent) -> None:
        """Nothing is spoken any more, and the crew is told why."""
        self.line.message = event.why
        self.repaint()

    def on_unmount(self) -> None:
        """Nothing is heard of a job that was left."""
        if self.hearing is not None:
            self.hearing.close()

    def on_shot_screen_saved(self, event: Saved) -> None:
        """The disk has answered."""
        self.repaint()
