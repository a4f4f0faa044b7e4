"""Random keys against the real shot grid: is each reading where the line named, verbatim and once?

    python -m tests.benchmarks.key_path [N [SEED]]     N sequences of keys, 1,000 unless told otherwise

Prints how many sequences and keys were tried and what was found.
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from hypothesis import HealthCheck, Phase, given, seed, settings

from rodcall.tui.shot_grid import screen, view
from tests.tui.key_path import Action, Program, WrongPlaceError, sequences


def main(number: int = 1000, begin: int = 20_260_418) -> int:
    """Try so many sequences; 1 where one of them went wrong."""
    screen.cautions_seen = lambda today: True
    # What stands beside the entry line says nothing of where a reading goes, and costs half of a key.
    view.panel.panel = lambda *_: []
    tried = keys = 0
    began = perf_counter()
    with TemporaryDirectory(dir="/dev/shm" if Path("/dev/shm").is_dir() else None) as folder:
        program = Program(Path(folder))

        @seed(begin)
        @settings(
            max_examples=number,
            deadline=None,
            database=None,
            phases=(Phase.generate, Phase.shrink),
            suppress_health_check=list(HealthCheck),
        )
        @given(sequences())
        def holds(sequence: tuple[str, list[Action]]) -> None:
            nonlocal tried, keys
            keys += program.run(*sequence)
            tried += 1
            if tried % 500 == 0:
                print(f"{tried} sequences, {keys} keys, {perf_counter() - began:.0f} s", file=sys.stderr)

        found = "nothing"
        try:
            holds()
        except WrongPlaceError as violation:
            found = str(violation)
        finally:
            program.close()
    print(f"{tried} sequences, {keys} keys, {perf_counter() - began:.0f} s; found: {found}")
    return int(found != "nothing")


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in sys.argv[1:])))
