"""Facts that a job was begun with and that were mended later: size, counts, distances, unit, names."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.entry_lines import DictationError
from rodcall.book.fold.page import MOST_FACTS
from rodcall.book.model.entries import Fact
from rodcall.book.model.facts import FACTS, FactError, parse_fact
from rodcall.book.model.grid import Grid, GridError
from rodcall.book.model.job import Job, agree
from rodcall.book.storage.opening import JobFile, open_job
from rodcall.figures.earthwork.dig import _strips
from rodcall.figures.punch_list import Kind
from rodcall.sheets.exports.figures_json import figures as figures_json
from rodcall.sheets.make import Output, Reader, kind_of, make
from rodcall.units import FOOT, INCH, MM, M, Unit, write
from rodcall.wording.facts import changes
from tests.kit import START, a_book, a_job, figures, say, ticking


def _limits(book: Book) -> tuple[int, int]:
    tolerance = figures(book).tolerance
    return tolerance.high_nm, tolerance.low_nm


def heights(book: Book) -> dict[str, float]:
    return figures_json(figures(book))["heights_mm"]


# -- one fact -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", FACTS)
def test_every_fact_is_understood_by_its_own_example(name: str) -> None:
    book = a_book("A1 0", "B2 +1/2")
    say(book, FACTS[name].line)
    entry = book.entries[-1]
    assert isinstance(entry, Fact)
    assert entry.name == name
    assert entry.check(Unit.IN, book.page.readings) is None
    # Where A1 moves to a line that is added before it, the same ground has other names.
    here = {"add-lines-near": ("A2", "B3"), "add-columns-left": ("B1", "C2")}.get(name, ("A1", "B2"))
    assert heights(book) == dict(zip(here, (0.0, 12.7), strict=True))
    book.undo()
    assert book.job == book.began
    assert heights(book) == {"A1": 0.0, "B2": 12.7}


def test_readings_stay_at_their_positions_by_name() -> None:
    book = a_book("A1 0", "C1 -1", "B2 +1/2", "C4 -1/4")
    before = heights(book)
    say(book, "fact count 6x5")
    assert (book.job.along, book.job.across) == (6, 5)
    assert heights(book) == before
    assert book.page.positions == 30


def test_added_lines_and_columns_make_the_pad_larger() -> None:
    book = a_book("A1 0", "C4 1/2 high")
    say(book, "fact add lines 12ft 8ft", "fact add columns 20ft")
    grid = book.job.grid
    # 60 ft in 3 gaps of 20, then 12 and 8; 40 ft in 2 gaps of 20 and one more of 20, which is even.
    assert [nm // FOOT for nm in grid.along_nm.tolist()] == [0, 20, 40, 60, 72, 80]
    assert [nm // FOOT for nm in grid.across_nm.tolist()] == [0, 20, 40, 60]
    assert (grid.length, grid.width) == (80 * FOOT, 60 * FOOT)
    assert grid.spacing_across == ()


def test_one_distance_is_that_of_all_and_even_makes_them_even() -> None:
    book = a_book()
    say(book, "fact spacing along 10ft 12ft 12ft")
    assert book.job.length == 34 * FOOT
    say(book, "fact spacing along even")
    assert book.job.grid.is_even
    say(book, "fact spacing along 9ft")
    assert (book.job.length, book.job.along, book.job.spacing_along) == (27 * FOOT, 4, ())


def test_counts_of_an_uneven_side_are_refused_with_the_way_out() -> None:
    book = a_book("fact spacing along 10ft 12ft 12ft")
    with pytest.raises(DictationError, match="fact spacing along 10ft"):
        say(book, "fact count 5x3")
    say(book, "fact count 4x5", "fact size 34ft x 50ft")
    with pytest.raises(DictationError, match="fact spacing along 10ft"):
        say(book, "fact size 40ft x 50ft")


def test_an_inset_keeps_uneven_distances() -> None:
    book = a_book("fact spacing along 10ft 12ft 12ft", "fact inset 2ft")
    assert book.job.grid.along_nm.tolist() == [0, 10 * FOOT, 22 * FOOT, 34 * FOOT]
    assert (book.job.length, book.job.width) == (38 * FOOT, 40 * FOOT)


@pytest.mark.parametrize(
    "line",
    [
        *("fact", "fact size", "fact size 60", "fact size 0ft x 10ft", "fact size 60ft", "fact count 1x4"),
        *("fact count 200x200", "fact count 5", "fact spacing along", "fact spacing along 10", "fact add lines 0ft"),
        *("fact unit yards", "fact zero Z9", "fact step 0in", "fact name", "fact rounding 0in", "fact nonsense 5"),
        *("fact tolerance", "fact tolerance high", "fact tolerance 3", "fact slope along 3in", "fact inset 20ft"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line_and_nothing_is_written(line: str) -> None:
    book = a_book("A1 0", "B2 +1/2")
    with pytest.raises(DictationError) as refused:
        say(book, line)
    assert "\n" not in str(refused.value)
    assert len(book.entries) == 2
    assert book.job == book.began


def test_the_reason_is_kept() -> None:
    book = a_book("fact step 1/16in because a new rod")
    entry = book.entries[-1]
    assert isinstance(entry, Fact)
    assert (entry.said, entry.why) == ("1/16in", "a new rod")


# -- what would be orphaned ---------------------------------------------------------------------------------


def test_what_would_lie_off_the_grid_is_refused_with_its_entry_and_the_way_out_works() -> None:
    book = a_book("A1 0", "C4 +1/2", "round working", "A1 0")
    with pytest.raises(DictationError, match="strike entry 2 first"):
        say(book, "fact count 3x3")
    assert (book.job.along, len(book.entries)) == (4, 4)
    say(book, "strike entry 2", "fact count 3x3")
    assert book.page.positions == 9


@pytest.mark.parametrize("line", ["C4 out rut", "C4 not pad", "zero C4", "outline A1 C1 C4 A4"])
def test_whatever_is_written_of_a_spot_keeps_it(line: str) -> None:
    book = a_book("A1 0", "C4 0", line)
    with pytest.raises(DictationError, match="strike entry"):
        say(book, "fact count 3x3")


def test_a_struck_reading_off_the_grid_comes_back_only_with_its_spot() -> None:
    book = a_book("A1 0", "C4 +1/2", "strike C4", "fact count 3x3", "B2 1/4 high")
    strike = next(line for line in book.page.lines.values() if line.entry.number == 3)
    with pytest.raises(ValueError, match="off the grid as it is now"):
        book._strike(strike)
    say(book, "fact count 4x3")
    book._strike(next(line for line in book.page.lines.values() if line.entry.number == 3))
    assert heights(book) == {"A1": 0.0, "C4": 12.7, "B2": 6.35}


def test_a_fact_is_undone_and_done_again() -> None:
    book = a_book("A1 0", "B2 +1/2", "fact count 6x5", "fact name Barn", "E6 1/4 low")
    with pytest.raises(ValueError, match="strike entry 5 first"):
        say(book, "strike entry 3")
    book.undo()
    book.undo()
    assert book.job.name == "Greenhouse pad"
    book.undo()
    assert book.job == book.began
    for _ in range(3):
        book.redo()
    assert (book.job.name, book.page.positions) == ("Barn", 30)
    assert heights(book)["E6"] == -6.35


# -- kept in the file ---------------------------------------------------------------------------------------


def test_the_file_keeps_what_was_begun_and_what_was_mended(tmp_path: Path) -> None:
    book = a_book("A1 0", "fact spacing along 10ft 12ft 12ft", "fact unit ft", "B2 +0.04", "fact count 4x4")
    file = JobFile(tmp_path / "pad.json", book)
    file.save()
    file.close()
    head = json.loads((tmp_path / "pad.json").read_text("utf-8"))["job"]
    assert head["length"] == "60 ft"
    # What older versions do not know stays out of files that do not need it.
    assert "spacing_along" not in head
    opened = open_job(tmp_path / "pad.json", "reader")
    assert opened.broken_seals == ()
    assert opened.book.job == book.job
    assert figures_json(figures(opened.book)) == figures_json(figures(book))


def test_a_job_may_begin_with_uneven_distances(tmp_path: Path) -> None:
    job = a_job(length=34 * FOOT, spacing_along=(10 * FOOT, 12 * FOOT, 12 * FOOT))
    file = JobFile(tmp_path / "pad.json", a_book("A1 0", job=job))
    file.save()
    file.close()
    assert open_job(tmp_path / "pad.json", "reader").book.job == job


def test_distances_that_do_not_fit_are_refused() -> None:
    for wrong in ((10, 12), (10, 12, 13), (10, 24, 0), (10, 25, -1)):
        with pytest.raises(GridError):
            Grid(34, 40, 4, 3, 0, wrong)


def test_facts_of_one_job_have_a_limit() -> None:
    book = a_book(*(f"fact name Pad {number}" for number in range(MOST_FACTS)))
    with pytest.raises(DictationError, match="too many mended facts: the limit is 200"):
        say(book, "fact name Barn")


# -- the tolerance stays a term -----------------------------------------------------------------------------


def test_a_tolerance_is_one_act_of_two_terms() -> None:
    book = a_book("fact tolerance 3/4in")
    assert _limits(book) == (3 * INCH // 4, 3 * INCH // 4)
    book.undo()
    assert _limits(book) == (INCH, INCH)
    say(book, "fact tolerance low 1/2in")
    assert _limits(book) == (INCH, INCH // 2)


def test_a_tolerance_widened_after_the_first_shot_is_open_until_it_is_agreed() -> None:
    book = a_book("A1 0", "fact tolerance 2in")
    assert {item.names for item in figures(book).punch_list.of(Kind.LIMIT_WIDENED)} == {
        ("tolerance-high",),
        ("tolerance-low",),
    }
    say(book, "fact tolerance 2in because gravel on top", "set agreed-by the customer")
    assert not figures(book).punch_list.of(Kind.LIMIT_WIDENED)


# -- what the proof says of it ------------------------------------------------------------------------------


def test_mended_facts_stand_among_what_was_agreed() -> None:
    agreed = figures(a_book("A1 0", "fact count 5x6 because typed wrong")).evidence.agreed
    assert [(each.what, each.said, each.why) for each in agreed] == [("fact count", "5x6", "typed wrong")]


def test_a_sloping_target_moved_by_a_fact_after_the_final_began_is_open() -> None:
    sloped = a_job(slope_along=0.01)
    lines = ("A1 0", "target -1/2in", "round final", "A1 0")
    assert not figures(a_book(*lines, "fact name Barn", job=sloped)).punch_list.of(Kind.TARGET_CHANGED)
    assert figures(a_book(*lines, "fact size 90ft x 40ft", job=sloped)).punch_list.of(Kind.TARGET_CHANGED)
    assert figures(a_book(*lines, "fact zero B2", job=sloped)).punch_list.of(Kind.ZERO_MOVED)
    assert not figures(a_book(*lines, "fact size 90ft x 40ft")).punch_list.of(Kind.TARGET_CHANGED)


def test_what_changes_is_said_fact_by_fact() -> None:
    book = a_book("fact size 50ft x 40ft", "fact customer Orchard")
    assert changes(book.began, book.job) == [
        "customer: - -> Orchard",
        "size of the pad: 60' 0\" out x 40' 0\" across -> 50' 0\" out x 40' 0\" across",
        "distances from line to line: 20' 0\" -> 16' 8\"",
    ]


# -- the law ------------------------------------------------------------------------------------------------

IMPERIAL, METRIC = (Unit.IN, Unit.FT), (Unit.MM, Unit.CM, Unit.M)
NAMES = [f"{letter}{number}" for number in (1, 2, 3) for letter in "ABC"]


@st.composite
def pads(draw: st.DrawFn) -> dict[str, Any]:
    """What a job is meant to be, the lines of its day, and where among them the facts are mended."""
    imperial = draw(st.booleans())
    units, foot = (IMPERIAL, FOOT) if imperial else (METRIC, M)
    unit = draw(st.sampled_from(units))
    uneven = [draw(st.lists(st.integers(5, 30), min_size=2, max_size=5)) for _ in range(2)]
    sides = [
        (tuple(each * foot for each in gaps) if draw(st.booleans()) else (), sum(gaps) * foot, len(gaps) + 1)
        for gaps in uneven
    ]
    # A mark that every unit of its kind has: a quarter of a foot, a centimetre.
    mark = FOOT // 4 if imperial else 10 * MM
    shots = draw(st.lists(st.tuples(st.sampled_from(NAMES), st.integers(-4, 4)), min_size=4, max_size=14))
    extra = draw(
        st.lists(
            st.sampled_from(
                ("B2 out rut", "C3 not pad", "round working", "round final", "zero A1", "strike A1", "shift")
            ),
            max_size=3,
        )
    )
    checks = draw(st.lists(st.tuples(st.just("check ZERO"), st.integers(-1, 1)), max_size=3))
    day: list[Any] = draw(st.permutations([*shots, *extra, *checks]))
    return {
        "began": draw(st.sampled_from(units)),
        "unit": unit,
        "sides": sides,
        "inset": draw(st.sampled_from((0, 1, 2))) * foot,
        "step": draw(st.sampled_from((5 * MM, 2 * MM))),
        "tolerance": draw(st.sampled_from((10 * MM, 20 * MM))),
        "goal": draw(st.sampled_from((5 * MM, 8 * MM))),
        "rounding": draw(st.sampled_from((5 * MM, 10 * MM))),
        "drop": draw(st.sampled_from((0, 4 * MM))),
        "zero": draw(st.sampled_from(("A1", "B2", "C3"))),
        "slopes": (draw(st.sampled_from((0.0, 0.01))), draw(st.sampled_from((0.0, -0.02)))),
        "day": [("A1", 0), *day],
        "mark": mark,
        "at": draw(st.integers(0, len(day) + 1)),
        "target": draw(st.booleans()),
        "order": draw(st.permutations(range(12))),
    }


def _line(said: Any, unit: Unit, mark: int) -> str:
    return said if isinstance(said, str) else f"{said[0]} {write(said[1] * mark, unit)}"


def _lengths(gaps: tuple[int, ...]) -> str:
    return " ".join(f"{nm // MM}.{nm % MM:06}mm" if nm % MM else f"{nm // MM}mm" for nm in gaps)


def _spoken(nm: int) -> str:
    return _lengths((nm,))


def _begun(pad: dict[str, Any]) -> Job:
    (gaps_along, length, along), (gaps_across, width, across) = pad["sides"]
    inset = pad["inset"]
    return Job(
        id="0" * 32,
        created=START,
        **agree(
            pad["unit"],
            name="Barn",
            place="Juniper Hollow",
            customer="Orchard",
            length=length + 2 * inset,
            width=width + 2 * inset,
            along=along,
            across=across,
            inset=inset,
            spacing_along=gaps_along if len(set(gaps_along)) > 1 else (),
            spacing_across=gaps_across if len(set(gaps_across)) > 1 else (),
            step=pad["step"],
            tolerance_high=pad["tolerance"],
            tolerance_low=pad["tolerance"],
            goal=pad["goal"],
            round_to=pad["rounding"],
            least_drop=pad["drop"],
            zero=pad["zero"],
            slope_along=pad["slopes"][0],
            slope_across=pad["slopes"][1],
        ),
    )


def _facts(pad: dict[str, Any]) -> list[str]:
    (gaps_along, length, along), (gaps_across, width, across) = pad["sides"]
    inset = pad["inset"]
    plain = [
        "fact name Barn",
        "fact place Juniper Hollow",
        "fact customer Orchard",
        f"fact step {_spoken(pad['step'])}",
        f"fact tolerance {_spoken(pad['tolerance'])}",
        f"fact crew-tolerance {_spoken(pad['goal'])}",
        f"fact rounding {_spoken(pad['rounding'])}",
        f"fact drop {_spoken(pad['drop'])}",
        f"fact zero {pad['zero']}",
        f"fact slope along {pad['slopes'][0]:.0%}",
        f"fact slope across {pad['slopes'][1]:.0%}",
        f"fact count {along}x{across}",
    ]
    mixed = [plain[at] for at in pad["order"]]
    size = f"fact size {_spoken(length + 2 * inset)} x {_spoken(width + 2 * inset)}"
    spaced = [
        f"fact spacing {axis} {_lengths(gaps)}"
        for axis, gaps in (("along", gaps_along), ("across", gaps_across))
        if gaps
    ]
    # The unit first: what is customary in it would replace a step that is customary in the one before.
    return [f"fact unit {pad['unit']}", *mixed, size, f"fact inset {_spoken(inset)}", *spaced]


@settings(max_examples=60, deadline=None)
@given(pads())
def test_a_job_mended_midway_gives_the_figures_of_one_that_began_so(pad: dict[str, Any]) -> None:
    # What is mended after the final round began may open the target anew: that is another test.
    before = [said for said in pad["day"][: pad["at"]] if said != "round final"]
    after = pad["day"][pad["at"] :]
    known = {"length": 61 * FOOT, "width": 47 * FOOT, "along": 4, "across": 3, "tolerance_high": 25 * MM}
    mended = a_book(job=a_job(pad["began"], **known, tolerance_low=25 * MM, goal=MM))
    begun = Book(_begun(pad), "tablet-a", ticking())
    for said in before:
        _both(mended, begun, _line(said, pad["began"], pad["mark"]), _line(said, pad["unit"], pad["mark"]))
    written = len(mended.entries)
    say(mended, *_facts(pad))
    # As many entries in the other book: plus/minus grows with what was written, and with time, between two readings.
    say(begun, *["note nothing"] * (len(mended.entries) - written))
    later = [_line(said, pad["unit"], pad["mark"]) for said in after]
    later += [f"target {write(pad['mark'], pad['unit'])}"] if pad["target"] else []
    for line in later:
        _both(mended, begun, line, line)
    begun_job, mended_job = (
        book.job.model_dump(exclude={"tolerance_high", "tolerance_low"}) for book in (begun, mended)
    )
    assert begun_job == mended_job
    assert _told(mended) == _told(begun)


def _both(mended: Book, begun: Book, line: str, begun_line: str) -> None:
    """The same line in both books; what one refuses the other refuses."""
    refused = []
    for book, said in ((mended, line), (begun, begun_line)):
        try:
            say(book, said)
            refused.append(False)
        except DictationError:
            refused.append(True)
    assert refused[0] == refused[1], line


def _told(book: Book) -> dict[str, Any]:
    told = figures_json(figures(book))
    for item in told["punch_list"]:
        item.pop("opened_by", None)
    for check in told["checks"]:
        check.pop("n")
    # The history of what was agreed is what differs.
    told.pop("agreed")
    return json.loads(json.dumps(told))


def test_a_fact_has_only_the_values_it_can_have() -> None:
    with pytest.raises(FactError):
        parse_fact("colour", "red")
    with pytest.raises(FactError):
        parse_fact("count", "٣x٣")
    assert parse_fact("size", "60x40ft") == (60 * FOOT, 40 * FOOT)


# -- everything that reads distances, over uneven ones ------------------------------------------------------


def test_uneven_distances_weigh_by_area() -> None:
    """Plane ground rises 1 mm a foot away: its mean over the pad is that at half its length, wherever the spots lie."""
    job = a_job(Unit.MM, length=34 * FOOT, spacing_along=(2 * FOOT, 12 * FOOT, 20 * FOOT))
    rises = dict(zip((1, 2, 3, 4), (0, 2, 14, 34), strict=True))
    book = a_book(*(f"{letter}{line} +{mm}" for line, mm in rises.items() for letter in "ABC"), job=job)
    told = figures_json(figures(book))
    assert told["area_average_mm"] == pytest.approx(17.0)
    assert told["average_mm"] == pytest.approx(12.5)
    assert told["tilt"]["along"] == pytest.approx(1 / 304.8)
    assert told["busts"] in (None, [])
    # Cut and fill of the same plane about its mean: a triangular prism on either side, 17 ft long and 17 mm high.
    say(book, "target +17")
    told = figures_json(figures(book))
    prism = 0.5 * 17 * 0.3048 * 0.017 * 40 * 0.3048
    assert told["cut_m3"] == pytest.approx(prism)
    assert told["fill_m3"] == pytest.approx(prism)


@pytest.mark.parametrize("name", ["pad.pdf", "pad.txt", "pad.csv", "pad.xml"])
def test_every_sheet_is_made_of_uneven_and_mended_pads(name: str, tmp_path: Path) -> None:
    book = a_book("A1 0", "B2 +1/2", "C4 -1", "fact spacing along 2ft 12ft 20ft", "fact inset 1ft", "target -1/2in")
    file = JobFile(tmp_path / "pad.json", book)
    form = Output.AS_BUILT
    for reader in Reader:
        assert make(file, kind_of(Path(name), form), form, reader=reader).content


def test_lanes_are_no_wider_than_the_reach_on_uneven_lines() -> None:
    at = np.array([0.0, 1.0, 2.0, 10.0, 12.0, 30.0])
    strips = _strips(at, 8.0)
    assert np.concatenate(strips).tolist() == list(range(6))
    assert all(at[strip[-1]] - at[strip[0]] <= 8.0 for strip in strips)
    assert len(strips) < at.size
