"""The order of work: the moves one can drive by, and each of them on the plan of the pad."""

from __future__ import annotations

from threading import Event
from typing import ClassVar

from rich.style import Style
from rich.text import Text
from textual import events
from textual.message import Message

from rodcall.figures.earthwork.dig import DigPlan
from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.tui.pages import dig_plan
from rodcall.tui.pages.base import ListPage
from rodcall.tui.widgets.lines import fitted
from rodcall.tui.widgets.styles import BAR, FAINT, HEAD, PLAIN, STRONG
from rodcall.tui.widgets.window import Window
from rodcall.wording import dig as words_dig
from rodcall.wording import words

LEAST_PLAN = 20
"""Columns that the plan needs beside the moves, unless the whole pad takes fewer; else it stands above them."""
ENDS = 22
"""Characters of a move's ends in the list; the whole of them stands below it."""


class _Left(Exception):  # noqa: N818 - not an error: nobody waits for the answer any more
    pass


class DigScreen(ListPage[None]):
    """Works the moves out on a thread of its own, and lets one step through them."""

    TABLE: ClassVar[str] = "dig"

    class Worked(Message):
        """So much of the work is done."""

        def __init__(self, percent: int) -> None:
            super().__init__()
            self.percent = percent

    class Planned(Message):
        """The moves are worked out; None where nothing is shot."""

        def __init__(self, plan: DigPlan | None) -> None:
            super().__init__()
            self.plan = plan

    def __init__(self, summary: Summary) -> None:
        super().__init__()
        self._summary = summary
        self._plan: DigPlan | None = None
        self._moves: list[str] = []
        self._waiting = say("working out the least haul: 0%")
        self._told = 0
        self._left = Event()
        self._list_at = (0, 0)
        """Column and line where the list begins."""
        self._listed = Window(0, 0)

    def on_mount(self) -> None:
        """Begin to work the moves out."""
        self.run_worker(self._work_out, thread=True)

    def on_unmount(self) -> None:
        """Nobody waits for the moves any more."""
        self._left.set()

    # -- on the worker's thread: messages are the one thing that crosses over --------------------------------

    def _work_out(self) -> None:
        try:
            self.post_message(self.Planned(self._summary.dig(self._tell)))
        except _Left:
            return

    def _tell(self, share: float) -> None:
        if self._left.is_set():
            raise _Left
        percent = int(100 * share)
        if percent != self._told:
            self._told = percent
            self.post_message(self.Worked(percent))

    # -- on the screen's own --------------------------------------------------------------------------------

    def on_dig_screen_worked(self, event: Worked) -> None:
        """Say how far it is."""
        self._waiting = say("working out the least haul: {percent}%", percent=event.percent)
        self.show_anew()

    def on_dig_screen_planned(self, event: Planned) -> None:
        """Show the moves."""
        self._plan = event.plan
        self._waiting = "" if event.plan is not None else say("nothing to dig before the first shot")
        if event.plan is not None:
            told = [words_dig.move_words(self._summary, move) for move in event.plan.moves]
            self._moves = words_dig.move_lines(told, ENDS)
        self.show_anew()

    def do_leave(self) -> None:
        """Leave; nobody waits for the moves any more."""
        self._left.set()
        self.dismiss()

    @property
    def count(self) -> int:
        """How many moves."""
        return len(self._moves)

    def tapped(self, event: events.Click) -> None:
        """A tap on a move chooses it."""
        x, y = self._list_at
        row = event.y - y
        if event.x >= x and 0 <= row < self._listed.count:
            self.at = self._listed.first + row
            self.show_anew()

    # -- showing --------------------------------------------------------------------------------------------

    def drawn(self, width: int, height: int) -> list[Text]:
        """Head, plan and moves, and what is to be known of the chosen one."""
        head, foot = self._head(width), self._foot(width)
        room = max(height - len(head) - len(foot), 1)
        return [*head, *self.filled(self._middle(width, room, len(head)), room), *foot]

    def _head(self, width: int) -> list[Text]:
        summary, plan = self._summary, self._plan
        if plan is None:
            return [Text(fitted(f" {say('order of work')}", width), HEAD), Text(f" {self._waiting}", STRONG)]
        number = say(", move {number} of {moves}", number=self.at + 1, moves=len(self._moves)) if self._moves else ""
        return [
            Text(
                fitted(f" {say('order of work')}{number}   {say(words_dig.MEASURE)}", width),
                HEAD,
            ),
            Text(words.harmless(f" {words_dig.total_words(summary, plan)}", width), STRONG),
        ]

    def _foot(self, width: int) -> list[Text]:
        """The chosen move in full, what is over or short at the end, what takes no part, the marks, the keys."""
        summary, plan = self._summary, self._plan
        told: list[tuple[str, Style]] = []
        if plan is not None and self._moves:
            move = plan.moves[self.at]
            told.append((words_dig.move_words(summary, move).ends, STRONG))
            told.append((words_dig.start_words(summary, plan, move), PLAIN))
        if plan is not None:
            told.append((words_dig.end_words(summary, plan), STRONG))
        told.append((words_dig.idle_words(summary), FAINT))
        told.append((say(dig_plan.LEGEND), FAINT))
        lines = [Text(words.harmless(f" {said}", width), style) for said, style in told if said]
        return [*lines, self.foot(width, always=2)]

    def _middle(self, width: int, height: int, top: int) -> list[Text]:
        """The plan beside the moves, or above them."""
        summary, plan = self._summary, self._plan
        move = plan.moves[self.at] if plan is not None and self._moves else None
        longest = max(map(len, self._moves), default=0)
        beside = width - longest - 2
        if beside >= min(dig_plan.least_width(summary), LEAST_PLAN):
            drawn = dig_plan.draw(summary, plan, move, beside - 1, height)
            listed = self._list(longest + 2, height)
            self._list_at = beside, top
            return [_beside(drawn, listed, at, beside) for at in range(max(len(drawn), len(listed)))]
        drawn = dig_plan.draw(summary, plan, move, width, min(summary.grid.along + 3, height - min(height // 3, 5)))
        self._list_at = 0, top + len(drawn)
        return [*drawn, *self._list(width, height - len(drawn))]

    def _list(self, width: int, height: int) -> list[Text]:
        """The moves around the chosen one."""
        self._listed = Window.on([self.at], height, len(self._moves)) if self._moves else Window(0, 0)
        return [
            Text(fitted(f"{'>' if at == self.at else ' '}{self._moves[at]}", width), BAR if at == self.at else PLAIN)
            for at in self._listed
        ]


def _beside(left: list[Text], right: list[Text], at: int, column: int) -> Text:
    """One line of two blocks, the second beginning at a column."""
    line = left[at].copy() if at < len(left) else Text("")
    line.truncate(column)
    line.append(" " * (column - line.cell_len))
    return line.append_text(right[at]) if at < len(right) else line
