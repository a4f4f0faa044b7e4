"""The pads of a site in words: each with its verdict, its dirt, and where dirt goes."""

from __future__ import annotations

from collections.abc import Sequence

from rodcall.figures.site import PadDirt, SiteBalance
from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.wording import words


def pad_lines(pads: Sequence[tuple[PadDirt, Summary]]) -> list[str]:
    """One line a pad: shots, verdict, dirt over or short."""
    width = max(len(words.harmless(pad.name)) for pad, _ in pads)
    return [
        "  ".join(
            (
                f"{words.harmless(pad.name):<{width}}",
                say("{shot} of {positions} shot", shot=summary.counted, positions=summary.positions),
                say(str(summary.verdict)),
                _over(summary, pad.spare_m3),
            )
        )
        for pad, summary in pads
    ]


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


def _over(summary: Summary, m3: float | None) -> str:
    if m3 is None:
        return words.NOTHING
    volume = words.volume(summary.job, abs(m3))
    return say("{volume} over", volume=volume) if m3 >= 0 else say("{volume} short", volume=volume)
