"""`python -m tests.coverage_of [ROOM ...]`: lines and branches of these rooms that tests without a terminal run.

Without a name: units, book, figures, sheets. What is missed is listed by file: lines, and branches as `from->to`.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
SOURCES = ROOT / "src" / "rodcall"
ROOMS = ("units", "book", "figures", "sheets")
# Tests that take no terminal. Pictures are of the screens, mutation is about the tests themselves, and those of `SLOW`
# fail each call to the disk in turn, which takes long and runs nothing that the others do not.
TESTS = ("tests/units", "tests/book", "tests/figures", "tests/sheets", "tests/checks", "tests/cli")
LEFT_OUT = ("test_pictures.py", "test_mutation.py", "test_circles.py", "test_fuzz.py")
SLOW = tuple(f"tests/book/test_{name}.py" for name in ("nothing_lost", "disk", "storage_model", "broken_files"))
QUICK = ("-p", "tests.fewer_examples", "-p", "no:cacheprovider")
# Of no case that can come: a protocol's body, a branch for the type checker alone.
EXCLUDED = (r"if TYPE_CHECKING:", r"\.\.\.$", r"pragma: no cover", r"assert_never\(")


def measured(folder: Path, processes: int) -> int:
    """Run the tests with coverage on, in this process's children too. The exit status of pytest."""
    settings = folder / "coverage.ini"
    lines = [
        "[run]",
        "branch = True",
        "parallel = True",
        "patch = subprocess",
        f"source = {SOURCES}",
        f"data_file = {folder / 'data'}",
    ]
    lines += ["[report]", "exclude_also =", *(f"    {pattern}" for pattern in EXCLUDED)]
    settings.write_text("\n".join(lines) + "\n")
    tests = [str(path) for path in sorted((ROOT / "tests").glob("test_*.py")) if path.name not in LEFT_OUT]
    workers = ["-n", str(processes)] if processes > 1 else []
    workers += [f"--ignore={path}" for path in SLOW]
    run = [sys.executable, "-m", "coverage", "run", f"--rcfile={settings}", "-m", "pytest", "-q", *workers, *QUICK]
    return subprocess.call([*run, *TESTS, *tests], cwd=ROOT)


def told(folder: Path, rooms: list[str]) -> None:
    """Print what is missed of each file, and a row for each room."""
    import coverage

    held = coverage.Coverage(config_file=str(folder / "coverage.ini"))
    held.combine()
    rows = []
    for room in rooms:
        total = coverage.results.Numbers()
        for path in sorted((SOURCES / room).rglob("*.py")):
            found = held._analyze(str(path))
            total += found.numbers
            if found.numbers.n_missing or found.numbers.n_partial_branches:
                share, lines = found.numbers.pc_covered_str, found.missing_formatted(branches=True)
                print(f"{path.relative_to(SOURCES)}: {share} %, misses {lines}")
        rows.append((room, total))
    print("\n| room | lines | missed | branches | missed | covered |\n| --- | --- | --- | --- | --- | --- |")
    for room, n in rows:
        lines, branches = f"{n.n_statements} | {n.n_missing}", f"{n.n_branches} | {n.n_missing_branches}"
        print(f"| `{room}` | {lines} | {branches} | {n.pc_covered:.1f} % |")


def main() -> None:
    """Measure, and print what is missed."""
    parser = argparse.ArgumentParser(prog="python -m tests.coverage_of", description=__doc__)
    parser.add_argument("rooms", nargs="*", metavar="ROOM", help="below src/rodcall: units, figures/checks ...")
    parser.add_argument("-j", "--processes", type=int, default=2, help="how many at a time (2)")
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        status = measured(Path(name), arguments.processes)
        told(Path(name), arguments.rooms or list(ROOMS))
    sys.exit(status)


if __name__ == "__main__":
    main()
