"""Old files open for ever: each step takes a job from one version of the format to the next.

Version 1 is the first that was released, so there is no step yet. Whoever changes the format raises
`job_format.VERSION`, adds the step here, and adds a file of the version before to tests/old_files, where each one is
opened by the tests from then on. A file is checked against its seals as it stands, then brought up; it is written in
the new form at the next entry, and the old one stays as the file before it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from rodcall.frozen import Frozen

Content = dict[str, Any]


class Step(Frozen):
    """From one version to the next."""

    head: Callable[[Content], Content]
    """Brings up what was agreed."""
    entry: Callable[[Content], Content]
    """Brings up one entry."""


STEPS: Mapping[int, Step] = {}
"""By the version that a step begins with."""


def bring_up(version: int, newest: int, head: Content, entries: list[Content]) -> tuple[Content, list[Content]]:
    """What was agreed and the entries of an older file, as the newest version has them.

    Raises:
        KeyError: when a step is missing, which a test forbids.
    """
    for step in (STEPS[each] for each in range(version, newest)):
        head, entries = step.head(head), [step.entry(entry) for entry in entries]
    return head, entries
