"""What the helper's phone shows: made from what the shot grid shows, in the words of one language, and sent as JSON.

Nothing is decided here. Next up, the punch list, the read-back and the rod reading to hit are those that the call-out
on the screen has.
"""

from __future__ import annotations

import json
from fractions import Fraction
from functools import cache

from rodcall.book.fold.round_page import LEFT_OUT, NOT_PAD, SHOT, UNSHOT
from rodcall.book.model.grid import letters
from rodcall.figures.next_up import Do, Next
from rodcall.figures.punch_list import Kind, PunchList
from rodcall.figures.summary import Summary
from rodcall.frozen import Frozen
from rodcall.i18n import say, speaking
from rodcall.palette import standing
from rodcall.units import INCH, Unit
from rodcall.wording import punch_list as words_punch
from rodcall.wording import words
from rodcall.wording.call_out import tapes_to, to_hit
from rodcall.wording.proof import check_age
from rodcall.wording.speech import spoken

MOST_ITEMS = 6
"""Of the punch list, gravest first."""
PLAN_ALONG, PLAN_ACROSS = 11, 9
"""Spots of the plan that a phone shows around the next one."""
MOST_NAME = 60
"""Characters of a job's name."""
_DOUBTFUL = (Kind.READINGS_DISAGREE, Kind.TABLETS_DISAGREE, Kind.DOES_NOT_FIT)
_STATES = {UNSHOT: ".", LEFT_OUT: "x", NOT_PAD: "/"}
_BAD_CHECK = (Do.CHECK_AGAIN, Do.LEVEL, Do.SET_UP)


class Shown(Frozen):
    """What the shot grid shows at one moment."""

    summary: Summary
    listed: PunchList
    first: Next
    """What is up next."""
    named: Next | None
    """Where a reading goes; None where it goes nowhere."""
    back: int | None
    """The spot whose reading is read back; None where other words stand there."""
    read_back: str
    """Those other words, as the screen has them."""
    shouts: bool
    """A reading that does not fit is reported at once."""
    way: str
    """How readings are taken: `height`, `rod` or `direct-rod`."""
    turn: int
    """Of what is named (see `reading.Turns`)."""
    allowed: bool
    """Phones may send readings."""
    busy: str
    """Why the cab takes none now; empty while it only types, which a phone hears when it sends one."""
    now: float
    """Seconds since 1970."""

    def looks_like(self, other: Shown) -> bool:
        """Is there nothing that a phone would show otherwise? Summaries and lists are compared by identity."""
        same = self.summary is other.summary and self.listed is other.listed
        return same and self._rest() == other._rest()

    def _rest(self) -> tuple[object, ...]:
        told = self.first, self.named, self.back, self.read_back, self.shouts, self.way, self.turn
        return (*told, self.allowed, self.busy, int(self.now // 60))


class Where(Frozen):
    """Where the rod goes next."""

    label: str
    name: str
    """In the largest letters: a spot, a reference, or that all is shot."""
    tapes: tuple[str, ...]
    """Away and to the right; none for what is no spot."""
    words: str
    """What else there is to say to it."""


class Back(Frozen):
    """The reading that was taken last."""

    name: str
    side: int
    """+1 HIGH, -1 LOW, 0 on grade; what the words say too."""
    height: str
    """`LOW 1-3/8`; other words where no reading is read back."""
    work: str
    """`fill 7/8`."""
    out: str
    """That it is out of tolerance; empty where it is not."""


class Alarm(Frozen):
    """What takes the whole page."""

    id: str
    """The same for as long as it is about the same thing."""
    stay: str
    """`STAY AT C5`."""
    do: str
    """`READ AGAIN`."""
    why: str


class Plan(Frozen):
    """The spots around the next one, the far line first, as the pad lies."""

    columns: tuple[str, ...]
    rows: tuple[int, ...]
    cells: tuple[tuple[str, ...], ...]
    """Of each spot: `h` HIGH, `l` LOW, `0` on target, each with its depth 0 to 2; `.` not shot, `x` left out, `/` not
    pad; then `!` out of tolerance, `s` suspect, `>` next, `<` read back."""


class Keys(Frozen):
    """The keys that a reading is keyed with."""

    high_low: bool
    """Heights have a sign."""
    minus: bool
    """A direct-reading rod may have one."""
    fractions: tuple[str, ...]
    """Of an inch; none where readings are decimal."""
    unit: str


class View(Frozen):
    """All that a phone shows."""

    language: str
    turn: int
    job: str
    where: Where
    back: Back
    hit: str
    """The rod reading to hit, or the height."""
    on_the_rod: bool
    shot: str
    """How far the round is: `12 of 20 shot, 8 left`."""
    check: str
    check_due: bool
    verdict: str
    punch: tuple[str, ...]
    punch_open: int
    alarm: Alarm | None
    plan: Plan
    allowed: bool
    busy: str
    takes: bool
    """What is named takes a reading."""
    keys: Keys
    voice: str
    """Read-back, and where next, as they are spoken."""
    alarm_voice: str


def view(shown: Shown, language: str) -> View:
    """What a phone shows of it.

    Args:
        shown: What the shot grid shows.
        language: Code of the phone's language.
    """
    with speaking(language):
        return _view(shown, language)


def as_json(seen: View) -> str:
    """As it is sent."""
    return json.dumps(seen, default=vars, ensure_ascii=False, separators=(",", ":"))


def _view(shown: Shown, language: str) -> View:
    summary, named = shown.summary, shown.named
    spot = named.spot if named is not None else None
    where, back, alarm = _where(shown), _back(shown), _alarm(shown)
    told = "  ".join(part for part in (back.name, back.height, back.work, back.out) if part)
    following = f"{where.label} {where.name}" if named is not None else where.words or where.name
    left = len(summary.missing)
    return View(
        language=language,
        turn=shown.turn,
        job=words.harmless(summary.job.name, MOST_NAME),
        where=where,
        back=back,
        hit=to_hit(summary, spot) if spot is not None else words.NOTHING,
        on_the_rod=summary.level is not None,
        shot=say("{shot} of {all} shot, {left} left", shot=summary.counted, all=summary.positions, left=left),
        check=check_age(summary, shown.now),
        check_due=bool(summary.trust.due(shown.now)),
        verdict=say(shown.listed.verdict),
        punch=tuple(
            f"{words_punch.item_words(summary, item)} - {words_punch.clears(summary, item)}"
            for item in shown.listed.items[:MOST_ITEMS]
        ),
        punch_open=shown.listed.open,
        alarm=alarm,
        plan=_plan(shown, spot),
        allowed=shown.allowed,
        busy=shown.busy,
        takes=named is not None,
        keys=_keys(shown),
        voice=f"{spoken(told)}. {spoken(following)}",
        alarm_voice=spoken(f"{alarm.stay}  {alarm.do}") if alarm is not None else "",
    )


def _where(shown: Shown) -> Where:
    summary, named = shown.summary, shown.named
    if named is None:
        done = say("ALL SHOT") if not summary.missing else say("WAIT")
        return Where("", done, (), _meanwhile(summary, shown.first))
    if named.spot is None:
        return Where(say("rod on"), named.reference or "", (), words_punch.next_words(summary, named))
    name, more = summary.grid.name(named.spot), ""
    label = say("next")
    if named.do is Do.READ_AGAIN:
        label = say("read again")
    elif named.do is Do.RESHOOT:
        label, more = say("shoot again"), words_punch.next_words(summary, named)
    return Where(label, name, tapes_to(summary, named.spot), more)


def _meanwhile(summary: Summary, first: Next) -> str:
    """What the helper does where no reading goes anywhere; which key the cab presses is of no use to him."""
    match first.do:
        case Do.TARGET:
            return say("cab: choose the target")
        case Do.CHECK:
            return say("rod on {name} for the check", name=first.reference)
        case Do.DIG if first.spot is not None:
            work = words.work_words(summary.job, summary.deviation_at(first.spot))
            return say("dig: worst is {spot}, {work}", spot=summary.grid.name(first.spot), work=work)
        case Do.DIG:
            return say("dig")
        case Do.NEW_ROUND:
            return say("cab: begin the next round")
        case Do.SIGN:
            return say("the punch list is empty")
        case _ if first.spot is not None:
            return say("wait for the cab, then read {spot} again", spot=summary.grid.name(first.spot))
        case _:
            return say("cab: see the punch list")


def _back(shown: Shown) -> Back:
    summary, at = shown.summary, shown.back
    height = summary.height_at(at) if at is not None else None
    if at is None or height is None:
        return Back("", 0, words.harmless(shown.read_back).strip(), "", "")
    work = words.work_words(summary.job, summary.deviation_at(at))
    out = say("out of tolerance") if summary.out_mask[at] else ""
    side = (height > 0) - (height < 0)
    return Back(summary.grid.name(at), side, words.grade_words(summary.job, height), work, out)


def _alarm(shown: Shown) -> Alarm | None:
    summary, first, at = shown.summary, shown.first, shown.back
    if first.do in _BAD_CHECK and summary.trust.unresolved:
        why = words_punch.next_words(summary, first)
        stay = say("STAY AT {place}", place=first.reference)
        do = say("READ AGAIN") if first.do is Do.CHECK_AGAIN else say("LEVEL IT")
        return Alarm(f"{first.do}{len(summary.trust.checks)}", stay, do, why)
    if at is None or not shown.shouts:
        return None
    for kind in _DOUBTFUL:
        for item in shown.listed.of(kind):
            if at in item.spots:
                third = kind is Kind.READINGS_DISAGREE
                name, order = summary.grid.name(at), int(summary.evidence.order[at])
                return Alarm(
                    f"{kind}{name}{order}",
                    say("STAY AT {place}", place=name),
                    say("READ A THIRD TIME") if third else say("READ AGAIN"),
                    words_punch.item_words(summary, item),
                )
    return None


def _plan(shown: Shown, spot: int | None) -> Plan:
    summary = shown.summary
    grid = summary.grid
    row, column = divmod(next((each for each in (spot, shown.back) if each is not None), 0), grid.across)
    rows, columns = _window(row, PLAN_ALONG, grid.along), _window(column, PLAN_ACROSS, grid.across)
    states = summary.state.reshape(grid.shape)[rows.start : rows.stop, columns.start : columns.stop].tolist()
    cells = (
        tuple(
            _cell(summary, along * grid.across + across, state, spot, shown.back)
            for across, state in zip(columns, states[along - rows.start], strict=True)
        )
        for along in reversed(rows)
    )
    return Plan(tuple(letters(each) for each in columns), tuple(each + 1 for each in reversed(rows)), tuple(cells))


def _window(around: int, room: int, number: int) -> range:
    first = min(max(around - room // 2, 0), max(number - room, 0))
    return range(first, min(first + room, number))


def _cell(summary: Summary, at: int, state: int, spot: int | None, back: int | None) -> str:
    marks = ">" * (at == spot) + "<" * (at == back)
    if state != SHOT:
        return _STATES[state] + marks
    side, depth, out = standing(summary, at)
    suspect = bool(summary.trust.suspect_mask[at])
    return f"{'l0h'[side + 1]}{depth}" + "!" * out + "s" * suspect + marks


def _keys(shown: Shown) -> Keys:
    job = shown.summary.job
    fractions = _fractions(16 if job.step < INCH // 8 else 8) if job.heights is Unit.IN else ()
    return Keys(shown.way == "height", shown.way == "direct-rod", fractions, words.unit_word(job.heights))


@cache
def _fractions(parts: int) -> tuple[str, ...]:
    return tuple(str(Fraction(each, parts)) for each in range(1, parts))
