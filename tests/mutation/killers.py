"""Which test killed which change, kept from run to run: it is tried first the next time."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Mapping

from tests.mutation.coverage_map import KEPT, Ran
from tests.mutation.mutants import Mutant

_FILE = KEPT / "killers.json"
_BESIDE_A_TEST = 0.05
"""Seconds that any test costs here, besides its own."""


class Killers:
    """What killed each change when it was last tried, by module and key."""

    def __init__(self) -> None:
        kept = json.loads(_FILE.read_text()) if _FILE.exists() else {}
        self._by: dict[str, dict[str, str]] = kept
        self._of_function: dict[str, Counter[str]] = {}
        for module, killed in self._by.items():
            for key, test in killed.items():
                self._count(module, key.partition(": ")[0], test)

    def _count(self, module: str, within: str, test: str) -> None:
        self._of_function.setdefault(f"{module} {within}", Counter())[test] += 1

    def killed(self, mutant: Mutant) -> bool:
        """Whether a test killed this very change when it was last tried."""
        return mutant.key in self._by.get(mutant.module, {})

    def first(self, mutant: Mutant, tests: Iterable[str], known: Mapping[str, Ran]) -> list[str]:
        """The tests, in front of them what killed this change before, then what killed others of its function."""
        others = self._of_function.get(f"{mutant.module} {mutant.within}", Counter())
        worth = {
            test: kills / (_BESIDE_A_TEST + known[test].seconds) for test, kills in others.items() if test in known
        }
        best = self._by.get(mutant.module, {}).get(mutant.key)
        before = [best] if best in known else []
        return list(dict.fromkeys([*before, *sorted(worth, key=lambda test: -worth[test]), *tests]))

    def note(self, mutant: Mutant, test: str | None) -> None:
        """A change was tried: by which test it was killed, if by any."""
        killed = self._by.setdefault(mutant.module, {})
        if test is None:
            killed.pop(mutant.key, None)
            return
        killed[mutant.key] = test
        self._count(mutant.module, mutant.within or "module", test)

    def keep(self) -> None:
        """Write down what was noted."""
        _FILE.write_text(json.dumps(self._by, indent=0))
