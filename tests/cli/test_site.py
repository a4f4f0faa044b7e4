"""Several pads on one site: shared references and set-ups, one check shot for all, dirt from pad to pad."""

from __future__ import annotations

from datetime import timedelta
from itertools import permutations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.model.entries import Check, Setup
from rodcall.book.sharing import carry, checks_to_carry, share_references
from rodcall.book.storage.opening import JobFile, open_job
from rodcall.figures.punch_list import Kind
from rodcall.figures.site import GRAIN_M3, PadDirt, balance
from rodcall.units import FOOT, Unit
from tests.cli.kit import NEEDED, rodcall
from tests.kit import START, a_job, figures, say


class Site:
    """Two pads whose books tick by one clock."""

    def __init__(self) -> None:
        self.seconds = 0
        jobs = [
            a_job(Unit.FT, 2, 2, name=name, readings="rod", site="Juniper farm").model_copy(update={"id": digit * 32})
            for name, digit in (("Shed", "a"), ("Tank", "b"))
        ]
        self.shed, self.tank = (Book(job, "tablet-a", self.tick) for job in jobs)
        say(self.shed, "reference BM1 +1.00", "datum BM1 812.40ft", "setup BM1 4.00")

    def tick(self):  # type: ignore[no-untyped-def]
        self.seconds += 10
        return START + timedelta(seconds=self.seconds)

    def share(self) -> list[str]:
        return share_references(self.shed, self.tank)


def test_references_datum_and_set_up_are_taken_over() -> None:
    site = Site()
    assert site.share() == ["BM1 +1.00 ft", "datum BM1 812.40ft", "set-up on BM1, backsight 4.00 ft"]
    assert site.tank.page.references == site.shed.page.references
    setup = site.tank.page.setup
    assert setup is not None
    assert isinstance(setup.entry, Setup)
    assert setup.entry.shared == f"{'a' * 32}:tablet-a:3"
    assert setup.datum_nm == 5 * FOOT
    # What is there already is not written twice.
    before = len(site.tank.entries)
    share_references(site.shed, site.tank)
    assert len(site.tank.entries) == before + 1


def test_a_job_of_heights_takes_references_and_no_set_up() -> None:
    site = Site()
    heights = Book(a_job(Unit.IN), "tablet-a", site.tick)
    assert share_references(site.shed, heights) == ["BM1 +1' 0\"", "datum BM1 812.40ft"]
    assert heights.page.setup is None


def test_one_check_shot_proves_the_pads_that_were_shot_before_it() -> None:
    site = Site()
    site.share()
    shots = ("A1 5.0", "B1 5.0", "A2 5.0", "B2 5.0")
    say(site.tank, *shots)
    say(site.shed, *shots, "check BM1 4.00")
    assert figures(site.tank).punch_list.of(Kind.NO_CHECK)
    ((check, why),) = checks_to_carry(site.shed, site.tank)
    assert why == ""
    carry(site.shed, check, site.tank)
    assert not figures(site.tank).trust.unchecked_mask.any()
    carried = site.tank.entries[-1]
    assert isinstance(carried, Check)
    assert (carried.time, carried.shared) == (check.entry.time, f"{'a' * 32}:tablet-a:8")
    assert site.tank.page.notes[-1].text == "check on BM1 shot in Shed, entry 8"
    # Once is enough, and what was carried is not carried back.
    assert list(checks_to_carry(site.shed, site.tank)) == []
    assert list(checks_to_carry(site.tank, site.shed)) == []


def test_a_check_says_nothing_of_shots_after_it() -> None:
    site = Site()
    site.share()
    say(site.shed, "A1 5.0", "check BM1 4.00")
    say(site.tank, "A1 5.0")
    ((check, why),) = checks_to_carry(site.shed, site.tank)
    assert why == "Tank was written after that check; shoot a check there"
    with pytest.raises(ValueError, match="shoot a check there"):
        carry(site.shed, check, site.tank)


def test_another_set_up_takes_no_check_of_the_one_before() -> None:
    site = Site()
    site.share()
    say(site.tank, "setup BM1 4.10", "A1 5.0")
    say(site.shed, "check BM1 4.00")
    assert list(checks_to_carry(site.shed, site.tank)) == []


# -- dirt ---------------------------------------------------------------------------------------------------


def test_dirt_goes_the_shortest_way() -> None:
    pads = [
        PadDirt("one", 10.0, (0.0, 0.0)),
        PadDirt("two", -4.0, (30.0, 40.0)),
        PadDirt("three", 5.0, (30.0, 44.0)),
        PadDirt("four", -8.0, (0.0, 10.0)),
    ]
    found = balance(pads)
    assert [(each.source, each.sink, round(each.volume_m3, 3), each.distance_m) for each in found.transfers] == [
        (0, 3, 8.0, 10.0),
        (2, 1, 4.0, 4.0),
    ]
    assert found.left_m3 == pytest.approx(3.0)


SPARES = st.lists(st.integers(-50, 50), min_size=2, max_size=5)


@settings(max_examples=60, deadline=None)
@given(SPARES, st.integers(0, 999))
def test_no_other_way_of_filling_one_after_the_other_hauls_less(spares: list[int], seed: int) -> None:
    places = np.random.default_rng(seed).integers(0, 100, (len(spares), 2)).tolist()
    pads = [PadDirt(str(at), float(spare), tuple(map(float, places[at]))) for at, spare in enumerate(spares)]
    found = balance(pads)
    for at, spare in enumerate(spares):
        out = sum(each.volume_m3 for each in found.transfers if each.source == at)
        into = sum(each.volume_m3 for each in found.transfers if each.sink == at)
        assert out <= max(spare, 0) + GRAIN_M3
        assert into <= max(-spare, 0) + GRAIN_M3
    over, short = sum(s for s in spares if s > 0), -sum(s for s in spares if s < 0)
    assert sum(each.volume_m3 for each in found.transfers) == pytest.approx(min(over, short))
    assert found.left_m3 == pytest.approx(over - short)
    if over >= short:
        least = sum(each.volume_m3 * (each.distance_m or 0.0) for each in found.transfers)
        sinks = [at for at, spare in enumerate(spares) if spare < 0]
        for order in permutations(sinks):
            # Distances are matched in whole millimetres.
            assert least <= _filled(order, spares, places) + 1e-3 * max(over, 1)


def _filled(order: tuple[int, ...], spares: list[int], places: list[list[int]]) -> float:
    """Haul where each pad in turn takes from the nearest that has any."""
    left, hauled = list(map(float, spares)), 0.0
    for sink in order:
        apart = [float(np.hypot(*np.subtract(place, places[sink]))) for place in places]
        for source in sorted(range(len(spares)), key=apart.__getitem__):
            moved = min(max(left[source], 0.0), -left[sink])
            left[source] -= moved
            left[sink] += moved
            hauled += moved * apart[source]
    return hauled


def test_without_places_volumes_are_matched_and_the_haul_is_not_known() -> None:
    found = balance([PadDirt("one", 10.0, None), PadDirt("two", -4.0, (0.0, 0.0)), PadDirt("three", None, None)])
    assert [(each.volume_m3, each.distance_m) for each in found.transfers] == [(4.0, None)]


# -- the commands -------------------------------------------------------------------------------------------


def put(folder: Path, name: str, book: Book) -> Path:
    file = JobFile(folder / name, book)
    file.save()
    file.close()
    return folder / name


def test_new_like_begins_a_job_of_the_same_site(tmp_path: Path) -> None:
    site = Site()
    shed = put(tmp_path, "shed.json", site.shed)
    tank = tmp_path / "tank.json"
    told = rodcall("new", tank, *NEEDED, "--heights", "ft", "--readings", "rod", "--like", shed)
    assert told.status == 0
    assert told.out.splitlines()[1:] == [
        "BM1 +1.00 ft",
        "datum BM1 812.40ft",
        "set-up on BM1, backsight 4.00 ft",
    ]
    book = open_job(tank, "reader").book
    assert book.job.site == "Juniper farm"
    assert book.page.references["BM1"] == FOOT


def test_the_site_shows_pads_checks_and_dirt_and_carries_on_demand(tmp_path: Path) -> None:
    site = Site()
    site.share()
    say(site.tank, "set a1 100ft,0ft", "A1 5.2", "B1 5.2", "A2 5.2", "B2 5.2", "target 0")
    say(site.shed, "set a1 0ft,0ft", "A1 4.8", "B1 4.8", "A2 4.8", "B2 4.8", "target 0", "check BM1 4.00")
    put(tmp_path, "shed.json", site.shed)
    tank = put(tmp_path, "tank.json", site.tank)
    (tmp_path / "no-job.json").write_text("{}", "utf-8")
    told = rodcall("site", tmp_path)
    assert told.status == 0
    lines = told.out.splitlines()
    assert lines[0] == "Juniper farm"
    assert "serves Tank too: --carry writes it there" in lines[1]
    assert [line.split()[0] for line in lines[2:4]] == ["Shed", "Tank"]
    # 0.2 ft over 60 x 40 ft is 17.8 yd3; a tenth of the cut is lost when compacted.
    assert "16.0 yd3 over" in lines[2]
    assert "17.8 yd3 short" in lines[3]
    assert "16.0 yd3 from Shed to Tank, 100' 0\"" in lines[4]
    assert "1.8 yd3 short" in lines[5]
    carried = rodcall("site", tmp_path, "--carry")
    assert "written into Tank" in carried.out
    assert isinstance(open_job(tank, "reader").book.entries[-1], Check)
    assert "check on BM1" not in rodcall("site", tmp_path).out


def test_a_folder_without_a_site_says_how_to_set_one(tmp_path: Path) -> None:
    assert "rodcall fact JOB.json site NAME" in rodcall("site", tmp_path).refusal
    assert "no such folder" in rodcall("site", tmp_path / "none").refusal
