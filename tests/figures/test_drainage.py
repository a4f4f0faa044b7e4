"""Which way water runs, and slopes that are not reached."""

from __future__ import annotations

import pytest

from rodcall.figures.drainage import Run, Shortfall, shortfalls, water


@pytest.mark.parametrize(
    ("along", "across", "run", "arrow"),
    [
        (0.01, 0.0, Run(-1, 0), "v"),
        (-0.01, 0.0, Run(1, 0), "^"),
        (0.0, 0.01, Run(0, -1), "<"),
        (0.0, -0.01, Run(0, 1), ">"),
        (-0.02, -0.01, Run(1, 1), "^>"),
        (0.02, 0.01, Run(-1, -1), "v<"),
        (0.0, 0.0, Run(0, 0), "o"),
        # Less than 1/2 mm in a metre: it stands (common practice).
        (4e-4, -4e-4, Run(0, 0), "o"),
    ],
)
def test_water_runs_down(along: float, across: float, run: Run, arrow: str) -> None:
    assert water(along, across) == run
    assert run.arrow == arrow


FALL_FROM_A_BUILDING = 0.5 / 10
"""CHECK_VALUES 5.5: IRC R401.3, 6 in within the first 10 ft, 5 %. SEEN."""
CROSS_SLOPE = 1 / 48
"""CHECK_VALUES 5.5: ADA cross slope 1:48, 2.0833 %. SEEN."""
TEN_FEET = (3.048, 3.048)


def test_a_slope_that_is_reached_is_no_shortfall() -> None:
    asked = (-FALL_FROM_A_BUILDING, CROSS_SLOPE)
    assert shortfalls(asked, asked, TEN_FEET, 0.0) == ()


def test_steeper_than_asked_is_no_shortfall() -> None:
    assert shortfalls((-FALL_FROM_A_BUILDING, 0.0), (-0.06, 0.0), TEN_FEET, 0.0) == ()


def test_what_lacks_more_than_the_goal_over_the_pad_is_told() -> None:
    # 4.5 % instead of 5 % over 10 ft lacks 0.6 in: told with a goal of 1/2 in, not with one of 5/8 in.
    reached = (-0.045, 0.0)
    asked = (-FALL_FROM_A_BUILDING, 0.0)
    assert shortfalls(asked, reached, TEN_FEET, 0.0127) == (Shortfall("along", asked[0], reached[0]),)
    assert shortfalls(asked, reached, TEN_FEET, 0.015875) == ()


def test_the_wrong_way_lacks_all_of_it_and_more() -> None:
    found = shortfalls((0.0, CROSS_SLOPE), (0.3, -CROSS_SLOPE), TEN_FEET, 0.1)
    assert found == (Shortfall("across", CROSS_SLOPE, -CROSS_SLOPE),)


def test_where_no_slope_was_asked_for_none_is_missed() -> None:
    assert shortfalls((0.0, 0.0), (0.05, -0.05), TEN_FEET, 0.0) == ()
