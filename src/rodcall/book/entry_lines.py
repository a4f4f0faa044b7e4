"""One entry a line, as typed from a paper sheet: `A1 -3/8`, `B2 out rut`, `strike A1`, `setup BM1 4' 3 3/8"`."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from rodcall.book.book import Book, DoesNotFit
from rodcall.book.fold.page import PageError
from rodcall.book.fold.round_page import Change
from rodcall.book.model.entries import Remedy, RoundKind
from rodcall.book.model.facts import fact_said
from rodcall.book.model.own_reasons import OwnReason
from rodcall.i18n import phrase, say

Suggest = Callable[[], int | None]
"""Works out the suggested target of the book as it stands, in nanometres."""

FORMS = (
    ("A1 -3/8", phrase("a reading at a position, as it is typed on the screen")),
    ("A1 again -1/2", phrase("the same spot read once more; if two disagree, read a third")),
    ("B2 out rut", phrase("leave the position out, with a reason")),
    ("B3 not pad stump", phrase("not pad in any round: no area, average, dirt or punch list item")),
    ("B3:C4 not pad", phrase("the same for a rectangle of positions, by two corners")),
    ("strike A1", phrase("strike the last entry at the position in this round, or its not pad")),
    ("strike entry 1", phrase("strike an entry by its number")),
    ("reference ZERO", phrase("the zero itself as a reference")),
    ("reference BM1 low 4 1/2in", phrase("a reference and its height above the zero")),
    ("setup BM1 4' 3 3/8\"", phrase("rod: a backsight on a reference")),
    ("turn TP1 4' 8in", phrase("rod: a turning point and what the rod reads there")),
    ("check BM1 4' 3 1/2\"", phrase("a check shot: what the reference reads now")),
    ("keep wind on the mast", phrase("accept the suspect shots of the last check, with a reason")),
    ("shift", phrase("correct the suspect shots of the last check by its drift")),
    ("machine BM1 -4 1/2in", phrase("what the machine shows over a reference or a position")),
    ("target -1/2in", phrase("the target, at the zero")),
    ("target suggested", phrase("take the suggested target")),
    ("design crown B1 B4 2%", phrase("the target's shape: crown, valley, ramp A2 A4 6in, dish B3 1%, or plane")),
    ("outline A1 C1 C3 B3 B4 A4", phrase("the pad's edge by its corners: positions, or OUT,RIGHT as 30ft,12ft")),
    ("hole 22ft,12ft 22ft,28ft 38ft,20ft", phrase("an area inside that is not pad, by its corners")),
    ("zero B2", phrase("make another position the zero")),
    ("fact size 60ft x 40ft", phrase("a fact of the job is mended; readings stay at their positions")),
    ("fact count 5x6", phrase("how many spots away and across")),
    ("fact spacing along 10ft 12ft 12ft", phrase("distances from line to line (or across; one for all; or even)")),
    ("fact add lines 12ft", phrase("lines added at the far end; add columns: at the right")),
    ("fact add lines near 12ft", phrase("lines added at the near edge, where A1 moves to; add columns left")),
    ("fact unit ft", phrase("unit that heights are said in from here on; also step, rounding, drop, inset")),
    ("fact tolerance 1in", phrase("high and low alike; fact tolerance high 1in; fact crew-tolerance 1/2in")),
    ("fact zero B2", phrase("the spot that was called grade from the start; names: name, place, customer")),
    ("set shrink 10%", phrase("a term of the job and its value")),
    ("set drift 1/4in because wind", phrase("the same with a reason; a widened limit needs one")),
    ("datum BM1 812.40ft", phrase("the drawing's elevation of a reference; also set a1, set bearing, set heights-as")),
    ("round working", phrase("a new round over the same positions: working, or final")),
    ("photo IMG_0012.jpg B3", phrase("a photo and what it shows; a copy is kept beside the job")),
    ("note dry, light wind", phrase("a note")),
)
"""An example of each form of a line and what it writes, a phrase: what `rodcall enter --help` and the README list."""


class DictationError(ValueError):
    """A line that cannot be taken; the text is one line that begins with its number."""


def dictate(book: Book, lines: Iterable[str], suggest: Suggest, does_not_fit: DoesNotFit | None = None) -> int:
    """Write each line into the book, and return how many entries were written.

    Blank lines are passed over, and what follows a `#` is a comment. The caller keeps the book only when all
    lines were taken: a book that refused one is to be thrown away.

    Raises:
        DictationError: at the first line that cannot be taken.
    """
    written = 0
    for number, text in enumerate(lines, 1):
        line = text.split("#", 1)[0].strip()
        if not line:
            continue
        try:
            write_line(book, line, suggest, does_not_fit)
        except ValueError as error:
            raise DictationError(say("line {number}: {why}", number=number, why=error)) from None
        written += 1
    return written


def write_line(book: Book, line: str, suggest: Suggest, does_not_fit: DoesNotFit | None = None) -> Change:
    """Write one line into the book.

    Raises:
        LengthError: when a reading is not understood.
        PageError: when the entry cannot stand, or the line is of no known form.
    """
    first, _, rest = line.partition(" ")
    rest = rest.strip()
    match first.lower():
        case "strike":
            word, _, number = rest.partition(" ")
            if word.lower() == "entry":
                return book.strike_entry(_number(number))
            return book.strike_last(_wanted(rest, "strike A1"))
        case "reference":
            name, _, height = _wanted(rest, "reference BM1 low 4 1/2in").partition(" ")
            return book.refer(name, height)
        case "setup":
            name, _, backsight = _wanted(rest, "setup BM1 4.28").partition(" ")
            return book.set_up(name, backsight)
        case "turn":
            name, _, reading = _wanted(rest, "turn TP1 4.28").partition(" ")
            return book.turn(name, reading)
        case "check":
            name, _, reading = _wanted(rest, "check BM1 4.28").partition(" ")
            return book.check(name, reading)
        case "keep" | "shift":
            if not book.page.checks:
                raise PageError(say("no check shot to decide about"))
            return book.decide(Remedy(first.lower()), book.page.checks[-1], rest)
        case "machine":
            at, _, height = _wanted(rest, "machine BM1 +0.02").partition(" ")
            return book.test_machine(at, height)
        case "target":
            return _aim(book, _wanted(rest, "target suggested"), suggest)
        case "design":
            return _design(book, _wanted(rest, "design crown B1 B4 2%"), suggest)
        case "outline" | "hole":
            return book.outline(_wanted(rest, "outline A1 C1 C3 B3 B4 A4").split(), hole=first.lower() == "hole")
        case "datum":
            return book.set_term("datum", _wanted(rest, "datum BM1 812.40ft"))
        case "set":
            name, _, value = _wanted(rest, "set shrink 10%").partition(" ")
            value, _, why = value.partition(" because ")
            wanted = _wanted(value.strip(), say("set {name} and its value", name=repr(name[:24])))
            return book.set_term(name, wanted, why)
        case "fact":
            return _fact(book, _wanted(rest, "fact size 60ft x 40ft"))
        case "round":
            if rest not in (RoundKind.WORKING, RoundKind.FINAL):
                raise PageError(say("a round is working or final; say round final"))
            return book.begin_round(RoundKind(rest))
        case "zero":
            return book.move_zero(_wanted(rest, "zero B2"))
        case "photo":
            return book.photo(_wanted(rest, "photo IMG_0012.jpg B3"))
        case "note":
            return book.note(rest)
    if not rest:
        raise PageError(
            say("{line} is not an entry; say for example A1 -3/8, B2 out rut, strike A1", line=repr(first[:24]))
        )
    word, _, reason = rest.partition(" ")
    if word.lower() == "out":
        return book.leave_out(first, reason)
    if word.lower() == "not":
        return _not_pad(book, first, reason)
    if word.lower() == "again":
        return book.shoot(first, _wanted(reason.strip(), "A1 again -1/2"), does_not_fit)
    return book.shoot(first, rest, does_not_fit)


def _fact(book: Book, said: str) -> Change:
    """A fact that is mended, with its reason; the tolerance is a pair of terms."""
    said, _, why = said.partition(" because ")
    name, value = fact_said(said)
    if name != "tolerance":
        return book.mend(name, value, why)
    side, _, length = value.partition(" ")
    if side.lower() in ("high", "low"):
        return book.set_term(f"tolerance-{side.lower()}", length, why)
    return book.set_tolerance(_wanted(value, "fact tolerance 1in"), value, why)[-1]


def _number(said: str) -> int:
    if not (said.isascii() and said.isdigit() and len(said) < 10):
        raise PageError(say("incomplete; for example {example}", example="strike entry 12"))
    return int(said)


def _not_pad(book: Book, first: str, rest: str) -> Change:
    """`not` was said of a position, or of a rectangle of them."""
    pad, _, reason = rest.strip().partition(" ")
    if pad.lower() != "pad":
        said = repr(f"not {rest}"[:24])
        raise PageError(say("{said} is not understood; say {example}", said=said, example="B3 not pad stump"))
    position, colon, to = first.partition(":")
    return book.not_pad(position, to if colon else None, reason)


def _aim(book: Book, said: str, suggest: Suggest) -> Change:
    if said.lower() != "suggested":
        return book.aim(said)
    suggested = suggest()
    if suggested is None:
        raise PageError(say("no target to suggest before the first shot"))
    return book.aim_at(suggested, OwnReason.SUGGESTED)


def _design(book: Book, shape: str, suggest: Suggest) -> Change:
    """A shape for the target in force; the height at the zero stays, or is the suggested one."""
    target = book.page.target
    if target is not None:
        return book.aim_at(target.datum_nm - book.page.zero_level_nm, shape, shape=shape)
    suggested = suggest()
    return book.aim_at(0 if suggested is None else suggested, shape, shape=shape)


def _wanted(rest: str, example: str) -> str:
    if not rest:
        raise PageError(say("incomplete; for example {example}", example=example))
    return rest
