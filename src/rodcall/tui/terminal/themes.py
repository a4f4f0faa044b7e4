"""Themes: the same screens for sun, day and night, for sixteen colours, and for none.

Screens paint in the colours of `DAY`, each of which stands for what it is used for. On the way to the terminal a filter
exchanges them for those of the theme, so that no widget knows of it, and another theme needs one repaint.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import astuple
from functools import lru_cache

from rich.color import Color as RichColor
from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter

from rodcall.i18n import say
from rodcall.palette import FILL_HIGH, FILL_LOW
from rodcall.tui.terminal import own_theme
from rodcall.tui.terminal.colours import DAY, Shades

SUN = Shades(
    ground="#ffffff",
    text="#000000",
    faint="#404040",
    neutral="#000000",
    high=("#46200a", "#5f2c06", "#7f3b08"),
    low=("#1d0030", "#2d004b", "#542788"),
    accent="#5f2c06",
    alarm="#000000",
    bare="#dcdcdc",
    ink_bare="#202020",
    fill_even="#f4f4f4",
    fill_high=FILL_HIGH,
    fill_low=FILL_LOW,
    ink_even="#000000",
    ink_high=("#000000", "#000000", "#000000", "#ffffff"),
    ink_low=("#000000", "#000000", "#000000", "#ffffff"),
)
"""Black on white, where only the darkest ends of PuOr have enough contrast; what is nearer to the target is blacker."""

NIGHT = Shades(
    ground="#000000",
    text="#a0a8a0",
    faint="#7d857d",
    neutral="#a0a8a0",
    high=("#b3a990", "#a89f74", "#a3994f"),
    low=("#a2a2bc", "#9a9ac0", "#9292c6"),
    accent="#a89f74",
    alarm="#a4aca4",
    bare="#131513",
    ink_bare="#a2aaa2",
    fill_even="#2c302c",
    fill_high=("#3a2f05", "#4a3800", "#a39a4f", "#cfc48a"),
    fill_low=("#1c1c46", "#20205f", "#9494c4", "#b9b9d8"),
    ink_even="#d6d6c8",
    ink_high=("#d6d6c8", "#d6d6c8", "#000000", "#000000"),
    ink_low=("#d6d6c8", "#d6d6c8", "#000000", "#000000"),
)
"""Dim, so that eyes stay used to the dark, and without red, which is for warning lamps. The orange side of
PuOr becomes straw, in which red never outweighs green and blue together."""


def _of_sixteen(ground: str, text: str, faint: str, high: str, low: str) -> Shades:
    """Names of the terminal's own sixteen colours: far from the target in reverse; marks tell the depth."""
    return Shades(
        ground=ground,
        text=text,
        faint=faint,
        neutral=text,
        high=(high,) * 3,
        low=(low,) * 3,
        accent=high,
        alarm=text,
        bare=ground,
        ink_bare=faint,
        fill_even=ground,
        fill_high=(ground, ground, high, high),
        fill_low=(ground, ground, low, low),
        ink_even=text,
        ink_high=(high, high, ground, ground),
        ink_low=(low, low, ground, ground),
    )


SIXTEEN = _of_sixteen("black", "bright_white", "white", "bright_yellow", "bright_cyan")
_SUN_OF_SIXTEEN = _of_sixteen("bright_white", "black", "black", "black", "blue")
_NIGHT_OF_SIXTEEN = _of_sixteen("black", "white", "white", "white", "bright_green")
OF_SIXTEEN: Mapping[str, Shades] = {"day": SIXTEEN, "sun": _SUN_OF_SIXTEEN, "night": _NIGHT_OF_SIXTEEN}
"""The themes where a terminal has no more than sixteen colours: brought down to those, brown became yellow on white."""

THEMES: dict[str, Shades | None] = {"day": DAY, "sun": SUN, "night": NIGHT, "sixteen": SIXTEEN, "none": None}
"""By name, in the order in which one key steps through them; `none` is the terminal's own two colours."""

OWN = "own"
"""The crew's own theme, once it was read (`take_own`)."""


def take_own() -> tuple[str, ...]:
    """Read the crew's own theme; what is wrong with it, or that there is none, a line each."""
    shades, told = own_theme.read({name: THEMES[name] for name in ("day", "sun", "night")})
    THEMES.pop(OWN, None)
    if shades is not None:
        THEMES[OWN] = shades
    recoloured.cache_clear()
    _exchange.cache_clear()
    if shades is None and not told:
        return (say("theme own: write its colours into {file}", file=own_theme.theme_file()),)
    return tuple(say("theme own: {why}", why=why) for why in told)


_COLOURLESS = ("dumb", "vt", "ansi-m", "linux-m", "xterm-mono")
"""Beginnings of TERM where there are no colours."""
_SIXTEEN = ("xterm", "linux", "screen", "tmux", "ansi", "rxvt", "cygwin")
"""Values of TERM that promise no more colours than that."""


def customary(environment: Mapping[str, str]) -> str:
    """The theme that suits a terminal, by what the environment says of it (NO_COLOR: no-color.org)."""
    terminal = environment.get("TERM", "")
    if environment.get("NO_COLOR") or terminal.startswith(_COLOURLESS):
        return "none"
    many = "256" in terminal or environment.get("COLORTERM") in ("truecolor", "24bit") or not terminal
    return "day" if many or terminal not in _SIXTEEN else "sixteen"


def after(theme: str) -> str:
    """The theme that comes next."""
    names = list(THEMES)
    return names[(names.index(theme) + 1) % len(names)]


class Recolour(LineFilter):
    """Exchanges the colours of day for those of a theme.

    Args:
        theme: Its name.
        few: The terminal has no more than sixteen colours.
    """

    def __init__(self, theme: str, *, few: bool = False) -> None:
        super().__init__(enabled=few or theme != "day")
        self.theme = theme
        self._few = few

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The same segments in the theme's colours."""
        return [
            Segment(text, style and recoloured(style, self.theme, few=self._few), control)
            for text, style, control in segments
        ]


@lru_cache(maxsize=2048)
def recoloured(style: Style, theme: str, *, few: bool = False) -> Style:
    """A style of day in a theme; a colour that day does not have stays as it is."""
    if THEMES[theme] is None:
        return style.without_color
    exchanged = _exchange(theme, few)
    new = style + Style.from_color(_in(style.color, exchanged), _in(style.bgcolor, exchanged))
    return new + Style(bold=True) if theme == "sun" else new


@lru_cache(maxsize=16)
def _exchange(theme: str, few: bool) -> dict[str, RichColor]:
    shades = OF_SIXTEEN.get(theme, THEMES[theme]) if few else THEMES[theme]
    if shades is None:
        return {}
    pairs = zip(_colours(DAY), _colours(shades), strict=True)
    return {day: RichColor.parse(other) for day, other in pairs}


def _colours(shades: Shades) -> list[str]:
    return [colour for part in astuple(shades) for colour in ([part] if isinstance(part, str) else part)]


def _in(colour: RichColor | None, exchanged: Mapping[str, RichColor]) -> RichColor | None:
    if colour is None:
        return None
    triplet = colour.triplet
    return exchanged.get(triplet.hex if triplet is not None else colour.name, colour)
