"""Themes: enough contrast in each, high and low told apart by everybody, and a change that shows at once."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import astuple, fields, replace
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from rich.color import ColorSystem
from rich.style import Style
from textual.color import Color

from rodcall.tablet.settings import kind, read
from rodcall.tui.terminal.colours import DAY, Shades, cell_style
from rodcall.tui.terminal.own_theme import faint
from rodcall.tui.terminal.themes import NIGHT, OF_SIXTEEN, SIXTEEN, SUN, THEMES, after, customary, recoloured, take_own
from rodcall.tui.widgets.lines import Lines
from tests.kit import a_book
from tests.tui.kit import Crew, crew, strips

TOP = 7.0
"""WCAG 2.2, success criterion 1.4.6 (enhanced); the job asks it for numbers in cells and for the sun."""
ENOUGH = 4.5
"""WCAG 2.2, success criterion 1.4.3."""

XTERM = {
    "black": "#000000",
    "white": "#e5e5e5",
    "bright_white": "#ffffff",
    "bright_yellow": "#ffff00",
    "bright_cyan": "#00ffff",
    "bright_green": "#00ff00",
    "blue": "#0000ee",
}
"""xterm's own values of the colours that are used (MEMORY: XTerm-col.ad)."""
CONSOLE = {
    "black": "#000000",
    "white": "#aaaaaa",
    "bright_white": "#ffffff",
    "bright_yellow": "#ffff55",
    "bright_cyan": "#55ffff",
    "bright_green": "#55ff55",
    "blue": "#0000aa",
}
"""The Linux console's (MEMORY: drivers/tty/vt, the CGA palette)."""

# Machado, Oliveira and Fernandes, A Physiologically-based Model for Simulation of Color Vision Deficiency, IEEE TVCG 15
# (2009), severity 1.0, applied to linear RGB (MEMORY). Each row sums to 1: grey stays grey.
BLINDNESS = {
    "protan": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "deutan": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    "tritan": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
}
TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
"""sRGB to CIE XYZ, D65 (IEC 61966-2-1, MEMORY)."""


def linear(colour: str) -> np.ndarray:
    """Linear RGB, 0 to 1, as WCAG 2.2 and IEC 61966-2-1 have it."""
    channels = np.array(Color.parse(colour).rgb) / 255
    return np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)


def contrast(one: str, other: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it: 1 to 21."""
    darker, lighter = sorted(float(linear(each) @ [0.2126, 0.7152, 0.0722]) for each in (one, other))
    return (lighter + 0.05) / (darker + 0.05)


def lab(rgb: np.ndarray) -> np.ndarray:
    """CIE L*a*b* of a linear RGB colour, D65 (CIE 15, MEMORY)."""
    white = TO_XYZ @ np.ones(3)
    t = TO_XYZ @ np.clip(rgb, 0, 1) / white
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def values(shades: Shades, names: dict[str, str]) -> Shades:
    """A theme with the terminal's own colours written out."""
    written = {field: getattr(shades, field) for field in (each.name for each in fields(Shades))}
    return Shades(
        **{
            field: names.get(told, told) if isinstance(told, str) else tuple(names.get(each, each) for each in told)
            for field, told in written.items()
        }
    )


SEEN = {
    "day": DAY,
    "sun": SUN,
    "night": NIGHT,
    "sixteen, xterm": values(SIXTEEN, XTERM),
    "sixteen, console": values(SIXTEEN, CONSOLE),
    "sun of sixteen, xterm": values(OF_SIXTEEN["sun"], XTERM),
    "sun of sixteen, console": values(OF_SIXTEEN["sun"], CONSOLE),
    "night of sixteen, xterm": values(OF_SIXTEEN["night"], XTERM),
    "night of sixteen, console": values(OF_SIXTEEN["night"], CONSOLE),
}
ALL = pytest.mark.parametrize("shades", SEEN.values(), ids=SEEN.keys())


def test_the_blindness_matrices_keep_grey_grey() -> None:
    for matrix in BLINDNESS.values():
        assert np.sum(matrix, axis=1) == pytest.approx([1, 1, 1], abs=1e-5)


def test_the_measure_of_lightness() -> None:
    """L* of the middle grey #777777 is 50.03 (COMPUTED by colormath's formula, known from MEMORY)."""
    assert lab(linear("#777777")) == pytest.approx([50.03, 0, 0], abs=0.05)


@ALL
def test_numbers_in_cells_have_a_contrast_of_seven(shades: Shades) -> None:
    for colour in (*shades.high, *shades.low, shades.neutral):
        assert contrast(colour, shades.ground) >= TOP, colour


@ALL
def test_words_have_enough_contrast(shades: Shades) -> None:
    least = TOP if shades is SUN else ENOUGH
    for name in ("text", "faint", "accent", "alarm"):
        assert contrast(getattr(shades, name), shades.ground) >= least, name


@pytest.mark.parametrize("blind", BLINDNESS)
@ALL
def test_high_and_low_differ_for_the_colour_blind(shades: Shades, blind: str) -> None:
    """By 10 in CIE L*a*b* at least, several times what is just seen (about 2.3: Mahy and others 1994, MEMORY)."""
    seen = np.array(BLINDNESS[blind])
    for high, low in zip(shades.high, shades.low, strict=True):
        apart = np.linalg.norm(lab(seen @ linear(high)) - lab(seen @ linear(low)))
        assert apart >= 10, (high, low, apart)


def ciede2000(one: np.ndarray, other: np.ndarray) -> float:
    """Colour difference by CIEDE2000 (Sharma, Wu and Dalal, Color Res. Appl. 30, 2005, 21-30, MEMORY)."""
    (l1, a1, b1), (l2, a2, b2) = one, other
    mean = (np.hypot(a1, b1) + np.hypot(a2, b2)) / 2
    g = 0.5 * (1 - np.sqrt(mean**7 / (mean**7 + 25.0**7)))
    a1, a2 = a1 * (1 + g), a2 * (1 + g)
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = (np.degrees(np.arctan2(b, a)) % 360 for a, b in ((a1, b1), (a2, b2)))
    dl, dc = l2 - l1, c2 - c1
    dh = h2 - h1
    dh = 0.0 if not c1 * c2 else dh - 360 if dh > 180 else dh + 360 if dh < -180 else dh
    dh_ = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(dh / 2))
    light, c = (l1 + l2) / 2, (c1 + c2) / 2
    h = h1 + h2 if not c1 * c2 else (h1 + h2) / 2 if abs(h1 - h2) <= 180 else (h1 + h2 + 360) / 2 % 360
    waves = ((-0.17, 1, -30), (0.24, 2, 0), (0.32, 3, 6), (-0.20, 4, -63))
    t = 1 + sum(by * np.cos(np.radians(times * h + plus)) for by, times, plus in waves)
    sl = 1 + 0.015 * (light - 50) ** 2 / np.sqrt(20 + (light - 50) ** 2)
    sc, sh = 1 + 0.045 * c, 1 + 0.015 * c * t
    turn = -np.sin(np.radians(60 * np.exp(-(((h - 275) / 25) ** 2)))) * 2 * np.sqrt(c**7 / (c**7 + 25.0**7))
    return float(np.sqrt((dl / sl) ** 2 + (dc / sc) ** 2 + (dh_ / sh) ** 2 + turn * (dc / sc) * (dh_ / sh)))


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [
        # Pairs 1, 7 and 17 of the published test data (Sharma, Wu and Dalal 2005, table 1, MEMORY).
        ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
        ((50.0, 0.0, 0.0), (50.0, -1.0, 2.0), 2.3669),
        ((50.0, 2.5, 0.0), (73.0, 25.0, -18.0), 27.1492),
    ],
)
def test_the_measure_of_colour_difference(one: tuple[float, ...], other: tuple[float, ...], apart: float) -> None:
    assert ciede2000(np.array(one), np.array(other)) == pytest.approx(apart, abs=1e-4)


@pytest.mark.parametrize("blind", BLINDNESS)
@pytest.mark.parametrize("shades", [DAY, SUN, NIGHT], ids=["day", "sun", "night"])
def test_the_first_shades_of_cut_and_fill_differ_for_the_colour_blind(shades: Shades, blind: str) -> None:
    seen = np.array(BLINDNESS[blind])
    high, low = (lab(seen @ linear(each)) for each in (shades.fill_high[0], shades.fill_low[0]))
    assert ciede2000(high, low) >= 20


@ALL
def test_numbers_on_the_shades_of_the_pad_have_a_contrast_of_seven(shades: Shades) -> None:
    inks, fills = (
        [getattr(shades, f"{part}_even"), *getattr(shades, f"{part}_high"), *getattr(shades, f"{part}_low")]
        for part in ("ink", "fill")
    )
    for ink, fill in zip(inks, fills, strict=True):
        assert contrast(ink, fill) >= TOP, (ink, fill)


def test_no_colour_of_day_stands_for_two_that_another_theme_tells_apart() -> None:
    """Themes exchange colours by their values."""
    flat = {
        name: [each for part in astuple(shades) for each in ([part] if isinstance(part, str) else part)]
        for name, shades in THEMES.items()
        if shades is not None
    }
    for name, others in flat.items():
        stands_for: dict[str, set[str]] = {}
        for day, other in zip(flat["day"], others, strict=True):
            stands_for.setdefault(day, set()).add(other)
        assert [day for day, each in stands_for.items() if len(each) > 1] == [], name


# -- a theme of the crew's own --------------------------------------------------------------------------------


@pytest.fixture
def own(home: Path) -> Iterator[Path]:
    home.mkdir(exist_ok=True)
    yield home / "theme.toml"
    THEMES.pop("own", None)


async def test_a_theme_of_the_crews_own_is_worn_and_its_contrast_told(own: Path, tmp_path: Path) -> None:
    own.write_text('base = "sun"\ntext = "#ffffff"\nground = "#ffffff"\nglare = "#000000"\nhigh = ["#123456"]\n')
    async with crew(a_book("A1 -1"), tmp_path) as at:
        at.pilot.app.apply(replace(at.pilot.app.settings, theme="own"))
        assert at.pilot.app.wears == "own"
        told = "\n".join(at.pilot.app.own_theme_told)
        assert "no colour is called glare" in told
        assert 'high: 3 colours, each "#rrggbb"' in told
        assert "text has a contrast of 1.0:1; 4.5:1 is the least" in told
        assert THEMES["own"] == replace(SUN, text="#ffffff")
        await at.press("m")
        for _ in range(2):
            if "theme:" not in at.pilot.app.screen.query_one(Lines).shown:
                await at.press("enter")
        assert "contrast" in at.pilot.app.screen.query_one(Lines).shown


def test_the_programs_own_themes_pass_that_check() -> None:
    for shades in (DAY, SUN, NIGHT):
        assert list(faint(shades)) == []


@pytest.mark.parametrize("text", ["", "base = 3", "[[[", "text = 3", 'base = "sixteen"'])
def test_any_file_leaves_a_theme_or_a_reason(own: Path, text: str) -> None:
    own.write_text(text)
    told = take_own()
    assert THEMES.get("own") is not None or told


def test_without_a_file_it_says_where_to_write_one(own: Path) -> None:
    assert [str(own) in told for told in take_own()] == [True]
    assert "own" not in THEMES


async def test_high_and_low_differ_without_any_colour(tmp_path: Path) -> None:
    """By their sign, and by words where there is room for them."""
    async with crew(a_book("A1 +2", "B1 -2", "C1 0", "target 0"), tmp_path, (80, 24)) as at:
        assert "+2!" in at.plan.replace(" ", "")
        assert "-2!" in at.plan.replace(" ", "")
        assert "cut 2" in at.plan
        assert "fill 2" in at.plan


def test_night_has_no_red_that_outweighs_the_rest_and_is_dim() -> None:
    for colour in (NIGHT.text, NIGHT.faint, NIGHT.accent, NIGHT.alarm, *NIGHT.high, *NIGHT.low):
        red, green, blue = linear(colour)
        assert red < green + blue
        assert linear(colour) @ [0.2126, 0.7152, 0.0722] <= 0.41, "white is 1"


def test_sun_is_black_on_white_and_heavy() -> None:
    assert (SUN.text, SUN.ground) == ("#000000", "#ffffff")
    assert recoloured(Style(color=DAY.faint, bgcolor=DAY.ground), "sun").bold


@pytest.mark.parametrize("theme", THEMES)
def test_what_looks_the_same_by_day_looks_the_same_in_each_theme(theme: str) -> None:
    """The filter goes by day's colours, so two uses of one colour cannot part."""
    shades = THEMES[theme]
    if shades is not None:
        assert shades.text == shades.neutral
        assert shades.accent == shades.high[1]


@pytest.mark.parametrize(("theme", "side", "depth", "outside"), product(THEMES, (-1, 0, 1), (0, 1, 2), (False, True)))
def test_out_of_tolerance_is_reverse_in_each_theme(theme: str, side: int, depth: int, outside: bool) -> None:
    style = recoloured(cell_style(DAY, side, depth, outside), theme)
    assert bool(style.reverse) is outside
    if theme == "none":
        assert style.color is style.bgcolor is None


@pytest.mark.parametrize(("theme", "few"), [("sixteen", False), *((theme, True) for theme in OF_SIXTEEN)])
def test_sixteen_colours_are_the_terminals_own(theme: str, few: bool) -> None:
    """So nothing is left to how a colour is brought down to sixteen."""
    for side, depth in product((-1, 0, 1), (0, 1, 2)):
        style = recoloured(cell_style(DAY, side, depth, False), theme, few=few)
        for colour in (style.color, style.bgcolor):
            assert colour is not None
            assert colour.downgrade(ColorSystem.STANDARD) == colour


def test_256_colours_keep_the_contrast_of_numbers() -> None:
    """As rich brings a colour down for a terminal with 256 (COMPUTED by it)."""
    for shades in (DAY, SUN, NIGHT):
        ground, *numbers = (
            Style(color=each).color.downgrade(ColorSystem.EIGHT_BIT).get_truecolor().hex
            for each in (shades.ground, *shades.high, *shades.low, shades.neutral)
        )
        assert all(contrast(number, ground) >= ENOUGH for number in numbers), numbers


CHOSEN = {
    "day": [{"TERM": "xterm-256color"}, {"TERM": "xterm", "COLORTERM": "truecolor"}, {"TERM": "screen-256color"}, {}],
    "sixteen": [{"TERM": "xterm"}, {"TERM": "linux"}, {"TERM": "screen"}],
    "none": [{"TERM": "vt100"}, {"TERM": "dumb"}, {"TERM": "xterm-256color", "NO_COLOR": "1"}],
}


@pytest.mark.parametrize(
    ("theme", "environment"), [(theme, each) for theme, environments in CHOSEN.items() for each in environments]
)
def test_the_theme_that_suits_the_terminal(theme: str, environment: dict[str, str]) -> None:
    assert customary(environment) == theme


def test_an_empty_no_color_asks_for_nothing() -> None:
    """no-color.org: when present and not an empty string (MEMORY)."""
    assert customary({"TERM": "xterm-256color", "NO_COLOR": ""}) == "day"


def test_one_key_steps_through_all_of_them() -> None:
    seen = ["day"]
    while (following := after(seen[-1])) not in seen:
        seen.append(following)
    assert set(seen) == set(THEMES)


def test_the_settings_know_the_same_themes() -> None:
    assert kind("theme").choices == ("auto", *THEMES, "own")


async def grounds(at: Crew) -> set[str]:
    """Backgrounds of all that is painted on the screen that is up, the filter included."""
    await at.pilot.pause()
    lines = (line for widget in at.pilot.app.screen.query("*") if not widget.children for line in strips(widget))
    (last,) = at.pilot.app.get_line_filters()[-1:] or (None,)
    painted = (last.apply(list(line), Color(0, 0, 0)) if last is not None else list(line) for line in lines)
    return {part.style.bgcolor.name for line in painted for part in line if part.style and part.style.bgcolor}


async def test_a_theme_is_worn_at_once_kept_and_said(tmp_path: Path) -> None:
    os.environ.pop("NO_COLOR", None)
    async with crew(a_book("A1 -1"), tmp_path) as at:
        at.pilot.app.wear("day")
        await at.press("f")
        assert "colours: sun" in at.prompt
        assert at.pilot.app.wears == "sun"
        assert read()[0].theme == "sun"
        assert "#ffffff" in await grounds(at)
        assert "#101214" not in await grounds(at)
        await at.press("f", "f")
        assert read()[0].theme == "sixteen"


async def test_a_theme_that_cannot_be_kept_is_worn_all_the_same(tmp_path: Path, home: Path) -> None:
    home.write_text("a file where the folder should be")
    async with crew(a_book(), tmp_path) as at:
        await at.press("a", "escape", "f")
        assert "colours: " in at.prompt
