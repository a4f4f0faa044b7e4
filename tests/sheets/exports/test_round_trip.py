"""What `rodcall export` writes, `rodcall read` reads: the same heights on another tablet's job."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.cli.kit import NEEDED, figures, rodcall

DATUM = ("reference BM1 high 24in", "datum BM1 812.40ft", "set a1 5000.25ft,-2000ft", "set bearing 217.35")
FILES = {
    "table.csv": ((), ()),
    "points.txt": (("--header",), ()),
    "feet.txt": (("--unit", "ft"), ("--unit", "ft", "--order", "pneh")),
    "metres.txt": (("--unit", "m"), ("--unit", "m", "--order", "pneh")),
    "ground.xml": ((), ()),
}


def a_job_on_disk(path: Path, *lines: str) -> Path:
    assert rodcall("new", path, *NEEDED).status == 0
    assert rodcall("enter", path, "-", stdin="\n".join(lines)).status == 0
    return path


@pytest.mark.parametrize("datum", [(), DATUM], ids=["own plane", "drawing"])
@pytest.mark.parametrize("name", FILES)
@settings(max_examples=3, deadline=None)
@given(eighths=st.lists(st.integers(-96, 96), min_size=12, max_size=12))
def test_heights_come_back(tmp_path_factory, name, datum, eighths):
    folder = tmp_path_factory.mktemp("there")
    spots = [f"{column}{row}" for row in range(1, 5) for column in "ABC"]
    # The zero is at 0: what differs from it needs a sign.
    read = [f"{spot} {each / 8:+}in" if each else f"{spot} 0" for spot, each in zip(spots, (0, *eighths), strict=False)]
    ours = a_job_on_disk(folder / "ours.json", *datum, *read, "target -1/2")
    theirs = a_job_on_disk(folder / "theirs.json", *datum, "note taken over")
    out, taken = FILES[name]
    assert rodcall("export", ours, "--to", folder / name, *out).status == 0
    told = rodcall("read", folder / name, "--into", theirs, "--yes", *taken)
    assert told.status == 0, told
    assert figures(theirs)["heights_mm"] == figures(ours)["heights_mm"]


def test_a_design_comes_back_as_one(tmp_path):
    shots = [f"{column}{row} -{row}" for row in range(1, 5) for column in "ABC"]
    ours = a_job_on_disk(tmp_path / "ours.json", *DATUM, *shots, "design crown B1 B4 2%", "round final", *shots)
    theirs = a_job_on_disk(tmp_path / "theirs.json", *DATUM, "A1 0")
    assert rodcall("export", ours, "--to", tmp_path / "pad.xml").status == 0
    told = rodcall("read", tmp_path / "pad.xml", "--into", theirs, "--as", "design", "--yes")
    assert told.status == 0, told
    assert figures(theirs)["design_mm"] == pytest.approx(figures(ours)["design_mm"], abs=0.001)


@pytest.mark.parametrize("name", FILES)
def test_a_dug_round_comes_back_without_the_marks_that_stand_beside_its_shots(tmp_path, name):
    """The file of a later round has a point ZERO and a benchmark where the ground was: they are no second shots."""
    spots = [f"{column}{row}" for row in range(1, 5) for column in "ABC"]
    shots = [f"{spot} -1 {at + 1}/16" for at, spot in enumerate(spots)]
    ours = a_job_on_disk(tmp_path / "ours.json", "A1 0", "reference PEG low 2", "target -1", "round working", *shots)
    theirs = a_job_on_disk(tmp_path / "theirs.json", "note taken over")
    out, taken = FILES[name]
    assert rodcall("export", ours, "--to", tmp_path / name, *out).status == 0
    told = rodcall("read", tmp_path / name, "--into", theirs, "--yes", *taken)
    assert told.status == 0, told
    assert figures(theirs)["heights_mm"] == figures(ours)["heights_mm"]
