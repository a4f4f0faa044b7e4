"""The as-built page: the verdict with its reasons; Enter writes the sheets."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

from rich.text import Text

from rodcall.book.storage.safe_read import reason
from rodcall.figures.punch_list import Kind, PunchList, Verdict
from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.tablet.opener import newest_sheet, open_file
from rodcall.tui.pages.base import TextPage
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets import pad_map
from rodcall.tui.widgets.block_digits import as_large
from rodcall.tui.widgets.lines import broken, wrapped
from rodcall.tui.widgets.styles import ACCENT, BAR, HIGH, LOW, PLAIN, STRONG
from rodcall.wording import proof as words_proof
from rodcall.wording import punch_list as words_punch
from rodcall.wording import words

ROOM_FOR_LARGE = 24
"""Lines from which the verdict stands in large letters."""
ROOM_ABOVE = 30
"""Lines from which a blank one stands above them."""
SHARE = 8
"""One line of so many is theirs."""
NAME = 11
"""Columns of what a line is about."""


class ProofScreen(TextPage):
    """Tells the verdict; Enter writes the as-built sheets, i issues the certificate first, any other key goes back."""

    def __init__(self, summary: Summary, export: Callable[[], list[str]], issue: Callable[[], str], job: Path) -> None:
        super().__init__(
            say(
                "as-built, round {number} {kind}",
                number=summary.round,
                kind=say(summary.kind),
            )
        )
        self._summary = summary
        self._export = export
        self._issue = issue
        self._written: list[str] = []
        self._job = job
        self._sheet: Path | None = None
        """What was written, to be opened."""

    def how(self, *, more: bool) -> str:
        """Enter is no key like the others here."""
        return say("Enter writes, i issues, arrows scroll") if more else say("Enter writes, i issues, others close")

    def press(self, key: Stroke) -> None:
        """Enter writes, i issues and writes, o opens what was written, arrows scroll, anything else closes."""
        if key.character in ("o", "O", "+") and self._sheet is not None:
            self._written = [*self._written[:-1], open_file(self._sheet)]
            self._sheet = None
            self.show_anew()
            return
        issues = key.character.lower() == "i"
        if key.name != "enter" and not issues:
            super().press(key)
            return
        self._first = 0
        if issues and (refusal := self._issue()):
            self._tell([say("NOT ISSUED: {why}", why=refusal)])
            return
        self._written = [say("writing the sheets ...")]
        self.show_anew()
        self.run_worker(self._write, thread=True, exclusive=True)

    def _write(self) -> None:
        """On a thread of its own, since a big pad's sheet takes seconds."""
        try:
            told = self._export()
            self._sheet = newest_sheet(self._job)
            if self._sheet is not None:
                told = [*told, say("o or + opens {name}, any other key closes", name=self._sheet.name)]
        except OSError as error:
            told = [say("NOT WRITTEN: {why}", why=reason(error))]
        self.app.call_from_thread(self._tell, told)

    def _tell(self, told: list[str]) -> None:
        self._written = told
        self.show_anew()

    def text_columns(self, width: int) -> int:
        """The pad is drawn beside the verdict."""
        return pad_map.text_columns(width)

    def picture(self, width: int, height: int) -> list[Text]:
        """The pad, what is out of tolerance framed."""
        out = self._summary.as_built.pad.of(Kind.OUT)
        return pad_map.as_it_is(self._summary, {spot for item in out for spot in item.spots}, width, height)

    def lines(self, width: int) -> list[Text]:
        """The verdict and what stands behind it."""
        told = [line for said in self._written for line in wrapped(said, width, STRONG)]
        return [*told, *self._large(width), *(line for block in self._blocks(width) for line in block)]

    def _large(self, width: int) -> list[Text]:
        """The verdict in large letters, where there is room for them."""
        verdict = self._summary.as_built.pad.verdict
        height = self.size.height
        rows = as_large(say(str(verdict)), width - 2, height // SHARE) if height >= ROOM_FOR_LARGE else ()
        style = {Verdict.PASS: LOW, Verdict.FAIL: STRONG, Verdict.NOT_PROVEN: HIGH}[verdict]
        above = [Text("")] * (bool(rows) and height >= ROOM_ABOVE)
        return [*above, *(Text(f" {row}", style) for row in rows), *[Text("")] * bool(rows)]

    def _blocks(self, width: int) -> Iterator[list[Text]]:
        summary, proof = self._summary, self._summary.as_built
        yield list(_finding(summary, say("tolerance"), proof.pad, width))
        yield list(_finding(summary, say("crew tol."), proof.pad_goal, width))
        if proof.footprint is not None:
            yield list(_finding(summary, say("footprint"), proof.footprint, width))
        if proof.zone is not None:
            yield list(_finding(summary, say("zone", "of the pad"), proof.zone, width))
            yield _listed("", [words.zone_words(summary)], width)
        checks = [words_proof.check_words(summary, check) for check in summary.trust.checks]
        for name, told in (
            (say("slopes"), [words_proof.slope_words(slope) for slope in proof.slopes]),
            (say("remarks"), words_proof.remarks(summary)),
            (say("checks"), _folded(checks)),
            (say("laser"), [words_proof.laser_words(result) for result in summary.laser_results]),
            (say("levels"), [words_proof.level_words(summary, run) for run in summary.level_runs]),
            (say("rounds"), [words_proof.tally_words(summary, tally) for tally in summary.tallies()]),
        ):
            yield _listed(name, told, width)


def _finding(summary: Summary, name: str, listed: PunchList, width: int) -> Iterator[Text]:
    style = BAR if listed.verdict is Verdict.FAIL else STRONG
    yield Text(f" {name:<{NAME}} ", ACCENT).append(f" {say(str(listed.verdict))} ", style)
    for why in words_punch.reasons(summary, listed):
        for line in broken(why, width - NAME - 4, hang="  "):
            yield Text(f"{'':{NAME + 2}} {line}")


def _folded(told: list[str]) -> list[str]:
    """What is said several times, once and how often."""
    return [f"{each}  x{times}" if times > 1 else each for each, times in Counter(told).items()]


def _listed(name: str, told: list[str], width: int) -> list[Text]:
    lines = [line for each in told for line in broken(each, width - NAME - 4, hang="  ")]
    return [
        Text(f" {name if at == 0 else '':<{NAME}} ", ACCENT).append(f" {line}", PLAIN) for at, line in enumerate(lines)
    ]
