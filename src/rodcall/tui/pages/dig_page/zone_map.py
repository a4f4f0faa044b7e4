"""The zones of the order of work on the map of the pad: numbered, where dirt goes, and what is done. No widget."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from rich.style import Style
from rich.text import Text

from rodcall.book.fold.round_page import LEFT_OUT
from rodcall.figures.earthwork.zones import Zone, ZonePlan
from rodcall.figures.summary import Summary
from rodcall.i18n import phrase, say
from rodcall.tui.widgets import pad_map
from rodcall.tui.widgets.styles import FAINT
from rodcall.wording import dig as words_dig
from rodcall.wording import words

LEGEND = phrase(
    "[ ] this zone   3 -> 5 dirt of zone 3 goes to 5   C cut  F fill   ok within tolerance   ? estimated   / not pad"
)


def draw(summary: Summary, plan: ZonePlan, chosen: int | None, width: int, height: int) -> list[Text]:
    """The pad with its zones, far end at the top, around the chosen one and where its dirt goes."""
    wanted = set(plan.zones[chosen].spots) if chosen is not None else set()
    return pad_map.draw(summary, _marker(summary, plan, chosen, width), width, height, tuple(sorted(wanted)))


def _marker(summary: Summary, plan: ZonePlan, chosen: int | None, width: int) -> Callable[[int], pad_map.Spot]:
    zone_of = {spot: at for at, zone in enumerate(plan.zones) for spot in zone.spots}
    shades, known = pad_map.deviation_levels(summary).tolist(), summary.known
    works = {spot: words.work_words(summary.job, words_dig.deviation(summary, spot)) for spot in zone_of}
    # All in words, or all as on stakes; brackets take a column at each side, a gap one, and `?` one.
    if max(map(len, works.values()), default=0) > pad_map.cell_columns(summary, width) - 4:
        works = {spot: words.stake_words(summary.job, words_dig.deviation(summary, spot)) for spot in zone_of}
    ways = [_way(zone) for zone in plan.zones]
    arrows = {at: _arrow(summary, plan, zone) for at, zone in enumerate(plan.zones)}

    def mark(index: int) -> pad_map.Spot:
        at = zone_of.get(index)
        guess = "" if known[index] else "?"
        if at is None:
            told: tuple[str, ...] = (
                ("x", say("left out"))
                if summary.state[index] == LEFT_OUT
                else ("x",)
                if summary.keep_out[index]
                else ("ok",)
            )
            return pad_map.Spot(told, FAINT)
        style = pad_map.shaded(shades[index])
        here = at == chosen
        told = (
            f"{at + 1} {ways[at]}".rstrip(),
            f"{works[index]}{guess}",
            *([arrows[at]] if here and arrows[at] else []),
        )
        letter = words.stake_letter(plan.zones[at].is_cut)
        return pad_map.Spot(told, style + Style(bold=here), f"{letter}{at + 1}", at, here)

    return mark


def _way(zone: Zone) -> str:
    """Where most of its dirt goes, or comes from."""
    if not zone.gives:
        return ""
    other = zone.gives[0].zone
    if zone.is_cut:
        return f"-> {other + 1}" if other is not None else say("-> off", "dirt that leaves the pad")
    return f"<- {other + 1}" if other is not None else say("<- pile", "dirt that comes from a pile or a truck")


def _arrow(summary: Summary, plan: ZonePlan, zone: Zone) -> str:
    """Which way most of its dirt goes on the pad, or comes."""
    other = next((to.zone for to in zone.gives if to.zone is not None), None)
    if other is None:
        return ""
    here, there = (_middle(summary, each) for each in (zone, plan.zones[other]))
    away, right = there - here if zone.is_cut else here - there
    sign = ("^" if away > 0 else "v") if abs(away) >= abs(right) else (">" if right > 0 else "<")
    return " ".join(sign * 3)


def _middle(summary: Summary, zone: Zone) -> np.ndarray:
    """Away and to the right from A1, metres."""
    rows, columns = np.divmod(np.array(zone.spots), summary.grid.across)
    return np.array([summary.along_m[rows].mean(), summary.across_m[columns].mean()])
