"""Lines over the height of the target: cut, fill and spare, with axes, marks, and how many spots would be out below."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from rich.style import Style
from rich.text import Text

from rodcall.figures.ground.averages import Floats
from rodcall.frozen import Frozen
from rodcall.i18n import phrase, say
from rodcall.tui.widgets.styles import ACCENT, FAINT, HIGH, LOW, PLAIN, STRONG


class Curves(Frozen):
    """Volumes over the height of the target, at as many heights as the chart has columns."""

    offsets: Sequence[int]
    """Nanometres, rising."""
    cut: Sequence[float]
    fill: Sequence[float]
    spare: Sequence[float]
    out: Sequence[int] = ()
    """How many spots would be out of tolerance at each height."""


class Axes(Frozen):
    """What is written at the edges."""

    unit: str
    """Of the volumes."""
    height_unit: str
    height_words: Callable[[int], str]
    step_nm: int
    """Heights are written at multiples of this, or of a whole number of these."""


LABEL = 11
"""Characters left of the chart: the volumes."""
BELOW = 3
"""Lines under the curves: the axis, its heights, and the marks."""
STRIP = 2
"""Lines of the strip of spots that are out, where there is room."""
APART = 4
"""Columns between two heights on the axis."""

_LINES = (("cut", phrase("cut"), HIGH), ("fill", phrase("fill"), LOW), ("spare", phrase("spare"), STRONG))
"""Drawn in this order: spare, which decides, lies over the others."""
_BRAILLE = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]])
"""Bits of the dots of a braille character by row and column (The Unicode Standard, U+2800)."""
_BARS = " ▁▃▅█"


@dataclass
class Chart:
    """The chart in a room of so many columns and lines; what does not move is drawn once.

    Args:
        curves: What to draw, one height a column.
        axes: What is written at the edges.
        rows: Lines in all, `LEAST` at the least.
        fine: The terminal has braille; else letters draw the lines.
    """

    curves: Curves
    axes: Axes
    rows: int
    fine: bool
    _field: list[list[tuple[str, Style]]] = field(init=False, repr=False)
    _strip: list[Text] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        self._strip = self._drawn_strip() if self.rows >= LEAST + STRIP else []
        self._high = max(self.rows - BELOW - len(self._strip), 1)
        self._field = self._drawn_field()

    @property
    def width(self) -> int:
        """Columns of the curves."""
        return len(self.curves.offsets)

    def drawn(self, marks: Mapping[str, tuple[int, str]], here_nm: int) -> list[Text]:
        """The chart with its marks.

        Args:
            marks: Height and name by the letter that stands for it.
            here_nm: Where the target is now.
        """
        here = column_of(self.curves.offsets, here_nm)
        labels = self._labels()
        lines = []
        for row, cells in enumerate(self._field):
            line = Text(f"{labels.get(row, ''):>{LABEL - 2}} {'+' if row in labels else '|'}", FAINT)
            under = cells[here]
            # A letter of a line's name stays as it is.
            marked = under if under[0].isalpha() else ("|" if under[0] == " " else under[0], ACCENT)
            shown = [*cells[:here], marked, *cells[here + 1 :]]
            at = 0
            while at < len(shown):
                end = at
                while end < len(shown) and shown[end][1] is shown[at][1]:
                    end += 1
                line.append("".join(character for character, _ in shown[at:end]), shown[at][1])
                at = end
            lines.append(line)
        return [*lines, *self._axis(), self._marks(marks, here), *self._strip]

    # -- the curves -----------------------------------------------------------------------------------------

    @property
    def _span(self) -> tuple[float, float]:
        """Volumes at the top and at the bottom."""
        curves = self.curves
        top, bottom = max(*curves.cut, *curves.fill, *curves.spare, 1e-9), min(*curves.spare, 0.0)
        return top, bottom

    def _row(self, value: float, rows: int) -> int:
        top, bottom = self._span
        return min(max(round((top - value) / max(top - bottom, 1e-12) * (rows - 1)), 0), rows - 1)

    def _labels(self) -> dict[int, str]:
        """Volumes by their lines: round numbers, 0 among them, never on neighbouring lines."""
        top, bottom = self._span
        step = round_step((top - bottom) / max(self._high / 3, 1))
        places = max(0, -int(np.floor(np.log10(step) + 1e-9)))
        told: dict[int, str] = {}
        for number in range(int(np.ceil(bottom / step - 1e-9)), int(top / step + 1e-9) + 1):
            row = self._row(number * step, self._high)
            unit = f" {self.axes.unit}" if not number else ""
            told.setdefault(row, f"{number * step:.{places}f}{unit}"[: LABEL - 2])
        return told

    def _drawn_field(self) -> list[list[tuple[str, Style]]]:
        cells: list[list[tuple[str, Style]]] = [[(" ", PLAIN)] * self.width for _ in range(self._high)]
        zero = self._row(0.0, self._high)
        cells[zero] = [("-" if column % 2 else " ", FAINT) for column in range(self.width)]
        for name, _, style in _LINES:
            values = np.asarray(getattr(self.curves, name), np.float64)
            if self.fine:
                self._dots(cells, values, style, dashed=name == "spare")
            else:
                for column, value in enumerate(values.tolist()):
                    cells[self._row(value, self._high)][column] = (name[0].upper(), style)
        for name, words, style in _LINES:
            self._name(cells, np.asarray(getattr(self.curves, name), np.float64), f" {say(words)} ", style)
        return cells

    def _dots(self, cells: list[list[tuple[str, Style]]], values: Floats, style: Style, *, dashed: bool) -> None:
        """A line two dots thick, each column joined with the next; a broken one is told apart without colour."""
        fine = np.interp(np.arange(2 * self.width) / 2, np.arange(self.width), values)
        rows = np.array([self._row(value, 4 * self._high) for value in fine.tolist()])
        bits = np.zeros((self._high, self.width), np.int64)
        for at, row in enumerate(rows.tolist()):
            if dashed and at % 8 in (6, 7):
                continue
            before = int(rows[max(at - 1, 0)])
            low, high = min(row, before), max(row, before)
            for each in range(low, min(high + 1, 4 * self._high - 1) + 1):
                bits[each // 4, at // 2] |= _BRAILLE[each % 4, at % 2]
        for row, column in np.argwhere(bits).tolist():
            cells[row][column] = (chr(0x2800 + int(bits[row, column])), style)

    def _name(self, cells: list[list[tuple[str, Style]]], values: Floats, told: str, style: Style) -> None:
        """The line's own name, beside it where it has room and hides no other."""
        width, clear = len(told), self.width // 12
        from_left = [*range(clear, self.width - width - clear, 3)]
        order = from_left if values[0] >= values[-1] else from_left[::-1]
        for column in order:
            rows = [self._row(value, self._high) for value in values[column : column + width].tolist()]
            for row in (min(rows) - 1, max(rows) + 1):
                if 0 <= row < self._high and all(cells[row][at][0] in " -" for at in range(column, column + width)):
                    cells[row][column : column + width] = [(character, style) for character in told]
                    return

    # -- below them -----------------------------------------------------------------------------------------

    def _axis(self) -> list[Text]:
        """The heights, at round numbers."""
        offsets, told = self.curves.offsets, self.axes.height_words
        low, high = offsets[0], offsets[-1]
        widest = max(len(told(low)), len(told(high)), 4) + APART
        least = (high - low) * widest / max(self.width, 1) / self.axes.step_nm
        step = self.axes.step_nm * max(int(np.ceil(least)), 1)
        ticks, heights = ["-"] * self.width, [" "] * self.width
        for height in range(-(-low // step) * step, high + 1, step):
            column, words = column_of(offsets, height), told(height)
            start = min(max(column - len(words) // 2, 0), self.width - len(words))
            if start >= 0 and not "".join(heights[max(start - 1, 0) : start + len(words) + 1]).strip():
                ticks[column] = "+"
                heights[start : start + len(words)] = words
        edge = f"{say('height')} {self.axes.height_unit}"
        edge = f"{edge:>{LABEL - 1}.{LABEL - 1}} "
        return [
            Text(f"{' ' * (LABEL - 1)}+{''.join(ticks)}", FAINT),
            Text(f"{edge}{''.join(heights)}", FAINT),
        ]

    def _marks(self, marks: Mapping[str, tuple[int, str]], here: int) -> Text:
        """Letter and name of each mark at its height; the name goes first where there is no room."""
        line = [" "] * self.width
        line[here] = "^"
        at_of: dict[int, str] = {}
        for letter, (at, name) in marks.items():
            column = column_of(self.curves.offsets, at)
            near = sorted(range(self.width), key=lambda each: abs(each - column))
            found = next(each for each in near if line[each] == " ")
            line[found] = letter
            at_of[found] = name
        for column, name in at_of.items():
            told = f" {name}"
            room = line[column + 1 : column + len(told) + 2]
            alone = column == 0 or line[column - 1] == " "
            if alone and len(room) > len(told) and not "".join(room).strip():
                line[column + 1 : column + 1 + len(told)] = told
        drawn = Text(" " * LABEL)
        drawn.append("".join(line[:here]), STRONG).append("^", ACCENT).append("".join(line[here + 1 :]), STRONG)
        return drawn

    def _drawn_strip(self) -> list[Text]:
        """How many spots would be out of tolerance at each height, as bars."""
        out = self.curves.out
        most = max(out, default=0)
        if not most:
            return []
        steps = [-(-each * 8 // most) for each in out]
        upper = "".join(_BARS[min(max(each - 4, 0), 4)] for each in steps)
        lower = "".join(_BARS[min(each, 4)] for each in steps)
        return [
            Text(
                f"{say('out', 'spots out of tolerance, beside their bars'):>{LABEL - 5}.{LABEL - 5}} {most:>3} ", FAINT
            ).append(upper, FAINT),
            Text(f"{'0':>{LABEL - 1}} ", FAINT).append(lower, FAINT),
        ]


LEAST = BELOW + 4
"""Lines that a chart takes at the least."""


def column_of(offsets: Sequence[int], at: int) -> int:
    """The column of a height, the nearest where it lies between two or outside."""
    return min(range(len(offsets)), key=lambda column: abs(offsets[column] - at))


def round_step(least: float) -> float:
    """The smallest of 1, 2 and 5 times a power of ten that is no less."""
    power = 10.0 ** np.floor(np.log10(max(least, 1e-9)))
    return float(next(times * power for times in (1, 2, 5, 10) if times * power >= least * (1 - 1e-9)))
