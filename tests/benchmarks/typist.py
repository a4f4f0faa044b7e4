"""Prints what a practice pad costs a typist: the program's own seconds a shot, and keys beside the fewest possible.

    python -m tests.benchmarks.typist [--pads 10] [--seed 1] [--pad 5x4]

A typist that needs no time reads on the screen of the real program, in a pseudo-terminal, what the helper calls, and
writes it at once; a time ends when the bytes have come after which the screen shows the next call. Two
calls of each pad are wrong. Two ways: a reading that does not fit is shouted back and read again; nothing is shouted.
"""

from __future__ import annotations

import argparse
import statistics
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from tests.benchmarks.latency import p95
from tests.terminal.crew import Crew
from tests.terminal.typist import WIDE, Typist, Work, scores

HEADS: Final = ("seconds a shot, median / p95", "keys", "fewest", "planted", "shouted rightly", "needlessly", "missed")


@dataclass(frozen=True)
class Way:
    """Whether readings that do not fit are shouted back."""

    name: str
    asked: bool


WAYS: Final = (
    Way("shouted, read again", asked=True),
    Way("not shouted", asked=False),
)


def practised(way: Way, pads: int, seed: int, pad: str) -> tuple[list[Work], list[dict[str, Any]]]:
    """Work through so many pads in one sitting; what was done on each, and the program's score of it."""
    with _at_home(way) as env:
        words = ("practice", "--pad", pad, "--seed", seed, "--pace", "0", "--json")
        with Crew(*words, env=env, columns=WIDE) as crew:
            typist = Typist(crew)
            work = [typist.pad()]
            for _ in range(pads - 1):
                typist.another()
                work.append(typist.pad())
            crew.key("q")
            crew.ended()
            return work, scores(crew)


def row(work: list[Work], told: list[dict[str, Any]]) -> tuple[str, ...]:
    """The figures of one way: keys are those a shot."""
    shots = sum(len(each.typed) for each in work)
    seconds = [second for each in work for second in each.seconds]
    return (
        f"{statistics.median(seconds):.3f} / {p95(seconds):.3f}",
        f"{sum(score['keys'] for score in told) / shots:.2f}",
        f"{sum(score['fewest'] for score in told) / shots:.2f}",
        str(sum(score["planted"] for score in told)),
        str(sum(len(each.put_right) for each in work)),
        str(sum(len(each.needless) for each in work)),
        str(sum(len(score["missed"]) for score in told)),
    )


@contextmanager
def _at_home(way: Way) -> Iterator[dict[str, str]]:
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "settings.toml").write_text(f"ask_about_busts = {str(way.asked).lower()}\n", "utf-8")
        yield {"RODCALL_HOME": folder}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pads", type=int, default=10, help="so many, from the seed on")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--pad", default="5x4", help="lines x columns")
    arguments = parser.parse_args()
    print("   ".join(("way".ljust(24), *HEADS)))
    for way in WAYS:
        figures = row(*practised(way, arguments.pads, arguments.seed, arguments.pad))
        columns = (figure.rjust(len(head)) for head, figure in zip(HEADS, figures, strict=True))
        print("   ".join((way.name.ljust(24), *columns)), flush=True)


if __name__ == "__main__":
    main()
