"""Prints how often a bump is found and where, and how often anything is said of a tripod that stood still.

    python -m tests.benchmarks.drift [--pads 1000] [--seed 8888]
    python -m tests.benchmarks.drift --sure 9000 [--shots 80] [--checks 1]

`still`: pads of every kind of ground (tests/tripods.py), one to four checks that read true or a mark (1/8 in) off;
any remark counts. `unseen`: a check two to four marks off, of which the shots saw nothing. `bumped`: two to four
marks, anywhere with four shots on either side. `settling`: the same, little by little. `on an edge`: likewise, on
ground with an edge across the lines that is as high as the movement. `sure, all`: whatever is sure of these, and the
share of it that is right: of a bump its place too. The last table is the bump of 3/8 in after shot 40 of 80, on 100
pads of ground that swings so many inches.

`--sure`: so many movements of two to four marks with so many checks, the last after all shots: a third settled, a third
were bumped anywhere, a third moved unseen by the shots; told is whatever is sure, and how much of it is right.
"""

from __future__ import annotations

import argparse

import numpy as np

from rodcall.figures.checks.drift import Motion, Movement
from rodcall.units import INCH
from tests import tripods
from tests.benchmarks.busts import table
from tests.tripods import KINDS, SIZES, STEP


def share(of: list[bool]) -> str:
    return f"{np.mean(of):.2%} of {len(of)}" if of else ""


def report(shots: int, pads: int, seed: int) -> None:
    rng, rows = np.random.default_rng(seed), []
    everything: list[list[list[bool]]] = []
    for kind in KINDS:
        still, unseen, bumped, settling, on_edge = [], [], [], [], []
        for _ in range(pads // len(KINDS)):
            still.append(tripods.told(*tripods.still(rng, kind, shots)))
            unseen.append(tripods.told(*tripods.unseen(rng, kind, shots)))
            by, after = int(rng.choice((-4, -3, -2, 2, 3, 4))) * STEP, int(rng.integers(4, shots - 3))
            pad, steps = tripods.pad(rng, kind, shots), np.arange(shots)
            at = tripods.told(*tripods.shot(pad, np.where(steps >= after, by, 0), {shots: by}))
            bumped.append((at, abs(at.shots_before - after) <= 2))
            settling.append(tripods.told(*tripods.shot(pad, by * (steps + 1) / shots, {shots: by})))
            on_edge.append(tripods.told(*tripods.settling_on_an_edge(rng, kind, shots)))
        named = [(each, right) for each, right in bumped if each.motion is Motion.STEP]
        cells = [
            [each.moved for each in still],
            [not each.untold for each in unseen],
            [each.sure for each in unseen],
            [each.motion is Motion.STEP for each, _ in bumped],
            [right for _, right in named],
            [right for each, right in named if each.sure],
            [each.motion is Motion.STEP for each in settling],
            [each.motion is Motion.STEP and each.sure for each in settling],
            [each.motion is Motion.STEP for each in on_edge],
            [each.motion is Motion.STEP and each.sure for each in on_edge],
            [
                *(right and each.motion is Motion.STEP for each, right in bumped if each.sure),
                *(each.motion is Motion.DRIFT for each in (*settling, *on_edge) if each.sure),
                *(False for each in unseen if each.sure),
            ],
        ]
        everything.append(cells)
        rows.append((kind, *map(share, cells)))
    rows.append(("all", *(share([each for cells in some for each in cells]) for some in zip(*everything, strict=True))))
    print(f"{shots} shots, {pads} pads\n")
    head = ("still: any remark", "unseen: named", "sure", "bumped: named", "right", "right where sure")
    settled = ("settling: called a bump", "sure", "on an edge: called a bump", "sure")
    table(("ground", *head, *settled, "sure, all: right"), *rows)


def power() -> None:
    rows = []
    for swing in (0.3, 0.6, 1.0, 1.5):
        told: list[Movement] = [tripods.bumped(seed, swing * INCH) for seed in range(100)]
        found = [each.motion is Motion.STEP and abs(each.shots_before - 40) <= 2 for each in told]
        sure = [right for each, right in zip(told, found, strict=True) if each.sure]
        wrong = sum(each.motion is Motion.STEP for each in told) - sum(found)
        rows.append((f"{swing}", f"{sum(found)}", f"{wrong}", f"{sum(sure)} of {len(sure)}"))
    table(("swings by, in", "found within two shots", "named elsewhere", "right where sure"), *rows)


def sure(movements: int, shots: int, checks: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    said: dict[Motion, list[bool]] = {Motion.DRIFT: [], Motion.STEP: []}
    for number in range(movements):
        by, after = int(rng.choice((-4, -3, -2, 2, 3, 4))) * STEP, int(rng.integers(0, shots + 1))
        true = (Motion.DRIFT, Motion.STEP, None)[number % 3]
        steps = np.arange(1, shots + 1)
        moved = {Motion.DRIFT: by * steps / shots, Motion.STEP: np.where(steps > after, by, 0)}.get(
            true, np.zeros(shots)
        )
        at = sorted({shots, *rng.choice(np.arange(1, shots), checks - 1, replace=False).tolist()})
        read = {n: round(float(moved[n - 1]) / STEP) * STEP if true is not None or n < shots else by for n in at}
        if true is Motion.STEP:
            read[shots] = by
        pad = tripods.pad(rng, KINDS[number // 3 % len(KINDS)], shots)
        told = tripods.told(*tripods.shot(pad, moved, read))
        if told.sure and told.motion in said:
            near = true is Motion.STEP and abs(told.shots_before - after) <= 2
            said[told.motion].append(true is told.motion and (near or true is Motion.DRIFT))
    print(f"{movements} movements, {shots} shots, checks {checks}, seed {seed}")
    for motion, right in said.items():
        print(f"  sure of {motion.name.lower()}: {len(right)}, right {sum(right)}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pads", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=8888, help="those below 1000 served to tune")
    parser.add_argument("--sure", type=int, default=0, help="so many movements instead")
    parser.add_argument("--shots", type=int, default=80, choices=SIZES)
    parser.add_argument("--checks", type=int, default=1)
    asked = parser.parse_args()
    if asked.sure:
        sure(asked.sure, asked.shots, asked.checks, asked.seed)
        return
    for shots in SIZES:
        report(shots, asked.pads, asked.seed)
    power()


if __name__ == "__main__":
    main()
