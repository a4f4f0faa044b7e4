"""The shot grid: the plan, the numbers and the entry line, where a crew spends its day."""

from __future__ import annotations

import sys
import textwrap
from collections.abc import Callable, Sequence
from dataclasses import replace
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

from rodcall.book.fold.round_page import Change
from rodcall.book.model.entries import Check, LeaveOut, NotPad, Readings, Round, Setup, Shot, WalkOrder
from rodcall.book.storage.autosave import Keeper, Kept
from rodcall.book.storage.opening import JobFile
from rodcall.figures.next_up import Do, Next, next_up
from rodcall.figures.punch_list import Kind, PunchList
from rodcall.figures.summary import Summary, summarise
from rodcall.i18n import say, spoken
from rodcall.tablet.paths import cautions_seen, mark_cautions_seen
from rodcall.tui.shot_grid import footer, panel, status_lines
from rodcall.tui.shot_grid.doubts import KnownDoubts, Search
from rodcall.tui.shot_grid.naming import Named, Naming
from rodcall.tui.shot_grid.plan import Plan
from rodcall.tui.terminal.colours import DAY
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.buttons import Buttons
from rodcall.tui.widgets.entry_line import EntryLine, Question
from rodcall.tui.widgets.key_screen import KeyScreen
from rodcall.tui.widgets.lines import Lines
from rodcall.units import Unsigned
from rodcall.wording import outliers as words_doubt
from rodcall.wording import proof as words_proof
from rodcall.wording import punch_list as words_punch
from rodcall.wording import words
from rodcall.wording.cautions import CAUTIONS

if TYPE_CHECKING:
    from rodcall.tui.shot_grid.commands import Commands
    from rodcall.tui.shot_grid.hearing import Hearing
    from rodcall.tui.shot_grid.paste import Pasted

_BAR = Style(color=DAY.ground, bgcolor=DAY.accent, bold=True)
_FAINT = Style(color=DAY.faint, bgcolor=DAY.ground)

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
        self.summary: Summary = summarise(self.book.page)
        self.known = KnownDoubts()
        self.listed: PunchList = self.summary.punch_list_knowing(self.known.of(self.summary))
        self.naming = Naming(self.book.page)
        self.queue: tuple[Next, ...] = ()
        self.cursor = self.book.page.standing
        """The spot that the plan frames and that commands are about: the one named, else where the crew was last."""
        self.line = EntryLine(self._take_reading, self._command, lambda: self.named)
        self.keeper = Keeper(file, self._tell)
        self.search = Search(self)
        self._numbers_of: tuple[object, ...] | None = None
        """What the numbers that are shown were made of."""
        self.pasted: Pasted | None = None
        self._buttons = Buttons()
        self.calling = False
        """The same state in very large letters, for two people, instead of the grid."""
        self._back = bool(self.book.entries)
        """The crew comes back to the job, and is told what it was doing."""
        self._last_key = time()
        self.read_back = self._greeting()
        self._line_up()

    def compose(self) -> ComposeResult:
        """Top line, plan and numbers, read-back, entry line, footer."""
        yield Lines(id="top", style=_BAR)
        yield Lines(id="where", style=_BAR)
        with Horizontal(id="middle"):
            yield Plan(self.summary, self.cursor, self.known)
            yield Lines(id="panel")
        yield Lines(id="fold")
        yield Lines(id="read_back", style=status_lines.LARGE)
        yield Lines(id="call_out", style=status_lines.LARGE)
        yield Lines(id="entry", style=status_lines.PROMPT)
        yield Lines(id="foot", style=_FAINT)

    def on_mount(self) -> None:
        """Keep hold of the widgets, so that a key needs no query."""
        self.plan = self.query_one(Plan)
        self._top, self._where, self._panel, self._fold, self._large, self._call_out, self._entry, self._foot = (
            self.query_one(f"#{name}", Lines)
            for name in ("top", "where", "panel", "fold", "read_back", "call_out", "entry", "foot")
        )
        self.set_interval(LOOK_AT_CLOCK, self._look_at_clock)
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
        if goes_on:
            self.line.message = ""
        elif not self._move(key) and not self._leave_any_time(key):
            self.line.press(key)
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
        """A tap goes to its cell; a question is answered first."""
        if self.line.question is None:
            self.go_to(event.index)
        else:
            self.line.message = say("answer this first, or press Esc")
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
        """Arrows and their like name another spot while nothing is being typed or asked."""
        if self.line.question is not None:
            return False
        if self.calling and key.name in ("pageup", "pagedown"):
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
        self.go_to(row * grid.across + column)
        return True

    def go_to(self, spot: int) -> None:
        """Name a spot, unless a reading for another one is being typed."""
        asked = self.line.question is not None
        if self.line.text and not self.line.refused and not asked:
            self.line.message = say("Enter writes {said} first, Esc clears it", said=self.line.text)
            return
        if not asked:
            self.line.clear()
        self.naming.choose(spot)
        self._line_up()

    @property
    def named(self) -> Named | None:
        """What a reading that is typed now belongs to; None where it belongs nowhere."""
        return self._named

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
        from rodcall.tui.shot_grid.commands import Commands

        return Commands(self)

    @property
    def _shouts(self) -> bool:
        """Is a reading that does not fit reported at once? The punch list has it in any case."""
        return bool(self.app.settings.ask_about_busts)  # type: ignore[attr-defined]

    @property
    def idle_s(self) -> float:
        """Seconds since the last key."""
        return time() - self._last_key

    def doubts_known(self) -> None:
        """All readings were judged while nobody keyed: the list is what a shell would print now."""
        before = {item.spots for item in self.listed.items}
        self.refigure(anew=False)
        found = [item for item in self.listed.items if item.kind is Kind.DOES_NOT_FIT and item.spots not in before]
        if found and self._shouts and not (self.line.message or self.line.question or self.line.text):
            self.line.message = words_punch.item_words(self.summary, found[0])
        self.plan.refresh()
        self.repaint()

    @cached_property
    def hearing(self) -> Hearing | None:
        """Lets the crew hear what happens; None where sounds are off, which costs a key nothing."""
        settings = self.app.settings  # type: ignore[attr-defined]
        if settings.sound == "off":
            return None
        from rodcall.tui.shot_grid.hearing import Hearing

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
        """Enter: write what was typed where the line named when its first character was typed."""
        if not said.strip():
            self.say_next()
            return
        meant = self.line.meant_for
        if meant is None:
            self.line.message = say("{said} not written: name a spot first (arrows, or ; and its name)", said=said)
            return
        try:
            self._write_meant(meant, said)
        except Unsigned:
            self._ask_sign(meant, said.strip())

    def _write_meant(self, meant: Named, said: str) -> None:
        if meant.spot is not None:
            self.shot(meant.spot, said)
        elif meant.reference is not None and meant.do in (Do.BACKSIGHT, Do.SET_UP):
            self.written(self.book.set_up(meant.reference, said))
        elif meant.reference is not None:
            self.checked(self.book.check(meant.reference, said))

    def shot(self, spot: int, said: str) -> None:
        """Write a reading at a spot; one that does not fit is shouted, and nothing waits for it."""
        change = self.book.shoot(self.book.job.grid.name(spot), said, self._does_not_fit)
        self.written(change)

    def checked(self, change: Change) -> None:
        """A check shot was written: what it found is said; a bad one says what comes next."""
        self.written(change)
        check = self.summary.trust.checks[-1]
        self.say(words_proof.check_words(self.summary, check))

    def _does_not_fit(self, spot: int) -> bool:
        return summarise(self.book.page).judged(spot) is not None

    def say_next(self) -> None:
        """Say what comes next, and stay there: Enter on an empty line skips nothing."""
        named = self.named
        if named is not None and named.spot is not None:
            name = self.book.job.grid.name(named.spot)
            self.line.message = say("next is {position}; arrows go elsewhere", position=name)
        else:
            first = self.queue[0] if named is None else Next(named.do, reference=named.reference)
            self.line.message = words_punch.next_words(self.summary, first)

    def _ask_sign(self, meant: Named, said: str) -> None:
        """A height without a sign is never guessed."""

        def answer(letter: str) -> Callable[[], None]:
            return lambda: self._write_meant(meant, said + letter)

        high, low = answer("h"), answer("l")
        where = self.book.job.grid.name(meant.spot) if meant.spot is not None else meant.reference
        self.line.ask(
            Question(
                f"{where} {said}: {say('HIGH or LOW?  + or h, - or l')}",
                choices={"h": high, "+": high, "l": low, "-": low},
            )
        )

    def written(self, change: Change) -> None:
        """Something was written: keep it, say it back, and name what comes next."""
        self.keeper.keep()
        line = change.line
        if isinstance(line.entry, Shot | LeaveOut | NotPad):
            self.naming.written_at(line.index, undone=change.undone)
        elif isinstance(line.entry, Check | Setup | Round | WalkOrder):
            self.naming.written_elsewhere()
        self.refigure()
        self.say(status_lines.what_changed(self.summary, change))
        alarm = isinstance(line.entry, Shot) and not change.undone and self._judge(line.index, line.entry.said)
        bad_check = isinstance(line.entry, Check) and bool(self.summary.trust.unresolved)
        if self.hearing is not None:
            self.hearing.written(change, alarm=alarm or bad_check)

    def _judge(self, spot: int, said: str) -> bool:
        """Judge a reading that was just written; True where it is shouted back as one to be read again."""
        summary = self.summary
        bust = self.known.shot(summary, spot, said)
        bad_line = self.known.line(summary, spot // summary.grid.across)
        if bust is None and bad_line is None and not summary.evidence.third_due[spot]:
            return False
        self.refigure(anew=False)
        if not self._shouts:
            return False
        if summary.evidence.third_due[spot]:
            self.say(f"{summary.grid.name(spot)}  {say('READ A THIRD TIME')}")
            self.line.message = status_lines.third_time(summary, spot, self.book.page.round.readings_at(spot))
        elif bust is not None and not summary.read_again[bust.index]:
            self.say(f"{summary.grid.name(bust.index)}  {say('READ AGAIN')}")
            self.line.message = status_lines.read_again(summary, bust)
        elif bad_line is not None:
            # The key first: what follows is cut on a small screen.
            self.line.message = f"{say('Tab shows it')}: {words_doubt.line_words(summary, bad_line)}"
            return True
        else:
            return False
        return True

    def written_together(self, changes: Sequence[Change]) -> None:
        """One act wrote, struck or brought back one entry, or several."""
        spots = {each.line.index for each in changes}
        if len(spots) == 1:
            height = self.book.page.round.height_at(next(iter(spots))) if -1 not in spots else None
            now = None if height is None else height - self.book.page.zero_level_nm
            self.written(changes[0] if len(changes) == 1 else replace(changes[0], now_nm=now))
            return
        self.keeper.keep()
        self.naming.written_elsewhere()
        self.refigure()
        self.say(status_lines.what_became_of_line(self.summary, changes))
        if self.hearing is not None:
            self.hearing.written(changes[-1])

    def refigure(self, *, anew: bool = True) -> None:
        """Sum the page up, draw up what is open, and name what comes next.

        Args:
            anew: Whether something was written; else only what is known of its readings changed.
        """
        if anew:
            self.summary = summarise(self.book.page)
            self.search.wanted()
        self.listed = self.summary.punch_list_knowing(self.known.of(self.summary))
        self._line_up()

    def _line_up(self) -> None:
        self.queue = next_up(self.summary, self.listed, self.naming.after)
        self._named = self.naming.named(self.queue)
        if self._named is not None and self._named.spot is not None:
            self.cursor = self._named.spot

    def say(self, text: str) -> None:
        """Put words where the read-back stands."""
        self.read_back = text

    def _greeting(self) -> str:
        """Where the crew is, after any interruption."""
        page = self.book.page
        if not self.book.entries:
            return say("Rod on a benchmark: b writes it") if page.needs_setup else say("Rod on the first spot")
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
        self._repaint_where(self._repaint_top())
        if calling:
            self._repaint_call_out()
        else:
            self._repaint_grid()
        if self.line.question is not None:
            self.call_after_refresh(self._seen)

    def _repaint_top(self) -> str:
        kept, width = self.keeper.kept, self.app.size.width
        top = status_lines.top_line(self.summary, self.listed, self.book.page.readings, kept, time(), width)
        self._top.show([top])
        return top

    def _repaint_where(self, top: str) -> None:
        self.set_class(self._back, "back")
        if self._back:
            last, width = self.book.page.round.last, self.app.size.width
            lines = status_lines.where_lines(self.summary, last, self.queue[0], top, time(), width)
            self._where.styles.height = len(lines)
            self._where.show(lines)

    def _repaint_grid(self) -> None:
        width = self.app.size.width
        named = self._prompted
        self.plan.show(self.summary, named.spot if named is not None and named.spot is not None else -1)
        self._repaint_numbers()
        if self.has_class("low"):
            self._large.show([f" {words.harmless(self.read_back)}"])
        else:
            self._large.show(status_lines.read_back_lines(self.read_back, width))
        prompt = status_lines.prompt(self.summary, self._prompted, self.queue[0])
        self._entry.show(status_lines.entry_lines(self.line, prompt, width))
        self._foot.show([self._footer(width)])

    def _repaint_numbers(self) -> None:
        """The numbers beside the plan, or under it; most keys change none of them."""
        if self.pasted is not None:
            self._panel.show(self.pasted.shown(self.app.size.height))
            self._numbers_of = None
            return
        narrow = self.has_class("narrow")
        room = self._panel.size.height or None
        shown_of = self.summary, self.listed, narrow, room, spoken()
        if shown_of == self._numbers_of:
            return
        self._numbers_of = shown_of
        if narrow:
            self._fold.show([panel.folded(self.summary, self.listed)])
        else:
            self._panel.show(panel.panel(self.summary, self.listed, room))

    def _repaint_call_out(self) -> None:
        from rodcall.tui.shot_grid.call_out import call_out_lines
        from rodcall.wording.call_out import call_out

        width, height = self.app.size
        above = 1 + len(self._where.shown.splitlines()) if self._back else 0
        kept = self.keeper.kept
        named = self.named
        told = call_out(self.summary, named.spot if named is not None else None, self.read_back)
        self._call_out.show(call_out_lines(told, width, height - ROWS_OF_ENTRY - above))
        prompt = status_lines.prompt(self.summary, self._prompted, self.queue[0], short=True)
        trouble = kept.words if kept.trouble or kept.read_only else ""
        self._entry.show(status_lines.entry_lines(self.line, prompt, width, trouble))

    @property
    def _prompted(self) -> Named | None:
        """What stands before the reading: where it goes that is being typed, else what is named."""
        return self.line.meant_for if self.line.text and self.line.question is None else self.named

    def _footer(self, width: int) -> str:
        """What matters now, and the keys that were swallowed."""
        actions = [each for each in self.actions if self._applies(each.id)]
        all_shot = self.book.page.next_after(None) is None
        buttons = footer.offered(self.line, actions, all_shot=all_shot, listed=self.listed)
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
        """The disk has answered: the top line tells it, and trouble with it shows everywhere."""
        if self.keeper.kept.trouble or self.calling:
            self.repaint()
        elif hasattr(self, "_foot"):
            self._repaint_top()
