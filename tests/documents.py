"""Writes into README.md and DEVELOPERS.md what follows from the program: python -m tests.documents

Each block stands between `<!-- its name -->` and `<!-- end -->`. A test fails while one differs from its table.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable
from pathlib import Path

from rodcall.book.entry_lines import FORMS
from rodcall.tui.bindings.actions import (
    DIG_PAGE,
    HELPER_PAGE,
    JOB_LIST,
    MOVES,
    NEW_JOB,
    PRACTICE,
    PUNCH_PAGE,
    SCORE_PAGE,
    SETTINGS_PAGE,
    SHOT_GRID,
    TARGET_PAGE,
    TERMS_PAGE,
    Action,
    key_words,
)

TOP = Path(__file__).parents[1]
README, DEVELOPERS = TOP / "README.md", TOP / "DEVELOPERS.md"
BLOCK = re.compile(r"<!-- (?P<name>(?:keys|lines|rooms)[a-z ]*) -->\n.*?<!-- end -->", re.DOTALL)


def table(head: tuple[str, str], rows: Iterable[tuple[str, str]]) -> str:
    """Two columns in Markdown."""
    lines = [head, ("---", "---"), *rows]
    return "\n" + "".join(f"| {left} | {right} |\n" for left, right in lines)


def keys(actions: Iterable[Action], moves: Iterable[tuple[str, str]] = ()) -> str:
    """The keys of a screen, as its own help page lists them."""
    commands = ((", ".join(f"`{key_words(key)}`" for key in action.keys), action.help) for action in actions)
    return table(("key", "what it does"), [*moves, *commands])


def rooms() -> str:
    """Every file of the program with the first line of its docstring, room by room."""
    sources = TOP / "src" / "rodcall"
    files = sorted(sources.rglob("*.py"), key=lambda file: (file.parent != sources, file))
    heads = {file: (ast.get_docstring(ast.parse(file.read_text("utf-8"))) or "").splitlines() for file in files}
    rows = [(f"`{file.relative_to(sources).as_posix()}`", head[0]) for file, head in heads.items() if head]
    return table(("file", "what it is about"), rows)


def blocks() -> dict[str, str]:
    """What stands in each block, by its name."""
    return {
        "keys of the shot grid": keys(SHOT_GRID, MOVES),
        "keys of the punch list": keys(PUNCH_PAGE),
        "keys of the target page": keys(TARGET_PAGE),
        "keys of the list of jobs": keys(JOB_LIST),
        "keys of a new job": keys(NEW_JOB),
        "keys of the terms page": keys(TERMS_PAGE),
        "keys of the dig page": keys(DIG_PAGE),
        "keys of the settings page": keys(SETTINGS_PAGE),
        "keys of the helper page": keys(HELPER_PAGE),
        "keys of practice": keys(PRACTICE),
        "keys of the score": keys(SCORE_PAGE),
        "lines of enter": table(("line, by example", "what it writes"), ((f"`{form}`", does) for form, does in FORMS)),
        "rooms": rooms(),
    }


def written(text: str) -> str:
    """A document with all its blocks as they should be.

    Raises:
        KeyError: when it has a block that nothing fills.
    """
    filled = blocks()
    return BLOCK.sub(lambda found: f"<!-- {found['name']} -->\n{filled[found['name']]}\n<!-- end -->", text)


if __name__ == "__main__":
    for document in (README, DEVELOPERS):
        document.write_text(written(document.read_text("utf-8")), "utf-8")
