"""No file imports another that imports it, over however many: those for types and those inside functions count."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import rodcall

HOUSE = Path(rodcall.__file__).parent


def modules(root: Path, package: str) -> dict[str, Path]:
    """Each file by the name that it is imported by."""
    return {
        ".".join((package, *file.relative_to(root).with_suffix("").parts)).removesuffix(".__init__"): file
        for file in root.rglob("*.py")
    }


def imported(source: str, known: Mapping[str, object]) -> Iterator[str]:
    """The modules that a file imports, wherever in it."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom) and node.module is not None:
            for alias in node.names:
                inner = f"{node.module}.{alias.name}"
                yield inner if inner in known else node.module
        elif isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)


def circle(sources: Mapping[str, str]) -> list[str]:
    """A circle of imports; empty where there is none."""
    graph = {name: {each for each in imported(text, sources) if each in sources} for name, text in sources.items()}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        found: list[str] = error.args[1]
        return found
    return []


def test_there_is_no_circle():
    found = modules(HOUSE, "rodcall")
    assert len(found) > 200
    assert circle({name: file.read_text("utf-8") for name, file in found.items()}) == []


@pytest.mark.parametrize(
    "text",
    [
        "from pad.grid import spots",
        "if TYPE_CHECKING:\n    from pad import grid",
        "def shoot():\n    import pad.grid",
    ],
)
def test_each_way_of_importing_counts(text):
    assert circle({"pad.grid": "import pad.book", "pad.book": text}) != []
    assert circle({"pad.grid": "import pad.book", "pad.book": "import numpy"}) == []
