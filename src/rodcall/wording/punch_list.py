"""How the punch list and the next thing to do are said: one wording for screen, sheet and shell."""

from __future__ import annotations

from rodcall.book.model.entries import RoundKind
from rodcall.book.model.facts import FACTS
from rodcall.figures.checks.agreed import FACT
from rodcall.figures.next_up import Do, Next
from rodcall.figures.punch_list import Item, Kind, PunchList
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, say
from rodcall.units import Unit, write
from rodcall.wording import words

MOST_NAMES = 8
"""Spots that are named one by one."""


def reasons(summary: Summary, listed: PunchList) -> list[str]:
    """Every open item in a line, gravest first: what it is, and where."""
    return [item_words(summary, item) for item in listed.items]


def places(summary: Summary, item: Item) -> str:
    """Where an item is open: spots or names, as many as can be read at once; empty where it has none."""
    names = summary.names(item.spots[:MOST_NAMES]) if item.spots else list(item.names)[:MOST_NAMES]
    more = len(item.spots or item.names) - len(names)
    return " ".join([*names, *([say("and {number} more", number=more)] if more else [])])


def item_words(summary: Summary, item: Item) -> str:
    """What is open, in a line: `2 spots out of tolerance: D5 C2`."""
    told = _what(summary, item)
    where = places(summary, item) if item.spots and item.kind not in (Kind.LINE_DOES_NOT_FIT, Kind.PLUS_MINUS) else ""
    return f"{told}: {where}" if where else told


def _what(summary: Summary, item: Item) -> str:
    number, job = len(item.spots), summary.job
    name = item.names[0] if item.names else ""
    match item.kind:
        case Kind.OUT:
            return counted(number, "{number} spot out of tolerance", "{number} spots out of tolerance")
        case Kind.DAMAGED:
            return say("book damaged at entry {entries}", entries=_entries(item))
        case Kind.EDITED:
            return say("book changed outside rodcall at entry {entries}", entries=_entries(item))
        case Kind.NO_BACKSIGHT:
            return say("no backsight yet")
        case Kind.BAD_CHECK:
            return say("{read}: {allowed} allowed", read=_reads(summary, item), allowed=_limit(summary, item))
        case Kind.SUSPECT:
            told = counted(number, "{number} suspect shot", "{number} suspect shots")
            return f"{told} ({_reads(summary, item)})"
        case Kind.SUSPECT_ACCEPTED:
            return counted(
                number,
                "{number} suspect shot accepted by decision, not shot again",
                "{number} suspect shots accepted by decision, not shot again",
            )
        case Kind.CHECK_AGAIN:
            return say("check again: {read}", read=_reads(summary, item))
        case Kind.DOES_NOT_FIT:
            return say("reading does not fit its neighbours")
        case Kind.LINE_DOES_NOT_FIT:
            return say("line {number} does not fit the lines beside it", number=name)
        case Kind.READINGS_DISAGREE:
            return say("two readings disagree, read a third")
        case Kind.TABLETS_DISAGREE:
            if not item.spots:
                return say("the tablets disagree on {what}", what=called(name))
            return say("the tablets' readings disagree")
        case Kind.NOT_SHOT:
            return counted(number, "{number} spot not shot", "{number} spots not shot")
        case Kind.LEFT_OUT:
            return counted(number, "{number} spot left out", "{number} spots left out")
        case Kind.SETUP_NOT_CLOSED:
            return say("set-up on {name} left without a check", name=name)
        case Kind.LEVELS_NOT_CLOSED:
            if item.value is None:
                return say("line of levels through {name} not closed", name=name)
            return say(
                "line of levels through {name} misses by {off}, {allowed} allowed",
                name=name,
                off=_size(summary, item.value),
                allowed=_limit(summary, item),
            )
        case Kind.NO_CHECK:
            return say("no check shot after the last shot") if summary.trust.checks else say("no check shot")
        case Kind.CHECKED_ON_PAD:
            return say("checked only on {name}, which lies on the pad", name=name)
        case Kind.TIMES_APART:
            if item.opened_by is not None:
                return say("the clock ran backwards at entry {number}, before the check", number=item.opened_by)
            return say(
                "check {hours:.0f} hours from the shots, {allowed:.0f} allowed", hours=item.value, allowed=item.limit
            )
        case Kind.TARGET_SUGGESTED:
            return say("target only suggested")
        case Kind.TARGET_CHANGED:
            return say("target changed after the final round began")
        case Kind.ZERO_MOVED:
            return say("zero moved after the final round began")
        case Kind.REFERENCE_CHANGED:
            return say("height of {name} changed after the final round began", name=name)
        case Kind.TAKEN_OUT:
            return say("read out of tolerance, then marked not pad")
        case Kind.LIMIT_WIDENED if name == "zone":
            began, now = (words.harmless(each) for each in item.names[1:])
            return say("{name} moved after the first shot, from {began} to {now}", name=name, began=began, now=now)
        case Kind.LIMIT_WIDENED:
            return say(
                "{name} widened after the first shot, from {began} to {now}",
                name=called(name),
                began=_value(summary, name, item.limit),
                now=_value(summary, name, item.value),
            )
        case Kind.NO_FINAL_ROUND:
            return say("no final round yet")
        case Kind.SPOTS_TOO_FAR:
            far, allowed = (words.tape(job, round(nm or 0)) for nm in (item.value, item.limit))
            return say("spots {far} apart, {allowed} allowed", far=far, allowed=allowed)
        case Kind.PLUS_MINUS:
            return say(
                "plus/minus {found} at {spot} is half the tolerance or more",
                found=_size(summary, item.value),
                spot=summary.grid.name(item.spots[0]),
            )
        case Kind.TOO_CLOSE:
            return say("too close to call: {number:.1f} spots may be out", number=item.value)


def _entries(item: Item) -> str:
    """Numbers of entries, as many as can be read at once."""
    more = len(item.names) - MOST_NAMES
    return " ".join([*item.names[:MOST_NAMES], *([say("and {number} more", number=more)] if more > 0 else [])])


def clears(summary: Summary, item: Item) -> str:
    """What takes an item off the list, as an order to the crew."""
    name = item.names[0] if item.names else ""
    match item.kind:
        case Kind.OUT:
            return say("dig or fill, then read the spot in this round")
        case Kind.DAMAGED | Kind.EDITED:
            return say("nothing clears it: it stays on the list")
        case Kind.NO_BACKSIGHT:
            return say("read the backsight")
        case Kind.BAD_CHECK:
            if len(summary.trust.unresolved) < 2:
                return say("read {name} again, do not touch the level", name=name)
            return say("level it, then check {name}", name=name)
        case Kind.SUSPECT | Kind.SUSPECT_ACCEPTED:
            return say("shoot each again")
        case Kind.CHECK_AGAIN:
            return say("check {name} again", name=name)
        case Kind.DOES_NOT_FIT:
            return say("read it again")
        case Kind.LINE_DOES_NOT_FIT:
            return say("Enter shows it corrected; or read one of its spots again")
        case Kind.READINGS_DISAGREE:
            return say("read it a third time")
        case Kind.TABLETS_DISAGREE:
            return say("read it again") if item.spots else say("set it again")
        case Kind.NOT_SHOT:
            return say("shoot it")
        case Kind.LEFT_OUT:
            return say("shoot it, or make it not pad")
        case Kind.SETUP_NOT_CLOSED:
            return say("shoot those spots from the set-up you have now")
        case Kind.LEVELS_NOT_CLOSED:
            return say("check a benchmark that was not read on the way")
        case Kind.NO_CHECK:
            return say("check a reference")
        case Kind.CHECKED_ON_PAD:
            return say("check a reference off the pad")
        case Kind.TIMES_APART:
            return say("read those spots again, then check the same day")
        case Kind.TARGET_SUGGESTED:
            return say("choose the target")
        case Kind.TARGET_CHANGED | Kind.ZERO_MOVED | Kind.REFERENCE_CHANGED:
            return say("begin a final round")
        case Kind.TAKEN_OUT:
            return say("give the reason with not pad, then who agreed (agreed-by); or make it pad again and shoot it")
        case Kind.LIMIT_WIDENED:
            return say("give the reason, then who agreed (agreed-by)")
        case Kind.NO_FINAL_ROUND:
            return say("begin the final round")
        case Kind.SPOTS_TOO_FAR:
            return say("shoot closer spots, or set the term spacing and who agreed (agreed-by)")
        case Kind.PLUS_MINUS:
            return say("use a finer mark, or set the level nearer")
        case Kind.TOO_CLOSE:
            return say("dig or fill those, or read a finer mark")


def next_words(summary: Summary, first: Next) -> str:
    """The next thing to do, for the entry line; the spots' tape distances are said elsewhere."""
    spot = summary.grid.name(first.spot) if first.spot is not None else ""
    match first.do:
        case Do.BACKSIGHT:
            return say("backsight: rod on {name}", name=first.reference)
        case Do.SET_UP:
            return say("LEVEL IT, then backsight: rod on {name}", name=first.reference)
        case Do.CHECK_AGAIN:
            return say("BAD CHECK: read {name} again, do not touch the level", name=first.reference)
        case Do.LEVEL:
            return say("LEVEL IT, then check {name}", name=first.reference)
        case Do.RESHOOT:
            return say("shoot {spot} again, {left} suspect left", spot=spot, left=first.left)
        case Do.SHOOT:
            return say("next {position}", position=spot)
        case Do.READ_AGAIN:
            return say("= reads {spot} again", spot=spot)
        case Do.TARGET:
            return say("t chooses the target")
        case Do.CHECK:
            return say("c checks {name}", name=first.reference)
        case Do.DIG:
            return _dig_words(summary, first.spot)
        case Do.NEW_ROUND:
            return say("r begins the final round")
        case Do.SIGN:
            return say("a writes the as-built sheet")
        case Do.LOOK:
            return say("Tab shows the punch list")


def _dig_words(summary: Summary, worst: int | None) -> str:
    """What to dig and the key after it: in a final round the spot is read again, in any other a new round begins."""
    if worst is None:
        return say("dig; then r begins a round")
    spot = summary.grid.name(worst)
    work = words.work_words(summary.job, summary.deviation_at(worst))
    if summary.kind == RoundKind.FINAL:
        return say("{spot} {work}; then ! names {spot} to read it", spot=spot, work=work)
    return say("dig, worst {spot} {work}; then r begins a round", spot=spot, work=work)


def reads(summary: Summary, reference: str, drift_nm: int) -> str:
    """What a check found: `BM1 reads 1/8 HIGH`, `BM1 reads true`."""
    if drift_nm == 0:
        return say("{reference} reads true", reference=reference)
    off = write(abs(drift_nm), summary.job.heights, sign=False)
    if drift_nm > 0:
        return say("{reference} reads {off} HIGH", reference=reference, off=off)
    return say("{reference} reads {off} LOW", reference=reference, off=off)


def _reads(summary: Summary, item: Item) -> str:
    return reads(summary, item.names[0], round(item.value or 0))


def _limit(summary: Summary, item: Item) -> str:
    return _size(summary, item.limit)


def _size(summary: Summary, nm: float | None) -> str:
    unit: Unit = summary.job.heights
    return write(round(abs(nm or 0)), unit, step=words.FINEST[unit], sign=False)


def called(name: str) -> str:
    """A limit or another thing that was agreed, as people call it."""
    names = {
        "tolerance-high": say("the tolerance above"),
        "tolerance-low": say("the tolerance below"),
        "drift": say("the drift limit"),
        "closure": say("the closure limit"),
        "check-hours": say("the time between shots and check"),
        "spacing": say("the spacing limit"),
        "target": say("the target"),
        "zero": say("the zero"),
        "agreed-by": say("agreed by"),
    }
    fact = FACTS.get(name.removeprefix(f"{FACT} ")) if name.startswith(FACT) else None
    return say(fact.called) if fact is not None else names.get(name, name)


def _value(summary: Summary, name: str, value: float | None) -> str:
    if name == "check-hours":
        return say("{number:.0f} h", number=value or 0)
    return _size(summary, value)
