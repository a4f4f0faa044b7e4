"""A job as facts that were mended later say: the same job with other fields, checked as a whole."""

from __future__ import annotations

from typing import Any

import numpy as np
from pydantic import ValidationError

from rodcall.book.model.facts import FactError, FactValue
from rodcall.book.model.grid import Grid, GridError, moved
from rodcall.book.model.job import Job
from rodcall.book.model.refused import first_trouble
from rodcall.i18n import say
from rodcall.units import Unit

_FIELDS = {
    "inset": "inset",
    "step": "step",
    "crew-tolerance": "goal",
    "rounding": "round_to",
    "drop": "least_drop",
    "zero": "zero",
    "slope-along": "slope_along",
    "slope-across": "slope_across",
    "name": "name",
    "place": "place",
    "customer": "customer",
    "site": "site",
}
"""Field of a job by the fact that sets it alone."""

LAID_OUT = (
    *("length", "width", "along", "across", "inset", "spacing_along", "spacing_across"),
    *("zero", "step", "heights"),
)
"""Fields that change what entries already written mean: where positions lie, what is settled, what a check allows."""

_SIDES = {"along": "length", "across": "width"}
ADDED_AT_A1 = {"add-lines-near": "along", "add-columns-left": "across"}
"""Facts by which A1 moves, and along which side."""


def mended(job: Job, name: str, value: FactValue) -> Job:
    """The job with one fact mended.

    Args:
        job: As it was before.
        name: Of the fact (`facts.FACTS`).
        value: As `facts.parse_fact` gives it.

    Raises:
        FactError: when it does not go with the other facts; one line with the way out.
    """
    try:
        changed = _changed(job, name, value)
    except GridError as error:
        raise FactError(str(error)) from None
    try:
        return Job(**{**{field: getattr(job, field) for field in Job.model_fields}, **changed})
    except ValidationError as error:
        _, why = first_trouble(error)
        raise FactError(why) from None


def _changed(job: Job, name: str, value: FactValue) -> dict[str, Any]:
    if name in _FIELDS:
        changed: dict[str, Any] = {_FIELDS[name]: value}
        if name == "inset" and isinstance(value, int):
            changed |= {
                side: sum(gaps) + 2 * value
                for axis, side in _SIDES.items()
                if (gaps := getattr(job, f"spacing_{axis}"))
            }
        return changed
    if name == "unit":
        return _in_unit(job, Unit(str(value)))
    assert isinstance(value, tuple)
    if name in ("size", "count"):
        fields = ("length", "width") if name == "size" else ("along", "across")
        for axis, field, new in zip(_SIDES, fields, value, strict=True):
            if getattr(job, f"spacing_{axis}") and getattr(job, field) != new:
                raise FactError(
                    say("spots lie unevenly here; say the distances: fact spacing {axis} 10ft 12ft 12ft", axis=axis)
                )
        return dict(zip(fields, value, strict=True))
    if name in ADDED_AT_A1:
        axis = ADDED_AT_A1[name]
        by = (len(value), 0) if axis == "along" else (0, len(value))
        # The first distance is the one next to the old line: the others lie farther out.
        return {**_spaced(job, axis, (*value[::-1], *gaps_of(job.grid, axis))), "zero": moved(job.zero, by)}
    verb, _, where = name.partition("-")
    axis = where if verb == "spacing" else {"lines": "along", "columns": "across"}[where]
    if verb == "add":
        return _spaced(job, axis, (*gaps_of(job.grid, axis), *value))
    if not value:
        return {f"spacing_{axis}": ()}
    return _spaced(job, axis, value * (getattr(job, axis) - 1) if len(value) == 1 else value)


def gaps_of(grid: Grid, axis: str) -> tuple[int, ...]:
    """Distances from line to line (`along`) or column to column (`across`), nanometres."""
    return tuple(np.diff(grid.along_nm if axis == "along" else grid.across_nm).tolist())


def _spaced(job: Job, axis: str, gaps: tuple[int, ...]) -> dict[str, Any]:
    """A pad as long as its distances say; equal ones are even spots."""
    even = len(set(gaps)) == 1
    return {
        f"spacing_{axis}": () if even else gaps,
        axis: len(gaps) + 1,
        _SIDES[axis]: sum(gaps) + 2 * job.inset,
    }


def _in_unit(job: Job, unit: Unit) -> dict[str, Any]:
    """Another unit; what was customary in the one before becomes what is customary in it."""
    customary = {"step": "default_step", "round_to": "default_round_to", "least_drop": "default_least_drop"}
    return {
        "heights": unit,
        **{
            field: getattr(unit, default)
            for field, default in customary.items()
            if getattr(job, field) == getattr(job.heights, default)
        },
    }
