"""The widget of the plan: repaints the cells that changed, scrolls, and tells which cell was tapped."""

from __future__ import annotations

from collections.abc import Sequence

from rich.segment import Segment
from textual.events import Click, MouseScrollDown, MouseScrollUp, Resize
from textual.geometry import Region
from textual.message import Message

from rodcall.figures.summary import Summary
from rodcall.tui.shot_grid.doubts import KnownDoubts
from rodcall.tui.shot_grid.plan_drawing import PlanPicture
from rodcall.tui.widgets.lines import Painted
from rodcall.tui.widgets.styles import STRONG


class Plan(Painted):
    """Shows the heights of one round; holds no widget a cell and repaints the cells that changed."""

    class Tapped(Message):
        """A cell was tapped."""

        def __init__(self, index: int) -> None:
            super().__init__()
            self.index = index
            """The position's index."""

    def __init__(self, summary: Summary, cursor: int, doubted: KnownDoubts) -> None:
        super().__init__(id="plan")
        self.picture = PlanPicture(summary, cursor, doubted)
        self.overview = False
        self._notice: list[str] = []
        self._drawn: list[list[Segment]] = []
        """What was drawn last, line by line: what is drawn alike is not painted again."""
        self._fresh: set[int] = set()
        """Lines that were drawn for the sake of that and not painted yet."""

    # -- what others do with it -----------------------------------------------------------------------------

    @property
    def rows_seen(self) -> int:
        """How many lines of positions fit."""
        return self.picture.layout.rows

    def show(self, summary: Summary, cursor: int) -> None:
        """Show this summary and frame a spot (-1 for none), repainting only what differs from what is shown."""
        picture = self.picture
        before, was = picture.summary, picture.cursor
        self._fresh.clear()
        picture.take(summary)
        picture.cursor = cursor
        if before.grid != summary.grid:
            picture.row = picture.column = 0
            self._forget_drawn()
            picture.fit(*self.size)
            self.refresh()
            return
        if picture.keep_in_view() or self.overview or not self._drawn or not _same_ground(before, summary):
            self._repaint_what_differs()
            return
        touched = _changed(before, summary)
        if was != cursor:
            touched |= {was, cursor}
        for index in touched:
            self.refresh_cell(index)
        if touched:
            # The far end's line tells which way the water runs.
            self.refresh(Region(0, 0, self.size.width, 1))

    def write(self, index: int, height_nm: int) -> None:
        """Paint a height that was just taken, before anything else is known of it."""
        line = self.picture.line_of(index)
        if line is None or line >= len(self._drawn) or len(self._drawn[line]) < 2 or self._notice or self.overview:
            return
        self._fresh.clear()
        self._drawn[line] = self.picture.with_written(self._drawn[line], index, height_nm)
        self._fresh.add(line)
        self.repaint_lines([line])

    def show_notice(self, lines: Sequence[str]) -> None:
        """Words over the middle of the plan, for as long as there is nothing to see on it; none takes them away."""
        self._notice = list(lines)
        self._forget_drawn()
        self.refresh()

    def toggle_overview(self) -> None:
        """All of the pad in shades, or its numbers."""
        self.overview = not self.overview
        self._forget_drawn()
        self.refresh()

    def refresh_cell(self, index: int) -> None:
        """Paint one cell anew, where it is seen."""
        region = self.picture.region_of(index)
        if region is not None:
            self.refresh(Region(*region))

    # -- events ---------------------------------------------------------------------------------------------

    def on_resize(self, event: Resize) -> None:
        """Lay out anew."""
        self.picture.fit(*self.size)
        self._forget_drawn()
        self.refresh()

    def on_click(self, event: Click) -> None:
        """A tap goes to its cell; from the overview to the numbers at a shade that was tapped."""
        index = self.picture.shade_at(event.x, event.y) if self.overview else self.picture.cell_at(event.x, event.y)
        if index is None:
            return
        if self.overview:
            self.toggle_overview()
        self.post_message(self.Tapped(index))

    def on_mouse_scroll_up(self, event: MouseScrollUp) -> None:
        """Look further away."""
        self.scroll_lines(1)

    def on_mouse_scroll_down(self, event: MouseScrollDown) -> None:
        """Look nearer."""
        self.scroll_lines(-1)

    def scroll_lines(self, rows: int) -> None:
        """Look so many lines of positions further away, or nearer."""
        self.picture.scroll(rows)
        self._forget_drawn()
        self.refresh()

    # -- painting -------------------------------------------------------------------------------------------

    def _repaint_what_differs(self) -> None:
        drawn, self._drawn = self._drawn, [self._draw(y) for y in range(self.size.height)]
        changed = [y for y, line in enumerate(self._drawn) if y >= len(drawn) or drawn[y] != line]
        self._fresh.update(changed)
        self.repaint_lines(changed)

    def _forget_drawn(self) -> None:
        """Something else stands in each line from here on."""
        self._drawn = []
        self._fresh.clear()

    def _draw(self, y: int) -> list[Segment]:
        if 1 <= y <= len(self._notice):
            return [Segment(f"  {self._notice[y - 1]}", STRONG)]
        return self.picture.overview_line(y) if self.overview else self.picture.line(y)

    def segments(self, y: int) -> list[Segment]:
        """One line of the plan."""
        if y in self._fresh:
            self._fresh.discard(y)
            return self._drawn[y]
        line = self._draw(y)
        if y < len(self._drawn):
            self._drawn[y] = line
        return line


def _same_ground(before: Summary, after: Summary) -> bool:
    """True when only single cells can look different: same round, target, limits, zero, facts and datum.

    Existing ground is out of a target only once that is chosen, so taking the suggested one marks cells too.
    """
    was, now = (
        (each.round, each.target, each.chosen, each.tolerance, each.zero, each.job, each.datum)
        for each in (before, after)
    )
    return was == now


def _changed(before: Summary, summary: Summary) -> set[int]:
    """Positions whose cells look different."""
    changed = (
        (before.heights != summary.heights)
        | (before.state != summary.state)
        | (before.times != summary.times)
        | (before.kept != summary.kept)
        | (before.known_heights != summary.known_heights)
        | (before.from_before != summary.from_before)
        | (before.trust.suspect_mask != summary.trust.suspect_mask)
        | (before.evidence.third_due != summary.evidence.third_due)
        | (before.evidence.tablets_disagree != summary.evidence.tablets_disagree)
    )
    return set(changed.nonzero()[0].tolist())
