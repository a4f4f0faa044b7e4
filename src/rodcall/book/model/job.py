"""A job: the pad, its grid, and what was agreed before the first shot. Mended facts make another of it.

In the file its lengths stand as a person writes them (`60 ft`, `1/2 in`); here they are whole nanometres.
"""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Any, Self

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    SerializerFunctionWrapHandler,
    WithJsonSchema,
    model_serializer,
    model_validator,
)

from rodcall.book.model.entries import Readings, Slope, Text, Time, word_of
from rodcall.book.model.grid import Grid, GridError
from rodcall.i18n import say
from rodcall.units import FOOT, MM, SIZE_LIMIT, LengthError, M, Unit, parse_length, write


def write_size(nm: int) -> str:
    """A length as the file spells it: whole or decimal feet, else inches, else metres or millimetres; exact."""
    if nm == 0:
        return "0 mm"
    if nm % (FOOT // 100) == 0 and nm >= FOOT:
        return write(nm, Unit.FT, sign=False).removesuffix(".00") + " ft"
    if (nm * 64) % (FOOT // 12) == 0:
        return write(nm, Unit.IN, sign=False, mark=True)
    if nm >= M and nm % MM == 0:
        return write(nm, Unit.M, sign=False).rstrip("0").removesuffix(".") + " m"
    return write(nm, Unit.MM, sign=False) + " mm"


def _read_size(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    try:
        return parse_length(value)
    except LengthError as error:
        raise ValueError(str(error)) from None


Shots = Annotated[int, Field(ge=-(10**9), le=10**9)]
"""Along or across; how many a pad may have says the grid, in its own words."""
Size = Annotated[
    int,
    Field(ge=0, le=SIZE_LIMIT),
    BeforeValidator(_read_size),
    PlainSerializer(write_size, return_type=str, when_used="json"),
    WithJsonSchema({"type": "string", "description": "a length with its unit: 60 ft, 1/2 in, 12.5 m, 10 mm"}),
]


Sizes = Annotated[tuple[Size, ...], Field(strict=False, max_length=9999)]


def _not_blank(value: str) -> str:
    if not value.strip():
        raise ValueError(say("a job needs a name"))
    return value


class Job(BaseModel):
    """What is known when the crew pulls up: the pad, its grid, the way of reading, what was agreed.

    All lengths in nanometres; slopes in m per m; shrink as a fraction of the cut volume lost when compacted
    (fill made = cut x (1 - shrink)).

    Raises:
        pydantic.ValidationError: when a field cannot be, each with its name.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    id: Annotated[str, Field(pattern=r"^[0-9a-f]{32}$")]
    """Names the job wherever its books meet again."""
    created: Time
    name: Annotated[Text, AfterValidator(_not_blank)]
    place: Text = ""
    customer: Text = ""
    length: Size
    """Of the pad, away from the near edge."""
    width: Size
    """Of the pad, along the near edge."""
    along: Shots
    """Shots along the length."""
    across: Shots
    """Shots along the width."""
    inset: Size = 0
    """From the pad's edge to the outermost shots."""
    heights: Annotated[Unit, word_of(Unit)]
    """The unit in which heights are said."""
    step: Size
    """Smallest mark that is read on the rod."""
    readings: Annotated[Readings, word_of(Readings)] = Readings.HEIGHT
    """Way of reading until a setup says otherwise."""
    zero: Annotated[str, Field(max_length=24)] = "A1"
    """The position that is called grade before the book says otherwise."""
    tolerance_high: Size
    tolerance_low: Size
    goal: Size
    """The crew's own, tighter tolerance, high and low alike."""
    round_to: Size
    """Targets are rounded to this."""
    least_drop: Size
    """The suggested target lies at least this far below the average."""
    shrink: Annotated[float, Field(ge=0, lt=1, allow_inf_nan=False, strict=False)] = 0.1
    slope_along: Slope = 0.0
    slope_across: Slope = 0.0
    site: Text = ""
    """Jobs of one folder and one site share benchmarks, set-ups and dirt; empty for a pad by itself."""
    spacing_along: Sizes = ()
    """Distances from line to line, near line first; empty where they lie evenly."""
    spacing_across: Sizes = ()
    """Distances from column to column, left column first; likewise."""

    @model_validator(mode="after")
    def _fits(self) -> Self:
        try:
            self.grid.index(self.zero)
        except GridError as error:
            raise ValueError(str(error)) from None
        if self.step <= 0 or self.round_to <= 0:
            raise ValueError(say("the reading step and the rounding step must be above 0"))
        return self

    @model_serializer(mode="wrap")
    def _without_later_fields(self, write: SerializerFunctionWrapHandler) -> dict[str, Any]:
        """Fields that older files do not have stay out while they say nothing: the seals of those files rest on it."""
        written: dict[str, Any] = write(self)
        return {name: value for name, value in written.items() if name not in _LATER or value}

    @cached_property
    def grid(self) -> Grid:
        """Where the positions lie."""
        sizes = self.length, self.width, self.along, self.across, self.inset
        return Grid(*sizes, self.spacing_along, self.spacing_across)


_LATER = ("spacing_along", "spacing_across", "site")


AGREED: dict[Unit, tuple[int, int]] = {
    Unit.IN: (FOOT // 12, FOOT // 24),
    Unit.FT: (FOOT // 10, FOOT // 20),
    Unit.MM: (25 * MM, 10 * MM),
    Unit.CM: (25 * MM, 10 * MM),
    Unit.M: (25 * MM, 10 * MM),
}
"""Tolerance and the crew's goal where nothing else was agreed (common practice): 1 in and 1/2 in, and their like."""


def agree(heights: Unit, **known: Any) -> dict[str, Any]:
    """The fields of a job with the customary values, in its unit, for what was not said."""
    tolerance, goal = AGREED[heights]
    customary = {
        "heights": heights,
        "step": heights.default_step,
        "tolerance_high": tolerance,
        "tolerance_low": tolerance,
        "round_to": heights.default_round_to,
        "least_drop": heights.default_least_drop,
    }
    fields = {**customary, **{key: value for key, value in known.items() if value is not None}}
    smallest = min(fields["tolerance_high"], fields["tolerance_low"])
    fields.setdefault("goal", min(goal, smallest))
    return fields
