"""The widgets of the shot grid, and what stands in each of them. It knows no key."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.geometry import Size

from rodcall.i18n import say, spoken
from rodcall.tui.bindings.actions import Action
from rodcall.tui.shot_grid import footer, panel, status_lines
from rodcall.tui.shot_grid.plan import Plan
from rodcall.tui.shot_grid.session import ShotSession
from rodcall.tui.widgets.buttons import Buttons
from rodcall.tui.widgets.lines import Beside, Lines, broken
from rodcall.tui.widgets.styles import ACCENT, FAINT, HEAD, STRONG
from rodcall.wording import proof as words_proof
from rodcall.wording import words
from rodcall.wording.cautions import CAUTIONS

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

ROWS_OF_ENTRY = 2
"""Lines that the entry line takes."""


class ShotView:
    """Shows a session; each part repaints only what differs.

    Args:
        session: The job that the plan begins on.
    """

    def __init__(self, session: ShotSession) -> None:
        self.plan = Plan(session.summary, session.cursor, session.known)
        self.foot = Lines(id="foot", style=FAINT)
        self.buttons = Buttons()
        self._top = Lines(id="top", style=HEAD)
        self._where = Lines(id="where", style=HEAD)
        self._panel = Lines(id="panel")
        self._fold = Lines(id="fold")
        self._read_back = Lines(id="read_back", style=STRONG)
        self._call_out = Lines(id="call_out", style=STRONG)
        self._entry = Lines(id="entry", style=ACCENT)
        self._numbers_of: tuple[object, ...] | None = None
        """What the numbers that are shown were made of."""

    def compose(self) -> ComposeResult:
        """Top line, plan and numbers, read-back, entry line, footer."""
        yield self._top
        yield self._where
        with Beside(id="middle"):
            yield self.plan
            yield self._panel
        yield self._fold
        yield self._read_back
        yield self._call_out
        yield self._entry
        yield self.foot

    def show_notice(self, grave: str, room: int) -> None:
        """What must be read before the plan is looked at: what was damaged, whole, until Enter; else the cautions."""
        if grave:
            told, goes_on = broken(grave, room), say("(press Enter on an empty line)")
        else:
            told = [line for caution in CAUTIONS for line in broken(f"- {say(caution)}", room)]
            goes_on = say("(press any key)")
        self.plan.show_notice(["", *told, goes_on])

    def show_top(self, session: ShotSession, width: int, now: float) -> str:
        """Job, round, check, punch list, what is saved; what it says."""
        way, kept = session.book.page.readings, session.keeper.kept
        top = status_lines.top_line(session.summary, session.listed, way, kept, now, width)
        self._top.show([top])
        return top

    def show_where(self, session: ShotSession, top: str, width: int, now: float) -> None:
        """What the crew was doing, under a top line that says some of it."""
        last = session.book.page.round.last
        lines = status_lines.where_lines(session.summary, last, session.queue[0], top, now, width)
        self._where.styles.height = len(lines)
        self._where.show(lines)

    def show_grid(
        self, session: ShotSession, actions: list[Action], size: Size, swallowed: str, *, low: bool, narrow: bool
    ) -> None:
        """Plan, numbers, read-back, entry line and footer.

        Args:
            session: What is shown.
            actions: Those that are of use in this job.
            size: Of the screen.
            swallowed: How many keys were swallowed, in words.
            low: There is no room for large letters.
            narrow: There is no room for the numbers beside the plan.
        """
        width, named = size.width, session.prompted
        self.plan.show(session.summary, named.spot if named is not None and named.spot is not None else -1)
        self._show_numbers(session, size, narrow=narrow)
        if low:
            self._read_back.show([f" {words.harmless(session.read_back.text)}"])
        else:
            self._read_back.show(status_lines.read_back_lines(session.read_back, width))
        prompt = status_lines.prompt(session.summary, named, session.queue[0])
        kept = session.keeper.kept
        trouble = kept.words if kept.trouble and session.line.question is None else ""
        crowded = session.line.message or trouble
        short = status_lines.prompt(session.summary, named, session.queue[0], short=True) if crowded else ""
        self._entry.show(status_lines.entry_lines(session.line, prompt, width, trouble, short))
        all_shot = not session.summary.missing
        offered = footer.offered(session.line, actions, all_shot=all_shot, listed=session.listed)
        always = footer.always(session.line)
        self.foot.show([self.buttons.line(offered, width, always=always, told=swallowed)])

    def _show_numbers(self, session: ShotSession, size: Size, *, narrow: bool) -> None:
        """The numbers beside the plan, or under it; most keys change none of them."""
        if session.pasted is not None:
            self._panel.show(session.pasted.shown(size.height))
            self._numbers_of = None
            return
        room = self._panel.size.height or None
        shown_of = session.summary, session.listed, narrow, size.width, room, spoken()
        if shown_of == self._numbers_of:
            return
        self._numbers_of = shown_of
        if narrow:
            self._fold.show([panel.folded(session.summary, session.listed, size.width)])
        else:
            self._panel.show(panel.panel(session.summary, session.listed, room))

    def show_call_out(self, session: ShotSession, size: Size, now: float, *, back: bool) -> None:
        """The same in very large letters.

        Args:
            session: What is shown.
            size: Of the screen.
            now: Seconds since 1970.
            back: What the crew was doing stands above it.
        """
        from rodcall.tui.shot_grid.call_out import call_out_lines
        from rodcall.wording.call_out import call_out

        width, height = size
        above = 1 + len(self._where.shown.splitlines()) if back else 0
        kept = session.keeper.kept
        check = words_proof.check_age(session.summary, now)
        verdict = say(str(session.listed.verdict))
        told = call_out(session.summary, session.named_spot, session.read_back, check, verdict)
        self._call_out.show(call_out_lines(told, width, height - ROWS_OF_ENTRY - above))
        prompt = status_lines.prompt(session.summary, session.prompted, session.queue[0], short=True)
        trouble = kept.words if kept.trouble or kept.read_only else ""
        self._entry.show(status_lines.entry_lines(session.line, prompt, width, trouble))
