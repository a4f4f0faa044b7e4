"""The certificate, read back by another library: its numbers are those of the figures, and its pages are in order."""

from __future__ import annotations

import re
from functools import lru_cache
from io import BytesIO
from itertools import combinations

import numpy as np
import pdfplumber
import pypdfium2
import pytest
from pypdf import PdfReader

from rodcall.book.model.entries import Readings
from rodcall.book.storage.opening import JobFile, open_job
from rodcall.i18n import LANGUAGES, speaking
from rodcall.i18n import say as said_as
from rodcall.sheets.content.blocks import Contractor
from rodcall.sheets.content.certificate import certificate as certificate_of
from rodcall.sheets.content.record import record_of
from rodcall.sheets.digest import code_of, grouped, verify
from rodcall.sheets.exports.figures_json import figures
from rodcall.sheets.make import Output, Reader, make
from rodcall.units import FOOT, MM, M, Unit, parse_height, parse_length, write
from tests.kit import say
from tests.make_samples import FOLDER
from tests.sheets.kit import a_file, figures_of, finished, from_a_rod, shoot, sloped

SAMPLES = ("nursery-slab", "seedling-house", "barn-apron", "cider-shed", "packing-yard")


def sample(name: str) -> JobFile:
    return open_job(FOLDER / f"{name}.json", "reader")


def certificate(opened: JobFile, language: str = "en", **more) -> bytes:
    return make(opened, ".pdf", Output.AS_BUILT, language=language, **more).content


def pages(content: bytes) -> list[str]:
    """The text of each page, one line a line."""
    read = pypdfium2.PdfDocument(content)
    return [page.get_textpage().get_text_bounded().replace("\r\n", "\n") for page in read]


# -- numbers -----------------------------------------------------------------------------------------------


def random_job(seed: int) -> JobFile:
    """A pad of any unit and size, with a final round that may pass, fail, or have gaps."""
    rng = np.random.default_rng(seed)
    unit = list(Unit)[seed % 5]
    along, across = (int(n) for n in rng.integers(2, 6, 2))
    step = unit.default_step
    size = {"length": 30 * M, "width": 20 * M} if unit in (Unit.MM, Unit.CM, Unit.M) else {}
    opened = a_file("reference BM1 0", "check BM1 0", heights=unit, along=along, across=across, **size)
    target = int(rng.integers(-9, 9)) * step
    tolerance = opened.book.job.tolerance_high
    say(opened.book, f"target {write(target, unit)}", "round final")
    for index in range(opened.book.job.grid.size):
        if rng.random() < 0.03:
            continue
        nm = target + round(rng.normal(0, tolerance / rng.choice([2, 3, 5])) / step) * step
        opened.book.shoot(opened.book.job.grid.name(index), write(nm, unit))
    say(opened.book, "check BM1 0")
    return opened


def mm(said: str, unit: Unit) -> float:
    """Millimetres of a height as it is printed; a bare magnitude is above 0."""
    return parse_height(said if said[0] in "+-" or said == "0" else f"+{said}", unit) / MM


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("seed", range(50))
def test_every_number_on_the_certificate_is_that_of_the_figures(seed, language):
    opened = random_job(seed)
    told, unit, summary = figures(figures_of(opened)), opened.book.job.heights, figures_of(opened)
    first, *rest = pages(certificate(opened, language))
    flat = " ".join(first.split())
    with speaking(language):
        word, close, high, low = (
            said_as(each) for each in (told["verdict"], "too close to call", "{by} high", "{by} low")
        )
        head = f"{said_as('position')} {said_as('height')} "
        worst = said_as("The worst is {spot}, {by}.", spot=told["worst"]["at"], by="@").split("@")
    assert re.search(rf"(^| ){word} ", flat)
    # The worst spot, with its side in words.
    off = flat.split(worst[0])[1].split(worst[1])[0]
    for form, sign in ((high, 1), (low, -1)):
        if off.endswith(form.removeprefix("{by}")):
            assert sign * parse_length(form_value(off, form)) / MM == pytest.approx(told["worst"]["mm"])
    # How many are out, shot, not shot.
    counts = [int(number) for number in re.findall(r"(?<![\d/.\-+])(\d+)(?= )", flat.split(word + " ")[1][:160])]
    assert told["shot"] in counts
    if told["outside"]:
        assert counts[0] == len(told["outside"])
    if told["missing"]:
        assert len(told["missing"]) in counts
    assert close in flat
    assert re.search(rf"\b{len(told['marginal'])} (of|de) {told['shot']}\b", flat)
    # The pad in numbers.
    deviations = told["deviations_mm"]
    for label, extreme in (("highest difference", max), ("lowest difference", min)):
        with speaking(language):
            row = re.search(rf"{re.escape(said_as(label))} (\S+) (?:at|en) (\w+)", flat)
        assert row, label
        assert mm(row[1], unit) == pytest.approx(extreme(deviations.values()))
        assert mm(row[1], unit) == pytest.approx(deviations[row[2]])
    # The plan: every number in its place, each minus the target.
    labels = plan_numbers(first, opened.book.job.grid.size)
    shown = [re.sub(r"[!?sk*z]+$", "", label) for label in labels]
    grid = opened.book.job.grid
    for index, label in enumerate(shown):
        expected = told["deviations_mm"].get(grid.name(index))
        assert (label == "." and expected is None) or mm(label, unit) == pytest.approx(expected), grid.name(index)
    assert [grid.name(at) for at, label in enumerate(labels) if "!" in label] == told["outside"]
    assert [grid.name(at) for at, label in enumerate(labels) if "?" in label] == told["marginal"]
    # Limits, agreed height, plus/minus.
    high_nm, low_nm = summary.tolerance.high_nm, summary.tolerance.low_nm
    for nm in (high_nm, low_nm):
        assert write(nm, unit, sign=False, mark=True) in flat
    assert write(round(told["target"]["offset_mm"] * MM), unit, mark=True) in flat
    assert grouped(opened.seal) in flat
    # The annex: height, difference, plus/minus and state of each position; the level target stands under it once.
    annex = " ".join(" ".join(rest).split()).split(head, 1)[1]
    for name, height in told["heights_mm"].items():
        row = re.search(rf"(?:^| ){name} (\S+) (\S+) (\S+) \w", annex)
        assert row, name
        assert mm(row[1], unit) == pytest.approx(height)
        assert mm(row[2], unit) == pytest.approx(told["deviations_mm"][name])
        assert mm(row[3], unit) == pytest.approx(told["doubt_mm"][name], abs=25.4 / 128 + 1e-9)
    assert write(round(told["target"]["offset_mm"] * MM), unit, mark=True) in annex


def form_value(said: str, form: str) -> str:
    return said.removesuffix(form.removeprefix("{by}")).strip()


def plan_numbers(page: str, count: int) -> list[str]:
    """The labels of the plan in the order of the grid: the last so many words before the colours' key."""
    drawn = re.split(r"\n(?:HIGH|ALTO), ", page)[0].split("\n")
    words = [word for line in drawn for word in line.split()]
    found = [word for word in words if re.fullmatch(r"[-+]?[\d/.\-']*[\d.][!?sk*z]*", word)]
    return found[-count:]


def test_text_web_page_and_pdf_say_the_same_first_page():
    opened = sample("nursery-slab")
    plain = " ".join(make(opened, ".txt", Output.AS_BUILT).content.decode().split())
    web = " ".join(re.sub(r"<[^>]+>", " ", make(opened, ".html", Output.AS_BUILT).content.decode()).split())
    web = web.replace("&quot;", '"').replace("&#x27;", "'")
    for sentence in (
        "SAMPLE-0001",
        'All 24 spots are within 3/4" of the agreed height. The worst is D1, 3/16" high.',
        "Level checked before and after: true.",
        grouped(opened.seal),
    ):
        assert sentence in plain
        assert sentence in web
        assert sentence in " ".join(pages(certificate(opened))[0].split())


ZONED = ("A1 0", "reference BM1 0", "check BM1 0", "target 0", "round final")


@pytest.mark.parametrize("low", ["5in", "1/4in"])
def test_a_zone_is_told_with_its_own_tolerance_and_no_spot_by_the_others(low):
    """B2 lies 2 in low, where the pad has 1 in and the zone 5 in or 1/4 in."""
    opened = a_file("set zone B2:C2", f"set zone-low {low}", "set zone-high 5in", *ZONED, along=3, across=3)
    grid = opened.book.job.grid
    for index in range(grid.size):
        opened.book.shoot(grid.name(index), "-2" if grid.name(index) == "B2" else "0")
    say(opened.book, "check BM1 0")
    summary = figures_of(opened)
    plain = " ".join(make(opened, ".txt", Output.AS_BUILT).content.decode().split())
    assert (summary.outside == ()) == (low == "5in")
    where = '1" (5" in the zone B2:C2)' if low == "5in" else '1" (5" above and 1/4" below in the zone B2:C2)'
    count = "All 9 spots are" if low == "5in" else "1 of 9 spots is not"
    assert f"{count} within {where} of the agreed height." in plain
    assert "The worst is" not in plain
    told = certificate_of(summary, record_of(opened), Contractor()).strip
    assert told is not None
    assert sorted(told.values) == [0.0] * 7, "B2 and C2 have limits of their own"


def test_nothing_of_the_crew_is_on_the_customers_sheet():
    for name in SAMPLES:
        for kind in (".txt", ".html"):
            text = make(sample(name), kind, Output.AS_BUILT).content.decode()
            assert not re.search(r"rod reading to hit|receiver|suggested target|crew tolerance|key in", text)
    crew = make(sample("seedling-house"), ".txt", Output.AS_BUILT, reader=Reader.CREW).content.decode()
    assert all(word in crew for word in ("rod reading to hit", "receiver", "suggested target", "crew tolerance"))


def test_what_nobody_stated_is_not_printed_as_a_fact():
    opened = shoot(a_file("target 0", "round final"), 1, MM)
    text = make(opened, ".txt", Output.AS_BUILT).content.decode()
    assert "stripped" not in text
    assert "weather" not in text
    assert "not given: default" in text
    say(opened.book, "set weather dry", "set laser-spec 10s")
    text = make(opened, ".txt", Output.AS_BUILT).content.decode()
    assert re.search(r"weather +dry", text)
    assert "given by the crew" in text


def test_existing_ground_is_not_judged():
    text = pages(certificate(sample("packing-yard")))[0]
    assert "No target chosen yet: no spot is judged." in " ".join(text.split())
    assert "spots are within" not in text


# -- pages -------------------------------------------------------------------------------------------------


@lru_cache(maxsize=32)
def words_on(name: str, language: str = "en", paper: str = "letter") -> list[tuple[float, list[dict]]]:
    """Height of each page and its words with their boxes."""
    job = {"finished": finished, "sloped": sloped, "from a rod": from_a_rod}.get(name)
    opened = job() if job else sample(name)
    with pdfplumber.open(BytesIO(certificate(opened, language, paper=paper))) as read:
        return [(float(page.height), page.extract_words(extra_attrs=["size", "fontname"])) for page in read.pages]


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("language", LANGUAGES)
def test_as_few_pages_as_it_takes(language, paper):
    """24 spots with two checks in the round and one read again; 210 spots, sloped and not yet judged."""
    assert len(words_on("nursery-slab", language, paper)) <= 3
    assert len(words_on("packing-yard", language, paper)) <= 5
    assert len(words_on("sloped", language, paper)) <= 5


@pytest.mark.parametrize("name", [*SAMPLES, "finished", "sloped", "from a rod"])
def test_no_page_but_the_last_is_less_than_a_third_full(name):
    for height, words in words_on(name)[:-1]:
        told = [word["bottom"] for word in words if word["bottom"] < height - 40]
        assert max(told) > height / 3


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("name", [*SAMPLES, "finished", "sloped", "from a rod"])
def test_no_words_lie_on_others_and_none_off_the_page(name, language):
    """Boxes of the letters themselves: a font's box is taller than what is drawn in it."""
    for height, words in words_on(name, language):
        boxes = np.array(
            [[w["x0"], w["top"] + 0.25 * w["size"], w["x1"], w["bottom"] - 0.2 * w["size"]] for w in words]
        )
        x0, top, x1, bottom = boxes.T
        over = (
            (x0[:, None] < x1[None] - 0.3)
            & (x0[None] < x1[:, None] - 0.3)
            & (top[:, None] < bottom[None])
            & (top[None] < bottom[:, None])
        )
        np.fill_diagonal(over, False)
        assert [(words[a]["text"], words[b]["text"]) for a, b in np.argwhere(over)] == []
        assert x0.min() >= 36
        assert top.min() >= 30
        assert bottom.max() <= height - 18


@pytest.mark.parametrize("name", [*SAMPLES, "sloped"])
def test_no_head_stands_without_its_row(name):
    """The last line above the foot of a page is neither a title nor the head of a table: both are bold and small."""
    for height, words in words_on(name)[1:]:
        told = [word for word in words if word["bottom"] < height - 40]
        last = max(word["bottom"] for word in told)
        line = [word for word in told if word["bottom"] > last - 3]
        assert not all("Bold" in word["fontname"] for word in line), [word["text"] for word in line]


def test_a_table_that_runs_on_repeats_its_head():
    told = pages(certificate(sloped()))
    with_rows = [page for page in told if len(re.findall(r"^[A-J]\d+ [-+]?\d+ ", page, re.MULTILINE)) > 5]
    assert len(with_rows) >= 2
    assert all("position height target difference" in page for page in with_rows)


def test_a_pad_of_1200_positions_has_its_gravest_spots_named_clear_of_each_other():
    opened = shoot(a_file(along=40, across=30), 6, 9 * MM)
    say(opened.book, "target 0")
    with pdfplumber.open(BytesIO(certificate(opened))) as read:
        page = read.pages[0]
        words = [word for word in page.extract_words(extra_attrs=["size"]) if word["text"].endswith("!")]
    assert words
    for one, other in combinations(words, 2):
        apart = abs(one["top"] - other["top"]) > 4 or one["x1"] <= other["x0"] or other["x1"] <= one["x0"]
        assert apart


# -- a file for everybody ----------------------------------------------------------------------------------


def test_it_is_tagged_as_pdf_ua_1_asks(settings):
    """ISO 14289-1, 5 and 7.1: its identifier, marked, a structure tree, a title that is shown, a language."""
    settings('contractor_name = "Fenwick Hollow Earthworks"')
    read = PdfReader(BytesIO(certificate(sample("nursery-slab"), "es")))
    root = read.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] == True  # noqa: E712 (an object of the reader)
    assert root["/Lang"] == "es"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712
    assert "/StructTreeRoot" in root
    assert "<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_data().decode()
    assert read.metadata.title == "Certificado de obra terminada - Nursery slab"
    assert read.metadata.author == "Fenwick Hollow Earthworks"


def luminance(colour: float | tuple[float, ...]) -> float:
    """WCAG 2.2, relative luminance."""
    colour = (colour,) if isinstance(colour, int | float) else colour
    colour = colour * 3 if len(colour) == 1 else colour
    linear = [each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in colour]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("name", ["nursery-slab", "barn-apron", "packing-yard"])
def test_every_letter_has_a_contrast_of_4_5_to_1(name):
    """WCAG 2.2, 1.4.3, against the ground that is painted last under it; a plan's number has a ground of its own."""
    with pdfplumber.open(BytesIO(certificate(sample(name)))) as read:
        for page in read.pages:
            grounds = [each for each in (*page.rects, *page.curves) if each["fill"] and each["non_stroking_color"]]
            for char in page.chars:
                x, y = (char["x0"] + char["x1"]) / 2, (char["top"] + char["bottom"]) / 2
                under = [g for g in grounds if g["x0"] <= x <= g["x1"] and g["top"] <= y <= g["bottom"]]
                under = [g for g in under if (g["x1"] - g["x0"]) > 6]
                ground = luminance(under[-1]["non_stroking_color"]) if under else 1.0
                ink = luminance(char["non_stroking_color"])
                lighter, darker = max(ground, ink), min(ground, ink)
                assert (lighter + 0.05) / (darker + 0.05) >= 4.5, char["text"]


def test_the_web_page_fetches_and_runs_nothing():
    for name in SAMPLES:
        page = make(sample(name), ".html", Output.AS_BUILT).content.decode()
        assert "<script" not in page
        assert not re.search(r"\son\w+=", page)
        addresses = re.findall(r'(?:href|src)="([^"]+)"', page)
        assert all(address.startswith("data:image/") for address in addresses)
        assert "url(" not in page
        assert "default-src 'none'" in page


def test_each_spot_of_the_web_page_tells_its_story():
    opened = sample("nursery-slab")
    page = make(opened, ".html", Output.AS_BUILT).content.decode()
    stories = dict(re.findall(r"<title>([A-Z]\d+): ([^<]+)</title>", page))
    told = figures(figures_of(opened))
    assert stories.keys() == told["heights_mm"].keys()
    for name, height in told["heights_mm"].items():
        said = re.match(r"height (\S+?)&quot;", stories[name])[1]
        assert mm(said, Unit.IN) == pytest.approx(height)
    assert "read 2 times" in stories["C3"]


def test_a_hostile_name_runs_nothing_on_the_web_page():
    opened = a_file("A1 +1", "B1 out <script>alert(1)</script>", name="<img src=x onerror=alert(1)>", customer='"><b>')
    page = make(opened, ".html", Output.AS_BUILT).content.decode()
    assert "<script" not in page
    assert "<img" not in page
    assert "<b>" not in page
    assert make(opened, ".pdf", Output.AS_BUILT).content.startswith(b"%PDF")


def test_the_qr_code_says_what_verify_takes():
    opened = sample("nursery-slab")
    said = code_of(opened.seal)
    assert re.fullmatch(r"RODCALL:[0-9A-F]{64}", said)
    assert verify(said, opened).same
    assert verify(said.lower(), opened).same
    assert not verify(code_of("0" * 64), opened).same


# -- what became of the pad --------------------------------------------------------------------------------


def test_shots_are_listed_under_the_set_up_that_they_hang_on():
    text = " ".join(make(sample("nursery-slab"), ".txt", Output.AS_BUILT).content.decode().split())
    assert re.search(r"1 2026-07-14 07:12 BM1 3' 6\" plain rod 0 ", text)
    assert re.search(r"2 2026-07-14 07:35 BM1 3' 8-1/4\" plain rod 24: A1-D6", text)
    assert re.search(r"set-up 2 \(BM1\).*24 shots, A1 to C3.*BM2 reads true", text)


def test_diagonals_stand_as_they_were_taped():
    text = " ".join(make(sample("nursery-slab"), ".txt", Output.AS_BUILT).content.decode().split())
    assert "diagonals, as taped 58' 3-3/4\" and 58' 3-5/8\"" in text
    # 50 x 30 ft: the root of 3,400 ft2 is 58.3095 ft, 58' 3.714", at a step of 1/16 in 58' 3-11/16".
    assert "diagonals, square 58' 3-11/16\"" in text


def test_earth_moved_is_the_volume_between_the_two_surfaces():
    """A level pad 10 x 10 m dug down by 50 mm and filled by 30 mm on its far half: by hand."""
    opened = a_file(heights=Unit.MM, along=3, across=2, length=10 * M, width=10 * M)
    say(opened.book, *(f"{name} 0" for name in ("A1", "B1", "B2", "A2", "A3", "B3")), "target -50 mm", "round final")
    say(opened.book, *(f"{name} -50" for name in ("A1", "B1", "B2", "A2", "A3", "B3")))
    moved = figures_of(opened).moved_since_first
    assert (moved.cut, moved.fill) == pytest.approx((5.0, 0.0))
    text = make(opened, ".txt", Output.AS_BUILT).content.decode()
    assert re.search(r"moved since the existing ground +5\.0 m3 dug, 0\.0 m3 filled", text)


def test_many_true_checks_are_one_row():
    opened = a_file("reference BM1 0", *("check BM1 0" for _ in range(34)), "A1 +1")
    text = " ".join(make(opened, ".txt", Output.AS_BUILT).content.decode().split())
    assert "34 checks" in text
    assert "all true" in text
    say(opened.book, "check BM1 +3/16")
    assert "35 checks" not in make(opened, ".txt", Output.AS_BUILT).content.decode()


def test_an_earlier_round_has_a_sheet_of_its_own():
    opened = finished()
    text = make(opened, ".txt", Output.AS_BUILT, round_number=1).content.decode()
    assert re.search(r"existing round +2026-04-18, 13:3\d - 13:3\d", text)
    assert not re.search(r"final round +2026", text)
    with pytest.raises(ValueError, match="there is no round 9"):
        make(opened, ".txt", Output.AS_BUILT, round_number=9)


def test_the_blank_sheet_measures_from_the_corner_that_the_lay_out_has():
    """Inset of two feet: A1 lies two feet in from both edges, on the blank sheet as on the lay-out."""
    opened = a_file(inset=2 * FOOT)
    blank = make(opened, ".txt", Output.BLANK).content.decode()
    assert "from the pad's near left corner" in blank
    assert re.search(r"^A1 ____ .*2' 0\".* 2' 0\"", blank, re.MULTILINE)


def test_a_rod_reading_job_has_its_blank_sheet_in_several_columns():
    opened = a_file(along=20, across=10, heights=Unit.FT, readings=Readings.ROD)
    text = pages(make(opened, ".pdf", Output.BLANK, "letter").content)
    assert len(text) <= 4
    assert " ".join(text).count("turn") >= 3
