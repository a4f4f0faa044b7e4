"""Frozen dataclasses that are made late are what `dataclasses.dataclass` makes of the same class."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, dataclass, field, fields, replace
from functools import cached_property
from threading import Barrier, Thread

import pytest

from rodcall.frozen import Frozen, made


class Spot(Frozen):
    name: str
    nm: int = 0
    seen: list[int] = field(default_factory=list)

    @cached_property
    def metres(self) -> float:
        return self.nm * 1e-9


@dataclass(frozen=True)
class Plain:
    name: str
    nm: int = 0
    seen: list[int] = field(default_factory=list)


class Named(Frozen):
    """A name for several."""


class Left(Named):
    pass


class Chosen(Named):
    at: int


class Base(Frozen, eq=False):
    at: int


class Derived(Base, eq=False):
    to: int = 2


def test_it_is_what_a_dataclass_is():
    mine, plain = Spot("A1", seen=[3]), Plain("A1", seen=[3])
    assert repr(mine) == repr(plain).replace("Plain", "Spot")
    assert [(each.name, each.type) for each in fields(mine)] == [(each.name, each.type) for each in fields(plain)]
    assert mine == Spot("A1", 0, [3]) != Spot("A1", 1, [3])
    assert replace(mine, nm=5).nm == 5
    assert Spot("B1").seen is not Spot("B1").seen
    assert Spot("B1", nm=10**9).metres == 1.0
    with pytest.raises(FrozenInstanceError):
        mine.nm = 3  # type: ignore[misc]
    with pytest.raises(TypeError):
        Spot()
    match mine:
        case Spot(name):
            assert name == "A1"


def test_classes_under_one_name_are_made_each_by_itself():
    assert Chosen(3).at == 3
    assert Left() == Left()
    assert isinstance(Chosen(3), Named)
    assert Chosen(4) != Chosen(3)


def test_a_class_based_on_one_with_fields_has_both():
    derived = Derived(1)
    assert (derived.at, derived.to) == (1, 2)
    assert derived != Derived(1), "compared by identity"


def test_fields_can_be_asked_for_before_there_is_an_object():
    class Late(Frozen):
        at: int

    made(Late)
    assert [each.name for each in fields(Late)] == ["at"]  # type: ignore[arg-type]
    assert Late(1).at == 1


def test_two_threads_may_make_the_first_objects_at_once():
    for _ in range(50):

        class Fresh(Frozen):
            at: int

        start, found = Barrier(2), list[int]()

        def make(cls: type[Fresh] = Fresh, start: Barrier = start, found: list[int] = found) -> None:
            start.wait()
            found.append(cls(7).at)

        threads = [Thread(target=make) for _ in range(2)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert found == [7, 7]
