"""A theme of the crew's own: a file of colours beside the settings, checked for contrast like the program's."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from rodcall.book.storage.safe_read import fetch, reason
from rodcall.i18n import say
from rodcall.tablet.paths import home
from rodcall.tui.terminal.colours import Shades

LARGEST = 20_000
"""Bytes; a longer file is no theme."""
NUMBERS, REST = 7.0, 4.5
"""Contrast of numbers and of everything else: WCAG 2.2, success criteria 1.4.6 and 1.4.3."""
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")


def theme_file() -> Path:
    """Where the crew's own colours are."""
    return home() / "theme.toml"


def read(bases: Mapping[str, Shades | None], path: Path | None = None) -> tuple[Shades | None, tuple[str, ...]]:
    """The crew's own theme, and what is wrong with it or hard to read, a line each; None where there is no such file.

    A colour that will not do is left as the base has it (`base = "day"`, which is also what counts without).

    Args:
        bases: The program's own themes by name.
        path: The file; beside the settings when not given.
    """
    path = path or theme_file()
    try:
        content = fetch(path, LARGEST)
        document = tomllib.loads((content or b"")[:LARGEST].decode("utf-8"))
    except OSError as error:
        return None, (say("{file} cannot be read: {why}", file=path.name, why=reason(error)),)
    except (ValueError, RecursionError) as error:
        return None, (say("{file} is not TOML: {why}", file=path.name, why=str(error)[:80]),)
    if content is None:
        return None, ()
    name = document.pop("base", "day")
    base = bases.get(name) if isinstance(name, str) else None
    wrong: list[str] = []
    if base is None or not base.ground.startswith("#"):
        wrong.append(say("base: one of day, sun, night; day is used"))
        base = bases["day"]
    assert base is not None
    given: dict[str, Any] = {}
    known = {each.name: getattr(base, each.name) for each in fields(Shades)}
    for field, value in document.items():
        trouble = _trouble(known, field, value)
        if trouble:
            wrong.append(trouble)
        else:
            given[field] = tuple(value) if isinstance(value, list) else value
    shades = replace(base, **given)
    return shades, (*wrong, *faint(shades))


def _trouble(known: Mapping[str, str | tuple[str, ...]], field: str, value: object) -> str:
    """Why a line of the file will not do; empty where it does."""
    if field not in known:
        name = field[:40] if field.isprintable() else ascii(field[:40])
        return say("no colour is called {name}; known: {known}", name=name, known=", ".join(known))
    wanted = known[field]
    if isinstance(wanted, str):
        fits = isinstance(value, str) and bool(_COLOUR.fullmatch(value))
        return "" if fits else say('{name}: a colour is "#rrggbb"', name=field)
    fits = (
        isinstance(value, list)
        and len(value) == len(wanted)
        and all(isinstance(each, str) and _COLOUR.fullmatch(each) for each in value)
    )
    return "" if fits else say('{name}: {number} colours, each "#rrggbb"', name=field, number=len(wanted))


def faint(shades: Shades) -> Iterator[str]:
    """Each pair of colours with too little contrast, in one line: 7:1 for numbers, 4.5:1 for the rest."""
    for name, ink, fill, least in _pairs(shades):
        ratio = contrast(ink, fill)
        if ratio < least:
            yield say(
                "{name} has a contrast of {ratio:.1f}:1; {least:g}:1 is the least", name=name, ratio=ratio, least=least
            )


def _pairs(shades: Shades) -> Iterator[tuple[str, str, str, float]]:
    for name in ("text", "faint", "accent", "alarm"):
        yield name, getattr(shades, name), shades.ground, REST
    yield "neutral", shades.neutral, shades.ground, NUMBERS
    for name in ("high", "low"):
        for at, colour in enumerate(getattr(shades, name), 1):
            yield f"{name} {at}", colour, shades.ground, NUMBERS
        for at, (ink, fill) in enumerate(
            zip(getattr(shades, f"ink_{name}"), getattr(shades, f"fill_{name}"), strict=True), 1
        ):
            yield f"ink_{name} {at}", ink, fill, NUMBERS
    yield "ink_bare", shades.ink_bare, shades.bare, NUMBERS
    yield "accent on bare", shades.accent, shades.bare, REST
    yield "ink_even", shades.ink_even, shades.fill_even, NUMBERS


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21, as WCAG 2.2 defines it."""
    darker, lighter = sorted(map(_luminance, (one, other)))
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb` (WCAG 2.2; sRGB as in IEC 61966-2-1)."""
    channels = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    linear = [each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
