"""Our figures against the published ones, a row each; `rodcall manual checks` prints the same table."""

from __future__ import annotations

import pytest

from rodcall.manual.checks import Check, Read, checks, checks_page
from tests.checks.ours import OURS
from tests.checks.write import shown, told


@pytest.mark.parametrize("check", checks(), ids=lambda check: check.id)
def test_ours_is_the_published_value(check: Check):
    ours = float(OURS[check.id]())
    if check.tolerance:
        assert ours == pytest.approx(check.published, abs=check.tolerance, rel=0), f"{check.source}, {check.where}"
    else:
        assert ours == check.published, f"{check.source}, {check.where}"


def test_each_check_is_worked_out_and_names_its_document():
    assert {check.id for check in checks()} == set(OURS)
    assert len(checks()) == len(OURS)
    for check in checks():
        assert len(check.source) > 5
        assert check.where or check.read is Read.PRACTICE
        assert bool(check.tolerance) == (check.why != "exact arithmetic")


def test_the_page_shows_each_value_its_document_and_ours():
    page = " ".join(checks_page().split())
    for check in checks():
        assert check.source in page
        assert f"{check.published:.15g}" in page
        assert f"{check.ours:.8g}" in page


def test_the_figures_that_the_page_shows_are_ours_today():
    """`python -m tests.checks` writes them."""
    assert shown() == told()
