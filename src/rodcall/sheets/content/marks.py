"""What a plan on paper shows at a position: its number and its marks, the same as on the screen."""

from __future__ import annotations

from typing import NamedTuple

from rodcall.book.fold.round_page import LEFT_OUT, NOT_PAD, SHOT
from rodcall.figures.summary import Summary
from rodcall.i18n import phrase
from rodcall.sheets.content.blocks import Plan
from rodcall.wording import words

LEGEND = phrase(
    "! out of tolerance; ? too close to call; s suspect; k does not fit those around it, and was kept;"
    " * shot more than once; z the zero; x left out; / not pad; . not shot"
)


class Label(NamedTuple):
    """A number and the marks behind it."""

    number: str
    marks: str


def label(plan: Plan, index: int) -> Label:
    """The difference from the target (the height where there is none) and marks; turn and name on a blank plan."""
    summary = plan.summary
    zero = "z" if index == summary.zero else ""
    if summary.state[index] == NOT_PAD:
        return Label("/", zero)
    if plan.walking is not None:
        return Label(f"{plan.walking.step(index) + 1}  {summary.grid.name(index)}", zero)
    if summary.state[index] != SHOT:
        return Label("x" if summary.state[index] == LEFT_OUT else ".", zero)
    difference = summary.deviation_at(index)
    told = (
        words.level(summary, summary.height_at(index))
        if difference is None
        else words.difference(summary.job, difference)
    )
    return Label(told, marks(summary, index))


def marks(summary: Summary, index: int) -> str:
    """The marks of a position that counts."""
    marked = {
        "!": summary.out_mask[index],
        "?": summary.marginal_mask[index],
        "s": summary.trust.suspect_mask[index],
        "k": summary.kept[index],
        "*": summary.times[index] > 1,
        "z": index == summary.zero,
    }
    return "".join(mark for mark, is_so in marked.items() if is_so)
