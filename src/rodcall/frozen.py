"""Frozen dataclasses, each made when its first object is.

`dataclasses.dataclass` compiles six methods for every class, 0.4 ms a class, and a crew that was interrupted waits for
all the classes of which the first screen has no object: some 40 ms of the start.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from threading import RLock
from typing import Any, dataclass_transform

_making = RLock()
_to_be_made: dict[type, bool] = {}
"""Whether each is compared by its fields."""


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
class Frozen:
    """A class of this kind is a frozen dataclass by its annotations; `eq=False` compares its objects by identity.

    A class that is based on one with fields is made at once. One without fields, as a name for several, has no objects.
    """

    def __init_subclass__(cls, *, eq: bool = True, **known: Any) -> None:
        super().__init_subclass__(**known)
        _to_be_made[cls] = eq
        if any(issubclass(base, Frozen) and _has_fields(base) for base in cls.__bases__):
            # Once its base has an initializer, nothing would ask for its own.
            made(cls)

    def __init__(self, *values: Any, **known: Any) -> None:
        made(type(self))
        type(self).__init__(self, *values, **known)


def made(cls: type) -> None:
    """Make a class, and those with fields that it is based on, where they are not yet; for whoever wants its fields."""
    with _making:
        for each in reversed(cls.__mro__):
            if each in _to_be_made and (each is cls or _has_fields(each)):
                dataclass(frozen=True, eq=_to_be_made[each])(each)
                del _to_be_made[each]


def _has_fields(cls: type) -> bool:
    return "__annotations__" in vars(cls)
