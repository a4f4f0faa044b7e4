"""A whole day for one pad in a real terminal, from the call-out to the sheet."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from .crew import RODCALL, Crew, a_file, figures, snake

pytestmark = pytest.mark.terminal

WALK = [*snake(4, 3), "A4"]
BACK = WALK[-2::-1]
"""The second round begins where the helper stands."""


def test_from_call_out_to_the_sheet(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("buried services")
        crew.key("b\r+2\rnail in the corner post\r")
        for following in WALK[1:]:
            crew.shoot("0", following)
        crew.sees("12 of 12")
        crew.key("c\r+2-1/8\r")
        crew.sees("check good")
        crew.key("t")
        crew.sees("HERE")
        crew.key("\r")
        # All lies at 0: half an inch lower is more than 1/8 + 1/4 in below it, so half of that step is tried (trade).
        crew.sees('UP 1/4"')
        crew.key("r")
        crew.answer("new round", "2\r")
        crew.sees("next A4")
        for following in BACK[1:]:
            crew.shoot("-1/4", following)
        # At the edge of the pad a few inches might be an edge of the ground; a foot is none.
        crew.key("-12-1/4\r")
        crew.sees("12 of 12")
        crew.key("a")
        crew.sees("FAIL")
        crew.terminal.keys("escape")
        crew.sees("ALL SHOT   = reads A1 again")
        crew.terminal.keys("home")
        crew.sees("next A1")
        crew.key("-1/4\r")
        crew.sees("out of tolerance    0 of 12")
        # The rod foot was on a stone: read again at once, the reference stands where it stood, and so do the shots.
        crew.key("c\r+2-1/2\r")
        crew.sees("BAD CHECK: read BM1 again, do not touch the level")
        crew.sees("s -1/4")
        crew.key("+2\r")
        crew.sees("check good")
        crew.sees(lambda lines: not any("s -1/4" in line for line in lines))
        crew.key("a")
        crew.sees("PASS")
        crew.key("\r")
        crew.sees("written: ")
        crew.sees(".csv")
        crew.terminal.keys("escape")
        crew.sees("u undo")
        crew.key("q")
        assert crew.ended() == 0
    verdict = subprocess.run([*RODCALL, "verdict", path], capture_output=True, text=True, check=False)
    assert (verdict.returncode, verdict.stdout.splitlines()[0]) == (0, "PASS")
    told = figures(path)
    assert (told["kind"], told["outside"], told["suspect"]) == ("final", [], [])
    assert [check["state"] for check in told["checks"]] == ["good", "stop", "good"]
    sheet = path.with_suffix(".txt").read_text("utf-8")
    assert "PASS" in sheet
    assert "nail in the corner post" in sheet
    assert "stop, misread: repeated true" in sheet
    assert "-12-1/4 (struck); -1/4" in sheet
    assert path.with_suffix(".pdf").read_bytes().startswith(b"%PDF")
