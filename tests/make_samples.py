"""Makes the sample jobs anew, through the program's own book: python tests/make_samples.py

The scenario is invented: five pads at Juniper Hollow, an orchard that does not exist.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from rodcall.book.book import Book
from rodcall.book.entry_lines import dictate
from rodcall.book.model.entries import LaserTest, Readings
from rodcall.book.model.grid import Grid
from rodcall.book.model.job import Job, agree
from rodcall.book.storage.opening import JobFile
from rodcall.book.storage.photos import keep_photo
from rodcall.figures.summary import summarise
from rodcall.units import FOOT, INCH, MM, M, Unit, write
from tests.sample_photo import photo

FOLDER = Path(__file__).parents[1] / "sample_jobs"
HERE = timezone(timedelta(hours=-6))


def clock(start: datetime, seconds: int) -> Iterator[datetime]:
    """One entry every so many seconds."""
    while True:
        yield start
        start += timedelta(seconds=seconds)


def begin(file_name: str, number: int, start: datetime, heights: Unit, **known: object) -> JobFile:
    """A job with a fixed id and a clock of its own, so that the samples come out the same each time."""
    job = Job(id=f"{number:032x}", created=start, place="Juniper Hollow", **agree(heights, **known))
    times = clock(start, 25)
    file = JobFile(FOLDER / file_name, Book(job, "tablet-sample", lambda: next(times)))
    file.book.keep_photo = lambda said: take_photo(file.path, said)
    return file


def take_photo(job: Path, said: str) -> tuple[str, str]:
    """Keep the sample photo under a name, as if a telephone had taken it."""
    with TemporaryDirectory() as folder:
        taken = Path(folder) / said
        taken.write_bytes(photo())
        return keep_photo(job, str(taken))


def ground(grid: Grid, seed: int, swing_nm: float, tilt: tuple[float, float] = (0, 0)) -> np.ndarray:
    """Smooth natural ground with some roughness, nanometres, in walking order of the grid's index."""
    rng = np.random.default_rng(seed)
    along, across = grid.along_nm[:, None] / M, grid.across_nm[None, :] / M
    waves = sum(
        rng.normal() * np.cos(along * rng.uniform(0.05, 0.5) + across * rng.uniform(0.05, 0.5) + rng.uniform(0, 6))
        for _ in range(5)
    )
    heights = swing_nm * (waves / 2 + 0.1 * rng.normal(size=grid.shape))
    return (heights + (tilt[0] * along + tilt[1] * across) * M).ravel()


def say(file: JobFile, *lines: str) -> None:
    """Dictate lines into the book."""
    dictate(file.book, lines, lambda: summarise(file.book.page).suggested)


def shoot_all(file: JobFile, heights: np.ndarray, level_nm: int = 0, *, until: int | None = None) -> None:
    """Shoot every position that is not left out, each round from A1 on, as a crew would call it."""
    job, page = file.book.job, file.book.page
    sign = page.readings.direction
    walk = job.grid.walk(page.walk.order)
    for step in range(job.grid.size if until is None else until):
        index = walk.at(step)
        if page.round.state[index]:
            continue
        reading = round((level_nm + sign * heights[index]) / job.step) * job.step
        said = write(reading, job.heights, sign=page.readings is Readings.HEIGHT)
        say(file, f"{job.grid.name(index)} {said}")


def seedling_house() -> JobFile:
    """Finished and proven, inches and fractions: existing ground, a target, one working round, the final one."""
    start = datetime(2026, 4, 18, 7, 30, tzinfo=HERE)
    file = begin(
        "seedling-house.json",
        1,
        start,
        Unit.IN,
        name="Seedling greenhouse pad",
        customer="Juniper Hollow Orchard",
        length=50 * FOOT,
        width=30 * FOOT,
        along=6,
        across=4,
        step=INCH // 8,
        tolerance_high=INCH // 2,
        tolerance_low=INCH,
        goal=INCH * 3 // 8,
    )
    before = ground(file.book.job.grid, 3, 0.9 * INCH) - 0.4 * INCH
    say(file, "note sod stripped, buried services marked and seen; dry, light wind", "reference ZERO")
    say(file, "reference BM1 high 6in")
    shoot_all(file, before, until=10)
    say(file, "strike B3", "B3 out rut of the delivery truck")
    shoot_all(file, before)
    say(file, "target suggested", "round working")
    target = summarise(file.book.page).target
    assert target is not None
    rng = np.random.default_rng(11)
    graded = target.offset_nm + rng.normal(0, 0.35 * INCH, before.size)
    shoot_all(file, graded)
    say(file, "check BM1 +6", "round final")
    finished = target.offset_nm + np.clip(rng.normal(0, 0.15 * INCH, before.size), -0.3 * INCH, 0.3 * INCH)
    shoot_all(file, finished)
    say(file, "check BM1 +6")
    return file


def cider_shed() -> JobFile:
    """In progress, tenths of a foot read from a plain rod."""
    start = datetime(2026, 5, 6, 13, 5, tzinfo=HERE)
    file = begin(
        "cider-shed.json",
        2,
        start,
        Unit.FT,
        name="Cider shed slab",
        customer="Juniper Hollow Orchard",
        length=40 * FOOT,
        width=24 * FOOT,
        along=5,
        across=4,
        readings=Readings.ROD,
    )
    say(
        file,
        "reference BM1 high 0.62ft  # nail in the corner post of the fence",
        "setup BM1 4.31",
        "note BM1 is the nail in the fence's corner post, outside the dig",
    )
    heights = ground(file.book.job.grid, 5, 0.12 * FOOT)
    level = file.book.page.setup
    assert level is not None
    say(file, "C2 out stump")
    shoot_all(file, heights, level.datum_nm, until=13)
    return file


def packing_yard() -> JobFile:
    """Millimetres, sloped to drain, 210 positions."""
    start = datetime(2026, 6, 2, 6, 45, tzinfo=HERE).astimezone(UTC)
    file = begin(
        "packing-yard.json",
        3,
        start,
        Unit.MM,
        name="Packing yard",
        customer="Juniper Hollow Orchard",
        length=60 * M,
        width=27 * M,
        along=21,
        across=10,
        tolerance_high=20 * MM,
        tolerance_low=20 * MM,
        goal=12 * MM,
        slope_along=-0.01,
        slope_across=0.0,
    )
    say(file, "note yard falls 1 % to the far ditch")
    shoot_all(file, ground(file.book.job.grid, 8, 30 * MM, tilt=(-0.008, 0.001)))
    return file


AGREED = (
    *("set instrument rotating level, serial 0417", "set laser-spec 1/16in/100ft", "set tripod -8ft,20ft"),
    *("set people two of the crew, one at the rod", "set weather dry, light wind", "set north ne"),
    *("set agreed-by the orchard's manager", "set stage compacted"),
)


def nursery_slab() -> JobFile:
    """Proven with everything that a certificate shows: rod, two references, a spot read again, diagonals, issued."""
    start = datetime(2026, 7, 14, 7, 5, tzinfo=HERE)
    file = begin(
        "nursery-slab.json",
        4,
        start,
        Unit.IN,
        name="Nursery slab",
        customer="Juniper Hollow Orchard",
        length=50 * FOOT,
        width=30 * FOOT,
        along=6,
        across=4,
        inset=FOOT,
        tolerance_high=INCH * 3 // 4,
        tolerance_low=INCH * 3 // 4,
        step=INCH // 16,
        goal=INCH * 3 // 8,
        readings=Readings.ROD,
    )
    book, grid = file.book, file.book.job.grid
    say(file, *AGREED, "set margin-near 3ft", "set margin-far 3ft", "set margin-left 2ft", "set margin-right 2ft")
    say(file, "set diagonal-1 58ft 3 3/4in", "set diagonal-2 58ft 3 5/8in", "note buried services marked and seen")
    book.refer("BM1", "high 8in", "top of the well's concrete collar")
    book.refer("BM2", "low 2 1/2in", "nail in the shop's corner post")
    book.photo("rod-on-BM1.png BM1")
    book.test_laser(LaserTest.QUARTER_TURN, ["4' 2\"", "4' 2\"", "4' 2 1/16\"", "4' 2\""], ["100ft"])
    say(file, "setup BM1 3' 6in", "check BM2 4' 4 1/2in")
    level = book.page.setup
    assert level is not None
    existing = ground(grid, 12, 1.4 * INCH) - 0.6 * INCH
    shoot_all(file, existing, level.datum_nm)
    say(file, "check BM1 3' 6in", "target suggested", "round working")
    target = summarise(book.page).target
    assert target is not None
    rng = np.random.default_rng(21)
    shoot_all(file, target.offset_nm + rng.normal(0, 0.4 * INCH, grid.size), level.datum_nm)
    say(file, "check BM1 3' 6in", "round final", "setup BM1 3' 8 1/4in", "check BM2 4' 6 3/4in")
    level = book.page.setup
    assert level is not None
    finished = target.offset_nm + np.clip(rng.normal(0, 0.12 * INCH, grid.size), -0.3 * INCH, 0.3 * INCH)
    shoot_all(file, finished, level.datum_nm)
    again = round((level.datum_nm - finished[grid.index("C3")]) / book.job.step) * book.job.step
    say(file, f"C3 again {write(again, Unit.IN, sign=False)}", "check BM2 4' 6 3/4in", "check BM1 3' 8 1/4in")
    book.issue("SAMPLE-0001", file.seal, str(summarise(book.page).verdict))
    return file


def barn_apron() -> JobFile:
    """Failed: the final round of a small apron, with two spots out of tolerance."""
    start = datetime(2026, 8, 3, 9, 40, tzinfo=HERE)
    file = begin(
        "barn-apron.json",
        5,
        start,
        Unit.MM,
        name="Barn apron",
        customer="Juniper Hollow Orchard",
        length=12 * M,
        width=8 * M,
        along=5,
        across=4,
        tolerance_high=15 * MM,
        tolerance_low=15 * MM,
        goal=8 * MM,
    )
    grid = file.book.job.grid
    say(file, *AGREED[:3], "reference BM1 +120", "check BM1 +120", "target -10 mm", "round final")
    graded = -10 * MM + np.random.default_rng(5).normal(0, 3 * MM, grid.size)
    graded[grid.index("C2")] += 21 * MM
    graded[grid.index("D5")] -= 19 * MM
    shoot_all(file, graded)
    say(file, "check BM1 +120")
    return file


if __name__ == "__main__":
    for made in (seedling_house(), cider_shed(), packing_yard(), nursery_slab(), barn_apron()):
        made.path.unlink(missing_ok=True)
        made.save()
        print(made.path.name, len(made.book.entries), "entries", summarise(made.book.page).verdict)
