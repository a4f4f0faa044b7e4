"""The new-job form's own mind: customary answers, what follows from the size, and what is wrong as one types."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from rodcall.book.model.entries import Readings
from rodcall.tablet.settings import Settings
from rodcall.tui.app import RodcallApp
from rodcall.tui.pages.begin import form as form_module
from rodcall.tui.pages.begin.form import UNITS, Form, Row
from rodcall.tui.pages.begin.pad_size import size_of
from rodcall.tui.pages.begin.sketch import sketch
from rodcall.tui.terminal.keys import Stroke
from rodcall.units import CM, FOOT, INCH, MM, M, Unit
from tests.looks.scenes import shown, text_of
from tests.tui.kit import send

NAMES = {"\n": "enter", "\b": "backspace"}
ORDER = [field.id for field in Form()._fields]


class Filled(Form):
    """A form that is filled in by the names of its fields."""

    def type(self, **answers: str) -> Filled:
        for id, text in answers.items():
            self.at = ORDER.index(id)
            for character in text:
                self.press(Stroke(NAMES.get(character, ""), "" if character in NAMES else character))
        return self

    def row(self, id: str) -> Row:
        return self.rows()[ORDER.index(id)]


@pytest.fixture
def form() -> Filled:
    return Filled()


@pytest.fixture
def sized() -> Filled:
    return Filled().type(length="60", width="40")


def test_only_the_size_is_wanted(sized: Filled) -> None:
    job = sized.job()
    assert (job.length, job.width) == (60 * FOOT, 40 * FOOT)
    assert (job.heights, job.step, job.readings, job.zero, job.inset) == (
        Unit.IN,
        INCH // 8,
        Readings.HEIGHT,
        "A1",
        0,
    )
    assert (job.tolerance_high, job.tolerance_low, job.goal) == (INCH, INCH, INCH // 2)


def test_the_customary_name_is_the_day(form: Filled, monkeypatch: pytest.MonkeyPatch) -> None:
    class Day(date):
        @classmethod
        def today(cls) -> date:
            return cls(2026, 4, 18)

    monkeypatch.setattr(form_module, "date", Day)
    assert form.row("name") == Row("name", "pad 2026-04-18", "", "", customary=True)
    assert form.type(name="Tank").row("name").text == "Tank"


@pytest.mark.parametrize(
    ("heights", "size", "along"),
    [
        ("inches and fractions", "60", "7"),  # every 10 ft, the corners included: common practice
        ("feet in tenths", "100", "11"),
        ("inches and fractions", "12", "3"),
        ("millimetres", "30", "11"),  # every 3 m: common practice
        ("metres", "7.5m", "3"),
        ("metres", "60ft", "7"),
        ("inches and fractions", "", ""),
        ("inches and fractions", "sixty", ""),
        ("inches and fractions", "0", ""),
        ("inches and fractions", "5000", "99"),
    ],
)
def test_shots_are_suggested_from_the_size(form: Filled, heights: str, size: str, along: str) -> None:
    form.at = ORDER.index("heights")
    form.press(Stroke(character=str(list(UNITS).index(heights) + 1)))
    assert form.type(length=size).row("along").text == along


def test_a_typed_count_stays_whatever_the_size(sized: Filled) -> None:
    sized.type(along="3", length="0")
    assert (sized.row("length").text, sized.row("along").text) == ("600", "3")


@pytest.mark.parametrize(
    ("choice", "unit", "step", "tolerance", "size"),
    [
        ("1", Unit.IN, INCH // 8, INCH, 60 * FOOT),
        ("2", Unit.FT, FOOT // 100, FOOT // 10, 60 * FOOT),
        ("3", Unit.MM, MM, 25 * MM, 60 * M),
        ("4", Unit.CM, MM, 25 * MM, 60 * M),
        ("5", Unit.M, MM, 25 * MM, 60 * M),
    ],
)
def test_each_unit_brings_its_own_customs(
    form: Filled, choice: str, unit: Unit, step: int, tolerance: int, size: int
) -> None:
    job = form.type(heights=choice, length="60", width="40").job()
    assert (job.heights, job.step, job.tolerance_low, job.length) == (unit, step, tolerance, size)


def test_a_unit_of_its_own_overrides(form: Filled) -> None:
    job = form.type(heights="2", length="18.3m", width="480in", tolerance="12mm", goal="1/4in", step="1cm").job()
    assert (job.length, job.width) == (183 * M // 10, 40 * FOOT)
    assert (job.tolerance_high, job.goal, job.step) == (12 * MM, INCH // 4, CM)


def test_lists_are_walked_both_ways_and_by_number(form: Filled) -> None:
    form.at = ORDER.index("readings")
    seen = []
    for key in ("right", "right", "right", "left", "left"):
        form.press(Stroke(key))
        seen.append(form.row("readings").text.split(":")[0])
    assert seen == ["plain rod", "direct rod", "height", "direct rod", "plain rod"]
    form.press(Stroke(character="3"))
    assert form.row("readings").text == "direct rod: bigger HIGHER"
    form.press(Stroke(character="9"))
    assert form.row("readings").text == "direct rod: bigger HIGHER"
    form.press(Stroke(character="x"))
    form.press(Stroke("backspace"))
    assert form.row("readings").text == "direct rod: bigger HIGHER"


@pytest.mark.parametrize(
    ("id", "text", "said"),
    [
        ("length", "sixty", "no word for a length"),
        ("length", "0", "must be above 0"),
        ("length", "-4", "neither high nor low"),
        ("width", "3/7", "no rod is marked in sevenths"),
        ("along", "1", "a whole number, 2 or more"),
        ("along", "2.5", "a whole number, 2 or more"),
        ("across", "٣", "a whole number, 2 or more"),
        ("inset", "x", "no word for a length"),
        ("step", "0", "must be above 0"),
        ("tolerance", "..", "point"),
        ("goal", "1//2", ""),
        ("zero", "Z9", "off the grid"),
        ("zero", "9", "is not a position"),
    ],
)
def test_what_is_wrong_is_said_beside_the_field_as_one_types(sized: Filled, id: str, text: str, said: str) -> None:
    row = sized.type(**{id: text if id not in ("length", "width") else f"\b\b{text}"}).row(id)
    assert row.trouble
    assert said in row.trouble
    assert not row.customary
    with pytest.raises(ValueError, match=row.label):
        sized.job()
    assert ORDER[sized.at] == id


def test_trouble_goes_when_it_is_mended(form: Filled) -> None:
    assert form.type(length="60x").row("length").trouble
    assert form.type(length="\b").row("length").trouble == ""


@pytest.mark.parametrize(("given", "wanted"), [({}, "length"), ({"length": "60"}, "width")])
def test_a_form_without_a_size_stands_on_what_is_wanted(form: Filled, given: dict[str, str], wanted: str) -> None:
    with pytest.raises(ValueError, match=f"pad {wanted}: required"):
        form.type(**given).job()
    assert ORDER[form.at] == wanted


def test_an_inset_that_leaves_no_room_is_refused(sized: Filled) -> None:
    with pytest.raises(ValueError, match="inset must leave room"):
        sized.type(inset="20").job()


def test_too_many_shots_are_refused(sized: Filled) -> None:
    with pytest.raises(ValueError, match="the limit is 20000 positions"):
        sized.type(along="999", across="999").job()


def test_the_zero_may_be_any_position(sized: Filled) -> None:
    assert sized.type(zero="b2").job().zero == "B2"


def test_enter_and_up_walk_the_fields_and_stop_at_the_ends(form: Filled) -> None:
    form.press(Stroke("up"))
    assert form.at == 0
    for _ in range(form.count + 3):
        form.press(Stroke("enter"))
    assert form.at_end
    form.press(Stroke("shift+tab"))
    form.press(Stroke("down"))
    form.press(Stroke("tab"))
    assert form.at_end


def test_the_numeric_pad_alone_fills_it_in(form: Filled) -> None:
    """Size, unit, way of reading, tolerance: digits, Enter and the four signs, nothing else."""
    for key in "\n\n\n\n+\n60.5\n40\n\n\n1\n\n+\n.04\n.02\n\n":
        form.press(Stroke(NAMES.get(key, ""), "" if key in NAMES else key))
    assert form.at_end
    job = form.job()
    assert (job.heights, job.length, job.inset) == (Unit.FT, 121 * FOOT // 2, FOOT)
    assert (job.readings, job.tolerance_high, job.goal) == (Readings.ROD, FOOT // 25, FOOT // 50)


def test_pasted_text_becomes_one_line_of_bearable_length(form: Filled) -> None:
    form.at = ORDER.index("name")
    form.paste("Hothouse\nnorth\r\n" + "x" * 5000)
    assert form.row("name").text.startswith("Hothouse north")
    assert "\n" not in form.row("name").text
    assert len(form.row("name").text) == 200


def test_a_list_takes_no_paste(form: Filled) -> None:
    form.at = ORDER.index("heights")
    form.paste("metres")
    assert form.row("heights").text == "inches and fractions"


# -- the size in one go -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "sizes"),
    [
        ("60x30ft 4x5", ("60ft", "30ft", "4", "5")),
        ("60 x 30", ("60", "30")),
        ("60*30*4*5", ("60", "30", "4", "5")),
        ("18m by 9m", ("18m", "9m")),
        ("18 x 9 m 3x3", ("18m", "9m", "3", "3")),
        ("60'x40'6\"", ("60'", "40'6\"")),
    ],
)
def test_the_size_is_understood_in_one_go(form: Filled, said: str, sizes: tuple[str, ...]) -> None:
    assert size_of(said) == sizes
    form.type(size=said)
    assert tuple(form.row(id).text for id in ("length", "width")) == sizes[:2]
    assert form.is_sized


@pytest.mark.parametrize("said", ["60", "60x30x4", "sixty", "60x30 4xb", "0x30"])
def test_a_size_that_will_not_do_is_told_and_makes_nothing(form: Filled, said: str) -> None:
    form.type(size=said)
    assert form.row("size").trouble
    assert not form.is_sized


def test_taking_the_size_back_takes_back_what_it_made(form: Filled) -> None:
    form.type(size="60x30")
    form.at = ORDER.index("size")
    form.clear()
    assert form.row("length").text == ""
    assert form.follows(80) == ""


@pytest.mark.parametrize(
    ("said", "away", "right"), [("60x30ft 4x5", 60, 30), ("30x60ft 4x5", 30, 60), ("40x40ft 3x3", 40, 40)]
)
@pytest.mark.parametrize(("width", "height"), [(78, 6), (60, 20), (108, 57), (28, 36)])
def test_the_sketch_has_the_pads_proportions(
    form: Filled, said: str, away: int, right: int, width: int, height: int
) -> None:
    """A character is taken as twice as tall as wide, which most terminals' fonts come near to (common practice).

    A small one may be a quarter wider, for each shot to have its cross.
    """
    form.type(size=said)
    drawn = sketch(form.grid, width, height, form.sides)
    assert len(drawn) <= height
    assert all(len(line) <= width for line in drawn)
    inside = [re.search(r"\|(.*)\|", line) for line in drawn]
    rows = [found[1] for found in inside if found is not None]
    assert len(rows[0]) / len(rows) == pytest.approx(2 * right / away, rel=0.25)


@pytest.mark.parametrize("height", [5, 6, 9, 20])
def test_the_sketch_has_a_cross_for_each_shot_or_none(form: Filled, height: int) -> None:
    form.type(size="60x30ft 4x5")
    drawn = sketch(form.grid, 78, height, form.sides)
    rows = [line[1 : line.rindex("|")] for line in drawn if line.startswith("|")]
    assert sum(line.count("+") for line in rows) in (0, 19), "A1 is marked by its letter"


async def test_what_is_wrong_is_told_below_while_another_field_is_filled_in(home: Path) -> None:
    """Beside its field there may be no room for more than `see below`."""
    async with RodcallApp(None, settings=Settings(vibration_ms=0)).run_test(size=(60, 20)) as pilot:
        for key in ("n", *"60x30ft 4x", "down"):
            await send(pilot, key)
        lines = text_of(pilot.app)
        assert "see below" in lines[1]
        assert "pad size: type length x width" in lines[-1]


@pytest.mark.parametrize("language", ["en", "es"])
async def test_no_hint_runs_into_the_sketch(tmp_path: Path, home: Path, language: str) -> None:
    async with shown("form-like", (120, 40), language, tmp_path) as pilot:
        lines = text_of(pilot.app)
        assert any("|+" in line for line in lines)
        assert [line for line in lines[1:] if line[89:90].strip()] == []


def test_the_sketch_has_a_cross_a_shot_and_both_sides(form: Filled) -> None:
    form.type(size="60x30ft 4x5")
    drawn = sketch(form.grid, 60, 20, form.sides)
    rows = [line[1 : line.rindex("|")] for line in drawn if line.startswith("|")]
    assert sum(line.count("+") for line in rows) + 1 == 20, "A1 is marked by its letter"
    assert rows[-1].startswith("A")
    assert any(line.endswith(" 60' 0\"") for line in drawn)
    assert drawn[-1].strip() == "30' 0\""
