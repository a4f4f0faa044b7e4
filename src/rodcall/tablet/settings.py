"""What a crew has set on this tablet: one TOML file; where it is not TOML, one mistake costs one line."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import Field, dataclass, field, fields, replace
from pathlib import Path
from typing import Any

from rodcall.book.storage.atomic_write import replace_file
from rodcall.book.storage.safe_read import fetch, reason
from rodcall.frozen import Frozen
from rodcall.i18n import LANGUAGES, phrase, say
from rodcall.tablet.paths import home

LARGEST = 100_000
"""Bytes; a longer file is no settings file."""


STEPS = 100
"""Steps of the settings screen from the least to the most of a number."""


class SettingError(ValueError):
    """A setting that is not known, or cannot have this value; one line."""


class Kind(Frozen):
    """What a setting may be: a word of a list, a number in a range, yes or no, or a text."""

    help: str
    choices: tuple[str, ...] = ()
    least: int = 0
    most: int = 0


def _setting(default: Any, help: str, choices: tuple[str, ...] = (), least: int = 0, most: int = 0) -> Any:
    return field(default=default, metadata={"kind": Kind(help, choices, least, most)})


@dataclass(frozen=True)
class Settings:
    """All settings; what nobody has set has its default."""

    language: str = _setting("en", phrase("the language of screens and messages"), tuple(LANGUAGES))
    theme: str = _setting(
        "auto",
        phrase("the colours of the screen; auto suits the terminal, own is your file theme.toml"),
        ("auto", "day", "sun", "night", "sixteen", "none", "own"),
    )
    characters: str = _setting(
        "auto",
        phrase("the characters of the screen; auto is what the terminal can show"),
        ("auto", "utf-8", "ascii"),
    )
    sound: str = _setting(
        "off",
        phrase("sound: one bell for taken, two for a question, three for out of tolerance; or words by say_command"),
        ("off", "bell", "command"),
    )
    say_command: str = _setting("", phrase("command that speaks; the words are its last argument"))
    ask_about_busts: bool = _setting(True, phrase("show READ AGAIN at once for a reading that does not fit"))
    vibration_ms: int = _setting(
        20,
        phrase("milliseconds in which a repeat of the same key is ignored (vibrating switch); 0 takes all"),
        least=0,
        most=500,
    )
    contractor_name: str = _setting("", phrase("contractor on the certificate: the name"))
    contractor_address: str = _setting("", phrase("contractor on the certificate: the address"))
    contractor_contact: str = _setting("", phrase("contractor on the certificate: telephone, mail"))
    contractor_licence: str = _setting("", phrase("contractor on the certificate: licence and number"))
    contractor_logo: str = _setting("", phrase("contractor on the certificate: the logo's file, PNG or SVG"))
    keys: Mapping[str, str] = field(default_factory=dict)
    """Keys by the action's id, as the section `[keys]` has them; the screens say which ids there are."""
    key_lines: Mapping[str, int] = field(default_factory=dict)
    """Line of the file in which each of those keys stands."""


SETTINGS: Mapping[str, Field[Any]] = {each.name: each for each in fields(Settings) if "kind" in each.metadata}
"""The settings by name, in the order of the settings screen; the keys apart."""


def kind(name: str) -> Kind:
    """What a setting may be."""
    found = SETTINGS[name].metadata["kind"]
    assert isinstance(found, Kind)
    return found


def settings_file() -> Path:
    """Where the settings of this tablet are kept."""
    return home() / "settings.toml"


def read(path: Path | None = None) -> tuple[Settings, tuple[str, ...]]:
    """The settings in force, and each line that is wrong, told in one line with its place and what is used instead.

    A file that is not there is no mistake; one that cannot be read leaves all defaults.
    """
    path = path or settings_file()
    try:
        content = fetch(path, LARGEST)
    except OSError as error:
        return Settings(), (say("{file} cannot be read ({why}); defaults are used", file=path, why=reason(error)),)
    if content is None:
        return Settings(), ()
    if len(content) > LARGEST:
        return Settings(), (say("{file} is too long for settings; defaults are used", file=path),)
    return _understand(content.decode("utf-8", "replace"))


def _toml(text: str) -> dict[str, Any]:
    """A text that is TOML. Most tablets have no settings file, and the first screen waits for every import."""
    import tomllib

    return tomllib.loads(text)


def _understand(text: str) -> tuple[Settings, tuple[str, ...]]:
    """The settings in a text that is TOML; of one that is not, those of each line that is by itself."""
    try:
        document = _toml(text)
    except (ValueError, RecursionError) as error:
        # RecursionError: brackets nested deeper than Python goes; ValueError: no TOML, or numbers it does not read.
        return _line_by_line(text, error)
    found, keys, lines, wrong = Settings(), dict[str, str](), dict[str, int](), list[tuple[int, str]]()
    places = _places(text)
    for name, value in document.items():
        section = name == "keys" and isinstance(value, dict)
        for part, given in _flat(value) if section else [(name, value)]:
            line = places.get(("[keys]" if section else "", part), places.get(("", name), 1))
            try:
                if section:
                    keys[part], lines[part] = _key(part, given), line
                elif isinstance(given, dict) and name not in SETTINGS:
                    raise SettingError(say("no such section; the only one is [keys]"))
                else:
                    found = with_value(found, name, given)
            except SettingError as error:
                wrong.append((line, str(error)))
    told = [say("settings, line {number}: {why}", number=number, why=why) for number, why in sorted(wrong)]
    return replace(found, keys=keys, key_lines=lines), tuple(told)


def _places(text: str) -> dict[tuple[str, str], int]:
    """The line of each name by its section, as far as lines tell; a section's own line has its name in no section."""
    places: dict[tuple[str, str], int] = {}
    section = ""
    for number, line in enumerate(text.split("\n"), 1):
        if line.strip().startswith("["):
            section = line.split("#")[0].strip()
            places.setdefault(("", section.strip("[]").split(".")[0].strip(" \"'")), number)
            continue
        try:
            names = [name for name, _ in _flat(_toml(line))]
        except (ValueError, RecursionError):
            # The first line of a value that goes on, or a line within one.
            names = [line.split("=")[0].strip(" \"'")] if "=" in line else []
        for name in names:
            places.setdefault((section, name), number)
            places.setdefault((section, name.split(".")[0]), number)
    return places


def _line_by_line(text: str, error: Exception) -> tuple[Settings, tuple[str, ...]]:
    """What each line says by itself, where the whole is no TOML, so that one mistake costs one line."""
    found, keys, lines, wrong, section = Settings(), dict[str, str](), dict[str, int](), list[str](), ""
    first: dict[tuple[str, str], int] = {}
    for number, line in enumerate(text.splitlines(), 1):
        try:
            if line.strip().startswith("["):
                section = line.split("#")[0].strip()
                if section != "[keys]":
                    raise SettingError(say("no such section; the only one is [keys]"))
                if ("", section) in first:
                    raise SettingError(say("[keys] already begins in line {number}", number=first["", section]))
                first["", section] = number
                continue
            for name, value in _line(line).items():
                if (section, name) in first:
                    told = _told(name)
                    raise SettingError(
                        say("{name} is already set in line {number}", name=told, number=first[section, name])
                    )
                first[section, name] = number
                if section == "[keys]":
                    keys[name], lines[name] = _key(name, value), number
                else:
                    found = with_value(found, name, value)
        except SettingError as trouble:
            wrong.append(say("settings, line {number}: {why}", number=number, why=trouble))
    if not wrong and text:
        at = re.search(r"line (\d+)", str(error))
        told = say("not TOML: {why}", why=_told(str(error)))
        wrong.append(say("settings, line {number}: {why}", number=at[1] if at else 1, why=told))
    return replace(found, keys=keys, key_lines=lines), tuple(wrong)


def _line(line: str) -> dict[str, Any]:
    try:
        return dict(_flat(_toml(line)))
    except (ValueError, RecursionError):
        # What is no TOML, and numbers longer than Python reads.
        raise SettingError(say('not understood; a line is a name, "=" and a value: theme = "sun"')) from None


def _flat(table: Mapping[str, Any], under: str = "") -> list[tuple[str, Any]]:
    """`shots.undo = "j"` is one name, however TOML takes it."""
    flat = []
    for name, value in table.items():
        flat += _flat(value, f"{under}{name}.") if isinstance(value, dict) else [(f"{under}{name}", value)]
    return flat


def _key(id: str, value: object) -> str:
    if isinstance(value, str) and 0 < len(value) <= 20:
        return value
    raise SettingError(say('{id}: a key is its character or its name in quotes: "j"', id=_told(id)))


def _told(name: str) -> str:
    """A name from the file, as it can be shown in one line."""
    return name[:40] if name.isprintable() else ascii(name[:40])


def with_value(settings: Settings, name: str, value: object) -> Settings:
    """The settings with one of them changed.

    Raises:
        SettingError: when no setting is called that, or it cannot have this value; it says what is used instead.
    """
    if name not in SETTINGS:
        raise SettingError(say("no such setting: {name}; known: {known}", name=_told(name), known=", ".join(SETTINGS)))
    default = SETTINGS[name].default
    why = _trouble(kind(name), default, value)
    if why:
        raise SettingError(say("{name}: {why}; {default} is used", name=name, why=why, default=json.dumps(default)))
    changed: dict[str, Any] = {name: value}
    return replace(settings, **changed)


def stepped(settings: Settings, name: str, by: int) -> object:
    """The value that a step makes of a setting: the next choice, the other truth, a larger or smaller number."""
    allowed, now = kind(name), getattr(settings, name)
    if allowed.choices:
        return allowed.choices[(allowed.choices.index(now) + by) % len(allowed.choices)]
    if isinstance(now, bool):
        return not now
    if isinstance(now, int):
        step = max((allowed.most - allowed.least) // STEPS, 1)
        return min(max(now + by * step, allowed.least), allowed.most)
    return now


def _trouble(allowed: Kind, default: object, value: object) -> str:
    if type(value) is not type(default):
        wanted = {bool: say("true or false"), int: say("a whole number"), str: say("a text in quotes")}
        return say("must be {wanted}", wanted=wanted[type(default)])
    if allowed.choices and value not in allowed.choices:
        return say("must be one of {choices}", choices=", ".join(allowed.choices))
    if isinstance(value, int) and allowed.most and not allowed.least <= value <= allowed.most:
        return say("must be between {least} and {most}", least=allowed.least, most=allowed.most)
    if isinstance(value, str) and (len(value) > 200 or not value.isprintable()):
        return say("too long, or with characters that cannot be printed")
    return ""


def write_setting(name: str, value: object, path: Path | None = None) -> None:
    """Set one setting in the file; every other line stays as it is, comments and wrong ones too.

    Raises:
        SettingError: when it cannot have this value.
        OSError: when the disk refuses.
    """
    with_value(Settings(), name, value)
    path = path or settings_file()
    lines = (fetch(path, LARGEST) or b"").decode("utf-8", "surrogateescape").splitlines()
    before = next((at for at, line in enumerate(lines) if line.strip().startswith("[")), len(lines))
    kept = [line for at, line in enumerate(lines) if at >= before or line.split("=")[0].strip() != name]
    at = before - (len(lines) - len(kept))
    path.parent.mkdir(parents=True, exist_ok=True)
    # What JSON writes of a text, a number or a truth, TOML reads.
    new = [*kept[:at], f"{name} = {json.dumps(value, ensure_ascii=False)}", *kept[at:]]
    if _is_toml(lines) and not _is_toml(new):
        # Its value goes on over several lines, of which this would leave some behind.
        raise SettingError(say("{name} cannot be changed here: edit {file}", name=name, file=path))
    replace_file(path, ("\n".join(new) + "\n").encode("utf-8", "surrogateescape"))


def _is_toml(lines: Sequence[str]) -> bool:
    try:
        _toml("\n".join(lines))
    except (ValueError, RecursionError):
        return False
    return True


def schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of the settings, as TOML's data model has them."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "rodcall settings",
        "type": "object",
        "additionalProperties": False,
        "properties": {
            **{name: _schema_of(each) for name, each in SETTINGS.items()},
            "keys": {"type": "object", "additionalProperties": {"type": ["string", "object"]}},
        },
    }


def _schema_of(each: Field[Any]) -> dict[str, Any]:
    allowed = kind(each.name)
    types = {bool: "boolean", int: "integer", str: "string"}
    told: dict[str, Any] = {"description": allowed.help, "default": each.default, "type": types[type(each.default)]}
    if allowed.choices:
        told["enum"] = list(allowed.choices)
    if allowed.most:
        told |= {"minimum": allowed.least, "maximum": allowed.most}
    return told
