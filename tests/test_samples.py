"""The sample jobs: made by the program, what they are meant to show, and in the wheel."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import zipfile

import jsonschema
import pytest

from rodcall.book.model.entries import Photo, Readings, RoundKind, Shot
from rodcall.book.storage.opening import open_job
from rodcall.book.storage.photos import photo_of
from rodcall.book.storage.schema import json_schema
from rodcall.figures.punch_list import Verdict
from rodcall.figures.summary import summarise
from rodcall.tablet.samples import samples, write_samples
from rodcall.units import FOOT, Unit
from tests import make_samples, sample_photo
from tests.make_samples import FOLDER

MADE_BY = {
    "seedling-house.json": make_samples.seedling_house,
    "cider-shed.json": make_samples.cider_shed,
    "packing-yard.json": make_samples.packing_yard,
    "nursery-slab.json": make_samples.nursery_slab,
    "barn-apron.json": make_samples.barn_apron,
}


def opened(name: str):
    return open_job(FOLDER / name, "reader")


def test_there_are_three_at_least():
    assert [sample.name for sample in samples()] == sorted(path.name for path in FOLDER.glob("*.json"))
    assert {sample.name for sample in samples()} == set(MADE_BY)
    assert len(MADE_BY) >= 3


@pytest.mark.parametrize("name", MADE_BY)
def test_the_program_makes_each_byte_for_byte(name):
    same = MADE_BY[name]().content() == (FOLDER / name).read_bytes()
    assert same, "python -m tests.make_samples makes them anew; a difference of long lines takes pytest minutes to show"


@pytest.mark.parametrize("name", MADE_BY)
def test_each_opens_unedited_fits_the_schema_and_saves_the_same(name):
    file = opened(name)
    assert file.broken_seals == ()
    assert file.content() == (FOLDER / name).read_bytes()
    jsonschema.Draft202012Validator(json_schema()).validate(json.loads(file.content()))


def test_one_is_finished_in_inches_and_fractions():
    book = opened("seedling-house.json").book
    summary = summarise(book.page)
    assert book.job.heights is Unit.IN
    assert any("/" in entry.said for entry in book.entries if isinstance(entry, Shot))
    assert book.page.round.kind is RoundKind.FINAL
    assert summary.counted == summary.grid.size
    assert summary.outside == ()
    assert summary.chosen is not None
    assert summary.verdict is Verdict.PASS


def test_one_is_in_progress_in_tenths_read_from_a_rod():
    book = opened("cider-shed.json").book
    summary = summarise(book.page)
    assert book.job.heights is Unit.FT
    assert book.job.readings is Readings.ROD
    assert book.page.setup is not None
    shots = [entry for entry in book.entries if isinstance(entry, Shot)]
    assert shots
    assert all(shot.reading_nm % (FOOT // 100) == 0 and shot.reading_nm > 3 * FOOT for shot in shots)
    assert 0 < summary.counted < summary.grid.size
    assert summary.missing
    assert summary.left_out


def test_one_is_sloped_in_millimetres_with_200_positions_or_more():
    book = opened("packing-yard.json").book
    summary = summarise(book.page)
    assert book.job.heights is Unit.MM
    assert summary.counted >= 200
    assert summary.target is not None
    assert abs(summary.target.along) >= 0.005


def test_they_are_written_where_told_and_never_over_a_file(tmp_path):
    (tmp_path / "cider-shed.json").write_text("mine", "utf-8")
    told = dict(write_samples(tmp_path))
    assert told == {tmp_path / name: name != "cider-shed.json" for name in MADE_BY}
    assert (tmp_path / "cider-shed.json").read_text("utf-8") == "mine"
    assert (tmp_path / "packing-yard.json").read_bytes() == (FOLDER / "packing-yard.json").read_bytes()


def test_one_has_a_photo_that_goes_with_it(tmp_path):
    list(write_samples(tmp_path))
    (taken,) = [entry for entry in opened("nursery-slab.json").book.entries if isinstance(entry, Photo)]
    assert photo_of(tmp_path / "nursery-slab.json", taken.sha256) == sample_photo.photo()


def test_they_travel_in_the_wheel(tmp_path):
    """Built from this checkout and put on the path of a fresh interpreter, without the checkout's own sources."""
    pytest.importorskip("pip", reason="an environment need not have it")
    build = (sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation", "--no-index")
    subprocess.run([*build, "--wheel-dir", str(tmp_path), str(FOLDER.parent)], check=True, capture_output=True)
    (wheel,) = tmp_path.glob("rodcall-*.whl")
    names = zipfile.ZipFile(wheel).namelist()
    assert {f"rodcall/manual/pages/{page}.md" for page in ("start", "keys", "changes")} <= set(names)
    assert {f"rodcall/sample_jobs/{name}" for name in MADE_BY} <= set(names)
    assert "rodcall/py.typed" in names
    assert [name for name in names if "/locale/" in name] == ["rodcall/i18n/locale/es/LC_MESSAGES/rodcall.mo"]
    assert [name for name in names if name.startswith("tests")] == []

    site = tmp_path / "site"
    zipfile.ZipFile(wheel).extractall(site)
    program = "import rodcall, sys; sys.argv[0] = 'rodcall'; from rodcall.start import main; main()"
    run = subprocess.run(
        [sys.executable, "-c", program, "sample", str(tmp_path / "jobs")],
        env={**os.environ, "PYTHONPATH": str(site)},
        check=True,
        capture_output=True,
        text=True,
        cwd=tmp_path,
    )
    assert sorted(os.listdir(tmp_path / "jobs")) == sorted(os.listdir(FOLDER)), run.stderr
