"""The pages of the program as text, for terminals that are held against each other."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from .crew import Crew, a_file
from .screen import Lines

READINGS: Final = "0\r-1/4\r+2\r-2\r"
"""One out on each side of the target that they suggest, -1/4, once it is chosen: existing ground is never out before.

By hand: the average is 1/16 in low; an eighth lower -1/2 on the half inch is too far down, -1/4 is not.
"""
PAGES: Final = {"question": "3/8\r", "call out": "j", "target": "t", "menu": "*", "dig": "d", "overview": "v"}
"""What is keyed for each page after these readings."""
LEAVES: Final = {"question": "**", "call out": "j", "overview": "v", "dig": "d", "menu": "-"}
"""What leaves it, where that is not Esc."""
_CHART: Final = re.compile(r".{10}[|+]")
"""A line of the chart of cut and fill, behind the room for its scale."""
_QUIET: Final = 0.3


def choose_target(crew: Crew) -> None:
    """Take the target that the readings suggest, in either language; at once the plan marks what is outside."""
    crew.key("t")
    crew.sees(lambda lines: lines[0].startswith((" target ", " objetivo ")))
    crew.key("\r")
    crew.sees("+2!")


def pages(folder: Path, environment: Mapping[str, str | None]) -> tuple[dict[str, Lines], bytes]:
    """Each page as text, and all that the program sent, from its start to its end."""
    folder.mkdir(exist_ok=True)
    with Crew(a_file(folder), env=environment) as crew:
        crew.sees("A1")
        crew.key(READINGS)
        crew.sees(lambda lines: any("B2" in line for line in lines[-4:]))
        choose_target(crew)
        crew.terminal.settle(_QUIET)
        seen = {"grid": crew.terminal.text()}
        for page, keys in PAGES.items():
            crew.key(keys)
            crew.terminal.settle(_QUIET)
            seen[page] = crew.terminal.text()
            crew.strike(LEAVES.get(page, "\x1b"))
            crew.terminal.settle(_QUIET)
        crew.key("q")
        assert crew.ended() == 0
    return seen, b"".join(chunk.data for chunk in crew.terminal.received)


def without_chart(seen: Mapping[str, Lines]) -> dict[str, Lines]:
    """The pages without the chart's lines, which are drawn in letters where the terminal has no braille."""
    return {**seen, "target": ["" if _CHART.match(line) else line for line in seen["target"]]}
