"""Holds the dirt that the target page, dig page, sheet, season and JSON tell of random jobs against each other.

    python -m tests.benchmarks.same_dirt [--jobs 500] [--seed N]

Pads in inches, feet and millimetres, with and without slopes, strips outside the shots, spots left out, not shot or not
pad, a footprint, a pile, and every kind of soil. Told is the largest difference, as a share of cut and fill together;
the bar is 1e-9.
"""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

import numpy as np

from rodcall.book.book import Book
from rodcall.book.storage.opening import JobFile
from rodcall.figures.summary import Summary, summarise
from rodcall.sheets.exports.figures_json import figures
from rodcall.sheets.exports.season import row
from rodcall.sheets.exports.table import dirt_facts
from rodcall.units import Unit, write
from rodcall.wording import words
from rodcall.wording.dig import end_words
from tests.kit import a_book, a_job

BAR = 1e-9


def random_book(seed: int) -> Book:
    """A job that has dirt to move, whatever else it has."""
    rng = np.random.default_rng(seed)
    unit = (Unit.IN, Unit.FT, Unit.MM)[seed % 3]
    along, across = rng.integers(2, 11, 2).tolist()
    size = {name: int(rng.integers(20, 120)) * 304_800_000 for name in ("length", "width")}
    inset = int(rng.choice([0, 0, 1, 3])) * 304_800_000
    slopes = dict(zip(("slope_along", "slope_across"), rng.choice([0.0, 0.0, 0.01, -0.013], 2).tolist(), strict=True))
    job = a_job(unit, along, across, inset=inset, **size, **slopes)
    ground = rng.normal(0, rng.choice([5, 40]), (along, across)) + rng.normal(0, 8) * np.arange(along)[:, None]
    steps = np.rint(ground.ravel() * 1e6 / job.step).astype(int) * job.step
    names = [job.grid.name(at) for at in range(job.grid.size)]
    lines = [f"{name} {write(int(nm), unit)}" for name, nm in zip(names, steps, strict=True)]
    keep = rng.random(job.grid.size) > rng.choice([0.0, 0.1])
    lines = [line for line, kept in zip(lines, keep, strict=True) if kept]
    lines += [f"{name} out rut" for name in names if rng.random() < 0.04]
    spared = list(rng.choice(names, int(rng.integers(0, 3)), replace=False)) if min(along, across) > 3 else []
    lines += [f"{name} not pad" for name in spared]
    lines += [f"set soil {rng.choice(['sand', 'loam', 'clay', 'rock'])}"]
    if rng.random() < 0.3:
        lines += ["set on-hand 7yd3"]
    if rng.random() < 0.3:
        lines += [f"set margin-{side} 2ft" for side in ("near", "far", "left", "right")]
    book = a_book(*lines, job=job)
    how = rng.random()
    if how < 0.4:
        book.aim_at(int(rng.integers(-20, 20)) * job.step, "random")
    elif how < 0.8:
        dirt = summarise(book.page).dirt
        if dirt is not None:
            book.aim_at(round(dirt.balance * 1e9), "balance")
    return book


def same(summary: Summary, path: Path) -> float:
    """The largest difference between two ways of the same dirt, as a share of all that is cut and filled.

    Args:
        summary: Of the job.
        path: Its file.
    """
    dirt, plan, told, season = summary.dirt, summary.dig(), figures(summary), row(path)
    assert dirt is not None
    assert plan is not None
    assert summary.target is not None
    page = summary.with_target(replace(summary.target)).dirt
    assert page is not None
    shrink = dirt.soil.shrink
    by_plan = (
        plan.cut_m3,
        plan.needed_m3 * (1 - shrink),
        plan.over_m3 * (1 - shrink) + dirt.on_hand,
    )
    ways = [
        by_plan,
        (page.earth.cut, page.earth.fill, page.spare),
        (told["cut_m3"], told["fill_m3"], told["spare_m3"]),
        (season.cut_m3, season.fill_m3, season.spare_m3),
    ]
    return float(np.ptp(np.array(ways, float), axis=0).max()) / (dirt.earth.cut + dirt.earth.fill)


def words_agree(summary: Summary) -> bool:
    """Whether the sheet's lines and the last line of the order of work say what is over or short in the same words."""
    dirt, plan = summary.dirt, summary.dig()
    assert dirt is not None
    assert plan is not None
    facts = dict(dirt_facts(summary))
    spare = words.spare(summary, dirt)
    sheet = facts["spare"].startswith(spare) and facts["cut"].startswith(words.volume(summary.job, dirt.earth.cut))
    return sheet and re.sub(r" \(compacted.*", "", end_words(summary, plan)) == f"at the end {spare}"


def differences(jobs: int, seed: int, folder: Path) -> Iterator[tuple[int, float, bool]]:
    """Seed, largest difference and whether the words agree, job by job; those with nothing shot have none."""
    for number in range(seed, seed + jobs):
        book = random_book(number)
        summary = summarise(book.page)
        if summary.dirt is None or not summary.dirt.earth.cut + summary.dirt.earth.fill:
            continue
        path = folder / f"{number}.json"
        JobFile(path, book).save()
        yield number, same(summary, path), words_agree(summary)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--jobs", type=int, default=500)
    parser.add_argument("--seed", type=int, default=0)
    asked = parser.parse_args()
    start = perf_counter()
    with TemporaryDirectory() as folder:
        found = list(differences(asked.jobs, asked.seed, Path(folder)))
    worst = max(found, key=lambda each: each[1])
    wordless = [seed for seed, _, agree in found if not agree]
    print(f"{len(found)} jobs from seed {asked.seed} on, in {perf_counter() - start:.0f} s")
    print(f"largest difference {worst[1]:.1e} of the gross (seed {worst[0]}); the bar is {BAR:.0e}")
    print(f"words that differ: {wordless or 'none'}")


if __name__ == "__main__":
    main()
