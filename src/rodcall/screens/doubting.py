"""Asks about readings that do not fit, at once, while the rod still stands there; writes what the crew answers."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from rodcall import words, words_doubt
from rodcall.book.entries import Confirm
from rodcall.book.repeats import agree
from rodcall.book.round_page import Change, Line
from rodcall.figures.busts import FEWEST_SHOTS, Bust, Explanation
from rodcall.figures.line_mistakes import BadLine, LineMistake
from rodcall.language import say
from rodcall.screens.asking import Answer, Asking
from rodcall.screens.entry_line import Question

if TYPE_CHECKING:
    from rodcall.screens.shots import ShotScreen

NEAR = 2
"""A kept reading is looked at again when a new one lies within so many lines and columns of it."""
LOOK_BACK = 2 * FEWEST_SHOTS
"""With so many shots the first ones are judged too: when they were taken there was nothing to hold them against."""


class Doubting(Asking):
    """What is doubted and not yet asked about, one question after the other."""

    def __init__(self, screen: ShotScreen) -> None:
        super().__init__(screen)
        self._waiting: deque[int] = deque()
        """Positions to be judged."""
        self._lines: deque[int] = deque()
        """Lines to be judged."""
        self._kept_lines: set[tuple[int, int, LineMistake]] = set()
        """Round, line and mistake that were asked about and kept."""
        self._read_again: tuple[Question | None, str] = None, ""
        """The question for a further reading, and the position that it is about."""
        self._doubted: tuple[Question | None, str] = None, ""
        """The question about a reading that does not fit, and its position; empty for one about a line."""

    def shot(self, change: Change) -> None:
        """A reading was written: it is held against the others as soon as nothing else is asked."""
        index, page = change.line.index, self._screen.book.page
        self._waiting.append(index)
        if page.round.shots == LOOK_BACK:
            self._waiting.extend(each for each in self._counted() if each != index)
        else:
            self._waiting.extend(self._kept_near(index))
        row = index // page.grid.across
        if not any(map(page.is_open, range(row * page.grid.across, (row + 1) * page.grid.across))):
            self._lines.append(row)

    def ask(self) -> None:
        """Ask about the next thing that does not fit, if there is any and nothing else is asked."""
        screen = self._screen
        while self._waiting and screen.line.question is None:
            index = self._waiting.popleft()
            if screen.book.page.not_pad[index]:
                continue
            shots = screen.book.page.round.readings_at(index)
            bust = self._bust(index, shots)
            if bust is not None:
                self._ask_about(bust, shots[-1])
        while self._lines and screen.line.question is None:
            row = self._lines.popleft()
            self._ask_about_line(row)

    # -- one reading ----------------------------------------------------------------------------------------

    def _counted(self) -> list[int]:
        return [int(at) for at in self._screen.summary.counts.nonzero()[0]]

    def _kept_near(self, index: int) -> list[int]:
        """Readings near a position that were asked about and kept: new shots may speak louder against them."""
        page = self._screen.book.page
        row, column = divmod(index, page.grid.across)
        rows = range(max(row - NEAR, 0), min(row + NEAR + 1, page.grid.along))
        columns = range(max(column - NEAR, 0), min(column + NEAR + 1, page.grid.across))
        near = (r * page.grid.across + c for r in rows for c in columns)
        return [at for at in near if at != index and any(line.confirmed_by for line in page.round.readings_at(at))]

    def _bust(self, index: int, shots: list[Line]) -> Bust | None:
        """What speaks against the reading at a position, unless the crew has answered that already.

        One that was kept is let be until as many entries were written since as it takes to judge at all.
        """
        if not shots or agree([line.datum_nm for line in shots], self._screen.book.job.step):
            return None
        bust = self._screen.summary.judged(index, shots[-1].entry.said)
        kept = shots[-1].confirmed_by
        if bust is not None and kept is not None and isinstance(kept.entry, Confirm):
            since = len(self._screen.book.page.lines) - kept.order
            return bust if since > FEWEST_SHOTS and bust.is_worse_than(kept.entry.odds) else None
        return bust

    def _ask_about(self, bust: Bust, shot: Line) -> None:
        """First the likeliest mistake; Enter leafs on to the other answers, so that a habit answers nothing."""
        screen = self._screen
        screen.doubt(bust.index)
        name = screen.book.job.grid.name(bust.index)
        out, beside = self._leaving_out(name), self._asking_beside(name)
        common: dict[str, Answer] = {"/k": self._keep(shot, bust.score), "o": out, "b": beside}
        told = say("/ keep  o rut  b beside")
        pages = []
        for each in bust.explanations:
            offer = say("* take {reading}", reading=each.text)
            prompt = f"{words_doubt.question(screen.summary, bust, each)}  {offer}  {told}"
            pages.append((prompt, {**common, "*t": self._put_right(name, each)}))
        if not pages:
            pages.append((f"{words_doubt.question(screen.summary, bust)}  {told}", common))
        others = say("{position}:  * leave out, rut or pile  / shoot beside", position=name)
        self._leaf([*pages, (others, {"*o": out, "/b": beside})], name)

    def _leaf(self, pages: Sequence[tuple[str, dict[str, Answer]]], about: str = "", at: int = 0) -> None:
        prompt, answers = pages[at]
        following = say("Enter more") if len(pages) > 1 else ""
        choices = {character: answer for characters, answer in answers.items() for character in characters}
        choices["enter"] = lambda: self._leaf(pages, about, (at + 1) % len(pages))
        question = Question(f"{prompt}  {following}", choices=choices, readings_wait=True)
        self._screen.line.ask(question)
        self._doubted = question, about

    def _put_right(self, name: str, meant: Explanation) -> Answer:
        book = self._screen.book
        return lambda: self._stay(lambda: book.put_right(name, meant.text, str(meant.mistake)))

    def _keep(self, shot: Line, odds: float) -> Answer:
        def do() -> None:
            self._screen.written(self._screen.book.confirm(shot, odds))
            self._screen.say(say("KEPT  {reading}", reading=words.read_back(self._screen.summary, shot.index)))

        return do

    def _leaving_out(self, name: str) -> Answer:
        return lambda: self._stay(lambda: self._screen.book.leave_out(name, say("rut or pile")))

    def _asking_beside(self, name: str) -> Answer:
        return lambda: self.read_again(name, say("{position}, a foot beside", position=name))

    @property
    def reading(self) -> str | None:
        """The position that is read once more, while that is asked for."""
        return self._if_open(*self._read_again)

    @property
    def doubted(self) -> str | None:
        """The position whose reading does not fit, while that is asked."""
        return self._if_open(*self._doubted)

    def _if_open(self, question: Question | None, name: str) -> str | None:
        return name or None if question is not None and question is self._screen.line.question else None

    # -- one spot again -------------------------------------------------------------------------------------

    def read_again(self, name: str, prompt: str) -> None:
        """Ask for a further reading of a position; two that agree stand, else a third is asked for."""

        def take(said: str) -> None:
            screen = self._screen
            self._stay(lambda: screen.book.shoot_again(name, said))
            readings = screen.book.page.round.readings_at(screen.book.job.grid.index(name))
            heights = [line.datum_nm for line in readings]
            if len(heights) == 2 and not agree(heights, screen.book.job.step):
                apart = words.height(screen.book.job, abs(heights[1] - heights[0]), mark=True).removeprefix("+")
                self.read_again(
                    name, say("{position}: {apart} apart, read it a third time", position=name, apart=apart)
                )

        self._ask(prompt, take)
        self._read_again = self._screen.line.question, name

    def _stay(self, write: Callable[[], Change]) -> None:
        """Write about a position without leaving the one that is next."""
        screen = self._screen
        cursor = screen.cursor
        screen.written(write())
        if screen.book.page.is_open(cursor):
            screen.cursor = cursor

    # -- a whole line ---------------------------------------------------------------------------------------

    def _ask_about_line(self, row: int) -> None:
        screen = self._screen
        here = screen.book.page.round_index
        bad = next(
            (each for each in screen.summary.line_mistakes(row) if (here, row, each.mistake) not in self._kept_lines),
            None,
        )
        if bad is None:
            return

        def keep() -> None:
            self._kept_lines.add((here, row, bad.mistake))

        prompt = f"{words_doubt.line_question(screen.summary, bad)}  {say('* put it right  / keep it as it is')}"
        self._leaf([(prompt, {"*y": lambda: self._put_line_right(bad), "/kn": keep})])

    def _put_line_right(self, bad: BadLine) -> None:
        """Each reading of the line as it must have been; the end that a shift leaves open is open again."""
        screen = self._screen
        book, across = screen.book, screen.book.job.grid.across
        meant: list[tuple[str, str]] = []
        opened: list[str] = []
        for column in range(across):
            index = bad.row * across + column
            name = book.job.grid.name(index)
            if bad.counts[column]:
                way = screen.summary.way_at(index)
                meant.append((name, way.text(way.reading(int(bad.heights[column])))))
            elif screen.summary.counts[index]:
                opened.append(name)
        screen.written_together(book.put_all_right(meant, str(bad.mistake), opened))
        self._waiting.clear()
        self._lines.clear()
