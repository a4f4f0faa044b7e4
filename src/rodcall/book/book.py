"""The field book of one job: screen and shell write every entry through it.

`ReadingBook` takes the readings, `Book` what was agreed besides: pad, target, terms, rounds, papers.
"""

from __future__ import annotations

from collections.abc import Sequence

from rodcall.book.fold.page import PageError
from rodcall.book.fold.round_page import Change
from rodcall.book.model.entries import (
    MOST_PLACES,
    Damage,
    Fact,
    Issue,
    Note,
    NotPad,
    Outline,
    Photo,
    Round,
    RoundKind,
    Target,
    TermSet,
    Walk,
    WalkOrder,
)
from rodcall.book.model.facts import parse_fact
from rodcall.book.model.terms import parse_term
from rodcall.book.reading_book import DoesNotFit, ReadingBook, fit, local_time
from rodcall.i18n import say
from rodcall.units import parse_height, write

__all__ = ["Book", "DoesNotFit", "local_time"]


class Book(ReadingBook):
    """A job and its entries in order, with the page that they fold into.

    Args:
        job: What was agreed.
        tablet: Signs every entry written here.
        clock: Tells the time of an entry.
    """

    # -- the pad --------------------------------------------------------------------------------------------

    def not_pad(self, position: str, to: str | None = None, reason: str = "") -> Change:
        """Write that positions are no part of the pad, in any round: out of area, average, dirt and list.

        What was read there stays in the book and counts again where the line is struck.

        Args:
            position: The position, or one corner of a rectangle of positions.
            to: The opposite corner; None for one position.
            reason: Why, in words.

        Raises:
            PageError: when a corner is off the grid, or nothing of the pad would be left.
        """
        corner = self._name(position)
        opposite = corner if to is None else self._name(to)
        return self._write(NotPad, position=corner, to=None if opposite == corner else opposite, reason=fit(reason))

    def outline(self, corners: Sequence[str], reason: str = "", *, hole: bool = False) -> Change:
        """Write the pad's edge, or a hole in it, by its corners in order around.

        Args:
            corners: Positions, or two distances from A1 as `30ft,12ft`: out, then right.
            reason: Why, in words.
            hole: A part inside that is no pad.

        Raises:
            PageError: when they bound no pad, or no three spots of one square lie on it.
        """
        said = tuple(corner if "," in corner else corner.upper() for corner in corners)
        return self._write(Outline, corners=said, hole=hole, reason=fit(reason))

    # -- the work -------------------------------------------------------------------------------------------

    def aim(
        self,
        said: str,
        why: str = "",
        slope_along: float | None = None,
        slope_across: float | None = None,
        shape: str | None = None,
    ) -> Change:
        """Write the target to dig to; slopes and shape not given stay as they are (`plane` takes the shape away)."""
        along, across = self.slopes
        before = self.page.target.entry if self.page.target is not None else None
        kept = before if isinstance(before, Target) and shape is None else None
        return self._write(
            Target,
            offset_nm=parse_height(said, self.job.heights),
            slope_along=along if slope_along is None else slope_along,
            slope_across=across if slope_across is None else slope_across,
            shape=kept.shape if kept is not None else _shape_words(shape),
            heights_nm=kept.heights_nm if kept is not None else (),
            said=said.strip(),
            why=fit(why),
        )

    def aim_at(
        self,
        offset_nm: int,
        why: str,
        slope_along: float | None = None,
        slope_across: float | None = None,
        shape: str | None = None,
    ) -> Change:
        """Write a target that was worked out, such as the suggested one."""
        return self.aim(write(offset_nm, self.job.heights), why, slope_along, slope_across, shape)

    def aim_by_heights(self, heights_nm: Sequence[int], said: str, why: str = "") -> Change:
        """Write a design that has a height for each position, as from a drawing.

        Args:
            heights_nm: Above the zero, by index.
            said: That of the zero, in words.
            why: Where they come from.
        """
        offset = parse_height(said, self.job.heights)
        return self._write(Target, offset_nm=offset, heights_nm=tuple(heights_nm), said=said.strip(), why=fit(why))

    @property
    def design(self) -> str:
        """The target's shape in words; empty for a plane."""
        target = self.page.target
        return target.entry.shape if target is not None and isinstance(target.entry, Target) else ""

    @property
    def slopes(self) -> tuple[float, float]:
        """Slopes along and across in force: the target's, else those agreed with the job."""
        target = self.page.target
        if target is not None and isinstance(target.entry, Target):
            return target.entry.slope_along, target.entry.slope_across
        return self.job.slope_along, self.job.slope_across

    def set_term(self, name: str, said: str, why: str = "") -> Change:
        """Set a term of the job, such as its shrink or the bucket, with the reason where there is one to give."""
        return self._set_term(name.lower(), said, why)

    def set_tolerance(self, high: str, low: str, why: str = "") -> list[Change]:
        """Set the tolerance above and below the target, as one act: the terms `tolerance-high` and `tolerance-low`."""
        parse_term("tolerance-low", low)
        first = self.set_term("tolerance-high", high, why)
        return [first, self._set_term("tolerance-low", low, why, together=True)]

    def mend(self, name: str, said: str, why: str = "") -> Change:
        """Mend a fact that the job was begun with; readings stay at their positions.

        Args:
            name: Of the fact (`facts.FACTS`).
            said: Its value, lengths with their unit.
            why: The reason, where there is one to give.

        Raises:
            FactError: when it is none, or cannot have that value.
            PageError: when it does not go with the others, or something written would be off the grid.
        """
        return self._write(Fact, name=name, value=parse_fact(name, said), said=said.strip(), why=fit(why))

    def begin_round(self, kind: RoundKind) -> Change:
        """Begin a new round of shots: all positions are unshot again."""
        return self._write(Round, round=kind)

    def walk(self, order: Walk) -> Change:
        """Walk the spots in another order."""
        return self._write(WalkOrder, order=order)

    def note(self, text: str) -> Change:
        """Write down words."""
        if not text.strip():
            raise PageError(say("the note is empty: type its words"))
        return self._write(Note, text=fit(text))

    def photo(self, said: str) -> Change:
        """Keep a copy of a picture beside the job, and write its digest: a file, and where it was taken.

        Raises:
            PageError: when it is no picture, damaged or too large, or shows no position and no reference.
        """
        if self.closed:
            raise PageError(self.closed)
        file, at = self._file_and_place(said.strip())
        if not file:
            raise PageError(say("name the picture's file: {example}", example="photo IMG_0012.jpg B3"))
        if self.keep_photo is None:
            raise PageError(say("a photo needs a saved job file"))
        try:
            name, digest = self.keep_photo(file)
        except ValueError as error:
            raise PageError(str(error)) from None
        return self._write(Photo, file=name, sha256=digest, at=at, said=fit(said))

    def issue(self, report: str, digest: str, verdict: str) -> Change:
        """Write that a certificate was issued on the book as it stands.

        Args:
            report: Its number; a revision keeps that of the first.
            digest: The seal of the last entry.
            verdict: What it says.

        Raises:
            PageError: when nothing was written since the last one.
        """
        issued = self.page.issues
        if issued and self.entries[-1] is issued[-1].entry:
            raise PageError(say("no new entry since the last certificate"))
        return self._write(Issue, report=report, revision=len(issued) + 1, digest=digest, verdict=verdict)

    def tell_of_damage(self, places: Sequence[int], before: Sequence[tuple[str, int]]) -> Change:
        """Write for ever that entries were damaged (see `Damage`)."""
        return self._write(Damage, places=tuple(places[:MOST_PLACES]), before=tuple(before[:MOST_PLACES]))

    # -- inside ---------------------------------------------------------------------------------------------

    def _set_term(self, name: str, said: str, why: str, *, together: bool = False) -> Change:
        value = parse_term(name, said)
        return self._write(TermSet, name=name, value=value, said=said.strip(), why=fit(why), together=together)

    def _file_and_place(self, said: str) -> tuple[str, str]:
        """A file's name, in quotes where it has blanks of its own, and the position or reference behind it."""
        if said[:1] in ('"', "'") and said.count(said[0]) > 1:
            file, _, at = said[1:].partition(said[0])
            return file, self._place(at.strip())
        file, _, at = said.rpartition(" ")
        try:
            return (file.strip(), self._place(at)) if file.strip() else (said, "")
        except PageError:
            # A name of several words without a place behind it.
            return said, ""

    def _place(self, at: str) -> str:
        return at if not at or at in self.page.references else self._name(at)


def _shape_words(shape: str | None) -> str:
    """A shape as it is kept: in one way, and none for a plane."""
    said = " ".join((shape or "").split())
    return "" if said.lower() == "plane" else said
