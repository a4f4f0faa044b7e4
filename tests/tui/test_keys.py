"""Keys as terminals send them: the numeric pad plain, with num-lock off, and as kitty's protocol names it."""

from __future__ import annotations

import pytest
from textual._xterm_parser import XTermParser
from textual.events import Key

from rodcall.tui.terminal.keys import Stroke, stroke

KITTY_KEYPAD = {
    **{57399 + digit: str(digit) for digit in range(10)},
    57409: ".",
    57410: "/",
    57411: "*",
    57412: "-",
    57413: "+",
    57415: "=",
    57416: ",",
}
"""Code points of the keypad and what is printed on its keys. Source: kitty's keyboard protocol, "Functional key
definitions" (KP_0 57399 to KP_SEPARATOR 57416). (MEMORY)"""


def sent(text: str) -> Stroke:
    """What becomes of what a terminal sends."""
    (event,) = [event for event in XTermParser().feed(text) if isinstance(event, Key)]
    return stroke(event)


def folded(key: str, character: str | None = None) -> tuple[str, str]:
    event = Key(key, character)
    told = stroke(event)
    assert told.time == event.time
    return told.name, told.character


@pytest.mark.parametrize(("code", "printed"), KITTY_KEYPAD.items())
def test_keypad_as_kitty_sends_it(code: int, printed: str) -> None:
    assert sent(f"\x1b[{code}u").character == printed


@pytest.mark.parametrize("printed", "0123456789./*-+=,")
def test_keypad_as_plain_terminals_send_it(printed: str) -> None:
    assert sent(printed).character == printed


def test_enter_of_the_keypad() -> None:
    assert sent("\x1b[57414u").name == "enter"
    assert sent("\r").name == "enter"


@pytest.mark.parametrize(
    ("code", "name"), [(57417, "left"), (57418, "right"), (57419, "up"), (57420, "down"), (57421, "pageup")]
)
def test_keypad_moves_with_num_lock_off(code: int, name: str) -> None:
    assert (sent(f"\x1b[{code}u").name, sent(f"\x1b[{code}u").character) == (name, "")


@pytest.mark.parametrize(
    ("key", "character", "expected"),
    [
        ("decimal", None, ("", ".")),
        ("separator", None, ("", ",")),
        ("subtract", None, ("", "-")),
        ("add", None, ("", "+")),
        ("divide", None, ("", "/")),
        ("multiply", None, ("", "*")),
        ("equal", None, ("", "=")),
        ("5", None, ("", "5")),
        ("5", "5", ("", "5")),
        ("H", "H", ("", "H")),
        ("minus", "-", ("", "-")),
        ("plus", "+", ("", "+")),
        ("space", " ", ("", " ")),
        ("vulgar_fraction_three_eighths", "⅜", ("", "⅜")),
        ("enter", "\r", ("enter", "")),
        ("ctrl+j", "\n", ("enter", "")),
        ("return", None, ("enter", "")),
        ("ctrl+h", "\x08", ("backspace", "")),
        ("backspace", "\x7f", ("backspace", "")),
        ("escape", "\x1b", ("escape", "")),
        ("kp_begin", None, ("end", "")),
        ("f1", None, ("f1", "")),
        ("ctrl+q", "\x11", ("ctrl+q", "")),
    ],
)
def test_a_key_is_a_character_or_a_name(key: str, character: str | None, expected: tuple[str, str]) -> None:
    assert folded(key, character) == expected
