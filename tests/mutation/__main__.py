"""`python -m tests.mutation figures/target units/parse`: which changes of a module no test notices.

A module is named by its file below src/rodcall, or by a folder for all in it. Each change is made in memory, in a
forked process; the tests that run the changed line follow, the narrowest first, until one fails. What survives is
printed as a patch, with the line that goes into `equivalent.toml` where the change means the same.
"""

from __future__ import annotations

import argparse
import json
import random
import sys
import time
import tomllib
from collections import Counter
from pathlib import Path

from tests.mutation.coverage_map import IMPORTED, SOURCES, TESTS, coverage_map
from tests.mutation.killers import Killers
from tests.mutation.mutants import mutants
from tests.mutation.runner import (
    BROKEN,
    COLD,
    KILLED,
    LATE,
    QUICK,
    SURVIVED,
    Case,
    cases,
    load_others,
    run_cold,
    run_hot,
)

EQUIVALENT = Path(__file__).parent / "equivalent.toml"
TICKS = {KILLED: ".", LATE: "t", SURVIVED: "S", BROKEN: "?"}


def files_of(names: list[str]) -> list[str]:
    """The files below src/rodcall that these names mean."""
    found: list[str] = []
    for name in names:
        path = SOURCES / name.removeprefix("src/rodcall/")
        if path.is_dir():
            found += [str(file.relative_to(SOURCES)) for file in sorted(path.rglob("*.py"))]
        elif path.with_suffix(".py").exists():
            found.append(str(path.with_suffix(".py").relative_to(SOURCES)))
        else:
            sys.exit(f"{name}: no such module below src/rodcall, for example figures/target")
    return list(dict.fromkeys(found))


def measure(file: str, arguments: argparse.Namespace) -> tuple[int, int, int]:
    """Tried, killed and all mutants of one file; survivors are printed."""
    path = SOURCES / file
    source = path.read_text()
    module = ".".join(["rodcall", *Path(file).with_suffix("").parts]).removesuffix(".__init__")
    every = mutants(module, path)
    reasons: dict[str, str] = tomllib.loads(EQUIVALENT.read_text()).get(file.removesuffix(".py"), {})
    if arguments.only:
        every = [mutant for mutant in every if any(text in mutant.key for text in arguments.only)]
        reasons = {key: why for key, why in reasons.items() if any(text in key for text in arguments.only)}
    gone = set(reasons) - {mutant.key for mutant in every}
    for key in sorted(gone):
        print(f"  {EQUIVALENT.name}: no change of {file} is called so any more: {key}")
    chosen = [mutant for mutant in every if mutant.key not in reasons]
    number = max(1, round(arguments.share * len(chosen))) if arguments.share else arguments.sample
    if number and number < len(chosen):
        chosen = random.Random(f"{arguments.seed} {file}" if arguments.share else arguments.seed).sample(chosen, number)
        chosen.sort(key=lambda mutant: mutant.line)
    if arguments.survivors:
        killers = Killers()
        chosen = [mutant for mutant in chosen if not killers.killed(mutant)]
    if not chosen:
        return 0, 0, len(every)
    known = coverage_map(file, arguments.fresh, arguments.processes, tuple(arguments.among))
    todo = cases(chosen, known, arguments.tests, arguments.seconds)
    ends: dict[str, tuple[Case, int]] = {}

    def done(case: Case, status: int) -> None:
        if status != COLD:
            print(TICKS.get(status, "."), end="", flush=True)
        ends[case.mutant.key] = (case, status)

    run_hot([case for case in todo if not case.cold], known, arguments.processes, done)
    colds: list[tuple[Case, int]] = []
    for case in todo:
        if case.cold or ends[case.mutant.key][1] == COLD:
            end = run_cold(case, known)
            done(case, end)
            colds.append((case, end))
    killers = Killers()
    for case, end in colds:
        killers.note(case.mutant, IMPORTED if end in (KILLED, LATE) else None)
    killers.keep()
    print()
    counts = Counter(status for _, status in ends.values())
    for case, status in sorted(ends.values(), key=lambda end: end[0].mutant.line):
        if status in (SURVIVED, BROKEN):
            why = "no test runs it" if not case.tests else f"{len(case.tests)} tests"
            print(f"  {file}:{case.mutant.line} {'could not be tried' if status == BROKEN else why}")
            print(case.mutant.diff(source))
            print(f"    equivalent? {json.dumps(case.mutant.key, ensure_ascii=False)}")
    return len(chosen), counts[KILLED] + counts[LATE], len(every)


def main() -> None:
    """Measure each module that is named, and print a table."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("modules", nargs="+", metavar="MODULE", help="figures/target, units, book/fold ...")
    parser.add_argument("-j", "--processes", type=int, default=2, help="how many at a time (2)")
    parser.add_argument("--sample", type=int, default=0, help="so many of each module, by chance")
    parser.add_argument("--share", type=float, default=0.0, help="such a share of each module instead, 0.1 for a tenth")
    parser.add_argument("--tests", type=int, default=150, help="so many tests a change, and further quick ones (150)")
    parser.add_argument(
        "--seconds", type=float, default=QUICK, help=f"further tests as long as all take no more than this ({QUICK:g})"
    )
    parser.add_argument("--survivors", action="store_true", help="only what no test killed when it was last tried")
    parser.add_argument("--seed", type=int, default=1, help="which chance (1)")
    parser.add_argument(
        "--only",
        nargs="+",
        default=[],
        metavar="TEXT",
        help="changes of which one of these is part, as a function's name",
    )
    parser.add_argument(
        "--among", nargs="+", default=TESTS, metavar="PATH", help="only by the tests below these, as tests/units"
    )
    parser.add_argument("--fresh", action="store_true", help="measure anew which test runs which line")
    arguments = parser.parse_args()
    if not hasattr(__import__("os"), "fork"):
        sys.exit("needs fork: run it on Linux or macOS")
    load_others()
    rows = []
    for file in files_of(arguments.modules):
        began = time.monotonic()
        print(f"{file}", flush=True)
        tried, killed, every = measure(file, arguments)
        arguments.fresh = False
        if tried:
            rows.append((file, every, tried, killed, time.monotonic() - began))
            print(f"  {killed} of {tried} killed, {100 * killed / tried:.1f} %", flush=True)
    print("\n| module | mutants | tried | killed | % | seconds |\n| --- | --- | --- | --- | --- | --- |")
    for file, every, tried, killed, took in rows:
        print(
            f"| {file.removesuffix('.py')} | {every} | {tried} | {killed} | {100 * killed / tried:.1f} | {took:.0f} |"
        )
    tried, killed = sum(row[2] for row in rows), sum(row[3] for row in rows)
    if tried:
        print(f"| all | {sum(row[1] for row in rows)} | {tried} | {killed} | {100 * killed / tried:.1f} | |")


if __name__ == "__main__":
    main()
