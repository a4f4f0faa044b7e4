"""The parts of pages that follow from the code: keys, lines of `enter`, terms, settings, marks, commands, JSON keys."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType

import click

from rodcall.book.entry_lines import FORMS
from rodcall.book.model.entries import ELEVATION_LIMIT, MOST_POSITIONS, TEXT_LIMIT
from rodcall.book.model.grid import MOST_LETTERS, MOST_LINES
from rodcall.book.model.terms import TERMS
from rodcall.book.storage.job_format import MOST_ENTRIES
from rodcall.exits import Exit
from rodcall.i18n import paragraphs, say
from rodcall.manual.words import WORDS
from rodcall.sheets.exports.data_table import COLUMNS
from rodcall.sheets.exports.figures_json import KEYS
from rodcall.tablet.settings import SETTINGS, kind
from rodcall.tui.bindings.actions import MOVES, TABLES, Action, key_words
from rodcall.tui.bindings.legend import LEGEND
from rodcall.units import FOOT, HEIGHT_LIMIT, SIZE_LIMIT, M
from rodcall.wording.cautions import CAUTIONS

Part = Callable[[str, click.Group], str]


def table(rows: Iterable[tuple[str, str]]) -> str:
    """Two columns in Markdown."""
    cells = ((left.replace("|", "\\|"), right.replace("|", "\\|")) for left, right in rows)
    return "| | |\n| --- | --- |\n" + "".join(f"| {left} | {right} |\n" for left, right in cells)


def keys(actions: Iterable[Action], moves: Iterable[tuple[str, str]] = ()) -> str:
    """The keys of a screen, as its own help page lists them."""
    commands = ((", ".join(f"`{key_words(key)}`" for key in action.keys), say(action.help)) for action in actions)
    return table([*((say(keys), say(does)) for keys, does in moves), *commands])


def commands_page(commands: click.Group) -> str:
    """Every command with what it does and its options."""
    shown = (command for _, command in sorted(commands.commands.items()) if not command.hidden)
    return "\n".join(_command(command) for command in shown)


def _command(command: click.Command) -> str:
    with click.Context(command, info_name=command.name) as ctx:
        pieces = [piece for piece in command.collect_usage_pieces(ctx) if piece != "[OPTIONS]"]
        needed = [
            f"{each.opts[0]} {each.make_metavar(ctx)}"
            for each in command.params
            if isinstance(each, click.Option) and each.required
        ]
        told = "\n\n".join(map(say, paragraphs(command.help or "")))
        options = [
            (
                f"`{', '.join(each.opts)}`" + (f" {each.make_metavar(ctx)}" if not each.is_flag else ""),
                say(each.help or ""),
            )
            for each in command.params
            if isinstance(each, click.Option) and each.help
        ]
    usage = " ".join(("rodcall", command.name or "", *pieces, *needed))
    return f"## {usage}\n\n{told}\n" + (f"\n{table(options)}" if options else "")


def _settings() -> str:
    rows = []
    for name, each in SETTINGS.items():
        allowed = kind(name)
        values = ", ".join(allowed.choices) or (f"{allowed.least} to {allowed.most}" if allowed.most else "")
        rows.append((f"`{name} = {json.dumps(each.default)}`", say(allowed.help) + (f": {values}" if values else "")))
    return table(rows)


def _exits() -> str:
    return table((str(int(each)), _EXIT_WORDS[each]) for each in Exit)


_EXIT_WORDS: Mapping[Exit, str] = {
    Exit.DONE: "done, or PASS",
    Exit.FAIL: "FAIL; of `verify`: not this book",
    Exit.UNUSABLE: "something given cannot be used: one line on stderr, nothing changed",
    Exit.NOT_PROVEN: "NOT PROVEN",
    Exit.INTERNAL_ERROR: "internal error; a report is written, and its path is in the message",
    Exit.INTERRUPTED: "Ctrl+C",
    Exit.OUTPUT_LOST: "the output could not be written, as through a closed pipe",
}


def _limits() -> str:
    feet = HEIGHT_LIMIT // FOOT
    return table(
        (
            ("positions of a grid", f"{MOST_POSITIONS:,}; {MOST_LETTERS} across, {MOST_LINES:,} along"),
            ("a height", f"{feet} ft above or below the zero"),
            ("elevation of a reference", f"{ELEVATION_LIMIT // M:,} m"),
            ("a side of the pad", f"{SIZE_LIMIT // M:,} m"),
            ("entries of a book", f"{MOST_ENTRIES:,}"),
            ("a text", f"{TEXT_LIMIT} characters"),
        )
    )


PARTS: Mapping[str, Part] = MappingProxyType(
    {
        "keys": lambda which, _: keys(TABLES[which], MOVES if which == "shots" else ()),
        "lines": lambda *_: table((f"`{form}`", say(does)) for form, does in FORMS),
        "terms": lambda *_: table((f"`{term.name}`", term.explained) for term in TERMS.values()),
        "settings": lambda *_: _settings(),
        "legend": lambda *_: table((f"`{say(row.mark)}`", say(row.means)) for row in LEGEND),
        "commands": lambda _, commands: commands_page(commands),
        "exits": lambda *_: _exits(),
        "json-keys": lambda *_: table((f"`{key}`", told) for key, told in KEYS.items()),
        "columns": lambda *_: table((f"`{name}`", told) for name, told in COLUMNS.items()),
        "words": lambda *_: table(WORDS.items()),
        "limits": lambda *_: _limits(),
        "cautions": lambda *_: "".join(f"- {caution}\n" for caution in map(say, CAUTIONS)),
    }
)
"""Makes each part, by the kind that a page names; takes what follows the kind, and the command line."""
