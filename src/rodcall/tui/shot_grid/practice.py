"""The shot grid of practice: a helper calls, on one pad after the other."""

from __future__ import annotations

from collections.abc import Sequence
from time import monotonic
from typing import ClassVar

from textual.app import ComposeResult

from rodcall.book.fold.round_page import Change
from rodcall.book.model.entries import Shot
from rodcall.book.storage.opening import JobFileError
from rodcall.figures.next_up import Do
from rodcall.i18n import say
from rodcall.practice.pads import Pad, Pads
from rodcall.tui.bindings.actions import Action
from rodcall.tui.shot_grid.screen import ShotScreen
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.lines import Lines
from rodcall.tui.widgets.styles import STRONG
from rodcall.tui.widgets.wanted import ScoreWanted
from rodcall.wording.read_back import ReadBack

TICK = 0.1
"""Seconds between looks at the clock."""


class PracticeGrid(ShotScreen):
    """Shows what the helper calls, at a set pace, and counts keys and time."""

    # Textual puts the class's own name before each rule, where the shot grid's finds none within it.
    CSS = ShotScreen.CSS.replace("ShotScreen", "PracticeGrid") + "#helper { height: 1; }"
    LASTING: ClassVar[bool] = False

    def __init__(self, pad: Pad, pads: Pads) -> None:
        super().__init__(pad.file)
        self.pad = pad
        self.pads = pads
        self._pressed = 0
        self._called_before: set[int] = set()
        """Positions whose call was taken down once: called again, struck or not, it is called right."""
        self._began = self._next = monotonic() + pad.lesson.pace_s

    def compose(self) -> ComposeResult:
        """The helper's line above the grid."""
        yield Lines(id="helper", style=STRONG)
        yield from super().compose()

    def on_mount(self) -> None:
        """The helper begins."""
        super().on_mount()
        if not self.session.line.message:
            self.session.line.message = say("Hint: type what the helper calls, as called, and press Enter")
        self.set_interval(TICK, self._call)
        self._call()

    # -- keys -----------------------------------------------------------------------------------------------

    @property
    def actions(self) -> tuple[Action, ...]:
        """The shot grid's, and what there is besides while it is only practice."""
        return (*super().actions, *self.program.keymap.tables["practice"])

    def action_of(self, key: Stroke) -> Action | None:
        """The shot grid's own keys come first, as the crew may have bound them otherwise."""
        return super().action_of(key) or self.program.keymap.action("practice", key.character or key.name)

    def press(self, key: Stroke) -> None:
        """Every key counts."""
        self._pressed += 1
        super().press(key)
        self.repaint()
        self._call()

    def say_next(self) -> None:
        """Enter on an empty line shows the score once all is shot."""
        if self.session.named is None:
            self.do_score()
        else:
            super().say_next()

    def do_score(self) -> None:
        """How it goes, on a page; from there one can go on with another pad."""
        self.open(ScoreWanted(self.pad.score, tuple(self.pads.scores), self._chosen))

    def do_another(self) -> None:
        """Leave this pad as it is, and begin another one."""
        try:
            pad = self.pads.begin()
        except JobFileError as error:
            self.session.line.message = str(error)
            return
        following = PracticeGrid(pad, self.pads)
        following.calling = self.calling
        self.put_away()
        self.give_way_to(following)

    def acted(self, told: ReadBack, changes: Sequence[Change]) -> None:
        """The helper goes on after each reading."""
        super().acted(told, changes)
        self._called_before |= {each.line.index for each in changes if isinstance(each.line.entry, Shot)}
        now = monotonic()
        self.pad.keys, self.pad.seconds = self._pressed, max(now - self._began, 0.0)
        self._next = now + self.pad.lesson.pace_s

    # -- the helper -----------------------------------------------------------------------------------------

    def _call(self) -> None:
        self.query_one("#helper", Lines).show([f" {self._called()}"])

    def _called(self) -> str:
        """What is called now; of a reading that is doubted, or wanted once more, what stands on the rod."""
        page, lesson = self.session.book.page, self.pad.lesson
        question = self.session.line.question
        named = self.session.named
        if named is not None and named.spot is not None and named.do is Do.READ_AGAIN:
            right = lesson.calls[named.spot].right
            return say("helper: {position} again  {called}", position=page.grid.name(named.spot), called=right)
        if question is not None and question.choices:
            return say("helper: waits")
        if named is None or named.spot is None:
            return say("helper: all shot; Enter shows how it went")
        if monotonic() < self._next:
            return say("helper: walks")
        call = lesson.calls[named.spot]
        told = call.right if named.spot in self._called_before else call.called
        return say("helper: {position}  {called}", position=page.grid.name(named.spot), called=told)
