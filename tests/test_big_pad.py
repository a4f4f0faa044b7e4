"""A pad of 10,000 positions: order of work and sheet keep to the memory of a small tablet."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from rodcall.book.storage.opening import new_job_file
from rodcall.units import M, Unit
from tests.kit import a_job

MOST_MB = 320
"""300 are aimed at: Python 3.11 takes 273, 3.13 takes 310."""


@pytest.fixture(scope="module")
def big(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Even ground with the noise of a rod, in millimetres."""
    job = a_job(Unit.MM, along=100, across=100, length=100 * M, width=100 * M)
    file = new_job_file(tmp_path_factory.mktemp("big") / "pad.json", job, "tablet-a")
    along, across = np.mgrid[0:100, 0:100]
    ground = 60 * np.sin(across / 17) + 50 * np.cos(along / 23) + np.random.default_rng(1).normal(0, 6, (100, 100))
    for at, height in enumerate(ground.ravel()):
        file.book.shoot(job.grid.name(at), f"{round(height):+d}")
    file.book.aim("+0")
    file.save()
    file.close()
    return file.path


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="Linux tells the peak")
@pytest.mark.parametrize("command", ["dig", "sheet"])
def test_it_takes_no_more_memory_than_a_small_tablet_has(big: Path, tmp_path: Path, command: str) -> None:
    told = {"dig": (), "sheet": ("--to", str(tmp_path / "pad.pdf"))}[command]
    code = (
        "import sys\nfrom rodcall.start import main\n"
        f"sys.argv = ['rodcall', {command!r}, {str(big)!r}, *{told!r}]\n"
        "try:\n    main()\nexcept SystemExit as end:\n    assert not end.code\n"
        # Not `ru_maxrss`: that begins with what the program had that started this one.
        "peak = next(line for line in open('/proc/self/status') if line.startswith('VmHWM'))\n"
        "print(int(peak.split()[1]) // 1024, file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=os.environ, check=True)
    peak = int(done.stderr.split()[-1])
    print(f"{command}: {peak} MB")
    assert peak <= MOST_MB
    assert command == "dig" or (tmp_path / "pad.pdf").stat().st_size > 100_000
