"""What a terminal sends for its keys, as bytes.

Sources (MEMORY, the named documents): xterm's control sequences for the named keys and the keypad in
application mode, kitty's keyboard protocol for its own codes. The kit's test holds them against Textual.
"""

from __future__ import annotations

from enum import Enum, auto
from typing import Final

KEYS: Final[dict[str, bytes]] = {
    "enter": b"\r",
    "escape": b"\x1b",
    "tab": b"\t",
    "shift+tab": b"\x1b[Z",
    "backspace": b"\x7f",
    "space": b" ",
    "up": b"\x1b[A",
    "down": b"\x1b[B",
    "right": b"\x1b[C",
    "left": b"\x1b[D",
    "home": b"\x1b[H",
    "end": b"\x1b[F",
    "insert": b"\x1b[2~",
    "delete": b"\x1b[3~",
    "pageup": b"\x1b[5~",
    "pagedown": b"\x1b[6~",
    "f1": b"\x1bOP",
    "f2": b"\x1bOQ",
    "f3": b"\x1bOR",
    "f4": b"\x1bOS",
    "f5": b"\x1b[15~",
    **{f"ctrl+{chr(code + 96)}": bytes([code]) for code in range(1, 27)},
}
"""Keys by name; a printable character stands for itself."""


class Keypad(Enum):
    """The ways in which terminals send the keypad with num lock on."""

    PLAIN = auto()
    """The character, as from the main keys."""
    APPLICATION = auto()
    """ESC O and a letter, as the VT100 does in its application mode."""
    KITTY = auto()
    """kitty's protocol, the key's code alone: no character comes with it."""
    KITTY_TEXT = auto()
    """kitty's protocol with the num lock bit and the character, as asked for by `CSI > 25 u`."""


_KITTY_ORDER: Final = "0123456789./*-+\r=,"
_KITTY_FIRST: Final = 57399
_KITTY_NAVIGATION: Final = [
    "left",
    "right",
    "up",
    "down",
    "pageup",
    "pagedown",
    "home",
    "end",
    "insert",
    "delete",
    "begin",
]
_NUM_LOCK: Final = 1 + 128
_APPLICATION: Final = dict(zip("0123456789*+,-./\r=", "pqrstuvwxyjklmnoMX", strict=True))


def key(name: str) -> bytes:
    """The bytes of a key by its name, or of a single character.

    Raises:
        KeyError: when it is neither.
    """
    return name.encode() if len(name) == 1 else KEYS[name]


def keypad(characters: str, encoding: Keypad) -> bytes:
    r"""The bytes of keypad keys by their characters, `\r` being the keypad's Enter.

    Raises:
        KeyError, ValueError: when the keypad has no such key.
    """
    match encoding:
        case Keypad.PLAIN:
            return b"".join(_plain(character) for character in characters)
        case Keypad.APPLICATION:
            return b"".join(f"\x1bO{_APPLICATION[character]}".encode() for character in characters)
        case Keypad.KITTY:
            return b"".join(f"\x1b[{_kitty_code(character)}u".encode() for character in characters)
        case Keypad.KITTY_TEXT:
            return b"".join(_kitty_with_text(character) for character in characters)


def keypad_unlocked(name: str) -> bytes:
    """The bytes of a keypad key with num lock off, under kitty's protocol; `begin` is the 5."""
    code = _KITTY_FIRST + len(_KITTY_ORDER) + _KITTY_NAVIGATION.index(name)
    return f"\x1b[{code}{'~' if name == 'begin' else 'u'}".encode()


def kitty_keys(text: str) -> bytes:
    """The bytes of the main keys under kitty's protocol with all keys as codes, each with its character."""
    return b"".join(_kitty_main(character) for character in text)


def pasted(text: str) -> bytes:
    """A bracketed paste; its line ends are carriage returns, as terminals send them."""
    return b"\x1b[200~" + text.replace("\r\n", "\r").replace("\n", "\r").encode() + b"\x1b[201~"


def click(x: int, y: int) -> bytes:
    """A left click (button down and up) on a cell counted from 0, in SGR encoding."""
    return b"".join(f"\x1b[<0;{x + 1};{y + 1}{state}".encode() for state in "Mm")


def _plain(character: str) -> bytes:
    _kitty_code(character)  # a key that the keypad has
    return character.encode()


def _kitty_code(character: str) -> int:
    return _KITTY_FIRST + _KITTY_ORDER.index(character)


def _kitty_with_text(character: str) -> bytes:
    text = "" if character == "\r" else f";{ord(character)}"
    return f"\x1b[{_kitty_code(character)};{_NUM_LOCK}{text}u".encode()


def _kitty_main(character: str) -> bytes:
    if character in "\r\t\x1b\x7f":
        return f"\x1b[{ord(character)}u".encode()
    base = character.lower()
    shift = "2" if base != character else ""
    return f"\x1b[{ord(base)};{shift};{ord(character)}u".encode()
