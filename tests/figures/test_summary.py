"""The summary of a round: what it keeps, what it hands on, and what it leaves out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rodcall.book.model.entries import Readings
from rodcall.figures.outliers.mistakes import Way
from rodcall.figures.punch_list import Kind
from rodcall.figures.summary import THE_ZERO, Summary, summarise
from rodcall.figures.target import Plane
from rodcall.units import FOOT, INCH, MM, Unit
from tests.kit import a_book, a_job, figures, say


def shot(heights: np.ndarray, *lines: str, unit: Unit = Unit.MM, **job) -> Summary:
    """A pad shot at these heights (along, across), whole millimetres."""
    book = a_book(*lines, job=a_job(unit, *heights.shape, step=MM, length=50_000 * MM, width=50_000 * MM, **job))
    for index, height in enumerate(heights.ravel().tolist()):
        say(book, f"{book.job.grid.name(index)} {height:+d}mm")
    return figures(book)


# -- readings that do not fit -------------------------------------------------------------------------------


def test_positions_set_aside_are_not_listened_to():
    """Three in a corner of an even pad are a foot high: each speaks for the others until they are set aside."""
    rng = np.random.default_rng(3)
    marks = np.rint(rng.normal(0, 2, 20)).astype(int)
    marks[[5, 6, 9]] += 96
    book = a_book(job=a_job(Unit.IN, 5, 4, step=INCH // 8))
    for index, mark in enumerate(marks.tolist()):
        say(book, f"{book.job.grid.name(index)} {mark / 8:+.3f}in")
    summary = figures(book)
    among_them = summary.judged(5)
    bad = summary.judged(5, aside=(6, 9))
    assert among_them is None or among_them.score < bad.score - 1.0
    assert (bad.index, bad.explanations[0].height_nm) == (5, int(marks[5] - 96) * INCH // 8)
    assert summary.counts.all(), "only the judgement is without them"


def test_what_is_awaited_while_a_reading_is_typed_judges_it_as_all_shots_do():
    heights = np.random.default_rng(3).integers(-8, 9, (5, 4))
    before, wrong = shot(heights), heights.copy()
    wrong.flat[5] += 300
    awaited, after = before.awaited(5), shot(wrong)
    assert awaited.index == 5
    assert awaited.is_of(after.heights.reshape(5, 4), after.counts.reshape(5, 4), 5)
    bust = after.judged(5)
    assert bust is not None
    assert after.judged(5, awaited=awaited).score == bust.score
    assert figures(a_book("A1 0", "B1 0")).awaited(2) is None, "of few shots nothing is expected"


def test_there_is_nothing_to_search_before_the_second_shot():
    assert figures(a_book()).busts is None
    assert list(figures(a_book()).search_busts()) == []
    assert figures(a_book("A1 0")).busts is None
    assert figures(a_book("A1 0", "B1 0")).busts == ()


def steep() -> np.ndarray:
    """Rises along each line by 40 mm a spot, with a roughness of 2 mm; line 3 typed one position late."""
    ground = np.add.outer(np.arange(6) * 6, np.arange(6) * 40)
    ground += np.random.default_rng(8).integers(-2, 3, ground.shape)
    ground[2] = np.append(ground[2][1:], ground[2][-1] + 300)
    return ground


def test_a_line_that_slipped_by_a_position_is_told_and_only_of_whole_lines():
    summary = shot(steep())
    assert [bad.row for bad in summary.doubts.lines] == [2]
    assert summary.line_mistakes(2)[0].mistake.name == "SHIFTED_UP"
    assert summary.complete_lines == list(range(6))
    book = a_book("A1 0", "B1 0", "C1 0", "A2 0", "C2 0")
    assert figures(book).complete_lines == [0]


def test_no_mistake_moves_a_reading_to_where_no_pad_is():
    """B3 to F3 are shot and A3 is no pad: nothing can belong one position back there, all the others can be told."""
    ground = np.add.outer(np.arange(6) * 6, np.arange(6) * 40)
    ground += np.random.default_rng(8).integers(-2, 3, ground.shape)
    ground[2] = np.append(ground[2][0] - 300, ground[2][:-1])
    whole = shot(ground)
    assert [each.mistake.name for each in whole.line_mistakes(2)][:1] == ["SHIFTED_DOWN"]
    book = a_book(job=whole.job)
    say(book, "A3 not pad trees")
    for index, height in enumerate(ground.ravel().tolist()):
        if book.job.grid.name(index) != "A3":
            say(book, f"{book.job.grid.name(index)} {height:+d}mm")
    summary = figures(book)
    pad = summary.pad.reshape(6, 6)[2]
    assert not pad[0]
    assert "SHIFTED_DOWN" not in [each.mistake.name for each in summary.line_mistakes(2)]
    assert summary.complete_lines == [0, 1, 3, 4, 5]


@pytest.mark.parametrize(("readings", "as_read"), [("rod", Readings.ROD), ("direct-rod", Readings.DIRECT_ROD)])
def test_how_a_reading_was_taken_is_that_of_its_own_set_up(readings, as_read):
    book = a_book(job=a_job(Unit.FT, readings=readings))
    say(book, "reference BM1 +1", "setup BM1 4.00", "A1 5.00", "setup BM1 4.50", "B1 5.00")
    summary = figures(book)
    job = summary.job
    levels = (5 * FOOT, FOOT * 11 // 2) if as_read is Readings.ROD else (-3 * FOOT, -FOOT * 7 // 2)
    for index, level in enumerate(levels):
        assert summary.way_at(index) == Way(job.heights, job.step, as_read, level)
    said = figures(a_book("A1 0"))
    assert said.way_at(0) == Way(said.job.heights, said.job.step)


# -- what a target changes ----------------------------------------------------------------------------------


GROUND = np.add.outer(np.arange(4) * 20, np.array([0, 10, -30, 5, 70]))


def test_another_target_keeps_what_hangs_on_the_ground_alone():
    summary = shot(GROUND)
    ground = summary.surface_m, summary.average, summary.doubts
    higher = summary.with_target(Plane(30 * MM))
    assert (higher.surface_m, higher.average, higher.doubts) == ground
    assert higher.surface_m is summary.surface_m
    assert higher.target == Plane(30 * MM)
    assert higher.deviations.tolist() == (summary.heights - 30 * MM).tolist()


@pytest.mark.parametrize("plane", [Plane(30 * MM), Plane(-10 * MM, 0.01, -0.02), Plane(5 * MM, 0.0, 0.01)])
def test_another_target_costs_what_it_would_cost_from_the_start(plane):
    """Whether the relief above the first target could be kept or not."""
    summary = shot(GROUND, "target +10mm")
    assert summary.dirt is not None
    changed, anew = summary.with_target(plane), replace(summary, chosen=plane)
    assert changed.dirt.earth.cut == pytest.approx(anew.dirt_at(plane).earth.cut, rel=1e-12)
    assert changed.dirt.earth.fill == pytest.approx(anew.dirt_at(plane).earth.fill, rel=1e-12)
    assert changed.dirt.grade == anew.dirt_at(plane).grade
    assert (changed.dirt.relief is summary.dirt.relief) is (plane.along == plane.across == 0.0)


def test_without_a_shot_there_is_nothing_to_reckon():
    summary = figures(a_book())
    assert (summary.dirt, summary.dirt_at(Plane(0)), summary.estimated, summary.dig()) == (None,) * 4
    assert summary.undermined == ()
    assert not summary.near_enough.any()
    assert summary.with_target(Plane(0)).dirt is None
    assert summary.area_m2 == pytest.approx(60 * 40 * 0.3048**2)
    assert summary.moved_since_first is None


def test_estimates_keep_what_was_shot_to_the_nanometre():
    book = a_book(job=a_job(Unit.MM, 3, 3, step=MM))
    for index in range(9):
        if index != 4:
            say(book, f"{book.job.grid.name(index)} {index:+d}mm")
    summary = figures(book)
    heights = [index * MM for index in range(9)]
    assert summary.estimated.tolist() == heights, "a plane is estimated as a plane: B2 by those around it"
    assert summary.covered < 1.0
    assert summary.height_at(4) is None


def test_what_the_target_digs_away_or_buries():
    """The zero and what lies on the pad, by how far the ground is from the target."""
    book = a_book("reference BM1 +1 ", job=a_job(Unit.IN, 3, 3))
    book.refer("BM2", "+1", position="C3")
    for index in range(9):
        say(book, f"{book.job.grid.name(index)} {0 if index < 8 else 1:+d}")
    say(book, "target -2")
    found = {each.name: each.deviation_nm for each in figures(book).undermined}
    assert found == {THE_ZERO: 2 * INCH, "BM2": 3 * INCH}
    say(book, "C3 not pad tank")
    assert {each.name for each in figures(book).undermined} == {THE_ZERO}


def test_nothing_is_dug_where_the_ground_is_near_enough():
    book = a_book("A1 0", "B1 +1/2", "C1 +9/16", "A2 -1/2", "B2 -9/16", "target 0", job=a_job(Unit.IN))
    summary = figures(book)
    assert summary.job.goal == INCH // 2
    assert np.flatnonzero(summary.near_enough).tolist() == [0, 1, 3]


def test_dirt_moves_neither_where_no_pad_is_nor_at_the_footprints_stakes():
    book = a_book("B2 out rut", "C4 not pad tank", "A1 0")
    summary = figures(book)
    assert np.flatnonzero(summary.keep_out).tolist() == [4, 11]
    say(book, *(f"set margin-{side} 10ft" for side in ("near", "far", "left", "right")))
    summary = figures(book)
    assert summary.footprint is not None
    staked = {4, 11, *summary.footprint.corners(summary.grid)}
    assert np.flatnonzero(summary.keep_out).tolist() == sorted(staked)


def test_earth_moved_since_the_first_round_is_the_prism_between_the_two():
    """By hand: all of 50 x 50 m a centimetre lower is 25 m3 dug; half a centimetre higher 12.5 m3 filled."""
    flat = np.zeros((3, 3), int)
    book = a_book(job=shot(flat).job)
    for name, height in (("existing", 0), ("working", -10), ("final", 5)):
        if name != "existing":
            say(book, f"round {name}")
        for index in range(9):
            say(book, f"{book.job.grid.name(index)} {height:+d}mm")
    assert summarise(book.page, 1).moved_since_first is None
    dug, filled = (summarise(book.page, number).moved_since_first for number in (2, 3))
    assert (dug.cut, dug.fill) == (pytest.approx(25.0), pytest.approx(0.0))
    assert (filled.cut, filled.fill) == (pytest.approx(0.0), pytest.approx(12.5))


@pytest.mark.parametrize("number", [0, 3, -1])
def test_a_round_that_is_none_is_refused(number):
    book = a_book("A1 0", "round working", "A1 0")
    if number:
        with pytest.raises(ValueError, match=f"there is no round {number}; this job has 2"):
            summarise(book.page, number)
    assert [summarise(book.page, each).round for each in (1, 2, None)] == [1, 2, 2]


def test_a_chosen_plane_stays_where_it_was_chosen_when_the_zero_moves():
    """1 % away from A1 over lines 20 ft apart: from B2, 0.2 ft farther up the plane, the target is 0.2 ft higher."""
    book = a_book("A1 0", "B2 +0.50", job=a_job(Unit.FT, step=FOOT // 100, slope_along=0.01))
    say(book, "target -0.10")
    assert figures(book).target == Plane(-FOOT // 10, 0.01, 0.0)
    absolute = figures(book).target_heights
    say(book, "zero B2")
    summary = figures(book)
    assert summary.zero == 4
    assert summary.target.offset_nm == -FOOT // 10 + FOOT // 5 - FOOT // 2, "told from half a foot higher"
    assert (summary.target_heights + FOOT // 2).tolist() == absolute.tolist()


def test_crews_own_verdict_counts_what_lies_beyond_its_own_tolerance():
    book = a_book("target 0", "round final", job=a_job(Unit.IN, 2, 2, tolerance_high=INCH, tolerance_low=INCH))
    say(book, "A1 0", "B1 +5/8", "A2 -1-1/8", "B2 0")
    summary = figures(book)
    assert summary.job.goal == INCH // 2
    assert np.flatnonzero(summary._beyond_goal).tolist() == [1, 2]
    assert summary.outside == (2,)


def test_what_is_not_shot_has_no_height_and_the_last_shot_is_the_last_written():
    summary = figures(a_book("C4 +1", "B4 +2"))
    assert summary.heights.tolist() == [0] * 10 + [2 * INCH, INCH]
    assert summary._last_shot == 10


def test_a_target_before_the_first_shot_undermines_nothing_yet():
    summary = figures(a_book("target -2"))
    assert (summary.target_heights is not None, summary.undermined) == (True, ())


def test_before_a_target_nothing_lies_beyond_the_crews_tolerance():
    assert not any(item.kind == "out of tolerance" for item in figures(a_book("A1 +9")).as_built.pad_goal.items)
    assert not figures(a_book("A1 +9"))._beyond_goal.any()


@pytest.mark.parametrize(
    ("dig_by", "in_halves", "first"), [("whole", False, False), ("halves", True, False), ("out-first", False, True)]
)
def test_how_the_zones_are_asked_for(monkeypatch, dig_by, in_halves, first):
    """A zone of less than a bucketful is none: 0.5 m3 loose of dirt that swells by a quarter are 0.4 m3 in the bank."""
    from rodcall.figures.earthwork import zones

    seen = []
    monkeypatch.setattr(zones, "zones", lambda *plan, **how: seen.append(how))
    terms = ("set bucket 0.5m3", "set swell 25%", f"set dig-by {dig_by}")
    summary = figures(a_book(*terms, "target 0", "round final", "A1 +2", "B1 0"))
    summary.zones(None)
    (how,) = seen
    assert how["least_m3"] == pytest.approx(0.4)
    assert how["in_halves"] is in_halves
    assert (how["first"] is not None) is first
    if first:
        assert np.flatnonzero(how["first"]).tolist() == [0]
    figures(a_book("set bucket 0.5m3")).zones(None)
    assert seen[-1]["least_m3"] == 0.0, "no dirt is known"


def test_near_enough_is_judged_about_the_target_wherever_it_lies():
    """Target 2 in low: -2 and -1-1/2 in are near enough, 0 and +2 in are not."""
    book = a_book("target -2", "A1 -2", "B1 -1-1/2", "C1 0", "A2 +2")
    assert np.flatnonzero(figures(book).near_enough).tolist() == [0, 1]


def test_a_chosen_target_without_a_shot_has_nothing_beyond_it():
    assert not figures(a_book("target 0"))._beyond_goal.any()
    suggested = figures(a_book("A1 +9", "B1 0"))
    assert suggested.outside_mask[:2].all(), "both are out of a target that nobody chose"
    assert not suggested._beyond_goal.any()
    assert suggested.as_built.pad_goal.of(Kind.OUT) == ()


@pytest.mark.parametrize(("reach", "lanes"), [("35ft", 3), ("40ft", 2), ("60ft", 1)])
def test_a_lane_is_as_wide_as_the_machine_reaches(reach, lanes):
    """Three columns 20 ft apart, each standing for 20 ft."""
    book = a_book("target 0", *(f"{name} {said}" for name, said in (("A1", "+1"), ("C1", "-1"), ("B4", "0"))))
    say(book, f"set lane {reach}")
    assert len(figures(book).dig().lanes) == lanes


def test_the_level_is_told_from_the_zero_in_force():
    """The instrument at 5.00 ft; a spot half a foot up becomes the zero: it stands 4.50 ft above that."""
    book = a_book("reference BM1 +1.00", "setup BM1 4.00", "A1 4.50", job=a_job(Unit.FT, readings=Readings.ROD))
    assert figures(book).level == 5 * FOOT
    say(book, "zero A1")
    assert figures(book).level == 5 * FOOT - FOOT // 2


def test_heights_are_told_from_the_zero_in_force():
    """By hand: A1 an inch and B1 three inches up; once A1 is the zero it is at 0 and B1 two inches up."""
    book = a_book("A1 +1", "B1 +3", "zero A1")
    assert figures(book).heights[:2].tolist() == [0, 2 * INCH]
    assert figures(book).average == INCH
