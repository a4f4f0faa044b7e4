"""The sample jobs that travel with the program."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from rodcall.book.storage.atomic_write import new_file
from rodcall.book.storage.safe_read import is_there


def samples() -> list[Traversable]:
    """The sample jobs, by name."""
    return [each for each in _all() if each.name.endswith(".json")]


def _all() -> list[Traversable]:
    """The sample jobs, and the photos that lie beside them."""
    packed = resources.files("rodcall") / "sample_jobs"
    # A checkout has no copy inside the package: there the folder stands at its top.
    folder: Traversable = packed if packed.is_dir() else Path(__file__).parents[3] / "sample_jobs"
    return sorted(folder.iterdir(), key=lambda each: each.name)


def write_samples(folder: Path) -> Iterator[tuple[Path, bool]]:
    """Write the samples and their photos into a folder.

    Yields the path of each job, and False where a file was there already and stays.

    Raises:
        OSError: when the disk does not take one.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for sample in _all():
        target = folder / sample.name
        new = not is_there(target)
        if new:
            new_file(target, sample.read_bytes())
        if sample.name.endswith(".json"):
            yield target, new
