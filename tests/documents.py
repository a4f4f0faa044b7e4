"""Where the documents are, and what in DEVELOPERS.md follows from the program: python -m tests.documents

Each block stands between `<!-- its name -->` and `<!-- end -->`. A test fails while one differs from the program. The
manual (`rodcall manual`) fills in its own parts whenever a page is shown.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path

TOP = Path(__file__).parents[1]
README, DEVELOPERS = TOP / "README.md", TOP / "DEVELOPERS.md"
BLOCK = re.compile(r"<!-- (?P<name>rooms) -->\n.*?<!-- end -->", re.DOTALL)


def rooms() -> str:
    """Every folder of the program with the first line of its docstring and the names of its files."""
    sources = TOP / "src" / "rodcall"
    rows = ["| room | what it holds | files |", "| --- | --- | --- |"]
    for room in sorted(sources.rglob("__init__.py"), key=lambda file: file.parent.relative_to(sources).as_posix()):
        head = (ast.get_docstring(ast.parse(room.read_text("utf-8"))) or "").splitlines()
        files = sorted(file.stem for file in room.parent.glob("*.py") if not file.stem.startswith("__"))
        name = room.parent.relative_to(sources).as_posix()
        rows.append(f"| `{'rodcall' if name == '.' else name}/` | {head[0]} | {' '.join(files)} |")
    return "\n" + "\n".join(rows) + "\n"


def written(text: str) -> str:
    """A document with all its blocks as they should be."""
    return BLOCK.sub(lambda found: f"<!-- {found['name']} -->\n{rooms()}\n<!-- end -->", text)


if __name__ == "__main__":
    DEVELOPERS.write_text(written(DEVELOPERS.read_text("utf-8")), "utf-8")
