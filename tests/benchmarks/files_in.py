"""Seconds to read 100,000 points and a surface of as many into a job: python -m tests.benchmarks.files_in

The yardstick is a plain read of the same bytes with `csv.reader` and `float`, in the same run.
"""

from __future__ import annotations

import csv
import io
import tempfile
import time
from pathlib import Path

import numpy as np

from rodcall.files_in.proposal import As, Options, propose
from rodcall.units import FOOT, Unit
from tests.kit import a_book, a_job

MANY = 100_000


def main() -> None:
    rng = np.random.default_rng(7)
    job = a_job(Unit.FT, along=140, across=140, length=1390 * FOOT, width=1390 * FOOT)
    lines, columns = np.meshgrid(np.arange(140) * 10.0, np.arange(140) * 10.0, indexing="ij")
    on_grid = np.column_stack((lines.ravel(), columns.ravel()))
    off_grid = rng.uniform(2, 8, (MANY - len(on_grid), 2)) + 10 * rng.integers(0, 138, (MANY - len(on_grid), 2))
    places = np.concatenate((on_grid, off_grid))
    heights = rng.normal(0, 0.2, MANY).round(2)
    text = "".join(
        f"{n},{y:.3f},{x:.3f},{z:.2f},gnd\n" for n, ((y, x), z) in enumerate(zip(places, heights, strict=True), 1)
    )
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "points.csv"
        path.write_text(text, "utf-8")
        began = time.perf_counter()
        for row in csv.reader(io.StringIO(text)):
            float(row[1]), float(row[2]), float(row[3])
        yardstick = time.perf_counter() - began
        began = time.perf_counter()
        proposal = propose(path, a_book(job=job), Options(order="pneh", unit="ft"))
        taken = time.perf_counter() - began
        print(
            f"{MANY} points, {len(proposal.readings)} at positions: {taken:.2f} s, {taken / yardstick:.1f} x csv.reader"
        )
        side = 316
        nodes = np.linspace(0, 1390 * 0.3048, side)
        corners = "".join(
            f'<P id="{r * side + c + 1}">{y:.3f} {x:.3f} {0.1 * np.sin(y):.3f}</P>'
            for r, y in enumerate(nodes)
            for c, x in enumerate(nodes)
        )
        faces = "".join(
            f"<F>{a} {a + 1} {a + side}</F><F>{a + 1} {a + side + 1} {a + side}</F>"
            for r in range(side - 1)
            for a in range(r * side + 1, r * side + side)
        )
        path = Path(folder) / "ground.xml"
        path.write_text(
            '<LandXML><Units><Metric linearUnit="meter"/></Units><Surfaces><Surface name="g"><Definition '
            f'surfType="TIN"><Pnts>{corners}</Pnts><Faces>{faces}</Faces></Definition></Surface></Surfaces></LandXML>',
            "utf-8",
        )
        began = time.perf_counter()
        proposal = propose(path, a_book(job=job), Options(use=As.EXISTING))
        taken = time.perf_counter() - began
        print(f"surface of {side * side} points, {len(proposal.readings)} positions: {taken:.2f} s")


if __name__ == "__main__":
    main()
