"""The target page: the dirt each step costs, candidates side by side, slopes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from time import monotonic
from typing import ClassVar

from rich.text import Text
from textual import events

from rodcall.book.model.own_reasons import OwnReason
from rodcall.figures.earthwork.design import shape_of_words
from rodcall.figures.earthwork.volumes import Grade
from rodcall.figures.summary import Summary
from rodcall.figures.target import Plane
from rodcall.i18n import say
from rodcall.tui.pages.base import Page
from rodcall.tui.pages.target_page import drawing
from rodcall.tui.pages.target_page.drawing import Candidate
from rodcall.tui.pages.target_page.shapes import ask_shape
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets import chart
from rodcall.tui.widgets.answers import answers
from rodcall.tui.widgets.buttons import of_actions
from rodcall.tui.widgets.entry_line import Chosen, Command, EntryLine, Question, Submitted
from rodcall.tui.widgets.lines import beside as side_by_side
from rodcall.tui.widgets.lines import wrapped
from rodcall.tui.widgets.styles import ACCENT, MESSAGE, STRONG
from rodcall.tui.widgets.wanted import Aim
from rodcall.units import LengthError, Unsigned, parse_height, round_half_even
from rodcall.units.quantities import parse_slope
from rodcall.wording import words

LEAP = 4
"""Rounding steps of the larger jump."""
OTHER_ROWS = 3
"""Lines beside the table, the chart and the warnings: head, entry and keys."""
BESIDE = 180
"""Columns from which the candidates stand beside the chart."""
ROOM_FOR_TWO = 20
"""Lines from which two lines of warnings are shown."""
ROOM_FOR_ALL = 30
"""Lines from which all warnings are shown."""


class TargetScreen(Page[Aim | None]):
    """Moves the target; Enter uses it, Esc keeps the old one."""

    TABLE: ClassVar[str] = "target"

    def __init__(self, summary: Summary, design: str = "") -> None:
        super().__init__()
        assert summary.target is not None
        self._ground = summary
        self.here = summary.with_target(summary.target)
        self._why = OwnReason.AS_IT_WAS if summary.chosen is not None else OwnReason.SUGGESTED
        self.line: EntryLine[None] = EntryLine()
        self._candidates: list[Candidate] = []
        self._curves: chart.Curves | None = None
        self._columns: list[str] = []
        """The letters of the candidates as they stand side by side."""
        self._table_left, self._table_at, self._table_rows, self._column_width = 0, 0, 0, 1
        self._drawn: chart.Chart | None = None
        """The chart, as far as it does not move with the target."""
        self.design = design
        """The design's shape in words; empty for a plane."""
        self._reshaped = False
        self._weigh()

    def on_resize(self, event: events.Resize) -> None:
        """Draw anew for the room there is."""
        self._curves = self._drawn = None
        super().on_resize(event)

    def press(self, key: Stroke) -> None:
        """Arrows move, letters choose, a reading and Enter types a target, Enter alone takes it."""
        if self.line.question is None and not self.line.text and self._command(key):
            pass
        else:
            self._work_off(key)
        if self.is_attached:
            self.show_anew()
            if self.line.question is not None:
                self.call_after_refresh(lambda: self.line.seen(monotonic()))

    def tapped(self, event: events.Click) -> None:
        """A tap on a candidate goes there, on HERE it takes the target."""
        left = self._table_left + drawing.LABEL
        column = (event.x - left) // self._column_width
        on_table = self._table_at <= event.y < self._table_at + self._table_rows and event.x >= left
        if on_table and column < len(self._columns) and self.line.question is None:
            if self._columns[column] == drawing.HERE:
                self.do_take()
                return
            self._jump(self._columns[column])
            self.show_anew()

    def _work_off(self, key: Stroke) -> None:
        for outcome in self.line.press(key):
            match outcome:
                case Submitted(text):
                    self.line.finish(partial(self._typed, text))
                case Chosen(answer):
                    self.line.finish(answer)
                case Command(pressed):
                    if not self._command(pressed):
                        self.line.type_in(pressed)
                    else:
                        self.line.forget_refused()

    # -- what can be done -----------------------------------------------------------------------------------

    def _command(self, key: Stroke) -> bool:
        action = self.action_of(key)
        if action is None:
            return False
        self.line.message = ""
        self.do(action.id)
        return True

    def do_take(self) -> None:
        """Take the target."""
        assert self.here.target is not None
        self.dismiss(Aim(self.here.target, self._why, (self.design or "plane") if self._reshaped else None))

    def do_leave(self) -> None:
        """Leave it where it was."""
        self.dismiss(None)

    def do_up(self) -> None:
        """One rounding step higher."""
        self._step(1)

    def do_down(self) -> None:
        """One rounding step lower."""
        self._step(-1)

    def do_leap_up(self) -> None:
        """Several steps higher."""
        self._step(LEAP)

    def do_leap_down(self) -> None:
        """Several steps lower."""
        self._step(-LEAP)

    def do_average(self) -> None:
        """To the average."""
        self._jump("a")

    def do_by_area(self) -> None:
        """To the average by area."""
        self._jump("r")

    def do_balance(self) -> None:
        """To the balance."""
        self._jump("b")

    def do_suggested(self) -> None:
        """To the suggested target."""
        self._jump("s")

    def do_chosen(self) -> None:
        """Back to the target chosen before."""
        self._jump("c")

    def do_slopes(self) -> None:
        """Type the slopes, along and then across."""
        job, plane = self._ground.job, self._plane
        example = "1%, 1/50, 1/4in/ft, 3in fall"

        def across(along: float) -> Callable[[str], None]:
            def take(said: str) -> None:
                rise = parse_slope(said, job.width) if said.strip() else plane.across
                self._slope(along, rise, OwnReason.SLOPES_TYPED)

            return take

        def take_along(said: str) -> None:
            along = parse_slope(said, job.length) if said.strip() else plane.along
            prompt = say(
                "slope to the right (Enter {usual}) {example}", usual=words.percent(plane.across), example=example
            )
            self.line.ask(Question(prompt, across(along)))

        self.line.ask(
            Question(
                say("slope away (Enter {usual}) {example}", usual=words.percent(plane.along), example=example),
                take_along,
            )
        )

    def do_ground(self) -> None:
        """The slopes that the ground has now."""
        tilt = self._ground.tilt
        if tilt is not None:
            self._slope(tilt.along, tilt.across, OwnReason.SLOPES_OF_GROUND)

    def do_best_fit(self) -> None:
        """The balanced plane that fits the ground best."""
        dirt = self.here.dirt
        if dirt is not None:
            self._take_grade(dirt.least_squares, OwnReason.BEST_FIT)

    def do_least_earth(self) -> None:
        """The balanced plane with the least cut and fill."""
        dirt = self.here.dirt
        if dirt is not None:
            self._take_grade(dirt.least_earth, OwnReason.LEAST_EARTH)

    def do_level(self) -> None:
        """No slopes."""
        self._slope(0.0, 0.0, OwnReason.LEVEL)

    def message_of_copy(self, told: str) -> None:
        """Say what came of copying."""
        self.line.message = told

    # -- the design's shape ---------------------------------------------------------------------------------

    def do_design(self) -> None:
        """A crown, a valley, a ramp or a dish, or a plane again."""
        ask_shape(self.line, self._ground.grid, self._shape)

    def _shape(self, said: str) -> None:
        """Lay the target out in a shape, at the height suggested for it."""
        said = " ".join(said.split())
        shape = shape_of_words(said, self._ground.grid)
        self._lie(replace(self._plane, shape=shape), OwnReason.BY_HAND)
        self.design, self._reshaped = said, True

    # -- moving ---------------------------------------------------------------------------------------------

    @property
    def _plane(self) -> Plane:
        assert self.here.target is not None
        return self.here.target

    def _step(self, steps: int) -> None:
        """To the next multiple of the rounding step in that direction."""
        step = self._ground.job.round_to
        at = self._plane.offset_nm
        start = at // step if steps > 0 else -(-at // step)
        self._move((start + steps) * step, OwnReason.BY_HAND)

    def _jump(self, letter: str) -> None:
        found = next((candidate for candidate in self._candidates if candidate.letter == letter), None)
        if found is not None and found.why is not None:
            self._move(found.offset_nm, found.why)

    def _move(self, offset_nm: int, why: OwnReason) -> None:
        self._why = why
        self.here = self.here.with_target(replace(self._plane, offset_nm=offset_nm))

    def _slope(self, along: float, across: float, why: OwnReason) -> None:
        """Other slopes; the target goes to the height suggested for them."""
        self._lie(Plane(self._plane.offset_nm, along, across, self._plane.shape), why)

    def _lie(self, plane: Plane, why: OwnReason) -> None:
        """A target that lies otherwise; it goes to the height suggested for that."""
        lying = self._ground.with_target(plane)
        offset = lying.suggested if lying.suggested is not None else plane.offset_nm
        self.here = lying.with_target(replace(plane, offset_nm=offset))
        self._why = why
        self._weigh()

    def _take_grade(self, grade: Grade, why: OwnReason) -> None:
        offset = round_half_even(round(grade.offset * 1e9), self._ground.job.step)
        self.here = self._ground.with_target(Plane(offset, grade.along, grade.across))
        self.design, self._reshaped = "", True
        self._why = why
        self._weigh()

    def _typed(self, said: str) -> None:
        """Enter: a typed target is shown first, a second Enter takes it; Enter alone takes what is shown."""
        if not said.strip():
            self.do_take()
            return
        try:
            offset = parse_height(said, self._ground.job.heights)
        except Unsigned:
            raise LengthError(say("above or below the zero? say it with its sign, such as -1/2")) from None
        self._move(offset, OwnReason.TYPED)
        self.do_take()

    def _weigh(self) -> None:
        """The candidates for the slopes in force, side by side."""
        here, step = self.here, self._ground.job.step
        dirt = here.dirt
        average = here.average_above_slope
        heights = {
            ("a", OwnReason.AVERAGE): average,
            ("r", OwnReason.BY_AREA): here.area_average_above_slope,
            ("b", OwnReason.BALANCE): dirt.balance * 1e9 if dirt is not None else None,
            ("s", OwnReason.SUGGESTED): here.suggested,
            ("c", OwnReason.CHOSEN): self._ground.chosen.offset_nm if self._ground.chosen is not None else None,
        }
        self._candidates = [
            Candidate(letter, why, here.with_target(replace(self._plane, offset_nm=round_half_even(round(nm), step))))
            for (letter, why), nm in heights.items()
            if nm is not None
        ]
        self._curves = self._drawn = None

    # -- showing --------------------------------------------------------------------------------------------

    def drawn(self, width: int, height: int) -> list[Text]:
        """Chart, candidates side by side, warnings, entry and keys."""
        told = self._told(width)
        room = height - len(told) - OTHER_ROWS
        beside = width >= BESIDE
        across = width - drawing.LABEL - 6 * drawing.WIDEST - 2 if beside else width
        table = self._table(
            width - across - 1 if beside else width - 1, room if beside else max(room - chart.LEAST - chart.STRIP, 3)
        )
        rows = room if beside else room - len(table)
        drawn = self._chart(across, rows) if rows >= chart.LEAST else []
        self._table_left, self._table_at, self._table_rows = across if beside else 0, 1, len(table)
        if beside:
            pad = drawing.pad(self.here, width - across, rows - len(table) - 1)
            body = side_by_side(drawn, [*table, Text(""), *pad], across)
        else:
            self._table_at = 1 + len(drawn)
            body = [*drawn, *table]
        shape = say("shape: {shape}", shape=self.design) if self.design else ""
        lies = words.slope_words(self._plane.along, self._plane.across)
        head = self.head(f"{say('target')}   {shape}{', ' if shape else ''}{lies}", width)
        return [*self.filled([head, *body], height - len(told) - 2), *told, self._entry(), self._keys(width)]

    def _told(self, width: int) -> list[Text]:
        """Where water runs, what the suggested height costs, and what is to be known before anybody digs."""
        told = [*words.warnings(self.here), *([words.water_words(self.here.water)] if self.here.water else [])]
        told += [f"{say('suggested')} {drop}" for drop in [words.drop_words(self.here)] if drop]
        most = 1 if self.size.height < ROOM_FOR_TWO else 2 if self.size.height < ROOM_FOR_ALL else 3
        while len(told) > 1 and len(wrapped("; ".join(told), width)) > most:
            told.pop()
        return wrapped("; ".join(told), width, STRONG, most=most) or [Text("")]

    def _chart(self, width: int, rows: int) -> list[Text]:
        marks = drawing.marks_of(self._candidates)
        here = self._plane.offset_nm
        if self._curves is None or not self._curves.offsets[0] <= here <= self._curves.offsets[-1]:
            heights = [*(at for at, _ in marks.values()), here]
            self._curves = drawing.curves(self.here, heights, max(width - chart.LABEL - 2, 10))
            self._drawn = None
        fine = self.program.has_braille
        if self._drawn is None or self._drawn.rows != rows or self._drawn.fine != fine:
            self._drawn = chart.Chart(self._curves, drawing.axes(self._ground), rows, fine)
        return self._drawn.drawn(marks, here)

    def _table(self, width: int, height: int) -> list[Text]:
        """The candidates side by side, and where the target is now at the right."""
        here = Candidate(drawing.HERE, None, self.here)
        table = drawing.table(self._ground, [*self._candidates, here], width, height)
        self._columns, self._column_width = table.letters, table.column_width
        return table.lines

    def _entry(self) -> Text:
        if self.line.message:
            return Text(f" {self.line.message}", MESSAGE).append(f" > {words.harmless(self.line.text)}_", ACCENT)
        prompt = (
            self.line.question.prompt if self.line.question else say("Enter uses this, Esc cancels, or type a height")
        )
        return Text(f" {prompt} > ", ACCENT).append(f"{words.harmless(self.line.text)}_", STRONG)

    def _keys(self, width: int) -> Text:
        """The footer: what ends what is typed or asked, else the actions."""
        typing = self.line.question is not None or self.line.text
        buttons = answers(self.line) if typing else of_actions(self.actions)
        return self.foot(width, buttons, always=0 if typing else 1)
