"""The widget of the plan: repaints the cells that changed, scrolls, and tells which cell was tapped."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import chain
from types import MappingProxyType

from rich.segment import Segment
from textual.events import Click, MouseScrollDown, MouseScrollUp, Resize
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip

from rodcall.figures.ground.averages import Indices
from rodcall.figures.summary import Summary
from rodcall.tui.shot_grid.doubts import KnownDoubts
from rodcall.tui.shot_grid.plan.drawing import Line, Part, PlanPicture
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
        self._drawn: list[Line] = []
        """All lines as they were drawn last; empty where all are to be drawn anew."""
        self._ahead: set[int] = set()
        """Positions whose number was painted before anything else was known of it."""
        self._marked = doubted.spots
        """Positions that were drawn as ones that do not fit."""
        self._then: Callable[[], None] | None = None
        """Waits for that to be painted."""

    # -- what others do with it -----------------------------------------------------------------------------

    @property
    def rows_seen(self) -> int:
        """How many lines of positions fit."""
        return self.picture.layout.rows

    def show(self, summary: Summary, cursor: int) -> None:
        """Show this summary and frame a spot (-1 for none), repainting only what differs from what is shown."""
        picture = self.picture
        before, was, ground = picture.summary, picture.cursor, picture.ground
        picture.take(summary)
        picture.cursor = cursor
        if before.grid != summary.grid:
            picture.row = picture.column = 0
            picture.fit(*self.size)
            self._ahead.clear()
            self.refresh()
            return
        ahead, self._ahead = self._ahead, set()
        moved = picture.keep_in_view()
        if self.overview or self._notice or not self._drawn or before.round != summary.round:
            self._show_lines(self._all_lines())
            return
        marked, self._marked = self._marked, picture.doubted.spots
        touched = ahead | (marked ^ self._marked)
        if was != cursor:
            touched |= {was, cursor}
        other_work: set[int] = set()
        if before is not summary:
            touched |= _changed(before, summary)
            if not _same_but_target(before, summary):
                touched |= {before.zero, summary.zero, *picture.numbers}
            elif before.target != summary.target:
                other_work = set(picture.numbers)
        if before is not summary or moved:
            touched |= picture.ground.differs_from(ground)
        other_work -= touched
        if moved:
            cells = self._as_drawn(ground.spots, touched)
            cells |= {index: picture.with_work(cells[index], index) for index in other_work & cells.keys()}
            self._show_lines(self._all_lines(cells))
            return
        # The far end's line tells which way the water runs.
        if before is not summary and (head := [picture.head()]) != self._drawn[0]:
            self._drawn[0] = head
            self.repaint_lines([0])
        changed: set[int] = set()
        for index in touched:
            changed |= self.draw_cell(index, picture.cell)
        for index in other_work:
            changed |= self.draw_cell(index, lambda at: picture.with_work(self._cell(at), at))
        self.repaint_lines(sorted(changed))

    def write(self, index: int, height_nm: int, then: Callable[[], None]) -> None:
        """Paint a height that was just taken, before anything else is known of it.

        Args:
            index: The position.
            height_nm: Nanometres above the zero.
            then: Called when the number is on its way to the terminal, or soon where it is not seen.
        """
        changed: set[int] = set()
        if self._drawn and not self._notice and not self.overview:
            self._ahead.add(index)
            changed = self.draw_cell(index, lambda _: self.picture.with_height(self._cell(index), index, height_nm))
            self.repaint_lines(sorted(changed))
        if changed:
            self._then = then
        else:
            self.call_later(then)

    def show_notice(self, lines: Sequence[str]) -> None:
        """Words in place of the plan, until they were read; none takes them away."""
        self._notice = list(lines)
        self.refresh()

    def toggle_overview(self) -> None:
        """All of the pad in shades, or its numbers."""
        self.overview = not self.overview
        self.refresh()

    # -- events ---------------------------------------------------------------------------------------------

    def on_resize(self, event: Resize) -> None:
        """Lay out anew."""
        self.picture.fit(*self.size)
        self.refresh()

    def on_click(self, event: Click) -> None:
        """A tap goes to its cell; from the overview to the numbers at a shade that was tapped."""
        index = (
            self.picture.overview.position_at(event.x, event.y)
            if self.overview
            else self.picture.cell_at(event.x, event.y)
        )
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
        self.refresh()

    # -- painting -------------------------------------------------------------------------------------------

    def refresh(self, *regions: Region, repaint: bool = True, layout: bool = False, recompose: bool = False) -> Plan:
        """All of it looks different, or those lines that have these regions."""
        if not regions:
            self._drawn = []
        super().refresh(*regions, repaint=repaint, layout=layout, recompose=recompose)
        return self

    def draw_cell(self, index: int, draw: Callable[[int], list[Part]]) -> set[int]:
        """Draw one cell anew, where it is seen; the lines that look different by it."""
        place = self.picture.place_of(index)
        if place is None or place[0] + self.picture.layout.height > len(self._drawn):
            return set()
        first, at = place
        changed = set()
        for y, part in enumerate(draw(index), first):
            if self._drawn[y][at] != part:
                self._drawn[y][at] = part
                changed.add(y)
        return changed

    def _cell(self, index: int) -> list[Part]:
        """A cell in view as it was drawn last."""
        first, at = self.picture.place_of(index) or (0, 0)
        return [line[at] for line in self._drawn[first : first + self.picture.layout.height]]

    def _as_drawn(self, spots: Indices, touched: set[int]) -> dict[int, list[Part]]:
        """The cells of positions in view, far end first, as they stand, but for those that look different."""
        height = self.picture.layout.height
        rows = [(self._drawn[1 + at * height :][:height], row) for at, row in enumerate(spots.tolist())]
        return {
            index: [line[1 + column] for line in lines]
            for lines, row in rows
            for column, index in enumerate(row)
            if len(lines) == height and index not in touched
        }

    def _show_lines(self, lines: list[Line]) -> None:
        """Show these lines in place of those that stand."""
        drawn, self._drawn = self._drawn, lines
        self.repaint_lines([y for y, line in enumerate(lines) if y >= len(drawn) or drawn[y] != line])

    def _all_lines(self, cells: Mapping[int, list[Part]] = MappingProxyType({})) -> list[Line]:
        """All lines, those of these cells as they are."""
        height = self.size.height
        if self._notice:
            lines: list[Line] = [[] for _ in range(height)]
        elif self.overview:
            overview = self.picture.overview
            lines = [[overview.line(y)] for y in range(height)]
        else:
            lines = self.picture.lines(cells)[:height]
            lines += [[] for _ in range(height - len(lines))]
        for y, told in enumerate(self._notice[: max(height - 1, 0)], 1):
            lines[y] = [[Segment(f"  {told}", STRONG)]]
        return lines

    def render_lines(self, crop: Region) -> list[Strip]:
        """The lines as they go to the terminal."""
        then, self._then = self._then, None
        if then is not None:
            self.call_later(then)
        return super().render_lines(crop)

    def segments(self, y: int) -> Iterable[Segment]:
        """One line of the plan."""
        if not self._drawn:
            self._drawn = self._all_lines()
        return chain.from_iterable(self._drawn[y]) if y < len(self._drawn) else ()


def _same_but_target(before: Summary, after: Summary) -> bool:
    """True when heights are held against the same limits, zero, facts and datum as before."""
    was, now = ((each.tolerance, each.zone_said, each.zero, each.job, each.datum) for each in (before, after))
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
        | (before.out_mask != summary.out_mask)
    )
    return set(changed.nonzero()[0].tolist())
