"""The fields of the new-job form, their defaults and errors. No widget."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from pydantic import ValidationError

from rodcall.book.book import local_time
from rodcall.book.model.entries import Readings
from rodcall.book.model.job import Job, agree
from rodcall.book.model.refused import first_trouble
from rodcall.book.storage.opening import new_job_id
from rodcall.frozen import Frozen
from rodcall.i18n import phrase, say
from rodcall.tui.pages.begin.pad_size import size_of
from rodcall.tui.terminal.keys import Stroke, takes_back
from rodcall.units import INCH, LengthError, M, Unit, parse_length, write

if TYPE_CHECKING:
    from rodcall.book.book import Book
    from rodcall.book.model.grid import Grid

WAYS = {
    phrase("height: - low, + high"): Readings.HEIGHT,
    phrase("plain rod: bigger LOWER"): Readings.ROD,
    phrase("direct rod: bigger HIGHER"): Readings.DIRECT_ROD,
}
UNITS = {
    phrase("inches and fractions"): Unit.IN,
    phrase("feet in tenths"): Unit.FT,
    phrase("millimetres"): Unit.MM,
    phrase("centimetres"): Unit.CM,
    phrase("metres"): Unit.M,
}


@dataclass
class Field:
    """One line of the form."""

    id: str
    label: str
    hint: str = ""
    text: str = ""
    choices: tuple[str, ...] = ()
    """Where not empty, the text is one of these."""


class Row(Frozen):
    """A field as it is shown."""

    label: str
    text: str
    hint: str
    trouble: str
    customary: bool
    """True where the text is the customary answer, not a typed one."""


class Form:
    """Fields in order, the one that is filled in, and the job that they make."""

    like: Book | None = None
    """Another job that this one is begun like (`like_form`)."""

    def __init__(self) -> None:
        self.at = 0
        self._fields = [
            Field("size", phrase("pad size"), phrase("length x width, then shots: 60x30ft 4x5")),
            Field("name", phrase("name")),
            Field("customer", phrase("customer"), phrase("optional")),
            Field("place", phrase("place"), phrase("optional")),
            Field("heights", phrase("heights in"), phrase("right or + for the next"), next(iter(UNITS)), tuple(UNITS)),
            Field("length", phrase("pad length"), phrase("away from you")),
            Field("width", phrase("pad width"), phrase("along the near edge")),
            Field("along", phrase("shots along"), phrase("corners included")),
            Field("across", phrase("shots across"), phrase("corners included")),
            Field("inset", phrase("inset"), phrase("pad's edge to the outer shots")),
            Field("step", phrase("smallest mark"), phrase("on the rod")),
            Field("readings", phrase("readings are"), phrase("right or + for the next"), next(iter(WAYS)), tuple(WAYS)),
            Field("tolerance", phrase("tolerance"), phrase("the customer's limit")),
            Field("goal", phrase("crew tolerance"), phrase("tighter")),
            Field("zero", phrase("zero at"), phrase("the spot called grade")),
            Field("begin", "", phrase("Enter begins the job"), phrase("BEGIN THE JOB"), (phrase("BEGIN THE JOB"),)),
        ]
        self._by_id = {field.id: field for field in self._fields}

    @property
    def count(self) -> int:
        """How many lines."""
        return len(self._fields)

    @property
    def at_end(self) -> bool:
        """True on the line that begins the job."""
        return self.at == self.count - 1

    @property
    def unit(self) -> Unit:
        """The unit in which heights will be said."""
        return UNITS[self._by_id["heights"].text]

    @property
    def is_sized(self) -> bool:
        """The size is typed, and nothing but the answers that are there already is left."""
        field = self._fields[self.at]
        return field.id == "size" and bool(field.text.strip()) and not self._trouble(field)

    @property
    def is_empty(self) -> bool:
        """Nothing of the pad's size is typed yet."""
        return not any(self._by_id[id].text for id in ("size", *_WANTED))

    def to_end(self) -> None:
        """To the line that begins the job."""
        self.at = self.count - 1

    def press(self, key: Stroke) -> None:
        """Work off one key."""
        field = self._fields[self.at]
        if key.name in ("enter", "down", "tab"):
            self.move(1)
        elif key.name in ("up", "shift+tab"):
            self.move(-1)
        elif field.choices:
            self._choose(field, key)
        elif key.name == "backspace":
            field.text = field.text[:-1]
            self._spread(field)
        elif key.character:
            self.paste(key.character)

    def move(self, by: int) -> None:
        """To another field, as far as there are any."""
        self.at = min(max(self.at + by, 0), self.count - 1)

    def clear(self) -> None:
        """Empty the field, so that its customary answer stands again."""
        field = self._fields[self.at]
        field.text = field.choices[0] if field.choices else ""
        self._spread(field)

    def types(self, key: Stroke) -> bool:
        """Is this key one more character of what is typed in the field already?"""
        field = self._fields[self.at]
        return bool(key.character and field.text) and not field.choices and not takes_back(key, field.text)

    def paste(self, text: str) -> None:
        """Add text to the field that is filled in."""
        field = self._fields[self.at]
        if not field.choices:
            field.text = (field.text + " ".join(text[:2000].split("\n")).rstrip("\r"))[:200]
            self._spread(field)

    def _spread(self, field: Field) -> None:
        """What is typed as the pad's size is the answer of the fields that it is made of."""
        if field.id != "size":
            return
        try:
            sizes = size_of(field.text)
        except ValueError:
            sizes = ()
        for id, text in zip(_WANTED, (*sizes, "", "", "", ""), strict=False):
            self._by_id[id].text = text

    def rows(self) -> list[Row]:
        """All fields as they are shown now."""
        return [
            Row(
                say(field.label),
                say(field.text) if field.choices else field.text or self._customary(field.id),
                say(field.hint),
                self._trouble(field),
                not field.text,
            )
            for field in self._fields
        ]

    def job(self) -> Job:
        """The job that the form makes.

        Raises:
            ValueError: one line that names the first field that will not do; the form stands on it.
        """
        for at, field in enumerate(self._fields):
            trouble = self._trouble(field) or (
                say("required") if not self._answer(field.id) and field.id in _WANTED else ""
            )
            if trouble:
                self.at = at
                raise ValueError(f"{say(field.label)}: {trouble}")
        try:
            return self._made()
        except ValidationError as error:
            raise ValueError(first_trouble(error)[1]) from None

    def _made(self) -> Job:
        high, low = self._limits()
        agreed = agree(
            self.unit,
            name=self._answer("name"),
            customer=self._answer("customer"),
            place=self._answer("place"),
            length=self._size("length"),
            width=self._size("width"),
            along=int(self._answer("along")),
            across=int(self._answer("across")),
            inset=self._size("inset"),
            step=self._height("step"),
            readings=WAYS[self._answer("readings")],
            tolerance_high=high,
            tolerance_low=low,
            goal=self._height("goal"),
            zero=self._answer("zero").upper(),
            **self._more(),
        )
        return Job(id=new_job_id(), created=local_time(), **agreed)

    def _limits(self) -> tuple[int, int]:
        """Tolerance high and low."""
        typed = self._height("tolerance")
        return typed, typed

    def _more(self) -> dict[str, Any]:
        """Fields of the job that no line asks."""
        return {}

    def _answer(self, id: str) -> str:
        return self._by_id[id].text.strip() or self._customary(id)

    def _choose(self, field: Field, key: Stroke) -> None:
        count, now = len(field.choices), field.choices.index(field.text)
        if key.name == "right" or key.character in ("+", " "):
            now += 1
        elif key.name == "left" or key.character == "-":
            now -= 1
        elif key.character.isdigit() and 1 <= int(key.character) <= count:
            now = int(key.character) - 1
        field.text = field.choices[now % count]

    def follows(self, width: int) -> str:
        """How many shots the answers make, how far apart, and in which unit; empty where they do not do.

        Args:
            width: Columns; the unit makes way.
        """
        made = self.grid
        if made is None:
            return ""
        away, right = (self._taped(int(each[1] - each[0])) for each in (made.along_nm, made.across_nm))
        told = say(
            "{number} shots: {along} lines {away} apart, {across} in each, {right} apart",
            number=made.size,
            along=made.along,
            across=made.across,
            away=away,
            right=right,
        )
        whole = f"{told}; {say('heights in {unit}', unit=say(self._by_id['heights'].text))}"
        return whole if len(whole) <= width else told

    @property
    def grid(self) -> Grid | None:
        """The grid that the answers make; None where they do not do."""
        sizes = ("length", "width", "along", "across", "inset")
        if any(not self._answer(each) or self._trouble(self._by_id[each]) for each in sizes):
            return None
        from rodcall.book.model.grid import Grid, GridError

        try:
            return Grid(
                self._size("length"),
                self._size("width"),
                int(self._answer("along")),
                int(self._answer("across")),
                self._size("inset"),
            )
        except GridError:
            return None

    @property
    def sides(self) -> tuple[str, str]:
        """How long the pad is, away and across, as the tape has it; nothing where that is not known."""
        made = self.grid
        return ("", "") if made is None else (self._taped(made.length), self._taped(made.width))

    def _taped(self, nm: int) -> str:
        """A distance as the tape has it."""
        if self.unit in (Unit.IN, Unit.FT):
            feet, inches = divmod(round(nm / INCH), 12)
            return f"{feet}' {inches}\""
        return f"{nm / M:.2f} m"

    # -- answers that are there already ---------------------------------------------------------------------

    def _customary(self, id: str) -> str:
        unit = self.unit
        match id:
            case "name":
                return say("pad {day}", day=date.today().isoformat())
            case "along" | "across":
                return self._suggested_count("length" if id == "along" else "width")
            case "inset":
                return "0"
            case "zero":
                return "A1"
            case "step":
                return write(unit.default_step, unit, sign=False)
            case "tolerance" | "goal":
                agreed = agree(unit)
                return write(agreed["tolerance_high" if id == "tolerance" else "goal"], unit, sign=False)
        return ""

    def _suggested_count(self, side: str) -> str:
        try:
            span = self._size(side)
        except LengthError:
            return ""
        return str(min(max(round(span / self.unit.default_spacing) + 1, 3), 99)) if span else ""

    # -- what will not do -----------------------------------------------------------------------------------

    def _trouble(self, field: Field) -> str:
        check = _CHECKS.get(field.id)
        if check is None or not field.text.strip():
            return ""
        try:
            check(self, field.id)
        except ValueError as error:
            return str(error)
        return ""

    def _size(self, id: str) -> int:
        """A size of the pad: a bare number is feet or metres, as the heights' unit suggests."""
        said = self._answer(id)
        return parse_length(said, Unit.FT if self.unit in (Unit.IN, Unit.FT) else Unit.M) if said else 0

    def _positive_size(self, id: str) -> None:
        if self._size(id) <= 0:
            raise LengthError(say("must be above 0"))

    def _height(self, id: str) -> int:
        return parse_length(self._answer(id), self.unit)

    def _positive_height(self, id: str) -> None:
        if self._height(id) <= 0:
            raise LengthError(say("must be above 0"))

    def _count(self, id: str) -> None:
        said = self._answer(id)
        if not (said.isascii() and said.isdigit() and 2 <= int(said) <= 999):
            raise ValueError(say("a whole number, 2 or more"))

    def _on_grid(self, id: str) -> None:
        made = self.grid
        if made is not None:
            made.index(self._answer(id))

    def _whole_size(self, id: str) -> None:
        sizes = size_of(self._by_id[id].text)
        unit = Unit.FT if self.unit in (Unit.IN, Unit.FT) else Unit.M
        if any(parse_length(each, unit) <= 0 for each in sizes[:2]):
            raise LengthError(say("must be above 0"))


_WANTED = ("length", "width", "along", "across")
_CHECKS: dict[str, Callable[[Form, str], Any]] = {
    "size": Form._whole_size,
    "length": Form._positive_size,
    "width": Form._positive_size,
    "inset": Form._size,
    "step": Form._positive_height,
    "tolerance": Form._height,
    "goal": Form._height,
    "along": Form._count,
    "across": Form._count,
    "zero": Form._on_grid,
}
