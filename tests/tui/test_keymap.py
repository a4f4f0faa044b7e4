"""Keys of the crew's own: each binding that cannot be is told in one line, and costs only itself."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.pilot import Pilot

from rodcall.tablet.settings import Settings, read, settings_file
from rodcall.tui.app import RodcallApp
from rodcall.tui.bindings.keymap import TABLES, Keymap
from rodcall.tui.shot_grid.screen import ShotScreen
from rodcall.tui.terminal.keys import ONE_READ_S, Bounces, Stroke
from rodcall.tui.widgets.lines import Lines
from tests.kit import a_book
from tests.tui.kit import crew, painted, saved, send


def first_key(keymap: Keymap, table: str, id: str) -> str:
    return next(action.key for action in keymap.tables[table] if action.id == id)


def test_without_settings_the_tables_are_as_they_stand() -> None:
    assert Keymap().tables == TABLES
    assert Keymap().wrong == []


def test_no_table_clashes_with_itself() -> None:
    for name, actions in TABLES.items():
        keys = [key for action in actions for key in action.keys]
        assert len(keys) == len(set(keys)), name


def test_an_action_gets_its_key_and_its_second_ways_stay() -> None:
    keymap = Keymap({"shots.undo": "F2"})
    assert keymap.action("shots", "f2").id == "undo"
    assert keymap.action("shots", "/").id == "undo"
    assert keymap.action("shots", "u") is None


def test_a_second_way_is_given_away_to_whoever_asks() -> None:
    keymap = Keymap({"shots.redo": "/"})
    assert keymap.action("shots", "/").id == "redo"
    assert keymap.action("shots", "u").id == "undo"
    assert keymap.wrong == []


@pytest.mark.parametrize(
    ("id", "key", "told"),
    [
        ("shots.undone", "F2", "no such action; known in shots"),
        ("grid.undo", "F2", "no such action; ids begin with"),
        ("shots.undo", "hyper", "no such key: hyper"),
        ("shots.undo", "5", "5 is for readings and moves on that screen"),
        ("shots.undo", "h", "h is for readings and moves on that screen"),
        ("shots.undo", "-", "- is for readings and moves on that screen"),
        ("shots.undo", "Enter", "Enter is for readings and moves on that screen"),
        ("form.next", "n", "characters are typed into the form"),
        ("shots.undo", "ctrl+c", "no such key"),
    ],
)
def test_what_cannot_be_is_told_and_the_key_stays(id: str, key: str, told: str) -> None:
    keymap = Keymap({id: key, "shots.redo": "F3"})
    (line,) = keymap.wrong
    assert line.startswith(f"settings, [keys], {id}: ")
    assert told in line
    assert first_key(keymap, "shots", "undo") == "u"
    assert first_key(keymap, "shots", "redo") == "f3", "the others count"


def test_a_clash_gives_both_their_own_keys_back() -> None:
    keymap = Keymap({"shots.undo": "F2", "shots.redo": "F2", "shots.note": "F3"})
    (line,) = keymap.wrong
    assert "F2 is bound to shots.undo and shots.redo" in line
    assert (first_key(keymap, "shots", "undo"), first_key(keymap, "shots", "redo")) == ("u", "y")
    assert first_key(keymap, "shots", "note") == "f3"


def test_taking_the_key_of_another_is_a_clash() -> None:
    keymap = Keymap({"shots.undo": "y"})
    assert len(keymap.wrong) == 1
    assert first_key(keymap, "shots", "undo") == "u"
    swapped = Keymap({"shots.undo": "y", "shots.redo": "u"})
    assert swapped.wrong == []
    assert swapped.action("shots", "y").id == "undo"


IDS = [f"{table}.{action.id}" for table, actions in TABLES.items() for action in actions] + ["shots.none", "none"]
KEYS = st.sampled_from([*"abcxyz5-!?", "F2", "F3", "Esc", "Enter", "up", "nonsense", "ctrl+s"])


@given(st.dictionaries(st.sampled_from(IDS), KEYS, max_size=12))
def test_whatever_is_bound_no_key_means_two_things_and_nothing_is_lost(bound: dict[str, str]) -> None:
    keymap = Keymap(bound)
    for name, actions in keymap.tables.items():
        assert [action.id for action in actions] == [action.id for action in TABLES[name]]
        keys = [key for action in actions for key in set(action.keys)]
        assert len(keys) == len(set(keys))
    assert all("\n" not in line for line in keymap.wrong)


async def test_the_footer_the_help_and_the_key_say_the_same(tmp_path: Path) -> None:
    settings = replace(Settings(vibration_ms=0), keys={"shots.undo": "F2"})
    async with RodcallApp(saved(a_book("A1 -1"), tmp_path), settings=settings).run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        screen = pilot.app.screen
        assert "F2 undo" in screen.query_one("#foot").shown
        await send(pilot, "f2")
        assert screen.session.summary.counted == 0
        await send(pilot, "?")
        assert "F2" in pilot.app.screen.query_one("#page").shown


async def test_a_wrong_binding_is_told_at_the_start(tmp_path: Path) -> None:
    settings = replace(Settings(vibration_ms=0), keys={"shots.undo": "5"})
    async with RodcallApp(saved(a_book(), tmp_path), settings=settings).run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "5 is for readings" in pilot.app.screen.query_one("#entry").shown


# -- a switch that vibrates ----------------------------------------------------------------------------------


def pressed(*keys: tuple[str, float]) -> tuple[str, int]:
    """What is left of keys that came at these milliseconds, and how many were swallowed."""
    bounces = Bounces(20)
    left = "".join(key for key, at in keys if bounces.take(Stroke(character=key, time=at / 1000)))
    return left, bounces.swallowed


def test_a_bounce_is_swallowed_and_counted() -> None:
    assert pressed(("1", 0), ("1", 8), ("1", 16), ("2", 100)) == ("12", 2)


def test_two_presses_of_one_key_are_two() -> None:
    assert pressed(("1", 0), ("1", 60)) == ("11", 0)


def test_another_key_is_never_swallowed() -> None:
    assert pressed(("1", 0), ("2", 5), ("1", 10)) == ("121", 0)


@given(st.text("0123456789-/", max_size=40), st.floats(0, 1.9))
def test_what_comes_in_one_write_is_kept_whole(text: str, apart: float) -> None:
    """Typed ahead, pasted or sent by a program: the times of such keys say nothing of a finger."""
    assert pressed(*((key, 1000 + at * apart) for at, key in enumerate(text))) == (text, 0)


@given(st.text("0123456789-/", max_size=40), st.floats(20.01, 200))
def test_what_a_finger_types_is_kept_whole(text: str, apart: float) -> None:
    assert pressed(*((key, 1000 + at * apart) for at, key in enumerate(text))) == (text, 0)


def test_zero_takes_every_key() -> None:
    bounces = Bounces(0)
    assert all(bounces.take(Stroke(character="1", time=at / 1000)) for at in range(0, 50, 5))


def test_what_cannot_be_is_told_with_its_line_and_its_id() -> None:
    lines = (
        "[keys]",
        'shots.fly = "F4"',
        "# both want F2",
        'shots.undo = "F2"',
        'shots.redo = "F2"',
        'dig.wider = "Q9"',
    )
    settings_file().parent.mkdir(parents=True, exist_ok=True)
    settings_file().write_text("\n".join(lines), "utf-8")
    found, wrong = read()
    assert wrong == ()
    told = Keymap(found.keys, found.key_lines).wrong
    assert [line.split(": ")[0] for line in told] == [
        "settings, line 2, shots.fly",
        "settings, line 6, dig.wider",
        "settings, lines 4 and 5",
    ]
    assert "shots.undo and shots.redo" in told[2]


async def test_what_was_swallowed_is_shown(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        at.pilot.app.bounces.swallowed = 3
        await at.key("-1\n")
        assert "3 repeats ignored" in at.shown("foot")
        await at.press("?", *["pagedown"] * 9)
        assert "3 repeats ignored" in at.pilot.app.screen.query_one("#page").shown


SHOT = ("A1 -1", "B1 -1/2", "C1 0", "C2 -1", "target -1/2")
PAGES = ("t", "e", "d", "p", "a", "k", "?", "*", "m")
"""Keys of the shot grid that open a page over it."""


async def bounce(pilot: Pilot[None], key: str) -> None:
    """A key whose switch vibrates: once, and a repeat that is swallowed."""
    pilot.app.bounces.limit_ms = 60_000
    await send(pilot, key)
    await pilot.pause(2 * ONE_READ_S)
    await send(pilot, key)


@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
@pytest.mark.parametrize("page", PAGES)
async def test_a_key_that_did_nothing_is_told_on_every_page(tmp_path: Path, page: str, size: tuple[int, int]) -> None:
    async with crew(a_book(*SHOT), tmp_path, size) as at:
        await at.press(page)
        assert not isinstance(at.pilot.app.screen, ShotScreen)
        await bounce(at.pilot, "down")
        assert "1 repeat ignored" in painted(list(at.pilot.app.screen.query(Lines)))


@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
@pytest.mark.parametrize("keys", [(), ("n",)], ids=["jobs", "new job"])
async def test_a_key_that_did_nothing_is_told_on_the_list_of_jobs(keys: tuple[str, ...], size: tuple[int, int]) -> None:
    async with RodcallApp(None).run_test(size=size) as pilot:
        await send(pilot, *keys)
        await bounce(pilot, "down")
        assert "1 repeat ignored" in painted(list(pilot.app.screen.query(Lines)))
        await send(pilot, "up")
        assert "1 repeat ignored" in painted(list(pilot.app.screen.query(Lines))), "until the program is left"
