"""Which test runs which line: measured once, kept in `.mutation/`, and measured anew for test files that changed."""

from __future__ import annotations

import ast
import hashlib
import json
import os
import resource
import signal
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import cache
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
SOURCES = ROOT / "src" / "rodcall"
KEPT = ROOT / ".mutation"
# Tests that take no terminal, the quick ones first.
TESTS = (
    "tests/units",
    "tests/figures",
    "tests/book",
    "tests/sheets",
    "tests/sheets/exports",
    "tests/checks",
    "tests/cli",
    "tests/test_same_dirt.py",
    "tests/test_cli_dirt.py",
)
# They drive the disk or programs of their own, not the arithmetic, and take long.
LEFT_OUT = {
    "tests/book/test_nothing_lost.py",
    "tests/book/test_disk.py",
    "tests/book/test_storage_model.py",
    "tests/book/test_broken_files.py",
    "tests/cli/test_program.py",
}
EXAMPLES = 25
LONGEST = 6.0
"""Seconds of the processor after which a test is not followed further: it is among the last that a mutant meets."""
IMPORTED = ""
"""The context of lines that run when modules are imported and tests collected, outside of any test."""


@dataclass(frozen=True)
class Ran:
    """What one test took, and which lines of a source it ran."""

    seconds: float
    breadth: int
    """How many lines of all sources: a test that runs few is about those."""
    lines: frozenset[int]


def quieter(items: list[pytest.Item]) -> None:
    """Hypothesis draws the same few examples each time: a mutant must meet the same test as the one before it."""
    from hypothesis import Phase, settings

    for item in items:
        test = getattr(item, "obj", None)
        inner = getattr(test, "__func__", test)
        held = getattr(inner, "_hypothesis_internal_use_settings", None)
        if held is not None:
            few = min(held.max_examples, EXAMPLES)
            inner._hypothesis_internal_use_settings = settings(  # type: ignore[union-attr]
                held,
                max_examples=few,
                derandomize=True,
                database=None,
                deadline=None,
                # That it fails is enough: the smallest example that does is not looked for.
                phases=(Phase.explicit, Phase.generate),
                report_multiple_bugs=False,
            )


def files_of_tests(names: tuple[str, ...] = TESTS) -> list[Path]:
    """The test files below these paths; if not told, all that take no terminal."""
    found = []
    for name in names:
        path = ROOT / name
        found += sorted(path.glob("test_*.py")) if path.is_dir() else [path] if path.exists() else []
    return [path for path in found if str(path.relative_to(ROOT)) not in LEFT_OUT]


class Recorder:
    """A plugin of pytest's that switches coverage's context at each test and times it."""

    def __init__(self) -> None:
        import coverage

        self.coverage = coverage.Coverage(data_file=None, source=[str(SOURCES)], config_file=False)
        self.seconds: dict[str, float] = {}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        quieter(items)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[Any]:
        self.coverage.switch_context(item.nodeid)
        began = time.process_time()
        result = yield
        self.seconds[item.nodeid] = time.process_time() - began
        return result

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_call(self) -> Iterator[Any]:
        signal.setitimer(signal.ITIMER_PROF, LONGEST)
        try:
            return (yield)
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)


def _enough(*_: object) -> None:
    pytest.skip("followed long enough")


def record(test_file: Path, to: Path) -> None:
    """Run one test file and write down what each of its tests ran."""
    signal.signal(signal.SIGPROF, _enough)
    recorder = Recorder()
    recorder.coverage.start()
    status = pytest.main([str(test_file), "-q", "-p", "no:cacheprovider"], plugins=[recorder])
    recorder.coverage.stop()
    if status not in (0, 5):
        sys.exit(f"{test_file}: its tests fail before anything is changed")
    data = recorder.coverage.get_data()
    ran: dict[str, dict[str, list[int]]] = {name: {} for name in [*recorder.seconds, IMPORTED]}
    for file in data.measured_files():
        name = str(Path(file).relative_to(SOURCES))
        for line, contexts in data.contexts_by_lineno(file).items():
            for context in contexts:
                ran.setdefault(context, {}).setdefault(name, []).append(line)
    to.write_text(json.dumps({"seconds": recorder.seconds, "ran": ran}))


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()[:16]


def _digest_of_test(path: Path) -> str:
    """Of what a test does: comments and docstrings may change."""
    tree = ast.parse(path.read_text())
    for node in ast.walk(tree):
        for name in ("body", "orelse", "finalbody"):
            body = getattr(node, name, None)
            if isinstance(body, list):
                setattr(node, name, [one for one in body if not _is_text(one)])
    return hashlib.sha256(ast.dump(tree).encode()).hexdigest()[:16]


def _is_text(node: ast.AST) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def coverage_map(of: str, fresh: bool = False, processes: int = 1, names: tuple[str, ...] = TESTS) -> dict[str, Ran]:
    """Each test and what it ran of one source file, measured where a test file is new or changed.

    Sources may change meanwhile: a line is found again where it went, by what stands in it. Measure anew (`fresh`) once
    many have changed.
    """
    (KEPT / "sources").mkdir(parents=True, exist_ok=True)
    due = [path for path in files_of_tests(names) if fresh or not _holds(path)]
    running: dict[int, tuple[Path, dict[str, Any]]] = {}
    for i, path in enumerate(due):
        print(f"measuring what {path.relative_to(ROOT)} runs ({i + 1} of {len(due)})", flush=True)
        seals = {"test": _digest_of_test(path), "sources": _kept_sources()}
        if len(running) >= processes:
            _finish(running)
        running[_forked(path)] = path, seals
    while running:
        _finish(running)
    known: dict[str, Ran] = {}
    for path in files_of_tests(names):
        if not _kept(path).exists() or not _seals(path).exists():
            continue
        told, seals = json.loads(_kept(path).read_text()), json.loads(_seals(path).read_text())["sources"]
        if of in told["ran"].get(IMPORTED, {}):
            # What imports it can notice a change of the module itself, whether or not it runs a line of a function.
            for test, seconds in told["seconds"].items():
                breadth = sum(len(numbers) for numbers in told["ran"].get(test, {}).values())
                known[test] = Ran(seconds, breadth, frozenset())
        for test, files in told["ran"].items():
            if of in files and of in seals:
                lines = _now(of, seals[of], frozenset(files[of]))
                before = known[test].lines if test in known else frozenset()
                breadth = sum(len(numbers) for numbers in files.values())
                known[test] = Ran(told["seconds"].get(test, 0.0), breadth, before | lines)
    return known


def _kept(test_file: Path) -> Path:
    return KEPT / (str(test_file.relative_to(ROOT)).replace("/", "-") + ".json")


def _seals(test_file: Path) -> Path:
    return _kept(test_file).with_suffix(".seals")


def _now(name: str, seal: str, lines: frozenset[int]) -> frozenset[int]:
    """Lines of a source as it was measured, as lines of it as it is; where new lines stand, all of those."""
    moved = _moved(name, seal)
    return frozenset(at for line in lines for at in moved.get(line, ())) | moved[0]


@cache
def _moved(name: str, seal: str) -> dict[int, frozenset[int]]:
    """Where each line of a source went; under 0 the lines that are new."""
    path, then = SOURCES / name, KEPT / "sources" / seal
    if not path.exists() or not then.exists():
        return {0: frozenset()}
    before, after = then.read_text().splitlines(), path.read_text().splitlines()
    blocks = SequenceMatcher(None, before, after, autojunk=False).get_matching_blocks()
    moved = {block.a + i + 1: frozenset([block.b + i + 1]) for block in blocks for i in range(block.size)}
    moved[0] = frozenset(range(1, len(after) + 1)) - frozenset(at for (at,) in moved.values())
    return moved


def _holds(test_file: Path) -> bool:
    """Whether what is kept of a test file is of what it does now."""
    seals = _seals(test_file)
    return seals.exists() and bool(json.loads(seals.read_text())["test"] == _digest_of_test(test_file))


def _kept_sources() -> dict[str, str]:
    """All sources as they are, kept under their digests."""
    sources = {str(path.relative_to(SOURCES)): _digest(path) for path in SOURCES.rglob("*.py")}
    for name, seal in sources.items():
        if not (KEPT / "sources" / seal).exists():
            (KEPT / "sources" / seal).write_bytes((SOURCES / name).read_bytes())
    return sources


def _forked(test_file: Path) -> int:
    """Record one test file in a forked process, which has loaded what it needs besides rodcall."""
    pid = os.fork()
    if not pid:
        status = 1
        try:
            no_words()
            record(test_file, _kept(test_file))
            status = 0
        finally:
            os._exit(status)
    return pid


def _finish(running: dict[int, tuple[Path, dict[str, Any]]]) -> None:
    """Take the next one that ends."""
    pid, status = os.wait()
    test_file, seals = running.pop(pid)
    if status:
        print(f"{test_file.relative_to(ROOT)}: fails as it is, left out", flush=True)
        _kept(test_file).unlink(missing_ok=True)
        return
    _seals(test_file).write_text(json.dumps(seals))


def no_words() -> None:
    """A forked process says nothing: what fails in it is what is asked."""
    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 1)
    os.dup2(quiet, 2)
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
