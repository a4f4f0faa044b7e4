"""Items of the punch list that take more than one day, one tablet, or a bigger pad: opened and cleared down to PASS."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from rodcall.book.book import Book
from rodcall.book.storage.opening import JobFile
from rodcall.figures.punch_list import Kind
from rodcall.units import INCH, Unit, write
from tests.cli.kit import rodcall
from tests.cli.punch_kit import (
    AGREED,
    CHECK,
    HONEST,
    SHOTS,
    WITHOUT_B2,
    Site,
    begin,
    enter,
    figures,
    items,
    kinds,
    ticks,
    verdict,
)

# -- edited outside --------------------------------------------------------------------------------------------


def test_a_book_that_was_edited_by_hand_says_so_for_ever(folder):
    path = begin(folder, *HONEST)
    text = path.read_text("utf-8")
    (line,) = (line for line in text.splitlines() if '"B2"' in line)
    path.write_text(text.replace(line, line.replace('"+1/8"', '"0"').replace("3175000", "0")), "utf-8")
    assert verdict(path) == "NOT PROVEN"
    assert kinds(path) == [Kind.EDITED]
    told = items(path)[Kind.EDITED]
    assert (told["at"], told["opened_by"], told["clears"]) == (["8"], 8, "nothing clears it: it stays on the list")
    enter(path, "round final", *SHOTS, CHECK)
    assert kinds(path) == [Kind.EDITED]
    assert verdict(path) == "NOT PROVEN"


def test_a_book_that_was_damaged_says_so_for_ever(folder):
    """What is left of the pad is all there, and shot anew after it; the mark stays."""
    path = begin(folder, *HONEST)
    path.with_name(f"{path.name}.before").unlink(missing_ok=True)
    text = path.read_text("utf-8")
    (line,) = (line for line in text.splitlines() if '"B2"' in line)
    path.write_text(text.replace(line, "  {nothing},"), "utf-8")
    assert verdict(path) == "NOT PROVEN"
    assert Kind.DAMAGED in kinds(path)
    enter(path, "B2 +1/8", CHECK)
    for _ in range(2):
        assert kinds(path) == [Kind.DAMAGED]
        told = items(path)[Kind.DAMAGED]
        assert (told["at"], told["opened_by"], told["clears"]) == (["8"], 8, "nothing clears it: it stays on the list")
        assert verdict(path) == "NOT PROVEN"
        enter(path, "round final", *SHOTS, CHECK)


# -- whole lines -----------------------------------------------------------------------------------------------


def test_a_line_dictated_from_the_wrong_end(folder):
    """The ground of `tests.figures.test_busts`: it has a shape that no turn of a line leaves as it is."""
    r, c = np.indices((8, 10))
    ground = np.rint(24 * np.sin(c / 2.3 + 0.4) + 14 * np.cos(r / 3 + c / 4) + 12).astype(np.int64) * (INCH // 8)
    spots = [[f"{chr(ord('A') + column)}{row + 1}" for column in range(10)] for row in range(8)]

    def line(row: int, heights: np.ndarray) -> list[str]:
        return [f"{name} {write(int(nm), Unit.IN)}" for name, nm in zip(spots[row], heights, strict=True)]

    read = [text for row in range(8) for text in line(row, ground[row][::-1] if row == 4 else ground[row])]
    new = ("--along", "8", "--across", "10", "--tolerance", "8in")
    path = begin(folder, *AGREED, *read, CHECK, new=new)
    assert verdict(path) == "NOT PROVEN"
    assert Kind.LINE_DOES_NOT_FIT in kinds(path)
    lines = [item for item in figures(path)["punch_list"] if item["item"] == Kind.LINE_DOES_NOT_FIT]
    assert [*spots[4], "5"] in [line["at"] for line in lines]
    enter(path, *line(4, ground[4]), *line(4, ground[4]), CHECK)
    assert kinds(path) == []
    assert verdict(path) == "PASS"


# -- days ------------------------------------------------------------------------------------------------------


@pytest.fixture
def site(folder) -> Site:
    return Site(folder / "pad.json")


def test_a_check_the_day_after_proves_nothing_of_the_day_before(site):
    path = site.write(*AGREED, *SHOTS)
    site.write(CHECK, later=timedelta(hours=25))
    assert verdict(path) == "NOT PROVEN"
    assert kinds(path) == [Kind.TIMES_APART]
    told = items(path)[Kind.TIMES_APART]
    assert len(told["at"]) == 12
    assert told["clears"] == "read those spots again, then check the same day"
    site.write(*SHOTS, CHECK)
    assert kinds(path) == []
    assert verdict(path) == "PASS"


def test_within_the_day_it_does(site):
    path = site.write(*AGREED, *SHOTS)
    assert verdict(site.write(CHECK, later=timedelta(hours=23))) == "PASS"
    assert kinds(path) == []


def test_a_later_check_off_the_pad_does_not_stand_in_for_one_of_the_day(site):
    """The one of the day was on the pad; the one off the pad came a week later, when the level was long gone."""
    path = site.write(*AGREED, *SHOTS, "check ZERO 0")
    site.write(CHECK, later=timedelta(days=7))
    assert kinds(path) == [Kind.CHECKED_ON_PAD]
    site.write(*SHOTS, CHECK)
    assert verdict(path) == "PASS"


def test_a_clock_set_back_between_shot_and_check(site):
    """Shot one day, checked the next, the tablet's clock set back in between so that it looks like the same hour."""
    path = site.write(*AGREED, *SHOTS)
    number = len(site.file.book.entries) + 1
    site.write(CHECK, later=-timedelta(minutes=5))
    assert verdict(path) == "NOT PROVEN"
    assert kinds(path) == [Kind.TIMES_APART]
    assert items(path)[Kind.TIMES_APART]["opened_by"] == number
    site.write(*SHOTS, CHECK)
    assert verdict(path) == "PASS"


def test_the_hours_may_be_more_only_by_agreement(site):
    path = site.write(*AGREED, *SHOTS)
    site.write(CHECK, "set check-hours 48", later=timedelta(hours=25))
    assert kinds(path) == [Kind.LIMIT_WIDENED]
    site.write("set check-hours 48 because the crew was called away", "set agreed-by J. Doe")
    assert verdict(path) == "PASS"


# -- two tablets -----------------------------------------------------------------------------------------------


def joined(site: Site, folder, mine: tuple[str, ...], others: tuple[str, ...]):
    """What two tablets make of one book in ignorance of each other, joined through the shell."""
    other = Book(site.file.book.job, "tablet-b", ticks(site.now))
    for entry in site.file.book.entries:
        other.take(entry)
    there = Site(folder / "other.json", "tablet-b", site.file.book.job)
    there.file, there.now = JobFile(folder / "other.json", other), site.now
    path = site.write(*mine)
    there.write(*others)
    told = rodcall("join", path, folder / "other.json", "--to", folder / "both.json")
    assert told.status == 0, told
    return folder / "both.json"


def test_two_tablets_that_read_a_spot_otherwise(site, folder):
    site.write(*AGREED, *WITHOUT_B2)
    path = joined(site, folder, ("B2 0",), ("B2 +3/8", CHECK))
    assert verdict(path) == "NOT PROVEN"
    assert kinds(path) == [Kind.TABLETS_DISAGREE]
    told = items(path)[Kind.TABLETS_DISAGREE]
    assert (told["at"], told["clears"]) == (["B2"], "read it again")
    enter(path, "B2 +3/8", CHECK)
    assert kinds(path) == []
    assert verdict(path) == "PASS"


def test_reading_it_twice_before_the_books_are_joined_settles_nothing(site, folder):
    site.write(*AGREED, *WITHOUT_B2)
    path = joined(site, folder, ("B2 0",), ("B2 +3/8", "B2 +3/8", CHECK))
    assert kinds(path) == [Kind.TABLETS_DISAGREE]
    assert verdict(enter(path, "B2 +3/8", CHECK)) == "PASS"


def test_two_tablets_that_agree_within_a_mark_leave_nothing_open(site, folder):
    site.write(*AGREED, *WITHOUT_B2)
    assert verdict(joined(site, folder, ("B2 0",), ("B2 +1/8", CHECK))) == "PASS"


@pytest.mark.parametrize(
    ("what", "mine", "others", "again"),
    [
        ("target", "target 0", "target +1/8", ("target 0",)),
        ("drift", "set drift 1/8in", "set drift 3/16in", ("set drift 1/8in",)),
        ("tolerance-low", "set tolerance-low 1/2in", "set tolerance-low 3/4in", ("set tolerance-low 3/4in",)),
    ],
)
def test_two_tablets_that_agreed_on_different_things(site, folder, what, mine, others, again):
    site.write(AGREED[0])
    path = joined(site, folder, (mine,), (others,))
    assert items(path)[Kind.TABLETS_DISAGREE]["at"] == [what]
    assert items(path)[Kind.TABLETS_DISAGREE]["clears"] == "set it again"
    enter(path, *again, *AGREED[1:], *SHOTS, CHECK)
    assert kinds(path) == []
    assert verdict(path) == "PASS"
