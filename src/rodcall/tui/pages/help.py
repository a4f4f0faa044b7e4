"""Pages that explain: the keys, and the marks."""

from __future__ import annotations

from rich.text import Text

from rodcall.i18n import counted, say
from rodcall.tui.bindings.actions import MOVES, Action, key_name
from rodcall.tui.bindings.legend import LEGEND
from rodcall.tui.pages.base import TextPage
from rodcall.tui.terminal.keys import Bounces
from rodcall.tui.widgets.columns import set_out, shade_scale
from rodcall.tui.widgets.lines import broken
from rodcall.tui.widgets.styles import ACCENT
from rodcall.wording.cautions import CAUTIONS

MOST_SHADES = 24
"""Lines of the shades below the marks at the most."""


class HelpScreen(TextPage):
    """The keys of a screen, made from its table of actions."""

    def __init__(self, name: str, actions: tuple[Action, ...]) -> None:
        super().__init__(say("keys on the {name}", name=name))
        self._actions = actions

    def lines(self, width: int) -> list[Text]:
        """Moves, commands and cautions."""
        return [line for block in self._blocks(width) for line in block]

    def set_out(self, width: int, height: int) -> list[Text]:
        """All at once, in columns, where they have room side by side."""
        return set_out(self._blocks, width, height)

    def _blocks(self, width: int) -> list[list[Text]]:
        moves = MOVES if any(action.id == "undo" for action in self._actions) else ()
        rows = [
            *((say(keys), say(told)) for keys, told in moves),
            *((", ".join(map(key_name, action.keys)), say(action.help)) for action in self._actions),
            ("", bounces_words(self.program.bounces)),
        ]
        cautions = [line for caution in CAUTIONS for line in _entry("", say(caution), width)]
        return [*(_entry(keys, told, width) for keys, told in rows), [Text(""), *cautions]]


class LegendScreen(TextPage):
    """What the marks mean."""

    def __init__(self) -> None:
        super().__init__(say("marks and colours"))

    def lines(self, width: int) -> list[Text]:
        """One mark a line."""
        return [line for block in self._blocks(width) for line in block]

    def set_out(self, width: int, height: int) -> list[Text]:
        """In columns where they have room side by side; the shades as they are below."""
        lines = set_out(self._blocks, width, height)
        rows = min(height - len(lines) - 1, MOST_SHADES)
        return [*lines, Text(""), *shade_scale(width - 2, rows)] if rows > 0 else lines

    def _blocks(self, width: int) -> list[list[Text]]:
        return [_entry(say(row.mark), say(row.means), width) for row in LEGEND]


def _entry(keys: str, text: str, width: int) -> list[Text]:
    """A key and its explanation, broken over lines."""
    lines = broken(text, width - 17) or [""]
    first = Text().append(f" {keys:<14} ", ACCENT)
    if len(keys) > 14:
        return [first, *(Text(f"{'':16}{line}") for line in lines)]
    return [first.append(lines[0]), *(Text(f"{'':16}{line}") for line in lines[1:])]


def bounces_words(bounces: Bounces) -> str:
    """How many keys were swallowed as repeats of a vibrating switch, and what counts as one."""
    told = counted(bounces.swallowed, "{number} repeat ignored", "{number} repeats ignored")
    limit = say("the same key within {limit} ms counts once (vibration_ms in the settings)", limit=bounces.limit_ms)
    return f"{told}; {limit}"
