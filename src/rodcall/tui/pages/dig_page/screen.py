"""The order of work: the zones one drives by on the map of the pad, and each single move."""

from __future__ import annotations

from threading import Event
from typing import ClassVar

from rich.style import Style
from rich.text import Text
from textual import events
from textual.message import Message

from rodcall.figures.earthwork.dig import DigPlan
from rodcall.figures.earthwork.zones import ZonePlan
from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.tui.pages.base import ListPage
from rodcall.tui.pages.dig_page import plan as dig_plan
from rodcall.tui.pages.dig_page import zone_map
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.lines import beside, fitted, shortened, wrapped
from rodcall.tui.widgets.styles import ACCENT, BAR, FAINT, PLAIN, STRONG
from rodcall.tui.widgets.window import Window
from rodcall.wording import dig as words_dig
from rodcall.wording import words
from rodcall.wording import zones as words_zones

LEAST_PLAN = 20
"""Columns that the plan needs beside the moves, unless the whole pad takes fewer; else it stands above them."""
ROOM_BESIDE = 110
"""Columns from which the zones are listed beside their map."""
ROOM_FOR_WORDS = 30
"""Lines from which what is long is broken, and marks are explained."""
ENDS = 22
"""Characters of a move's ends in the list; the whole of them stands below it."""


class _Left(Exception):  # noqa: N818 - not an error: nobody waits for the answer any more
    pass


class DigScreen(ListPage[None]):
    """Works zones and moves out on a thread of its own, and lets one step through them."""

    TABLE: ClassVar[str] = "dig"

    class Worked(Message):
        """So much of the work is done."""

        def __init__(self, percent: int) -> None:
            super().__init__()
            self.percent = percent

    class Planned(Message):
        """Moves and zones are worked out; None where nothing is shot."""

        def __init__(self, plan: DigPlan | None, zones: ZonePlan | None) -> None:
            super().__init__()
            self.plan, self.zones = plan, zones

    def __init__(self, summary: Summary) -> None:
        super().__init__()
        self._summary = summary
        self._plan: DigPlan | None = None
        self._zones: ZonePlan | None = None
        self._zone_lines: list[str] = []
        self._moves: list[str] = []
        self._copied = ""
        self._by_move = False
        """The single moves are listed instead of the zones."""
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
            plan = self._summary.dig(self._tell)
            self.post_message(self.Planned(plan, self._summary.zones(plan) if plan is not None else None))
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
        self._plan, self._zones = event.plan, event.zones
        self._waiting = "" if event.plan is not None else say("nothing to dig before the first shot")
        if event.plan is not None:
            told = [words_dig.move_words(self._summary, move) for move in event.plan.moves]
            self._moves = words_dig.move_lines(told, ENDS)
        if event.zones is not None:
            self._zone_lines = words_zones.zone_list(self._summary, event.zones)
        self.show_anew()

    def do_leave(self) -> None:
        """Leave; nobody waits for the moves any more."""
        self._left.set()
        self.dismiss()

    def message_of_copy(self, told: str) -> None:
        """Say what came of copying."""
        self._copied = told

    def press(self, key: Stroke) -> None:
        """What was said of the last key is said once."""
        self._copied = ""
        super().press(key)

    def do_view(self) -> None:
        """The single moves, or the zones again."""
        self._by_move = not self._by_move
        self.at = 0

    @property
    def count(self) -> int:
        """How many zones, or moves."""
        return len(self._rows)

    @property
    def _rows(self) -> list[str]:
        return self._moves if self._by_move else self._zone_lines

    def tapped(self, event: events.Click) -> None:
        """A tap on a zone or a move chooses it."""
        x, y = self._list_at
        row = event.y - y
        if event.x >= x and 0 <= row < self._listed.count:
            self.at = self._listed.first + row
            self.show_anew()

    # -- showing --------------------------------------------------------------------------------------------

    def drawn(self, width: int, height: int) -> list[Text]:
        """Head, map and list, and what is to be known of the chosen zone or move."""
        head, foot = self._head(width), self._foot(width)
        room = max(height - len(head) - len(foot), 1)
        middle = self._middle if self._by_move else self._map
        return [*head, *self.filled(middle(width, room, len(head)), room), *foot]

    def _map(self, width: int, height: int, top: int) -> list[Text]:
        """The map of zones with their list beside it, or below."""
        summary, zones = self._summary, self._zones
        if zones is None or self._plan is None:
            return []
        chosen = self.at if zones.zones else None
        longest = max((len(line) for line in self._zone_lines), default=0) + 2
        if width >= ROOM_BESIDE:
            column = width - min(longest, width // 2)
            drawn = zone_map.draw(summary, zones, chosen, column - 2, height)
            self._list_at = column, top
            return beside(drawn, self._list(width - column, height), column)
        listed = min(len(self._zone_lines), max(height // 4, 3))
        drawn = zone_map.draw(summary, zones, chosen, width, height - listed)
        self._list_at = 0, top + len(drawn)
        return [*drawn, *self._list(width, height - len(drawn))]

    def _head(self, width: int) -> list[Text]:
        summary, plan, zones = self._summary, self._plan, self._zones
        if plan is None or zones is None:
            return [self.head(say("order of work"), width), Text(f" {self._waiting}", STRONG)]
        if self._by_move:
            number = (
                say(", move {number} of {moves}", number=self.at + 1, moves=len(self._moves)) if self._moves else ""
            )
            told = words_dig.total_words(summary, plan)
        else:
            number = say(", zone {number} of {zones}", number=self.at + 1, zones=self.count) if self.count else ""
            nothing = "" if zones.zones else words_zones.nothing_words(summary, plan)
            total = words_dig.total_words(summary, plan) if zones.zones else ""
            told = "; ".join(filter(None, (nothing, words_zones.pass_words(summary), total)))
        return [
            self.head(f"{say('order of work')}{number}   {say(words_dig.MEASURE)}", width),
            Text(f" {shortened(words.harmless(told), width - 2, ', ')}", STRONG),
        ]

    def _foot(self, width: int) -> list[Text]:
        """The chosen zone or move in full, what is over or short at the end, what takes no part, marks, keys."""
        summary, plan, zones = self._summary, self._plan, self._zones
        told: list[tuple[str, Style]] = [(self._copied, ACCENT)]
        if plan is not None and self._by_move and self._moves:
            move = plan.moves[self.at]
            told.append((words_dig.move_words(summary, move).ends, STRONG))
            told.append((words_dig.start_words(summary, plan, move), PLAIN))
        elif zones is not None and zones.zones:
            zone = words_zones.zone_words(summary, zones, self.at)
            told.append(
                (
                    f"{zone.number}  {zone.depth}  {zone.where}: {words_zones.zone_loads(summary, zones, self.at)}",
                    STRONG,
                )
            )
            told.append((zone.goes, PLAIN))
        if plan is not None:
            told.append((words_dig.end_words(summary, plan), STRONG))
        told.append((words_dig.idle_words(summary), FAINT))
        if self._by_move or self.size.height >= ROOM_FOR_WORDS:
            told.append((say(dig_plan.LEGEND if self._by_move else zone_map.LEGEND), FAINT))
        most = 1 if self.size.height < ROOM_FOR_WORDS else 3
        if most == 1:
            told = [(shortened(said, width - 2, "; " if "; " in said else ", "), style) for said, style in told]
        lines = [
            line for said, style in told if said for line in wrapped(words.harmless(said, 400), width, style, most=most)
        ]
        return [*lines, self.foot(width, always=2)]

    def _middle(self, width: int, height: int, top: int) -> list[Text]:
        """The plan beside the moves, or above them."""
        summary, plan = self._summary, self._plan
        move = plan.moves[self.at] if plan is not None and self._moves else None
        longest = max(map(len, self._moves), default=0)
        column = width - longest - 2
        if column >= min(dig_plan.least_width(summary), LEAST_PLAN):
            drawn = dig_plan.draw(summary, plan, move, column - 1, height)
            listed = self._list(longest + 2, height)
            self._list_at = column, top
            return beside(drawn, listed, column)
        drawn = dig_plan.draw(summary, plan, move, width, min(summary.grid.along + 3, height - min(height // 3, 5)))
        self._list_at = 0, top + len(drawn)
        return [*drawn, *self._list(width, height - len(drawn))]

    def _list(self, width: int, height: int) -> list[Text]:
        """The zones or moves around the chosen one."""
        rows = self._rows
        self._listed = Window.on([self.at], height, len(rows)) if rows else Window(0, 0)
        return [
            Text(fitted(f"{'>' if at == self.at else ' '}{rows[at]}", width), BAR if at == self.at else PLAIN)
            for at in self._listed
        ]
