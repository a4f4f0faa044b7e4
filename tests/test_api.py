"""What other programs may use: read-only jobs as arrays, and a writer under the same lock and journal."""

from __future__ import annotations

import doctest
import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import rodcall
from rodcall import api
from rodcall.book.storage.opening import JobFile, open_to_write
from rodcall.cli.main import cli
from tests.kit import a_book


def kept(folder: Path, *lines: str) -> Path:
    path = folder / "pad.json"
    JobFile(path, a_book(*lines)).save()
    return path


def test_the_page_of_examples_is_true():
    """Each example in the docstring of the module."""
    result = doctest.testmod(api)
    assert result.attempted > 5
    assert result.failed == 0


def test_all_public_names_are_there_and_no_more():
    assert set(rodcall.__all__) - {"__version__"} <= set(vars(api))
    with pytest.raises(AttributeError):
        _ = rodcall.nothing


def test_importing_rodcall_loads_nothing():
    """The screen starts with this import."""
    code = "import sys, rodcall; print([m for m in sys.modules if m.startswith(('numpy', 'pydantic', 'rodcall.'))])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_heights_and_deviations_are_those_of_the_shell(tmp_path, capsys):
    path = kept(tmp_path, "A1 -3/8", "B1 +2", "C2 out rut", "A2 -1", "target -1/2")
    cli(["figures", str(path), "--json"], standalone_mode=False)
    told = json.loads(capsys.readouterr().out)
    job = rodcall.open(path)
    names = job.positions
    for key, values in (("heights_mm", job.heights), ("deviations_mm", job.deviations)):
        ours = {name: value * 1e3 for name, value in zip(names.flat, values.flat, strict=True) if not np.isnan(value)}
        assert ours == pytest.approx(told[key])
    assert (job.verdict, job.figures()["verdict"]) == (told["verdict"], told["verdict"])
    assert [item.kind for item in job.punch_list] == [item["item"] for item in told["punch_list"]]


def test_an_earlier_round(tmp_path):
    path = kept(tmp_path, "A1 -1", "round working", "A1 -2")
    assert rodcall.open(path, 1).heights[0, 0] == pytest.approx(-0.0254)
    assert rodcall.open(path).heights[0, 0] == pytest.approx(-0.0508)
    with pytest.raises(rodcall.JobError, match="no round 7"):
        rodcall.open(path, 7)


def test_what_is_no_job_is_one_line(tmp_path):
    (tmp_path / "no.json").write_text("{}")
    for path in (tmp_path / "no.json", tmp_path / "none.json"):
        with pytest.raises(rodcall.JobError) as refused:
            rodcall.open(path)
        assert "\n" not in str(refused.value)
        with pytest.raises(rodcall.JobError), rodcall.Writer(path):
            pass


def test_an_error_in_the_block_keeps_nothing(tmp_path):
    path = kept(tmp_path, "A1 -1")
    before = path.read_bytes()

    def write_all() -> None:
        with rodcall.Writer(path) as writer:
            assert writer.write_all(["B1 -1"]) == 1
            writer.write_all(["C1 -1", "C9 -1"])

    with pytest.raises(rodcall.JobError, match="line 2"):
        write_all()
    assert path.read_bytes() == before
    assert len(rodcall.open(path).entries) == 1


def test_a_writer_takes_the_lock_and_gives_it_back(tmp_path):
    path = kept(tmp_path, "A1 -1")
    other = open_to_write(path, "tablet-b")
    with pytest.raises(rodcall.JobError), rodcall.Writer(path):
        pass
    other.close()
    with rodcall.Writer(path) as writer:
        writer.write("B1 -1/2")
    assert rodcall.open(path).heights[0, 1] == pytest.approx(-0.0127)
    with pytest.raises(rodcall.JobError, match="with block"):
        writer.write("C1 -1")


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(-64, 64), min_size=1, max_size=12))
def test_what_is_written_is_read_back(tmp_path_factory, eighths):
    path = kept(tmp_path_factory.mktemp("job"))
    names = rodcall.open(path).positions.ravel()
    with rodcall.Writer(path, "office") as writer:
        for name, eighth in zip(names, eighths, strict=False):
            writer.write(f"{name} {eighth / 8:+.3f}" if eighth else f"{name} 0")
    read = rodcall.open(path).heights.ravel()[: len(eighths)]
    assert read == pytest.approx(np.array(eighths) / 8 * 0.0254, abs=1e-12)
