"""Commands for references, set-ups, check shots, and tests of laser and machine."""

from __future__ import annotations

from collections.abc import Callable

from rodcall.book.fold.page import ZERO, PageError
from rodcall.book.model.entries import LaserTest, Readings
from rodcall.figures.next_up import Do
from rodcall.i18n import say
from rodcall.tui.shot_grid.commands.asks import Answer, Asks
from rodcall.tui.shot_grid.session import ShotSession
from rodcall.wording import words


class Proving:
    """References, setups, checks, and tests of the instruments."""

    def __init__(self, session: ShotSession) -> None:
        self._session = session
        self._asks = Asks(session)

    # -- references and setups ------------------------------------------------------------------------------

    def reference(self) -> None:
        """Write down a reference: its name, its height, typed or read now, and where it is."""
        session = self._session
        book = session.book

        def named(name: str) -> None:
            name = name.strip() or self._free_name()
            if name.upper() == ZERO:
                raise PageError(say("ZERO is already known: its height is 0"))
            if book.page.setup is None:
                typed(name)
                return
            read: Answer = lambda: self._asks.length(  # noqa: E731
                say("{name}: what does the rod read on it now?", name=name), lambda said: where(name, said, read=True)
            )
            self._asks.choice(
                say("{name}: 1 read it with the rod now   2 type its height", name=name),
                {"1": read, "2": lambda: typed(name)},
            )

        def typed(name: str) -> None:
            small = book.job.heights.small
            prompt = say("{name}: how high above the zero? -{small} is low", name=name, small=small)
            self._asks.length(prompt, lambda said: where(name, said, read=False))

        def where(name: str, said: str, *, read: bool) -> None:
            way = book.page.readings if read else Readings.HEIGHT
            way.parse(said, book.job.heights)
            prompt = say("{name}: where is it? a position, or words if it is off the pad", name=name)
            self._asks.text(prompt, lambda place: write(name, said, place.strip(), read))

        def write(name: str, said: str, place: str, read: bool) -> None:
            on_pad = place.upper() in book.job.grid.names
            if read:
                session.written(book.turn(name, said, place))
            else:
                session.written(
                    book.refer(name, said, "" if on_pad else place, position=place.upper() if on_pad else None)
                )

        self._asks.text(say("reference: its name (Enter: {name})", name=self._free_name()), named)

    def setup(self) -> None:
        """Write a setup: which rod, on which reference, and what it reads there."""
        session = self._session

        def on(way: Readings) -> Answer:
            return lambda: self._ask_reference(
                say("{rod}: rod on which reference?", rod=_rod(way)), lambda name: backsight(way, name)
            )

        def backsight(way: Readings, name: str) -> None:
            self._asks.length(say("{name}: what does the rod read?", name=name), lambda said: set_up(way, name, said))

        def set_up(way: Readings, name: str, said: str) -> None:
            session.written(session.book.set_up(name, said, way))

        self._asks.choice(
            say("which rod?  1 plain: bigger reading is LOWER   2 direct: bigger is HIGHER"),
            {"1": on(Readings.ROD), "2": on(Readings.DIRECT_ROD)},
        )

    # -- checks ---------------------------------------------------------------------------------------------

    def check(self) -> None:
        """Read a reference again: is everything still where it was?"""
        self._ask_reference(say("check: rod on which reference?"), self.check_on, self._named_check)

    def check_on(self, name: str) -> None:
        """Ask what a reference reads now."""
        session = self._session
        what = (
            say("what does the helper call now")
            if session.book.page.readings is Readings.HEIGHT
            else say("what does the rod read")
        )
        self._asks.length(
            say("check {name}: {what}?", name=name, what=what),
            lambda said: session.written(session.book.check(name, said)),
        )

    # -- instruments ----------------------------------------------------------------------------------------

    def instrument(self) -> None:
        """Test the laser (quarter turns, two pegs) or the machine."""
        self._asks.choice(
            say("test  1 laser by quarter turns   2 laser by two pegs   3 the machine's display"),
            {"1": self._quarter_turns, "2": self._two_pegs, "3": self._machine},
        )

    def _quarter_turns(self) -> None:
        steps = (
            (say("distance from laser to a far mark, such as 100ft"), True),
            (say("head as set up: what does the mark read?"), False),
            (say("head turned a quarter: what does it read?"), False),
            (say("turned a half"), False),
            (say("turned three quarters"), False),
        )
        self._step_through(LaserTest.QUARTER_TURN, steps)

    def _two_pegs(self) -> None:
        steps = (
            (say("two pegs: how far apart? such as 120ft"), True),
            (say("laser in the middle: peg A reads"), False),
            (say("peg B reads"), False),
            (say("now beyond peg A in their line: how far from A? such as 20ft"), True),
            (say("peg A reads now"), False),
            (say("peg B reads now"), False),
        )
        self._step_through(LaserTest.TWO_PEGS, steps)

    def _step_through(self, test: LaserTest, steps: tuple[tuple[str, bool], ...]) -> None:
        """Ask step by step; the whole test is one entry, written after the last."""
        session = self._session
        readings: list[str] = []
        distances: list[str] = []

        def ask(at: int) -> None:
            if at == len(steps):
                session.written(session.book.test_laser(test, readings, distances))
                return
            prompt, is_distance = steps[at]
            # No distance has a sign: a reading that is called meanwhile is a reading.
            asks = self._asks.text if is_distance else self._asks.length
            asks(
                say(
                    "{test} {number} of {steps}: {prompt}",
                    test=say(str(test)),
                    number=at + 1,
                    steps=len(steps),
                    prompt=prompt,
                ),
                lambda said: take(at, is_distance, said),
            )

        def take(at: int, is_distance: bool, said: str) -> None:
            session.book.understand(said, is_distance=is_distance)
            (distances if is_distance else readings).append(said)
            ask(at + 1)

        ask(0)

    def _machine(self) -> None:
        session = self._session

        def over(name: str) -> None:
            self._asks.length(
                say("bucket on {name}: what height does the machine show?", name=name), lambda said: write(name, said)
            )

        def write(name: str, said: str) -> None:
            session.written(session.book.test_machine(name, said))

        self._ask_reference(say("machine: bucket on which reference?"), over)

    # -- inside ---------------------------------------------------------------------------------------------

    @property
    def _named_check(self) -> str | None:
        """The reference that is to be checked next, as the entry line names it; None where no check is due."""
        return next((each.reference for each in self._session.queue if each.do is Do.CHECK), None)

    def _ask_reference(self, prompt: str, then: Callable[[str], None], named: str | None = None) -> None:
        """Ask for a known reference by name or by its number; Enter takes the one named, else the one used last."""
        known = list(self._session.book.page.references)
        outside = [name for name in known if name != ZERO]
        usual = named or (outside[-1] if outside else ZERO)

        def take(said: str) -> None:
            word = said.strip()
            by_number = known[int(word) - 1] if word.isdigit() and 1 <= int(word) <= len(known) else word
            name = next((each for each in known if each.upper() == by_number.upper()), usual if not word else None)
            if name is None:
                raise PageError(say("no reference {name}; b writes one", name=words.harmless(word, 20)))
            then(name)

        numbered = "  ".join(f"{number} {name}" for number, name in enumerate(known, 1))
        self._asks.text(
            say("{prompt} {numbered} (Enter: {usual})", prompt=prompt, numbered=numbered, usual=usual), take, loose=True
        )

    def _free_name(self) -> str:
        known = self._session.book.page.references
        return next(name for name in (f"BM{number}" for number in range(1, 1000)) if name not in known)


def _rod(way: Readings) -> str:
    return say("plain rod") if way is Readings.ROD else say("direct-reading rod")
