"""The keys in force: the tables of actions, with what the crew's settings file binds otherwise."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from rodcall.i18n import counted, say
from rodcall.tui.bindings.actions import TABLES, Action, by_key, key_words
from rodcall.tui.terminal.keys import BEGIN_READING
from rodcall.wording.words import harmless

_MOVES = {"up", "down", "left", "right", "pageup", "pagedown", "home", "end"}
_LINE = {"enter", "escape", "backspace"}
_SHOOTING = frozenset({*BEGIN_READING, *_MOVES, *_LINE, " "})
_TAKEN: Mapping[str, frozenset[str]] = {
    "shots": _SHOOTING,
    "practice": _SHOOTING,
    "target": frozenset({*BEGIN_READING, " ", "backspace"}),
    "settings": frozenset({*"0123456789", "backspace"}),
}
"""Keys that a screen needs for itself, by table."""
_NAMED = frozenset(
    {*_MOVES, *_LINE, "tab", "shift+tab", "insert", "delete", "space"}
    | {f"f{number}" for number in range(1, 13)}
    | {f"ctrl+{letter}" for letter in "abdefgklnopqrstuvwxy"}
)
"""Keys that type nothing, as `Stroke` names them. Ctrl+C, Ctrl+Z, and those that terminals send for Enter (J, M), Tab
(I) and Backspace (H) are missing on purpose."""
_CALLED = {"esc": "escape", "pgup": "pageup", "pgdn": "pagedown", "return": "enter"}


class BindingError(ValueError):
    """A binding that cannot be; one line."""


class Keymap:
    """Every table with the keys in force.

    Args:
        bound: Keys by the action's id, such as `shots.undo`, as the settings file has them.
        lines: Line of that file in which each stands.
    """

    def __init__(self, bound: Mapping[str, str] | None = None, lines: Mapping[str, int] | None = None) -> None:
        self.wrong: list[str] = []
        """Each binding that cannot be, told in one line; its action keeps the keys that it had."""
        self._lines = lines or {}
        wanted: dict[str, dict[str, str]] = {table: {} for table in TABLES}
        for id, said in (bound or {}).items():
            try:
                table, action, key = _understand(id, said)
            except BindingError as error:
                told = say("settings, {place}, {id}: {why}", place=self._place([id]), id=harmless(id, 40), why=error)
                self.wrong.append(told)
            else:
                wanted[table][action] = key
        self.tables = {table: self._bind(table, keys) for table, keys in wanted.items()}
        self._by_key = {table: by_key(actions) for table, actions in self.tables.items()}

    def action(self, table: str, key: str) -> Action | None:
        """What a key does on a screen: a character or a name; capitals do what small letters do."""
        keys = self._by_key[table]
        return keys.get(key) or keys.get(key.lower())

    def _bind(self, table: str, keys: dict[str, str]) -> tuple[Action, ...]:
        """The table with these keys; of those that clash all go back, until none does.

        It ends: each turn takes a binding away, and the table as it stands has no clash.
        """
        while clash := _clash(actions := _with_keys(TABLES[table], keys)):
            one, other, key = clash
            back = [f"{table}.{id}" for id in (one, other) if keys.pop(id, None) is not None]
            told = say(
                "settings, {place}: {key} is wanted by {table}.{one} and {table}.{other}; {back} has its own key back",
                place=self._place(back),
                key=key_words(key),
                table=table,
                one=one,
                other=other,
                back=", ".join(back),
            )
            self.wrong.append(told)
        return actions

    def _place(self, ids: Iterable[str]) -> str:
        """Where in the settings file these bindings stand."""
        lines = sorted(self._lines[id] for id in ids if id in self._lines)
        if not lines:
            return "[keys]"
        numbers = say(" and ").join(map(str, lines))
        return counted(len(lines), "line {numbers}", "lines {numbers}", numbers=numbers)


def _understand(id: str, said: str) -> tuple[str, str, str]:
    """Table, action and key of a line of the settings file.

    Raises:
        BindingError: when there is no such action, or no such key, or the screen needs the key for itself.
    """
    table, _, name = id.partition(".")
    if table not in TABLES:
        raise BindingError(say("no such action; ids begin with {tables}", tables=", ".join(TABLES)))
    if name not in {action.id for action in TABLES[table]}:
        known = ", ".join(action.id for action in TABLES[table])
        raise BindingError(say("no such action; known in {table}: {known}", table=table, known=known))
    key = _key(said)
    if table in ("form", "facts") and len(key) == 1:
        raise BindingError(say("a character is typed into the form; a key that types nothing would do, such as F2"))
    if key in _TAKEN.get(table, ()):
        raise BindingError(say("{key} belongs to readings and moves there", key=key_words(key)))
    return table, name, key


def _key(said: str) -> str:
    """A key as `Stroke` has it, however people call it: `u`, `Esc`, `PgUp`, `Ctrl+Q`."""
    if len(said) == 1 and said.isprintable():
        return said.lower()
    name = _CALLED.get(said.lower(), said.lower())
    if name not in _NAMED:
        raise BindingError(
            say("no such key: {key}; a key is its character or its name: u, Esc, F2", key=harmless(said))
        )
    return " " if name == "space" else name


def _with_keys(actions: tuple[Action, ...], keys: Mapping[str, str]) -> tuple[Action, ...]:
    """The actions with other first keys; second ways stay, but for those that another action was given."""
    given = set(keys.values())
    return tuple(
        replace(action, key=keys[action.id], also=_also(action.also, given - {keys[action.id]}))
        if action.id in keys
        else replace(action, also=_also(action.also, given))
        for action in actions
    )


def _also(keys: Iterable[str], given: set[str]) -> tuple[str, ...]:
    return tuple(key for key in keys if key not in given)


def _clash(actions: tuple[Action, ...]) -> tuple[str, str, str] | None:
    """Two actions that have the same key, and the key."""
    held: dict[str, str] = {}
    for action in actions:
        for key in {action.key, *action.also}:
            if key in held:
                return held[key], action.id, key
            held[key] = action.id
    return None
