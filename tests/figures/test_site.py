"""Pads of one site: where their middles lie, and volumes to the litre, by hand."""

from __future__ import annotations

import pytest

from rodcall.figures.site import PadDirt, SiteBalance, Transfer, balance, pad_dirt
from rodcall.units import M, Unit
from tests.kit import a_book, a_job, figures


def test_the_middle_of_a_pad_in_the_drawings_system():
    """30 m away and 20 m across from A1 at 100 north and 50 east; the far end looks east."""
    job = a_job(Unit.MM, 4, 3, length=30 * M, width=20 * M)
    summary = figures(a_book("set a1 100m,50m", "set bearing 90", "A1 0", "target -10", job=job))
    pad = pad_dirt("Shed", summary)
    assert pad.middle_m == pytest.approx((100 - 10, 50 + 15))
    assert (pad.name, pad.spare_m3) == ("Shed", summary.dirt.spare)
    assert pad_dirt("Tank", figures(a_book("set bearing 90"))) == PadDirt("Tank", None, None)


def test_volumes_go_by_whole_litres_and_distances_by_millimetres():
    """2.6 litres are three, a litre is one; 3-4-5 from middle to middle."""
    found = balance(
        [PadDirt("a", 0.0026, (0.0, 0.0)), PadDirt("b", -0.001, (3.0, 4.0)), PadDirt("c", -0.002, (0.0, 1.0))]
    )
    assert found == SiteBalance(
        (Transfer(0, 1, pytest.approx(0.001), 5.0), Transfer(0, 2, pytest.approx(0.002), 1.0)), 0.0
    )
    one = balance([PadDirt("a", 0.001, (0.0, 0.0)), PadDirt("b", -5.0, (0.0, 1.0004))])
    assert one.transfers == (Transfer(0, 1, pytest.approx(0.001), 1.0),)
    assert one.left_m3 == pytest.approx(-4.999)


def test_where_one_place_is_not_known_no_distance_is_told():
    found = balance([PadDirt("a", 5.0, (0.0, 0.0)), PadDirt("b", -5.0, None)])
    assert found.transfers == (Transfer(0, 1, pytest.approx(5.0), None),)
    told = balance([PadDirt("a", 5.0, (0.0, 0.0)), PadDirt("b", -5.0, (1.0, 0.0)), PadDirt("c", None, None)])
    assert told.transfers[0].distance_m == 1.0, "a pad that neither gives nor takes need not be known"


@pytest.mark.parametrize("spares", [(3.0, 2.0), (-3.0, -2.0), (0.0, None), ()])
def test_nothing_moves_where_all_have_or_all_lack(spares):
    found = balance([PadDirt(str(at), spare, None) for at, spare in enumerate(spares)])
    assert found == SiteBalance((), pytest.approx(sum(spare or 0.0 for spare in spares)))
