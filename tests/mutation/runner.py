"""Runs the tests against mutants: each in a process of its own, forked from one that has everything loaded.

A change inside a function is made by swapping the function's code where the tests are already collected (`Hot`). A
change of the module itself, of a class body or of what runs at import is made while it is imported (`run_cold`).
"""

from __future__ import annotations

import gc
import importlib.abc
import importlib.machinery
import importlib.util
import mmap
import os
import re
import shutil
import signal
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import accumulate
from pathlib import Path
from types import CodeType, FunctionType, ModuleType

import pytest

from tests.mutation.coverage_map import IMPORTED, ROOT, SOURCES, Ran, no_words, quieter
from tests.mutation.killers import Killers
from tests.mutation.mutants import Mutant

KILLED, SURVIVED, LATE, COLD, BROKEN = 1, 0, 3, 4, 5
QUICK = 5.0
"""Seconds in which tests beyond so many are run all the same."""
QUIETLY = ("-q", "-p", "no:cacheprovider", "--tb=native", "--assert=plain")
"""How pytest runs here: nobody reads why a test fails, so it is not worked out."""


@dataclass(frozen=True)
class Case:
    """A mutant, and the tests that run its line: those that are about it first."""

    mutant: Mutant
    tests: tuple[str, ...]
    cold: bool
    """Whether it must be there when the module is imported: a change of the module itself, or of what no test runs."""


def cases(found: Sequence[Mutant], known: dict[str, Ran], most: int, quick: float = QUICK) -> list[Case]:
    """Each mutant with the tests that could notice it, narrow ones first: so many, and all that are quick."""
    made = []
    touching = {test: ran for test, ran in known.items() if test != IMPORTED}
    imported = known[IMPORTED].lines if IMPORTED in known else frozenset()
    for mutant in found:
        tests = [test for test, ran in touching.items() if mutant.within and mutant.lines & ran.lines]
        cold = not tests and (not mutant.within or bool(mutant.lines & imported))
        tests = list(touching) if cold else tests
        # Those that name the module first; slow ones last: a tenth of a second is worth a thousand lines.
        narrow = sorted(
            tests,
            key=lambda test: (
                not _names(test.split("::")[0], mutant.module),
                known[test].breadth + 10_000 * known[test].seconds,
            ),
        )
        so_far = accumulate(known[test].seconds for test in narrow)
        chosen = [test for i, (test, spent) in enumerate(zip(narrow, so_far, strict=True)) if i < most or spent < quick]
        made.append(Case(mutant, tuple(chosen), cold))
    return made


@cache
def _names(test_file: str, module: str) -> bool:
    """Does a test file import this module itself, or something from it?"""
    package, _, name = module.rpartition(".")
    text = (ROOT / test_file).read_text("utf-8")
    return (
        re.search(rf"{re.escape(module)}\b|from {re.escape(package)} import .*\b{re.escape(name)}\b", text) is not None
    )


def functions_of(code: CodeType) -> Iterator[CodeType]:
    """All code in a module's code, but not what lies inside a function."""
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            if inner.co_flags & 0x0002:  # CO_NEWLOCALS: a function; a class body has none.
                yield inner
            else:
                yield from functions_of(inner)


def functions_in(modules: set[str]) -> list[FunctionType]:
    """All functions of these modules that are about, whoever holds them."""
    return [each for each in gc.get_objects() if isinstance(each, FunctionType) and each.__module__ in modules]


def swapped(mutant: Mutant, functions: Sequence[FunctionType]) -> bool:
    """The function's code replaced in every function object that was made of it. False where that cannot be done."""
    new = [
        code
        for code in functions_of(compile(mutant.text, mutant.module, "exec", dont_inherit=True))
        if code.co_qualname == mutant.within
    ]
    live = [
        function
        for function in functions
        if function.__module__ == mutant.module and function.__code__.co_qualname == mutant.within
    ]
    if mutant.nth >= len(new) or not live:
        return False
    # Functions of one name (a property and its setter) in the order of their lines.
    lines = sorted({function.__code__.co_firstlineno for function in live})
    if len(lines) != len(new):
        return False
    try:
        for function in live:
            if function.__code__.co_firstlineno == lines[mutant.nth]:
                function.__code__ = new[mutant.nth]
    except ValueError:
        return False
    return True


def _limited(seconds: float) -> None:
    """The system ends this process where it takes far more of the processor than the test does otherwise."""
    signal.setitimer(signal.ITIMER_PROF, 4 + 6 * seconds)


@dataclass(frozen=True)
class Running:
    """A forked process that tries one case."""

    number: int
    tests: list[str]
    began: float
    folder: Path


class Hot:
    """A plugin of pytest's that runs, instead of the tests once, the tests of each mutant in a forked process."""

    def __init__(self, todo: Sequence[Case], known: dict[str, Ran], processes: int, done: Callable[[Case, int], None]):
        self.todo = todo
        self.known = known
        self.processes = processes
        self.done = done
        self.functions: list[FunctionType] = []
        self.killers = Killers()
        # Which of its tests each child is at: that is told even by one that was ended from outside.
        self.at = memoryview(mmap.mmap(-1, 4 * max(1, len(todo)))).cast("i")

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        quieter(items)

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        items = {item.nodeid: item for item in session.items}
        base = session.config._tmp_path_factory.getbasetemp()  # type: ignore[attr-defined]
        running: dict[int, Running] = {}
        self.functions = functions_in({case.mutant.module for case in self.todo})
        gc.freeze()
        for i, case in enumerate(self.todo):
            if not case.tests:
                self.done(case, SURVIVED)
                continue
            while len(running) >= self.processes:
                self._wait(running)
            folder = base / f"mutant-{i}"
            order = [items[test] for test in self.killers.first(case.mutant, case.tests, self.known) if test in items]
            pid = os.fork()
            if not pid:
                status = BROKEN
                try:
                    status = self._child(session, order, i, folder)
                finally:
                    os._exit(status)
            running[pid] = Running(i, [item.nodeid for item in order], time.monotonic(), folder)
        while running:
            self._wait(running)
        self.killers.keep()
        return True

    def _wait(self, running: dict[int, Running]) -> None:
        """Take what one child found; end children that neither work nor end."""
        while True:
            pid, status = os.waitpid(-1, os.WNOHANG)
            if pid in running:
                ended = running.pop(pid)
                shutil.rmtree(ended.folder, ignore_errors=True)
                case, end = self.todo[ended.number], LATE if os.WIFSIGNALED(status) else os.WEXITSTATUS(status)
                self.killers.note(case.mutant, ended.tests[self.at[ended.number]] if end in (KILLED, LATE) else None)
                self.done(case, end)
                return
            for pid, child in running.items():
                if time.monotonic() - child.began > 120 + 30 * sum(self.known[test].seconds for test in child.tests):
                    os.kill(pid, signal.SIGKILL)
            time.sleep(0.01)

    def _child(self, session: pytest.Session, items: list[pytest.Item], number: int, folder: Path) -> int:
        folder.mkdir()
        session.config._tmp_path_factory._basetemp = folder  # type: ignore[attr-defined]
        no_words()
        signal.signal(signal.SIGPROF, signal.SIG_DFL)
        if not swapped(self.todo[number].mutant, self.functions):
            return COLD
        from _pytest.runner import runtestprotocol

        for i, (item, following) in enumerate(zip(items, [*items[1:], None], strict=True)):
            self.at[number] = i
            _limited(self.known[item.nodeid].seconds)
            if any(report.failed for report in runtestprotocol(item, nextitem=following, log=False)):
                return KILLED
        return SURVIVED


def run_hot(todo: Sequence[Case], known: dict[str, Ran], processes: int, done: Callable[[Case, int], None]) -> None:
    """All changes inside functions, in a forked process of their own, so that this one stays without rodcall."""
    files = sorted({test.split("::")[0] for case in todo for test in case.tests})
    if not files:
        for case in todo:
            done(case, SURVIVED)
        return
    read, write = os.pipe()
    pid = os.fork()
    if not pid:
        os.close(read)
        numbers = {id(case): i for i, case in enumerate(todo)}
        out = os.fdopen(write, "w", buffering=1)

        def tell(case: Case, status: int) -> None:
            out.write(f"{numbers[id(case)]} {status}\n")

        no_words()
        hot = Hot(todo, known, processes, tell)
        pytest.main([*files, *QUIETLY, "--continue-on-collection-errors"], plugins=[hot])
        out.close()
        os._exit(0)
    os.close(write)
    told = set()
    with os.fdopen(read) as lines:
        for line in lines:
            i, status = line.split()
            told.add(int(i))
            done(todo[int(i)], int(status))
    os.waitpid(pid, 0)
    for i, case in enumerate(todo):
        if i not in told:
            done(case, BROKEN)


class Changed(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Imports one module with another text."""

    def __init__(self, mutant: Mutant, path: Path) -> None:
        self.mutant = mutant
        self.path = path

    def find_spec(self, name: str, path: object, target: object = None) -> importlib.machinery.ModuleSpec | None:
        if name != self.mutant.module:
            return None
        return importlib.util.spec_from_file_location(
            name,
            self.path,
            loader=self,
            submodule_search_locations=[str(self.path.parent)] if self.path.name == "__init__.py" else None,
        )

    def create_module(self, spec: importlib.machinery.ModuleSpec) -> ModuleType | None:
        return None

    def exec_module(self, module: ModuleType) -> None:
        exec(compile(self.mutant.text, str(self.path), "exec", dont_inherit=True), module.__dict__)


class Timed:
    """A plugin that gives each test its share of the processor and no more."""

    def __init__(self, known: dict[str, Ran], order: Sequence[str]) -> None:
        self.known = known
        self.order = {test: i for i, test in enumerate(order)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        quieter(items)
        items[:] = sorted((i for i in items if i.nodeid in self.order), key=lambda item: self.order[item.nodeid])

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_setup(self, item: pytest.Item) -> None:
        _limited(self.known[item.nodeid].seconds)


def run_cold(case: Case, known: dict[str, Ran]) -> int:
    """One case whose change must be there when the module is imported."""
    assert not any(name.startswith("rodcall") for name in sys.modules)
    if not case.tests:
        return SURVIVED
    pid = os.fork()
    if not pid:
        status = BROKEN
        try:
            no_words()
            signal.signal(signal.SIGPROF, signal.SIG_DFL)
            path = SOURCES.parent / Path(*case.mutant.module.split(".")).with_suffix(".py")
            if not path.exists():
                path = path.with_suffix("") / "__init__.py"
            sys.meta_path.insert(0, Changed(case.mutant, path))
            files = list(dict.fromkeys(test.split("::")[0] for test in case.tests))
            found = pytest.main([*files, "-x", *QUIETLY], plugins=[Timed(known, case.tests)])
            status = SURVIVED if found == 0 else KILLED
        finally:
            os._exit(status)
    _, ended = os.waitpid(pid, 0)
    return LATE if os.WIFSIGNALED(ended) else os.WEXITSTATUS(ended)


def load_others() -> None:
    """What the tests import besides rodcall, loaded once for all forks."""
    os.chdir(ROOT)
    for name in (
        "numpy",
        "pydantic",
        "hypothesis",
        "scipy.optimize",
        "scipy.stats",
        "scipy.integrate",
        "statsmodels.api",
        "pint",
    ):
        importlib.import_module(name)
