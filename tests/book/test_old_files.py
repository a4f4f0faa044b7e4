"""A file of each version that was ever released opens for ever, with the same entries and unbroken seals."""

from __future__ import annotations

import json
import shutil

import pytest

from rodcall.book.model.entries import KINDS, Damage
from rodcall.book.storage import job_format, migrate, reread
from rodcall.book.storage import opening as job_file
from rodcall.book.storage.job_format import VERSION
from rodcall.book.storage.migrate import STEPS, Step
from rodcall.book.storage.opening import open_job, open_to_write
from tests.make_old_file import FOLDER, made

OLD = sorted(FOLDER.glob("version-*.json"))


def test_there_is_a_file_of_each_version_and_a_step_from_each_but_the_last():
    assert [path.stem for path in OLD] == [f"version-{number}" for number in range(1, VERSION + 1)]
    assert set(STEPS) == set(range(1, VERSION))


@pytest.mark.parametrize("path", OLD, ids=lambda path: path.stem)
def test_it_opens_with_all_that_was_written(path):
    opened = open_job(path, "reader")
    assert opened.broken_seals == ()
    assert opened.book.entries == made(path).book.entries
    assert {entry.kind for entry in opened.book.entries} == {
        kind.model_fields["kind"].default for kind in KINDS if kind is not Damage
    }, "an entry of every kind that people write"


def test_a_later_version_is_refused_by_name(tmp_path):
    path = tmp_path / "pad.json"
    path.write_text(json.dumps({**json.loads(OLD[-1].read_bytes()), "version": VERSION + 1}), "utf-8")
    with pytest.raises(Exception, match=f"version '{VERSION + 1}'; this program reads version {VERSION}"):
        open_job(path, "reader")


def test_a_step_brings_a_file_up_and_the_old_one_stays_beside_it(tmp_path, monkeypatch):
    """As it will be when there is a version after this one: a field of the entries is renamed here."""
    path = tmp_path / "pad.json"
    shutil.copy(OLD[-1], path)
    written = json.loads(path.read_bytes())
    for entry in written["entries"]:
        if "description" in entry:
            entry["told"] = entry.pop("description")
    lines, seal = [], job_format.first_seal(written["job"], {})
    for entry in written["entries"]:
        del entry["seal"]
        entry.pop("own", None)
        line, seal = job_format.sealed(entry, seal)
        lines.append(line)
    old = job_format.document_text(written["job"], {}, lines)
    path.write_text(old, "utf-8", newline="")

    def entry(content: dict) -> dict:
        return {"description" if key == "told" else key: value for key, value in content.items()}

    for module in (job_format, job_file, reread):
        monkeypatch.setattr(module, "VERSION", VERSION + 1)
    monkeypatch.setattr(migrate, "STEPS", {VERSION: Step(head=dict, entry=entry)})
    opened = open_to_write(path, "tablet-b")
    assert opened.broken_seals == ()
    assert opened.book.entries == made(path).book.entries
    opened.book.note("brought up")
    opened.append()
    opened.close()
    again = open_job(path, "reader")
    assert json.loads(path.read_bytes())["version"] == VERSION + 1
    assert again.broken_seals == ()
    assert again.book.entries[:-1] == opened.book.entries[:-1]
    assert path.with_name("pad.json.before").read_text("utf-8") == old
