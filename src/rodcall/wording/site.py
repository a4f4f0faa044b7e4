"""The pads of a site in words: each with its verdict, its dirt, and where dirt goes."""

from __future__ import annotations

from collections.abc import Sequence

from rodcall.book.fold.page import ZERO
from rodcall.book.fold.round_page import Line
from rodcall.book.model.entries import Check, Setup
from rodcall.book.sharing import SharedCheck
from rodcall.figures.site import PadDirt, SiteBalance
from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.wording import words
from rodcall.wording.punch_list import reads


def pad_lines(pads: Sequence[tuple[PadDirt, Summary]]) -> list[str]:
    """One line a pad: shots, verdict, dirt over or short."""
    rows = [
        (
            words.harmless(pad.name),
            say("{shot} of {positions} shot", shot=summary.counted, positions=summary.positions),
            say(str(summary.verdict)),
            _over(summary, pad.spare_m3),
        )
        for pad, summary in pads
    ]
    name, shot, verdict = (max(len(row[at]) for row in rows) for at in range(3))
    return [f"{row[0]:<{name}}  {row[1]:>{shot}}  {row[2]:<{verdict}}  {row[3]}" for row in rows]


def balance_lines(pads: Sequence[tuple[PadDirt, Summary]], balance: SiteBalance) -> list[str]:
    """Which dirt goes where, and what is over or short on the whole site."""
    summary = pads[0][1]
    told = []
    for each in balance.transfers:
        source, sink = pads[each.source][0].name, pads[each.sink][0].name
        haul = say("haul not known: set a1")
        if each.distance_m is not None:
            haul = words.tape(summary.job, round(each.distance_m * 1e9))
        volume = words.volume(summary.job, each.volume_m3)
        told.append(say("{volume} from {source} to {sink}, {haul}", volume=volume, source=source, sink=sink, haul=haul))
    told.append(say("the whole site: {over}", over=_over(summary, balance.left_m3)))
    return told


def setup_lines(names: Sequence[str], setups: Sequence[tuple[Line, tuple[int, ...]]], summary: Summary) -> list[str]:
    """One line a set-up: its benchmark, when, and the pads that were shot from it."""
    told = []
    for line, jobs in setups:
        entry = line.entry
        assert isinstance(entry, Setup)
        on = say("set-up on {reference}", reference=entry.reference)
        backsight = say("backsight {reading}", reading=words.rod(summary.job, entry.backsight_nm))
        told.append(f"{entry.time:%Y-%m-%d %H:%M}  {on}, {backsight}: {_listed(names, jobs)}")
    return told


def check_lines(names: Sequence[str], checks: Sequence[SharedCheck], summaries: Sequence[Summary]) -> list[str]:
    """One line a check shot: what it read, the pads that it proves, and those that could take it or no longer can."""
    told = []
    for check in checks:
        entry = check.line.entry
        assert isinstance(entry, Check)
        found = reads(summaries[check.shot_in], entry.reference, check.line.drift_nm)
        parts = [say("{check}: proves {pads}", check=found, pads=_listed(names, check.stands_in))]
        if check.serves:
            parts.append(say("serves {pads} too, Enter writes it there", pads=_listed(names, check.serves)))
        parts += [why for _, why in check.refused]
        told.append(f"{entry.time:%Y-%m-%d %H:%M}  {'; '.join(parts)}")
    return told


def reference_lines(names: Sequence[str], summaries: Sequence[Summary]) -> list[str]:
    """One line a reference that several pads have: its height, or how the pads differ about it."""
    told = []
    for reference in dict.fromkeys(each for summary in summaries for each in summary.references if each != ZERO):
        heights = {at: each.references[reference] for at, each in enumerate(summaries) if reference in each.references}
        spoken = {at: words.height(summaries[at].job, nm) for at, nm in heights.items()}
        if len(set(heights.values())) == 1:
            told.append(f"{reference} {next(iter(spoken.values()))}: {_listed(names, tuple(heights))}")
        else:
            each = ", ".join(f"{words.harmless(names[at])} {height}" for at, height in spoken.items())
            told.append(say("{reference} DIFFERS: {heights}", reference=reference, heights=each))
    return told


def _listed(names: Sequence[str], jobs: Sequence[int]) -> str:
    return ", ".join(words.harmless(names[at]) for at in jobs)


def _over(summary: Summary, m3: float | None) -> str:
    if m3 is None:
        return words.NOTHING
    volume = words.volume(summary.job, abs(m3))
    return say("{volume} over", volume=volume) if m3 >= 0 else say("{volume} short", volume=volume)
