"""The mutation command itself: what it changes, how a change is called, and that it is in force where it is made."""

from __future__ import annotations

import sys
import types
from pathlib import Path

import pytest

from tests.mutation import killers
from tests.mutation.coverage_map import Ran
from tests.mutation.mutants import mutants
from tests.mutation.runner import functions_in, swapped

SOURCE = '''"""A module."""

LIMIT = 4


class Pad:
    """With a property of two halves."""

    @property
    def size(self) -> int:
        return 1

    @size.setter
    def size(self, value: int) -> None:
        self.kept = value + 2


def inside(height: int, low: int, high: int) -> bool:
    """Is it between them?"""
    if height < low:
        raise ValueError("too low")
    return low <= height <= high and not height == LIMIT
'''


@pytest.fixture
def module(tmp_path: Path):
    """The module, imported, and its file."""
    path = tmp_path / "mutated.py"
    path.write_text(SOURCE)
    made = types.ModuleType("mutated")
    sys.modules["mutated"] = made
    exec(compile(SOURCE, str(path), "exec"), made.__dict__)
    yield made, path
    del sys.modules["mutated"]


def test_each_change_has_a_key_of_its_own_that_shifted_lines_keep(module) -> None:
    _, path = module
    found = mutants("mutated", path)
    keys = [mutant.key for mutant in found]
    assert len(set(keys)) == len(keys)
    assert "module: LIMIT = 4 -> LIMIT = 5" in keys
    assert "inside: if height < low: -> if height <= low:" in keys
    assert 'inside: raise ValueError("too low") -> pass' in keys
    assert "Pad.size: self.kept = value + 2 -> self.kept = value - 2" in keys
    path.write_text(SOURCE.replace("LIMIT = 4\n", "\n\n\nLIMIT = 4\n"))
    shifted = mutants("mutated", path)
    assert [mutant.key for mutant in shifted] == keys
    assert [mutant.line - 3 for mutant in shifted] == [mutant.line for mutant in found]


def test_docstrings_annotations_and_words_are_left_alone(module) -> None:
    _, path = module
    assert all('"""' not in line for mutant in mutants("mutated", path) for line in mutant.diff(SOURCE).splitlines())


def test_a_change_is_in_force_in_functions_that_others_hold(module) -> None:
    made, path = module
    held = made.inside
    assert held(1, 1, 3)
    chosen = next(
        m for m in mutants("mutated", path) if m.key.endswith("-> return low < height <= high and not height == LIMIT")
    )
    assert swapped(chosen, functions_in({"mutated"}))
    assert not held(1, 1, 3)
    setter = next(m for m in mutants("mutated", path) if m.key.endswith("-> self.kept = value - 2"))
    assert swapped(setter, functions_in({"mutated"}))
    pad = made.Pad()
    pad.size = 7
    assert (pad.kept, pad.size) == (5, 1)


def test_the_diff_shows_the_line_before_and_after(module) -> None:
    _, path = module
    chosen = next(m for m in mutants("mutated", path) if m.key == "module: LIMIT = 4 -> LIMIT = 5")
    assert chosen.diff(SOURCE) == "    -LIMIT = 4\n    +LIMIT = 5"


def test_what_killed_a_change_is_tried_first_for_it_and_for_others_of_its_function(module, tmp_path, monkeypatch):
    _, path = module
    monkeypatch.setattr(killers, "_FILE", tmp_path / "killers.json")
    one, other, *_ = (mutant for mutant in mutants("mutated", path) if mutant.within == "inside")
    known = {test: Ran(seconds, 1, frozenset()) for test, seconds in (("a", 0.1), ("b", 0.1), ("c", 9.0), ("d", 0.1))}
    first = killers.Killers()
    assert first.first(one, ["a", "b"], known) == ["a", "b"]
    first.note(one, "d")
    assert first.first(other, ["a", "b", "d"], known) == ["d", "a", "b"]
    first.keep()
    again = killers.Killers()
    assert (again.killed(one), again.killed(other)) == (True, False)
    again.note(other, "c")
    again.note(other, "b")
    assert again.first(one, ["a", "b", "d"], known) == ["d", "b", "c", "a"], "its own, then what is quick"
    again.note(one, None)
    assert not again.killed(one)
