"""The new-job form for a job like another: its limits, unit, rod and site are filled in. No widget."""

from __future__ import annotations

from typing import Any

from rodcall.book.book import Book
from rodcall.i18n import phrase
from rodcall.tui.pages.begin.form import UNITS, WAYS, Field, Form
from rodcall.units import write

SITE_AFTER = "place"
"""The line above the site's."""


class LikeForm(Form):
    """The form with the answers of another job.

    Args:
        like: That job; its references, datum and set-up are taken over when the new one is begun.
    """

    def __init__(self, like: Book) -> None:
        super().__init__()
        self.like: Book = like
        site = Field("site", phrase("site"), phrase("the same name in each job that shares benchmarks and dirt"))
        after = next(at for at, field in enumerate(self._fields) if field.id == SITE_AFTER)
        self._fields.insert(after + 1, site)
        self._by_id[site.id] = site
        self._by_id["heights"].text = next(words for words, unit in UNITS.items() if unit is like.job.heights)
        self._by_id["readings"].text = next(words for words, way in WAYS.items() if way is like.page.readings)

    @property
    def _in_its_unit(self) -> bool:
        """Are heights said in the other job's unit?"""
        return self.like.job.heights is self.unit

    def _limits(self) -> tuple[int, int]:
        if self._by_id["tolerance"].text.strip() or not self._in_its_unit:
            return super()._limits()
        terms, job = self.like.page.terms, self.like.job
        return terms.limit("tolerance-high", job.tolerance_high), terms.limit("tolerance-low", job.tolerance_low)

    def _more(self) -> dict[str, Any]:
        job = self.like.job
        found: dict[str, Any] = {"site": self._answer("site"), "shrink": job.shrink}
        return {**found, "round_to": job.round_to, "least_drop": job.least_drop} if self._in_its_unit else found

    def _customary(self, id: str) -> str:
        job = self.like.job
        if id in ("customer", "place", "site"):
            return str(getattr(job, id))
        if self._in_its_unit:
            lengths = {"step": job.step, "goal": job.goal}
            if id in lengths:
                return write(lengths[id], job.heights, sign=False)
            if id == "tolerance":
                return write(self.like.page.terms.limit("tolerance-high", job.tolerance_high), job.heights, sign=False)
        return super()._customary(id)
