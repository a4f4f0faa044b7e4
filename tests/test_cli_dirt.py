"""`rodcall dig` and `rodcall layout`: what the pages say, from a shell; and the footprint in the figures."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from rodcall.book.book import Book
from rodcall.book.storage.opening import JobFile
from rodcall.cli.main import main
from rodcall.units import FOOT
from rodcall.wording import dig as words_dig
from rodcall.wording import layout as words_layout
from rodcall.wording.zones import blocks
from tests.kit import a_book, a_job, figures

PAD = a_job(along=5, across=3, length=40 * FOOT, width=20 * FOOT)
SHOTS = [f"{name} {said}" for name, said in zip(PAD.grid.names, ["-1"] * 6 + ["0"] * 3 + ["+1"] * 6, strict=True)]


def run(capsys: pytest.CaptureFixture[str], *arguments: object) -> tuple[int, str, str]:
    """Exit status, output and messages of a command."""
    with pytest.raises(SystemExit) as end:
        main([str(argument) for argument in arguments])
    told = capsys.readouterr()
    return int(end.value.code or 0), told.out, told.err


def kept(book: Book, folder: Path) -> Path:
    JobFile(folder / "pad.json", book).save()
    return folder / "pad.json"


def test_dig_prints_the_moves_in_order_of_work(tmp_path, capsys):
    book = a_book(*SHOTS, "target 0", "set lane 20ft", "C5 out stump", job=PAD)
    status, out, err = run(capsys, "dig", kept(book, tmp_path))
    assert (status, err) == (0, "")
    summary = figures(book)
    plan = summary.dig()
    assert out.splitlines() == words_dig.dig_lines(summary, plan)
    assert out.splitlines()[0] == "zones in order of work:"
    assert out.splitlines()[1].startswith(" 1  ")
    assert any(line.startswith("1  ") for line in out.splitlines())
    assert out.splitlines()[-1] == "left as is: C5 (left out)"


def test_a_move_is_hand_worked(tmp_path, capsys):
    # 2 x 2 shots 20 ft apart, B1 6 in high, A1 6 in low: the middle of the square is on target. Of its four triangles
    # of 100 ft2 the right one is 2 in high on average, and half of the near one: 16.7 + 8.3 = 25 ft3 = 0.93 yd3.
    # Loam grows by a quarter (FM 5-434): 1.16 yd3 loose, three buckets of half a yard. 0.926 x 20 = 18.5.
    pad = a_job(along=2, across=2, length=20 * FOOT, width=20 * FOOT, shrink=0.0)
    book = a_book("A1 -6", "B1 +6", "A2 0", "B2 0", "target 0", job=pad)
    _, out, _ = run(capsys, "dig", kept(book, tmp_path))
    assert "1  B1 -> A1  0.9 yd3  3 buckets  20 ft" in out
    assert "1 move, 0.9 yd3, 3 buckets, 20 ft on average, total haul 19 yd3 x ft" in out
    assert out.splitlines()[-1] == "at the end even"


def test_moves_for_spots_out_of_tolerance_are_marked(tmp_path, capsys):
    """The far corner is 2 in high and the near one 2 in low, 1 in is allowed; two spots between are a quarter off."""
    pad = a_job(along=5, across=2, length=80 * FOOT, width=20 * FOOT, shrink=0.0)
    off = ["-2", "0", "-1/4", "0", "0", "0", "+1/4", "0", "+2", "0"]
    book = a_book(*(f"{name} {said}" for name, said in zip(pad.grid.names, off, strict=True)), "target 0", job=pad)
    summary = figures(book)
    assert summary.names(summary.out_mask.nonzero()[0]) == ["A1", "A5"]
    _, out, _ = run(capsys, "dig", kept(book, tmp_path))
    moves = [line for line in out.splitlines() if " -> " in line]
    marked = [line for line in moves if line.endswith("  !")]
    assert marked == [line for line in moves if "A1" in line or "A5" in line]
    assert f"! move {marked[0].split()[0]}" in out or f"! moves {' '.join(line.split()[0] for line in marked)} " in out
    plan = summary.dig()
    assert words_dig.start_words(summary, plan, plan.moves[0]).endswith("; out of tolerance A1 A5")
    # Existing ground has nothing out of tolerance against a target that nobody chose.
    suggested = a_book(*(f"{name} {said}" for name, said in zip(pad.grid.names, off, strict=True)), job=pad)
    assert words_dig.out_words(figures(suggested), figures(suggested).dig()) == ""


def test_where_only_the_footprints_corners_are_left_dirt_is_moved_there(tmp_path, capsys):
    pad = a_job(along=2, across=2, length=20 * FOOT, width=20 * FOOT, shrink=0.0)
    margins = [f"set margin-{side} 2ft" for side in ("near", "far", "left", "right")]
    book = a_book("A1 -6", "B1 +6", "A2 0", "B2 0", "target 0", *margins, job=pad)
    _, out, _ = run(capsys, "dig", kept(book, tmp_path))
    assert "1  B1 -> A1  0.9 yd3" in out
    assert "no part" not in out


@pytest.mark.parametrize(
    ("lines", "end"),
    [
        # One corner of 100 ft2 6 in high: 50 ft3 = 1.85 yd3, of which 0.9 as compacted; loose 2.3 yd3.
        (["A1 0", "B1 +6"], "at the end over 1.7 yd3, under a load (compacted), from B1"),
        (["A1 -6", "B1 0"], "at the end SHORT 1.9 yd3, under a load (compacted), to fill A1"),
        # A pile of 5 yd3 loose loam makes 5 x 0.9 / 1.25 = 3.6 yd3.
        (
            ["A1 -6", "B1 0", "set on-hand 5yd3"],
            "at the end over 1.7 yd3, under a load (compacted, 3.6 yd3 of the pile counted in), to fill A1",
        ),
    ],
)
def test_over_and_short_at_the_end(lines, end, tmp_path, capsys):
    pad = a_job(along=2, across=2, length=20 * FOOT, width=20 * FOOT)
    _, out, _ = run(capsys, "dig", kept(a_book(*lines, "A2 0", "B2 0", "target 0", job=pad), tmp_path))
    assert out.splitlines()[-1] == end


def test_rock_that_swells_is_dug_too(tmp_path, capsys):
    book = a_book(*SHOTS, "target 0", "set soil rock", job=PAD)
    status, out, _ = run(capsys, "dig", kept(book, tmp_path))
    assert status == 0
    assert "at the end over" in out


@pytest.mark.parametrize(
    ("positions", "said"),
    [
        ("A5 B5", "A5-B5"),
        ("A1 A2 A3", "A1-A3"),
        ("A1 B1 A2 B2 A3 B3", "A1-B3"),
        ("C2", "C2"),
        ("A1 B1 C1 A2 B2", "A1-C1 A2-B2"),
        ("C1 A2", "C1 A2"),
        ("A1 A3", "A1 A3"),
        ("A1 C1 A2 C2", "A1-A2 C1-C2"),
    ],
)
def test_blocks_of_positions(positions, said):
    assert blocks(PAD.grid, map(PAD.grid.index, positions.split())) == said


def test_nothing_to_dig_before_the_first_shot(tmp_path, capsys):
    status, out, err = run(capsys, "dig", kept(a_book(job=PAD), tmp_path))
    assert (status, out) == (2, "")
    assert err == "rodcall: no shots yet: nothing to dig\n"


def test_layout_prints_what_the_page_shows(tmp_path, capsys):
    book = a_book(*SHOTS, "target -1/2", "reference BM1 low 2", "set margin-far 3ft", job=PAD)
    path = kept(book, tmp_path)
    for arguments, at in (((), "A1"), (("--at", "b4"), "B4")):
        status, out, err = run(capsys, "layout", path, *arguments)
        assert (status, err) == (0, "")
        assert out.splitlines() == words_layout.layout_lines(figures(book), PAD.grid.index(at))


@pytest.mark.parametrize(
    ("arguments", "part"),
    [(["--at", "Z9"], "off the grid"), (["--at", "9"], "not a position"), (["--round", "2"], "no round 2")],
)
def test_layout_refuses_in_one_line(arguments, part, tmp_path, capsys):
    status, out, err = run(capsys, "layout", kept(a_book(*SHOTS, job=PAD), tmp_path), *arguments)
    assert (status, out) == (2, "")
    assert part in err
    assert len(err.splitlines()) == 1


def test_footprint_and_apron_in_the_figures(tmp_path, capsys):
    # Margins of 5 ft all round: B2 to B4 lie in it. At the target -1, B4 stands 2 in high; an inch is allowed.
    margins = [f"set margin-{side} 5ft" for side in ("near", "far", "left", "right")]
    book = a_book(*SHOTS[:-1], "target -1", *margins, job=PAD)
    path = kept(book, tmp_path)
    told = json.loads(run(capsys, "figures", path, "--json")[1])
    assert told["footprint"] == {"positions": 3, "counted": 3, "outside": ["B4"]}
    assert told["apron"] == {"positions": 12, "counted": 11, "outside": ["A4", "C4", "A5", "B5"]}
    assert sorted(told["footprint"]["outside"] + told["apron"]["outside"]) == sorted(told["outside"])
    text = run(capsys, "figures", path)[1]
    assert "3 positions, 3 shot, 2 in tolerance" in text
    assert "12 positions, 11 shot, 7 in tolerance" in text


def test_no_footprint_no_figures_of_it(tmp_path, capsys):
    path = kept(a_book(*SHOTS, job=PAD), tmp_path)
    told = json.loads(run(capsys, "figures", path, "--json")[1])
    assert (told["footprint"], told["apron"]) == (None, None)
    assert "apron" not in run(capsys, "figures", path)[1]
