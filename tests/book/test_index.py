"""The list of jobs knows what it saw, notices what changed, and never believes itself more than the files."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from rodcall.book.storage.opening import JobFile, JobFileError, new_job_file, open_job, open_to_write
from rodcall.i18n import speaking
from rodcall.tablet import job_index
from rodcall.tablet.job_index import Index
from rodcall.tablet.paths import archive, jobs_folder
from tests.book.disk import die
from tests.kit import a_book, a_job

NOON = 1_776_513_600


@pytest.fixture
def jobs(home: Path) -> Path:
    folder = jobs_folder()
    folder.mkdir(parents=True)
    for age, name in enumerate(("Tank", "Arena", "Shed")):
        path = folder / f"{name.lower()}.json"
        JobFile(path, a_book("A1 -1", job=a_job(name=name, place="Juniper Hollow"))).save()
        os.utime(path, (NOON - age, NOON - age))
    return folder


@pytest.fixture
def looked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Names of the files that are looked into."""
    names: list[str] = []
    real = job_index.look_at

    def look_at(path: Path, *rest: object) -> job_index.Glance:
        names.append(path.name)
        return real(path, *rest)

    monkeypatch.setattr(job_index, "look_at", look_at)
    return names


def seen() -> Index:
    jobs = Index()
    assert jobs.look()
    return jobs


def test_at_first_files_are_listed_newest_first_without_being_opened(jobs, looked):
    listed = Index()
    assert [(glance.name, glance.seen) for glance in listed.glances] == [
        ("tank", False),
        ("arena", False),
        ("shed", False),
    ]
    assert looked == []
    assert listed.look(0) is False or looked
    assert listed.look()
    assert [(glance.name, glance.shot, glance.seen) for glance in listed.glances] == [
        ("Tank", 1, True),
        ("Arena", 1, True),
        ("Shed", 1, True),
    ]


def test_what_was_seen_is_not_looked_into_again_until_it_changes(jobs, looked):
    seen()
    looked.clear()
    assert [glance.name for glance in Index().glances] == ["Tank", "Arena", "Shed"]
    assert seen().glances[0].name == "Tank"
    assert looked == []
    file = open_to_write(jobs / "shed.json", "tablet-a")
    file.book.shoot("B1", "-2")
    file.append()
    assert seen().glances[0].shot == 2, "what only the journal holds counts too"
    file.close()
    seen()
    assert set(looked) == {"shed.json"}


def test_a_broken_or_lying_index_is_built_anew(jobs, home, looked):
    seen()
    file = home / "list-of-jobs.json"
    for content in (b"", b"[]", b"{", b"\xff", file.read_bytes().replace(b'"shot"', b'"shoot"')):
        file.write_bytes(content)
        looked.clear()
        assert [glance.name for glance in seen().glances] == ["Tank", "Arena", "Shed"]
        assert len(looked) == 3


def test_a_file_that_is_gone_is_forgotten(jobs, home):
    seen()
    (jobs / "tank.json").unlink()
    (jobs / "arena.json").write_bytes(b"{")
    assert "arena.json: line 1: not JSON" in next(glance.trouble for glance in seen().glances)
    assert "tank.json" not in (home / "list-of-jobs.json").read_text("utf-8")


def test_words_are_found_in_name_place_and_file(jobs):
    tank = seen().glances[0]
    for text in ("", "tank", "TAN", "hollow tank", "juniper"):
        assert tank.matches(text)
    for text in ("shed", "tank shed"):
        assert not tank.matches(text)


def test_a_job_is_archived_with_all_that_is_beside_it(jobs):
    file = open_to_write(jobs / "tank.json", "tablet-a")
    file.book.shoot("B1", "-2")
    file.append()
    with pytest.raises(JobFileError, match="is open in process"):
        archive(file.path)
    die(file)
    (jobs / "tank.json.torn-1").write_bytes(b"torn")
    target = archive(file.path)
    assert target == jobs / "archive" / "tank.json"
    assert len(open_job(target, "reader").book.entries) == 2
    assert (jobs / "archive" / "tank.json.torn-1").read_bytes() == b"torn"
    assert [path.name for path in jobs.glob("tank*")] == []
    new_job_file(jobs / "tank.json", a_job(name="Second"), "tablet-a").close()
    assert archive(jobs / "tank.json").name == "tank-2.json"
    (jobs / "arena.json").write_bytes(b"{")
    assert archive(jobs / "arena.json").read_bytes() == b"{"
    assert [glance.name for glance in seen().glances] == ["Shed"]


def test_trouble_is_told_in_the_language_that_is_spoken_now(jobs, looked):
    """It is kept in the words of the day when it was found; files without trouble are not looked into for that."""
    (jobs / "shed.json").write_text('{"format": "rodcall job"')
    assert "not JSON" in "".join(glance.trouble for glance in seen().glances)
    looked.clear()
    with speaking("es"):
        assert "no es JSON" in "".join(glance.trouble for glance in seen().glances)
    assert looked == ["shed.json"]
