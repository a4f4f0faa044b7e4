"""What is packed and who can run its tests: the sdist has all that they read, and every lower bound has a wheel."""

from __future__ import annotations

import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))


def packed() -> set[str]:
    """Names of the files that the sdist has."""
    from hatchling.builders.sdist import SdistBuilder

    return {Path(each.relative_path).as_posix() for each in SdistBuilder(str(ROOT)).recurse_included_files()}


def test_the_sdist_has_all_that_its_tests_read():
    """They look at the guide, at what runs them, at the workflow and at the samples."""
    here = packed()
    wanted = {
        each.relative_to(ROOT).as_posix()
        for folder in (".ci", ".github", "sample_jobs", "src", "tests")
        for each in (ROOT / folder).rglob("*")
        if each.is_file() and "__pycache__" not in each.parts and each.suffix not in (".mo", ".pyc")
    }
    # A build adds pyproject.toml by itself.
    wanted |= {"README.md", "DEVELOPERS.md", "LICENSE"}
    assert {name for name in wanted - here if not _is_left(name)} == set()
    assert ".ci/run" in here


def _is_left(name: str) -> bool:
    """What running the tests leaves in a checkout is not packed."""
    return name.startswith("tests/tui/snapshot_report") or name.endswith((".orig", ".rej", "~"))


def test_a_shell_of_the_tests_writes_into_no_history_of_whoever_runs_them(tmp_path):
    for name in ("HOME", "HISTFILE", "RODCALL_HOME"):
        assert Path(os.environ[name]).is_relative_to(tmp_path), name


@pytest.mark.parametrize(("python", "numpy"), [("3.11", "2.0"), ("3.12", "2.0"), ("3.13", "2.1"), ("3.14", "2.3.2")])
def test_the_lower_bounds_are_those_that_have_a_wheel_for_the_python(python, numpy):
    """SEEN (release notes of numpy): 2.1.0 is the first for Python 3.13, 2.3.2 the first with wheels for 3.14."""
    told = subprocess.run(
        [sys.executable, ROOT / ".ci" / "lowest_bounds.py", python], capture_output=True, text=True, check=True
    ).stdout.split()
    assert f"numpy=={numpy}" in told
    names = [line.partition("==")[0] for line in told]
    assert len(set(names)) == len(names) > 20


def test_an_older_python_is_refused_by_what_the_package_says():
    """pip: Package 'rodcall' requires a different Python: 3.10.13 not in '>=3.11'."""
    assert PROJECT["project"]["requires-python"] == ">=3.11"
    wanted = PROJECT["project"]["optional-dependencies"]["test"]
    assert all("python_version >= '3.11'" in each for each in wanted if each.startswith("pillow"))


@pytest.mark.skipif(os.name == "nt", reason="a shell script")
@pytest.mark.parametrize("script", ["run", "lowest", "package"])
def test_what_runs_the_tests_says_in_one_line_that_the_python_is_too_old(tmp_path, script):
    old = tmp_path / "python"
    old.write_text(
        '#!/bin/sh\n[ "$1" = -c ] || exit 9\n'
        f'exec {sys.executable} -c "import sys; sys.version_info = (3, 10, 4)\n$2"\n'
    )
    old.chmod(0o755)
    told = subprocess.run(
        [ROOT / ".ci" / script], env={**os.environ, "PYTHON": str(old)}, capture_output=True, text=True
    )
    assert told.returncode == 1
    assert told.stderr == "rodcall needs Python 3.11 or newer; this is 3.10: set PYTHON\n"
