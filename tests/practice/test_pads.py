"""Pads one after the other, and the folder they lie in, which does not stay behind."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from rodcall.book.storage.lock import Lock
from rodcall.book.storage.opening import JobFileError
from rodcall.practice.folder import passing_folder
from tests.practice.kit import a_lesson, some_pads


class BrokenError(Exception):
    """A mistake of the program."""


def practices(home: Path) -> set[str]:
    return set(os.listdir(home / "practice"))


def test_the_folder_is_gone_however_the_block_is_left(home: Path) -> None:
    with passing_folder() as folder:
        (folder / "5.json").write_text("a pad")
        assert practices(home) == {folder.name, f"{folder.name}.lock"}
    assert practices(home) == set()
    with pytest.raises(BrokenError), passing_folder():
        raise BrokenError
    assert practices(home) == set()


def test_what_nobody_holds_is_cleared_and_what_is_held_stays(home: Path) -> None:
    for name in ("left", "held"):
        (home / "practice" / name).mkdir(parents=True)
        (home / "practice" / name / "5.json").write_text("a pad")
        (home / "practice" / f"{name}.lock").write_text("")
    lock = Lock.take(home / "practice" / "held")
    with passing_folder() as folder:
        assert practices(home) == {"held", "held.lock", folder.name, f"{folder.name}.lock"}
    assert (home / "practice" / "held" / "5.json").exists()
    lock.release()
    assert practices(home) == {"held"}
    with passing_folder():
        pass
    assert practices(home) == set()


def test_two_at_once_do_not_meet(home: Path) -> None:
    with passing_folder() as one:
        with passing_folder() as other:
            assert one.exists()
            assert other.exists()
        assert one.exists()
    assert practices(home) == set()


def test_a_disk_that_takes_no_folder_is_one_line(home: Path) -> None:
    home.write_text("no folder")
    with pytest.raises(JobFileError, match="practice: cannot be written") as refused, passing_folder():
        pass
    assert "\n" not in str(refused.value)


def test_each_pad_is_the_lesson_of_the_next_seed(tmp_path: Path) -> None:
    pads = some_pads(tmp_path, seed=7)
    assert [pads.begin().lesson.calls for _ in range(3)] == [a_lesson(seed).calls for seed in (7, 8, 9)]


def test_pads_that_nothing_was_taken_down_of_are_told_of_only_if_all_are_so(tmp_path: Path) -> None:
    pads = some_pads(tmp_path, seed=7)
    first, second, _ = pads.begin(), pads.begin(), pads.begin()
    assert [score.pad for score in pads.scores] == ["PRACTICE 7"]
    second.file.book.shoot("A1", "-1/2")
    assert [(score.pad, score.shot) for score in pads.scores] == [("PRACTICE 8", 1)]
    first.file.book.shoot("A1", "-1/2")
    assert [score.pad for score in pads.scores] == ["PRACTICE 7", "PRACTICE 8"]
    assert json.loads(json.dumps(pads.scores[0].as_json()))["pad"] == "PRACTICE 7"
