"""What to key into the machine, and the points that the dig takes away."""

from __future__ import annotations

import pytest

from rodcall.figures.earthwork.machine import Undermined, offset_from, undermined
from rodcall.units import INCH
from tests.kit import a_book, a_job, figures


@pytest.mark.parametrize(
    ("target", "zeroed_on", "offset"),
    [
        # Grade half an inch under the zero; zeroed on the zero, on a stake 4-1/2 in lower, on a hub 6 in higher.
        (-INCH // 2, 0, -INCH // 2),
        (-INCH // 2, -9 * INCH // 2, 4 * INCH),
        (-INCH // 2, 6 * INCH, -13 * INCH // 2),
    ],
)
def test_offset_is_the_target_above_the_point(target: int, zeroed_on: int, offset: int) -> None:
    assert offset_from(target, zeroed_on) == offset


def test_points_beyond_what_is_allowed_are_undermined() -> None:
    points = {"the zero": 0, "BM1": 5, "BM2": 7, "BM3": 9}
    found = undermined(points, {0: INCH // 2, 5: INCH // 2 + 1, 7: -INCH}, INCH // 2)
    assert found == (Undermined("BM1", 5, INCH // 2 + 1), Undermined("BM2", 7, -INCH))


def test_the_zero_on_the_pad_is_seen_to_go() -> None:
    book = a_book(*(f"{name} {said}" for name, said in zip(a_job().grid.names, ["0"] * 11 + ["-1"], strict=True)))
    book.aim("-3/4")
    assert [(point.name, point.index, point.deviation_nm) for point in figures(book).undermined] == [
        ("the zero", 0, 3 * INCH // 4)
    ]
    book.aim("-1/2")
    # Half an inch is the crew's goal: such a change leaves the point as it is.
    assert figures(book).undermined == ()
