"""The punch list: what is open, where, and what clears it; Enter goes there."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import ClassVar

from rich.text import Text
from textual import events

from rodcall.figures.punch_list import Item, Kind, PunchList
from rodcall.figures.summary import Summary
from rodcall.i18n import phrase, say
from rodcall.tui.bindings.actions import Action
from rodcall.tui.pages.base import ListPage
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets import pad_map
from rodcall.tui.widgets.buttons import of_actions
from rodcall.tui.widgets.lines import beside, broken, fitted, wrapped
from rodcall.tui.widgets.styles import ACCENT, BAR, FAINT, HEAD, MESSAGE, PLAIN, STRONG
from rodcall.tui.widgets.wanted import Clearing
from rodcall.wording import punch_list as words_punch
from rodcall.wording import words

GROUPS: tuple[tuple[str, frozenset[Kind]], ...] = (
    (phrase("out of tolerance"), frozenset({Kind.OUT})),
    (
        phrase("book and level"),
        frozenset(
            {
                Kind.DAMAGED,
                Kind.EDITED,
                Kind.NO_BACKSIGHT,
                Kind.BAD_CHECK,
                Kind.SUSPECT,
                Kind.SUSPECT_ACCEPTED,
                Kind.CHECK_AGAIN,
            }
        ),
    ),
    (
        phrase("readings that disagree"),
        frozenset({Kind.DOES_NOT_FIT, Kind.LINE_DOES_NOT_FIT, Kind.READINGS_DISAGREE, Kind.TABLETS_DISAGREE}),
    ),
    (phrase("spots without a reading"), frozenset({Kind.NOT_SHOT, Kind.LEFT_OUT})),
    (
        phrase("check shots"),
        frozenset(
            {Kind.SETUP_NOT_CLOSED, Kind.LEVELS_NOT_CLOSED, Kind.NO_CHECK, Kind.CHECKED_ON_PAD, Kind.TIMES_APART}
        ),
    ),
    (
        phrase("target, limits, final round"),
        frozenset(
            {
                Kind.TARGET_SUGGESTED,
                Kind.TARGET_CHANGED,
                Kind.ZERO_MOVED,
                Kind.REFERENCE_CHANGED,
                Kind.TAKEN_OUT,
                Kind.LIMIT_WIDENED,
                Kind.NO_FINAL_ROUND,
            }
        ),
    ),
    (phrase("uncertainty and spacing"), frozenset({Kind.SPOTS_TOO_FAR, Kind.PLUS_MINUS, Kind.TOO_CLOSE})),
)
"""Headings over the items; in the order of the items themselves, which is by gravity."""
REFRESH = 1.0
"""Seconds between looks whether the list has grown, as when readings were judged while nobody keyed."""
ABOUT = 2
"""Lines that an item takes at the most, and in which the one under the bar is said in full."""
OTHER_ROWS = ABOUT + 3
"""Lines beside the items: head, the item in full, message, keys."""


class PunchScreen(ListPage[Clearing | None]):
    """Lists the open items, gravest first, and says what the crew wants done about one.

    Args:
        look: The summary and the punch list as they are now.
        at: The item on which the bar stood when the list was last seen.
    """

    TABLE: ClassVar[str] = "punch"

    def __init__(self, look: Callable[[], tuple[Summary, PunchList]], at: Item | None = None) -> None:
        super().__init__()
        self._look = look
        self._summary, self._listed = look()
        self.at = place_of(self._listed, at)
        self._message = ""
        self._rows: list[int | None] = []
        """The item of each line that is seen; None for a heading."""

    def on_mount(self) -> None:
        """Look again now and then."""
        self.set_interval(REFRESH, self._look_again)

    def _look_again(self) -> None:
        summary, listed = self._look()
        if listed is not self._listed:
            under_bar = self.item
            self._summary, self._listed = summary, listed
            self.at = place_of(listed, under_bar)
            self.show_anew()

    @property
    def item(self) -> Item | None:
        """The item under the bar; None where the list is empty."""
        return self._listed.items[self.at] if self._listed.items else None

    # -- keys -----------------------------------------------------------------------------------------------

    def press(self, key: Stroke) -> None:
        """A key of the table, or nothing."""
        if self.action_of(key) is not None:
            self._message = ""
        super().press(key)

    def tapped(self, event: events.Click) -> None:
        """A tap moves the bar; on the bar it goes there."""
        item = self._rows[event.y - 1] if 1 <= event.y <= len(self._rows) else None
        if item is None:
            return
        if item == self.at:
            self.do_go()
            return
        self.at = item
        self.show_anew()

    def do_go(self) -> None:
        """Go where the item under the bar is cleared."""
        self.dismiss(None if self.item is None else Clearing("go", self.item))

    def do_accept(self) -> None:
        """Accept the suspect shots of the item under the bar by decision."""
        self._decide("accept")

    def do_correct(self) -> None:
        """Correct the suspect shots of the item under the bar by the drift."""
        self._decide("correct")

    def _decide(self, action: str) -> None:
        if self.item is None or self.item.kind is not Kind.SUSPECT:
            self._message = say("only suspect shots can be accepted or corrected; put the bar on them")
            return
        self.dismiss(Clearing(action, self.item))

    @property
    def count(self) -> int:
        """How many items."""
        return len(self._listed.items)

    @property
    def far(self) -> int:
        """An item takes two lines."""
        return max(self.size.height // 4, 1)

    # -- showing --------------------------------------------------------------------------------------------

    def drawn(self, width: int, height: int) -> list[Text]:
        """The items around the bar, the one under it in full, and the keys."""
        room, across = max(height - OTHER_ROWS, 1), pad_map.text_columns(width)
        lines = list(self._lines(across))
        first = _first_seen([item for _, item in lines], self.at, room)
        seen = lines[first : first + room]
        self._rows = [item for _, item in seen]
        framed = frozenset(() if self.item is None else self.item.spots)
        body = [line for line, _ in seen]
        if across < width:
            pad = pad_map.as_it_is(self._summary, framed, width - across - 1, room - 1)
            body = beside(self.filled(body, room), [Text(""), *pad], across + 1)[:room]
        else:
            body = self.filled(pad_map.below(body, self._summary, framed, width, room), room)
        return [
            Text(fitted(self._head(), width), HEAD),
            *body,
            *self._about(width, across),
            Text(fitted(f" {self._message} ", width).rstrip(), MESSAGE) if self._message else Text(""),
            self.foot(width, of_actions(self._offered), always=2),
        ]

    @property
    def _offered(self) -> list[Action]:
        """What the footer offers for the item under the bar: the moves have keys of their own."""
        moves = {"up", "down", "page_up", "page_down", "first", "last"}
        suspect = self.item is not None and self.item.kind is Kind.SUSPECT
        hidden = moves if suspect else moves | {"accept", "correct"}
        return [action for action in self.actions if action.id not in hidden]

    def _head(self) -> str:
        summary, listed = self._summary, self._listed
        return say(
            " punch list {number}: {verdict}   round {round} {kind}",
            number=listed.open,
            verdict=say(str(listed.verdict)),
            round=summary.round,
            kind=say(summary.kind),
        )

    def _lines(self, width: int) -> Iterator[tuple[Text, int | None]]:
        """Headings, and two lines an item: what is open and where, then what clears it."""
        if not self._listed.items:
            yield Text(f" {say('Nothing is open: the pad is proven. a on the shot grid writes the sheets.')}"), None
        heading = ""
        for at, item in enumerate(self._listed.items):
            group = next(name for name, kinds in GROUPS if item.kind in kinds)
            if group != heading:
                heading = group
                yield Text(f" {say(group)}", ACCENT), None
            told = words.harmless(words_punch.item_words(self._summary, item))
            cleared = words.harmless(words_punch.clears(self._summary, item))
            style = BAR if at == self.at else STRONG if item.kind is Kind.OUT else PLAIN
            for row, line in enumerate(broken(told, width - 2, most=ABOUT)):
                yield Text(fitted(f"{'>' if at == self.at and not row else ' '} {line}", width), style), at
            for line in broken(cleared, width - 5):
                yield Text(f"     {line}", FAINT), at

    def _about(self, width: int, across: int) -> list[Text]:
        """The item under the bar in full, where its line had no room for it."""
        told = ""
        if self.item is not None:
            told = words.harmless(words_punch.item_words(self._summary, self.item))
        if len(broken(told, across - 2)) <= ABOUT:
            told = ""
        return self.filled(wrapped(told, width, STRONG, most=ABOUT), ABOUT)


def place_of(listed: PunchList, item: Item | None) -> int:
    """Where an item stands on the list as it is now: itself, else its kind, else the top."""
    if item is None:
        return 0

    def likeness(other: Item) -> tuple[bool, bool, bool]:
        same = other.kind is item.kind
        same_names = same and other.names == item.names
        return same_names and other.spots == item.spots, same and bool({*other.spots} & {*item.spots}), same_names

    best = max(range(len(listed.items)), key=lambda at: likeness(listed.items[at]), default=0)
    return best if listed.items and any(likeness(listed.items[best])) else 0


def _first_seen(items: list[int | None], at: int, room: int) -> int:
    """The first line that is seen, so that all lines of an item are, its heading too where it is the first."""
    mine = [line for line, item in enumerate(items) if item == at]
    if not mine or mine[-1] < room:
        return 0
    return min(mine[-1] - room + 1 + min(2, max(len(items) - 1 - mine[-1], 0)), len(items) - room, mine[0])
