"""The page of the punch list: what it shows, where Enter goes for each item, and by the numeric pad alone."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from rich.cells import cell_len

from rodcall.book.model.entries import Readings
from rodcall.book.model.terms import TERMS
from rodcall.figures.next_up import Do
from rodcall.figures.punch_list import GRAVITY, Item, Kind, PunchList
from rodcall.i18n import speaking
from rodcall.tui.bindings.actions import PUNCH_PAGE, SHOT_GRID, Action
from rodcall.tui.pages.line_preview import LinePreview
from rodcall.tui.pages.punch_list import GROUPS, PunchScreen, place_of
from rodcall.tui.pages.target_page.screen import TargetScreen
from rodcall.tui.pages.terms import TermsScreen
from rodcall.tui.shot_grid.screen import ShotScreen
from rodcall.tui.widgets.lines import Lines
from rodcall.units import FOOT, INCH, Unit
from tests.kit import a_book, a_job
from tests.tui.kit import Crew, crew

SIZES = [(80, 24), (60, 20)]
NINE = ("A1 0", "B1 -1/4", "C1 -3/8", "C2 -1/2", "B2 -3/8", "A2 -1/8", "A3 -1/8", "B3 -3/8", "C3 -1/2")
"""Nine of twelve that lie as ground does; C4 comes next."""
ALL = (*NINE, "C4 -1/2", "B4 -3/8", "A4 -1/8")
BAD = ("reference BM1 high 2", *NINE, "check BM1 high 3")
"""Nine shots that a check an inch off makes suspect."""


def page(at: Crew) -> str:
    """The text of the page that is up."""
    return at.pilot.app.screen.query_one(Lines).shown


async def shown(at: Crew) -> str:
    """The same once the page that was opened last is painted."""
    while not page(at):
        await at.pilot.pause(0.01)
    return page(at)


def bar(at: Crew) -> str:
    """The item under the bar."""
    (line,) = [line for line in page(at).splitlines() if line.startswith(">")]
    return line[1:].strip()


async def to_item(at: Crew, words: str) -> None:
    """Open the list and put the bar on an item."""
    await at.press("tab", "home")
    assert isinstance(at.pilot.app.screen, PunchScreen)
    await shown(at)
    for _ in at.session.listed.items:
        if words in bar(at):
            return
        await at.press("down")
    raise AssertionError(f"{words!r} is not on the list:\n{page(at)}")


def number(table: Sequence[Action], action: str) -> str:
    """The keys of the numeric pad for an action: the menu, its number, Enter."""
    return f"*{[each.id for each in table if each.id != 'menu'].index(action) + 1}\n"


# -- what is shown ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
async def test_every_item_stands_there_with_what_clears_it_gravest_first(tmp_path: Path, size: tuple[int, int]) -> None:
    async with crew(a_book(*BAD), tmp_path, size) as at:
        await at.press("tab")
        await shown(at)
        lines = page(at).splitlines()
        assert lines[0].strip() == "punch list 15: NOT PROVEN   round 1 existing"
        assert all(cell_len(line) <= size[0] for line in lines)
        wanted = (
            "BM1 reads 1 HIGH: 1/8 allowed",
            "read BM1 again",
            "9 suspect shots (BM1 reads 1 HIGH): A1 B1",
            "shoot each again",
            "3 spots not shot: C4 B4 A4",
            "shoot it",
            "target only suggested",
            "choose the target",
            "no final round yet",
            "begin the final round",
        )
        at_line = [next(y for y, line in enumerate(lines) if words in line) for words in wanted]
        assert at_line == sorted(at_line)
        assert "book and level" in page(at)


async def test_the_words_are_spanish_where_that_is_spoken(tmp_path: Path) -> None:
    with speaking("es"):
        async with crew(a_book(*BAD), tmp_path, (80, 24)) as at:
            await at.press("tab")
            await shown(at)
            assert page(at).splitlines()[0].strip().startswith("pendientes 15: ")
            assert "libro y nivel" in page(at)
            await at.press("down", "k")
            assert "¿por qué aceptar 9 lecturas sospechosas?" in at.prompt
            await at.press("escape")
            await at.key("o")
            assert "1 rodada o montón, excluido" in at.prompt
            await at.key("3\n")
            assert "punto no es plataforma" in at.session.read_back.text


def test_every_kind_has_its_heading_and_the_headings_follow_gravity():
    at = {kind: place for place, (_, kinds) in enumerate(GROUPS) for kind in kinds}
    assert at.keys() == set(Kind)
    assert [at[kind] for kind in Kind] == sorted(at[kind] for kind in Kind)
    assert sum(len(kinds) for _, kinds in GROUPS) == len(GRAVITY)


async def test_an_item_too_long_for_its_line_is_said_in_full_below(tmp_path: Path) -> None:
    async with crew(a_book(*BAD), tmp_path, (60, 20)) as at:
        await to_item(at, "9 suspect shots")
        assert bar(at).endswith("A1 B1 C1 C2 B2 A2 A3")
        assert "B3 and 1 more" in page(at)


@pytest.mark.parametrize("size", [*SIZES, (40, 12), (200, 60)])
async def test_the_bar_is_seen_wherever_it_stands(tmp_path: Path, size: tuple[int, int]) -> None:
    """More items than the screen has lines."""
    items = tuple(Item(Kind.DOES_NOT_FIT, (spot,)) for spot in range(12)) + tuple(
        Item(kind) for kind in (Kind.NO_CHECK, Kind.TARGET_SUGGESTED, Kind.NO_FINAL_ROUND)
    )
    async with crew(a_book(*ALL), tmp_path, size) as at:
        at.session.listed = PunchList(items)
        await at.press("tab")
        await shown(at)
        for _ in items:
            assert bar(at)
            assert len(page(at).splitlines()) == size[1]
            await at.press("down")
        assert "no final round" in bar(at)
        await at.press("home")
        assert bar(at).startswith("reading does not fit its neighbours:")
        assert "readings that disagree" in page(at)
        await at.press("end", "pageup", "pagedown")
        assert "no final round" in bar(at)


async def test_an_empty_list_says_so_and_enter_goes_back(tmp_path: Path) -> None:
    async with crew(a_book(*ALL), tmp_path) as at:
        at.session.listed = PunchList(())
        await at.press("tab")
        await shown(at)
        assert "punch list 0: PASS" in page(at)
        assert "Nothing is open" in page(at)
        await at.press("down", "k", "enter")
        assert isinstance(at.pilot.app.screen, ShotScreen)


async def test_what_is_found_while_the_list_is_up_comes_onto_it_and_the_bar_stays(tmp_path: Path) -> None:
    async with crew(a_book(*ALL), tmp_path) as at:
        await to_item(at, "target only suggested")
        items = (Item(Kind.DOES_NOT_FIT, (4,)), *at.session.listed.items)
        at.session.listed = PunchList(items)
        at.pilot.app.screen._look_again()
        await at.pilot.pause()
        assert "reading does not fit its neighbours: B2" in page(at)
        assert "target only suggested" in bar(at)


def test_the_bar_comes_back_to_what_is_left_of_an_item():
    out, check, again = Item(Kind.OUT, (3, 5)), Item(Kind.CHECK_AGAIN, (), ("BM1",)), Item(Kind.CHECK_AGAIN, (), ("B",))
    listed = PunchList((out, again, check))
    assert [place_of(listed, each) for each in (out, check, again, None)] == [0, 2, 1, 0]
    assert place_of(PunchList((check, Item(Kind.OUT, (5,)))), out) == 1
    assert place_of(listed, Item(Kind.EDITED)) == 0
    assert place_of(PunchList(()), out) == 0


# -- where Enter goes ---------------------------------------------------------------------------------------


async def test_enter_names_the_first_spot_and_says_what_to_do_there_and_tab_comes_back(tmp_path: Path) -> None:
    async with crew(a_book(*BAD), tmp_path, (80, 24)) as at:
        await to_item(at, "3 spots not shot")
        await at.press("enter")
        assert at.here == "C4"
        assert "3 spots not shot: C4 B4 A4: shoot it" in at.prompt
        await at.press("tab")
        await shown(at)
        assert "3 spots not shot" in bar(at), "the bar is where it was"
        await at.press("up", "enter")
        assert at.here == "A1"
        await at.key("+1\n")
        assert (at.book.entries[-1].position, at.book.entries[-1].said) == ("A1", "+1")


async def test_a_reading_that_does_not_fit_is_read_again_and_the_line_goes_on_where_it_was(tmp_path: Path) -> None:
    async with crew(a_book(*NINE[:4], "B2 +12", *NINE[5:]), tmp_path, (80, 24)) as at:
        at.session.known.complete(at.session.summary, at.session.summary.doubts)
        at.session.doubts_known()
        assert at.here == "C4"
        await to_item(at, "does not fit its neighbours: B2")
        await at.press("enter")
        assert at.session.named is not None
        assert (at.here, at.session.named.do) == ("B2", Do.READ_AGAIN)
        await at.key("-3/8\n")
        assert at.book.entries[-2].position == "B2"
        assert at.session.listed.of(Kind.DOES_NOT_FIT) == ()
        assert at.here == "C4"


async def test_a_check_that_was_bad_is_read_again_there(tmp_path: Path) -> None:
    async with crew(a_book(*BAD), tmp_path) as at:
        await to_item(at, "BM1 reads 1 HIGH: ")
        await at.press("enter")
        assert "check BM1: what does the helper call now?" in at.prompt
        await at.key("+2\n")
        assert at.book.entries[-1].kind == "check"
        assert at.session.listed.of(Kind.SUSPECT) == (), "repeated true before any further shot: it was misread"


async def test_a_check_to_repeat_is_read_again_there(tmp_path: Path) -> None:
    async with crew(a_book("reference BM1 high 2", *ALL, "check BM1 high 2-3/16"), tmp_path) as at:
        await to_item(at, "check again")
        await at.press("enter")
        assert "check BM1: what does the helper call now?" in at.prompt


async def test_where_no_check_was_shot_the_reference_is_asked(tmp_path: Path) -> None:
    async with crew(a_book("reference BM1 high 2", *ALL), tmp_path) as at:
        await to_item(at, "no check shot")
        await at.press("enter")
        assert "check: rod on which reference?" in at.prompt
        await at.key("\n+2\n")
        assert at.book.entries[-1].reference == "BM1"


async def test_a_rod_without_a_backsight_goes_to_the_set_up(tmp_path: Path) -> None:
    async with crew(a_book(job=a_job(readings=Readings.ROD)), tmp_path) as at:
        await to_item(at, "no backsight yet")
        await at.press("enter")
        assert "which rod?" in at.prompt


async def test_a_suggested_target_goes_to_the_target_page(tmp_path: Path) -> None:
    async with crew(a_book(*ALL), tmp_path) as at:
        await to_item(at, "target only suggested")
        await at.press("enter")
        assert isinstance(at.pilot.app.screen, TargetScreen)
        await at.press("enter")
        assert at.session.summary.chosen is not None


async def test_a_missing_final_round_and_what_changed_since_go_to_the_round(tmp_path: Path) -> None:
    async with crew(a_book(*ALL, "target -1/2"), tmp_path) as at:
        await to_item(at, "no final round")
        await at.press("enter")
        assert "1 working   2 final" in at.prompt
        await at.key("2\n")
        assert at.session.summary.kind == "final"
    async with crew(a_book(*ALL, "target -1/2", "round final", *ALL, "target -3/4"), tmp_path) as at:
        await to_item(at, "target changed after the final round began")
        await at.press("enter")
        assert "1 working   2 final" in at.prompt


async def test_a_limit_goes_to_its_term_and_is_given_its_reason_there(tmp_path: Path) -> None:
    async with crew(a_book(*ALL, "set drift 1/2in"), tmp_path, (80, 24)) as at:
        await to_item(at, "the drift limit widened")
        await at.press("enter")
        assert isinstance(at.pilot.app.screen, TermsScreen)
        await shown(at)
        assert bar(at).startswith("drift")
        await at.press("enter")
        await at.key("1/2\n")
        assert "drift: why?" in page(at)
        await at.key("gusts\n")
        entry = at.book.entries[-1]
        assert (entry.name, entry.said, entry.why) == ("drift", "1/2in", "gusts")
        await at.press("q")
        assert at.session.listed.of(Kind.LIMIT_WIDENED), "who agreed is still missing"
        await to_item(at, "the drift limit widened")
        await at.press("enter", *["down"] * list(TERMS)[list(TERMS).index("drift") :].index("agreed-by"), "enter")
        await at.key("the owner\n")
        assert at.session.listed.of(Kind.LIMIT_WIDENED) == ()


async def test_spots_too_far_apart_go_to_their_term(tmp_path: Path) -> None:
    job = a_job(along=2, across=2, length=200 * FOOT, width=200 * FOOT)
    async with crew(a_book("A1 0", "B1 0", "A2 0", "B2 0", job=job), tmp_path) as at:
        await to_item(at, "apart")
        await at.press("enter")
        await shown(at)
        assert bar(at).startswith("spacing")


async def test_out_of_tolerance_goes_to_the_worst_spot(tmp_path: Path) -> None:
    async with crew(a_book(*ALL[:-1], "A4 +2", "target -1/4"), tmp_path, (80, 24)) as at:
        await at.press("tab")
        await shown(at)
        assert "FAIL" in page(at).splitlines()[0]
        assert "out of tolerance" in bar(at)
        await at.press("enter")
        assert at.here == "A4"
        assert "dig or fill, then read the spot in this round" in at.session.line.message


async def test_nothing_is_named_while_a_reading_is_being_typed(tmp_path: Path) -> None:
    """Tab does nothing then, and the reading goes where the line named at its first character."""
    async with crew(a_book(*NINE), tmp_path) as at:
        await at.key("-1")
        await at.press("tab")
        await shown(at)
        assert isinstance(at.pilot.app.screen, ShotScreen)
        await at.key("/2\n")
        assert (at.book.entries[-1].position, at.book.entries[-1].said) == ("C4", "-1/2")


async def test_keys_typed_ahead_of_the_list_are_its_own(tmp_path: Path) -> None:
    async with crew(a_book(*NINE), tmp_path) as at:
        before = len(at.book.entries)
        await at.pilot.press("tab", "2", "8", "enter", "minus", "1", "enter")
        await at.pilot.pause()
        assert [entry.said for entry in at.book.entries[before:]] == ["-1"]
        assert at.book.entries[-1].position == "C4"


# -- suspect shots ------------------------------------------------------------------------------------------


async def test_suspect_shots_are_accepted_for_a_reason_and_stay_on_the_list(tmp_path: Path) -> None:
    async with crew(a_book(*BAD), tmp_path) as at:
        await to_item(at, "9 suspect shots")
        await at.key("k", "\n")
        assert at.book.entries[-1].kind == "check", "no reason, no decision"
        await at.key("wind on the mast\n")
        entry = at.book.entries[-1]
        assert (entry.kind, str(entry.decision), entry.reason) == ("decision", "keep", "wind on the mast")
        assert "9 SUSPECT SHOTS ACCEPTED" in at.session.read_back.text
        assert len(at.session.listed.of(Kind.SUSPECT_ACCEPTED)[0].spots) == 9
        await at.press("u")
        assert at.session.listed.of(Kind.SUSPECT)


async def test_suspect_shots_are_corrected_by_the_drift(tmp_path: Path) -> None:
    async with crew(a_book(*BAD), tmp_path) as at:
        before = at.session.summary.height_at(1)
        await to_item(at, "9 suspect shots")
        await at.key("s")
        assert at.session.summary.height_at(1) == before - INCH
        assert "9 SHOTS CORRECTED BY DRIFT  (BM1 reads 1 HIGH)" in at.session.read_back.text
        await at.press("u")
        assert at.session.summary.height_at(1) == before


async def test_in_a_final_round_they_are_shot_again_and_never_corrected(tmp_path: Path) -> None:
    book = a_book("reference BM1 high 2", "target -1/4", "round final", *NINE, "check BM1 high 3")
    async with crew(book, tmp_path) as at:
        before = len(at.book.entries)
        await to_item(at, "9 suspect shots")
        await at.key("s")
        assert "no correcting in the final round: shoot the suspect shots again" in at.prompt
        assert len(at.book.entries) == before


@pytest.mark.parametrize("key", ["k", "s"])
async def test_nothing_else_is_accepted_or_corrected(tmp_path: Path, key: str) -> None:
    async with crew(a_book(*BAD), tmp_path) as at:
        before = len(at.book.entries)
        await to_item(at, "target only suggested")
        await at.key(key)
        assert "only suspect shots can be accepted or corrected" in page(at)
        assert len(at.book.entries) == before


async def test_suspects_of_a_check_that_was_struck_cannot_be_decided_about(tmp_path: Path) -> None:
    async with crew(a_book(*BAD), tmp_path) as at:
        await at.press("u")
        await to_item(at, "9 suspect shots")
        await at.key("s")
        assert "that check was struck" in at.prompt
        await to_item(at, "9 suspect shots")
        await at.key("k", "wind\n")
        assert "that check was struck" in at.prompt
        assert at.book.entries[-1].kind == "strike"


# -- a line that does not fit -------------------------------------------------------------------------------

LOW = ("-1", "-3", "-5", "-7", "-9")
"""How each line of a pad of four lines reads: steep across, so that a line read otherwise shows."""


def third_line(*readings: str) -> Sequence[str]:
    """Two lines that lie as `LOW` says, and a third that reads otherwise."""
    rows = ((1, LOW), (2, LOW), (4, LOW), (3, readings))
    return [f"{name}{row} {said}" for row, line in rows for name, said in zip("ABCDE", line, strict=False)]


def heights(at: Crew) -> list[int | None]:
    """Heights of the third line, A to E; None where nothing is shot."""
    return [at.session.summary.height_at(index) for index in range(10, 15)]


def first(at: Crew) -> list[int | None]:
    """What the third line ought to be: the first."""
    return [at.session.summary.height_at(index) for index in range(5)]


JOB = a_job(Unit.IN, along=4, across=5, length=40 * FOOT, width=40 * FOOT)
LINES = {
    "all signs the other way": [f"+{reading[1:]}" for reading in LOW],
    "typed from the other end": list(reversed(LOW)),
    "each reading one position back": [LOW[0], *LOW[:-1]],
}


async def judged(at: Crew) -> None:
    """All readings are judged, as they are while nobody keys."""
    at.session.known.complete(at.session.summary, at.session.summary.doubts)
    at.session.refigure(anew=False)
    at.screen.repaint()
    await at.pilot.pause()


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("mistake", LINES)
async def test_a_line_is_shown_both_ways_and_enter_writes_it_as_one_act(
    tmp_path: Path, mistake: str, size: tuple[int, int]
) -> None:
    async with crew(a_book(*third_line(*LINES[mistake]), job=JOB), tmp_path, size) as at:
        await judged(at)
        read, before = heights(at), len(at.book.entries)
        await to_item(at, "line 3 does not fit")
        await at.press("enter")
        assert isinstance(at.pilot.app.screen, LinePreview)
        lines = (await shown(at)).splitlines()
        assert "Enter writes it, any other key closes" in lines[0]
        assert lines[1].strip() == f"line 3 would fit better: {mistake}."
        assert lines[2].split() == ["spot", "as", "read", "corrected"]
        spots = [line.split() for line in lines[3:8]]
        assert [words[0] for words in spots] == ["A3", "B3", "C3", "D3", "E3"]
        assert [words[1] for words in spots] == LINES[mistake]
        assert all(cell_len(line) <= size[0] for line in lines)
        assert len(at.book.entries) == before, "nothing is written by looking"
        await at.press("enter")
        assert isinstance(at.pilot.app.screen, ShotScreen)
        now = heights(at)
        assert [height for height in now if height is not None] == [
            height for height, known in zip(first(at), now, strict=True) if known is not None
        ]
        assert now.count(None) == (1 if "position" in mistake else 0)
        assert "LINE 3 CORRECTED" in at.session.read_back.text
        await at.press("u")
        assert heights(at) == read, "undo takes it back whole"
        await at.press("y")
        assert heights(at) == now


async def test_the_end_that_a_shift_leaves_open_is_open_again(tmp_path: Path) -> None:
    async with crew(a_book(*third_line(*LINES["each reading one position back"]), job=JOB), tmp_path, (80, 24)) as at:
        await judged(at)
        await to_item(at, "line 3 does not fit")
        await at.press("enter")
        assert "E3 is open again: shoot it" in await shown(at)
        await at.press("enter")
        assert heights(at)[4] is None
        assert at.session.listed.of(Kind.NOT_SHOT)[0].spots == (14,)


@pytest.mark.parametrize("key", ["escape", "q", "slash", "minus", "1"])
async def test_any_other_key_leaves_the_line_and_goes_back_to_the_list(tmp_path: Path, key: str) -> None:
    async with crew(a_book(*third_line(*LINES["typed from the other end"]), job=JOB), tmp_path) as at:
        await judged(at)
        read, before = heights(at), len(at.book.entries)
        await to_item(at, "line 3 does not fit")
        await at.press("enter", key)
        assert isinstance(at.pilot.app.screen, PunchScreen)
        await shown(at)
        assert "line 3 does not fit" in bar(at)
        assert (heights(at), len(at.book.entries)) == (read, before)


# -- left out, and not pad ----------------------------------------------------------------------------------


@pytest.mark.parametrize("keys", ["\n", "1\n"])
async def test_enter_leaves_out_as_rut_or_pile(tmp_path: Path, keys: str) -> None:
    async with crew(a_book(*NINE), tmp_path) as at:
        await at.key("o", keys)
        entry = at.book.entries[-1]
        assert (entry.kind, entry.position, entry.reason) == ("leave out", "C4", "rut or pile")
        assert at.session.read_back.text == "C4  LEFT OUT  (rut or pile)"
        assert at.here == "B4"


async def test_another_reason_is_asked(tmp_path: Path) -> None:
    async with crew(a_book(*NINE), tmp_path) as at:
        await at.key("o", "2\n")
        assert "leave out C4, why?" in at.prompt
        await at.key("\n")
        assert "type the reason" in at.prompt
        await at.key("standing water\n")
        assert at.book.entries[-1].reason == "standing water"
        assert at.session.read_back.text == "C4  LEFT OUT  (standing water)"


async def test_one_spot_or_a_corner_is_not_pad(tmp_path: Path) -> None:
    async with crew(a_book(*NINE), tmp_path) as at:
        await at.key("o", "3\n")
        assert at.book.entries[-1].kind == "not pad"
        assert at.session.read_back.text == "C4  NOT PAD  (1 spot not pad, in any figure)"
        await at.press("u")
        for corner in ("b3", "2.3"):
            await at.key("o", "4\n")
            assert "not pad from C4 to which corner? such as C4, or 3.4" in at.prompt
            await at.key(f"{corner}\n")
            assert "was shot: why is it not pad?" in at.prompt
            await at.key("ditch\n")
            entry = at.book.entries[-1]
            assert entry.reason == "ditch"
            assert (entry.kind, entry.position, entry.to) == ("not pad", "C4", "B3")
            assert at.session.read_back.text == "C4 to B3  NOT PAD  (4 spots not pad, in any figure)"
            await at.press("u")


async def test_a_corner_that_is_none_is_asked_again(tmp_path: Path) -> None:
    async with crew(a_book(*NINE), tmp_path) as at:
        before = len(at.book.entries)
        await at.key("o", "4\n", "z9\n")
        assert at.session.line.text == ""
        assert at.session.line.message
        assert "to which corner?" in at.prompt
        assert len(at.book.entries) == before


async def test_a_reading_typed_ahead_is_no_answer(tmp_path: Path) -> None:
    """`o` and then a reading, without looking: it is the next reading, and nothing is marked as not pad."""
    async with crew(a_book(*NINE), tmp_path) as at:
        before = len(at.book.entries)
        here = at.here
        await at.key("o-3/8\n")
        assert [(entry.kind, entry.position) for entry in at.book.entries[before:]] == [("shot", here)]
        await at.key("o9\n")
        assert "type a number from 1 to 6" in at.prompt
        assert len(at.book.entries) == before + 1


# -- the numeric pad, and the footer ------------------------------------------------------------------------


def test_the_menu_begins_with_again_and_the_list():
    assert [action.id for action in SHOT_GRID[:2]] == ["again", "punch_list"]
    assert [action.id for action in PUNCH_PAGE[:3]] == ["go", "accept", "correct"]


async def test_star_and_enter_read_again(tmp_path: Path) -> None:
    for keys in ("*\n", "*1\n"):
        async with crew(a_book(*NINE), tmp_path) as at:
            await at.key(keys)
            assert at.session.named is not None
            assert (at.here, at.session.named.do) == ("C3", Do.READ_AGAIN)


async def test_the_numeric_pad_alone_does_all_of_it(tmp_path: Path) -> None:
    async with crew(a_book(*BAD), tmp_path) as at:
        await at.key(number(SHOT_GRID, "punch_list"))
        assert isinstance(at.pilot.app.screen, PunchScreen)
        await at.key("2")
        assert "9 suspect shots" in bar(at)
        await at.key("8", "2", number(PUNCH_PAGE, "accept"))
        await at.key("1\n")
        assert at.book.entries[-1].kind == "decision"
        await at.key("/")
        await at.key(number(SHOT_GRID, "punch_list"), number(PUNCH_PAGE, "correct"))
        assert "9 SHOTS CORRECTED" in at.session.read_back.text
        for back in ("-", "/"):
            await at.key(number(SHOT_GRID, "punch_list"), back)
            assert isinstance(at.pilot.app.screen, ShotScreen)
        await at.key("/", number(SHOT_GRID, "punch_list"), "1", "7\n")
        assert "check BM1: what does the helper call now?" in at.prompt


async def test_a_tap_moves_the_bar_and_goes_there(tmp_path: Path) -> None:
    async with crew(a_book(*BAD), tmp_path) as at:
        await at.press("tab")
        await shown(at)
        y = next(y for y, line in enumerate(page(at).splitlines()) if "3 spots not shot" in line)
        await at.pilot.click(offset=(10, y))
        assert "3 spots not shot" in bar(at)
        await at.pilot.click(offset=(10, y + 1))
        await at.pilot.pause()
        assert isinstance(at.pilot.app.screen, ShotScreen)
        assert at.here == "C4"


async def test_the_footer_offers_the_list_once_more_than_shooting_is_left(tmp_path: Path) -> None:
    async with crew(a_book(*NINE), tmp_path) as at:
        assert at.shown("foot").startswith(" u undo")
    async with crew(a_book(*BAD), tmp_path, (60, 20)) as at:
        assert at.shown("foot").startswith(" Tab punch list   ! next item   u undo")
    async with crew(a_book(*ALL), tmp_path) as at:
        assert at.shown("foot").startswith(" Tab punch list   ! next item   r round")
