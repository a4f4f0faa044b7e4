"""The as-built sheet, read back: nothing that the program knows is missing, and nothing disagrees."""

from __future__ import annotations

import math
import re
from datetime import UTC
from io import BytesIO

import pytest
from pypdf import PdfReader

from rodcall.book.model.entries import Readings
from rodcall.sheets.digest import grouped
from rodcall.sheets.exports.figures_json import figures
from rodcall.sheets.make import KINDS as KINDS_OF
from rodcall.sheets.make import Output, Reader, make
from rodcall.units import MM, Unit, write
from rodcall.wording import words
from rodcall.wording.cautions import CAUTIONS, NO_SURVEY
from tests.cli.kit import program
from tests.kit import say
from tests.sheets.kit import a_file, figures_of, finished, from_a_rod, pdf, shoot, sloped, text_of

JOBS = {"finished": finished, "sloped": sloped, "from a rod": from_a_rod, "nothing shot": a_file}


def flat(text: str) -> str:
    """Text with each run of blanks as one."""
    return re.sub(r"\s+", " ", text)


def written_forms(summary) -> dict[str, list[str]]:
    """What the sheet must say for each key of `figures --json`, in the trade's written form."""
    job, told, dirt = summary.job, figures(summary), summary.dirt
    name, height = summary.grid.name, lambda mm: words.height(job, round(mm * MM))
    worked_out = {
        "average_mm": summary.average,
        "area_average_mm": summary.area_average,
        "balance_mm": dirt.balance * 1e9 if dirt else None,
    }
    forms = {key: [words.rounded(job, value)] for key, value in worked_out.items() if value is not None}
    if dirt is not None:
        forms |= {
            "cut_m3": [f"cut {words.volume(job, dirt.earth.cut)}"],
            "fill_m3": [f"fill {words.volume(job, dirt.earth.fill)}"],
            "spare_m3": [f"spare {words.spare(summary, dirt)}"],
            "stone_m3": [words.stone(summary, dirt)] if dirt.stone else [],
            "tilt": [
                f"along {100 * told['tilt']['along']:+.2f} %, across {100 * told['tilt']['across']:+.2f} %;",
                f"rms about it {words.rounded(job, told['tilt']['rms_mm'] * MM).removeprefix('+')}",
                f"tilt at the zero {words.rounded(job, told['tilt']['at_zero_mm'] * MM)}",
            ],
            "worst": [f"worst {told['worst']['at']} {words.work_words(job, summary.worst.nm)}"],
            "highest": [f"highest {height(told['highest']['mm'])} at {told['highest']['at']}"],
            "lowest": [f"lowest {height(told['lowest']['mm'])} at {told['lowest']['at']}"],
            "spread_mm": [f"std dev {words.rounded(job, summary.spread).removeprefix('+')}"],
            "suggested_target_mm": [f"suggested target {height(told['suggested_target_mm'])}"],
            "target": [f"target {height(told['target']['offset_mm'])}"],
            "guarded": [
                f"{len(told['guarded']['proven_in'])} proven inside, {len(told['guarded']['proven_out'])} proven "
                f"outside, {len(told['guarded']['neither'])} neither"
            ],
        }
    if summary.rod is not None:
        forms["rod_on_grade_mm"] = [f"rod reading to hit {words.rod(job, summary.rod)}"]
    targets = summary.target_heights

    def state(at: int) -> str:
        """Existing ground is neither in nor out of a target that nobody chose (punch_list.md)."""
        if told["kind"] == "existing" and not told["target"]["chosen"]:
            return "shot"
        return "inside" if name(at) not in told["outside"] else "HIGH" if summary.deviation_at(at) > 0 else "LOW"

    sloped_ = targets is not None and len(set(targets.tolist())) > 1
    reading = words.rod if summary.level is not None else words.height
    forms["heights_mm"] = [
        f"{name(at)} {words.height(job, summary.height_at(at))} "
        f"{words.rounded(job, int(targets[at])) + ' ' if sloped_ else ''}"
        f"{words.difference(job, summary.deviation_at(at))} "
        f"{write(round(told['doubt_mm'][name(at)] * MM), job.heights, step=words.FINEST[job.heights], sign=False)} "
        f"{state(at)}"
        for at in summary.counts.nonzero()[0]
    ]
    forms["moved_mm"] = [height(mm) for mm in told["moved_mm"].values()]
    forms["checks"] = [
        f"{check['reference']} {reading(job, entry.reading_nm)} {drift(job, entry.drift_nm)} {check['state']}"
        for check, entry in zip(told["checks"], summary.trust.checks, strict=True)
    ]
    forms["levels"] = [f"change {height(run['change_mm'])}" for run in told["levels"]]
    forms["slopes"] = [f"{each['side']}: {words.percent(each['reached'])}" for each in told["slopes"]]
    forms["machine_checks"] = [words.height(job, round(each["off_mm"] * MM)) for each in told["machine_checks"]]
    forms["rounds"] = [
        f"round {each['round']} {each['inside']} in, {each['outside']} out, {each['unshot']} not shot"
        for each in told["rounds"]
        if len(told["rounds"]) > 1
    ]
    for part in ("footprint", "apron"):
        if told[part]:
            forms[part] = [f"{part} {told[part]['positions']} positions, {told[part]['counted']} shot"]
    forms |= {
        "job": [told["job"]],
        "round": [f"round {told['round']} ({told['kind']})"],
        "positions": [f"{told['shot']} shot of {told['positions']}, {len(told['left_out'])} left out"],
        "left_out": [f"{at} - " for at in told["left_out"]],
        "missing": [f"{at} - " for at in told["missing"]],
        "outside": [f"out of tolerance {len(told['outside'])}: {' '.join(told['outside']) or 'none'}"],
        "within_tolerance": [
            f"inside {told['within_tolerance']} in tolerance, {told['within_goal']} within crew tolerance"
        ],
        "covered": [f"shot coverage {told['covered']:.0%}"] if dirt else [],
        "area_m2": [words.area(job, told["area_m2"])],
        "marginal": told["marginal"],
        "suspect": told["suspect"],
        "overdug": told["overdug"],
        "verdict": [told["verdict"], *told["reasons"]],
    }
    return forms


def drift(job, nm: int) -> str:
    return (
        "ON GRADE" if nm == 0 else f"{'HIGH' if nm > 0 else 'LOW'} {write(abs(nm), job.heights, sign=False, mark=True)}"
    )


@pytest.mark.parametrize("job", JOBS.values(), ids=JOBS)
@pytest.mark.parametrize("kind", ["pdf", "txt"])
def test_the_crews_sheet_holds_every_number_of_the_figures(job, kind):
    opened = job()
    made = make(opened, f".{kind}", Output.AS_BUILT, reader=Reader.CREW).content
    text = flat(made.decode()) if kind == "txt" else text_of(PdfReader(BytesIO(made)))
    for key, forms in written_forms(figures_of(opened)).items():
        assert [form for form in forms if flat(form) not in text] == [], key


@pytest.mark.parametrize("job", [finished, from_a_rod])
def test_both_sheets_tell_what_the_book_says(job):
    opened = job()
    page = opened.book.page
    for reader in Reader:
        text = flat(make(opened, ".txt", Output.AS_BUILT, reader=reader).content.decode())
        assert all(name in text for name in page.references)
        assert flat(NO_SURVEY) in text
        assert grouped(opened.seal) in text
        assert all(note.text in text for note in page.notes)
    assert all(flat(caution) in text for caution in CAUTIONS), "for the crew"


def test_what_was_struck_and_left_out_stands_there_with_its_reason():
    text = text_of(pdf(finished()))
    assert re.search(r"\d+ 2026-04-18 13:\d\d 1 reading, struck B2 \S+ struck out 13:\d\d", text)
    assert re.search(r"\d+ 2026-04-18 13:\d\d 1 left out B2 rut", text)


def test_terms_that_name_people_and_place_stand_there():
    text = text_of(pdf(finished(customer="Juniper Hollow Orchard", place="Lot 4")))
    for said in ("Juniper Hollow Orchard", "Lot 4", "two of us", "dry, light wind", "level no. 7", "the customer"):
        assert said in text
    assert "seals broken" not in text


# -- paper ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("paper", "inches"), [("letter", (8.5, 11)), ("a4", (210 / 25.4, 297 / 25.4))])
def test_each_page_has_the_size_asked_for_and_its_number(paper, inches):
    read = pdf(sloped(), paper=paper)
    for number, page in enumerate(read.pages, 1):
        assert (page.mediabox.width / 72, page.mediabox.height / 72) == pytest.approx(inches, abs=0.01)
        assert f"page {number} of {len(read.pages)}" in page.extract_text()


def test_paper_goes_by_the_units_where_it_was_not_said():
    assert pdf(finished(), paper="").pages[0].mediabox.width == 612
    assert pdf(sloped(), paper="").pages[0].mediabox.width < 600


def test_the_same_book_makes_the_same_bytes():
    for kind in KINDS_OF[Output.AS_BUILT]:
        assert make(finished(), kind, Output.AS_BUILT).content == make(finished(), kind, Output.AS_BUILT).content


def test_the_date_is_that_of_the_last_entry():
    opened = finished()
    said = pdf(opened).metadata["/CreationDate"]
    assert said.startswith(f"D:{opened.book.entries[-1].time.astimezone(UTC):%Y%m%d%H%M%S}")


def test_long_lists_of_names_run_over_pages():
    opened = shoot(a_file(along=60, across=40), 7, 200 * MM)
    say(opened.book, "target suggested")
    names = figures_of(opened)
    text = text_of(pdf(opened))
    assert len(names.outside) > 1500
    assert "page 1 of" in text
    assert names.names(names.outside)[-1] in text


# -- from a shell --------------------------------------------------------------------------------------------


def test_paper_is_not_thought_of_before_somebody_asks_for_it(tmp_path):
    path = tmp_path / "pad.json"
    path.write_bytes(finished().content())
    code = "import sys; from rodcall.cli.main import cli; cli(sys.argv[1:], standalone_mode=False); print(*sys.modules)"
    for words_said in (("figures", path), *(("sheet", path, "--to", tmp_path / f"pad.{kind}") for kind in KINDS)):
        loaded = program(*words_said, code=code).out.split()
        assert "rodcall.figures.summary" in loaded
        assert {"typst", "segno", "textual"}.isdisjoint(loaded), words_said


KINDS = ("txt", "csv", "xml")


def test_plus_minus_is_broken_down_so_that_a_reader_can_add_it_up():
    """Each part with its size and source; twice the root of the sum of their squares is the plus/minus that is said."""
    opened = a_file(
        *("reference BM high 0", "setup BM 1300", "A1 1310", "turn TP 1250", "setup TP 1400", "B1 1310", "C1 1310"),
        heights=Unit.MM,
        readings=Readings.ROD,
    )
    text = flat(make(opened, ".txt", Output.AS_BUILT).content.decode())
    budget = text[text.index("Plus/minus: what it is made of") :]
    parts = ("reading the rod", "placing the rod", "reading the backsight or zero", "placing the rod there")
    sizes = [float(re.search(rf"{part} ([0-9.]+) mm", budget)[1]) for part in (*parts, "laser", "drift")]
    largest = re.search(r"plus/minus [0-9.]+ mm to ([0-9.]+) mm k = 2 twice the root of the sum of squares", budget)
    assert 2 * math.hypot(*sizes) == pytest.approx(float(largest[1]), abs=0.02)
    assert "common practice, until 10 spots are read again; times the root of 3, the readings it depends on" in budget
    assert "JCGM 100" in budget
